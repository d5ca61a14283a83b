// viz/terminal/weigh_table.h: tables of persons through `betony weigh`, as they are run.
#include <catch2/catch.hpp>

#include <algorithm>
#include <fstream>
#include <nlohmann/json.hpp>
#include <random>
#include <sstream>

#include "compiler/compiler.h"
#include "runtime/pack.h"
#include "tests/unit/terminal_run.h"
#include "viz/terminal/person_batches.h"
#include "viz/terminal/profiles.h"

using namespace betony::terminal;
using betony::testing::Answer;
using betony::testing::Folder;
using betony::testing::run;
namespace runtime = betony::runtime;
using Json = nlohmann::ordered_json;

namespace {

std::string shipped(const Folder& folder, const std::string& source) {
  REQUIRE(run({"ship", source, "-o", folder.at("shipped.pack"), "--even-so"}).status == 0);
  return folder.at("shipped.pack");
}

const std::string hill =
    "Ruleset \"Hill\", edition \"2\".\nFinding fever is yes or no.\nFinding chill is yes or no.\n"
    "Finding age is a whole number of years from 0 to 110.\n"
    "It cannot be that chill and age over 100.\nRefer in fever: \"See a physician.\".\n"
    "Practice moss bed.\n  Indicated in chill.\n  Caution in age over 60: \"Slowly.\".\n  Dose 5 min.\n  Dose at most 10 min in age under 20.\n"
    "  Otherwise allowed.\n"
    "Practice fern bath.\n  Contraindicated in age over 70.\n  Indicated in chill.\n";
const std::string hill_columns = "moss bed,moss bed with care,moss bed dose,fern bath,fern bath with care,fern bath dose\n";
const std::string hill_caution =
    "Caution. This reports what a school teaches. It is not a diagnosis and no\nmedical advice, and gives way to licensed care and to local rules. "
    "With any sign\nof danger, seek care first.\n";

std::vector<std::string> lines_of(const std::string& text) {
  std::vector<std::string> out;
  std::istringstream in(text);
  for (std::string line; std::getline(in, line);) out.push_back(line);
  return out;
}

// Bytes without end, the same again and again behind a beginning.
class Endless : public std::streambuf {
 public:
  Endless(std::string beginning, std::string again) : now_(std::move(beginning)), again_(std::move(again)) { show(); }
  std::size_t times = 0;

 protected:
  int_type underflow() override {
    now_ = again_;
    ++times;
    show();
    return traits_type::to_int_type(now_[0]);
  }

 private:
  void show() { setg(now_.data(), now_.data(), now_.data() + now_.size()); }
  std::string now_, again_;
};

// Takes so many bytes, and then no more.
class Full : public std::streambuf {
 public:
  explicit Full(std::size_t room) : room_(room) {}

 protected:
  std::streamsize xsputn(const char*, std::streamsize size) override {
    const auto taken = std::min(room_, static_cast<std::size_t>(size));
    room_ -= taken;
    return static_cast<std::streamsize>(taken);
  }
  int_type overflow(int_type c) override { return room_ == 0 ? traits_type::eof() : (--room_, c); }

 private:
  std::size_t room_;
};

}  // namespace

// ---------------------------------------------------------------- CSV

TEST_CASE("a table gives a table: a row each, with the verdict of every practice, the care and the dose") {
  const Folder folder;
  const std::string source = folder.put("hill.bty", hill);
  const std::string table = folder.put("guests.csv", "fever,chill,age\nno,yes,30\nno,no,75\nyes,no,30\nno,yes,15\n,yes,30\nno,no,\n");
  const Answer told = run({"weigh", source, table});
  CHECK(told.out == "row," + hill_columns +
                        "2,advised,no,5 min,advised,no,\n"
                        "3,allowed,yes,5 min,withheld,,\n"
                        "4,referred,,,referred,,\n"
                        "5,advised,no,at most 10 min,advised,no,\n"
                        "6,unanswered,,,unanswered,,\n"
                        "7,allowed,,,unanswered,,\n");
  CHECK(told.err == hill_caution);
  CHECK(told.status == 0);
}

