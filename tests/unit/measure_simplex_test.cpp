#include "compiler/measure_simplex.h"

#include "tests/support.h"

using namespace betony;
using namespace betony::cutting;
using namespace betony::testing;

namespace {

struct Flat {
  bool flat = false;
  std::map<std::vector<Index>, Rational> shares;
  std::map<std::vector<Index>, std::vector<Rational>> points;
};

// Measures over x, y, z, each cut before a number ("at least"): `cuts` in the order of the measures.
Flat look(const std::string& measures, const std::vector<std::vector<Cut>>& cuts, const Sides& box, std::size_t steps = 100'000) {
  const Ruleset ruleset = ruleset_of("Ruleset \"T\", edition \"1\". Finding x is a number from 0 to 10. Finding y is a number from 0 to 10. Finding z is a number from 0 to 10.\n" + measures +
                                     " Practice p. Indicated in a over 1.");
  std::vector<CutMeasure> own;
  for (std::size_t m = 0; m < cuts.size(); ++m)
    own.push_back({plain(ruleset, ruleset.measures[m].formula, [](Index f) { return f; }, [](Index) { return Rational(0); }), cuts[m], {}});
  std::vector<const CutMeasure*> pointers;
  for (const CutMeasure& measure : own) pointers.push_back(&measure);
  Flat flat;
  flat.flat = flat_parts(box, pointers, steps, [&](const std::vector<Index>& extents, const Rational& share, const std::vector<Rational>& point) {
    flat.shares[extents] += share;
    flat.points[extents] = point;
  });
  return flat;
}

const Side whole{0, 10}, zero{0, 0};

}  // namespace

TEST_CASE("a sum against a number cuts a square in a triangle and the rest, exactly") {
  const Flat flat = look("Measure a is x + y.", {{{5, false}}}, {whole, whole, zero});
  REQUIRE(flat.flat);
  CHECK(flat.shares == std::map<std::vector<Index>, Rational>{{{0}, Rational(1, 8)}, {{1}, Rational(7, 8)}});
}

TEST_CASE("meeting a number exactly has a share of nothing, and numbers that show it") {
  const Flat flat = look("Measure a is x + 2 * y.", {{{5, false}, {5, true}}}, {whole, whole, zero});
  REQUIRE(flat.flat);
  CHECK(flat.shares.at({1}) == 0);
  const auto& point = flat.points.at({1});
  CHECK(point[0] + 2 * point[1] == 5);
}

TEST_CASE("a corner that belongs to the box is found, and one that does not is not") {
  const Flat closed = look("Measure a is x + y.", {{{20, false}}}, {whole, whole, zero});
  REQUIRE(closed.flat);
  CHECK(closed.shares.at({1}) == 0);
  CHECK(closed.points.at({1}) == std::vector<Rational>{10, 10, 0});
  const Side open{0, 10, true, false};
  CHECK(look("Measure a is x + y.", {{{20, false}}}, {whole, open, zero}).shares.count({1}) == 0);
}

TEST_CASE("three inputs with different weights: the corner pyramid is a sixth of its box") {
  const Flat flat = look("Measure a is x + 2 * y + 5 * z.", {{{10, false}}}, {whole, {0, 5}, {0, 2}});
  REQUIRE(flat.flat);
  CHECK(flat.shares.at({0}) == Rational(1, 6));
  CHECK(flat.shares.at({1}) == Rational(5, 6));
}

TEST_CASE("a ratio against a number is flat, against another input it stays so, and a product is not") {
  CHECK(look("Measure a is x / (y + 1).", {{{2, false}}}, {whole, {0, 4}, zero}).shares.at({1}) == Rational(2, 5));  // x against 2 y + 2
  CHECK(look("Measure a is (x + 1) / (y + 1) * (y + 1).", {{{2, false}}}, {whole, whole, zero}).shares.at({1}) == Rational(9, 10));
  CHECK_FALSE(look("Measure a is x * y.", {{{2, false}}}, {whole, whole, zero}).flat);
  CHECK(look("Measure a is x * y.", {{{2, false}}}, {whole, {4, 4}, zero}).shares.at({0}) == Rational(1, 20));
  CHECK_FALSE(look("Measure a is x / (y + 1) + x.", {{{2, false}}}, {whole, whole, zero}).flat);
}

TEST_CASE("the least and the most are flat piece by piece, and level ground has a share") {
  const Flat flat = look("Measure a is most of (x - 4), 0.", {{{0, true}}}, {whole, zero, zero});
  REQUIRE(flat.flat);
  CHECK(flat.shares == std::map<std::vector<Index>, Rational>{{{0}, Rational(2, 5)}, {{1}, Rational(3, 5)}});
  CHECK(look("Measure a is (most of x, y) - (least of x, y).", {{{5, false}}}, {whole, whole, zero}).shares.at({0}) == Rational(3, 4));
}

TEST_CASE("two measures against each other: every part of the plane is found and the parts are one whole") {
  const Flat flat = look("Measure a is x + y. Measure b is x - y.", {{{10, true}}, {{2, false}}}, {whole, whole, zero});
  REQUIRE(flat.flat);
  // x - y at least 2 cuts off a triangle of 32 in 100; of it x + y over 10 keeps 16.
  CHECK(flat.shares.at({1, 1}) == Rational(4, 25));
  CHECK(flat.shares.at({0, 1}) == Rational(4, 25));
  Rational all = 0;
  for (const auto& [extents, share] : flat.shares) all += share;
  CHECK(all == 1);
}

TEST_CASE("steps that run out are told, and more inputs than can be cut") {
  CHECK_FALSE(look("Measure a is x + y + z.", {{{10, false}}}, {whole, whole, whole}, 20).flat);
  const std::vector<const CutMeasure*> none;
  std::size_t steps = 1000;
  CHECK_FALSE(flat_parts(Sides(most_flat_inputs + 1, whole), none, steps, [](const auto&, const auto&, const auto&) {}));
}
