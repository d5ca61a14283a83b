#include "compiler/measure_cells.h"

#include "compiler/witness.h"
#include "tests/support.h"

using namespace betony;
using namespace betony::testing;

namespace {

const std::string start = "Ruleset \"T\", edition \"1\".\n";
const std::string persons = start +
                            "Finding weight is a number of kg from 30 to 200. Finding height is a number of m from 1.2 to 2.2.\n"
                            "Measure build is weight / (height * height) in kg/m2.\n";
const std::string square = start + "Finding x is a number from 0 to 2. Finding y is a number from 0 to 2.\n";

std::string number(const Rational& x) { return number_words(x); }

// The cells of the only variable of several dimensions: "weight [30 90) build [18.5 25): 1/4" each; the share as it is
// known, "no fraction" or "doubtful" where numbers do not show it.
std::vector<std::string> cells(const std::string& source) {
  const Ruleset ruleset = ruleset_of(source);
  const Universe universe = cut(ruleset);
  std::vector<std::string> lines;
  for (const Variable& variable : universe.variables) {
    if (variable.dimensions.size() < 2) continue;
    for (const Cell& cell : variable.cells) {
      std::string line;
      for (std::size_t d = 0; d < variable.dimensions.size(); ++d) {
        const Dimension& dimension = variable.dimensions[d];
        if (dimension.extents.size() == 1) continue;
        const Extent& extent = dimension.extents[cell.at[d]];
        line += (line.empty() ? "" : " ") + (dimension.is_measure ? ruleset.measures[dimension.index].name : ruleset.findings[dimension.index].name);
        if (extent.kind == Extent::Kind::word) line += " " + ruleset.findings[dimension.index].values[extent.word];
        else line += std::string(extent.numbers.low_in ? " [" : " (") + number(*extent.numbers.low) + " " + number(*extent.numbers.high) + (extent.numbers.high_in ? "]" : ")");
      }
      line += ": " + (cell.slack == 0 ? number(cell.share) : "from " + number(cell.share));
      if (cell.shown == Cell::Shown::no_fraction) line += ", no fraction";
      if (cell.shown == Cell::Shown::doubtful) line += ", doubtful";
      lines.push_back(line);
    }
  }
  return lines;
}

std::vector<std::string> told_of(const std::string& source) { return told(report_of(source)); }

const Problem& only(const Report& report, const std::string& kind) {
  const Problem* found = nullptr;
  for (const Problem& p : report.problems)
    if (p.kind == kind) found = &p;
  REQUIRE(found);
  return *found;
}

using Lines = std::vector<std::string>;

}  // namespace

TEST_CASE("sums and differences with weights give exactly the combinations that occur, with exact shares") {
  const std::string source = start + "Finding a is a number from 0 to 10. Finding b is a number from 0 to 10.\n"
                             "Measure plus is a + b. Measure minus is a - b.\n"
                             "Practice p. Indicated in plus over 10 and minus at least 2.";
  CHECK(cells(source) == Lines{"plus [0 10] minus [-10 2): 0.34", "plus [0 10] minus [2 10]: 0.16", "plus (10 20] minus [-10 2): 0.34",
                               "plus (10 20] minus [2 10]: 0.16"});
  CHECK(cells(start + "Finding a is a number from 0 to 10. Finding b is a number from 0 to 10.\n"
              "Measure plus is a + b. Practice p. Indicated in plus over 10 and a under 2.") ==
        Lines{"a [0 2) plus [0 10]: 0.18", "a [0 2) plus (10 20]: 0.02", "a [2 10] plus [0 10]: 0.32", "a [2 10] plus (10 20]: 0.48"});
}

TEST_CASE("what can only be met at one point is a cell of its own, with that point") {
  const std::string source = start + "Finding a is a number from 0 to 10. Finding b is a number from 0 to 10.\n"
                             "Measure plus is a + b. Practice p. Indicated in plus at least 20. Otherwise allowed.";
  CHECK(cells(source) == Lines{"plus [0 20): 1", "plus [20 20]: 0"});
  const Report never = report_of(source + " Contraindicated in a under 10.");
  CHECK(never.settled());
  CHECK(told(never) == Lines{});
  const Report meets = report_of(source + " Contraindicated in b at least 10.");
  CHECK(told(meets) == Lines{"error contradiction/swallowed of p"});
  REQUIRE(only(meets, "contradiction").witness);
  CHECK((*only(meets, "contradiction").witness)[0]->number == 10);
}

