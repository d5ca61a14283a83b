// viz/terminal/letters.h: how much room text takes on a terminal, and where its lines may break.
//
// Wide East Asian letters take 2 columns, marks over letters and joiners none, tabs run to the next
// multiple of 4. What could harm or mislead a terminal is shown by its number: control characters and
// bidi controls as "[U+202E]", bytes that are not UTF-8 as U+FFFD. All other text is shown as written.
//
// Source of widths: Unicode UAX 11 (East Asian Width); of breaks: UAX 14, both by ICU. A line breaks
// only after a blank, or where letters of a script without blanks allow it; never after a hyphen.
#pragma once

#include <cstdint>
#include <string>
#include <string_view>
#include <vector>

namespace betony::terminal {

// A letter with the marks that stand over it.
struct Cell {
  std::uint32_t begin = 0, end = 0;  // bytes of the text it was made from
  std::string shown;                 // what is sent to the terminal
  unsigned width = 1;                // columns
  bool blank = false;                // a space or tab
  bool break_after = false;          // a line may end after it
};

// The text, letter by letter. Line breaks within it are shown as blanks.
std::vector<Cell> cells(std::string_view text);

// Columns that the text takes in one line.
unsigned width(std::string_view text);

// The text as it is sent to a terminal.
std::string harmless(std::string_view text);

// A stretch of cells that stands on one line, blanks at its end left out.
struct Row {
  std::size_t begin = 0, end = 0;
};

// Sets cells in lines of `first` columns and then `further` columns. A word that is wider than a line
// is cut. There is always at least one row.
std::vector<Row> wrap(const std::vector<Cell>& text, unsigned first, unsigned further);

}  // namespace betony::terminal
