// compiler/view/crossing_view.h: where sentences of one practice meet, finding by finding.
//
// For every finding that one of them asks for: which of its values each sentence speaks for, and which all of them together, among
// the persons who are looked at (possible, meant, no red flag). A value counts where somebody has it.
//
// Errors     BudgetMet (graph.h).
// Tested by  tests/unit/crossing_view_test.cpp
#pragma once

#include "compiler/compiler.h"
#include "compiler/evaluate.h"
#include "compiler/universe.h"

namespace betony::view {

struct CrossingView {
  struct Scale {
    Dimension dimension;                        // its extents, in order
    std::string name, unit;
    std::vector<std::vector<bool>> spoken;      // of each sentence: extents
    std::vector<bool> both;                     // where all of them speak
    std::string both_words;                     // "18 to 74"
    std::optional<Value> witness;
  };
  std::vector<Index> sentences;                 // typed; those of the first side of a pair come first
  std::vector<bool> second;                     // of each: it stands on the other side of its pair
  std::vector<Scale> scales;                    // in the order of declaration
  std::vector<std::string> others;              // findings of the practice that none of them asks for
};

// The problem is one of these of the ruleset's report, has at least two sentences of the practice, and a practice.
CrossingView crossing_view(const Ruleset& ruleset, const Problem& problem, const Budget& budget = {});
// Whether it can be shown so.
bool is_crossing(const Ruleset& ruleset, const Problem& problem);

}  // namespace betony::view