TEST_CASE("kept columns stand first as they are, in quotes where they need them") {
  const Folder folder;
  const std::string source = folder.put("hill.bty", hill);
  const std::string text = "name;fever;chill;age;note\n\"Ivo; \"\"the Tall\"\"\";no;yes;30;a,b\n  Ada ;no;;30;\"two\nlines\"\n";
  CHECK(run({"weigh", source, "-", "--keep", "note", "--keep", "Name", "--keep", "age"}, text).out ==
        "note,Name,age," + hill_columns +
            "\"a,b\",\"Ivo; \"\"the Tall\"\"\",30,advised,no,5 min,advised,no,\n"
            "\"two\nlines\",  Ada ,30,unanswered,,5 min,unanswered,,\n");
}

TEST_CASE("a column that is neither a finding nor kept is refused, with what to write") {
  const Folder folder;
  const std::string source = folder.put("hill.bty", hill);
  const Answer unknown = run({"weigh", source, "-"}, "name,fever\nIvo,no\n");
  CHECK(unknown.status == 3);
  CHECK(unknown.out.empty());
  CHECK(unknown.err == hill_caution +
                           "betony weigh: row 1, column \"name\": no finding is called \"name\". To have it in\n"
                           "the answer as it stands: --keep \"name\".\nbetony weigh --help tells how it is used.\n");
  const Answer missing = run({"weigh", source, "-", "--keep", "nmae"}, "fever\nno\n");
  CHECK(missing.status == 3);
  CHECK(missing.err.find("row 1: no column is called \"nmae\".") != std::string::npos);
  CHECK(run({"weigh", source, "-", "--keep", "a b", "--keep", "A  b"}, "a b\n").err.find("--keep \"A  b\" is said twice") != std::string::npos);
}

TEST_CASE("names with commas and quotes are quoted in the header") {
  const Folder folder;
  const std::string source = folder.put("hill.bty", hill);
  const std::string header = lines_of(run({"weigh", source, "-", "--keep", "so \"called\", name"}, "\"so \"\"called\"\", name\",fever\n").out)[0];
  CHECK(header + "\n" == "\"so \"\"called\"\", name\"," + hill_columns);
}

TEST_CASE("units stand in the header or in the cell") {
  const Folder folder;
  const std::string source = folder.put("load.bty",
                                        "Ruleset \"Load\", edition \"1\".\nFinding weight is a number of kg from 0 to 300.\n"
                                        "Practice carrying.\n  Contraindicated in weight under 60 kg.\n  Otherwise allowed.\n");
  CHECK(run({"weigh", source, "-"}, "weight (g)\n59000\n61000\n61 kg\n").out ==
        "row,carrying,carrying with care,carrying dose\n2,withheld,,\n3,allowed,no,\n4,allowed,no,\n");
  CHECK(lines_of(run({"weigh", source, "-"}, "weight\n59999 g\n").out)[1] == "2,withheld,,");
}

TEST_CASE("a table without a row gives a header, and one without a header is refused") {
  const Folder folder;
  const std::string source = folder.put("hill.bty", hill);
  const Answer header = run({"weigh", source, "-"}, "fever,chill\n");
  CHECK(header.status == 0);
  CHECK(header.out == "row," + hill_columns);
  const Answer nothing = run({"weigh", source, "-"}, "");
  CHECK(nothing.status == 3);
  CHECK(nothing.out.empty());
  CHECK(nothing.err.find("row 1: the table is empty; its first row should name the columns.") != std::string::npos);
  CHECK(run({"weigh", source, "-", "--as", "lines"}, "").out == "row," + hill_columns);
}

TEST_CASE("a school is read alone for tables too") {
  const Folder folder;
  const std::string source = folder.put("shores.bty",
                                        "Ruleset \"Shores\", edition \"1\".\nSource EB is \"East\", 1.\nSource WB is \"West\", 2.\n"
                                        "School east holds EB.\n"
                                        "School west holds WB.\nFinding chill is yes or no.\nPractice dip.\n  Contraindicated in chill [EB 1].\n"
                                        "  Otherwise allowed.\n");
  CHECK(lines_of(run({"weigh", source, "-"}, "chill\nyes\n").out)[1] == "2,withheld,,");
  CHECK(lines_of(run({"weigh", source, "-", "--school", "west"}, "chill\nyes\n").out)[1] == "2,allowed,no,");
}

