// The smallest broken company of each form, each with a near miss.
#include "tests/support.h"

using namespace betony;
using namespace betony::testing;
using Lines = std::vector<std::string>;

namespace {

const std::string opening =
    "Ruleset \"Reed house\", edition \"1\".\n"
    "Finding fever is yes or no.\nFinding chill is yes or no.\nFinding age is a whole number of years from 0 to 99.\n"
    "Practice soak. Indicated in fever. Otherwise allowed.\n"
    "Practice smoke. Indicated in chill. Otherwise allowed.\n";

Lines told_of(const std::string& sentences) { return told(report_of(opening + sentences)); }

}  // namespace

TEST_CASE("both advised though never together is told, with the person and what advised both") {
  const Report report = report_of(opening + "Practice soak. Never with smoke.");
  CHECK(told(report) == Lines{"error broken-company/never-with of soak"});
  const auto at = std::find_if(report.problems.begin(), report.problems.end(), [](const Problem& p) { return p.kind == "broken-company"; });
  CHECK(at->share.low == Rational(1, 4));
  CHECK(at->sentences.size() == 3);
  CHECK(at->replay == "soak is advised, smoke is advised");
  CHECK(told_of("Practice soak. Never with smoke in not chill.").empty());
  CHECK(told_of("It cannot be that fever and chill. Practice soak. Never with smoke.").empty());
  CHECK(told_of("Practice soak. Never with smoke. Practice smoke. Never with soak.") == Lines{"error broken-company/never-with of soak"});
}

TEST_CASE("advised while what it needs is held back is told; discouraged is a question") {
  CHECK(told_of("Practice soak. Needs smoke. Practice smoke. Contraindicated in age over 60.") ==
        Lines{"error broken-company/needs of soak", "note contradiction/crossing of smoke"});
  CHECK(told_of("Practice soak. Needs smoke. Practice smoke. Discouraged in age over 60.") ==
        Lines{"question broken-company/needs of soak", "note contradiction/crossing of smoke"});
  CHECK(told_of("Practice soak. Needs smoke. Practice smoke. Contraindicated in not fever.") == Lines{"note contradiction/crossing of smoke"});
  CHECK(told_of("Practice soak. Leads to smoke. Practice smoke. Contraindicated in age over 60.") ==
        Lines{"error broken-company/leads-to of soak", "note contradiction/crossing of smoke"});
}

TEST_CASE("company is looked at in each school's reading, and told once where all agree") {
  const std::string schools = "Source A is \"a\", 1901. Source B is \"b\", 1902. School hill holds A. School dale holds B.\n";
  CHECK(told(report_of(opening + schools + "Practice soak. Never with smoke [A].")) == Lines{"error broken-company/never-with of soak in hill"});
  CHECK(told(report_of(opening + schools + "Practice soak. Never with smoke.")) == Lines{"error broken-company/never-with of soak"});
}
