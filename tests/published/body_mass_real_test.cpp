// Published check: body mass index over real weights and heights, WHO Global Database on BMI (after WHO 1995, 2000,
// 2004; read in two copies of table 1). Shares are worked out here from the integral of weight over height.
#include <algorithm>
#include <catch2/catch.hpp>
#include <cmath>

#include "tests/published/table.h"

using namespace betony;
using namespace betony::published;
using Lines = std::vector<std::string>;

namespace {

// The share of weights from 30 to 200 kg and heights from 1.4 to 2.1 m whose index is under `edge`.
double share_under(double edge) {
  const double low = std::clamp(std::sqrt(30 / edge), 1.4, 2.1), high = std::clamp(std::sqrt(200 / edge), 1.4, 2.1);
  const double bent = edge * (high * high * high - low * low * low) / 3 - 30 * (high - low);
  return (bent + 170 * (2.1 - high)) / (170 * 0.7);
}

void holds(const Problem& problem, double share) {
  CAPTURE(problem.share.low.get_d(), problem.share.high.get_d(), share);
  CHECK_FALSE(problem.share.exact);
  CHECK(problem.share.low.get_d() < share);
  CHECK(share < problem.share.high.get_d());
}

}  // namespace

TEST_CASE("body mass index of real persons: sub-classes lie inside their classes, and only the printed gaps are told") {
  const Table table("body_mass_real.bty");
  CHECK(table.report().settled());
  std::vector<std::string> kinds;
  for (const Problem& p : table.report().problems) kinds.push_back(p.kind + (p.choice.empty() ? "" : " of " + p.choice));
  CHECK(kinds == Lines{"choice-empty of standing"});
  const Problem& gap = table.report().problems[0];  // 24.99 to 25; under 18.50 everybody is underweight
  holds(gap, share_under(25) - share_under(24.99));
  REQUIRE(gap.witness);
  CHECK(choice_result(table.ruleset(), 0, *gap.witness).fits.empty());
}

TEST_CASE("body mass index of real persons: the share of each class holds the integral between near ends") {
  const Table table = Table("body_mass_real.bty");
  struct Row { const char* standing; double share; };
  for (const Row& row : {Row{"underweight", share_under(18.5)}, Row{"normal weight", share_under(24.99) - share_under(18.5)},
                         Row{"overweight", 1 - share_under(25)}, Row{"obese", 1 - share_under(30)}}) {
    CAPTURE(row.standing);
    const Table asked = table.with(std::string("Claim \"counted\": never standing is ") + row.standing + ".");
    const Problem counted = asked.only("claim-refuted");
    holds(counted, row.share);
    CHECK(Rational(counted.share.high - counted.share.low).get_d() < row.share / 10);
    REQUIRE(counted.witness);
    const std::string fits = [&] {
      std::string words;
      for (Index value : choice_result(asked.ruleset(), 0, *counted.witness).fits) words += asked.ruleset().choices[0].values[value] + ",";
      return words;
    }();
    CHECK(fits.find(row.standing) != std::string::npos);
  }
}

TEST_CASE("body mass index of real persons: a claim that fails at one height and weight only is refuted by them") {
  // 74 kg at 2 m are exactly 18.5.
  CHECK(Table("body_mass_real.bty").changed("under 74 kg", "at most 74 kg").only("claim-refuted").share.low == 0);
  const Table table = Table("body_mass_real.bty").changed("under 74 kg", "at most 74 kg");
  const Problem refuted = table.only("claim-refuted");
  CHECK(table.number(refuted, "weight") == 74);
  CHECK(table.number(refuted, "height") == 2);
  CHECK(table.measure("body mass index", {{"weight", "91.875"}, {"height", "1.75"}}) == 30);
}
