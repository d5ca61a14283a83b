#include <catch2/catch.hpp>

#include "tests/replay.h"
#include "worlds.h"

using namespace betony;
using namespace betony::worlds;
using testing::evaluated;
using testing::needs_witness;
using testing::Replay;

TEST_CASE("every problem told of the worlds that can have a witness has one, and the evaluator shows it there") {
  unsigned replayed = 0;
  for (const auto& edition : every_edition()) {
    const auto& [ruleset, report] = checked(edition);
    std::string wrong;
    for (const auto& p : report.problems) {
      if (!p.witness) {
        if (needs_witness(p)) wrong += "no witness: " + show(ruleset, p);
        continue;
      }
      ++replayed;
      const std::string fault = Replay(ruleset, p, evaluated(ruleset, p)).fault();
      if (!fault.empty()) wrong += fault + ": " + show(ruleset, p);
    }
    INFO(edition.name);
    CHECK(wrong == "");
  }
  CHECK(replayed >= 40);
}

TEST_CASE("every share told of the worlds lies between nothing and all, and its region is in words") {
  for (const auto& edition : every_edition()) {
    const auto& [ruleset, report] = checked(edition);
    for (const auto& p : report.problems) {
      if (!p.has_share) continue;
      INFO(edition.name << "\n" << show(ruleset, p));
      CHECK(p.share.low >= 0);
      CHECK(p.share.low <= p.share.high);
      CHECK(p.share.high <= 1);
      CHECK(p.share.exact == (p.share.low == p.share.high));
      CHECK_FALSE(p.region.empty());
    }
  }
}
