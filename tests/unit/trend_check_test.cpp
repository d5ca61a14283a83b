// Claims that tell a trend: where they hold, where they do not, and what is told of the two persons who show it.
#include <catch2/catch.hpp>

#include "compiler/compiler.h"
#include "compiler/trend.h"

using namespace betony;

namespace {

Ruleset ruleset(const std::string& text) {
  auto out = read_ruleset({"test.bty", text}, [](const std::string&) { return std::nullopt; });
  for (const Message& message : out.messages) UNSCOPED_INFO(message.message);
  REQUIRE(out);
  return std::move(*out.value);
}

const std::string people =
    "Finding age is a whole number of years from 0 to 110, usually 40.\n"
    "Finding fever is yes or no.\n"
    "Finding chill is yes or no.\n"
    "Finding breath is a grade of calm, short, gasping.\n"
    "Finding last meal is a number of h ago from 0 to 48, or never, usually 3.\n"
    "Finding weight is a number of kg from 10 to 100 in steps of 1, usually 70.\n"
    "Finding height is a number of m from 1 to 2 in steps of 0.1, usually 1.7.\n"
    "Finding pull is a number of N from 0 to 100.\n"
    "Measure build is weight / (height * height) in kg/m2.\n"
    "Practice dip.\n";

// Of every claim that does not hold: the practice, the share, and the last sentence of what is said.
std::string broken(const std::string& text) {
  const Ruleset r = ruleset(people + text);
  const Report report = check(r);
  std::string out;
  for (const std::string& name : report.not_settled) out += "not settled: " + name + "\n";
  for (const Problem& p : report.problems) {
    if (p.kind != "claim-refuted") continue;
    CHECK(p.severity == Severity::error);
    REQUIRE(p.witness);
    const std::string share = p.share.exact ? p.share.low.get_str() : "at most " + p.share.high.get_str();
    out += (p.school.empty() ? "" : p.school + ": ") + share + ": " + p.sense.substr(p.sense.find(". ") + 2) + "\n";
  }
  return out;
}

}  // namespace

TEST_CASE("a verdict that rises with more of a number is told with the two persons who show it") {
  CHECK(broken("  Indicated in age over 60.\n  Otherwise allowed.\nClaim \"c\": more age never raises dip.\n") ==
        "61/111: With age 61 years in place of 40 years, dip is advised, where it was allowed.\n");
  CHECK(broken("  Indicated in age over 60.\n  Otherwise allowed.\nClaim \"c\": more age never lowers dip.\n") == "");
  CHECK(broken("  Indicated in age over 60.\n  Otherwise allowed.\nClaim \"c\": less age never raises dip.\n") == "");
  CHECK(broken("  Indicated in age over 60.\n  Otherwise allowed.\nClaim \"c\": less age never lowers dip.\n") ==
        "50/111: With age 60 years in place of 90 years, dip is allowed, where it was advised.\n");
}

TEST_CASE("the whole problem names the claim, the practice, both verdicts and the sentences that make them") {
  const Ruleset r = ruleset(people + "  Discouraged in breath is short.\n  Otherwise allowed.\n"
         "Claim \"calm first\": more breath never raises dip in chill.\n");
  const Report report = check(r);
  const auto p = std::find_if(report.problems.begin(), report.problems.end(), [](const Problem& q) { return q.kind == "claim-refuted"; });
  REQUIRE(p != report.problems.end());
  CHECK(p->practice == "dip");
  CHECK(p->sense == "\"calm first\" fails where chill and breath is short: 1 in 6 of all possible persons. "
                    "With breath gasping in place of short, dip is allowed, where it was discouraged.");
  CHECK(p->replay == "dip is discouraged");
  REQUIRE(p->sentences.size() == 3);
  CHECK(p->sentences[0].text == "Claim \"calm first\": more breath never raises dip in chill.");
  CHECK(p->sentences[1].text == "Discouraged in breath is short.");
  CHECK(p->sentences[2].text == "Otherwise allowed.");
}

