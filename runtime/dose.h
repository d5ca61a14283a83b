// runtime/dose.h: the dose of a practice for one person, and doses in words.
//
// The amount (in each dimension that some sentence names), how often, how long and the words are settled one by one: by the firing
// sentences with a condition, or, where there are none, by those without, the nearest first. What they leave in common
// holds; nothing in common is a clash. The least factor that fires then multiplies the amounts; words add up.
//
// Source    LANGUAGE.md, "The dose".
// Tested by tests/unit/weigh_test.cpp, tests/property/pack_test.cpp
#pragma once

#include <functional>

#include "runtime/pack.h"
#include "runtime/truth.h"

namespace betony::runtime {

struct SettledDose {
  struct Part {
    Range range;                     // in base units, amounts already multiplied; of a clash: empty
    bool clash = false;
    Index dimension = 0;             // of an amount
    std::string unit;                // of an amount, as the first sentence writes it
    Number scale = 1, zero;          // and what it is in base units: scale * (x + zero)
    std::vector<Index> from;         // sentences that settled it
  };
  std::vector<Part> amounts;         // one a dimension
  std::optional<Part> often, length;
  std::vector<std::string> words;    // each once
  bool open = false;                 // a sentence that may yet fire would change it: nothing above is settled
  bool empty() const { return amounts.empty() && !often && !length && words.empty(); }
};

// `fires` tells of each sentence whether it fires, no of those that are not heard.
SettledDose settle_dose(const Pack& pack, const Practice& practice, const std::function<Truth(Index)>& fires);

// As a practitioner writes it: "5 to 10 min", "at most 2 bowls"; "twice a day", "at most 3 times a wk"; "for 5 d".
std::string amount_words(const Range& range, const Number& scale, const Number& zero, const std::string& unit);
std::string often_words(const Range& range);
std::string length_words(const Range& range);
// All of a dose: "5 to 10 min, twice a day, for 5 d, \"until the brow is damp\""; a part that clashes says so. Empty where it is open.
std::string dose_words(const SettledDose& dose);

}  // namespace betony::runtime
