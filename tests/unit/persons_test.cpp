// runtime/persons.h: what tables say, good and bad; and that what is put into blocks is what inputs_of says, row by row.
#include "runtime/persons.h"

#include <algorithm>
#include <catch2/catch.hpp>
#include <map>
#include <random>

#include "runtime/cutter.h"
#include "runtime/inputs.h"
#include "runtime/pack_verify.h"

using namespace betony::runtime;

namespace {

// ---------------------------------------------------------------- packs

Finding words(const std::string& name, Finding::Kind kind, std::vector<std::string> values) {
  Finding out;
  out.name = name, out.kind = kind, out.values = std::move(values);
  return out;
}
Finding yes_no(const std::string& name) { return words(name, Finding::Kind::yes_no, {"no", "yes"}); }

Finding number(const std::string& name, const char* low, const char* high, const char* step, const std::string& unit = {}) {
  Finding out;
  out.name = name, out.kind = Finding::Kind::number, out.unit = unit;
  out.low = *Number::read(low), out.high = *Number::read(high), out.step = *Number::read(step);
  return out;
}

Variable::End end(const char* at, bool belongs) { return {*Number::read(at), belongs}; }

// Builds variables in order; a finding may be left without.
void cut(Pack& pack, const std::string& name, std::vector<Variable::End> ends = {}, bool is_measure = false) {
  Variable out;
  out.is_measure = is_measure;
  out.ends = std::move(ends);
  out.first_input = pack.program.inputs;
  const auto place = [&](const auto& list) {
    return static_cast<Index>(std::find_if(list.begin(), list.end(), [&](const auto& x) { return x.name == name; }) - list.begin());
  };
  out.index = is_measure ? place(pack.measures) : place(pack.findings);
  const Finding* finding = is_measure ? nullptr : &pack.findings[out.index];
  if (finding && finding->has_words()) {
    out.cells = static_cast<Index>(finding->values.size());
    out.inputs = finding->kind == Finding::Kind::yes_no ? 1 : out.cells;
  } else {
    const bool never = finding && finding->or_never;
    out.inputs = static_cast<Index>(out.ends.size()) + never, out.cells = out.inputs + 1;
  }
  pack.program.inputs += out.inputs;
  pack.variables.push_back(std::move(out));
}

Step step(Step::Kind kind, Index index = 0, const char* number = "0") { return {kind, index, *Number::read(number)}; }

Pack finished(Pack pack) {
  pack.readings.emplace_back();
  REQUIRE(what_is_wrong(pack) == "");
  return pack;
}

// Two findings of yes and no, in another order than their inputs.
Pack small_pack() {
  Pack pack;
  pack.findings = {yes_no("fever"), yes_no("cold feet")};
  pack.findings[1].also = {"chilly feet"};
  cut(pack, "cold feet"), cut(pack, "fever");
  return finished(pack);
}

// One of each kind.
Pack full_pack(bool with_tally = false) {
  Pack pack;
  pack.unit_tables = {{{"kg", 1, {}, false}, {"lb", *Number::read("45359237/100000000"), {}, true}, {"g", *Number::read("1/1000"), {}, false}},
                      {{"degC", 1, {}, false}, {"degF", *Number::read("5/9"), *Number::read("-160/9"), true}},
                      {{"years", 1, {}, true}}};
  pack.findings = {yes_no("fever"),
                   words("thirst", Finding::Kind::grade, {"none", "very mild", "strong"}),
                   words("humour", Finding::Kind::one_of, {"ember", "brook", "loam", "no"}),
                   number("weight", "2", "350", "0.1", "kg"),
                   number("warmth", "30", "45", "0", "degC"),
                   number("age", "0", "110", "1", "years"),
                   number("last bath", "0", "400", "0", "years"),
                   words("birthday", Finding::Kind::date, {}),
                   words("waking", Finding::Kind::time_of_day, {}),
                   yes_no("pale"),
                   number("height", "0", "3", "1/100", ""),
                   number("depth", "-12.5", "12.5", "0", ""),
                   number("third", "0", "10", "1/3", "")};
  pack.findings[3].units = 0, pack.findings[4].units = 1, pack.findings[5].units = 2;
  pack.findings[6].or_never = pack.findings[6].ago = true;
  pack.findings[7].high = 365, pack.findings[8].high = 1439;
  pack.measures = {{"ratio",
                    "",
                    {step(Step::Kind::finding, 3), step(Step::Kind::finding, 10), step(Step::Kind::finding, 10), step(Step::Kind::multiply),
                     step(Step::Kind::divide)}},
                   {"double", "", {step(Step::Kind::measure, 0), step(Step::Kind::number, 0, "2"), step(Step::Kind::multiply)}}};
  if (with_tally) {
    pack.tallies = {{"points", {{(1 + 0) * 2, 3}}}};
    pack.measures.push_back({"scored", "", {step(Step::Kind::tally, 0), step(Step::Kind::finding, 5), step(Step::Kind::add)}});
  }
  cut(pack, "fever"), cut(pack, "warmth", {end("36.6", true), end("110/3", false), end("38.5", true)}), cut(pack, "humour");
  cut(pack, "weight", {end("45", false), end("45", true), end("100000000000000000000000", true)}),
      cut(pack, "ratio", {end("18.5", false), end("25", true), end("30", true)}, true);
  cut(pack, "thirst"), cut(pack, "last bath", {end("1", true)}), cut(pack, "birthday", {end("100", true)}), cut(pack, "waking", {end("390", true)});
  cut(pack, "double", {end("60", true)}, true), cut(pack, "age", {end("-5", true), end("18", false), end("65", true)});
  cut(pack, "depth", {end("-1/3", false), end("0", true), end("1/7", true)}), cut(pack, "third", {end("5", true)});
  if (with_tally) cut(pack, "scored", {end("20", true)}, true);
  return finished(pack);
}

// ---------------------------------------------------------------- what comes out

// Lines in order of the rows: "2: 01 [p1]", "3: open fever=yes", "4: fever: ...".
class Lines : public PersonTaker {
 public:
  explicit Lines(const Pack& pack) : pack_(pack) {}