TEST_CASE("a trend looks past values between that nobody can have") {
  const std::string text = "  Allowed in age under 20.\n  Indicated in age over 60.\n  Contraindicated in age from 20 to 60.\n";
  CHECK(broken(text + "It cannot be that age from 20 to 60.\nClaim \"c\": more age never raises dip.\n") ==
        "2/7: With age 61 years in place of 10 years, dip is advised, where it was allowed.\n");
  CHECK(broken(text + "It cannot be that age over 19.\nClaim \"c\": more age never raises dip.\n") == "");
}

TEST_CASE("both persons are within Applies to and as the condition says") {
  const std::string text = "  Indicated in age over 60.\n  Otherwise allowed.\n";
  CHECK(broken("Applies to age under 50.\n" + text + "Claim \"c\": more age never raises dip.\n").find("With age") == std::string::npos);
  CHECK(broken(text + "Claim \"c\": more age never raises dip in age under 60.\n") == "");
  CHECK(broken(text + "Claim \"c\": more age never raises dip in dip is advised.\n") == "");
  CHECK(broken(text + "Claim \"c\": more age never raises dip in fever.\n") ==
        "61/222: With age 61 years in place of 40 years, dip is advised, where it was allowed.\n");
}

TEST_CASE("a red flag is the least of all verdicts") {
  const std::string text = "Refer in age from 60 to 80: \"Call a physician.\"\nPractice dip.\n  Otherwise withheld.\n";
  CHECK(broken(text + "Claim \"c\": more age never raises dip.\n") ==
        "7/37: With age 81 years in place of 70 years, dip is withheld, where it was referred.\n");
  CHECK(broken(text + "Claim \"c\": more age never lowers dip.\n") ==
        "20/37: With age 60 years in place of 40 years, dip is referred, where it was withheld.\n");
  CHECK(broken("Refer in fever: \"Call a physician.\"\nPractice dip.\n  Otherwise allowed.\n"
         "Claim \"c\": adding fever never raises any practice.\n") == "");
  CHECK(broken("Refer in chill: \"Call a physician.\"\nPractice dip.\n  Indicated in fever.\n  Otherwise allowed.\n"
         "Claim \"c\": adding fever never raises any practice.\n") ==
        "1/4: With fever, dip is advised, where it was allowed.\n");
}

TEST_CASE("never is neither more nor less than a number") {
  CHECK(broken("  Indicated in last meal is never.\n  Otherwise allowed.\nClaim \"c\": more last meal never raises dip.\n"
         "Claim \"d\": less last meal never raises dip.\n") == "");
  CHECK(broken("  Indicated in last meal over 5.\n  Otherwise allowed.\nClaim \"c\": more last meal never raises dip.\n") ==
        "5/96: With last meal 30 h ago in place of 3 h ago, dip is advised, where it was allowed.\n");
}

TEST_CASE("each practice of a trend is looked at by itself") {
  CHECK(broken("  Otherwise allowed.\nPractices soak, walk.\n  Indicated in fever.\n  Otherwise allowed.\nGroup waters holds dip, soak.\n"
               "Claim \"c\": adding fever never raises waters.\n") == "1/2: With fever, soak is advised, where it was allowed.\n");
}

