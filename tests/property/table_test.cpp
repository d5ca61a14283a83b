// Random tables, written as CSV and, by this file's own hand, as sentences: what is told of the one must be told of the
// other, of the same rows. And what tidy makes of the table must be told the same again.
#include <catch2/catch.hpp>

#include <algorithm>
#include <iostream>
#include <random>
#include <set>

#include "compiler/compiler.h"

namespace betony::referee {
namespace {

constexpr unsigned seed = 20240611;
constexpr int tables = 400;

std::optional<std::string> no_file(const std::string&) { return std::nullopt; }

// One row as both writings have it.
struct Row {
  std::vector<std::string> cells;       // of the findings
  std::vector<std::string> conditions;  // the same in words; empty where the cell is
  std::vector<std::string> verdicts;    // a practice each; may be empty
  std::string value;                    // of the choice; may be empty
  bool otherwise = false;
};

class Maker {
 public:
  explicit Maker(unsigned number) : random_(number) {}

  int below(int n) { return static_cast<int>(random_() % static_cast<unsigned>(n)); }
  const std::string& one(const std::vector<std::string>& of) { return of[static_cast<std::size_t>(below(static_cast<int>(of.size())))]; }

  void yes_no(Row& row, const std::string& name) {
    switch (below(4)) {
      case 0: return add(row, "yes", name);
      case 1: return add(row, "No", "not " + name);
      default: return add(row, below(2) ? "" : "-", "");
    }
  }
  void words(Row& row, const std::string& name, const std::vector<std::string>& values, bool grade) {
    const std::string &a = one(values), &b = one(values);
    switch (below(grade ? 7 : 5)) {
      case 0: return add(row, a, name + " is " + a);
      case 1: return a == b ? add(row, a, name + " is " + a) : add(row, a + " | " + b, name + " is " + a + " or " + b);
      case 2: return add(row, "not " + a, name + " is not " + a);
      case 5: return add(row, ">=" + a, name + " at least " + a);
      case 6: return add(row, "< " + values[1], name + " under " + values[1]);
      default: return add(row, "", "");
    }
  }
  void number(Row& row, const std::string& name) {
    const int low = below(15), high = low + 1 + below(6);
    const std::string a = std::to_string(low), b = std::to_string(high);
    switch (below(8)) {
      case 0: return add(row, a + ".." + b, name + " from " + a + " to " + b);
      case 1: return add(row, "<" + b, name + " under " + b);
      case 2: return add(row, "<=" + b + " years", name + " at most " + b + " years");
      case 3: return add(row, ">" + a, name + " over " + a);
      case 4: return add(row, ">=" + a, name + " at least " + a);
      case 5: return add(row, "<" + b + "|>" + std::to_string(high + 2), "(" + name + " under " + b + " or " + name + " over " + std::to_string(high + 2) + ")");
      case 6: return add(row, "not " + a + ".." + b, "not " + name + " from " + a + " to " + b);
      default: return add(row, " ", "");
    }
  }