  void block(PersonBlock& block) override {
    ++blocks;
    persons.push_back(block.bits.persons);
    for (unsigned p = 0; p < block.bits.persons; ++p) {
      std::string line;
      for (Index i = 0; i < pack_.program.inputs; ++i) line += block.bits.planes[i * block_words + p / 64] >> (p % 64) & 1 ? '1' : '0';
      put(block.rows[p], line + kept(block.kept, p));
    }
    for (unsigned p = block.bits.persons; p < block_persons; ++p)
      for (Index i = 0; i < pack_.program.inputs; ++i)
        if (block.bits.planes[i * block_words + p / 64] >> (p % 64) & 1) FAIL("a bit past the persons is set");
    block = {};
  }
  void open(OpenPerson& person) override {
    std::string line = "open";
    for (Index f = 0; f < person.answers.size(); ++f)
      if (person.answers[f]) line += " " + pack_.findings[f].name + "=" + value_words(pack_.findings[f], *person.answers[f]);
    put(person.row, line + kept(person.kept, 0));
    person = {};
  }
  void bad(const BadRow& row) override { put(row.row, row.column + ": " + row.wrong); }

  std::string text() const {
    std::string out;
    for (const auto& [row, line] : lines) out += std::to_string(row) + ": " + line + "\n";
    return out;
  }

  std::map<std::uint64_t, std::string> lines;
  std::size_t blocks = 0;
  std::vector<unsigned> persons;

 private:
  static std::string kept(const KeptTexts& texts, std::size_t person) {
    std::string out;
    for (std::size_t k = 0; k < texts.columns; ++k) out += " [" + std::string(texts.text(person, k)) + "]";
    return out;
  }
  void put(std::uint64_t row, const std::string& line) {
    if (!lines.emplace(row, line).second) FAIL("row " << row << " came out twice");
  }
  const Pack& pack_;
};

std::string read(const Pack& pack, std::string_view text, const PersonSettings& settings = {}, std::size_t piece = 0) {
  Lines lines(pack);
  PersonTable table(pack, settings, lines);
  if (piece == 0) table.feed(text);
  else
    for (std::size_t at = 0; at < text.size(); at += piece)
      table.feed(std::string(text.substr(at, piece)));  // a copy, so that nothing behind it can be read
  table.finish();
  std::string out = lines.text();
  if (table.trouble())
    out += "trouble " + std::to_string(table.trouble()->row) + ": " + table.trouble()->column + ": " + table.trouble()->wrong + "\n";
  return out;
}

std::string read_json(const Pack& pack, std::string_view text, std::vector<std::string> kept = {}) {
  return read(pack, text, {TableFormat::json_lines, std::move(kept)});
}

// As inputs_of says it.
std::string slow_line(const Pack& pack, const std::vector<std::pair<std::string, std::string>>& told) {
  const Names names(pack);
  Answers answers(pack.findings.size());
  for (const auto& [name, text] : told) {
    if (text.empty()) continue;
    auto reading = value_of_text(pack, names.finding(name), text);
    if (!reading.value) return name + ": " + reading.wrong;
    answers[names.finding(name)] = std::move(reading.value);
  }
  std::string line;
  for (const Truth truth : inputs_of(pack, answers)) line += truth == Truth::open ? '?' : truth == Truth::yes ? '1' : '0';
  if (line.find('?') == line.npos) return line;
  line = "open";
  for (Index f = 0; f < answers.size(); ++f)
    if (answers[f]) line += " " + pack.findings[f].name + "=" + value_words(pack.findings[f], *answers[f]);
  return line;
}

}  // namespace

