// runtime/persons.h: what tables in CSV say, good and bad.
#include "tests/unit/persons_packs.h"

using namespace betony::runtime;
using namespace betony::testing::persons;

TEST_CASE("a table of persons is read into bits, a row each") {
  CHECK(read(small_pack(), "fever,cold feet\nyes,no\nno,yes\nyes,yes\nno,no\n") == "2: 01\n3: 10\n4: 11\n5: 00\n");
}

TEST_CASE("columns are called as findings, or by their other names, in any capitals and white space") {
  CHECK(read(small_pack(), " Chilly   FEET,\tFever \nYES,nO\n") == "2: 10\n");
}

TEST_CASE("a grade of no and yes has an input for each, as any grade has") {
  Pack pack;
  pack.findings = {words("thirst", Finding::Kind::grade, {"no", "yes"}), yes_no("fever")};
  cut(pack, "thirst"), cut(pack, "fever");
  pack = finished(pack);
  CHECK(read(pack, "thirst,fever\nno,no\nyes,yes\nYES,no\n\"no\",yes\n") == "2: 100\n3: 011\n4: 010\n5: 101\n");
}

TEST_CASE("cells are separated by semicolons or tabs where the header has no commas") {
  CHECK(read(small_pack(), "fever;cold feet\nyes;no\n") == "2: 01\n");
  CHECK(read(small_pack(), "fever\tcold feet\nyes\tno\n") == "2: 01\n");
  CHECK(read(small_pack(), "fever,cold feet\nyes;no\n") == "2: : the row has 1 cell, and the header 2 columns\n");
  CHECK(read(small_pack(), "fever;\"a,b\"\nyes;no\n", {TableFormat::csv, {"a,b"}}) == "2: open fever=yes [no]\n");
}

TEST_CASE("lines end with LF or CR LF, and the last one with nothing if it likes") {
  CHECK(read(small_pack(), "fever,cold feet\r\nyes,no\r\nno,yes") == "2: 01\n3: 10\n");
  CHECK(read(small_pack(), "fever,cold feet\r\nyes,\"no\"\r\n\"no\",yes\r") == "2: 01\n3: 10\n");
}

TEST_CASE("a byte-order mark is passed over, and half of one is not") {
  CHECK(read(small_pack(), "\xEF\xBB\xBF\"fever\",cold feet\nyes,no\n") == "2: 01\n");
  CHECK(read(small_pack(), "\xEF\xBB\xBF\"fever\",cold feet\nyes,no\n", {}, 1) == "2: 01\n");
  CHECK(read(small_pack(),
             "\xEF\xBB"
             "fever\nyes\n") ==
        "trouble 1: \xEF\xBB"
        "fever: no finding is called \"\xEF\xBB"
        "fever\"; did you mean \"fever\"?\n");
  CHECK(read(small_pack(), "\xEF\xBB\xBF{\"fever\":\"yes\",\"cold feet\":false}", {TableFormat::json_lines}) == "1: 01\n");
  CHECK(read(small_pack(), "\xEF") == "trouble 1: \xEF: no finding is called \"\xEF\"\n");
}

TEST_CASE("quoted cells may hold separators, quotes and line breaks, and a row over several lines counts once") {
  const PersonSettings keeps{TableFormat::csv, {"note"}};
  CHECK(read(small_pack(), "fever,note,cold feet\n\"yes\",\"a, \"\"b\"\"\r\nc\",\"no\"\nno,,yes\n", keeps) == "2: 01 [a, \"b\"\r\nc]\n3: 10 []\n");
  CHECK(read(small_pack(), "\"fe\nver\",\"cold feet\"\nyes,no\n") ==
        "trouble 1: fe\nver: no finding is called \"fe\nver\"; did you mean \"fever\"?\n");
  CHECK(read(small_pack(), "\"cold\nfeet\",fever\nyes,no\n") == "2: 10\n");
}

TEST_CASE("quotes where none belong make a row bad, and reading goes on at the next") {
  const std::string header = "fever,cold feet\n";
  CHECK(read(small_pack(), header + "ye\"s,no\nyes,no\n") == "2: fever: a quote stands in a cell that does not begin with one\n3: 01\n");
  CHECK(read(small_pack(), header + "yes, \"no\"\nyes,no\n") == "2: cold feet: a quote stands in a cell that does not begin with one\n3: 01\n");
  CHECK(read(small_pack(), header + "\"yes\"x,no\nyes,no\n") == "2: fever: something stands between a closed quote and the end of its cell\n3: 01\n");
  CHECK(read(small_pack(), header + "no,no\n\"yes,no\nyes,no\n") == "2: 00\n3: : a quote is opened and not closed before the table ends\n");
}

