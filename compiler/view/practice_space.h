// compiler/view/practice_space.h: one practice among all facts, ready for looking at: its universe, who is possible, and a space for graphs.
//
//   PracticeSpace here(ruleset, practice, reading, budget);
//   here.space.of(here.meaning.fires(sentence, reading));
//
// What is drawn of a practice is looked at among all possible persons, so that shares are of everybody.
//
// Ownership  the ruleset is borrowed and outlives this; the universe is shared, since views keep it.
// Errors     BudgetMet (graph.h).
// Tested by  the views that are made with it
#pragma once

#include <functional>
#include <unordered_map>

#include "compiler/compiler.h"
#include "compiler/space.h"
#include "compiler/universe.h"

namespace betony::view {

class PracticeSpace {
 public:
  using Node = Graph::Node;
  using Asked = std::function<std::vector<Form>(Meaning&)>;
  // `asked`: the conditions that are looked at, beside the background, `Applies to` and the red flags.
  PracticeSpace(const Ruleset& ruleset, Index practice, Reading reading, const Budget& budget, const Asked& asked);
  // All that the practice's sentences ask.
  PracticeSpace(const Ruleset& ruleset, Index practice, Reading reading, const Budget& budget = {});
  PracticeSpace(const PracticeSpace&) = delete;

  const Ruleset& ruleset;
  const Index practice;
  const Reading reading;
  const BoundFindings bound;
  const Scope scope;
  const std::shared_ptr<const Universe> universe;
  Meaning meaning;

 private:
  const People people_;
  Account account_;
  std::vector<std::vector<double>> weights_;
  std::unordered_map<Node, double> shares_;

 public:
  Space space;

  // The level that asks about a variable of the universe; none where nothing that is looked at does.
  std::optional<Index> level_of(Index variable) const;
  // Whose value of one dimension of a level lies in this extent.
  Node in_extent(Index level, Index dimension, Index extent);
  const std::vector<double>& weights(Index level) const { return weights_[level]; }  // near, of its cells
  // The share of everybody, near; without regard to the background.
  double share(Node condition);
};

}  // namespace betony::view
