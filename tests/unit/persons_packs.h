// tests/unit/persons_packs.h: packs for tests of runtime/persons.h, and what is read with them as lines of text.
#pragma once

#include "runtime/persons.h"

#include <algorithm>
#include <catch2/catch.hpp>
#include <map>

#include "runtime/cutter.h"
#include "runtime/inputs.h"
#include "runtime/pack_verify.h"

namespace betony::testing::persons {

using namespace betony::runtime;

// ---------------------------------------------------------------- packs

inline Finding words(const std::string& name, Finding::Kind kind, std::vector<std::string> values) {
  Finding out;
  out.name = name, out.kind = kind, out.values = std::move(values);
  return out;
}
inline Finding yes_no(const std::string& name) { return words(name, Finding::Kind::yes_no, {"no", "yes"}); }

inline Finding number(const std::string& name, const char* low, const char* high, const char* step, const std::string& unit = {}) {
  Finding out;
  out.name = name, out.kind = Finding::Kind::number, out.unit = unit;
  out.low = *Number::read(low), out.high = *Number::read(high), out.step = *Number::read(step);
  return out;
}

inline Variable::End end(const char* at, bool belongs) { return {*Number::read(at), belongs}; }

// Builds variables in order; a finding may be left without.
inline void cut(Pack& pack, const std::string& name, std::vector<Variable::End> ends = {}, bool is_measure = false) {
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

inline Step step(Step::Kind kind, Index index = 0, const char* number = "0") { return {kind, index, *Number::read(number)}; }

inline Pack finished(Pack pack) {
  pack.readings.emplace_back();
  REQUIRE(what_is_wrong(pack) == "");
  return pack;
}

// Two findings of yes and no, in another order than their inputs.
inline Pack small_pack() {
  Pack pack;
  pack.findings = {yes_no("fever"), yes_no("cold feet")};
  pack.findings[1].also = {"chilly feet"};
  cut(pack, "cold feet"), cut(pack, "fever");
  return finished(pack);
}

// One of each kind.
inline Pack full_pack(bool with_tally = false) {
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

inline std::string read(const Pack& pack, std::string_view text, const PersonSettings& settings = {}, std::size_t piece = 0) {
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

inline std::string read_json(const Pack& pack, std::string_view text, std::vector<std::string> kept = {}) {
  return read(pack, text, {TableFormat::json_lines, std::move(kept)});
}

// As inputs_of says it.
inline std::string slow_line(const Pack& pack, const std::vector<std::pair<std::string, std::string>>& told) {
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

}  // namespace betony::testing::persons
