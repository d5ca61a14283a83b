// compiler/meaning.h: what a ruleset says, as conditions: when a sentence fires, a ban is live, a practice
// gets a verdict, a value of a choice fits. Everything the checks ask is put together from these.
//
// Each function is computed once and kept. `Reading` picks one school or the whole (evaluate.h).
// Source: LANGUAGE.md, "The verdict", "Choices".
// Tested by tests/unit/space_test.cpp and, against an enumeration of profiles, tests/property.
#pragma once

#include <map>
#include <optional>
#include <tuple>

#include "compiler/condition.h"
#include "compiler/evaluate.h"

namespace betony {

// "are allowed with care" is written once and stands as two sentences, an Allowed (or Indicated) and behind it
// a caution without a text: whether `sentence` is the caution of two such.
bool is_companion(const Ruleset& ruleset, Index sentence);
// Whether a book without `without` lacks `sentence`: the same, or its companion.
inline bool left_out(const Ruleset& ruleset, Index sentence, Index without) {
  return sentence == without || (without != no_index && sentence == without + 1 && is_companion(ruleset, sentence));
}

class Meaning {
 public:
  // Both borrowed; they outlive this.
  Meaning(const Ruleset& ruleset, const Universe& universe);

  const Ruleset& ruleset() const { return ruleset_; }
  const Universe& universe() const { return universe_; }
  Conditions& conditions() { return conditions_; }

  Form condition(const Cond& condition, Reading reading);
  Form fires(Index sentence, Reading reading);       // whatever the reading holds; `Otherwise` fires always
  // A ban that fires and that no firing sentence of the practice defeats (as if `without` were not in the book).
  Form live(Index practice, Index ban, Reading reading, Index without = no_index);

  // The sentences of a kind that speak of the practice in this reading.
  std::vector<Index> sentences(Index practice, Sentence::Kind kind, Reading reading) const;
  // The sentence whose `Otherwise` speaks for the practice: its own, else its group's, else everybody's.
  std::optional<Index> otherwise(Index practice, Reading reading, Index without = no_index) const;

  // Whether the practice has the verdict: withheld to silent as seen on R, where nobody is outside or referred.
  Form verdict(Index practice, tree::Verdict verdict, Reading reading, Index without = no_index);
  Form with_care(Index practice, Reading reading, Index without = no_index);  // the mark: only on advised and allowed

  Form takes(Index choice, Index value, Reading reading);  // what fits, after `highest prevails`
  Form nothing_fits(Index choice, Reading reading);

  Form background();                                 // every background fact is kept
  Form applies();
  Form refers(Reading reading, Index without = no_index);

 private:
  const std::vector<Index>& defeaters(Index practice, Index ban);
  Form test(const Test& test, Reading reading);
  Form verdict_test(const Test& test, Reading reading);
  Form leading(Index leading, Index value, Reading reading);
  const std::vector<Form>& fitting(Index choice, Reading reading);
  std::vector<std::pair<Form, Rational>> items(Index tally, const Rational& factor, Reading reading);

  const Ruleset& ruleset_;
  const Universe& universe_;
  Conditions conditions_;
  std::map<Index, std::map<Index, std::vector<Index>>> defeaters_;           // {practice, ban}
  std::map<std::pair<Index, Index>, Form> fires_, terms_, refers_;           // {index, school}
  std::map<std::pair<Index, Index>, std::vector<Form>> fitting_;     // {choice, school}
  std::map<std::tuple<Index, int, Index>, Form> verdicts_;                   // {practice, verdict, school}
};

}  // namespace betony
