// The dose of one person; the smallest dose clash, dose missing and idle dose, each with a near miss.
#include "compiler/dose.h"

#include "tests/support.h"

using namespace betony;
using namespace betony::testing;
using Lines = std::vector<std::string>;

namespace {

const std::string opening =
    "Ruleset \"Reed house\", edition \"1\".\nUnit bowl, bowls.\n"
    "Finding fever is yes or no.\nFinding chill is yes or no.\nFinding ache is yes or no.\n"
    "Finding age is a whole number of years from 0 to 99.\n"
    "Group waters holds soak.\n"
    "Practice soak. Indicated.\n";

Lines told_of(const std::string& sentences) { return told(report_of(opening + sentences)); }

Problem only(const std::string& sentences) {
  const Report report = report_of(opening + sentences);
  std::vector<Problem> told;
  for (const Problem& p : report.problems)
    if (p.kind != "unused" && p.kind != "uncited" && p.kind != "unasked") told.push_back(p);
  REQUIRE(told.size() == 1);
  return told[0];
}

// The dose of somebody with these of fever, chill and ache: "5 to 10 min; twice a day", "half: 1 min", "clash".
std::string dose_of(const std::string& sentences, const std::vector<std::string>& has = {}) {
  const Ruleset ruleset = ruleset_of(opening + sentences);
  Profile profile;
  for (const Finding& finding : ruleset.findings) {
    Value value;
    if (finding.kind == Finding::Kind::number) value = {Value::Kind::number, 0, 40};
    else value.word = std::count(has.begin(), has.end(), finding.name) != 0;
    profile.push_back(value);
  }
  const SettledDose dose = settle_dose(ruleset, 0, profile);
  std::string out;
  const auto add = [&](const std::string& part) { out += (out.empty() ? "" : "; ") + part; };
  for (const auto& part : dose.amounts) add(part.clash ? "clash" : amount_words(part.interval, part.unit, part.unit_text));
  if (dose.often) add(dose.often->clash ? "clash of rates" : "a rate");
  if (dose.length) add(dose.length->clash ? "clash of lengths" : "a length");
  for (const std::string& words : dose.words) add("\"" + words + "\"");
  return out;
}

}  // namespace

TEST_CASE("doses that fire together leave what they have in common") {
  CHECK(dose_of("Dose 5 to 10 min in fever. Dose 8 to 15 min in chill.", {"fever", "chill"}) == "8 to 10 min");
  CHECK(dose_of("Dose 5 to 10 min in fever. Dose 8 to 15 min in chill.", {"fever"}) == "5 to 10 min");
  CHECK(dose_of("Dose 5 to 10 min in fever. Dose 0.1 to 0.2 h in chill.", {"fever", "chill"}) == "6 to 10 min");
  CHECK(dose_of("Dose at least 5 min in fever. Dose at most 9 min in chill.", {"fever", "chill"}) == "5 to 9 min");
  CHECK(dose_of("Dose 5 min in fever. Dose 6 min in chill.", {"fever", "chill"}) == "clash");
}

TEST_CASE("a dose without a condition speaks where none with one does, the practice's own before its group's") {
  CHECK(dose_of("Dose 20 min. Dose 5 min in fever.") == "20 min");
  CHECK(dose_of("Dose 20 min. Dose 5 min in fever.", {"fever"}) == "5 min");
  CHECK(dose_of("Dose 20 min. Every practice in waters. Dose 30 min. Every practice. Dose 40 min.") == "20 min");
  CHECK(dose_of("Every practice in waters. Dose 30 min. Every practice. Dose 40 min.") == "30 min");
  CHECK(dose_of("Dose 20 min. Every practice in waters. Dose 5 min in fever.", {"fever"}) == "5 min");
  CHECK(dose_of("Dose 20 min unless fever.", {"fever"}).empty());
}

TEST_CASE("each part of a dose is settled by itself, and amounts of each dimension") {
  CHECK(dose_of("Dose 20 min, twice a day. Dose once a day in fever.", {"fever"}) == "20 min; a rate");
  CHECK(dose_of("Dose 20 min. Dose 2 bowls in fever.", {"fever"}) == "20 min; 2 bowls");
  CHECK(dose_of("Dose twice a day in fever. Dose once every 2 wk in chill.", {"fever", "chill"}) == "clash of rates");
  CHECK(dose_of("Dose at most twice a day in fever. Dose 7 times a wk in chill.", {"fever", "chill"}) == "a rate");
  CHECK(dose_of("Dose 1 min, for 5 d in fever. Dose 1 min, for 1 wk in chill.", {"fever", "chill"}) == "1 min; clash of lengths");
}

TEST_CASE("the least factor multiplies once, whatever is said twice") {
  CHECK(dose_of("Dose 10 to 20 min. Dose half in fever. Dose half in chill.", {"fever", "chill"}) == "5 to 10 min");
  CHECK(dose_of("Dose 10 to 20 min. Dose half in fever. Dose a quarter in chill.", {"fever", "chill"}) == "2.5 to 5 min");
  CHECK(dose_of("Dose 10 to 20 min. Dose half in fever. Dose double in chill.", {"chill"}) == "20 to 40 min");
}

