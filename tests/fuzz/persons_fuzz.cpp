// tests/fuzz/persons_fuzz.cpp: the fuzz target for tables of persons.
//
// The first byte chooses the format and the size of the pieces; the rest is the table. Whatever it is, reading it ends well; the
// bits of a complete person are those that inputs_of makes of the row read alone in JSON or CSV, cell by cell; and
// pieces make no difference.
#include <algorithm>
#include <cstdint>
#include <cstdlib>
#include <string>
#include <string_view>
#include <vector>

#include "runtime/inputs.h"
#include "runtime/pack_verify.h"
#include "runtime/persons.h"

namespace {

using namespace betony::runtime;

void require(bool holds) {
  if (!holds) std::abort();
}

Finding finding(const char* name, Finding::Kind kind, std::vector<std::string> values, int high = 0) {
  Finding out;
  out.name = name, out.kind = kind, out.values = std::move(values), out.high = high;
  return out;
}

Pack small_pack() {
  using Kind = Finding::Kind;
  Pack pack;
  pack.unit_tables = {{{"kg", 1, {}, false}, {"g", *Number::read("1/1000"), {}, true}}};
  pack.findings = {
      finding("a", Kind::yes_no, {"no", "yes"}), finding("b", Kind::yes_no, {"no", "yes"}), finding("c", Kind::grade, {"none", "very mild", "no"}),
      finding("d", Kind::number, {}, 350),       finding("e", Kind::number, {}, 10),        finding("f", Kind::date, {}, 365)};
  pack.findings[3].units = 0, pack.findings[3].unit = "kg", pack.findings[3].step = *Number::read("0.1");
  pack.findings[4].low = -10, pack.findings[4].or_never = true;
  using Op = Step::Kind;
  pack.measures = {{"ratio", "", {{Op::finding, 3, {}}, {Op::finding, 4, {}}, {Op::divide, 0, {}}}}};
  pack.variables = {{false, 1, {}, 2, 0, 1},
                    {false, 3, {{*Number::read("45"), false}, {*Number::read("211/3"), true}}, 3, 1, 2},
                    {false, 0, {}, 2, 3, 1},
                    {true, 0, {{7, true}}, 2, 4, 1},
                    {false, 2, {}, 3, 5, 3},
                    {false, 4, {{*Number::read("-1/3"), true}, {0, false}, {0, true}}, 5, 8, 4}};
  pack.program.inputs = 12;
  pack.readings.emplace_back();
  require(what_is_wrong(pack).empty());
  return pack;
}

// A row each, in words: what is told of it, as far as it can be told from outside.
class Rows : public PersonTaker {
 public:
  explicit Rows(const Pack& pack) : pack_(pack) {}
  void block(PersonBlock& block) override {
    require(block.bits.persons > 0 && block.bits.persons <= block_persons && block.rows.size() == block.bits.persons);
    require(block.kept.ends.size() == block.kept.columns * block.bits.persons);
    for (unsigned p = 0; p < block.bits.persons; ++p) {
      require(p == 0 || block.rows[p - 1] < block.rows[p]);
      std::string& line = at(block.rows[p]) = "=";
      for (Index i = 0; i < pack_.program.inputs; ++i) line += bit(block, i, p) ? '1' : '0';
      line += block.kept.text(p, 0);
    }
    for (unsigned p = block.bits.persons; p < block_persons; ++p)
      for (Index i = 0; i < pack_.program.inputs; ++i) require(!bit(block, i, p));
  }
  void open(OpenPerson& person) override {
    const auto inputs = inputs_of(pack_, person.answers);
    bool open = false;
    for (const Truth input : inputs) open = open || input == Truth::open;
    require(open);
    std::string& line = at(person.row) = "?";
    for (Index f = 0; f < person.answers.size(); ++f) line += person.answers[f] ? value_words(pack_.findings[f], *person.answers[f]) + ";" : ";";
    line += person.kept.text(0, 0);
  }
  void bad(const BadRow& row) override { at(row.row) = row.column + ": " + row.wrong; }

  std::vector<std::string> rows;

 private:
  static bool bit(const PersonBlock& block, Index input, unsigned person) {
    return block.bits.planes[input * block_words + person / 64] >> (person % 64) & 1u;
  }
  std::string& at(std::uint64_t row) {
    require(row > 0 && row < (1u << 24));
    if (rows.size() <= row) rows.resize(row + 1);
    require(rows[row].empty());
    return rows[row];
  }
  const Pack& pack_;
};

std::vector<std::string> rows_of(const Pack& pack, TableFormat format, std::string_view text, std::size_t piece) {
  Rows rows(pack);
  PersonTable table(pack, {format, {"id"}}, rows);
  for (; !text.empty(); text.remove_prefix(std::min(piece, text.size()))) table.feed(std::string(text.substr(0, piece)));
  table.finish();
  if (table.trouble()) rows.rows.push_back(std::to_string(table.trouble()->row) + table.trouble()->column + table.trouble()->wrong);
  return rows.rows;
}

// The same pack, in which an answer that is never given is asked for: all its persons are open, and so read slowly.
Pack with_open(const Pack& pack) {
  Pack out = pack;
  out.findings.push_back(finding("never told of anybody", Finding::Kind::yes_no, {"no", "yes"}));
  out.variables.push_back({false, static_cast<Index>(out.findings.size() - 1), {}, 2, out.program.inputs++, 1});
  require(what_is_wrong(out).empty());
  return out;
}

// Checks the bits of every complete person against inputs_of the answers that the slow way gives for its row.
class Slow : public PersonTaker {
 public:
  Slow(const Pack& pack, const std::vector<std::string>& rows) : pack_(pack), rows_(rows) {}
  void block(PersonBlock&) override { std::abort(); }
  void open(OpenPerson& person) override {
    ++persons;
    Answers answers(person.answers.begin(), person.answers.end() - 1);
    std::string line = "=";
    for (const Truth input : inputs_of(pack_, answers)) line += input == Truth::yes ? '1' : input == Truth::no ? '0' : '?';
    require(person.row < rows_.size());
    const bool open = line.find('?') != line.npos;
    require(open ? rows_[person.row][0] == '?' : rows_[person.row] == line + std::string(person.kept.text(0, 0)));
  }
  // But for a name that comes near to the one name the packs do not share, which one of them alone can suggest.
  void bad(const BadRow& row) override {
    require(rows_[row.row] == row.column + ": " + row.wrong || row.wrong.find("never told") != row.wrong.npos);
  }

  std::size_t persons = 0;

 private:
  const Pack& pack_;
  const std::vector<std::string>& rows_;
};

}  // namespace

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
  static const Pack pack = small_pack(), open = with_open(pack);
  if (size == 0) return 0;
  const TableFormat format = data[0] & 1 ? TableFormat::json_lines : TableFormat::csv;
  const std::size_t piece = std::size_t{1} << (data[0] >> 1 & 15);
  const std::string text(reinterpret_cast<const char*>(data) + 1, size - 1);
  if (text.find("never told") != text.npos) return 0;    // the one name the packs do not share
  const auto rows = rows_of(pack, format, text, size);
  require(rows_of(pack, format, text, piece) == rows);
  Slow slow(pack, rows);
  PersonTable table(open, {format, {"id"}}, slow);
  table.feed(text);
  table.finish();
  return 0;
}
