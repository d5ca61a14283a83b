// compiler/check/memory.h: what was found about each subject, kept until its scope says something else.
//
// What a scope says is written out (its sentences as typed and as written, what they name, who is possible), and
// what was found is looked up by that, so nothing is taken on trust. A sentence is in several scopes and mostly
// says what it said before: each text goes by a number, the same for the same text as long as it is in use, and
// a scope is a row of such numbers. Sentences may have moved: what was found is kept with where they stood then,
// and put where they stand now.
//
// Cost      of a reading O(size of the ruleset); to look a scope up and to bring back O(its sentences + what was found).
// Tested by tests/unit/rereading_test.cpp
#pragma once

#include <mutex>
#include <unordered_map>

#include "compiler/check/subjects.h"

namespace betony {

// What goes by a text, with the reading that asked for it last. What one reading did not ask for is forgotten when
// the next begins.
template <class Value>
class ByText {
 public:
  void begin_reading() {
    std::erase_if(all_, [this](const auto& entry) { return entry.second.asked < reading_; });
    ++reading_;
  }
  void clear() { all_.clear(); }
  // What is known, or null. A value stays where it is until it is forgotten.
  Value* find(std::string_view text) {
    const auto known = all_.find(text);
    if (known == all_.end()) return nullptr;
    known->second.asked = reading_;
    return &known->second.value;
  }
  void add(std::string_view text, Value value) { all_.try_emplace(std::string(text), Asked{std::move(value), reading_}); }

 private:
  struct Asked {
    Value value;
    std::uint64_t asked;
  };
  struct Hash : std::hash<std::string_view> {
    using is_transparent = void;
  };
  std::unordered_map<std::string, Asked, Hash, std::equal_to<>> all_;
  std::uint64_t reading_ = 0;
};

struct Memory::Kept {
  struct Stand {
    Index tree_sentence;
    Place place;
    bool operator==(const Stand&) const = default;
  };
  // What is typed and written, by where it stood when it was looked at.
  struct Standing {
    std::vector<Index> sentences, practices;  // typed, of the scope, ascending
    std::vector<Stand> stands;                // tree sentences, in the order in which the scope is written out
    bool operator==(const Standing&) const = default;
    std::uint64_t position(Index sentence) const {  // among the sentences
      return static_cast<std::uint64_t>(std::lower_bound(sentences.begin(), sentences.end(), sentence) - sentences.begin());
    }
  };
  struct Entry {
    Found found;
    std::uint64_t steps = 0;
    std::shared_ptr<const Standing> stood;
  };
  // The scope of a practice, which is that of what is idle in it too.
  struct Written {
    std::uint64_t text;
    std::shared_ptr<const Standing> stands;
  };
  std::string ground;                   // what all scopes rest on; if it changes all is forgotten
  ByText<Entry> entries;                // by scope; an entry does not change
  std::size_t anew = 0;                 // kept without having been recalled
  std::mutex mutex;                     // over `entries`, `anew`, `texts` and `written` while studies run

  // Of this reading, the numbers of what is written out whole, and the line of every tree sentence.
  ByText<std::uint64_t> texts;          // and, while studies run, scopes of practices; under the mutex then
  std::uint64_t next_text = 0;
  std::vector<std::optional<Written>> written;  // by practice; under the mutex
  std::vector<std::uint64_t> sentences, terms, leadings, choices, practices, claims, backgrounds;
  std::vector<std::uint32_t> lines;

  // Begins a reading.
  void begin(const Common& common);
  std::uint64_t number_of(std::string_view text);
  // Written out when it is first asked for.
  Written of_practice(const Common& common, Index practice);
};

// Bytes that are written one after another.
class Bytes {
 public:
  std::string_view text() const { return {bytes_.data(), size_}; }
  void clear() { size_ = 0; }
  void number(std::uint64_t n) {  // seven bits a byte, the last byte below 128
    char* at = room(10);
    for (; n >= 128; n >>= 7) *at++ = static_cast<char>(n | 128);
    *at++ = static_cast<char>(n);
    size_ = static_cast<std::size_t>(at - bytes_.data());
  }
  void word(std::string_view w) {
    number(w.size());
    std::copy(w.begin(), w.end(), room(w.size()));
    size_ += w.size();
  }

 private:
  char* room(std::size_t count) {
    if (bytes_.size() - size_ < count) bytes_.resize(std::max<std::size_t>(2 * bytes_.size(), size_ + count + 256));
    return bytes_.data() + size_;
  }
  std::string bytes_;
  std::size_t size_ = 0;
};

// One subject of one reading, and what is remembered of it.
class Recollection {
 public:
  Recollection(Memory::Kept& kept, const Common& common, const Subject& subject);
  struct Recalled { Found found; std::uint64_t steps = 0; };
  std::optional<Recalled> recall();
  // What was found by looking; not what was recalled.
  void keep(const Found& found, std::uint64_t steps);

 private:
  Memory::Kept& kept_;
  Bytes text_;
  std::shared_ptr<const Memory::Kept::Standing> stands_;  // in this reading
};

}  // namespace betony