TEST_CASE("an empty cell is unanswered, and a person of whom something is open comes with its answers") {
  CHECK(read(small_pack(), "fever,cold feet\n,\nyes,\n no , \nyes,no\n") == "2: open\n3: open fever=yes\n4: open fever=no\n5: 01\n");
  CHECK(read(small_pack(), "fever\nyes\n") == "2: open fever=yes\n");
}

TEST_CASE("findings that no condition asks for may be open, but not wrong") {
  Pack pack = small_pack();
  pack.findings.push_back(yes_no("pale"));
  pack.findings.push_back(number("age", "0", "110", "1", "years"));
  CHECK(read(pack, "fever,cold feet,pale,age\nyes,no,,\nyes,no,yes,7\nyes,no,YES,\n") == "2: 01\n3: 01\n4: 01\n");
  CHECK(read(pack, "fever,cold feet,pale\nyes,no,perhaps\n") == "2: pale: \"perhaps\" is no answer for \"pale\", which is no or yes\n");
  CHECK(read(pack, "fever,cold feet,age\nyes,no,111\n") ==
        "2: age: 111 years is out of the range of \"age\", which goes from 0 years to 110 years\n");
}

TEST_CASE("a date or a time of day that a pack leaves out is refused, as a number is") {
  Pack pack;
  pack.findings = {number("sown", "59", "100", "0"), number("rung", "60", "600", "60")};
  pack.findings[0].kind = Finding::Kind::date, pack.findings[1].kind = Finding::Kind::time_of_day;
  cut(pack, "sown", {end("60", true)}), cut(pack, "rung");
  pack = finished(pack);
  CHECK(read(pack, "sown,rung\n29 February,01:00\n10 April,10:00\n28 February,01:00\n1 May,01:00\n1 March,02:30\n1 March,00:00\n") ==
        "2: 0\n3: 1\n4: sown: 28 February is out of the range of \"sown\", which goes from 29 February to 10 April\n"
        "5: sown: 1 May is out of the range of \"sown\", which goes from 29 February to 10 April\n"
        "6: rung: 02:30 lies between two steps of \"rung\", which goes in steps of 60\n"
        "7: rung: 00:00 is out of the range of \"rung\", which goes from 01:00 to 10:00\n");
}

TEST_CASE("blank lines count and are no persons") {
  CHECK(read(small_pack(), "fever,cold feet\n\nyes,no\n\r\nno,no\n") == "3: 01\n5: 00\n");
  Pack pack;
  pack.findings = {yes_no("fever")};
  cut(pack, "fever");
  CHECK(read(finished(pack), "fever\n\nyes\n\r\n \nno\n") == "3: 1\n5: open\n6: 0\n");
}

TEST_CASE("a row with too few or too many cells is bad") {
  CHECK(read(small_pack(), "fever,cold feet\nyes\nyes,no,\nno,no\n") ==
        "2: : the row has 1 cell, and the header 2 columns\n3: : the row has more cells than the header, which has 2 columns\n4: 00\n");
}

TEST_CASE("a column that is neither a finding nor kept is a trouble of the header, with a near miss") {
  CHECK(read(small_pack(), "fever,could feet\nyes,no\n") ==
        "trouble 1: could feet: no finding is called \"could feet\"; did you mean \"cold feet\"?\n");
  CHECK(read(small_pack(), "id,fever\n1,no\n") == "trouble 1: id: no finding is called \"id\"\n");
  CHECK(read(small_pack(), "fever,,cold feet\n1,no\n") == "trouble 1: : column 2 has no name\n");
  CHECK(read(small_pack(), "fever,could feet (lb)\nyes,no\n") ==
        "trouble 1: could feet (lb): no finding is called \"could feet\"; did you mean \"cold feet\"?\n");
}

TEST_CASE("a column twice is a trouble of the header") {
  CHECK(read(small_pack(), "fever,Fever\n") == "trouble 1: Fever: \"fever\" has two columns\n");
  CHECK(read(small_pack(), "cold feet,chilly feet\n") == "trouble 1: chilly feet: \"cold feet\" has two columns\n");
  CHECK(read(small_pack(), "id,ID\n", {TableFormat::csv, {"id"}}) == "trouble 1: ID: \"ID\" has two columns\n");
}

TEST_CASE("a table without a header is a trouble") {
  CHECK(read(small_pack(), "") == "trouble 1: : the table is empty; its first row should name the columns\n");
  CHECK(read(small_pack(), "\nyes,no\n") == "trouble 1: : the first row is empty; it should name the columns\n");
  CHECK(read(small_pack(), "fever,\"cold feet") == "trouble 1: : a quote is opened and not closed before the table ends\n");
  CHECK(read(small_pack(), "fever,cold \"feet\"\n") == "trouble 1: cold \"feet\": a quote stands in a cell that does not begin with one\n");
  CHECK(read(small_pack(), "fever,cold feet") == "");
}

