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
    lines_.emplace_back(files_.back());
    return static_cast<std::uint32_t>(files_.size() - 1);
  }

  // Puts the sentences of a table in the place of its bytes, which `table` keeps.
  void put(std::uint32_t number, std::string sentences, std::shared_ptr<const DecisionTable> table) {
    files_[number].text = std::move(sentences);
    files_[number].table = std::move(table);
    lines_[number] = LineIndex(files_[number]);
  }

  std::uint32_t size() const { return static_cast<std::uint32_t>(files_.size()); }
  const SourceFile& file(std::uint32_t number) const { return files_[number]; }
  const LineIndex& lines(std::uint32_t number) const { return lines_[number]; }

  // "line 7", or "line 7 of marsh.bty" where that is not the file spoken of; "row 7" of a table.
  std::string line_words(const Place& place, std::uint32_t spoken_of) const {
    const std::string words = lines_[place.file].words(place.span.begin);
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
