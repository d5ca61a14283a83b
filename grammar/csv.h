// grammar/csv.h: the rows and cells of a table as spreadsheets save it (CSV, RFC 4180).
//
// Cells are parted by commas, rows by line breaks (LF, CR LF, or CR). A cell may stand in straight quotes; a
// doubled quote inside stands for one, and commas and line breaks inside part nothing. White space around a cell is
// none of it. A byte order mark is passed over. Offsets are bytes of the text.
//
// Cells in which nothing stands, and rows in which nothing stands, are counted and not kept.
#pragma once

#include <cstdint>
#include <string>
#include <string_view>
#include <vector>

#include "grammar/tree.h"

namespace betony::csv {

struct Cell {
  Span span;                 // with its quotes
  std::uint32_t column = 0;  // from 0
  bool quoted = false;
  bool plain = true;         // its words stand in the text as they are: no doubled quotes, no line breaks
  Span words() const { return quoted ? Span{span.begin + 1, span.end - 1} : span; }
};

struct Row {
  unsigned number = 0;  // from 1, as a spreadsheet counts
  Span span;            // without its line break and without the commas at its end
  std::size_t first = 0, count = 0;  // its cells, in Rows::cells
};

struct Fault {
  enum class Kind { not_closed, goes_on_after_quote } kind = Kind::not_closed;
  Span where;
};

struct Rows {
  std::vector<Row> rows;
  std::vector<Cell> cells;
  std::vector<Fault> faults;
};

// Cost O(size).
Rows split(std::string_view text);

// What stands in a cell: without quotes, doubled quotes undone, line breaks made spaces.
std::string content(std::string_view text, const Cell& cell);

// Where the rows begin, those too in which nothing stands; never empty. Cost O(size).
std::vector<std::uint32_t> row_begins(std::string_view text);
// In which column of the row that begins at `row` the offset `at` lies. Cost O(length of the row).
std::uint32_t column_at(std::string_view text, std::uint32_t row, std::uint32_t at);

}  // namespace betony::csv