TEST_CASE("kept columns are handed out with their row as they stand") {
  const PersonSettings keeps{TableFormat::csv, {"Id", "fever", "not there"}};
  CHECK(read(small_pack(), "id,fever,cold feet\n 7 ,Yes,no\nno,,no\nyes,,\n\"a\"\"b\",no,yes\n", keeps) ==
        "2: 01 [ 7 ] [Yes] []\n3: open cold feet=no [no] [] []\n4: open [yes] [] []\n5: 10 [a\"b] [no] []\n");
}

TEST_CASE("a bad row is passed over, or stops the reading where that is wanted") {
  const std::string text = "fever,cold feet\nyes,no\nyes,perhaps\nno,no\n";
  const std::string wrong = "\"perhaps\" is no answer for \"cold feet\", which is no or yes\n";
  CHECK(read(small_pack(), text) == "2: 01\n3: cold feet: " + wrong + "4: 00\n");
  CHECK(read(small_pack(), text, {TableFormat::csv, {}, true}) == "2: 01\ntrouble 3: cold feet: " + wrong);
  CHECK(read(small_pack(), text, {TableFormat::csv, {}, true}, 1) == "2: 01\ntrouble 3: cold feet: " + wrong);
}

TEST_CASE("units stand in the header or in the cell, and the cell's goes before") {
  const Pack pack = full_pack();
  CHECK(read(pack, "weight\n70.5\n154 kg\n70500 g\n154lb\n") ==
        "2: open weight=70.5 kg\n3: open weight=154 kg\n4: open weight=70.5 kg\n"
        "5: weight: 69.85322498 kg lies between two steps of \"weight\", which goes in steps of 0.1\n");
  CHECK(read(pack, "Weight ( g )\n70500\n70 kg\n") == "2: open weight=70.5 kg\n3: open weight=70 kg\n");
  CHECK(read(pack, "warmth (degF)\n98.6\n") == "2: open warmth=37 degC\n");
  CHECK(read(pack, "weight (stone)\n11\n") == "trouble 1: weight (stone): \"stone\" is no unit of \"weight\", which is told in kg\n");
  CHECK(read(pack, "fever (kg)\n11\n") == "trouble 1: fever (kg): \"fever\" is told in words: no or yes\n");
  CHECK(read(pack, "birthday (kg)\n11\n") == "trouble 1: birthday (kg): \"kg\" is no unit of \"birthday\", which has none\n");
  CHECK(read(pack, "weight\n7 stone\n") == "2: weight: \"stone\" is no unit of \"weight\", which is told in kg\n");
}

TEST_CASE("a header past a bound is a trouble, and a row past one is bad and the next is read") {
  const std::string big(PersonTable::most_row_bytes, 'x');
  const std::string header = "fever,cold feet\n";
  CHECK(read(small_pack(), header + big + "y\nyes,no\n") == "2: : the row is too long\n3: 01\n");
  CHECK(read(small_pack(), header + big + "y\nyes,no\n", {}, 1000) == "2: : the row is too long\n3: 01\n");
  CHECK(read(small_pack(), header + big + "\nyes,no\n") == "2: : the row has 1 cell, and the header 2 columns\n3: 01\n");
  // Behind the bound the first line break ends the row, in quotes or not.
  CHECK(read(small_pack(), header + "\"" + big + "\nyes,no\n\"no\",no\n") == "2: : the row is too long\n3: 01\n4: 00\n");
  CHECK(read(small_pack(), header + "\"" + big + "\nyes,no\n\"no\",no\n", {}, 7) == "2: : the row is too long\n3: 01\n4: 00\n");
  CHECK(read(small_pack(), big + "y\nyes,no\n") == "trouble 1: : the row is too long\n");

  const std::string cell(PersonTable::most_cell_bytes, 'x');
  const PersonSettings keeps{TableFormat::csv, {"id"}};
  CHECK(read(small_pack(), "fever,cold feet,id\nyes,no," + cell + "\n", keeps) == "2: 01 [" + cell + "]\n");
  CHECK(read(small_pack(), "fever,cold feet,id\nyes,no," + cell + "x\nno,no,\n", keeps) == "2: id: the cell is too long\n3: 00 []\n");
  CHECK(read(small_pack(), cell + "x,fever\n") == "trouble 1: " + cell + ": the cell is too long\n");

  CHECK(read(small_pack(), "fever" + std::string(PersonTable::most_columns, ',') + "\n") == "trouble 1: : there are more than 16384 columns\n");
}

