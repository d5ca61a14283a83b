// grammar/table_columns.h: what the header of a table says of its columns. Inside table*.cpp only.
#pragma once

#include <string>
#include <string_view>
#include <vector>

#include "grammar/csv.h"
#include "grammar/names.h"
#include "grammar/table.h"
#include "grammar/told.h"

namespace betony::tables {

// A table, and what is said of it.
struct Reading {
  DecisionTable& table;
  const csv::Rows& rows;
  std::size_t header;  // in rows.rows
  const Names& names;  // that are declared elsewhere
  std::uint32_t file;
  Told& told;
  bool spoke = false;

  std::string_view given(Span span) const { return std::string_view(table.given()).substr(span.begin, span.end - span.begin); }
  std::string content(const csv::Cell& cell) const { return csv::content(table.given(), cell); }
  void tell(Span where, std::string matter, std::string message, std::string remedy);
};

struct Column {
  enum class Kind { finding, practice, choice, dose, in, unless, despite, aim, label, note, source };
  Kind kind = Kind::finding;
  csv::Cell head;
  std::string words;  // of the header, behind a word that says the kind: "age is a whole number of years from 0 to 110"
  std::string name;   // of the finding, practice or choice
  Shape shape = Shape::unknown;  // finding
  enum class Declared { elsewhere, here, by_cells } declared = Declared::elsewhere;
  std::string inferred;  // by_cells: what is declared of it: "is one of none, dry, wet"

  bool asks() const { return kind == Kind::finding || kind == Kind::in; }
  bool follows() const {
    return kind == Kind::practice || kind == Kind::choice || kind == Kind::dose;
  }
};

// The columns that have a name, in their order; what is wrong with them is told.
std::vector<Column> read_columns(Reading& reading);

// Whether a text can stand inside a sentence: it neither ends nor opens one, and its strings and brackets are closed.
bool stands_in_a_sentence(std::string_view text);

// ---- cells (table_cells.cpp)

// A piece of a sentence that is made of one cell: the text, and what of it stands in the cell as it is. Offsets of cells
// are counted from the cell's first word.
struct Fragment {
  std::string text;
  std::vector<DecisionTable::Piece> pieces;

  // Adds `lead` and then the words of the cell from `begin` to `end`.
  void add(std::string_view lead, std::size_t name, std::string_view words, Span in_cell);
  void tell_whole_cell();  // its words do not stand in the cell as they are
};

// A cell without white space around its words.
std::string_view trimmed(std::string_view words);
// As much of the words as tells with which word of the language they begin.
std::string_view opening(std::string_view words);
// What stands between these marks, each trimmed.
std::vector<std::string_view> parted(std::string_view words, char mark);
// The parts between "|"; with the `not` before them all, and its bytes.
struct Parts {
  std::size_t denied = 0;
  std::vector<std::string_view> parts;
};
Parts parts_of(std::string_view words);
// "yes" or "no", a value, or how the language compares: what a cell's part is.
enum class PartKind { yes, no, value, comparison };
PartKind kind_of_part(std::string_view part);
bool is_blank(std::string_view words);  // "-" too

// The condition that a cell of a finding's column says; nothing, and told, if it says none.
std::optional<Fragment> condition_of(Reading& reading, const Column& column, const csv::Cell& cell);
// Words of a cell behind a lead.
Fragment piece_of(const Reading& reading, const csv::Cell& cell, std::string_view lead, std::string_view words);
// All of a cell's words behind a lead; nothing, and told, if they would be more than a piece of a sentence.
std::optional<Fragment> words_of(Reading& reading, const csv::Cell& cell, std::string_view lead);

}  // namespace betony::tables
