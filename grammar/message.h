// grammar/message.h: what is said to a practitioner about a source that cannot be read.
//
// A message names the place, says what is wrong in a practitioner's words, and what to write
// instead. It is a value; printing it in 80 columns, with the line and a mark under the words, is
// viz/terminal's work, and as JSON likewise.
#pragma once

#include <string>
#include <string_view>
#include <vector>

#include "grammar/tree.h"

namespace betony {

struct Message {
  std::string matter;   // a heading of a few words: "nothing goes by this name"
  Place where;          // the words concerned
  std::string message;  // a sentence or two: "No finding is called "feever"; did you mean "fever" (line 7)?"
  std::string remedy;   // what to write instead, in the language where that is possible; may be empty
};

// A value, or at least one message. Messages are in source order (file, then place).
template <class T>
struct Outcome {
  std::optional<T> value;
  std::vector<Message> messages;
  explicit operator bool() const { return value.has_value(); }
};

// Finds line and column of byte offsets in one text. Borrowed text must outlive it.
// Cost: O(size) once, then O(log lines + length of the line) a question.
class LineIndex {
 public:
  explicit LineIndex(std::string_view text);
  LineColumn at(std::uint32_t offset) const;  // offsets past the end give the end
  std::string_view line(unsigned number) const;  // from 1, without its line break; empty past the end
  std::uint32_t line_begin(unsigned number) const;
  unsigned count() const { return static_cast<unsigned>(starts_.size()); }

 private:
  std::string_view text_;
  std::vector<std::uint32_t> starts_;
};

}  // namespace betony
