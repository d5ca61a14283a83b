// compiler/region.h: a region in words: a short cover of wide boxes, each told as the language tells a
// condition ("age from 18 to 74 years, skin is not broken, and fever").
//
// A box is widened as far as it stays in the region or leaves those who are looked at. The widest way
// through the graph is taken first, widened finding by finding, cut away, and so on, up to `most_boxes`.
// Tested by tests/unit/space_test.cpp
#pragma once

#include "compiler/space.h"

namespace betony {

constexpr std::size_t most_boxes = 4;

struct RegionWords {
  std::vector<std::string> boxes;       // "every person" where the box is everybody
  bool complete = true;                 // false: there is more than these boxes
};

// `region` lies inside `whole`; it is not empty.
RegionWords region_words(Space& space, Graph::Node region, Graph::Node whole);

// The words for some of the extents of a dimension: "age under 18 years", "skin is sound or chapped". As a condition of the
// language the name is said again where two limits are told, else "effort at least 50 % and under 90 %".
std::string extents_words(const Ruleset& ruleset, const Dimension& dimension, const std::vector<bool>& extents, bool as_condition = false);

// The same as answers to a question about it, each run one: "under 18 years", "over 60 years"; "sound or chapped"; "yes".
std::vector<std::string> extents_answers(const Ruleset& ruleset, const Dimension& dimension, const std::vector<bool>& extents);

// The words for some of the cells of a variable, as a condition of the language (but for "others like these", where it is too many-sided).
std::string cells_words(const Ruleset& ruleset, const Variable& variable, const std::vector<bool>& cells);

// What a person answers, as a witness tells it: "cold hands", "not fever", "skin broken", "age 40" (years are what an age is told in anyway).
std::string answer_words(const Finding& finding, const Value& value);

}  // namespace betony
