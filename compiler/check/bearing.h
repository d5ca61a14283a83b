// compiler/check/bearing.h: for whom it matters whether one sentence of a practice fires.
//
// A sentence bears on a person where the book would tell this person something else if the sentence fired
// than if it did not, all other sentences being as they are. So a sentence matters if it bears on someone for
// whom it fires; and a change of its condition matters if it bears on someone for whom it then fires and did
// not, or the other way round.
//
// A ban bears on those for whom no graver ban and no other of its kind is live, and the rest of the book
// would say something else; and so on down the ladder of verdicts. With all others at each step from unions
// (all_but_one.h) this costs one pass, not one a sentence. Only a sentence with `despite`, and two written as
// one ("are allowed with care"), are put in and taken out in earnest.
// Tested by tests/property, which puts every sentence in and out on every profile.
#pragma once

#include "compiler/check/all_but_one.h"
#include "compiler/check/checks.h"

namespace betony {

class Bearing {
 public:
  using Node = Graph::Node;
  Bearing(Study& study, PracticeStudy& practice, Reading reading);

  // Those of `within` (a condition of the practice's space) on whom the sentence bears: an Indicated, Allowed,
  // Discouraged, Contraindicated, Caution or Dose of this reading. A Dose must have a condition. Only for those
  // who are looked at.
  Node of(Index sentence, Node within);
  // Where leaves of a stage of the voices differ from `code`; the care of an Otherwise counts only where no caution gives it anyway.
  Node differs(Node stage, VerdictCode code);

 private:
  struct Place {
    const std::vector<Voices::Voice>* kind;
    std::size_t at;
  };

  void find(const std::vector<Voices::Voice>& voices);
  Node without_others(const Place& place, Node within);
  Node ladder(Index sentence, const Place& place, Node within);
  Node caution(Index sentence, const Place& place, Node within);
  Node in_earnest(Index sentence);
  Node undefeated(Index ban, Node within);

  Study& study_;
  PracticeStudy& practice_;
  Reading reading_;
  Space& space_;
  Graph& graph_;
  const Voices& v_;
  Node looked_at_;
  std::map<Index, Place> places_;
  std::map<const std::vector<Voices::Voice>*, AllButOne> speak_;
  std::map<std::string, std::vector<Voices::Voice>> by_text_;
  std::map<Index, Node> in_earnest_;
  std::map<Index, std::vector<Index>> defeaters_;  // of a ban: those that name it in `despite`
  std::map<Sentence::Kind, Node> changed_;
  std::optional<Node> shown_, marked_;
};

}  // namespace betony
