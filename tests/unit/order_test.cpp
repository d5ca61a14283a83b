// The smallest order loops, of order alone and with times and lengths, each with a near miss.
#include "tests/support.h"

using namespace betony;
using namespace betony::testing;
using Lines = std::vector<std::string>;

namespace {

const std::string opening =
    "Ruleset \"Reed house\", edition \"1\".\n"
    "Finding fever is yes or no.\nFinding chill is yes or no.\n"
    "Practice soak. Indicated in fever. Otherwise allowed.\n"
    "Practice smoke. Indicated in chill. Otherwise allowed.\n"
    "Practice walk. Indicated.\n";
const Lines order{"error order-loop/order of soak"}, times{"error order-loop/times of soak"};

Lines told_of(const std::string& sentences) { return told(report_of(opening + sentences)); }

// Whom each loop names, and of how many it is told.
Lines loops_of(const std::string& sentences) {
  Lines lines;
  for (const Problem& p : report_of(opening + sentences).problems)
    if (p.kind == "order-loop") lines.push_back(p.replay + ", " + number_words(p.share.low));
  return lines;
}

Problem loop_of(const std::string& sentences) {
  const Report report = report_of(opening + sentences);
  for (const Problem& p : report.problems)
    if (p.kind == "order-loop") return p;
  FAIL("no loop is told");
  return {};
}

}  // namespace

TEST_CASE("two that must each come before the other are told, with the person who is advised both") {
  const Problem p = loop_of("Practice soak. Follows smoke. Practice smoke. Follows soak.");
  CHECK(p.form == "order");
  CHECK(p.severity == Severity::error);
  CHECK(p.share.low == Rational(1, 4));
  CHECK(p.sentences.size() == 2);
  CHECK(p.region == Lines{"fever and chill"});
  CHECK(p.replay == "soak and smoke are advised");
  CHECK(told_of("Practice soak. Follows smoke. Precedes walk.").empty());
  CHECK(told_of("Practice soak. Follows smoke. Practice smoke. Precedes soak.").empty());
  CHECK(told_of("It cannot be that fever and chill. Practice soak. Follows smoke. Practice smoke. Follows soak.").empty());
}

TEST_CASE("a loop of three, and one that only some persons meet") {
  CHECK(told_of("Practice soak. Follows smoke. Precedes walk. Practice walk. Precedes smoke.") == order);
  CHECK(told_of("Practice soak. Leads to walk. Practice walk. Precedes soak in chill.") == order);
  CHECK(loop_of("Practice soak. Leads to walk. Practice walk. Precedes soak in chill.").share.low == Rational(1, 4));
  CHECK(told_of("Practice soak. Leads to walk in not chill. Practice walk. Precedes soak in chill.").empty());
}

TEST_CASE("times and lengths that cannot be kept in one day are told, with what is lacking") {
  const Problem p = loop_of("Practice soak. Time from 06:00 to 06:30. Takes 40 to 60 min.");
  CHECK(p.form == "times");
  CHECK(p.sense.find("10 min are lacking") != std::string::npos);
  CHECK(told_of("Practice soak. Time from 06:00 to 06:30. Takes 30 to 60 min.").empty());
  CHECK(told_of("Practice soak. Time from 06:00 to 07:00. Takes 40 min. Follows walk. Practice walk. Time from 06:10 to 08:00. Takes 15 min.") == times);
  CHECK(told_of("Practice soak. Time from 06:00 to 07:10. Takes 40 min. Follows walk. Practice walk. Time from 06:10 to 08:00. Takes 15 min.").empty());
}

TEST_CASE("a length or a time with a condition goes before one without") {
  CHECK(told_of("Practice soak. Takes 2 h. Takes 20 min in fever. Time from 06:00 to 06:30.").empty());
  CHECK(told_of("Practice soak. Takes 20 min. Takes 2 h in fever. Time from 06:00 to 06:30.") == times);
  CHECK(told_of("Practice soak. Time from 06:00 to 07:00. Time from 20:00 to 21:00 in fever. Follows walk. Practice walk. Time from 12:00 to 13:00.").empty());
}

