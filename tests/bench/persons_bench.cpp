// tests/bench/persons_bench.cpp: how fast tables of persons are read into blocks.
//
// 140 findings of yes and no and 3 numbers, 200,000 rows in memory; the median of five runs, in nanoseconds a person.
// A plain search for the line breaks of the same bytes runs beside them.
#include <cstdio>
#include <cstring>
#include <random>
#include <string>

#include "runtime/persons.h"
#include "runtime/pack_verify.h"
#include "tests/bench/clock.h"

namespace {

using namespace betony::runtime;

constexpr std::size_t yes_nos = 140, persons = 200'000;

void cut(Pack& pack, Index finding, std::vector<Variable::End> ends) {
  Variable out;
  out.index = finding, out.first_input = pack.program.inputs, out.ends = std::move(ends);
  const bool words = pack.findings[finding].has_words();
  out.inputs = words ? 1 : static_cast<Index>(out.ends.size()), out.cells = words ? 2 : out.inputs + 1;
  pack.program.inputs += out.inputs;
  pack.variables.push_back(std::move(out));
}

void add_number(Pack& pack, const char* name, int high, Number step, std::vector<Variable::End> ends) {
  Finding finding;
  finding.name = name, finding.kind = Finding::Kind::number, finding.high = high, finding.step = std::move(step);
  pack.findings.push_back(std::move(finding));
  cut(pack, static_cast<Index>(pack.findings.size() - 1), std::move(ends));
}

Pack big_pack() {
  Pack pack;
  for (std::size_t f = 0; f < yes_nos; ++f) {
    Finding finding;
    finding.name = "finding " + std::to_string(f), finding.values = {"no", "yes"};
    pack.findings.push_back(std::move(finding));
    cut(pack, static_cast<Index>(f), {});
  }
  const Number tenth = *divided(1, 10);
  add_number(pack, "age", 110, 1, {{18, false}, {65, true}, {75, true}});
  add_number(pack, "weight", 350, tenth, {{45, false}, {100, true}});
  add_number(pack, "warmth", 45, 0, {{Number(366) * tenth, true}, {38, false}, {Number(385) * tenth, true}});
  pack.readings.emplace_back();
  return pack;
}

// Body mass index, from two numbers.
Pack with_measure() {
  Pack pack = big_pack();
  const Step weight{Step::Kind::finding, yes_nos + 1, {}}, age{Step::Kind::finding, yes_nos, {}};
  pack.measures = {{"ratio", "", {weight, age, {Step::Kind::number, 0, 1}, {Step::Kind::add, 0, {}}, {Step::Kind::divide, 0, {}}}}};
  Variable measure;
  measure.is_measure = true, measure.first_input = pack.program.inputs++, measure.inputs = 1, measure.cells = 2, measure.ends = {{25, true}};
  pack.variables.push_back(std::move(measure));
  return pack;
}

enum class Look { plain, quoted, returns, open_cells };

std::string table_of(Look look) {
  std::mt19937_64 dice(20240612);
  const std::string quote = look == Look::quoted ? "\"" : "", line_break = look == Look::returns ? "\r\n" : "\n";
  std::string out;
  for (std::size_t f = 0; f < yes_nos; ++f) out += "finding " + std::to_string(f) + ",";
  out += "age,weight,warmth" + line_break;
  for (std::size_t p = 0; p < persons; ++p) {
    for (std::size_t f = 0; f < yes_nos; ++f) out += quote + (look == Look::open_cells && f == 70 ? "" : dice() % 2 ? "yes" : "no") + quote + ",";
    out += std::to_string(dice() % 111) + "," + std::to_string(20 + dice() % 100) + "." + std::to_string(dice() % 10) + ",3" +
           std::to_string(dice() % 10) + "." + std::to_string(dice() % 100) + line_break;
  }
  return out;
}

std::string lines_of_json() {
  std::mt19937_64 dice(20240612);
  std::string out;
  for (std::size_t p = 0; p < persons / 10; ++p) {
    out += "{\"age\":" + std::to_string(dice() % 111) + ",\"weight\":" + std::to_string(20 + dice() % 100) + ",\"warmth\":36.5";
    for (std::size_t f = 0; f < yes_nos; ++f) out += ",\"finding " + std::to_string(f) + "\":" + (dice() % 2 ? "true" : "false");
    out += "}\n";
  }
  return out;
}

struct Counter : PersonTaker {
  std::size_t complete = 0, open_ones = 0, bad_rows = 0, bits = 0;
  void block(PersonBlock& block) override { complete += block.bits.persons, bits += block.bits.planes[0] & 1; }
  void open(OpenPerson&) override { ++open_ones; }
  void bad(const BadRow&) override { ++bad_rows; }
};

void measure(const char* name, const Pack& pack, TableFormat format, const std::string& text, std::size_t piece) {
  Counter counter;
  const auto time = betony::bench::median_of([&] {
    counter = {};
    PersonTable table(pack, {format, {}}, counter);
    for (std::size_t at = 0; at < text.size(); at += piece) table.feed(std::string_view(text).substr(at, piece));
    table.finish();
  });
  const auto rows = static_cast<double>(counter.complete + counter.open_ones + counter.bad_rows);
  std::printf("| %s | %zu | %zu | %zu | %.0f | %.2f |\n", name, counter.complete, counter.open_ones, counter.bad_rows, time.processor * 1e9 / rows,
              time.processor * 1e9 / static_cast<double>(text.size()));
  std::fflush(stdout);
}

void scan(const std::string& text) {
  std::size_t lines = 0;
  const auto time = betony::bench::median_of([&] {
    lines = 0;
    for (const char* at = text.data();
         (at = static_cast<const char*>(std::memchr(at, '\n', static_cast<std::size_t>(text.data() + text.size() - at)))); ++at)
      ++lines;
  });
  std::printf("| line breaks alone | %zu | 0 | 0 | %.0f | %.2f |\n", lines - 1, time.processor * 1e9 / static_cast<double>(lines),
              time.processor * 1e9 / static_cast<double>(text.size()));
}

}  // namespace

int main() {
  const Pack pack = big_pack(), formula = with_measure();
  if (!what_is_wrong(pack).empty() || !what_is_wrong(formula).empty()) return 1;
  constexpr std::size_t piece = 1 << 16;
  std::printf("## Tables of persons into blocks\n\n140 findings of yes and no and 3 numbers, 200,000 rows in memory.\n\n| table | complete | open | bad | ns a person | ns a byte |\n|---|---|---|---|---|---|\n");
  {
    const std::string text = table_of(Look::plain);
    scan(text);
    measure("CSV at once", pack, TableFormat::csv, text, text.size());
    measure("CSV in pieces of 64 KiB", pack, TableFormat::csv, text, piece);
    measure("CSV, with a measure", formula, TableFormat::csv, text, piece);
  }
  measure("CSV with CR LF", pack, TableFormat::csv, table_of(Look::returns), piece);
  measure("CSV, all in quotes", pack, TableFormat::csv, table_of(Look::quoted), piece);
  measure("CSV, one open in each", pack, TableFormat::csv, table_of(Look::open_cells), piece);
  measure("JSON lines", pack, TableFormat::json_lines, lines_of_json(), piece);
}
