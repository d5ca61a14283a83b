// compiler/dose.h: the dose of a practice: who says what of it, and what is left for one person.
//
// A dose has parts: an amount in each dimension that some sentence names (minutes, bowls), how often, how
// long; and words. A part is settled by the firing sentences with a condition, or, where there are none, by
// those without (a practice's own, else its named groups', else everybody's): what they leave in common
// holds, and nothing in common is a clash. The least factor that fires then multiplies the amounts.
// Source    LANGUAGE.md, "The dose".
// Tested by tests/unit/dose_test.cpp; tests/property compares it on every profile.
#pragma once

#include "compiler/evaluate.h"

namespace betony {

// Intervals of amounts, rates and lengths: their ends belong to them.
Interval common(const Interval& a, const Interval& b);
bool empty(const Interval& interval);
bool same(const Interval& a, const Interval& b);

struct DosePart {
  Dose::Part what = Dose::Part::amount;
  Unit unit;                        // of an amount: that of the first sentence
  std::string unit_text;
  std::vector<Index> conditional;   // sentences with a condition that name this part
  std::vector<Index> plain;         // those without one, of the nearest rank
};

// Everything that is said of the dose of one practice in one reading, as if `without` were not in the book.
struct DoseSentences {
  std::vector<DosePart> parts;
  std::vector<Index> factors;
  DosePart words;                   // `what` and `unit` mean nothing
};
DoseSentences dose_sentences(const Ruleset&, Index practice, Reading, Index without = no_index);

// What a sentence says of a part, in base units; it must name it.
const Interval& said(const Ruleset&, Index sentence, Dose::Part part);

// The dose of one person. Numbers are in base units, amounts already multiplied.
struct SettledDose {
  struct Part {
    Interval interval;              // of a clash: empty
    bool clash = false;
    std::vector<Index> from;        // sentences that settled it
    Unit unit;                      // of an amount
    std::string unit_text;
  };
  std::vector<Part> amounts;        // one a dimension that is settled here
  std::optional<Part> often, length;
  std::vector<std::string> words;   // each once
  Rational factor = 1;
  std::vector<Index> factored_by;   // sentences with the least factor
};
SettledDose settle_dose(const Ruleset&, Index practice, const Profile& profile, Reading = {});

// As a practitioner writes it: "5 to 10 min", "at most 2 bowls", "twice a day", "at most 3 times a wk", "for 5 d".
std::string amount_words(const Interval& interval, const Unit& unit, const std::string& unit_text);
// Of any part; `unit` and its text are of an amount.
std::string part_words(Dose::Part part, const Interval& interval, const Unit& unit, const std::string& unit_text);
std::string said_words(const Ruleset&, Index sentence, Dose::Part part);
// All that a Dose sentence says, equal for two that say the same.
std::string dose_words(const Ruleset&, Index sentence);

}  // namespace betony
