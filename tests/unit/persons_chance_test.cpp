// runtime/persons.h: that what is put into blocks is what inputs_of says, row by row, of tables made by chance.
#include <random>

#include "tests/unit/persons_packs.h"

using namespace betony::runtime;
using namespace betony::testing::persons;

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
    row += '\n';
    const std::string text = row + std::string(Sieve::margin, one_of<char>(dice, {'\0', '"', '\n', ','}));
    const bool takes = wide.take(text.data(), text.size());
    if (plain.take(text.data(), text.size()) != takes) FAIL(row);
    const std::size_t cells = static_cast<std::size_t>(std::count(row.begin(), row.end(), ',')) + 1;
    if (takes != (cells <= 100)) FAIL(row);
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

// Rows in quotes, some of them meddled with: other bytes, or fewer.
TEST_CASE("of rows in quotes the sieve finds what cutting finds, or leaves them to it") {
  const std::uint64_t seed = 20261127;
  CAPTURE(seed);
  Dice dice(seed);
  const std::vector<std::string> words = {"yes", "no", "YES", "No", "", "y", " yes", "37.5", "never", "a rather long word"};
  const std::vector<std::string> bytes = {"\"", "\"\"", ",", "\r", "\n", "\r\n", " ", "x", ",\"", "\","};
  Sieve wide(',', 100), plain(',', 100, false);
  const std::string simple = "\"yes\"\n" + std::string(Sieve::margin, ' ');
  const bool has_strides = wide.take(simple.data(), simple.size());    // else it takes no quotes
  CHECK_FALSE(plain.take(simple.data(), simple.size()));
  std::size_t taken = 0, left = 0;
  for (int round = 0; round < 40000; ++round) {
    std::string text;
    for (std::size_t cells = below(dice, 60) + 1, c = 0; c < cells; ++c) {
      const std::string word = one_of(dice, words);
      text += (c ? "," : "") + (below(dice, 8) ? '"' + word + '"' : word);
    }
    text += one_of<std::string>(dice, {"\n", "\r\n"});
    const bool is_meddled_with = below(dice, 3) == 0;
    if (is_meddled_with)
      for (std::size_t n = below(dice, 3) + 1; n > 0; --n) text.replace(below(dice, text.size()), below(dice, 3), one_of(dice, bytes));
    if (below(dice, 4) == 0) text += "\n\"yes\",\"no";
    const std::size_t without = text.size();
    text += std::string(Sieve::margin, one_of<char>(dice, {'\0', '"', '\n', ',', '\r'}));
    if (text.find('"') < text.find('\n') && plain.take(text.data(), text.size())) FAIL("taken cell by cell: " << text);
    if (!wide.take(text.data(), text.size())) {
      if (has_strides && !is_meddled_with) FAIL("left: " << text);
      ++left;
      continue;
    }
    ++taken;
    if (wide.used() > without && text[without] != '\n') FAIL("more than there is: " << text);
    const auto found = RowFinder(",", 1 << 20).find(text);
    Cut cut;
    cut_row(wide.row(), ',', 100, cut);
    if (!found.ended || found.used != wide.used() || !cut.fault.empty() || cut.cells.size() != wide.cells()) FAIL(text);
    for (std::size_t c = 0; c < cut.cells.size(); ++c) {
      const auto bit = [c](const std::vector<std::uint64_t>& bits) { return (bits[c / 64] >> (c % 64) & 1) != 0; };
      std::string cell(cut.cells[c]);
      for (char& letter : cell) letter = static_cast<char>(letter | 0x20);
      if (wide.cell(c) != cut.cells[c]) FAIL(text << "cell " << c << ": " << wide.cell(c));
      const bool at_line_end = c + 1 == cut.cells.size() && wide.row().ends_with('\r');    // "no" and CR are told or are not
      if (!at_line_end && bit(wide.told()) != (cell == "yes" || cell == "no")) FAIL(text << "cell " << c);
      if (bit(wide.told()) && bit(wide.yes()) != (cell == "yes")) FAIL(text << "cell " << c);
    }
  }
  CAPTURE(taken, left);
  CHECK(left > 5000);
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