// ---------------------------------------------------------------- bad rows

TEST_CASE("bad rows are told and passed over, and the exit status says so") {
  const Folder folder;
  const std::string source = folder.put("hill.bty", hill);
  const std::string text = "fever,chill,age\nno,yes,30\nno,yes,200\nno,yes\nno,yes,105\nno,yes,104.0\n,yes,103\nno,no,30\n";
  const Answer told = run({"weigh", source, "-"}, text);
  CHECK(told.status == 1);
  CHECK(told.out == "row," + hill_columns + "2,advised,no,5 min,advised,no,\n8,allowed,no,5 min,silent,,\n");
  CHECK(told.err == hill_caution +
                        "row 3, column \"age\": 200 years is out of the range of \"age\", which goes from 0 years to 110 years.\n"
                        "row 4: the row has 2 cells, and the header 3 columns.\n"
                        "row 5: nobody is as is told here: a fact of the ruleset stands against it.\n"
                        "row 6: nobody is as is told here: a fact of the ruleset stands against it.\n"
                        "row 7: nobody is as is told here: a fact of the ruleset stands against it.\n"
                        "5 of 7 rows were passed over.\n");
}

TEST_CASE("with --bad stop the first bad row is the end, and the rows before it are kept") {
  const Folder folder;
  const std::string source = folder.put("hill.bty", hill);
  for (const std::string cores : {"1", "2"}) {
    const Answer read = run({"weigh", source, "-", "--bad", "stop", "--cores", cores},
                            "fever,chill,age\nno,yes,30\n,yes,30\nno,maybe,30\nno,no,30\n");
    CHECK(read.status == 1);
    CHECK(read.out == "row," + hill_columns + "2,advised,no,5 min,advised,no,\n3,unanswered,,,unanswered,,\n");
    CHECK(read.err == hill_caution + "row 4, column \"chill\": \"maybe\" is no answer for \"chill\", which is no or yes.\n"
                                     "Stopped there; 2 rows before it were weighed.\n");
    // One that only weighing finds to be bad, before one that reading does.
    const Answer fact = run({"weigh", source, "-", "--bad", "stop", "--cores", cores}, "fever,chill,age\nno,yes,105\nno,maybe,30\n");
    CHECK(fact.out == "row," + hill_columns);
    CHECK(fact.err.find("row 2: nobody is as is told here") != std::string::npos);
    CHECK(fact.err.find("maybe") == std::string::npos);
  }
}

TEST_CASE("of very many bad rows the first twenty are told, and the rest counted") {
  const Folder folder;
  const std::string source = folder.put("hill.bty", hill);
  std::string text = "fever,chill,age\nno,yes,30\n";
  for (int i = 0; i < 100000; ++i) text += "no,perhaps,30\n";
  const Answer told = run({"weigh", source, "-"}, text + "no,yes,30\n");
  CHECK(told.status == 1);
  CHECK(told.out == "row," + hill_columns + "2,advised,no,5 min,advised,no,\n100003,advised,no,5 min,advised,no,\n");
  const auto lines = lines_of(told.err);
  REQUIRE(lines.size() == 3 + 20 + 1);
  CHECK(lines[22].find("row 22, column \"chill\"") == 0);
  CHECK(lines[23] == "100000 of 100002 rows were passed over; the first 20 of them are told above.");
}

TEST_CASE("a bad cell cannot steer a terminal, and is not told at any length") {
  const Folder folder;
  const std::string source = folder.put("hill.bty", hill);
  const Answer told = run({"weigh", source, "-"}, "fever\n\x1b[31mred\n" + std::string(4000, 'x') + "\n");
  CHECK(told.err.find('\x1b') == std::string::npos);
  CHECK(told.err.find("[U+001B][31mred") != std::string::npos);
  CHECK(told.err.size() < 1200);
}

TEST_CASE("on a terminal kept columns are shown harmlessly") {
  const Folder folder;
  std::istringstream in("id,chill\n\x1b[31mred,yes\n");
  std::ostringstream out, err;
  Surroundings around{in, out, err, true};
  CHECK(run({"weigh", folder.put("hill.bty", hill), "-", "--keep", "id"}, around) == 0);
  CHECK(lines_of(out.str())[1].find("[U+001B][31mred,") == 0);
}

