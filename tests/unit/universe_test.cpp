#include "compiler/universe.h"

#include "tests/support.h"

using namespace betony;
using namespace betony::testing;

namespace {

std::string cuts(const std::string& finding, const std::string& conditions) {
  const Ruleset ruleset = ruleset_of("Ruleset \"T\", edition \"1\". Finding x is " + finding + ".\nPractice p. " + conditions);
  return print(cut(ruleset));
}

}  // namespace

TEST_CASE("whole numbers are cut where a threshold tells them apart, and nowhere else") {
  CHECK(cuts("a whole number from 0 to 110", "Indicated in x under 60. Allowed in x at most 59. Discouraged in x over 60.") ==
        "variable 0\n  finding x: [0 59] [60 60] [61 110]\n  shares: 20/37 1/111 50/111\n");
  CHECK(cuts("a whole number from 0 to 9", "Indicated in x over 12. Allowed in x at least 0.") ==
        "variable 0\n  finding x: [0 9]\n  shares: 1\n");
}

TEST_CASE("numbers without steps keep open and closed ends apart") {
  CHECK(cuts("a number from 0 to 10", "Indicated in x under 4. Allowed in x over 4.") ==
        "variable 0\n  finding x: [0 4) [4 4] (4 10]\n  shares: 2/5 0 3/5\n");
}

TEST_CASE("numbers that differ past their sixteenth digit are told apart") {
  const std::string large = "1000000000000000000";  // 10^18: doubles here are 128 apart
  const Ruleset ruleset = ruleset_of("Ruleset \"T\", edition \"1\". Finding x is a whole number from 0 to 2000000000000000000.\n"
                                     "Practice p. Indicated in x under " + large + ". Allowed in x is " + large + ". Discouraged in x from 1000000000000000002 to 1000000000000000003.");
  const Universe universe = cut(ruleset);
  REQUIRE(universe.variables[0].cells.size() == 5);
  const auto cells = [&](Index sentence) { return universe.cells_where(ruleset.sentences[sentence].when.test); };
  CHECK(cells(0) == std::vector<bool>{true, false, false, false, false});
  CHECK(cells(1) == std::vector<bool>{false, true, false, false, false});
  CHECK(cells(2) == std::vector<bool>{false, false, false, true, false});
}

TEST_CASE("steps that lie between thresholds fall together") {
  CHECK(cuts("a number from 0 to 1 in steps of 0.25", "Indicated in x under 0.3. Allowed in x at most 0.4. Discouraged in x is 0.5.") ==
        "variable 0\n  finding x: [0 0.25] [0.5 0.5] [0.75 1]\n  shares: 2/5 1/5 2/5\n");
}

TEST_CASE("never is a value of its own and takes half of its finding") {
  CHECK(cuts("a number of h ago from 0 to 10, or never", "Indicated in x under 1 h ago. Allowed in x is never.") ==
        "variable 0\n  finding x: [0 1) [1 10] never\n  shares: 1/20 9/20 1/2\n");
}

TEST_CASE("dates and times of day that wrap are cut at both ends") {
  CHECK(cuts("yes or no", "Indicated in date from 1 November to 30 April. Contraindicated in time of day from 22:00 to 05:59.") ==
        "variable 0\n  finding x: no yes\n  shares: 1/2 1/2\n"
        "variable 1\n  finding date: [0 120] [121 304] [305 365]\n  shares: 121/366 92/183 1/6\n"
        "variable 2\n  finding time of day: [0 359] [360 1319] [1320 1439]\n  shares: 1/4 2/3 1/12\n");
}

TEST_CASE("a measure over steps is counted point by point with its inputs") {
  const Ruleset ruleset = ruleset_of(
      "Ruleset \"T\", edition \"1\". Finding a is a whole number from 1 to 3. Finding b is a whole number from 1 to 3.\n"
      "Measure product is a * b. Practice p. Indicated in product over 3. Allowed in a is 2.");
  const Universe universe = cut(ruleset);
  REQUIRE(universe.variables.size() == 1);
  const Variable& variable = universe.variables[0];
  CHECK(variable.exact);
  Rational over = 0, total = 0;
  const std::vector<bool> where = universe.cells_where([&] {
    Test test;
    test.subject = Test::Subject::measure;
    test.intervals = {Interval{Rational(3), std::nullopt, false, true}};
    return test;
  }());
  for (std::size_t c = 0; c < variable.cells.size(); ++c) {
    total += variable.cells[c].share;
    if (where[c]) over += variable.cells[c].share;
  }
  CHECK(total == 1);
  CHECK(over == Rational(4, 9));  // 4, 6, 6, 9 of nine products
}

TEST_CASE("a measure whose inputs have no steps is bound with them too, in the parts that its thresholds cut") {
  const Ruleset ruleset = ruleset_of(
      "Ruleset \"T\", edition \"1\". Finding a is a number from 1 to 2. Finding b is a number from 1 to 4.\n"
      "Measure ratio is a / b. Practice p. Indicated in ratio under 1. Otherwise allowed.");
  const Universe universe = cut(ruleset);
  CHECK(print(universe) == "variable 0\n  finding a: [1 2]\n  finding b: [1 4]\n  measure ratio: [0.25 1) [1 2]\n");
  REQUIRE(universe.variables[0].cells.size() == 2);
  CHECK(universe.variables[0].cells[1].share == Rational(1, 6));  // half of one in three
}

TEST_CASE("a measure that counts what is no finding stands apart and knows only its range") {
  const Ruleset ruleset = ruleset_of(
      "Ruleset \"T\", edition \"1\". Finding a is a number from 1 to 2. Choice oil is one of seal, nut. Take seal in a under 1.5. Otherwise nut.\n"
      "Tally points counts oil is seal as 2. Measure burden is a + points. Practice p. Indicated in burden over 3. Otherwise allowed.");
  const Universe universe = cut(ruleset);
  CHECK(print(universe) ==
        "variable 0\n  finding a: [1 1.5) [1.5 2]\n  shares: 1/2 1/2\nvariable 1, apart from its inputs\n  measure burden: [1 3] (3 4]\n");
  CHECK_FALSE(universe.variables[1].is_decided());
}
