// compiler/check/choice.h: choices, looked at in two ways: by graphs (choice.cpp), or, where the sentences are boxes and
// many, as a table (choice_table.cpp). Both tell what they find through `ChoiceTelling`. Only these two include it.
#pragma once

#include <functional>

#include "compiler/check/checks.h"

namespace betony {

// Sentences that give different values to one person, as pairs; a sentence may clash with itself.
using ClashingPairs = std::vector<std::pair<Index, Index>>;

class ChoiceTelling {
 public:
  static constexpr std::size_t most_pairs = 200;  // told with their sentences; of more the number

  ChoiceTelling(Study& study, Index choice) : study_(study), index_(choice), choice_(study.ruleset.choices[choice]) {}

  // Adds share, region in words and witness to a problem.
  using Show = std::function<void(Problem&)>;
  // `pairs`: the first of `count`, which are all that there are, or were counted before it was left off.
  void clash(const ClashingPairs& pairs, std::uint64_t count, bool all, Reading reading, const std::string& school, const Show& show);
  void empty(Reading reading, const std::string& school, const Show& show);

 private:
  Problem begin(const char* kind, Severity severity, const std::string& school) const;
  void replay(Problem& problem, Reading reading) const;

  Study& study_;
  Index index_;
  const Choice& choice_;
};

// False, with nothing found and nothing noted, if the choice is no table: its sentences are no boxes, some refuse, schools
// are to be read apart, or the Otherwise gives several values.
// Throws BudgetMet.
bool check_choice_as_table(Study& study, Index choice, SentenceFacts& facts);

}  // namespace betony