// ---------------------------------------------------------------- JSON lines, and what is what

TEST_CASE("JSON lines are read where the name, the text or --as says so, and one object alone is one person") {
  const Folder folder;
  const std::string source = folder.put("hill.bty", hill);
  const std::string one = "{\"fever\": false, \"chill\": true, \"age\": 30}\n", two = one + "\n {\"id\": 7, \"fever\": true}\n";
  const std::string row = "1,advised,no,5 min,advised,no,\n";
  CHECK(run({"weigh", source, folder.put("a.jsonl", one)}).out == "row," + hill_columns + row);
  CHECK(run({"weigh", source, folder.put("a.NDJSON", one)}).out == "row," + hill_columns + row);
  CHECK(run({"weigh", source, "-", "--as", "lines"}, one).out == "row," + hill_columns + row);
  CHECK(run({"weigh", source, "-", "--bad", "skip"}, one).out == "row," + hill_columns + row);
  CHECK(run({"weigh", source, "-"}, one).out.find("{#} advised      moss bed") != std::string::npos);
  CHECK(run({"weigh", source, "-"}, "\n{\n \"fever\": false,\n \"chill\": true, \"age\": 30\n}\n").out == run({"weigh", source, "-"}, one).out);
  const Answer told = run({"weigh", source, folder.put("a.json", two), "--keep", "id"});
  CHECK(told.out == "id," + hill_columns + ",advised,no,5 min,advised,no,\n7,referred,,,referred,,\n");
  CHECK(run({"weigh", source, "-", "--as", "csv"}, "{\n").err.find("row 1, column \"{\": no finding is called \"{\"") != std::string::npos);
}

TEST_CASE("what begins as JSON is a table where a second line begins with an object") {
  CHECK(kind_by_name("a.CSV") == ProfileKind::csv);
  CHECK_FALSE(kind_by_name("a.json").has_value());
  CHECK(kind_by_text("\xEF\xBB\xBF \n fever,chill", false) == ProfileKind::csv);
  CHECK(kind_by_text(" \n", true) == ProfileKind::csv);
  CHECK_FALSE(kind_by_text(" \n", false).has_value());
  CHECK(kind_by_text("[1]", false) == ProfileKind::one);
  CHECK(kind_by_text("{\"a\": 1", true) == ProfileKind::one);
  CHECK_FALSE(kind_by_text("{\"a\": 1}\n\n", false).has_value());
  CHECK(kind_by_text("\xEF\xBB\xBF{\"a\": 1}\r\n \r\n {", false) == ProfileKind::json_lines);
  CHECK(kind_by_text("{\"a\":\n1}\n", true) == ProfileKind::one);
}

TEST_CASE("options of tables need a table, --set a single person, and standard input is read once") {
  const Folder folder;
  const std::string source = folder.put("hill.bty", hill);
  CHECK(run({"weigh", source, "--keep", "id"}).err.find("are for tables of persons") != std::string::npos);
  const Answer both = run({"weigh", source, "-", "--set", "age=3"}, "fever\nno\n");
  CHECK(both.status == 3);
  CHECK(both.err.find("--set tells of one person, and \"-\" is a table of them") != std::string::npos);
  CHECK(run({"weigh", "-", "-", "--as", "csv"}, hill).status == 3);
  CHECK(run({"weigh", source, "-", "--bad", "perhaps"}, "fever\n").status == 3);
  CHECK(run({"weigh", source, folder.at("none.csv")}).err.find("there is no file") != std::string::npos);
  CHECK(run({"weigh", source, "/tmp", "--as", "csv"}).status == 3);
}

// ---------------------------------------------------------------- order

