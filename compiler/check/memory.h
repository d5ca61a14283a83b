// compiler/check/memory.h: what was found about each subject, kept until its scope says something else.
//
// A scope is written out whole (its sentences as typed and as written, what they name, who is possible) and what
// was found is looked up by that text, so nothing is taken on trust. Sentences may have moved: places are kept
// relative to the sentences of the scope and put where these stand now.
//
// Cost      O(size of the scope) to look up and to bring back.
// Tested by tests/unit/rereading_test.cpp
#pragma once

#include <mutex>
#include <unordered_map>

#include "compiler/check/subjects.h"

namespace betony {

struct Memory::Kept {
  struct Entry {
    Found found;
    std::uint64_t steps = 0;
    std::vector<Index> sentences, practices;  // typed, of the scope
    struct Stand { Index tree_sentence; std::uint32_t file, begin, end; };
    std::vector<Stand> stands;          // tree sentences of the scope, in the order of the text that was looked up
  };
  std::string ground;                   // what all scopes rest on; if it changes all is forgotten
  std::unordered_map<std::string, Entry> before, now;  // of the last reading, and of this one
  std::size_t anew = 0;                 // kept without having been recalled
  std::mutex mutex;                     // over `now` and `anew`; `before` is only read while studies run

  // Begins a reading: what the one before did not need again is forgotten.
  void begin(const Common& common);
};

// One subject of one reading, and what is remembered of it.
class Recollection {
 public:
  Recollection(Memory::Kept& kept, const Common& common, const Subject& subject, const Scope& scope);
  struct Recalled { Found found; std::uint64_t steps = 0; };
  std::optional<Recalled> recall();
  void keep(const Found& found, std::uint64_t steps);

 private:
  Memory::Kept& kept_;
  const Common& common_;
  std::string text_;
  Memory::Kept::Entry entry_;           // where things stand in this reading
  bool recalled_ = false;
};

}  // namespace betony
