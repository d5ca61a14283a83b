// runtime/change.h: the smallest change of what is told that would change a verdict.
//
//   Changes changes(pack, answers);
//   changes.of(practice);    // nothing where its verdict is open, or nothing that is told could change it
//
// The change with the fewest findings; of several as few, the one whose findings were declared first. A change is answers that
// are told otherwise, and, of a person of whom not everything is told, those that must be told as well; with it the verdict is
// settled, and another (whether it is with care does not count). It is the shortest way through the practice's decision graph,
// where an answer told otherwise costs one. Words are the first declared that will do; a number is near the one that was told.
//
// Where a measure binds findings together, the steps of those that are told otherwise are gone through; where these are more
// than some thousands, or none, a handful of numbers each: then a smaller change may be missed, but one that is given is true. Where
// measures are asked for, none is given once all that may be worked out is spent (Reach::most_work, for all practices together).
//
// Ownership pack and answers are borrowed; they outlive this. For one thread at a time.
// Cost      O(ways of the practice's graph · findings changed); bound findings once for all practices.
// Source    shortest ways in a directed graph without circles.
// Tested by tests/property/change_test.cpp, tests/unit/asking_test.cpp
#pragma once

#include <map>

#include "runtime/reach.h"

namespace betony::runtime {

struct Change {
  std::vector<std::pair<Index, Value>> findings;   // ascending
  Verdict verdict = Verdict::silent;               // with it
};

class Changes {
 public:
  Changes(const Pack& pack, const Answers& answers, Index reading = 0) : pack_(pack), reading_(reading), reach_(pack, answers, left_) {}
  std::optional<Change> of(Index practice);

 private:
  using Question = DecisionGraph::Question;
  using Told = std::vector<std::pair<Index, Value>>;
  // How a person may come to a cell of a question.
  struct Step {
    std::vector<Index> otherwise;   // findings told otherwise, ascending
    Told told;                      // these, and those that are told for the first time
  };
  using Steps = std::vector<std::optional<Step>>;   // of each cell; nothing where it cannot be come to
  class Way;

  Steps steps(const Question& question);
  std::optional<Step> plain_step(const Question& question, Index cell) const;
  Steps bound_steps(const Question& question);
  void go_through(const Question& question, const std::vector<Index>& free, Steps& out, std::size_t& missing);
  bool spend(std::size_t work);
  const std::vector<Number>& numbers_around(Index finding, std::size_t most);
  std::optional<Verdict> verdict_with(const DecisionGraph& graph, const Told& change);
  void leave_out_needless(const DecisionGraph& graph, Change& change);

  const Pack& pack_;
  const Index reading_;
  std::size_t left_ = Reach::most_work;
  const Reach reach_;
  std::map<std::pair<std::vector<Index>, std::vector<Index>>, Steps> bound_;   // by the parts and runs of a question
  std::map<std::pair<Index, std::size_t>, std::vector<Number>> numbers_;       // of a finding, so many
};

}  // namespace betony::runtime
