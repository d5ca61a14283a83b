#include "grammar/names.h"

#include <algorithm>

#include "grammar/text.h"
#include "grammar/words.h"

namespace betony {

std::string_view kind_words(NameKind kind) {
  switch (kind) {
    case finding_name: return "a finding";
    case item_name: return "an item of a finding";
    case measure_name: return "a measure";
    case tally_name: return "a tally";
    case leading_name: return "a leading";
    case choice_name: return "a choice";
    case term_name: return "a term";
    case practice_name: return "a practice";
    case group_name: return "a group";
    case source_name: return "a source";
    case school_name: return "a school";
    case label_name: return "a label";
    case unit_name: return "a unit";
  }
  return "a name";
}

// ---------------------------------------------------------------- WordTrie

std::uint32_t WordTrie::next(std::uint32_t from, std::string_view word) const {
  const auto found = steps_.find(StepSeen(from, word));
  return found == steps_.end() ? 0 : found->second;
}

bool WordTrie::add(std::string_view words, std::uint32_t value) {
  std::uint32_t place = 0;
  for (std::size_t at = 0; at < words.size();) {
    const std::size_t end = std::min(words.find(' ', at), words.size());
    const auto [step, fresh] = steps_.try_emplace(Step{place, std::string(words.substr(at, end - at))},
                                                  static_cast<std::uint32_t>(values_.size()));
    if (fresh) values_.push_back(nothing);
    place = step->second;
    at = end + 1;
  }
  if (values_[place] != nothing) return false;
  values_[place] = value;
  ++size_;
  return true;
}

template <typename Wanted>
WordTrie::Match WordTrie::longest(std::string_view text, std::size_t at, Wanted wanted) const {
  Match best;
  std::uint32_t place = 0;
  for (std::size_t end = letters::word_end(text, at); end != at; end = letters::word_end(text, at)) {
    place = next(place, text.substr(at, end - at));
    if (place == 0) break;
    if (values_[place] != nothing && wanted(values_[place])) best = {values_[place], end};
    if (end >= text.size() || text[end] != ' ') break;
    at = end + 1;
  }
  return best;
}

WordTrie::Match WordTrie::longest(std::string_view text, std::size_t at) const {
  return longest(text, at, [](std::uint32_t) { return true; });
}

std::optional<std::uint32_t> WordTrie::find(std::string_view words) const {
  const auto match = longest(words, 0);
  if (!match || match.end != words.size()) return std::nullopt;
  return match.value;
}

// ---------------------------------------------------------------- Names

std::size_t Names::space_of(unsigned kinds) {
  if (kinds & source_name) return 1;
  if (kinds & school_name) return 2;
  if (kinds & label_name) return 3;
  if (kinds & unit_name) return 4;
  return 0;
}

Names::Names() {
  const auto built_in = [this](Word word, Shape shape) {
    const std::string text(spelled(word));
    Entry* entry = declare(finding_name, {text, text, {}}, 0).entry;
    entry->shape = shape;
    entry->built_in = true;
  };
  built_in(Word::date, Shape::date);
  built_in(Word::time_of_day, Shape::time_of_day);
}

Names::Added Names::declare(NameKind kind, const tree::Name& name, std::uint32_t file) {
  WordTrie& space = spaces_[space_of(kind)];
  const auto number = static_cast<std::uint32_t>(entries_.size());
  if (!space.add(name.key, number)) return {&entries_[*space.find(name.key)], false};
  Entry entry;
  entry.number = number;
  entry.kind = kind;
  entry.text = name.text;
  entry.key = name.key;
  entry.place = {file, name.span};
  entries_.push_back(std::move(entry));
  spoken_.emplace_back(name.key, number);
  return {&entries_.back(), true};
}

const Entry* Names::also(const Entry* entry, const tree::Name& name) {
  const std::uint32_t number = entry->number;
  WordTrie& space = spaces_[space_of(entry->kind)];
  if (!space.add(name.key, number)) return &entries_[*space.find(name.key)];
  spoken_.emplace_back(name.key, number);
  return nullptr;
}

const Entry* Names::find(unsigned kinds, std::string_view key) const {
  const auto number = spaces_[space_of(kinds)].find(key);
  if (!number || !(entries_[*number].kind & kinds)) return nullptr;
  return &entries_[*number];
}

Names::Match Names::longest(unsigned kinds, std::string_view text, std::size_t at, const Entry* except) const {
  const auto match = spaces_[space_of(kinds)].longest(text, at, [&](std::uint32_t number) {
    return (entries_[number].kind & kinds) != 0 && &entries_[number] != except;
  });
  if (!match) return {};
  return {&entries_[match.value], match.end};
}

}  // namespace betony
