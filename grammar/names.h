// grammar/names.h: the names that a ruleset declares, and the longest one at a place.
//
// Filled by a first pass over all sentences (collect.h), so that a name may be used before it is
// declared. Names are kept as words; a match is always of whole words.
#pragma once

#include <cstdint>
#include <deque>
#include <optional>
#include <string>
#include <string_view>
#include <unordered_map>
#include <vector>

#include "grammar/tree.h"

namespace betony {

// What a name stands for. Values form sets.
enum NameKind : unsigned {
  finding_name = 1u << 0,
  item_name = 1u << 1,  // of an any-of finding
  measure_name = 1u << 2,
  tally_name = 1u << 3,
  leading_name = 1u << 4,
  choice_name = 1u << 5,
  term_name = 1u << 6,
  practice_name = 1u << 7,
  group_name = 1u << 8,
  source_name = 1u << 9,
  school_name = 1u << 10,
  label_name = 1u << 11,
  unit_name = 1u << 12,
};
constexpr unsigned condition_names =
    finding_name | item_name | measure_name | tally_name | leading_name | choice_name | term_name;
constexpr unsigned number_names = finding_name | measure_name | tally_name;
constexpr unsigned practice_names = practice_name | group_name;

// "a finding", "a practice", ...
std::string_view kind_words(NameKind kind);

// Words -> a number, with the longest match at a place. Cost of a match: O(its words).
class WordTrie {
 public:
  struct Match {
    std::uint32_t value = 0;
    std::size_t end = 0;  // of the match; 0 if there is none
    explicit operator bool() const { return end != 0; }
  };
  // False if the words stand there already; `value` is then not stored.
  bool add(std::string_view words, std::uint32_t value);
  std::optional<std::uint32_t> find(std::string_view words) const;
  // The longest entry at `at`; and the longest that `wanted` accepts.
  Match longest(std::string_view text, std::size_t at) const;
  template <typename Wanted>
  Match longest(std::string_view text, std::size_t at, Wanted wanted) const;
  bool empty() const { return size_ == 0; }

 private:
  struct Step {
    std::uint32_t from;
    std::string word;
    bool operator==(const Step&) const = default;
  };
  using StepSeen = std::pair<std::uint32_t, std::string_view>;  // a step that is only looked for
  struct StepHash {
    using is_transparent = void;
    std::size_t operator()(const StepSeen& step) const { return std::hash<std::string_view>{}(step.second) * 31 + step.first * 0x9E3779B97F4A7C15u; }
    std::size_t operator()(const Step& step) const { return (*this)(StepSeen(step.from, step.word)); }
  };
  struct StepEqual {
    using is_transparent = void;
    bool operator()(const Step& a, const Step& b) const { return a == b; }
    bool operator()(const StepSeen& a, const Step& b) const { return a.first == b.from && a.second == b.word; }
    bool operator()(const Step& a, const StepSeen& b) const { return (*this)(b, a); }
  };
  std::uint32_t next(std::uint32_t from, std::string_view word) const;  // 0: none

  static constexpr std::uint32_t nothing = 0xffffffffu;
  std::unordered_map<Step, std::uint32_t, StepHash, StepEqual> steps_;
  std::vector<std::uint32_t> values_{nothing};  // of each place in the trie; the first is the root
  std::size_t size_ = 0;
};

// How the value of a name is told.
enum class Shape : unsigned char {
  unknown,      // its declaration could not be read: nothing more is said about it
  yes_no,       // yes/no findings, items, terms
  one_of,       // also Leading
  grade,
  any_of,
  number,       // also measures and tallies
  date,
  time_of_day,
  verdict,      // practices, in claims
  none          // groups, sources, ...
};

struct Entry {
  std::uint32_t number = 0;  // its place among Names::all()
  NameKind kind = finding_name;
  Shape shape = Shape::none;
  std::string text, key;  // the first of its names
  Place place;            // of that name; an empty span for what is built in
  bool built_in = false, ago = false, whole = false;
  const Entry* of = nullptr;        // an item's finding
  std::vector<std::string> values;  // as written
  WordTrie value_words;
};

class Names {
 public:
  Names();  // with the built-in findings

  // Adds an entry and returns it; or the one that bears this name already, and added = false.
  struct Added {
    Entry* entry;
    bool added;
  };
  Added declare(NameKind kind, const tree::Name& name, std::uint32_t file);
  // Another name for an entry; returns the entry that bears it already, if any.
  const Entry* also(const Entry* entry, const tree::Name& name);

  const Entry* find(unsigned kinds, std::string_view key) const;
  struct Match {
    const Entry* entry = nullptr;
    std::size_t end = 0;
  };
  // The longest name of one of these kinds; `except` is passed over.
  Match longest(unsigned kinds, std::string_view text, std::size_t at, const Entry* except = nullptr) const;

  const std::deque<Entry>& all() const { return entries_; }
  // Every name by which an entry goes, folded, with the number of the entry.
  const std::vector<std::pair<std::string, std::uint32_t>>& spoken() const { return spoken_; }

 private:
  // Findings, practices and all that may stand in one sentence share one space of names; sources,
  // schools, labels and units have one each.
  static std::size_t space_of(unsigned kinds);
  std::deque<Entry> entries_;
  WordTrie spaces_[5];
  std::vector<std::pair<std::string, std::uint32_t>> spoken_;
};

}  // namespace betony