TEST_CASE("the sun and the night keep their order") {
  CHECK(told_of("Practice soak. Time from sunset to dusk. Precedes walk. Practice walk. Time from dawn to sunrise.") == times);
  CHECK(told_of("Practice soak. Time from dawn to sunrise. Precedes walk. Practice walk. Time from sunset to dusk.").empty());
  CHECK(told_of("Practice soak. Time from 22:00 to 05:00. Takes 6 h.").empty());   // over midnight
  CHECK(told_of("Practice soak. Time from 22:00 to 05:00. Takes 8 h.") == times);
  CHECK(told_of("Practice soak. Time from 23:00 to midnight. Takes 1 h.").empty());
  CHECK(told_of("Practice soak. Time from 1 h before noon to noon. Takes 61 min.") == times);
}

TEST_CASE("what must be apart goes before or behind, and is told where neither way is open") {
  const std::string windows = "Practice soak. Time from 06:00 to 07:00. Takes 20 min. Practice walk. Time from 06:00 to 07:00. Takes 20 min.\n";
  CHECK(told_of(windows + "Practice soak. Apart from walk by 20 min.").empty());
  CHECK(told_of(windows + "Practice soak. Apart from walk by 30 min.") == times);
  CHECK(told_of(windows + "Practice soak. Apart from walk by 30 min in chill.") == times);
  CHECK(loop_of(windows + "Practice soak. Apart from walk by 30 min in chill.").share.low == Rational(1, 4));
}

TEST_CASE("a forbidden time leaves before and after") {
  CHECK(told_of("Practice soak. Time from 06:00 to 09:00. Time not from 07:00 to 08:00. Takes 50 min.").empty());
  CHECK(told_of("Practice soak. Time from 06:00 to 09:00. Time not from 06:30 to 08:30. Takes 50 min.") == times);
  CHECK(told_of("Practice soak. Time from 06:00 to 06:30. Time not from 22:00 to 07:00.") == times);
  CHECK(told_of("Practice soak. Time not from walk to 20 min after walk. Takes 1 h. Practice walk. Takes 1 h. Time from 06:00 to 07:00.").empty());
}

TEST_CASE("two loops of other sentences are both told") {
  const auto lines = told_of("Practice soak. Follows smoke. Practice smoke. Follows soak. Practice walk. Time from 06:00 to 06:10. Takes 20 min.");
  CHECK(lines == Lines{"error order-loop/order of soak", "error order-loop/times of walk"});
}

TEST_CASE("what goes round by order alone is no matter of times, whatever its practices take") {
  const Problem p = loop_of("Practice soak. Takes 30 min in not fever. Follows smoke in chill. Precedes smoke. Takes 90 min.");
  CHECK(p.form == "order");
  CHECK(p.sentences.size() == 2);
}

TEST_CASE("a practice runs over midnight only where its time does") {
  const std::string night = "Practice soak. Takes 3 h. Follows walk. Practice walk. Time from 21:30 to 22:30. Takes 1 h. Practice soak. ";
  CHECK(told_of(night + "Time from 22:00 to 02:00.").empty());
  CHECK(told_of(night + "Time from 22:00 to 02:00 in chill.") == times);
  CHECK(loop_of(night + "Time from 22:00 to 02:00 in chill.").region == Lines{"fever and not chill"});
}

TEST_CASE("what runs over midnight keeps clear of what is forbidden in the night") {
  const std::string night = "Practice soak. Time from 22:00 to 03:00. Time not from 01:00 to 02:00. ";
  CHECK(told_of(night + "Takes 3 h.").empty());
  CHECK(told_of(night + "Takes 4 h.") == times);
}

TEST_CASE("a loop names only who is advised to those whom it is told of") {
  CHECK(loops_of("Every practice. Leads to soak, smoke, walk.") ==
        Lines{"smoke and walk are advised, 0.25", "soak and smoke are advised, 0.25", "soak and walk are advised, 0.25"});
  CHECK(loops_of("Every practice. Time from 07:30 to 08:30. Apart from smoke by 60 min.") ==
        Lines{"smoke and walk are advised, 0.25", "soak and smoke are advised, 0.25"});
}

TEST_CASE("a loop of two thousand practices is found, whichever way it is written, and named in few words") {
  for (const bool upward : {true, false}) {
    std::string source = "Ruleset \"Reed house\", edition \"1\".\n";
    for (int i = 0; i < 2000; ++i) {
      const int at = upward ? i : 1999 - i;
      source += "Practice p" + std::to_string(at) + ". Indicated. Follows p" + std::to_string((at + 1999) % 2000) + ".\n";
    }
    const Report report = report_of(source);
    const auto lines = told(report);
    REQUIRE(lines.size() == 1);
    CHECK(report.settled());
    CHECK(report.problems[0].sentences.size() == 2000);
    CHECK(report.problems[0].sense.size() < 300);
  }
}