// ---------------------------------------------------------------- CSV

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

// ---------------------------------------------------------------- JSON lines

TEST_CASE("objects are persons, with words, numbers, true and false as answers") {
  const Pack pack = small_pack();
  CHECK(read_json(pack, "{\"fever\":\"yes\",\"cold feet\":\"no\"}\n\n { \"Cold  Feet\" : true , \"FEVER\" : false } \r\n{\"fever\":null}\n{}") ==
        "1: 01\n3: 10\n4: open\n5: open\n");
  const Pack full = full_pack();
  CHECK(read_json(full,
                  "{\"weight\":70.5}\n{\"weight\":7.05e1}\n{\"weight\":\"154 lb\"}\n{\"weight (g)\":70500}\n{\"warmth "
                  "(degF)\":98.6,\"age\":\"34\"}\n{\"age\":340e-1}\n") ==
        "1: open weight=70.5 kg\n2: open weight=70.5 kg\n3: weight: 69.85322498 kg lies between two steps of \"weight\", which goes in steps of 0.1\n"
        "4: open weight=70.5 kg\n5: open warmth=37 degC age=34 years\n6: open age=34 years\n");
  CHECK(read_json(full, "{\"birthday\":\"1 March\",\"waking\":\"06:30\",\"last bath\":\"never\"}") ==
        "1: open last bath=never birthday=1 March waking=06:30\n");
}

TEST_CASE("what is wrong with an answer in JSON is told with its name") {
  const Pack pack = full_pack();
  CHECK(read_json(pack, "{\"fever\":1}") == "1: fever: \"fever\" is told in words: no or yes\n");
  CHECK(read_json(pack, "{\"age\":true}") == "1: age: \"true\" is no number; \"age\" goes from 0 years to 110 years\n");
  CHECK(read_json(pack, "{\"age\":1e60}").find("is out of the range of \"age\"") != std::string::npos);
  CHECK(read_json(pack, "{\"age\":1e61}") == "1: age: the number has more digits than can be taken\n");
  CHECK(read_json(pack, "{\"age\":1e-99999999999999999999}") == "1: age: the number has more digits than can be taken\n");
  CHECK(read_json(pack, "{\"age\":" + std::string(61, '1') + "}") == "1: age: the number has more digits than can be taken\n");
  CHECK(read_json(pack, "{\"fever\":\"\"}") == "1: fever: \"\" is no answer for \"fever\", which is no or yes\n");
  CHECK(read_json(pack, "{\"fever\":\"yes\",\"Fever\":null}") == "1: Fever: \"fever\" is answered twice\n");
  CHECK(read_json(pack, "{\"weight\":70,\"weight (g)\":70000}") == "1: weight (g): \"weight\" is answered twice\n");
  CHECK(read_json(pack, "{\"feever\":\"yes\"}\n{\"fever\":\"yes\"}") ==
        "1: feever: no finding is called \"feever\"; did you mean \"fever\"?\n2: open fever=yes\n");
  CHECK(read_json(pack, "{\"weight (stone)\":7}") == "1: weight (stone): \"stone\" is no unit of \"weight\", which is told in kg\n");
}

