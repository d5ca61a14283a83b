// compiler/measure_cells.h: findings and measures that are too many to count point by point: which combinations
// of their extents occur, numbers that show each, and its share.
//
// Every combination of the inputs' extents is a box, looked at from the cheap to the dear:
//   1. the ends of every measure over the box: most boxes lie between two thresholds as a whole;
//   2. where all thresholds are flat (measure_simplex.h), all of it exactly; inputs in steps are first taken one
//      number at a time while that is `grid` combinations at the most (weight / height² is flat for each height);
//   3. else the box is halved, and halved again, the biggest undecided piece first. A piece that lies in one
//      combination as a whole counts for it; the rest is what the shares may be more: they are between two ends.
//      This goes on until every share is known to a hundredth of itself or `pieces` are spent;
//   4. what still might occur but was not met is looked for along lines through the undecided pieces, on which
//      many measures are flat, and last asked of Z3 (measure_solver.h), measure by measure, so that what does not
//      occur together is not asked again with others besides.
// A threshold that a measure without `least of` or `most of` meets exactly has no width: its share is 0.
//
// What Z3 cannot decide stays as a cell that is `doubtful`; if there are too many boxes, cells or doubts the
// measures stand apart (universe.h).
// Tested by tests/unit/measure_cells_test.cpp, tests/property/measures_test.cpp
#pragma once

#include "compiler/universe_internal.h"

namespace betony::cutting {

struct MeasureBudget {
  std::size_t boxes = 1 << 14;
  std::size_t cells = 1 << 14;        // a graph asks about all of them at once
  std::size_t grid = 1 << 12;         // numbers of stepped inputs taken one by one, in all boxes together
  std::size_t flat_steps = 1 << 18;   // a measure reckoned at a corner of a simplex
  std::size_t pieces = 1 << 14;       // for the shares
  std::size_t pieces_a_box = 48;      // before its share is looked at
  std::size_t effort = 1 << 22;       // operations of the formulas over pieces; an exact one counts for sixteen
  std::size_t questions = 60;         // to Z3
  std::size_t unsettled = 2;          // questions: what Z3 could not tell so often, it is not asked further
  std::size_t doubtful = 256;         // cells
};

// Nothing where the budget was met so that nothing can be said, or where a measure rests on more than findings.
std::optional<Variable> measured_variable(const Ruleset& ruleset, const Binding& binding, const AllCuts& cuts,
                                          const MeasureBudget& budget = {});

}  // namespace betony::cutting