TEST_CASE("words add up, those with a condition before those without") {
  CHECK(dose_of("Dose \"slowly\" in fever. Dose \"by day\" in chill. Dose \"at will\".", {"fever", "chill"}) == "\"slowly\"; \"by day\"");
  CHECK(dose_of("Dose \"slowly\" in fever. Dose \"at will\".") == "\"at will\"");
}

TEST_CASE("doses that fire together and have nothing in common clash, with the person") {
  const Problem p = only("Dose 5 to 10 min in fever. Dose 12 to 15 min in chill. Dose 3 min.");
  CHECK(p.kind == "dose-clash");
  CHECK(p.severity == Severity::error);
  CHECK(p.share.low == Rational(1, 4));
  CHECK(p.sentences.size() == 2);
  CHECK(p.region == Lines{"fever and chill"});
  CHECK(p.sense.find("5 to 10 min and 12 to 15 min have nothing in common") != std::string::npos);
  CHECK(told_of("Dose 5 to 10 min in fever. Dose 10 to 15 min in chill. Dose 3 min.").empty());     // they meet at 10
  CHECK(told_of("Dose 5 to 10 min in fever. Dose 12 to 15 min in not fever.").empty());              // nobody hears both
  CHECK(told_of("Dose 5 min in fever. Dose 2 bowls in chill. Dose 3 min.").empty());                 // not of one dimension
  CHECK(told_of("Dose 5 min. Dose 9 min.") == Lines{"error dose-clash of soak"});
  CHECK(told_of("Dose 5 min, once a day in fever. Dose 5 min, twice a day in chill. Dose 3 min.") == Lines{"error dose-clash of soak"});
}

TEST_CASE("how often is told in the shortest time that makes it whole") {
  const std::string sense = only("Dose 2 to 3 times every 2 d in fever. Dose once every 2 d in fever. Dose once a wk in fever. Dose 3 times a day in fever.").sense;
  CHECK(sense.find("2 to 3 times every 2 d, once every 2 d, once a wk, and 3 times a day have nothing in common") != std::string::npos);
  CHECK(only("Dose once every 1 h in fever. Dose at most 20 times a day in fever.").sense.find("once every 1 h and at most 20 times a day have nothing in common") !=
        std::string::npos);
  CHECK(only("Dose 48 times a day in fever. Dose 47 times a day in fever.").sense.find("twice every 1 h and 47 times a day have nothing in common") != std::string::npos);
  CHECK(told_of("Dose 2 to 3 times every 2 d in fever. Dose 1 to 3 times every 2 d in fever. Dose once a day in fever. Dose 3 min.") ==
        Lines{"question idle/sentence of soak", "question idle/sentence of soak"});  // not alike
}

TEST_CASE("nobody takes what is held back, so its doses do not clash there") {
  CHECK(told_of("Contraindicated in fever. Dose 5 min in fever and chill. Dose 9 min in fever and ache. Dose 3 min.") ==
        Lines{"question idle/sentence of soak", "question idle/sentence of soak", "note contradiction/exception of soak"});
}

TEST_CASE("three doses of which two clash for the same persons are one clash") {
  const Problem p = only("Dose 5 min in fever. Dose 9 min in fever. Dose 12 min in fever. Dose 3 min.");
  CHECK(p.sentences.size() == 3);
  CHECK(p.pairs.size() == 3);
}

TEST_CASE("where a practice is advised without an amount that others have, how much is missing") {
  const Problem p = only("Dose 5 to 9 min in fever. Dose 9 min in age under 50.");
  CHECK(p.kind == "dose-missing");
  CHECK(p.severity == Severity::question);
  CHECK(p.share.low == Rational(1, 4));
  CHECK(told_of("Dose 5 min in fever. Dose \"at will\" in not fever.").empty());
  CHECK(told_of("Dose once a day in fever.").empty());                                        // no amount anywhere
  CHECK(told_of("Dose 5 min in fever. Dose half in chill. Dose 6 min in not fever.").empty());
  CHECK(told_of("Dose half in chill. Dose 5 min in fever.") == Lines{"question dose-missing of soak"});
}

TEST_CASE("a dose that changes nothing is idle") {
  CHECK(told_of("Dose 5 min. Dose 5 min in fever.") == Lines{"question idle/sentence of soak"});
  CHECK(told_of("Dose 5 min. Dose 6 min in fever.").empty());
  CHECK(told_of("Dose 5 to 10 min in fever. Dose 5 to 12 min in fever and chill. Dose 3 min.") == Lines{"question idle/sentence of soak"});
  CHECK(told_of("Dose 5 to 10 min in fever. Dose 7 to 12 min in fever and chill. Dose 3 min.").empty());
  CHECK(told_of("Dose 5 min. Every practice in waters. Dose 9 min.") == Lines{"question idle/sentence of soak"});
  CHECK(told_of("Dose 5 min. Dose half in fever. Dose half in fever and chill.") == Lines{"question idle/sentence of soak"});
  CHECK(told_of("Dose 5 min. Dose half in fever. Dose a third in fever and chill.").empty());
  CHECK(told_of("Dose \"slowly\" in fever. Dose \"slowly\" in fever and chill.") == Lines{"question idle/sentence of soak"});
  CHECK(told_of("Dose 60 min in fever. Dose 1 h in fever. Dose 3 min.") == Lines{"question idle/sentence of soak"});
}
