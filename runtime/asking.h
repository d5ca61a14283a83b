// runtime/asking.h: the graphs that are still open of one person, and two ways of choosing among the questions that they ask.
//
// Inside the runtime; question.h says what for.
#pragma once

#include "runtime/reach.h"

namespace betony::runtime {

struct OpenPractice {
  OpenPractice(const Reach& reach, Index practice, OpenGraph graph);
  bool asks_for(Index finding) const;

  Index practice = no_index;     // no_index: the red flags
  OpenGraph graph;
  std::vector<std::vector<Index>> findings;   // of each question that is asked, those that it still asks for, ascending
  std::vector<Index> all_findings;            // of all of them, ascending
};

// What is left to ask of a person: graphs that are not settled yet.
struct Agenda {
  std::vector<OpenPractice> graphs;
  bool flags_first = false;      // the first graph is that of the red flags, and is to be settled before the others
};

struct Asked {
  Index finding = no_index;      // no_index: none was chosen
  std::optional<double> further;
};

// The best first question of all orders of asking for what is known; none where they are too many, or a measure binds what is asked.
Asked best_of_all_orders(const Reach& reach, const Agenda& agenda, const std::vector<Index>& not_known);

// Of `candidates` (ascending) the one that leaves the graphs least mixed.
Asked least_mixed(const Reach& reach, const Agenda& agenda, const std::vector<Index>& candidates);

// Whether an answer to the finding may still decide between `withheld` and something else.
bool may_withhold(const Agenda& agenda, Index finding);

}  // namespace betony::runtime
