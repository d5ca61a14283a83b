// runtime/inputs.h: from what is told of a person to the inputs of a pack's program.
//
// Of every variable there is a run of cells in which it can still lie: one cell where it is told, all of them where it is
// open. A measure of which some findings are open lies between what interval arithmetic allows (each finding within its
// range, whatever its steps); a tally within a measure asks for conditions, which may ask for other measures, so
// what can be worked out is worked out again until nothing is added.
//
// Cost      O(variables · log thresholds) and the measures' formulas; with tallies in formulas as often as there are measures. Who works
//           it out often, for a pack of unknown origin, adds up what it takes in `work`: about one for a step of a formula with short
//           numbers, more for one with long ones.
// Source    interval arithmetic: Moore, Interval Analysis, 1966.
// Tested by tests/unit/weigh_test.cpp, tests/property/open_test.cpp
#pragma once

#include "runtime/answers.h"
#include "runtime/truth.h"

namespace betony::runtime {

// Cells of a variable, from first to last.
struct Run {
  Index first = 0, last = 0;
  bool is_told() const { return first == last; }
  bool operator==(const Run&) const = default;
};

std::vector<Run> cells_of(const Pack& pack, const Answers& answers, std::size_t* work = nullptr);   // of each variable
// The same, less those that the background facts leave nobody in, as far as that follows from one fact after another; all of them where
// it follows that nobody at all is as was told.
struct PossibleCells {
  std::vector<Run> cells;
  bool anybody = true;
};
PossibleCells possible_cells(const Pack& pack, const Answers& answers);
std::vector<Truth> inputs_of(const Pack& pack, const std::vector<Run>& cells);
inline std::vector<Truth> inputs_of(const Pack& pack, const Answers& answers) { return inputs_of(pack, cells_of(pack, answers)); }

// The cell of a number, or of a finding's value.
Index cell_of(const Variable& variable, const Number& number);
Index cell_of(const Variable& variable, const Value& value);

// The measures, where they can be worked out; a division by 0 gives none.
std::vector<std::optional<Number>> measures_of(const Pack& pack, const Answers& answers, std::size_t* work = nullptr);

// The numbers between which each measure lies where each finding lies between two of its own; nothing where there is no
// telling. Findings that a formula asks for have their bounds; those of the others do not matter.
struct Bounds {
  Number low, high;
  bool is_number = true;    // low alone, which is exact
};
using MeasureBounds = std::vector<std::optional<Bounds>>;
MeasureBounds bounds_of(const Pack& pack, const std::vector<std::optional<Bounds>>& findings, std::size_t* work = nullptr);

// What a step with such a number takes.
std::size_t work_with(const Number& number);

}  // namespace betony::runtime