TEST_CASE("a dose is raised where its least or its most is greater, for those who take it") {
  const std::string text = "  Indicated.\n  Dose 5 to 10 min.\n  Dose 8 to 9 min in fever.\n  Dose half in chill.\n";
  CHECK(broken(text + "Claim \"c\": adding fever never raises the dose of dip.\n") ==
        "1/2: With fever, the dose of dip is 8 to 9 min, where it was 5 to 10 min.\n");
  CHECK(broken(text + "Claim \"c\": adding fever never lowers the dose of dip.\n") ==
        "1/2: With fever, the dose of dip is 8 to 9 min, where it was 5 to 10 min.\n");
  CHECK(broken(text + "Claim \"c\": adding chill never raises the dose of dip.\nClaim \"d\": adding chill never lengthens the dose of dip.\n") == "");
  CHECK(broken(text + "Claim \"d\": adding chill never shortens the dose of dip.\n") ==
        "1/2: With chill, the dose of dip is 2.5 to 5 min, where it was 5 to 10 min.\n");
  CHECK(broken(text + "  Contraindicated in fever.\nClaim \"c\": adding fever never raises the dose of dip.\n") == "");
  CHECK(broken("  Allowed.\n  Dose 2 g, for 5 d.\n  Dose for 7 d in fever.\nClaim \"c\": adding fever never raises the dose of dip.\n") == "");
  CHECK(broken("  Allowed.\n  Dose 2 g, for 5 d.\n  Dose for 7 d in fever.\nClaim \"c\": adding fever never lengthens the dose of dip.\n") ==
        "1/2: With fever, the dose of dip is for 7 d, where it was for 5 d.\n");
  CHECK(broken("  Allowed.\n  Dose at most 2 g.\n  Dose at least 1 g in fever.\nClaim \"c\": adding fever never lowers the dose of dip.\n") == "");
  CHECK(broken("  Allowed.\n  Dose 2 g in chill.\n  Dose 3 g in fever and chill.\n"
         "Claim \"c\": adding fever never raises the dose of dip.\n") == "");  // 2 g and 3 g clash
}

TEST_CASE("a measure goes along with its finding, point by point") {
  const std::string text = "  Contraindicated in build under 18.\n  Otherwise allowed.\n";
  CHECK(broken(text + "Claim \"c\": more weight never lowers dip.\nClaim \"d\": more height never raises dip.\n") == "");
  const std::string told = broken(text + "Claim \"c\": more weight never raises dip.\n");
  CHECK(told.find("dip is allowed, where it was withheld.\n") != std::string::npos);
  CHECK(told.find("at most ") == 0);
  CHECK(broken(text + "It cannot be that build at least 18.\nClaim \"c\": more weight never raises dip.\n") == "");
  CHECK(broken("  Contraindicated in build from 18 to 20.\n  Otherwise allowed.\nClaim \"c\": more weight never raises dip in height is 1.\n").find(
            "where it was withheld.\n") != std::string::npos);
}

TEST_CASE("a trend of numbers without steps that a measure binds is settled only where it holds whatever the measure does") {
  const std::string text = "Measure force is pull * weight in N.kg.\nPractice dip.\n  Contraindicated in force over 50.\n  Otherwise allowed.\n";
  CHECK(broken(text + "Claim \"c\": more pull never raises dip.\n") == "not settled: claim c\n");
  CHECK(broken(text + "Claim \"c\": more pull never raises dip in chill and not chill.\n") == "");
}

TEST_CASE("a trend that only a school's reading breaks is told of that school") {
  CHECK(broken("  Otherwise allowed.\nSource A is \"a\", 1900.\nSource B is \"b\", 1900.\nSchool hill holds A.\nSchool dale holds B.\n"
               "Practice dip.\n  Indicated in fever [A].\n  Discouraged in fever [B].\nClaim \"c\": adding fever never raises dip.\n") ==
        "hill: 1/2: With fever, dip is advised, where it was allowed. In the reading of hill.\n");
}

TEST_CASE("what a trend claims of two persons is told for any two") {
  const Ruleset r = ruleset(people + "  Indicated in age over 60.\n  Contraindicated in fever.\n  Otherwise allowed.\n"
         "Profile \"p\": weight 70, height 1.7, pull 3, breath calm, the rest as usual.\n"
                                     "Claim \"c\": more age never raises dip.\n");
  Profile first = profile_of(r, r.profiles[0]), second = first;
  second[0]->number = 61;
  const auto told = broken_trend(r, r.claims[0], 0, first, second);
  REQUIRE(told);
  CHECK(told->first == "allowed");
  CHECK(told->second == "advised");
  CHECK(told->because == std::vector<Index>{2});
  CHECK(told->second_because == std::vector<Index>{0});
  CHECK_FALSE(broken_trend(r, r.claims[0], 0, second, first));
  first[1]->word = second[1]->word = 1;
  CHECK_FALSE(broken_trend(r, r.claims[0], 0, first, second));
}