TEST_CASE("a number that is no day of the year or minute of the day is told as the number it is, however large") {
  const Pack pack = full_pack();
  CHECK(read_json(pack, "{\"birthday\":69999999999999999991}\n{\"birthday\":366}\n{\"birthday\":-1}\n{\"birthday\":365}\n{\"birthday\":0}") ==
        "1: birthday: 69999999999999999991 is out of the range of \"birthday\", which goes from 1 January to 31 December\n"
        "2: birthday: 366 is out of the range of \"birthday\", which goes from 1 January to 31 December\n"
        "3: birthday: -1 is out of the range of \"birthday\", which goes from 1 January to 31 December\n"
        "4: open birthday=31 December\n5: open birthday=1 January\n");
  CHECK(read_json(pack, "{\"waking\":-1e60}\n{\"waking\":1440}\n{\"waking\":1439}") ==
        "1: waking: -1" + std::string(60, '0') + " is out of the range of \"waking\", which goes from 00:00 to 23:59\n"
        "2: waking: 1440 is out of the range of \"waking\", which goes from 00:00 to 23:59\n3: open waking=23:59\n");
}

TEST_CASE("what is no JSON object makes its line bad, and reading goes on at the next") {
  const Pack pack = small_pack();
  const std::pair<std::string, std::string> cases[] = {
      {"[]", ": an object should stand in the line"},
      {"\"fever\"", ": an object should stand in the line"},
      {"{\"fever\":\"yes\"", ": a comma or the end of the object should follow an answer"},
      {"{\"fever\":\"yes\"}}", ": something follows the object"},
      {"{\"fever\":\"yes\",}", ": a name in quotes should stand before each answer"},
      {"{,}", ": a name in quotes should stand before each answer"},
      {"{fever:1}", ": a name in quotes should stand before each answer"},
      {"{\"fever\" \"yes\"}", "fever: a colon should follow the name"},
      {"{\"fever\":}", "fever: what follows the colon is no answer; words stand in quotes"},
      {"{\"fever\":yes}", "fever: what follows the colon is no answer; words stand in quotes"},
      {"{\"fever\":True}", "fever: what follows the colon is no answer; words stand in quotes"},
      {"{\"fever\":[\"yes\"]}", "fever: a list or an object is no answer"},
      {"{\"fever\":{}}", "fever: a list or an object is no answer"},
      {"{\"fever\":\"yes}", "fever: a string is opened and not closed"},
      {"{\"fever\":\"y\\", "fever: a string has an escape that is none"},
      {"{\"fever\":\"y\\u12", "fever: a string has an escape that is none"},
      {"{\"fever\":\"y\tes\"}", "fever: a control character stands in a string"},
      {"{\"fever\":\"\\x\"}", "fever: a string has an escape that is none"},
      {"{\"fever\":\"\\u00zz\"}", "fever: a string has an escape that is none"},
      {"{\"fever\":\"\\ud800\"}", "fever: a string has an escape that is none"},
      {"{\"fever\":\"\\ud800\\u0041\"}", "fever: a string has an escape that is none"},
      {"{\"fever\":\"\\udc00\"}", "fever: a string has an escape that is none"},
      {"{\"fever\":01}", "fever: what begins like a number is none"},
      {"{\"fever\":-}", "fever: what begins like a number is none"},
      {"{\"fever\":1.}", "fever: what begins like a number is none"},
      {"{\"fever\":1e}", "fever: what begins like a number is none"},
      {"{\"fever\":.5}", "fever: what follows the colon is no answer; words stand in quotes"},
      {"{\"fever\":\"\xC0\x80\"}", ": the line is not UTF-8"},
      {"{\"fever\":\"\xED\xA0\x80\"}", ": the line is not UTF-8"},
      {"{\"fever\":\"\xF4\x90\x80\x80\"}", ": the line is not UTF-8"},
      {"{\"fever\":\"\xE2\x82\"}", ": the line is not UTF-8"},
      {std::string(5000, '['), ": an object should stand in the line"},
      {"{\"fever\":\"" + std::string(PersonTable::most_cell_bytes + 1, 'x') + "\"}", "fever: the string is too long"},
      {"{\"" + std::string(PersonTable::most_cell_bytes + 1, 'x') + "\":1}", ": the string is too long"},
      {std::string(PersonTable::most_row_bytes + 1, ' '), ": the line is too long"},
  };
  for (const auto& [line, wrong] : cases) {
    CAPTURE(line.substr(0, 80));
    CHECK(read_json(pack, line) == "1: " + wrong + "\n");
    CHECK(read_json(pack, line + "\n{\"fever\":\"yes\",\"cold feet\":\"no\"}\n") == "1: " + wrong + "\n2: 01\n");
  }
}

