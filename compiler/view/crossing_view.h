// compiler/view/crossing_view.h: where sentences of one practice meet, finding by finding.
//
// For every finding that one of them asks for: which of its values each sentence speaks for, and which a pair of them together, among
// the persons who are looked at (possible, meant, no red flag). A value counts where somebody has it.
//
// Of more than `most_sentences` one pair is shown, that on which the problem's witness stands. Of findings at most `most_scales` are shown, and of
// those by which no sentence alone is told from another (they are counted, or one of several) only as many as leave `most_telling` in all.
//
// Errors     BudgetMet (graph.h).
// Tested by  tests/drawing/crossing_test.cpp, against the evaluator
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
    std::vector<bool> both;                     // where two that meet speak
    std::string both_words;                     // "18 to 74"
    std::optional<Value> witness;
  };
  std::vector<Index> sentences;                 // typed; those of the first side of a pair come first
  std::vector<bool> second;                     // of each: it stands on the other side of its pair
  std::vector<Scale> scales;                    // in the order of declaration
  std::vector<std::string> others;              // findings of the practice that none of them asks for
  std::vector<std::string> no_room;             // findings and measures that they ask for, and that are not shown
  std::size_t pairs_left_out = 0;
  static constexpr std::size_t most_sentences = 8, most_scales = 16, most_telling = 8;
};

// The problem is one of the ruleset's report, and `is_crossing`.
CrossingView crossing_view(const Ruleset& ruleset, const Problem& problem, const Budget& budget = {});
// Whether it can be shown so: a problem of sentences of one practice that speak of the same persons. Silence is none.
bool is_crossing(const Ruleset& ruleset, const Problem& problem);

}  // namespace betony::view
