// runtime/reach.h: how far a person of whom not everything is told may still go in decision graphs.
//
//   const Reach reach(pack, answers);
//   reach.verdicts(graph);           // bit c: the leaf c can be reached
//
// Of a question that stands for one variable the cells are those that the variable's run meets. Of several that a measure binds
// together, of which some findings are told, the steps of the others are gone through, and the cells are those that are met.
// Where these are more than `most_steps`, or go in no steps, a cell is left out where interval arithmetic says that its findings
// cannot make its measure; what is left may then be more than what can really come (`is_exact`). So it is where all that may be
// worked out for bound findings, `most_work`, is spent: that keeps short what a hostile pack can cost.
//
// Ownership pack, graphs, answers and what is left to be worked out are borrowed; they outlive this. For one thread at a time.
// Cost      making: as cells_of. A walk: O(nodes that can be reached and their ways), once some microseconds a step of bound findings.
// Tested by tests/property/open_test.cpp, tests/unit/asking_test.cpp
#pragma once

#include <map>

#include "runtime/inputs.h"

namespace betony::runtime {

class Reach {
 public:
  static constexpr std::size_t most_work = 4'000'000;   // as cells_of counts it

  Reach(const Pack& pack, const Answers& answers) : Reach(pack, answers, own_left_) {}
  // `left` may be worked out, and what is becomes less; several may share it.
  Reach(const Pack& pack, const Answers& answers, std::size_t& left)
      : pack_(pack), answers_(answers), left_(left), possible_(possible_cells(pack, answers)) {}
  Reach(const Reach&) = delete;
  Reach& operator=(const Reach&) = delete;

  const Pack& pack() const { return pack_; }
  const Answers& answers() const { return answers_; }
  const std::vector<Run>& cells() const { return possible_.cells; }   // of each variable of the pack
  bool anybody() const { return possible_.anybody; }                  // false: nobody is as was told; a background fact stands against it

  // Of each cell of the question whether it is still possible.
  std::vector<bool> cells(const DecisionGraph::Question& question) const;
  // Whether these are exactly those that are.
  bool is_exact(const DecisionGraph& graph) const;

  std::uint32_t verdicts(const DecisionGraph& graph) const;   // but for `nobody`

 private:
  using Question = DecisionGraph::Question;
  using Meetings = std::vector<std::vector<Index>>;           // cells of each part that go together, each once
  static constexpr std::size_t most_steps = 4096;

  bool overlaps(const Question& question, Index cell) const;
  bool spend(std::size_t work) const;
  bool is_half_told(const Question& question) const;
  const std::optional<Meetings>& met(const Question& question) const;
  std::optional<Meetings> go_through(const Question& question) const;
  bool can_be(const Question& question, Index cell) const;

  const Pack& pack_;
  const Answers& answers_;
  std::size_t own_left_ = most_work;
  std::size_t& left_;
  const PossibleCells possible_;
  mutable std::map<std::vector<Index>, std::optional<Meetings>> met_;   // by the parts of a question
};

// A graph as one person may still go through it.
struct OpenGraph {
  OpenGraph(const Reach& reach, const DecisionGraph& graph);

  const DecisionGraph* graph = nullptr;
  std::vector<std::vector<bool>> allowed;   // of each question that a reached node asks, of each cell
  std::vector<char> reached;                // of each node
  std::uint32_t verdicts = 0;               // the leaves that can be reached, but for `nobody`

  bool is_settled() const { return (verdicts & (verdicts - 1)) == 0; }
  bool asks(Index question) const { return !allowed[question].empty(); }
};

// The findings that a question still asks for: those of its parts, and of its measures, of which nothing is told; ascending.
std::vector<Index> open_findings(const Reach& reach, const DecisionGraph::Question& question);

// The numbers of a finding that its cells from first to last hold, none of them `never`; where it goes in steps both are on one.
Bounds numbers_of(const Pack& pack, const Variable& variable, const Run& run);

}  // namespace betony::runtime
