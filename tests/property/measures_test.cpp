// Measures over findings that are looked at as regions, against plain looking at many points.
//
// Over findings without steps: whatever combination a point of a fine grid shows must be among the cells, and every
// cell that is shown by numbers must show itself when these are reckoned with. Over findings in steps: the regions,
// with as few and as many numbers taken one by one as there are, against the count of every point.
#include <catch2/catch.hpp>
#include <map>

#include "compiler/evaluate.h"
#include "compiler/measure_cells.h"
#include "tests/property/dice.h"
#include "tests/support.h"

using namespace betony;
using namespace betony::cutting;
using betony::referee::Dice;
using betony::testing::ruleset_of;

namespace {

using Key = std::vector<Index>;

class Written {
 public:
  Written(Dice& dice, bool stepped) : dice_(dice) {
    inputs_ = dice.upto(2) == 0 ? 1 : 2 + dice.upto(2);
    text = "Ruleset \"T\", edition \"1\".\n";
    const int steps = stepped ? 3 + dice.upto(3) : 0;
    for (int i = 0; i < inputs_; ++i) {
      const int low = dice.upto(3) - 1, high = low + 2 + dice.upto(3);
      text += "Finding " + name(i) + " is a number from " + std::to_string(low) + " to " + std::to_string(high) +
              (stepped ? steps % 2 ? " in steps of 0.5" : " in steps of 0.25" : "") + ".\n";
    }
    text += "Finding chill is yes or no.\nTally points counts chill as 1, and not chill as 3.\n";
    measures_ = 1 + dice.upto(2);
    for (int m = 0; m < measures_; ++m) text += "Measure m" + std::to_string(m) + " is " + formula(2) + ".\n";
    text += "Practice p.\n";
    for (int m = 0; m < measures_; ++m)
      for (int t = 1 + dice.upto(3); t > 0; --t) condition("m" + std::to_string(m));
    for (int i = 0; i < inputs_; ++i)
      for (int t = dice.upto(3); t > 0; --t) condition(name(i));
  }
  std::string text;

 private:
  static std::string name(int i) { return std::string(1, static_cast<char>('a' + i)); }

  void condition(const std::string& subject) {
    static const char* const how[] = {" under ", " over ", " at least ", " at most ", " is "};
    text += "Indicated in " + subject + how[dice_.upto(5)] + std::to_string(dice_.upto(7) - 1) + (dice_.upto(3) ? "" : ".5") + ".\n";
  }

  std::string formula(int depth) {
    if (depth == 0 || dice_.upto(5) == 0) return dice_.upto(4) ? name(dice_.upto(inputs_)) : dice_.upto(4) ? std::to_string(1 + dice_.upto(3)) : "points";
    const std::string left = "(" + formula(depth - 1) + ")", right = "(" + formula(depth - 1) + ")";
    switch (dice_.upto(7)) {
      case 0: case 1: return left + " + " + right;
      case 2: return left + " - " + right;
      case 3: case 4: return left + " * " + right;
      case 5: return left + " / (" + name(dice_.upto(inputs_)) + " + " + std::to_string(2 + dice_.upto(2)) + ")";
      default: return (dice_.upto(2) ? "least of " : "most of ") + left + ", " + right;
    }
  }

  Dice& dice_;
  int inputs_ = 1, measures_ = 1;
};

// What a test of the regions looks at: one binding of a ruleset.
struct Bound {
  Ruleset ruleset;
  AllCuts cuts;
  std::vector<Binding> bindings;
  explicit Bound(const std::string& source) : ruleset(ruleset_of(source)), cuts(ruleset, Scoping(ruleset).everything().scope()), bindings(bindings_of(ruleset, cuts)) {}
};

Index extent_holding(const Dimension& dimension, const Rational& number) {
  for (Index e = 0; e < dimension.extents.size(); ++e)
    if (dimension.extents[e].kind == Extent::Kind::numbers && dimension.extents[e].numbers.contains(number)) return e;
  return no_index;
}

Index cut_holding(const Cuts& cuts, const Rational& number) {
  Index below = 0;
  for (const Cut& cut : cuts) below += cut.at < number || (cut.at == number && !cut.after);
  return below;
}

// The combination that numbers and answers for the variable's findings show, by the plain evaluator.
Key shown_by(const Bound& bound, const Variable& variable, const std::vector<Rational>& numbers, const std::map<Index, Index>& words) {
  Profile profile(bound.ruleset.findings.size());
  Key key;
  for (std::size_t d = 0; d < variable.dimensions.size(); ++d) {
    const Dimension& dimension = variable.dimensions[d];
    if (dimension.is_measure) {
      key.push_back(cut_holding(bound.cuts.measures[dimension.index], measure_value(bound.ruleset, dimension.index, profile)));
    } else if (const auto word = words.find(dimension.index); word != words.end()) {
      profile[dimension.index] = Value{Value::Kind::word, word->second, {}};
      key.push_back(word->second);
    } else {
      profile[dimension.index] = Value{Value::Kind::number, 0, numbers[d]};
      key.push_back(extent_holding(dimension, numbers[d]));
    }
  }
  return key;
}

std::map<Key, const Cell*> by_key(const Variable& variable) {
  std::map<Key, const Cell*> cells;
  for (const Cell& cell : variable.cells) cells[cell.at] = &cell;
  return cells;
}

std::string words_of(const Key& key) {
  std::string text;
  for (Index e : key) text += std::to_string(e) + " ";
  return text;
}

void every_cell_shows_itself(const Bound& bound, const Variable& variable) {
  Rational least = 0, most = 0;
  for (const Cell& cell : variable.cells) {
    least += cell.share;
    most += cell.share + cell.slack;
    if (cell.shown != Cell::Shown::numbers) continue;
    std::map<Index, Index> words;
    for (std::size_t d = 0; d < cell.numbers.size(); ++d)
      if (variable.dimensions[d].extents[0].kind == Extent::Kind::word) words[variable.dimensions[d].index] = cell.at[d];
    CHECK(words_of(shown_by(bound, variable, cell.numbers, words)) == words_of(cell.at));
  }
  CHECK(least <= 1);
  CHECK(most >= 1);
}

void every_point_is_in_a_cell(const Bound& bound, const Variable& variable, int pieces) {
  const auto cells = by_key(variable);
  std::vector<std::vector<Rational>> tries;
  std::size_t points = 1;
  for (const Dimension& dimension : variable.dimensions) {
    if (dimension.is_measure) continue;
    const Finding& finding = bound.ruleset.findings[dimension.index];
    tries.emplace_back();
    const int count = finding.kind == Finding::Kind::number ? pieces : 1;
    for (int i = 0; i <= count; ++i) tries.back().push_back(finding.kind == Finding::Kind::number ? Rational(finding.low + (finding.high - finding.low) * i / count) : Rational(i));
    points *= tries.back().size();
  }
  for (std::size_t p = 0; p < points; ++p) {
    std::vector<Rational> numbers;
    std::map<Index, Index> words;
    for (std::size_t d = 0, rest = p; d < tries.size(); rest /= tries[d].size(), ++d) {
      numbers.push_back(tries[d][rest % tries[d].size()]);
      const Index finding = variable.dimensions[d].index;
      if (bound.ruleset.findings[finding].kind != Finding::Kind::number) words[finding] = static_cast<Index>(numbers[d].get_num().get_ui());
    }
    const Key key = shown_by(bound, variable, numbers, words);
    if (!cells.count(key)) FAIL("no cell " << words_of(key) << "for point " << p);
  }
}

}  // namespace