TEST_CASE("rows come out in their order with open and bad ones between, with one thread as with several") {
  const Folder folder;
  const std::string source = folder.put("hill.bty", hill);
  std::string text = "id,fever,chill,age\n", expected = "id," + hill_columns;
  std::mt19937 random(20240611);
  std::size_t bad = 0;
  for (int i = 0; i < 20000; ++i) {
    const std::string id = "g" + std::to_string(i) + ",";
    switch (random() % (i < 9000 ? 4 : 40)) {
      case 0: text += id + "no,,30\n", expected += id + "unanswered,,5 min,unanswered,,\n"; break;
      case 1: text += id + "no,yes,130\n", ++bad; break;
      case 2: text += id + "no,yes,105\n", ++bad; break;
      default: text += id + "no,yes,75\n", expected += id + "advised,yes,5 min,withheld,,\n";
    }
  }
  const Answer one = run({"weigh", source, "-", "--keep", "id", "--cores", "1"}, text);
  CHECK(one.status == 1);
  CHECK((one.out == expected));
  CHECK(one.err.find(std::to_string(bad) + " of 20000 rows were passed over; the first 20 of them are told above.\n") != std::string::npos);
  for (const std::string cores : {"2", "3", "7"}) {
    const Answer several = run({"weigh", source, "-", "--keep", "id", "--cores", cores}, text);
    CHECK((several.out == one.out));
    CHECK(several.err == one.err);
    CHECK(several.status == 1);
  }
}

namespace {

runtime::Pack pack_of(const std::string& path) {
  std::ifstream in(path, std::ios::binary);
  const std::string bytes((std::istreambuf_iterator<char>(in)), {});
  auto read = runtime::read_pack({reinterpret_cast<const std::uint8_t*>(bytes.data()), bytes.size()});
  REQUIRE(read.pack);
  return *std::move(read.pack);
}

}  // namespace

TEST_CASE("batches follow each other as the rows do, and hold back a bounded number of them") {
  const Folder folder;
  const runtime::Pack pack = pack_of(shipped(folder, folder.put("hill.bty", hill)));
  const std::string kept(1000, 'k'), open = kept + ",no,,30\n", bad = kept + ",no,maybe,30\n", whole = kept + ",no,no,30\n";
  std::uint64_t last = 1, most = 0;
  std::size_t batches = 0;
  const auto take = [&](Batch batch) {
    ++batches;
    std::uint64_t rows = 0;
    const auto follows = [&](std::uint64_t row) { return ++rows, std::exchange(last, row) + 1 == row; };
    CHECK(for_each_row(batch, [&](unsigned person) { return follows(batch.block->rows[person]); },
                       [&](runtime::OpenPerson& person) { return follows(person.row); }, [&](runtime::BadRow& row) { return follows(row.row); }));
    most = std::max(most, rows);
    return true;
  };
  runtime::PersonSettings settings{runtime::TableFormat::csv, {"id"}};
  PersonBatches reader(pack, settings, take);
  CHECK(reader.feed("id,fever,chill,age\n" + whole));
  for (int i = 0; i < 20000; ++i) reader.feed(i % 7 == 0 ? bad : open);
  CHECK(last > 18000);    // most were handed on while the one in the block waited
  for (int i = 0; i < 3000; ++i) reader.feed(i % 2 == 0 ? whole : open);
  reader.finish();
  CHECK(last == 23002);
  CHECK(batches > 20);
  CHECK(most < 1100);
}

TEST_CASE("a batch of which no more is wanted is the last") {
  const Folder folder;
  const runtime::Pack pack = pack_of(shipped(folder, folder.put("hill.bty", hill)));
  std::size_t batches = 0;
  PersonBatches reader(pack, {}, [&](Batch) { return ++batches, false; });
  std::string text = "fever,chill,age\n";
  for (int i = 0; i < 5000; ++i) text += "no,no,30\n";
  CHECK_FALSE(reader.feed(text));
  CHECK(batches == 1);
}

// ---------------------------------------------------------------- each as alone

