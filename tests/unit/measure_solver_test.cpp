#include "compiler/measure_solver.h"

#include "tests/support.h"

using namespace betony;
using namespace betony::cutting;
using namespace betony::testing;

namespace {

using Answer = MeasureSolver::Answer;

struct Asked {
  std::string measure;
  Interval interval;
};

Interval exactly(const Rational& x) { return {x, x, true, true}; }
Interval over(const Rational& x) { return {x, std::nullopt, false, true}; }
Interval under(const Rational& x) { return {std::nullopt, x, true, false}; }
Interval at_least(const Rational& x) { return {x, std::nullopt, true, true}; }

// Asks of formulas over x and y, whose declared ranges do not matter but that neither is 0.
MeasureSolver::Result ask(const Sides& sides, const std::vector<Asked>& asked) {
  std::string text = "Ruleset \"T\", edition \"1\". Finding x is a number from 1 to 1000. Finding y is a number from 1 to 1000.\n";
  for (std::size_t m = 0; m < asked.size(); ++m) text += "Measure m" + std::to_string(m) + " is " + asked[m].measure + ".\n";
  const Ruleset ruleset = ruleset_of(text + "Practice p. Indicated in m0 over 1.");
  std::vector<Formula> formulas;
  for (const Measure& m : ruleset.measures) formulas.push_back(plain(ruleset, m.formula, [](Index f) { return f; }, [](Index) { return Rational(0); }));
  std::vector<Wanted> wanted;
  for (std::size_t m = 0; m < asked.size(); ++m) wanted.push_back({&formulas[m], asked[m].interval});
  MeasureSolver solver;
  const auto result = solver.ask(sides, wanted);
  if (result.answer == Answer::found) {
    REQUIRE(result.numbers.size() == sides.size());
    for (std::size_t i = 0; i < sides.size(); ++i) CHECK(sides[i].contains(result.numbers[i]));
    for (const Wanted& each : wanted) CHECK(each.interval.contains(value_of(*each.formula, result.numbers)));
  }
  return result;
}

const Side from_one{1, 10};

}  // namespace

TEST_CASE("numbers that can meet are found, exactly, and those that cannot are ruled out") {
  CHECK(ask({from_one, from_one}, {{"x / (y * y)", exactly(Rational(5, 2))}, {"x", over(9)}}).answer == Answer::found);
  CHECK(ask({from_one, from_one}, {{"x * y", over(100)}}).answer == Answer::nobody);
  CHECK(ask({from_one, from_one}, {{"x * y", at_least(100)}}).answer == Answer::found);
  CHECK(ask({{1, 10, true, false}, from_one}, {{"x * y", at_least(100)}}).answer == Answer::nobody);
  CHECK(ask({from_one, from_one}, {{"x * x + y * y", under(Rational(201, 100))}, {"x - y", over(Rational(1, 100))}}).answer == Answer::nobody);
}

TEST_CASE("numbers that meet only where they are no fractions are told as that") {
  CHECK(ask({from_one, {1, 1}}, {{"x * x", exactly(2)}}).answer == Answer::no_fraction);
  CHECK(ask({from_one, {1, 1}}, {{"x * x", exactly(4)}}).answer == Answer::found);
}

TEST_CASE("a curve that has fractions on it gives one, though its first point is none") {
  const auto result = ask({from_one, from_one}, {{"x * x + y * y", exactly(5)}});
  CHECK(result.answer == Answer::found);  // 1 and 2
}

TEST_CASE("open ground between two roots gives numbers of few digits") {
  const auto result = ask({from_one, {1, 1}}, {{"x * x", over(2)}, {"x * x * x", under(4)}});
  REQUIRE(result.answer == Answer::found);
  CHECK(result.numbers[0].get_den() <= 1000);
}

TEST_CASE("steps are kept to, and the least and the most and a divisor below nothing are reckoned") {
  CHECK(ask({{1, 3, true, true, Rational(1, 2)}, {1, 1}}, {{"x", over(Rational(3, 2))}, {"x", under(2)}}).answer == Answer::nobody);
  CHECK(ask({{1, 3, true, true, Rational(1, 2)}, {1, 1}}, {{"x", over(Rational(3, 2))}, {"x", under(Rational(5, 2))}}).answer == Answer::found);
  CHECK(ask({from_one, from_one}, {{"most of x, y", under(3)}, {"least of x, y", over(3)}}).answer == Answer::nobody);
  CHECK(ask({from_one, from_one}, {{"most of x, y", over(3)}, {"least of x, y", under(3)}}).answer == Answer::found);
  CHECK(ask({from_one, from_one}, {{"x / (0 - y)", under(-9)}}).answer == Answer::found);
  CHECK(ask({from_one, from_one}, {{"x / (0 - y)", under(-10)}}).answer == Answer::nobody);
  CHECK(ask({from_one, from_one}, {{"1 / (1 / x + 1 / y)", over(5)}}).answer == Answer::nobody);
}

TEST_CASE("powers past the bound are not asked") {
  std::string power = "x";
  for (unsigned i = 1; i <= MeasureSolver::most_power; ++i) power += " * x";
  CHECK(ask({from_one, {1, 1}}, {{power, exactly(2)}}).answer == Answer::not_settled);
}
