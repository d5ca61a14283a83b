#include "grammar/nearness.h"

#include <algorithm>

#include "grammar/text.h"
#include "grammar/words.h"

namespace betony {
namespace {

// A slip: one letter in a short word, two in a longer one, three in a long name.
unsigned slips_allowed(std::size_t letters) { return letters < 4 ? 1 : letters < 12 ? 2 : 3; }

class Search {
 public:
  explicit Search(std::string_view phrase)
      : wanted_(letters::letters_of(phrase)), best_(slips_allowed(wanted_.size()) + 1) {}

  // True where this is nearer than all before it.
  bool offer(std::string_view key) {
    const auto have = letters::letters_of(key);
    if (std::min(have.size(), wanted_.size()) < 2) return false;
    const unsigned slips = letters::distance(wanted_, have, best_ - 1);
    const bool nearer = slips < best_ && 2 * slips <= std::max(have.size(), wanted_.size());
    if (nearer) best_ = slips;
    return nearer;
  }

 private:
  std::u32string wanted_;
  unsigned best_;
};

}  // namespace

std::size_t phrase_end(std::string_view text, std::size_t at) {
  std::size_t end = letters::word_end(text, at);
  if (end == at) return std::min(at + std::max<std::size_t>(letters::letter_at(text, at).bytes, 1), text.size());
  while (end < text.size() && text[end] == ' ' && !ends_an_unknown_name(text, end + 1)) {
    const std::size_t next = letters::word_end(text, end + 1);
    if (next == end + 1) break;
    end = next;
  }
  return end;
}

std::optional<std::string> nearest(std::string_view phrase, const std::vector<std::string>& words) {
  Search search(phrase);
  std::optional<std::string> best;
  for (const auto& word : words) {
    if (search.offer(letters::fold(word))) best = word;
  }
  return best;
}

std::optional<NearName> nearest(std::string_view phrase, const Names& names, unsigned kinds) {
  Search search(phrase);
  std::optional<NearName> best;
  for (const auto& [key, number] : names.spoken()) {
    const Entry& entry = names.all()[number];
    if ((entry.kind & kinds) != 0 && search.offer(key)) best = NearName{&entry, key};
  }
  return best;
}

}  // namespace betony
