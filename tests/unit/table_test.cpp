// Decision tables: what their columns and cells say, as sentences; where problems in them are told.
#include <catch2/catch.hpp>

#include <algorithm>
#include <set>

#include "tests/support.h"

using namespace betony;
using betony::testing::no_other_files;

namespace {

SourceFile table(const std::string& text) { return {"t.csv", text, true}; }

// What is told of a table that cannot be read: "row 2, B: matter: message Write remedy", joined by " | ".
std::string said(const std::string& text, const Limits& limits = {}) {
  const auto out = read_ruleset(table(text), no_other_files, limits);
  const SourceFile given = table(text);
  const LineIndex lines(given);
  std::string all;
  for (const Message& m : out.messages)
    all += (all.empty() ? "" : " | ") + lines.words(m.where.span.begin) + ", " + lines.column_letters(m.where.span.begin) + " [" +
           text.substr(m.where.span.begin, m.where.span.end - m.where.span.begin) + "] " + m.matter + ": " + m.message +
           (m.remedy.empty() ? "" : " Write " + m.remedy);
  return all;
}

// The sentences of a table that reads.
std::string sentences(const std::string& text, const FileReader& others = no_other_files) {
  const auto tree = read_source(table(text), others);
  for (const Message& m : tree.messages) UNSCOPED_INFO(m.matter + ": " + m.message + " Write " + m.remedy);
  REQUIRE(tree);
  return tidy(*tree.value);
}

// Its sentences as they are read, each on a line.
std::string written(const std::string& text) {
  const auto tree = read_source(table(text), no_other_files);
  for (const Message& m : tree.messages) UNSCOPED_INFO(m.matter + ": " + m.message + " Write " + m.remedy);
  REQUIRE(tree);
  return tree.value->files[0].text;
}

const std::string header = "chill is yes or no,\"cough is a grade of none, dry, wet\",age is a whole number of years from 0 to 110,Practice moss bed\n";
const std::string declared =
    "Finding chill is yes or no.\nFinding cough is a grade of none, dry, wet.\nFinding age is a whole number of years from 0 to 110.\n\n"
    "Practice moss bed.\n";

}  // namespace

TEST_CASE("a row becomes a sentence: its conditions in the order of the columns, its verdict, its row") {
  CHECK(sentences(header + "yes,none,<60,advised\nno,dry|wet,>=60,withheld\n") ==
        declared + "In chill, cough is none, and age under 60: moss bed is advised.  -- row 2\n"
                   "In not chill, cough is dry or wet, and age at least 60: moss bed is withheld.  -- row 3\n");
}

TEST_CASE("a cell says a value, several, a range, a sign with a number, or what it denies") {
  const std::pair<const char*, const char*> cells[] = {
      {"3..7", "age from 3 to 7"},       {"<60", "age under 60"},         {"<=60", "age at most 60"}, {">60", "age over 60"},
      {">=60", "age at least 60"},       {"≤60", "age at most 60"},       {"≥ 60", "age at least 60"}, {"=60", "age is 60"},
      {"60", "age is 60"},               {"12|60", "age is 12 or 60"},    {"<12|>60", "(age under 12 or age over 60)"},
      {"not 3..7", "not age from 3 to 7"}, {"not 12|60", "age is not 12 or 60"}, {"0.5 d..7 wk", "age from 0.5 d to 7 wk"},
      {"under 60", "age under 60"},      {"from 3 to 7", "age from 3 to 7"}, {"at least 60 years", "age at least 60 years"}};
  for (const auto& [cell, condition] : cells) {
    INFO(cell);
    CHECK(sentences(header + ",," + cell + ",advised\n") == declared + "In " + condition + ": moss bed is advised.  -- row 2\n");
  }
}

TEST_CASE("a blank cell and a dash ask for nothing, and a row that asks for nothing speaks of everybody") {
  CHECK(sentences(header + "-,,–,advised\n") == declared + "  Indicated.  -- row 2\n");
  CHECK(sentences(header + ",,,withheld\n") == declared + "  Contraindicated.  -- row 2\n");
}

TEST_CASE("a row that begins with otherwise speaks where no other does") {
  CHECK(sentences(header + "yes,,,advised\notherwise,,,allowed with care\n") ==
        declared + "  Otherwise allowed with care.  -- row 3\nIn chill: moss bed is advised.  -- row 2\n");
}