TEST_CASE("body mass index against weight: only what goes together is a cell, and what has flat sides has an exact share") {
  const Ruleset ruleset = ruleset_of(persons + "Practice p. Indicated in build under 18.5 and weight at least 89.54 kg.");
  const Universe universe = cut(ruleset);
  REQUIRE(universe.variables.size() == 1);
  const Variable& variable = universe.variables[0];
  REQUIRE(variable.cells.size() == 3);  // none at 89.54 kg and more that is under 18.5
  CHECK(variable.is_decided());
  CHECK(variable.cells[2].share == Rational(5523, 8500));
  CHECK(variable.cells[2].slack == 0);
  CHECK(variable.cells[0].slack > 0);
  CHECK(variable.cells[0].slack * 50 < variable.cells[0].share);
  CHECK(variable.cells[0].slack == variable.cells[1].slack);
}

TEST_CASE("thresholds that no body can meet together are told as never applying, a gram further they are not") {
  // 18.5 * 2.2 * 2.2 is 89.54.
  CHECK(told_of(persons + "Practice p. Indicated in build under 18.5 and weight at least 89.54 kg. Otherwise allowed.") ==
        Lines{"error never-applies of p"});
  CHECK(told_of(persons + "Practice p. Indicated in build at most 18.5 and weight at least 89.54 kg. Otherwise allowed.") == Lines{});
  CHECK(told_of(persons + "Practice p. Indicated in build under 18.5 and weight at least 89.539 kg. Otherwise allowed.") == Lines{});
  const Report tall = report_of(persons + "Practice p. Indicated in build under 18.5. Contraindicated in weight under 89.54 kg. Otherwise allowed.");
  CHECK(tall.settled());
  CHECK(told(tall) == Lines{"error contradiction/swallowed of p"});
}

TEST_CASE("an index met exactly has numbers that show it and no width") {
  const Report report = report_of(persons + "Practice p. Indicated in build is 25. Contraindicated in weight is 100 kg. Otherwise allowed.");
  CHECK(report.settled());
  const Problem& p = only(report, "contradiction");
  REQUIRE(p.witness);
  CHECK((*p.witness)[0]->number == 100);
  CHECK((*p.witness)[1]->number == 2);
  CHECK(p.share.exact);
  CHECK(p.share.low == 0);
}

TEST_CASE("a share that is no fraction lies between two near ends, and whole and rest are one") {
  const Report report = report_of(persons + "Practice p. Indicated in build under 18.5. Contraindicated in height at least 2 m. Otherwise allowed.");
  const Problem& p = only(report, "contradiction");
  CHECK(p.form == "crossing");
  CHECK_FALSE(p.share.exact);
  // The weight under 18.5 h² over 170 kg, averaged over heights from 2 to 2.2 m of 1.2 to 2.2.
  const Rational share = (Rational(37, 2) * Rational(331, 125) / 3 - 6) / 170;
  CHECK(p.share.low < share);
  CHECK(share < p.share.high);
  CHECK((p.share.high - p.share.low) * 50 < share);
}

TEST_CASE("numbers that meet only where they are no fractions are told without a person, and still settled") {
  const Report report = report_of(square + "Measure twice is x * x. Practice p. Indicated in twice is 2. Contraindicated in twice is 2. Otherwise allowed.");
  CHECK(report.settled());
  CHECK(told(report) == Lines{"error contradiction/head-on of p"});
  CHECK_FALSE(only(report, "contradiction").witness);
  CHECK(only(report, "contradiction").no_fraction);
  const Ruleset ruleset = ruleset_of(square + "Measure twice is x * x. Practice p. Indicated in twice is 2.");
  const Universe universe = cut(ruleset);
  const Variable& variable = universe.variables[universe.of_measure[0]];
  REQUIRE(variable.cells.size() == 3);
  CHECK(variable.cells[1].shown == Cell::Shown::no_fraction);
  CHECK(variable.cells[1].share == 0);
  CHECK(variable.cells[1].slack == 0);
  // The root of 2 is half of its square in 2: the share squared is 1/2.
  CHECK(variable.cells[0].share * variable.cells[0].share < Rational(1, 2));
  const Rational most = variable.cells[0].share + variable.cells[0].slack;
  CHECK(most * most > Rational(1, 2));
}

