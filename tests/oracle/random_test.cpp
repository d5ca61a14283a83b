// Random rulesets of 2 to 40 sentences, too large for looking at every profile, before four solvers.
//
// The seed is fixed and printed. BETONY_ORACLE_SEED sets another, BETONY_ORACLE_TIMES makes as many times the cases,
// BETONY_ORACLE_PLAIN=1 leaves a ruleset that differs as large as it is.
#include <catch2/catch.hpp>

#include <iostream>

#include "tests/oracle/trial.h"

namespace betony::oracle {
namespace {

void agree(std::uint64_t part, std::size_t count) {
  const std::uint64_t from = seed() + part * 1000003;
  const Totals totals = random_rulesets(from, count * times(), referee::Scale::large, {});
  std::cout << "random rulesets: seed " << seed() << ", part " << part << ": " << totals.words();
  for (const std::string& d : totals.differences) UNSCOPED_INFO(d);
  CHECK(totals.differences.empty());
  CHECK(totals.z3_open == 0);
  CHECK(totals.not_settled <= totals.compared / 100);
  for (const char* kind : {"silence", "meets", "outside the indication", "outside the ban", "uncovered", "never applies", "idle", "two fit",
                           "nothing fits", "claim refuted"}) {  // a generator that no longer asks would let every mistake pass
    INFO(kind);
    const auto at = totals.questions.find(kind);
    REQUIRE(at != totals.questions.end());
    CHECK(at->second.second >= 20);
    CHECK(at->second.first - at->second.second >= 20);
  }
}

TEST_CASE("of random rulesets CaDiCaL, Z3, BuDDy, clasp and the compiler say the same: the first 500") { agree(0, 500); }
TEST_CASE("of random rulesets CaDiCaL, Z3, BuDDy, clasp and the compiler say the same: the second 500", "[.all]") { agree(1, 500); }
TEST_CASE("of random rulesets CaDiCaL, Z3, BuDDy, clasp and the compiler say the same: the third 500", "[.all]") { agree(2, 500); }
TEST_CASE("of random rulesets CaDiCaL, Z3, BuDDy, clasp and the compiler say the same: the fourth 500", "[.all]") { agree(3, 500); }

}  // namespace
}  // namespace betony::oracle