namespace {

std::string dose_of(const Json& dose) {
  std::string out;
  const auto add = [&](const std::string& words) { out += (out.empty() ? "" : ", ") + words; };
  const auto text = [](const Json& number) { return number.is_string() ? number.get<std::string>() : number.dump(); };
  if (dose.is_null()) return out;
  for (const Json& amount : dose["amounts"]) {
    if (amount.is_null()) return "?";
    const std::string low = text(amount["low"]), high = text(amount["high"]), unit = amount["unit"].get<std::string>();
    const std::string range = low == high ? low : low == "null" ? "at most " + high : high == "null" ? "at least " + low : low + " to " + high;
    add(range + (unit.empty() ? "" : " " + unit));
  }
  if (!dose["often"].is_null()) add(dose["often"]);
  if (!dose["long"].is_null()) add(dose["long"]);
  for (const Json& words : dose["words"]) add("\"" + words.get<std::string>() + "\"");
  return out;
}

std::string cell_of(const std::string& text) {
  if (text.find_first_of(",\"") == text.npos) return text;
  std::string out;
  for (const char c : text) out += c == '"' ? "\"\"" : std::string(1, c);
  return "\"" + out + "\"";
}

// The row that the answer about one person alone comes to.
std::string row_of(const Json& told) {
  std::string out;
  for (const auto& [name, practice] : told["practices"].items()) {
    const Json& care = practice["with_care"];
    const std::string care_word = care.is_null() ? "" : care.get<bool>() ? "yes" : "no";
    out += "," + practice["verdict"].get<std::string>() + "," + care_word + "," + cell_of(dose_of(practice["dose"]));
  }
  return out;
}

std::string random_value(const runtime::Finding& finding, std::mt19937& random) {
  if (finding.has_words()) {
    const bool rare = finding.kind == runtime::Finding::Kind::yes_no && random() % 3 != 0;
    return finding.values[rare ? 0 : random() % finding.values.size()];
  }
  if (finding.or_never && random() % 2 == 0) return "never";
  const runtime::Number step = finding.step.sign() == 0 ? runtime::Number(1) : finding.step;
  const auto steps = static_cast<std::uint32_t>(divided(finding.high - finding.low, step)->near());
  const runtime::Number number = finding.low + step * runtime::Number(random() % (steps + 1));
  const bool plain = finding.kind == runtime::Finding::Kind::number;
  return plain ? number.words() : value_words(finding, {runtime::Value::Kind::number, 0, number});
}

// Weighs random persons, whole and open ones, as a table and one by one.
void compare(const std::string& source, std::size_t persons, unsigned seed) {
  const Folder folder;
  const std::string path = shipped(folder, source);
  const runtime::Pack pack = pack_of(path);
  std::mt19937 random(seed);
  std::string text, rows;
  std::vector<std::vector<std::string>> alone;
  for (std::size_t f = 0; f < pack.findings.size(); ++f) text += (f == 0 ? "" : ",") + pack.findings[f].name;
  text += "\n";
  for (std::size_t i = 0; i < persons; ++i) {
    std::vector<std::string> words{"weigh", path, "--json"};
    const unsigned one_in = random() % 2 == 0 ? 1000000 : 12;
    for (std::size_t f = 0; f < pack.findings.size(); ++f) {
      const bool open = random() % one_in == 0;
      const std::string value = open ? "" : random_value(pack.findings[f], random);
      text += (f == 0 ? "" : ",") + value;
      if (open) continue;
      words.push_back("--set");
      words.push_back(pack.findings[f].name + "=" + value);
    }
    text += "\n";
    alone.push_back(words);
  }
  const auto csv = lines_of(run({"weigh", path, "-"}, text).out);
  const auto json = lines_of(run({"weigh", path, "-", "--json"}, text).out);
  REQUIRE(csv.size() == json.size() + 1);
  std::size_t at = 0, possible = 0;
  for (std::size_t i = 0; i < persons; ++i) {
    const Answer answer = run(alone[i]);
    REQUIRE(answer.status == 0);
    Json told = Json::parse(answer.out);
    if (!told["possible"].get<bool>()) continue;
    ++possible;
    REQUIRE(at < json.size());
    const std::string row = std::to_string(i + 2);
    CHECK(csv[at + 1] == row + row_of(told));
    Json line = Json::parse(json[at]);
    CHECK(line["row"] == i + 2);
    line.erase("row");
    CHECK(line == told);
    ++at;
  }
  CHECK(at == json.size());
  CHECK(possible > persons / 10);
}

}  // namespace

TEST_CASE("every row is what weighing that person alone says, over the example teachings") {
  compare(BETONY_SOURCE_DIR "/rulesets/tamberlow/tamberlow.bty", 400, 31);
  compare(BETONY_SOURCE_DIR "/rulesets/lantern-lakes/lantern-lakes.bty", 250, 32);
}