TEST_CASE("escapes of JSON are undone, in names, answers and kept texts") {
  CHECK(read_json(small_pack(), R"({"\u0066ever":"y\u0065s","cold\u0020feet":"no","id":"\"\\\/\b\f\n\r\t \u00e9 \u20AC \uD83D\uDE00"})", {"id"}) ==
        "1: 01 [\"\\/\b\f\n\r\t \xC3\xA9 \xE2\x82\xAC \xF0\x9F\x98\x80]\n");
}

TEST_CASE("kept answers of JSON are handed out as text, whatever they are") {
  CHECK(
      read_json(small_pack(),
                "{\"id\":17}\n{\"id\":-1.50E+3}\n{\"id\":true}\n{\"id\":null}\n{}\n{\"id\":[]}\n{\"id\":1,\"ID\":2}\n{\"fever\":true,\"id\":\"x\"}\n",
                {"id"}) ==
      "1: open [17]\n2: open [-1.50E+3]\n3: open [true]\n4: open []\n5: open []\n6: id: a list or an object is no answer\n7: ID: \"ID\" is answered "
      "twice\n"
      "8: open fever=yes [x]\n");
}

TEST_CASE("a bad line stops the reading where that is wanted") {
  CHECK(read(small_pack(), "{}\n{\"fever\":2}\n{}\n", {TableFormat::json_lines, {}, true}) ==
        "1: open\ntrouble 2: fever: \"fever\" is told in words: no or yes\n");
}

// ---------------------------------------------------------------- against the slow way

