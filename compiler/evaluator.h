// compiler/evaluator.h: what one complete profile makes of everything in a ruleset that has a name; each is
// worked out once, when it is first asked for. evaluate.h is the public face; use this to ask much of one profile.
#pragma once

#include <unordered_map>

#include "compiler/evaluate.h"

namespace betony {

// Borrows all that it is given. Asked for verdicts without a weighing, throws std::invalid_argument.
class Evaluator {
 public:
  Evaluator(const Ruleset& ruleset, const Profile& profile, Reading reading, const Weighing* weighing = nullptr)
      : ruleset_(ruleset), profile_(profile), reading_(reading), weighing_(weighing) {}

  bool holds(const Cond& condition);
  bool fires(const Sentence& sentence);  // without regard to the reading
  bool fires(Index sentence);            // sentences outside the reading never fire
  Rational measure(Index index);
  Rational tally(Index index);
  // The tally ahead of every other by what is asked; one alone is ahead where it has points at all.
  Index leading(Index index);
  // Taken minus refused; if that is nothing, what is said otherwise, unless refused.
  const ChoiceResult& choice(Index index);
  bool accepts(const Test& test);

 private:
  std::size_t count(const Cond& condition);
  bool term(Index index);
  bool choice_accepts(const Test& test);
  bool verdict_accepts(const Test& test) const;
  Rational reckon(const Formula& formula);
  ChoiceResult work_out(const Choice& choice);

  const Ruleset& ruleset_;
  const Profile& profile_;
  Reading reading_;
  const Weighing* weighing_;
  std::unordered_map<Index, bool> terms_, fired_;
  std::unordered_map<Index, Rational> measures_, tallies_;
  std::unordered_map<Index, ChoiceResult> choices_;
};

}  // namespace betony