TEST_CASE("several practices of a row are one sentence, and every ending has its column") {
  const std::string text = written(
      "\"Source DB is \"\"Day book\"\", 1902. Source HL is \"\"Letters\"\", 1927.\"\n"
      "chill is yes or no,age is a whole number of years from 0 to 110,in,Practice moss bed,Practice humming,unless,despite,for,called,Note,Source\n"
      "yes,,age over 60 or age under 12,advised,withheld,age is 7,cough ban,warmth,the long one,\"Say \"\"enough\"\".\",DB 3; HL 4\n"
      ",,not chill,withheld,,,,,cough ban,,[DB 5]\n");
  CHECK(text.find("In chill and (age over 60 or age under 12): moss bed is advised, unless age is 7, despite cough ban, for \"warmth\", called the long one: "
                  "\"Say \"\"enough\"\".\" [DB 3; HL 4]; humming is withheld, unless age is 7, for \"warmth\": \"Say \"\"enough\"\".\" [DB 3; HL 4].  -- row 3\n"
                  "In not chill: moss bed is withheld, called cough ban [DB 5].  -- row 4\n") != std::string::npos);
}

TEST_CASE("a choice takes its values and refuses what it denies, a dose stands under its practice") {
  CHECK(sentences("humour,\"Choice oil is any of seal oil, nut oil\",Dose of rubbing,Practice rubbing\n"
                  "ember,seal oil and nut oil,\"5 to 10 min, once a day\",advised\nbrook,not nut oil,,allowed\notherwise,nut oil,5 min,withheld\n") ==
        "Finding humour is one of ember, brook.\n\nPractice rubbing.\n  Otherwise withheld.  -- row 4\nIn humour is ember: rubbing is advised.  -- row 2\n"
        "In humour is brook: rubbing is allowed.  -- row 3\nChoice oil are any of seal oil, nut oil.\n  Take seal oil and nut oil in humour is ember.  -- row 2\n"
        "  Refuse nut oil in humour is brook.  -- row 3\n  Otherwise nut oil.  -- row 4\n\nPractice rubbing.\n"
        "  Dose 5 to 10 min, once a day in humour is ember.  -- row 2\n  Dose 5 min.  -- row 4\n");
}

TEST_CASE("a bare header is declared elsewhere, or is what its cells say") {
  const FileReader others = [](const std::string& path) -> std::optional<std::string> {
    if (path != "findings.bty") return std::nullopt;
    return "Finding age is a whole number of years from 0 to 110.\nFinding complaints are any of cold feet, stiff knees.\n";
  };
  CHECK(sentences("Use \"findings.bty\".\nage,chill,complaints,humour,Practice moss bed\n>60,yes,cold feet|stiff knees,Ember,advised\n"
                  "<12,no,not cold feet,not brook|ember,withheld\n", others) ==
        "Use \"findings.bty\".\nFinding chill is yes or no.\nFinding humour is one of Ember, brook.\n\nPractice moss bed.\n"
        "In age over 60, chill, (cold feet or stiff knees), and humour is Ember: moss bed is\n    advised.  -- row 3\n"
        "In age under 12, not chill, not cold feet, and humour is not brook or ember: moss bed is\n    withheld.  -- row 4\n");
}

TEST_CASE("what the checks find in a table is told of its rows, and the words marked are those of its cells") {
  const std::string text = "\"Ruleset \"\"Door\"\", edition \"\"1\"\".\",,\n\"chill is yes\nor no\",age is a whole number of years from 0 to 110,Practice moss bed\n"
                           "yes,<70,advised\n\n,>60,withheld\n,,allowed\n";
  const auto ruleset = read_ruleset(table(text), no_other_files);
  REQUIRE(ruleset);
  const Report report = check(*ruleset.value);
  REQUIRE(testing::told(report) == std::vector<std::string>{"question contradiction/crossing of moss bed", "note contradiction/exception of moss bed"});
  const auto crossing = std::find_if(report.problems.begin(), report.problems.end(), [](const Problem& p) { return p.form == "crossing"; });
  const LineIndex rows(ruleset.value->tree.files[0]);
  REQUIRE(crossing->sentences.size() == 2);
  const auto cell = [&](const Concerned& c) {
    REQUIRE(c.marks.size() == 1);
    const Span span = rows.given(c.marks[0].place.span);
    return rows.words(c.place.span.begin) + ", line " + std::to_string(rows.at(c.place.span.begin).line) + ": " + text.substr(span.begin, span.end - span.begin);
  };
  std::set<std::string> cells;
  for (const Concerned& c : crossing->sentences) cells.insert(cell(c));
  CHECK(cells == std::set<std::string>{"row 3, line 4: yes,<70", "row 5, line 6: 60"});
}

