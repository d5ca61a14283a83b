// grammar/table.h: a decision table (CSV, csv.h) read as sentences.
//
//   bytes -> rows and cells (csv.h) -> columns (table_columns.h) -> sentences, each with its row -> as any source
//
// A table is written out in the sentences of the language, and these are read: nothing else is known of its meaning.
// What is said of a sentence is told of the row and the cell that it comes from. LANGUAGE.md, "Tables", is its
// reference. Inside the grammar room only.
//
// Tested by tests/unit/csv_test.cpp, table_test.cpp, the tables of tests/messages, tests/property/table_test.cpp.
#pragma once

#include <cstdint>
#include <memory>
#include <string>
#include <string_view>
#include <vector>

#include "grammar/csv.h"
#include "grammar/grammar.h"
#include "grammar/names.h"
#include "grammar/told.h"
#include "grammar/tree.h"

namespace betony {

// A table as given, and where in it the words of its sentences stand.
class DecisionTable {
 public:
  explicit DecisionTable(std::string given) : given_(std::move(given)) {}

  const std::string& given() const { return given_; }

  // A stretch of the sentences that comes from one cell. From `skip` bytes on it has the words of the cell as they are.
  struct Piece {
    Span sentence, cell;
    std::uint32_t skip = 0;  // as long as the stretch: no words of the cell as they are
    std::uint32_t name = 0;  // bytes of the column's name, at its beginning
  };
  struct Sentence {
    Span sentence, row;
    bool is_row = true;  // all of it is told as the row; else as the cells that it comes from
  };

  // Filled while the sentences are written, in order.
  void add(Piece piece) { pieces_.push_back(piece); }
  void add(Sentence sentence) { sentences_.push_back(sentence); }

  // Where the words of the sentences stand in the table: their cells, or their row. Cost O(log + pieces touched).
  Span given(Span words) const;
  // `sentences` is the text that the message speaks of.
  Message as_given(Message message, std::string_view sentences) const;

 private:
  const Sentence* sentence_at(std::uint32_t offset) const;
  std::string remedy_as_given(const Message& message, std::string_view sentences) const;

  std::string given_;
  std::vector<Piece> pieces_;
  std::vector<Sentence> sentences_;
};

// A table while it is read. First what stands above the header is read as the sentences it is, so that they may
// name other files; then, with the names that all files declare, the columns and rows.
class TableReader {
 public:
  // `bytes` must be valid UTF-8.
  explicit TableReader(std::string bytes);

  // The sentences above the header, each on a line of its own.
  const std::string& text() const { return text_; }
  std::shared_ptr<DecisionTable> table() const { return table_; }

  // Adds the sentences of the columns and rows to `text`: at most `most` of them, and one that shows that there are more;
  // and not many more than `most_bytes`. `file` is the table's number in messages.
  void write(const Names& names, std::uint32_t file, std::size_t most, std::size_t most_bytes, Told& told);

 private:
  bool take_sentences(const csv::Row& row);
  void keep_sentences(std::string_view written, std::uint32_t at, const csv::Row& row);

  std::shared_ptr<DecisionTable> table_;
  csv::Rows rows_;
  std::size_t header_ = 0;  // in rows_; as many as there are: there is none
  std::string text_;
};

}  // namespace betony
