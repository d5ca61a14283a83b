// tests/property/doses.h: what is settled of a dose for one person, part by part.
#pragma once

#include <map>
#include <set>

#include "tests/property/verdicts.h"

namespace betony::referee {

// The parts: the amounts of each kind of unit, how often, how long; and the words.
constexpr int part_often = dose_kinds, part_length = dose_kinds + 1, part_words = dose_kinds + 2, dose_parts = dose_kinds + 3;

// The ends of a part in base units: minutes, bowls, grams; times a day; days. Nothing: the dose does not speak of it.
std::optional<Range> ends_of(const Dose& dose, int part);
bool speaks_of_part(const Dose& dose, int part);
bool says_an_amount(const Dose& dose);
bool same_dose(const Dose& a, const Dose& b);
Range scaled(const Range& range, const Fraction& by);
bool nothing_in_common(const Range& a, const Range& b);
bool has_condition(const Sentence& sentence);
int distance(const Sentence& sentence);  // from its practice: own sentences 0, those of a named group 1, everybody's 2

struct Settled {
  std::map<int, Range> parts;         // what the sentences that count leave in common; where they clash, low is over high
  std::optional<Fraction> factor;     // the least; only where there is an amount
  std::set<std::string> words;
  friend bool operator==(const Settled&, const Settled&) = default;
};

// The Dose sentences of the practice that count for a part: those that fire and have a condition; none: those without
// one that stand nearest.
std::vector<int> counting(const Model&, const Judge&, const Table&, int practice, int part, std::size_t profile, int without = nothing);
Settled settled(const Model&, const Judge&, const Table&, int practice, std::size_t profile, int without = nothing);
bool takes_it(const Table&, int practice, std::size_t profile);  // it is advised or allowed

}  // namespace betony::referee
