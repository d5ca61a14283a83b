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

// Texts and their numbers. What one reading did not ask for is forgotten at the end of the next.
class Texts {
 public:
  std::uint64_t number_of(std::string text);
  void begin_reading();

 private:
  std::unordered_map<std::string, std::uint64_t> before_, now_;
  std::uint64_t next_ = 1;
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
  };
  struct Entry {
    Found found;
    std::uint64_t steps = 0;
    Standing stood;
  };
  std::string ground;                   // what all scopes rest on; if it changes all is forgotten
  std::unordered_map<std::string, Entry> before, now;  // of the last reading, and of this one; entries do not change
  std::size_t anew = 0;                 // kept without having been recalled
  std::mutex mutex;                     // over `before`, `now` and `anew` while studies run

  // Of this reading, the numbers of what is written out whole, and the line of every tree sentence.
  Texts texts;
  std::vector<std::uint64_t> sentences, terms, leadings, choices, practices, claims, backgrounds;
  std::vector<std::uint32_t> lines;

  // Begins a reading: what the one before did not need again is forgotten.
  void begin(const Common& common);
};

// One subject of one reading, and what is remembered of it.
class Recollection {
 public:
  Recollection(Memory::Kept& kept, const Common& common, const Subject& subject, const Scope& scope);
  struct Recalled { Found found; std::uint64_t steps = 0; };
  std::optional<Recalled> recall();
  // What was found by looking; not what was recalled.
  void keep(const Found& found, std::uint64_t steps);

 private:
  Memory::Kept& kept_;
  std::string text_;
  Memory::Kept::Standing stands_;       // in this reading
};

}  // namespace betony
