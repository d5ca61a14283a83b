// runtime/persons.h: tables of persons, CSV or JSON lines, read straight into blocks of bits.
//
//   struct Printer : PersonTaker {                     // what comes out of the table
//     void block(PersonBlock& block) override { ... }  // complete persons, up to 512 side by side
//     void open(OpenPerson& person) override { ... }   // one of whom something is open
//     void bad(const BadRow& row) override { ... }     // a row that was passed over
//   } printer;
//   PersonTable table(pack, {TableFormat::csv, {"id"}}, printer);
//   while (read(piece) && table.feed(piece)) {}
//   table.finish();
//   if (table.trouble()) complain(table.trouble()->wrong);
//
// A person is complete when every input of the pack's program is settled by what is told: its bits are put into a block,
// one after another in the order of the rows. Every other person is handed out at once, with what is told of it. So
// the persons of a block may come after open ones of later rows; row numbers tell the order. Who has to put them in that order asks for
// the block as it stands, hand_out(), before too much is held back: what came before a block, and the block, are rows before all others.
//
// Rows      A table of CSV counts as a spreadsheet does: the header is row 1, a row over several lines is one. JSON lines count lines.
//           Blank lines count, and are no persons.
// CSV       RFC 4180. Cells lie between commas; where the header has none, between its semicolons, or else its tabs. Lines end with
//           LF or CR LF. A byte-order mark is passed over. A column is called as a finding, or as another name of it, without
//           regard to capitals and white space; a unit may follow in brackets, "weight (lb)", or stand in the cell, "154 lb". An
//           empty cell is unanswered. Cells are read as answers.h reads text.
// JSON      RFC 8259. An object a line, names of findings its keys (with units as above). Values are strings, read as cells are; numbers;
//           true and false for yes and no; null, which is unanswered.
// Kept      Columns whose names are given at the beginning are not read but handed out as they stand: their text with quotes and
//           escapes undone, of JSON numbers the digits, of null and of what is not there nothing. One that is also a finding is read too.
// Errors    Nothing is thrown. What is wrong with the header ends the reading: trouble() tells it. A row that cannot be read goes
//           to bad(), or ends the reading too if the caller wants that. Texts from the table stand in messages and
//           kept columns as they are; those of CSV may be any bytes. After a quote that is never closed the rest of the table is one
//           row, up to the bound of a row.
// Bounds    Below. A row past one of them is bad. After one that is too long, reading goes on behind the first line break past
//           the bound. Memory: a block, two rows, one person's answers, whatever comes.
// Cost      CSV with yes/no findings: about a third of a nanosecond a byte, with quotes some 6 (tests/bench/persons_bench.cpp); a cell that
//           is read as text some tenths of a microsecond. An open person, and every one of JSON: O(findings), some 50 ns each.
// Tested by tests/unit/persons_table_test.cpp and its neighbours, tests/fuzz/persons_fuzz.cpp
#pragma once

#include <cstdint>
#include <memory>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "runtime/answers.h"
#include "runtime/block.h"

namespace betony::runtime {

enum class TableFormat : std::uint8_t { csv, json_lines };

// Texts of kept columns, of one person after the other; `columns` of each, in the order in which they were asked for.
struct KeptTexts {
  std::size_t columns = 0;
  std::string bytes;
  std::vector<std::size_t> ends;    // of each text in the bytes

  std::string_view text(std::size_t person, std::size_t column) const {
    const std::size_t at = person * columns + column, begin = at == 0 ? 0 : ends[at - 1];
    return std::string_view(bytes).substr(begin, ends[at] - begin);
  }
};

struct PersonBlock {
  Block bits;
  std::vector<std::uint64_t> rows;  // of each person, ascending
  KeptTexts kept;
};

struct OpenPerson {
  std::uint64_t row = 0;
  Answers answers;
  KeptTexts kept;                   // of one person
};

struct BadRow {
  std::uint64_t row = 0;
  std::string column;               // as the table calls it; empty where the whole row is bad
  std::string wrong;                // in words
};

// Takes what comes out of a table. What is handed over may be changed or moved away.
class PersonTaker {
 public:
  virtual ~PersonTaker() = default;
  virtual void block(PersonBlock& block) = 0;   // never empty
  virtual void open(OpenPerson& person) = 0;
  virtual void bad(const BadRow& row) = 0;
};

struct PersonSettings {
  TableFormat format = TableFormat::csv;
  std::vector<std::string> kept;    // names of columns to be handed out as they stand
  bool stops_at_bad = false;        // the first bad row ends the reading and is told by trouble()
  bool blocks = true;               // else everybody comes by open(), complete or not
  bool kept_are_columns = false;    // a header of CSV in which one of the kept names is missing ends the reading
};

class PersonTable {
 public:
  static constexpr std::size_t most_row_bytes = 1 << 20;   // of a row, its line break left out: what one person's row may hold in memory
  static constexpr std::size_t most_cell_bytes = 1 << 12;  // of a cell, a key or a string
  static constexpr std::size_t most_columns = 1 << 14;     // of a header
  static constexpr std::size_t most_kept_bytes = 1 << 20;  // in a block, which is handed out when it has as many
  static constexpr int most_exponent = 60;                 // of a JSON number, upwards and downwards

  // Pack and taker are borrowed.
  PersonTable(const Pack& pack, PersonSettings settings, PersonTaker& taker);
  ~PersonTable();
  PersonTable(const PersonTable&) = delete;
  PersonTable& operator=(const PersonTable&) = delete;

  // The next bytes of the table, any number; false once the reading has ended before its time.
  bool feed(std::string_view bytes);
  // Nothing follows: reads what is left and hands out the last block.
  bool finish();
  // Hands out the block as it stands, if there is anybody in it. The taker may call it too, from within open() and bad().
  void hand_out();
  // What ended the reading before its time, if anything did.
  const std::optional<BadRow>& trouble() const;

 private:
  class Inside;
  std::unique_ptr<Inside> inside_;
};

}  // namespace betony::runtime
