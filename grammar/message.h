// grammar/message.h: what is said to a practitioner about a source that cannot be read.
//
// A message names the place, says what is wrong in a practitioner's words, and what to write
// instead. It is a value; printing it in 80 columns, with the line and a mark under the words, is
// viz/terminal's work, and as JSON likewise.
#pragma once

#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "grammar/tree.h"

namespace betony {

struct Message {
  std::string matter;   // a heading of a few words: "nothing goes by this name"
  Place where;          // the words concerned; in a table those of the table as given
  std::string message;  // a sentence or two: "No finding is called "feever"; did you mean "fever" (line 7)?"
  std::string remedy;   // what to write instead, in the language where that is possible; may be empty
};

// A name or a piece of text as messages have it.
std::string in_quotes(std::string_view text);

// A value, or at least one message. Messages are in source order (file, then place).
template <class T>
struct Outcome {
  std::optional<T> value;
  std::vector<Message> messages;
  explicit operator bool() const { return value.has_value(); }
};

// Finds line and column of byte offsets in one text. Borrowed text must outlive it.
// Cost: O(size) once, then O(log lines + length of the line) a question.
//
// Of a table that was read as sentences, offsets are those of the sentences, and what is told is told of
// the table as given: its lines, its columns, its rows. Of a table as given, all is told as of any text, but
// for the rows.
class LineIndex {
 public:
  explicit LineIndex(std::string_view text);
  explicit LineIndex(const SourceFile& file);
  LineColumn at(std::uint32_t offset) const;  // offsets past the end give the end
  std::string_view line(unsigned number) const;  // from 1, without its line break; empty past the end
  std::uint32_t line_begin(unsigned number) const;
  unsigned count() const { return static_cast<unsigned>(starts_.size()); }

  std::string_view text() const { return text_; }  // as given
  Span given(Span words) const;                   // where in the text as given these words stand
  bool has_rows() const { return is_table_; }
  std::string_view noun() const { return is_table_ ? "row" : "line"; }
  unsigned number(std::uint32_t offset) const;    // of its line; in a table of its row, as a spreadsheet counts
  std::string words(std::uint32_t offset) const;  // "line 41", "row 41"
  // In a table: the number of the row that begins with this line; nothing where it goes on with the one above.
  std::optional<unsigned> row_of_line(unsigned number) const;
  std::string column_letters(std::uint32_t offset) const;  // of the table's cell there, as a spreadsheet has it: "C"

 private:
  std::uint32_t row_at(std::uint32_t given) const;  // from 0

  std::string_view text_;  // as given
  std::vector<std::uint32_t> starts_;
  bool is_table_ = false;
  const DecisionTable* table_ = nullptr;
  std::vector<std::uint32_t> rows_;  // of a table: where its rows begin
};

// What is said of the sentences of `file`, told of the table that they were read from; of another file
// the message as it is. A remedy that mends one cell is told as the cell.
Message as_given(const SourceFile& file, Message message);

}  // namespace betony
