// grammar/nearness.h: what somebody may have meant by a word that nobody declared.
#pragma once

#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "grammar/names.h"

namespace betony {

// The end of the words that an unknown name at `at` seems to have.
std::size_t phrase_end(std::string_view text, std::size_t at);

// The nearest of a few words, if one is near enough to be a slip of the pen.
std::optional<std::string> nearest(std::string_view phrase, const std::vector<std::string>& words);

// The nearest name of these kinds. Cost O(names): for messages only.
struct NearName {
  const Entry* entry = nullptr;
  std::string key;  // the name that is near, which may be one of its other names
};
std::optional<NearName> nearest(std::string_view phrase, const Names& names, unsigned kinds);

}  // namespace betony
