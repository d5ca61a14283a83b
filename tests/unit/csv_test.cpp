// Rows and cells of CSV (RFC 4180).
#include <catch2/catch.hpp>

#include "grammar/csv.h"
#include "grammar/message.h"

using namespace betony;

namespace {

// "1: A1=words B1=words | 2: …": each row that has something in it, its cells by their columns.
std::string shown(const std::string& text) {
  const csv::Rows rows = csv::split(text);
  std::string out;
  for (const csv::Row& row : rows.rows) {
    out += (out.empty() ? "" : " | ") + std::to_string(row.number) + ":";
    for (std::size_t c = row.first; c < row.first + row.count; ++c)
      out += " " + std::string(1, static_cast<char>('A' + rows.cells[c].column)) + "=" + csv::content(text, rows.cells[c]);
  }
  for (const csv::Fault& fault : rows.faults)
    out += std::string(fault.kind == csv::Fault::Kind::not_closed ? " not closed at " : " goes on at ") + std::to_string(fault.where.begin);
  return out;
}

}  // namespace

TEST_CASE("commas part cells, line breaks of every kind part rows, and white space around a cell is none of it") {
  CHECK(shown("a,b\nc, d \n") == "1: A=a B=b | 2: A=c B=d");
  CHECK(shown("a,b\r\nc,d") == "1: A=a B=b | 2: A=c B=d");
  CHECK(shown("a,b\rc,d\r") == "1: A=a B=b | 2: A=c B=d");
}

TEST_CASE("a quoted cell may hold commas, doubled quotes and line breaks") {
  CHECK(shown("\"a, b\",\"say \"\"enough\"\"\"\n\"two\nlines\",x\n") == "1: A=a, b B=say \"enough\" | 2: A=two lines B=x");
  CHECK(shown("x, \"a,b\" ,y\n") == "1: A=x B=a,b C=y");
  CHECK(shown("5\" pipe,x\n") == "1: A=5\" pipe B=x");
}

TEST_CASE("a byte order mark is no part of the first cell") { CHECK(shown("\xEF\xBB\xBF" "a,b\n1,2\n") == "1: A=a B=b | 2: A=1 B=2"); }

TEST_CASE("rows and cells in which nothing stands are counted and not kept") {
  CHECK(shown("") == "");
  CHECK(shown("\n\n,,\na,,b,\n\"\",\" \"\nc\n") == "4: A=a C=b | 6: A=c");
}

TEST_CASE("a quote that is not closed, and words behind one that is, are told with their places") {
  CHECK(shown("a,\"b\nc,d\n") == "1: A=a not closed at 2");
  CHECK(shown("a,\"b\"c,d\n") == "1: A=a C=d goes on at 2");
}

TEST_CASE("rows are told as a spreadsheet counts them, and columns by its letters") {
  SourceFile file{"t.csv", "a,b\n\"two\nlines\",c\n,d\n", true};
  const LineIndex index(file);
  CHECK(index.words(static_cast<std::uint32_t>(file.text.find("c\n"))) == "row 2");
  CHECK(index.words(static_cast<std::uint32_t>(file.text.find('d'))) == "row 3");
  CHECK(index.at(static_cast<std::uint32_t>(file.text.find('d'))).line == 4);
  CHECK(index.column_letters(static_cast<std::uint32_t>(file.text.find('d'))) == "B");
  CHECK(index.row_of_line(2) == 2);
  CHECK(index.row_of_line(3) == std::nullopt);
  CHECK(index.row_of_line(4) == 3);
  SourceFile wide{"w.csv", std::string(30, ',') + "x," + std::string(670, ',') + "y\n", true};
  CHECK(LineIndex(wide).column_letters(30) == "AE");
  CHECK(LineIndex(wide).column_letters(static_cast<std::uint32_t>(wide.text.find('y'))) == "ZZ");
}