TEST_CASE("regions over numbers without steps hold whatever a fine grid shows, and every cell shows itself") {
  Dice dice(20261126);
  int variables = 0, cells = 0, irrational = 0, doubtful = 0, exact = 0;
  for (int round = 0; round < 220; ++round) {
    const Written source(dice, false);
    INFO(source.text);
    const Bound bound(source.text);
    for (const Binding& binding : bound.bindings) {
      if (binding.inputs.valued.empty()) continue;
      const auto variable = measured_variable(bound.ruleset, binding, bound.cuts);
      REQUIRE(variable);
      every_cell_shows_itself(bound, *variable);
      every_point_is_in_a_cell(bound, *variable, binding.inputs.valued.size() > 2 ? 8 : 24);
      ++variables;
      for (const Cell& cell : variable->cells) {
        ++cells;
        irrational += cell.shown == Cell::Shown::no_fraction;
        doubtful += cell.shown == Cell::Shown::doubtful;
        exact += cell.slack == 0;
      }
    }
  }
  UNSCOPED_INFO(variables << " variables, " << cells << " cells, exact " << exact << ", at no fraction " << irrational << ", doubtful " << doubtful);
  CHECK(variables > 200);
  CHECK(cells > 1000);
  CHECK(irrational > 0);
  CHECK(doubtful * 100 <= cells);
}

TEST_CASE("regions over numbers in steps have the same cells as the count of every point, and shares that hold its shares") {
  Dice dice(1126);
  int cells = 0, doubtful = 0;
  for (int round = 0; round < 150; ++round) {
    const Written source(dice, true);
    INFO(source.text);
    const Bound bound(source.text);
    for (const Binding& binding : bound.bindings) {
      if (binding.inputs.valued.empty()) continue;
      REQUIRE(few_enough(bound.ruleset, binding, bound.cuts));
      const Variable counted = bound_variable(bound.ruleset, binding, bound.cuts);
      for (const std::size_t grid : {std::size_t{1} << 16, std::size_t{0}}) {  // one by one; as regions and whole numbers
        MeasureBudget budget;
        budget.grid = grid;
        if (grid == 0) budget.pieces = 64, budget.pieces_a_box = 8;
        INFO("grid " << grid);
        const auto variable = measured_variable(bound.ruleset, binding, bound.cuts, budget);
        REQUIRE(variable);
        every_cell_shows_itself(bound, *variable);
        const auto there = by_key(*variable), wanted = by_key(counted);
        for (const auto& [key, cell] : wanted) {
          if (!there.count(key)) FAIL("no cell " << words_of(key));
          const Cell& region = *there.at(key);
          ++cells;
          CHECK(region.share <= cell->share);
          CHECK(cell->share <= region.share + region.slack);
          if (grid > 0) CHECK(region.slack == 0);
        }
        for (const auto& [key, cell] : there) {
          doubtful += cell->shown == Cell::Shown::doubtful;
          if (cell->shown != Cell::Shown::doubtful && !wanted.count(key)) FAIL("a cell that no point shows: " << words_of(key));
        }
      }
    }
  }
  UNSCOPED_INFO(cells << " cells, doubtful " << doubtful);
  CHECK(cells > 1000);
  CHECK(doubtful * 20 <= cells);
}