namespace {

using Dice = std::mt19937_64;
std::size_t below(Dice& dice, std::size_t bound) { return static_cast<std::size_t>(dice() % bound); }
template <class T>
const T& one_of(Dice& dice, const std::vector<T>& list) {
  return list[below(dice, list.size())];
}

std::string any_capitals(Dice& dice, std::string text) {
  if (below(dice, 4) == 0)
    for (char& c : text)
      if (c >= 'a' && c <= 'z' && below(dice, 2) == 0) c = static_cast<char>(c - 32);
  return text;
}

std::string decimal(Dice& dice, long low, long high) {
  std::string out = std::to_string(low + static_cast<long>(below(dice, static_cast<std::size_t>(high - low + 1))));
  if (below(dice, 2) == 0) return out;
  out += '.';
  for (std::size_t i = below(dice, 3) + 1; i > 0; --i) out += static_cast<char>('0' + below(dice, 10));
  return out;
}

// A text told of the finding, mostly a value of it. `strange` out of a thousand are wrong, as many empty.
std::string any_text(Dice& dice, const Finding& f, std::size_t strange) {
  const std::size_t luck = below(dice, 1000);
  if (luck < strange) return "";
  if (luck < 2 * strange)
    return one_of<std::string>(
        dice, {"perhaps", "1e5", "yess", "no.", "-", "999999", "12:61", "1/2", "1.", "\xFF", "+3", "0000000000000000000001", "99999999999999999999"});
  if (f.has_words()) return any_capitals(dice, one_of(dice, f.values));
  if (f.or_never && below(dice, 3) == 0) return any_capitals(dice, "never");
  if (f.kind == Finding::Kind::date)
    return std::to_string(below(dice, 28) + 1) + any_capitals(dice, one_of<std::string>(dice, {" march", " april", " november"}));
  if (f.kind == Finding::Kind::time_of_day) return one_of<std::string>(dice, {"6:30", "06:31", "23:59", "0:00"});
  if (f.name == "weight")
    return one_of<std::string>(
        dice, {"45", "45.0", "45.1", "44.9", "2", "350", "70.50", "7/1", "70.5 kg", "70500 g", std::to_string(2 + below(dice, 349))});
  if (f.name == "warmth")
    return one_of<std::string>(dice, {"36.6", "36.60", "36.666666666666666", "36.66666666666667", "110/3", "36.7", "38.5", "38.50000000000001", "45",
                                      decimal(dice, 30, 44)});
  if (f.name == "age") return one_of<std::string>(dice, {"0", "17", "18", "18.0", "65", "66", "-0", std::to_string(below(dice, 111))});
  if (f.name == "height") return one_of<std::string>(dice, {"1.7", "1.75", "0", "2", "1.80", "1.650"});
  if (f.name == "depth")
    return one_of<std::string>(dice, {"-0.333333", "-1/3", "-0.33333333333333333", "-0.3333333333333334", "0", "-0", "0.142857142857142857",
                                      "0.1428571428571428", "0.143", "-12.5", "12.5", decimal(dice, -12, 11)});
  if (f.name == "third") return one_of<std::string>(dice, {"1/3", "5", "5.0", "16/3", "14/3", "10"});
  return decimal(dice, 0, 399);
}

std::string csv_cell(Dice& dice, const std::string& text, bool may_quote) {
  std::string out = below(dice, 20) == 0 ? " " + text + "  " : text;
  return may_quote && below(dice, 3) == 0 ? "\"" + out + "\"" : out;
}

std::string quoted_json(const std::string& text) { return "\"" + text + "\""; }

std::string first_difference(const std::string& a, const std::string& b) {
  const auto at = static_cast<std::size_t>(std::mismatch(a.begin(), a.end(), b.begin(), b.end()).first - a.begin());
  const std::size_t begin = a.rfind('\n', at) + 1;
  return a.substr(begin, a.find('\n', at) - begin) + "\nand not\n" + b.substr(begin, b.find('\n', begin) - begin);
}

// Reads tables of rows that were made by chance, in pieces of several sizes.
void read_random_tables(const Pack& pack, std::uint64_t seed, std::size_t rows, std::size_t& complete) {
  CAPTURE(seed);
  Dice dice(seed);
  std::vector<Index> order(pack.findings.size());
  std::vector<std::string> names;    // as the table calls them, by finding
  for (const Finding& finding : pack.findings) names.push_back(any_capitals(dice, finding.name));
  for (Index f = 0; f < order.size(); ++f) order[f] = f;
  std::shuffle(order.begin(), order.end(), dice);
  const bool json = below(dice, 3) == 0, quotes = below(dice, 2) == 0, returns = below(dice, 2) == 0;
  const char separator = one_of<char>(dice, {',', ';', '\t'});
  const std::string line_break = returns ? "\r\n" : "\n";
  std::string table, expected;
  std::uint64_t row = 0;
  if (!json) {
    for (const Index f : order) table += (table.empty() ? "" : std::string(1, separator)) + names[f];
    table += line_break, ++row;
  }
  const std::size_t strange = one_of<std::size_t>(dice, {0, 2, 50});
  for (std::size_t r = 0; r < rows; ++r) {
    std::vector<std::pair<std::string, std::string>> told;
    std::string line;
    for (const Index f : order) {
      const Finding& finding = pack.findings[f];
      std::string text = any_text(dice, finding, strange);
      if (json && text == "\xFF") text = "?";
      told.emplace_back(names[f], text);
      if (json) line += (line.empty() ? "{" : ", ") + quoted_json(names[f]) + ": " + (text.empty() ? "null" : quoted_json(text));
      else line += (line.empty() && f == order[0] ? "" : std::string(1, separator)) + csv_cell(dice, text, quotes);
    }
    if (line.empty()) line = " ";    // else it were a blank line, and no person
    const std::string slow = slow_line(pack, told);
    complete += slow[0] == '0' || slow[0] == '1';
    table += line + (json ? "}" : "") + line_break;
    expected += std::to_string(++row) + ": " + slow + "\n";
  }
  const PersonSettings settings{json ? TableFormat::json_lines : TableFormat::csv};
  const std::string at_once = read(pack, table, settings);
  if (at_once != expected) FAIL(first_difference(at_once, expected) << "\n" << table.substr(0, 2000));
  for (const std::size_t piece : {std::size_t{1}, std::size_t{2}, std::size_t{61}, std::size_t{1000}, std::size_t{100000}})
    if (read(pack, table, settings, piece) != expected) FAIL("in pieces of " << piece << ":\n" << table.substr(0, 2000));
}

}  // namespace

TEST_CASE("the bits of random tables of every kind of finding are those of the slow way, whatever the size of the pieces") {
  const Pack pack = full_pack();
  std::size_t complete = 0;
  for (std::uint64_t seed = 1; seed <= 60; ++seed) read_random_tables(pack, seed, 60, complete);
  CHECK(complete > 1000);
}

TEST_CASE("so are those where a measure asks for a tally") {
  const Pack pack = full_pack(true);
  std::size_t complete = 0;
  for (std::uint64_t seed = 101; seed <= 120; ++seed) read_random_tables(pack, seed, 60, complete);
  CHECK(complete > 300);
}

