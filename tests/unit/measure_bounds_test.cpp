#include "compiler/measure_bounds.h"

#include "tests/support.h"

using namespace betony;
using namespace betony::testing;

namespace {

// The first measure of a ruleset over two findings from -2 to 3 and from 1 to 4, written out.
Formula formula(const std::string& measures) {
  const Ruleset ruleset = ruleset_of("Ruleset \"T\", edition \"1\". Finding x is a number from -2 to 3. Finding y is a number from 1 to 4. Finding chill is yes or no.\n"
                                     "Tally points counts chill as 3. " + measures + " Practice p. Indicated in wanted over 1.");
  return plain(ruleset, ruleset.measures.back().formula, [](Index finding) { return finding; }, [](Index) { return Rational(3); });
}

std::string ends(const std::string& measures) {
  const auto range = range_of(formula(measures), std::vector<Range<Rational>>{{-2, 3}, {1, 4}});
  return range.low.get_str() + " to " + range.high.get_str();
}

}  // namespace

TEST_CASE("the ends of sums, products, squares, quotients, the least and the most are those that the inputs allow") {
  CHECK(ends("Measure wanted is x + 2 * y.") == "0 to 11");
  CHECK(ends("Measure wanted is x - y.") == "-6 to 2");
  CHECK(ends("Measure wanted is x * y.") == "-8 to 12");
  CHECK(ends("Measure wanted is x * x.") == "0 to 9");
  CHECK(ends("Measure wanted is x / y.") == "-2 to 3");
  CHECK(ends("Measure wanted is least of x, y.") == "-2 to 3");
  CHECK(ends("Measure wanted is most of x, y, 2.") == "2 to 4");
  CHECK(ends("Measure wanted is 1 - (x - 2).") == "0 to 5");
  CHECK(ends("Measure wanted is points * y.") == "3 to 12");
}

TEST_CASE("a measure of a measure is written out") {
  CHECK(ends("Measure half is x / 2. Measure wanted is half + half.") == "-2 to 3");
  CHECK(value_of(formula("Measure half is x / 2. Measure wanted is half * y."), {Rational(1, 3), Rational(3)}) == Rational(1, 2));
}

TEST_CASE("the quick ends hold the exact ones, and a number that floating point holds stays as it is") {
  const Formula f = formula("Measure wanted is (x + 0.1) * y / (y + 0.7).");
  const auto exact = range_of(f, std::vector<Range<Rational>>{{Rational(1, 3), Rational(2, 3)}, {1, 2}});
  const auto quick = range_of(f, std::vector<Range<double>>{{around(Rational(1, 3)).low, around(Rational(2, 3)).high}, {1, 2}});
  CHECK(Rational(quick.low) <= exact.low);
  CHECK(exact.high <= Rational(quick.high));
  CHECK(quick.high - exact.high.get_d() < 1e-12);
  CHECK(around(Rational(1, 4)).low == 0.25);
  CHECK(around(Rational(1, 4)).high == 0.25);
  CHECK(Rational(around(Rational(1, 3)).low) < Rational(1, 3));
  CHECK(Rational(around(Rational(1, 3)).high) > Rational(1, 3));
}

TEST_CASE("numbers too large for floating point leave the quick ends open, not wrong") {
  const Formula f = formula("Measure wanted is x * x * x * x.");
  Rational huge("1" + std::string(200, '0'));
  const auto quick = range_of(f, std::vector<Range<double>>{{around(-huge).low, around(huge).high}, {1, 1}});
  CHECK(quick.low == -INFINITY);
  CHECK(quick.high == INFINITY);
}
