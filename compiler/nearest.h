// compiler/nearest.h: what somebody may have meant who wrote a word that is not known.
#pragma once

#include <optional>
#include <string>
#include <string_view>
#include <vector>

namespace betony {

// Changes of one letter (put in, left out, replaced, or two neighbours exchanged) that turn a into b;
// `most + 1` where more than `most` are needed. Letters are bytes' code points. Cost: O(|a| · |b|).
std::size_t letter_changes(std::string_view a, std::string_view b, std::size_t most);

// The candidate that needs fewest changes, the first of equals; none where more than a third of the
// word (at most 3 letters) would have to change.
std::optional<std::string> nearest(std::string_view word, const std::vector<std::string>& candidates);

}  // namespace betony