TEST_CASE("a sign with nothing behind it is told where it stands") {
  CHECK(said("age is a whold number,\"Choice lamp is one of red, green\"\n<,red\n").find("row 2, A [") != std::string::npos);
  CHECK(said("age is a whole number from 0 to 110,\"Choice lamp is one of red, green\"\n<,red\n").find("row 2, A [") != std::string::npos);
}

TEST_CASE("bytes of every kind are answered: broken letters, a zero, a huge cell, a table of nothing but commas or quotes") {
  CHECK(said(header + "yes,\xFF,,advised\n") == "row 2, B [\xFF] letters that cannot be read: Row 2 holds bytes that are no letters in UTF-8. "
                                                "Write Save the file as UTF-8; most editors offer it under Save as.");
  CHECK(said(header + std::string("yes,no\0ne,,advised\n", 20)) != "");
  CHECK(said(header + "yes," + std::string(1 << 20, 'x') + ",,advised\n").find("a sentence too long") != std::string::npos);
  CHECK(said(header + "yes,none,,advised,\"" + std::string(1 << 20, 'x') + "\"\n").find("a cell without a column") != std::string::npos);
  CHECK(said(std::string(1 << 20, ',')).find("a table without a header") != std::string::npos);
  CHECK(said(std::string(1 << 20, '\n')).find("a table without a header") != std::string::npos);
  CHECK(said(std::string((1 << 20) + 1, '"')).find("a quote is not closed") != std::string::npos);
}

TEST_CASE("a table may have as many bytes as a file, and one more is told") {
  std::string text = header + "yes,none,,advised\n";
  text += std::string((16u << 20) - text.size(), '\n');
  CHECK(said(text) == "");
  CHECK(said(text + "\n").find("a file too long") != std::string::npos);
}

TEST_CASE("a table of very many rows becomes a sentence each, and one past the bound of a ruleset is told by its row") {
  std::string text = header;
  Limits limits;
  limits.sentences = 5000;
  for (int i = 0; i < 4996; ++i) text += "yes,dry," + std::to_string(i % 100) + ".." + std::to_string(i % 100 + 9) + ",advised\n";
  CHECK(said(text, limits) == "");
  text += "no,,,withheld\n";
  CHECK(said(text, limits) ==
        "row 4998, A [no,,,withheld] too many sentences: A ruleset has at most 5000 sentences; this one and those after it are not read, and can stand in a "
        "ruleset of their own. Write Ruleset \"…\", edition \"…\".");
}

TEST_CASE("a table whose sentences are too long together is told") {
  std::string text = "a";
  for (int i = 0; i < 50; ++i) text += ",b" + std::string(static_cast<std::size_t>(i), 'b') + ",Choice c" + std::string(static_cast<std::size_t>(i), 'c');
  text += "\n";
  for (int row = 0; row < 40; ++row) {
    text += "x" + std::to_string(row % 2);
    for (int i = 0; i < 50; ++i) text += row % 2 ? ",yes,one" : ",no,two";
    text += "\n";
  }
  Limits limits;
  limits.total_bytes = 1u << 20;
  CHECK(said(text, limits).find("a table too large") != std::string::npos);
}

TEST_CASE("a table of ten thousand columns is read") {
  std::string head = "chill is yes or no", row = "yes";
  for (int i = 0; i < 9999; ++i) head += ",f" + std::to_string(i) + " is yes or no", row += i % 50 == 0 ? ",yes" : ",";
  CHECK(said(head + ",Practice moss bed\n" + row + ",advised\n") == "");
}

TEST_CASE("a ruleset may use a table, whose bare headers its other files declare") {
  const FileReader others = [](const std::string& path) -> std::optional<std::string> {
    if (path != "door.csv") return std::nullopt;
    return "age,chill,Practice moss bed\n>60,yes,withheld\n<=60,yes,advised\n,wett,allowed\n";
  };
  const std::string main = "Use \"door.csv\".\nFinding age is a whole number of years from 0 to 110.\nFinding chill is yes or no.\n";
  const auto out = read_ruleset({"main.bty", main}, others);
  REQUIRE(out.messages.size() == 1);
  CHECK(out.messages[0].where.file == 1);
  CHECK(out.messages[0].message == "\"chill\" is yes or no: there is no more or less of it, and no value.");
  CHECK(out.messages[0].where.span == Span{63, 67});
}
