// Published check: greatest heart rate by age, Fox 1971, Tanaka 2001, Gellish 2007, Nes 2013, and the reserve method, Karvonen
// 1957: from memory; the counts are computed.
#include <catch2/catch.hpp>

#include "tests/published/table.h"

using namespace betony;
using namespace betony::published;
using Lines = std::vector<std::string>;

namespace {

constexpr int ages = 801;  // 10.0 to 90.0

}  // namespace

TEST_CASE("heart rate: the four formulas give their values at 20, 40 and 60, and nothing is told") {
  const Table table("heart_rate.bty");
  struct Row { const char *age, *fox, *tanaka, *gellish, *nes; };
  const Row rows[] = {{"20", "200", "194", "193", "198.2"}, {"40", "180", "180", "179", "185.4"}, {"60", "160", "166", "165", "172.6"}};
  for (const Row& row : rows) {
    CAPTURE(row.age);
    const auto rate = [&](const char* author) { return table.measure(std::string("rate of ") + author, {{"age", row.age}}); };
    CHECK(rate("Fox") == exactly(row.fox));
    CHECK(rate("Tanaka") == exactly(row.tanaka));
    CHECK(rate("Gellish") == exactly(row.gellish));
    CHECK(rate("Nes") == exactly(row.nes));
  }
  CHECK(table.told(ages) == Lines{});  // its claims say the same of every person of these ages
}

TEST_CASE("heart rate: the first two formulas agree at exactly 40 and at no other tenth of a year") {
  const Table table("heart_rate.bty");
  CHECK(table.count("faster is Fox", ages) == 300);     // 10.0 to 39.9
  CHECK(table.count("faster is neither", ages) == 1);
  CHECK(table.count("faster is Tanaka", ages) == 500);  // 40.1 to 90.0
  CHECK(table.count("faster is neither and age is 40", ages) == 1);
  CHECK(table.fits("faster", {{"age", "39.9"}}) == "Fox");
  CHECK(table.fits("faster", {{"age", "40"}}) == "neither");
  CHECK(table.fits("faster", {{"age", "40.1"}}) == "Tanaka");
  CHECK(table.measure("Fox over Tanaka", {{"age", "39.9"}}) == exactly("0.03"));
}

TEST_CASE("heart rate: among all ages as real numbers the one at which the first two agree is found") {
  const Table table("heart_rate_ages.bty");
  const Problem refuted = table.only("claim-refuted");
  CHECK(table.number(refuted, "age") == 40);
  CHECK(table.fits("faster", {{"age", "40"}}) == "neither");
  CHECK(table.fits("faster", {{"age", "39.999999999"}}) == "Fox");
  CHECK(table.fits("faster", {{"age", "40.000000001"}}) == "Tanaka");
  CHECK(table.report().problems.size() == 1);
}

TEST_CASE("heart rate: half and 85 in 100 of the reserve between 60 and 180 are reached at 120 and 162") {
  const Table table("heart_rate.bty");
  const auto target = [&](const char* effort) { return table.measure("target", {{"age", "40"}, {"resting rate", "60"}, {"effort", effort}}); };
  CHECK(target("0") == 60);
  CHECK(target("50") == 120);
  CHECK(target("85") == 162);
  CHECK(target("100") == 180);
}
