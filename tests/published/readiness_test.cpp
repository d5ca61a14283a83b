// Published check: readiness questionnaire for ages 15-69, PAR-Q (read at
// medicalalgorithms.com/physical-activity-readiness-questionnaire-par-q).
#include <catch2/catch.hpp>

#include "tests/published/table.h"

using namespace betony;
using namespace betony::published;
using Lines = std::vector<std::string>;

namespace {

const char* const questions[] = {"heart condition", "pain in exercise", "pain at rest", "dizziness",
                                 "joint trouble",   "heart medicines",  "other reason"};

// One of the 128 answer sheets.
Person sheet(unsigned yes, const std::string& age = "40") {
  Person person = {{"age", age}};
  for (unsigned q = 0; q < 7; ++q) person[questions[q]] = yes >> q & 1u ? "yes" : "no";
  return person;
}

}  // namespace

TEST_CASE("readiness: of 128 answer sheets 1 clears and 127 refer") {
  const Table table("readiness.bty");
  std::map<std::string, int> counts;
  for (unsigned yes = 0; yes < 128; ++yes) ++counts[table.verdict("starting slowly", sheet(yes))];
  CHECK(counts == std::map<std::string, int>{{"allowed", 1}, {"referred", 127}});
  const std::string person = " in age is 40, not temporary illness, not pregnancy, and not very active";
  const Rational all = 128L * 110 * 8;  // a claim that names `referred` looks at every person
  CHECK(table.count("starting slowly is referred" + person, all) == 127);
  CHECK(table.count("starting slowly is allowed or referred" + person, all) == 128);
}

TEST_CASE("readiness: all no and a fever: both sentences hold, and the delay prevails") {
  const Table table("readiness.bty");
  Person ill = sheet(0);
  ill["temporary illness"] = "yes";
  CHECK(table.firing("starting slowly", ill) == 2);
  CHECK(table.verdict("starting slowly", ill) == "withheld");
}

TEST_CASE("readiness: pregnancy and unaccustomed age consult first, and under 15 nothing is said") {
  const Table table("readiness.bty");
  Person pregnant = sheet(0), active = sheet(0, "70");
  pregnant["pregnancy"] = "yes";
  active["very active"] = "yes";
  CHECK(table.verdict("starting slowly", pregnant) == "referred");
  CHECK(table.verdict("starting slowly", sheet(0, "69")) == "allowed");
  CHECK(table.verdict("starting slowly", sheet(0, "70")) == "referred");
  CHECK(table.verdict("starting slowly", active) == "allowed");
  CHECK(table.verdict("starting slowly", sheet(0, "15")) == "allowed");
  CHECK(table.verdict("starting slowly", sheet(0, "14")) == "silent");
  CHECK(table.verdict("starting slowly", sheet(1, "14")) == "silent");
}

TEST_CASE("readiness: silence under 15 and the delay as an exception are told, and that a yes has been referred before") {
  const Table table("readiness.bty");
  // Looked at are those not referred: 15 ages with 128 sheets and 8 further answers; 55 ages (15 to 69) with the empty
  // sheet, not pregnant, ill or not, active or not; 40 ages (70 to 109) with the empty sheet, active, ill or not.
  constexpr long all = 15L * 128 * 8 + 55 * 4 + 40 * 2;
  REQUIRE(all == 15'660);
  CHECK(table.told(all) == Lines{"question silence of starting slowly: 15360 of 15660",
                                 "note contradiction/exception of starting slowly: 150 of 15660", "note idle/part of starting slowly: 300 of 15660"});
  CHECK(table.only("idle/part").write == Lines{"in age at least 15, in line 27"});
  CHECK(table.only("silence").region == Lines{"age at most 14 years"});
}
