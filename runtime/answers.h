// runtime/answers.h: what is told of one person, finding by finding, as people write it.
//
// Answers are values in the findings' own units. Text is read as the language writes it: "yes", "mild", "34.5", "154 lb",
// "1 November", "06:30", "never"; names and words without regard to capitals of the Latin alphabet and to how much
// white space stands between their words.
//
// Errors    What cannot be taken is told in words, and changes nothing. A number is taken if it can be told again as it is kept: in the unit
//           of its finding it is written in no more letters than Number::longest_text.
// Cost      to set: O(length of the text + units of the finding); to find a name: O(1).
// Tested by tests/unit/weigh_test.cpp
#pragma once

#include <string_view>
#include <unordered_map>

#include "runtime/pack.h"

namespace betony::runtime {

// Small letters, single spaces, none at the ends.
std::string folded(std::string_view text);

// The names of a pack, made once; borrowed by all that look them up.
class Names {
 public:
  explicit Names(const Pack& pack);
  Index finding(std::string_view name) const { return find(findings_, name); }    // no_index: there is none
  Index practice(std::string_view name) const { return find(practices_, name); }
  Index choice(std::string_view name) const { return find(choices_, name); }
  Index reading(std::string_view school) const { return find(readings_, school); }  // "" is the whole
  // The finding that is nearest in its letters, or no_index: for "did you mean".
  Index near_finding(std::string_view name) const;

 private:
  using Map = std::unordered_map<std::string, Index>;
  static Index find(const Map& map, std::string_view name);
  Map findings_, practices_, choices_, readings_;
};

// "no finding is called "feever"; did you mean "fever"?"
std::string no_such_finding(const Pack& pack, const Names& names, std::string_view name);

// A number with its unit, or without: "154 lb". Nothing where it is none.
struct Amount {
  Number number;
  std::string_view unit;   // a piece of the text, or empty
};
std::optional<Amount> amount_of(std::string_view text);

// Why the finding cannot be told in this unit ("min", "min ago"); empty where it can.
std::string wrong_unit(const Pack& pack, Index finding, std::string_view unit);

// A value of the finding, or in `wrong` why it is none.
struct ValueReading {
  std::optional<Value> value;
  std::string wrong;
};
ValueReading value_of_text(const Pack& pack, Index finding, std::string_view text, std::string_view unit = {});
ValueReading value_of_number(const Pack& pack, Index finding, const Number& number, std::string_view unit = {});
// The same whether it is possible: in range, on a step.
std::string why_impossible(const Finding& finding, const Value& value);

// As a practitioner writes it: "34 years", "mild", "1 November", "06:30", "never".
std::string value_words(const Finding& finding, const Value& value);

using Answers = std::vector<std::optional<Value>>;  // by finding

}  // namespace betony::runtime