TEST_CASE("a block is handed out when it is full, and the last when the table ends") {
  const Pack pack = small_pack();
  Lines lines(pack);
  PersonTable table(pack, {}, lines);
  table.feed("fever,cold feet\n");
  for (int i = 0; i < 1100; ++i) table.feed(i % 3 == 0 ? "yes,no\n" : i % 100 == 50 ? ",\n" : "no,yes\n");
  CHECK(lines.persons == std::vector<unsigned>{512, 512});
  CHECK(table.finish());
  CHECK(lines.persons == std::vector<unsigned>{512, 512, 69});
  CHECK(lines.lines.size() == 1100);
  for (int i = 0; i < 1100; ++i)
    if (lines.lines[static_cast<std::uint64_t>(i) + 2] != (i % 3 == 0 ? "01" : i % 100 == 50 ? "open" : "10")) FAIL("row " << i + 2);
}

TEST_CASE("a block is handed out before it is full when it holds much kept text") {
  const Pack pack = small_pack();
  Lines lines(pack);
  PersonTable table(pack, {TableFormat::csv, {"id"}}, lines);
  table.feed("fever,cold feet,id\n");
  const std::string row = "yes,no," + std::string(PersonTable::most_cell_bytes, 'x') + "\n";
  for (int i = 0; i < 300; ++i) table.feed(row);
  CHECK(table.finish());
  CHECK(lines.persons == std::vector<unsigned>{256, 44});
}

TEST_CASE("a block is handed out as it stands when that is asked for, between pieces or by the taker") {
  const Pack pack = small_pack();
  Lines lines(pack);
  PersonTable table(pack, {}, lines);
  table.hand_out();
  table.feed("fever,cold feet\nyes,no\nno,no\n");
  table.hand_out();
  table.hand_out();
  CHECK(lines.persons == std::vector<unsigned>{2});
  for (int i = 0; i < 100; ++i) table.feed(i % 2 ? "yes,no\n" : "no,yes\n");
  table.hand_out();
  table.feed("yes,yes\n");
  CHECK(table.finish());
  CHECK(lines.persons == std::vector<unsigned>{2, 100, 1});
  for (std::uint64_t row = 4; row < 104; ++row)
    if (lines.lines[row] != (row % 2 ? "01" : "10")) FAIL("row " << row);
  CHECK(lines.lines[104] == "11");

  // Whoever asks for it at each other row sees all rows in order.
  struct Ordered : Lines {
    using Lines::Lines;
    void block(PersonBlock& block) override {
      for (const std::uint64_t row : block.rows) rows.push_back(row);
      Lines::block(block);
    }
    void open(OpenPerson& person) override {
      table->hand_out();
      rows.push_back(person.row);
    }
    void bad(const BadRow& row) override {
      table->hand_out();
      rows.push_back(row.row);
    }
    PersonTable* table = nullptr;
    std::vector<std::uint64_t> rows;
  } ordered(pack);
  PersonTable ordered_table(pack, {}, ordered);
  ordered.table = &ordered_table;
  ordered_table.feed("fever,cold feet\nyes,no\n,\nyes,no\nyes,no\nmaybe,no\n,no\nno,no\n");
  ordered_table.finish();
  CHECK(ordered.rows == std::vector<std::uint64_t>{2, 3, 4, 5, 6, 7, 8});
  CHECK(ordered.persons == std::vector<unsigned>{1, 2, 1});
}

TEST_CASE("without blocks everybody comes with the answers") {
  PersonSettings settings{TableFormat::csv, {"id"}};
  settings.blocks = false;
  CHECK(read(small_pack(), "id,fever,cold feet\n7,yes,no\n8,,no\n\"9\",no,maybe\n", settings) ==
        "2: open fever=yes cold feet=no [7]\n3: open cold feet=no [8]\n4: cold feet: \"maybe\" is no answer for \"cold feet\", which is no or yes\n");
  settings.format = TableFormat::json_lines;
  CHECK(read(small_pack(), "{\"fever\":true,\"cold feet\":false}", settings) == "1: open fever=yes cold feet=no []\n");
}

TEST_CASE("kept names that are to be columns are a trouble of the header where they are none") {
  PersonSettings settings{TableFormat::csv, {"fever", "id"}};
  settings.kept_are_columns = true;
  CHECK(read(small_pack(), "fever,cold feet\nyes,no\n", settings) == "trouble 1: : no column is called \"id\"\n");
  CHECK(read(small_pack(), "fever,ID,cold feet\nyes,7,no\n", settings) == "2: 01 [yes] [7]\n");
  settings.format = TableFormat::json_lines;
  CHECK(read(small_pack(), "{\"fever\":true,\"cold feet\":false}", settings) == "1: 01 [true] []\n");
}
