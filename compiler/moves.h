// compiler/moves.h: where a person comes to by more of one finding alone.
//
// A variable of one finding is easy: every later cell is more. Where a measure binds several findings (weight /
// height²), more of the one moves the measure along, and not every cell can be reached from every other: which can
// is counted point by point, as the cells themselves were (universe.h). Of numbers without steps, and of more than
// `Universe::most_points` points, it is not known here.
//
// Cost      of bound findings O(points · measures · cells met by one row of points).
// Tested by tests/unit/trend_check_test.cpp, tests/property
#pragma once

#include <map>
#include <optional>

#include "compiler/graph.h"
#include "compiler/universe.h"

namespace betony {

struct Moves {
  // Two persons who show a move: the answers of all findings of the variable, in its order; the second has another `moved`.
  struct Shown {
    std::vector<Value> first;
    Value second;
  };
  std::map<std::pair<Index, Index>, Shown> pairs;  // {from, to}, of cells that are not the same
};

// Of a variable that binds several findings. Nothing where that is not known. Steps are spent on the account of `graph`.
std::optional<Moves> moves_of(const Ruleset& ruleset, const Variable& variable, Index finding, Graph& graph);

}  // namespace betony