TEST_CASE("a divisor that begins just above nothing is kept to") {
  const std::string ratio = start + "Finding a is a number from 0 to 1. Finding b is a number from 0.001 to 1.\nMeasure ratio is a / b.\n";
  CHECK(told_of(ratio + "Practice p. Indicated in ratio over 1000. Otherwise allowed.") == Lines{"error never-applies of p"});
  CHECK(told_of(ratio + "Practice p. Indicated in ratio at least 1000. Otherwise allowed.") == Lines{});
  CHECK(told_of(ratio + "Practice p. Indicated in ratio over 2 and a under 0.002. Otherwise allowed.") == Lines{"error never-applies of p"});
  CHECK(told_of(ratio + "Practice p. Indicated in ratio over 2 and a at most 0.0021. Otherwise allowed.") == Lines{});
}

TEST_CASE("points of a tally in a measure go with what they count") {
  const std::string sum = start + "Finding a is a number from 0 to 10. Finding chill is yes or no. Finding cough is yes or no.\n"
                          "Tally signs counts chill as 3, and cough as 1, and a over 5 as 2. Measure burden is a + 2 * signs.\n";
  CHECK(told_of(sum + "Practice p. Indicated in burden over 14 and not chill. Otherwise allowed.") == Lines{});
  CHECK(told_of(sum + "Practice p. Indicated in burden over 16 and not chill. Otherwise allowed.") == Lines{"error never-applies of p"});
  CHECK(told_of(sum + "Practice p. Indicated in burden over 10 and not chill and a at most 5. Otherwise allowed.") == Lines{"error never-applies of p"});
}

TEST_CASE("inputs in steps beside one without are taken number by number, so that shares stay exact") {
  const Report report = report_of(start + "Finding weight is a number of kg from 30 to 200. Finding height is a number of m from 1 to 2 in steps of 0.5.\n"
                                  "Measure build is weight / (height * height) in kg/m2.\n"
                                  "Practice p. Indicated in build at least 40. Contraindicated in height is 2 m. Otherwise allowed.");
  const Problem& p = only(report, "contradiction");
  CHECK(p.share.exact);
  CHECK(p.share.low == Rational(4, 51));  // 160 to 200 of 170 kg, one height of three
}

TEST_CASE("steps too many to count are looked at as regions") {
  const std::string wide = start + "Finding a is a whole number from 0 to 100000. Finding b is a whole number from 0 to 100000.\nMeasure plus is 3 * a + 2 * b.\n";
  const Report report = report_of(wide + "Practice p. Indicated in plus under 6. Contraindicated in a at least 2. Otherwise allowed.");
  CHECK(report.settled());
  CHECK(told(report) == Lines{});
  CHECK(told_of(wide + "Practice p. Indicated in plus at most 6. Contraindicated in a at least 2. Otherwise allowed.") == Lines{"question contradiction/crossing of p"});
}

TEST_CASE("a budget that is met leaves measures apart or cells in doubt, and says so") {
  const Ruleset ruleset = ruleset_of(persons + "Practice p. Indicated in build at least 25. Contraindicated in weight under 60 kg. Otherwise allowed.");
  const cutting::AllCuts cuts(ruleset, Scoping(ruleset).everything().scope());
  const auto bindings = cutting::bindings_of(ruleset, cuts);
  REQUIRE(bindings.size() == 1);
  cutting::MeasureBudget budget;
  budget.boxes = 1;
  CHECK_FALSE(cutting::measured_variable(ruleset, bindings[0], cuts, budget));
  budget = {};
  budget.cells = 1;
  CHECK_FALSE(cutting::measured_variable(ruleset, bindings[0], cuts, budget));
  budget = {};
  budget.effort = budget.flat_steps = budget.questions = 0;
  const auto doubtful = cutting::measured_variable(ruleset, bindings[0], cuts, budget);
  REQUIRE(doubtful);
  CHECK_FALSE(doubtful->is_decided());
  budget.doubtful = 0;
  CHECK_FALSE(cutting::measured_variable(ruleset, bindings[0], cuts, budget));
}
