// compiler/partial.h: what is certain of somebody of whom not everything is known, by plain tables of
// three values: an unanswered finding makes a test uncertain, and "fever or not fever" stays uncertain
// though it always holds. Good enough to say that a sample profile breaks a background fact.
#pragma once

#include <optional>
#include <unordered_map>

#include "compiler/evaluator.h"

namespace betony {

// Borrows both; each name is worked out once. Conditions must not ask for verdicts.
class Partial {
 public:
  Partial(const Ruleset& ruleset, const Profile& profile);

  std::optional<bool> holds(const Cond& condition);  // nothing: uncertain

 private:
  using Maybe = std::optional<bool>;

  Maybe counted(const Cond& condition, std::size_t least);
  Maybe term(Index index);
  Maybe test(const Test& test);
  bool answered(const Formula& formula) const;
  bool certain_tally(Index tally);
  bool certain_choice(Index choice);

  const Ruleset& ruleset_;
  const Profile& profile_;
  Profile filled_;  // unanswered findings get any value they can have
  Evaluator evaluator_;
  std::unordered_map<Index, Maybe> terms_;
  std::unordered_map<Index, bool> choices_, tallies_;
};

}  // namespace betony