TEST_CASE("so are those of many findings of yes and no") {
  for (const std::size_t count : {1u, 2u, 63u, 64u, 65u, 127u, 128u, 129u, 200u}) {
    Pack pack;
    for (std::size_t f = 0; f < count; ++f) pack.findings.push_back(yes_no("f" + std::to_string(f)));
    for (std::size_t f = count; f-- > 0;) cut(pack, "f" + std::to_string(f));
    pack = finished(pack);
    std::size_t complete = 0;
    for (std::uint64_t seed = 1; seed <= 6; ++seed) read_random_tables(pack, seed * 1000 + count, 150, complete);
    CAPTURE(count);
    CHECK(complete > 100);
  }
}

TEST_CASE("the sieve finds the same by strides and cell by cell") {
  const std::uint64_t seed = 20240613;
  CAPTURE(seed);
  Dice dice(seed);
  const std::vector<std::string> parts = {"yes", "no", "YES", "No", ",", ",", ",", "yes,", "no,", "y", "s", "\r", " ", "37.5,", "n", "yesno"};
  Sieve wide(',', 100), plain(',', 100, false);
  std::size_t taken = 0;
  for (int round = 0; round < 20000; ++round) {
    std::string row;
    for (std::size_t i = below(dice, 150); i > 0; --i) row += one_of(dice, parts);
    if (below(dice, 20) == 0) row += '"';
    row += '\n';
    const std::string text = row + std::string(Sieve::margin, one_of<char>(dice, {'\0', '"', '\n', ','}));
    const bool takes = wide.take(text.data(), text.size());
    if (plain.take(text.data(), text.size()) != takes) FAIL(row);
    const std::size_t cells = static_cast<std::size_t>(std::count(row.begin(), row.end(), ',')) + 1;
    if (takes != (cells <= 100 && row.find('"') == row.npos)) FAIL(row);
    if (!takes) continue;
    ++taken;
    if (wide.used() != row.size() || plain.used() != row.size() || wide.cells() != cells || plain.cells() != cells) FAIL(row);
    for (std::size_t c = 0; c < cells; ++c) {
      const auto bit = [c](const std::vector<std::uint64_t>& bits) { return (bits[c / 64] >> (c % 64) & 1) != 0; };
      const std::string cell = folded(wide.cell(c));
      if (wide.cell(c) != plain.cell(c) || bit(wide.told()) != bit(plain.told()) || bit(wide.yes()) != bit(plain.yes())) FAIL(row << "cell " << c);
      if (bit(wide.told()) && cell != "no" && cell != "yes") FAIL(row << "cell " << c);
      if (bit(wide.told()) && bit(wide.yes()) != (cell == "yes")) FAIL(row << "cell " << c);
    }
  }
  CHECK(taken > 10000);
}

TEST_CASE("feeding byte by byte gives the same as feeding at once, of bytes that make no sense too") {
  const Pack pack = small_pack();
  const std::uint64_t seed = 20240611;
  CAPTURE(seed);
  Dice dice(seed);
  const std::vector<std::string> csv = {"yes",      "no",           ",", ",", ",", "\n", "\n", "\"", "\"", "\r", " ", "x", std::string(1, '\0'),
                                        "yes,no\n", "\xEF\xBB\xBF", ";"};
  const std::vector<std::string> json = {"{",    "}",    "\"fever\"", "\"cold feet\"",
                                         ":",    ",",    "\n",        "\"yes\"",
                                         "true", "null", "1",         "[",
                                         "\\",   "\"",   "\xC3",      "{\"fever\":true,\"cold feet\":false}\n"};
  for (int round = 0; round < 3000; ++round) {
    const bool lines = round % 2 == 0;
    std::string text = lines ? "" : "fever,cold feet\n";
    for (std::size_t i = below(dice, 60); i > 0; --i) text += one_of(dice, lines ? json : csv);
    const PersonSettings settings{lines ? TableFormat::json_lines : TableFormat::csv};
    const std::string at_once = read(pack, text, settings, text.size() + 1);
    if (read(pack, text, settings, 1) != at_once || read(pack, text, settings, 3) != at_once ||
        read(pack, text + std::string(200, '\n'), settings) != at_once)
      if (at_once.find("before the table ends") == std::string::npos && at_once.find("not closed") == std::string::npos)
        FAIL(text << "\n---\n" << at_once);
  }
}
