#include "compiler/nearest.h"

#include <algorithm>

#include "grammar/text.h"

namespace betony {

std::optional<std::string> nearest(std::string_view word, const std::vector<std::string>& candidates) {
  if (word.empty() || word.size() > 200) return std::nullopt;
  const std::u32string meant = letters::letters_of(word);
  unsigned most = std::clamp<unsigned>(static_cast<unsigned>(meant.size() / 3), 1, 3);
  std::optional<std::string> best;
  for (const std::string& candidate : candidates) {
    const unsigned changes = letters::distance(meant, letters::letters_of(candidate), most);
    if (changes > most || (best && changes == most)) continue;
    best = candidate;
    if (changes == 0) break;
    most = changes;
  }
  return best;
}

}  // namespace betony