TEST_CASE("every row is what weighing that person alone says, where a practice has more doses than bits in a word") {
  const Folder folder;
  std::string text =
      "Ruleset \"Doses\", edition \"1\".\nFinding age is a whole number of years from 0 to 110.\nFinding chill is yes or no.\n"
      "Practice soak.\n  Otherwise allowed.\n";
  for (int i = 1; i <= 80; ++i)
    text += "  Dose 1 to " + std::to_string(200 - i) + " min in age over " + std::to_string(i) + (i % 2 ? " or chill" : "") + ".\n";
  compare(folder.put("doses.bty", text), 150, 33);
}

TEST_CASE("with --json a table gives an object a line, with its row and what is kept") {
  const Folder folder;
  const std::string source = folder.put("hill.bty", hill);
  const Answer told = run({"weigh", source, "-", "--json", "--keep", "id", "--keep", "age"},
                          "id,fever,chill,age\nI\xff,no,yes,30\nA,no,,200\n\"\",no,,\n");
  const auto lines = lines_of(told.out);
  REQUIRE(lines.size() == 2);
  CHECK(lines[0].find("{\"betony\":1,\"row\":2,\"kept\":{\"id\":\"I\xef\xbf\xbd\",\"age\":\"30\"},\"caution\":\"This reports") == 0);
  CHECK(lines[1].find("{\"betony\":1,\"row\":4,\"kept\":{\"id\":\"\",\"age\":\"\"},") == 0);
  CHECK(told.err ==
        "row 3, column \"age\": 200 years is out of the range of \"age\", which goes from 0 years to 110 years.\n1 of 3 rows was passed over.\n");
  CHECK(told.status == 1);
}

// ---------------------------------------------------------------- without end

TEST_CASE("where the output takes no more, a table without end comes to an end, and exit status 3") {
  const Folder folder;
  const std::string source = folder.put("hill.bty", hill);
  std::string rows;
  for (int i = 0; i < 1000; ++i) rows += i % 5 == 0 ? "no,,30\n" : "no,yes,30\n";
  for (const std::string cores : {"1", "3"})
    for (const char* form : {"--json", "--bad=skip"}) {
      Endless endless("fever,chill,age\n", rows);
      Full full(2000000);
      std::istream in(&endless);
      std::ostream out(&full);
      std::ostringstream err;
      Surroundings around{in, out, err};
      CHECK(run({"weigh", source, "-", "--cores", cores, form}, around) == 3);
      CHECK(err.str().find("not all could be written") != std::string::npos);
      CHECK(endless.times > 1);
    }
}

TEST_CASE("a row without end is bad, and the next is read") {
  const Folder folder;
  const std::string source = folder.put("hill.bty", hill);
  const std::string much(5 << 20, 'x');
  const Answer csv = run({"weigh", source, "-"}, "fever,chill,age\nno,yes," + much + "\nno,yes,30\n");
  CHECK(csv.err.find("row 2: the row is too long.\n1 of 2 rows was passed over.\n") != std::string::npos);
  CHECK(csv.out == "row," + hill_columns + "3,advised,no,5 min,advised,no,\n");
  const Answer lines = run({"weigh", source, "-", "--as", "lines"},
                           "{\"fever\": \"" + much + "\"}\n{\"chill\": true, \"fever\": false, \"age\": 30}\n");
  CHECK(lines.err.find("row 1: the line is too long.\n") != std::string::npos);
  CHECK(lines.out == "row," + hill_columns + "2,advised,no,5 min,advised,no,\n");
  // Nobody can say that it is no single person before its end.
  const Answer one = run({"weigh", source, "-"}, "{\"fever\": \"" + much);
  CHECK(one.status == 3);
  CHECK(one.err.find("has more than 1048576 bytes") != std::string::npos);
}

TEST_CASE("a header that is too long is refused") {
  const Folder folder;
  const std::string source = folder.put("hill.bty", hill);
  const std::string much = "fever,chill" + std::string(3 << 20, 'x') + "\nno,no\n";
  CHECK(run({"weigh", source, "-"}, much).err.find("row 1: the row is too long.") != std::string::npos);
}
