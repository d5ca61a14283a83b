// compiler/universe.h: the elementary values of every finding: what a ruleset, or a part of it, can tell apart.
//
// A number finding is cut exactly at the thresholds the scope (scope.h) uses; between two cuts nothing in
// it can tell one number from another, so one extent stands for all of them. "under 60" and "at
// most 60" cut on the two sides of 60; where a finding goes in steps, cuts that no value lies between
// fall together. `never` is an extent of its own. Dates and times of day are whole numbers cut the
// same way; a range that wraps has two cuts like any other.
//
// A variable is what a decision graph asks about: one finding, or, where a measure binds several
// findings (weight / (height * height)), those findings together, with exactly the combinations of
// extents that occur, each with numbers that show it and with its share. Findings in steps with at most
// `Universe::most_points` points are counted point by point; others are looked at as regions (measure_cells.h):
// the combinations are exact all the same, the shares where all thresholds are flat (sums, ratios against a
// number), and lie between two near ends elsewhere. Where even that is too much, and where a measure counts what
// is no finding, it becomes a variable of its own (`exact` is false) that knows only the range its inputs allow.
//
// Cost      O(tests · log tests), the points of bound findings, and for regions what MeasureBudget allows.
// Tested by tests/unit/universe_test.cpp
#pragma once

#include <cstdint>
#include <string>
#include <vector>

#include "compiler/scope.h"

namespace betony {

// One elementary value along one dimension.
struct Extent {
  enum class Kind { word, numbers, never };
  Kind kind = Kind::word;
  Index word = 0;           // word
  Interval numbers;         // numbers: both ends given; ends of a stepped finding are values it can have
  Rational share;           // of the finding, without regard to any background; 0 for a single point of an unstepped finding
  Rational sample;          // numbers: a value a person would name
};

// A number with its last digits gone: it never falls where numbers rise, so what differs by it is in order without more ado.
double near(const Rational& number);

// A finding or a measure, cut.
struct Dimension {
  bool is_measure = false;
  Index index = 0;          // into Ruleset::findings or Ruleset::measures
  std::vector<Extent> extents;  // in ascending order; words as declared; never last
  std::vector<double> near;     // of the extents that are numbers, near their samples; in a universe, else empty
  Index usual = 0;          // the extent that is cheapest to show: holds the usual value, else the first word or widest numbers
};

// The extent that holds the value; no_index if none does.
Index extent_of(const Dimension& dimension, const Value& value);

struct Cell {
  std::vector<Index> at;    // an extent of each dimension of the variable
  Rational share;           // of all values of the variable; the least it can be
  std::vector<Rational> numbers;  // bound variables: a value for each finding that together give `at`; empty unless shown by numbers
  Rational slack;           // by how much the share can be more; 0: it is exact
  // no_fraction: it occurs, but only at numbers that are no fractions (x * x is 2); doubtful: it is not known whether it occurs
  enum class Shown { numbers, no_fraction, doubtful } shown = Shown::numbers;
};

struct Variable {
  std::vector<Dimension> dimensions;  // one; several where a measure binds findings (findings first, then measures)
  std::vector<Cell> cells;            // where exact the shares are those of parts of one whole: with their slack they can be 1 together
  Index usual = 0;                    // cell
  bool exact = true;                  // false: a measure apart from its inputs; cells' shares are then unknown (0)
  std::size_t unusual(Index cell) const;  // how many of its answers are not the usual ones there; a measure apart counts as one
  bool is_decided() const;            // every cell is known to occur
};

struct Universe {
  static constexpr std::size_t most_points = std::size_t{1} << 22;

  const Ruleset* ruleset = nullptr;       // borrowed; outlives this
  std::vector<Variable> variables;        // in the order of the first finding of each
  std::vector<Index> of_finding;          // variable of each finding; no_index outside the scope
  std::vector<Index> dimension_of_finding;
  std::vector<Index> of_measure;          // variable of each measure that a condition asks for, else no_index
  std::vector<Index> dimension_of_measure;
  std::vector<std::vector<Index>> inputs_of_measure;  // findings, ascending

  // The cells of `variable` where the test holds; one flag a cell. For findings and measures only.
  std::vector<bool> cells_where(const Test& test) const;
  // The cell of a single-finding variable that holds the value; no_index if none does.
  Index cell_of(Index finding, const Value& value) const;
};

// Where the test, one of this dimension of a universe, holds: first and last of runs of extents, in no order to rely on; they may touch.
std::vector<std::pair<Index, Index>> extents_where(const Dimension& dimension, const Test& test);

// The findings that measures bind, counted once for the whole ruleset, with every threshold that it asks of them.
class BoundFindings {
 public:
  explicit BoundFindings(const Ruleset& ruleset);
  // As if no measure bound its findings: each measure is then a variable of its own, for whoever has its value.
  static BoundFindings none(const Ruleset& ruleset);
  struct Together {
    std::vector<Index> findings;        // ascending
    Variable variable;
  };
  // Those bound with the measure; none if nothing asks for it, or if its points are too many to count.
  const Together* of(Index measure) const { return of_measure_[measure] == no_index ? nullptr : &all_[of_measure_[measure]]; }
  // The findings a measure that is asked for is made of, ascending.
  const std::vector<Index>& inputs(Index measure) const { return inputs_[measure]; }

 private:
  BoundFindings() = default;
  std::vector<Together> all_;
  std::vector<Index> of_measure_;
  std::vector<std::vector<Index>> inputs_;
};

// A threshold of a finding: just before a number, or just after it.
struct Threshold {
  Index finding;
  Rational at;
  bool after = false;
};

// Cut at the thresholds that the scope asks for and at `further` ones, and at no others; bound findings as they are.
Universe cut(const Ruleset& ruleset, const Scope& scope, const BoundFindings& bound, const std::vector<Threshold>& further = {});
Universe cut(const Ruleset& ruleset);     // of everything

std::string print(const Universe& universe);

}  // namespace betony
