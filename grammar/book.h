// grammar/book.h: the files of a ruleset while they are read, and where their lines begin.
#pragma once

#include <deque>
#include <string>

#include "grammar/message.h"
#include "grammar/tree.h"

namespace betony {

class Book {
 public:
  std::uint32_t add(SourceFile file) {
    files_.push_back(std::move(file));
    lines_.emplace_back(files_.back().text);
    return static_cast<std::uint32_t>(files_.size() - 1);
  }

  std::uint32_t size() const { return static_cast<std::uint32_t>(files_.size()); }
  const SourceFile& file(std::uint32_t number) const { return files_[number]; }
  unsigned line(const Place& place) const { return lines_[place.file].at(place.span.begin).line; }

  // "line 7", or "line 7 of marsh.bty" where that is not the file spoken of.
  std::string line_words(const Place& place, std::uint32_t spoken_of) const {
    const std::string words = "line " + std::to_string(line(place));
    return place.file == spoken_of ? words : words + " of " + files_[place.file].name;
  }

  std::vector<SourceFile> release() {
    lines_.clear();
    return {std::make_move_iterator(files_.begin()), std::make_move_iterator(files_.end())};
  }

 private:
  std::deque<SourceFile> files_;
  std::deque<LineIndex> lines_;
};

}  // namespace betony
