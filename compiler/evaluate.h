// compiler/evaluate.h: the meaning of a ruleset for one complete profile, word for word as LANGUAGE.md
// tells it. Slow and plain: it is what witnesses are replayed with. Nothing here knows of graphs.
#pragma once

#include "compiler/ruleset.h"

namespace betony {

// Which sentences are looked at: those of one school and those that cite no school's source; or all.
struct Reading {
  Index school = no_index;
};
bool in_reading(const Ruleset&, const Sentence&, Reading);

struct PracticeVerdict {
  tree::Verdict verdict = tree::Verdict::silent;
  bool with_care = false;            // only with advised and allowed
  std::vector<std::string> cautions; // texts of firing cautions, each once
  std::vector<Index> because;        // sentences that made it
  std::vector<Index> defeated;       // firing sentences that lost: bans named in `despite`, indications under a ban
};

struct ChoiceResult {
  std::vector<Index> fits;           // ascending; after `highest prevails` one
};

struct Weighing {
  bool outside = false;
  std::vector<Index> refers;         // firing Refer sentences
  std::vector<PracticeVerdict> practices;
  std::vector<ChoiceResult> choices;
};

// `profile` is complete and in range, else std::invalid_argument. Cost: O(size of the ruleset).
Weighing evaluate(const Ruleset&, const Profile& profile, Reading = {});
// One practice of it. Cost: O(findings, red flags and the practice's own sentences).
PracticeVerdict evaluate_practice(const Ruleset&, Index practice, const Profile& profile, Reading = {});

// Whether the background allows the profile; if not, the index of the first fact it breaks.
std::optional<Index> broken_background(const Ruleset&, const Profile& profile);

// The value of a condition, a measure, a tally on a complete profile. Conditions with verdicts need `weighing`.
bool holds(const Ruleset&, const Cond&, const Profile&, const Weighing* weighing = nullptr, Reading = {});
Rational measure_value(const Ruleset&, Index measure, const Profile&);
Rational tally_value(const Ruleset&, Index tally, const Profile&);
Index leading_value(const Ruleset&, Index leading, const Profile&);
ChoiceResult choice_result(const Ruleset&, Index choice, const Profile&, Reading = {});
bool fires(const Ruleset&, const Sentence&, const Profile&, Reading = {});

}  // namespace betony
