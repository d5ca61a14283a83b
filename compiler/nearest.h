// compiler/nearest.h: what somebody may have meant who wrote a word that is not known.
#pragma once

#include <optional>
#include <string>
#include <string_view>
#include <vector>

namespace betony {

// The candidate that needs fewest changes of a letter, the first of equals; none where more than a
// third of the word (at most 3 letters) would have to change. Cost: O(length) a candidate.
std::optional<std::string> nearest(std::string_view word, const std::vector<std::string>& candidates);

}  // namespace betony