 private:
  static void add(Row& row, const std::string& cell, const std::string& condition) {
    row.cells.push_back(cell);
    row.conditions.push_back(condition);
  }
  std::mt19937 random_;
};

struct Made {
  std::string csv, sentences;
  std::vector<unsigned> row_of_line;  // of the sentences; from 1
};

std::string quoted(const std::string& cell) { return cell.find(',') == std::string::npos ? cell : "\"" + cell + "\""; }

std::string condition_of(const Row& row) {
  std::string out;
  for (const std::string& condition : row.conditions)
    if (!condition.empty()) out += (out.empty() ? "" : " and ") + condition;
  return out;
}

Made make(unsigned number) {
  Maker maker(number);
  const std::vector<std::string> practices = maker.below(2) ? std::vector<std::string>{"moss bed", "humming"} : std::vector<std::string>{"moss bed"};
  const std::vector<std::string> grades = {"none", "dry", "wet"}, humours = {"ember", "brook", "loam"}, oils = {"nut oil", "tallow", "seal oil"};
  const std::vector<std::string> verdicts = {"advised", "allowed", "discouraged", "withheld", "allowed with care", ""};
  std::vector<Row> rows;
  for (int i = 0, count = 2 + maker.below(6); i < count; ++i) {
    Row row;
    maker.yes_no(row, "chill");
    maker.words(row, "cough", grades, true);
    maker.words(row, "humour", humours, false);
    maker.number(row, "age");
    for (std::size_t p = 0; p < practices.size(); ++p) row.verdicts.push_back(maker.one(verdicts));
    row.value = maker.below(3) == 0 ? "" : maker.one(oils);
    const bool nothing = row.value.empty() && std::all_of(row.verdicts.begin(), row.verdicts.end(), [](const std::string& v) { return v.empty(); });
    if (nothing || condition_of(row).empty()) continue;
    rows.push_back(row);
  }
  if (maker.below(2)) {
    Row row;
    row.otherwise = true;
    row.cells = {"otherwise", "", "", ""};
    for (std::size_t p = 0; p < practices.size(); ++p) row.verdicts.push_back(p == 0 ? "allowed with care" : "withheld");
    row.value = "tallow";
    rows.push_back(row);
  }

  const std::vector<std::string> findings = {"chill is yes or no", "cough is a grade of none, dry, wet", "humour is one of ember, brook, loam",
                                             "age is a whole number of years from 0 to 20"};
  Made made;
  made.row_of_line.push_back(0);
  const auto say = [&](const std::string& line, unsigned row) {
    made.sentences += line + "\n";
    made.row_of_line.push_back(row);
  };
  for (const std::string& finding : findings) {
    made.csv += quoted(finding) + ",";
    say("Finding " + finding + ".", 1);
  }
  for (const std::string& practice : practices) made.csv += "Practice " + practice + ",";
  made.csv += "\"Choice oil is one of nut oil, tallow, seal oil\"\r\n";
  for (const Row& row : rows) {
    for (const std::string& cell : row.cells) made.csv += cell + ",";
    for (const std::string& verdict : row.verdicts) made.csv += verdict + ",";
    made.csv += row.value + "\r\n";
  }

  const std::pair<const char*, const char*> openings[] = {{"advised", "Indicated"}, {"allowed", "Allowed"}, {"discouraged", "Discouraged"}, {"withheld", "Contraindicated"}};
  for (std::size_t p = 0; p < practices.size(); ++p) {
    say("Practice " + practices[p] + ".", 1);
    for (std::size_t r = 0; r < rows.size(); ++r) {
      const Row& row = rows[r];
      const auto number_of = static_cast<unsigned>(r + 2);
      if (row.verdicts[p].empty()) continue;
      if (row.otherwise) say("Otherwise " + row.verdicts[p] + ".", number_of);
      for (const auto& [verdict, opening] : openings)
        if (!row.otherwise && row.verdicts[p] == verdict) say(std::string(opening) + " in " + condition_of(row) + ".", number_of);
      if (!row.otherwise && row.verdicts[p] == "allowed with care") say("In " + condition_of(row) + ": " + practices[p] + " is allowed with care.", number_of);
    }
  }
  say("Choice oil is one of nut oil, tallow, seal oil.", 1);
  for (std::size_t r = 0; r < rows.size(); ++r) {
    if (rows[r].value.empty()) continue;
    say(rows[r].otherwise ? "Otherwise " + rows[r].value + "." : "Take " + rows[r].value + " in " + condition_of(rows[r]) + ".", static_cast<unsigned>(r + 2));
  }
  return made;
}

// A problem with all that does not depend on how it was written: its sentences are told by their rows.
std::string told(const Ruleset& ruleset, const Problem& p, const std::vector<unsigned>* row_of_line) {
  const LineIndex lines(ruleset.tree.files[0]);
  std::string out = std::to_string(static_cast<int>(p.severity)) + " " + p.kind + "/" + p.form + " of " + p.practice + p.choice + p.finding + ", rows";
  std::multiset<unsigned> rows;
  for (const Concerned& c : p.sentences) {
    const unsigned number = lines.number(c.place.span.begin);
    rows.insert(row_of_line ? row_of_line->at(number) : number);
  }
  for (const unsigned row : rows) out += " " + std::to_string(row);
  out += "; " + (p.has_share ? p.share.low.get_str() + " to " + p.share.high.get_str() : std::string("no share")) + ";";
  for (const std::string& box : p.region) out += " " + box + ";";
  if (p.witness)
    for (std::size_t f = 0; f < ruleset.findings.size(); ++f) out += " " + value_words(ruleset.findings[f], *(*p.witness)[f]);
  return out + "; " + p.replay;
}

std::multiset<std::string> all_told(const SourceFile& file, const std::vector<unsigned>* row_of_line = nullptr, bool with_parts = true) {
  const auto ruleset = read_ruleset(file, no_file);
  for (const Message& m : ruleset.messages) UNSCOPED_INFO(m.matter + ": " + m.message + " Write " + m.remedy);
  REQUIRE(ruleset);
  const Report report = check(*ruleset.value);
  REQUIRE(report.settled());
  std::multiset<std::string> out;
  for (const Problem& p : report.problems)
    if (with_parts || p.form != "part") out.insert(told(*ruleset.value, p, row_of_line));
  return out;
}

// The rows that the comments of a tidied table name, by lines.
std::vector<unsigned> rows_named(const std::string& text) {
  std::vector<unsigned> out{0};
  std::size_t open = 1;  // the first line of the sentence that is not closed by a comment yet
  std::string line;
  for (const char c : text + "\n") {
    if (c != '\n') {
      line += c;
      continue;
    }
    out.push_back(1);
    const std::size_t at = line.find("  -- row ");
    if (at != std::string::npos)
      for (std::size_t i = open; i < out.size(); ++i) out[i] = static_cast<unsigned>(std::stoul(line.substr(at + 9)));
    if (at != std::string::npos || line.ends_with('.') || line.empty()) open = out.size();
    line.clear();
  }
  return out;
}

}  // namespace

TEST_CASE("of a random table the checks tell what they tell of the same sentences written by hand, of the same rows") {
  std::cout << "tables: seed " << seed << "\n";
  std::size_t problems = 0;
  for (unsigned i = 0; i < tables; ++i) {
    const Made made = make(seed + i);
    INFO("table " << i << "\n" << made.csv << "\n" << made.sentences);
    const auto of_table = all_told({"t.csv", made.csv, true});
    // What is written in front of a sentence is no part of it that could be left out as a whole; what stands behind "in" is.
    REQUIRE(all_told({"t.csv", made.csv, true}, nullptr, false) == all_told({"t.bty", made.sentences}, &made.row_of_line, false));
    const auto tree = read_source({"t.csv", made.csv, true}, no_file);
    REQUIRE(tree);
    const std::string tidied = tidy(*tree.value);
    INFO(tidied);
    const auto rows = rows_named(tidied);
    REQUIRE(of_table == all_told({"t.bty", tidied}, &rows));
    problems += of_table.size();
  }
  std::cout << "tables: " << tables << " tables, " << problems << " problems\n";
  CHECK(problems > tables);
}

}  // namespace betony::referee
