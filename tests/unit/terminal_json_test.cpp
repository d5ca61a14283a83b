// The JSON of `betony read`, from problems made by hand.
#include <catch2/catch.hpp>

#include <nlohmann/json.hpp>

#include "viz/terminal/read_json.h"

using namespace betony;
using namespace betony::terminal;
using nlohmann::json;

namespace {

Finding finding(const std::string& name, Finding::Kind kind, std::vector<std::string> values = {}) {
  Finding f;
  f.name = name;
  f.kind = kind;
  f.values = std::move(values);
  f.or_never = kind == Finding::Kind::number;
  return f;
}

// One finding of every kind; a source of two lines.
Ruleset small() {
  Ruleset r;
  r.title = "Saltmarsh";
  r.edition = "4";
  r.findings = {finding("fever", Finding::Kind::yes_no, {"no", "yes"}),
                finding("cold hands", Finding::Kind::yes_no, {"no", "yes"}),
                finding("skin", Finding::Kind::one_of, {"sound", "broken"}),
                finding("age", Finding::Kind::number),
                finding("last meal", Finding::Kind::number),
                finding("date", Finding::Kind::date),
                finding("time of day", Finding::Kind::time_of_day)};
  r.findings[1].part_of = "complaints";
  r.tree.files = {{"saltmarsh.bty", "é Indicated in fever, called a.\nContraindicated in fever.\n"}};
  return r;
}

Problem whole_problem() {
  Problem p;
  p.kind = "contradiction";
  p.form = "head-on";
  p.severity = Severity::error;
  p.practice = "cold plunge";
  Concerned a, b;
  a.label = "a";
  a.text = "Indicated in fever, called a.";
  a.place = {0, {3, 32}};
  a.marks = {{Place{0, {16, 21}}}};
  b.text = "Contraindicated in fever.";
  b.place = {0, {33, 58}};
  p.sentences = {a, b};
  p.pairs = {{0, 1}};
  p.has_share = true;
  p.share = {true, Rational(1, 3), Rational(1, 3)};
  p.region = {"fever", "age over 60"};
  p.matter = "head on";
  p.sense = "Both speak for the same persons.";
  p.write = {"and not fever, in line 1"};
  return p;
}

json read(const std::vector<Problem>& problems) {
  Report report;
  report.problems = problems;
  return json::parse(read_json(small(), report));
}

Value number(Rational n) {
  n.canonicalize();
  return {Value::Kind::number, 0, n};
}
Value word(Index i) { return {Value::Kind::word, i, 0}; }

json witness(const Rational& age) {
  Problem p = whole_problem();
  p.witness = std::make_shared<const Profile>(Profile{word(1), word(0), word(1), number(age), Value{Value::Kind::never, 0, 0}, number(305), number(390)});
  return read({p})["problems"][0]["witness"];
}

}  // namespace

TEST_CASE("a problem is given whole, with its place in characters from one") {
  const json all = read({whole_problem()});
  CHECK(all == json::parse(R"({
    "betony": 1, "ruleset": "Saltmarsh", "edition": "4",
    "problems": [{
      "number": 1, "kind": "contradiction", "form": "head-on", "severity": "error",
      "practice": "cold plunge", "choice": "", "school": "", "finding": "",
      "sentences": [
        {"label": "a", "text": "Indicated in fever, called a.", "file": "saltmarsh.bty", "line": 1, "column": 3,
         "marks": [{"file": "saltmarsh.bty", "line": 1, "column": 16, "length": 5}]},
        {"label": "", "text": "Contraindicated in fever.", "file": "saltmarsh.bty", "line": 2, "column": 1, "marks": []}],
      "pairs": [[0, 1]],
      "share": {"exact": "1/3", "low": 0.3333333333333333, "high": 0.3333333333333333},
      "region": ["fever", "age over 60"],
      "witness": null,
      "matter": "head on", "sense": "Both speak for the same persons.", "replay": "",
      "write": ["and not fever, in line 1"]}],
    "sources_disagree": [],
    "counts": {"error": 1, "question": 0, "note": 0},
    "settled": true, "not_settled": []})"));
}

TEST_CASE("a witness gives values as the language writes them") {
  CHECK(witness(34) == json::parse(R"({"fever": "yes", "cold hands": "no", "skin": "broken", "age": 34,
                                       "last meal": "never", "date": "1 November", "time of day": "06:30"})"));
}

TEST_CASE("a number is a JSON number where that is exact, else a fraction") {
  CHECK(witness(Rational(23, 2))["age"].dump() == "11.5");
  CHECK(witness(Rational(1, 10))["age"].dump() == "0.1");
  CHECK(witness(Rational(-7))["age"].dump() == "-7");
  CHECK(witness(Rational(1, 3))["age"] == "1/3");
  CHECK(witness(Rational("12345678901234567890"))["age"] == "12345678901234567890/1");
  CHECK(witness(Rational("1234567890123456789/1000000000"))["age"] == "1234567890123456789/1000000000");
}

TEST_CASE("a share of all is told as a fraction too, and one that is only known between two bounds holds the truth") {
  Problem all = whole_problem();
  all.share = {true, 1, 1};
  CHECK(read({all})["problems"][0]["share"]["exact"] == "1/1");
  Problem between = whole_problem();
  between.share = {false, Rational(1, 3), Rational(2, 3)};
  const json share = read({between})["problems"][0]["share"];
  CHECK(share["exact"] == nullptr);
  CHECK(Rational(share["low"].get<double>()) <= Rational(1, 3));
  CHECK(Rational(share["high"].get<double>()) >= Rational(2, 3));
  CHECK(share["low"].get<double>() == Approx(1.0 / 3));
}

TEST_CASE("a problem that has no share gives null") {
  Problem p = whole_problem();
  p.has_share = false;
  CHECK(read({p})["problems"][0]["share"] == nullptr);
}

TEST_CASE("sources that disagree are named by their words, each with where it prevails") {
  Ruleset r = small();
  r.sources.resize(2);
  r.sources[0].word = "SB", r.sources[1].word = "WN";
  Report report;
  SourcesDisagree seen;
  seen.first = {0, 2, {true, Rational(1, 4), Rational(1, 4)}};
  seen.second = {1, 0, {true, 0, 0}};
  seen.places = 3;
  seen.share = {true, Rational(1, 2), Rational(1, 2)};
  report.sources_disagree = {seen};
  CHECK(json::parse(read_json(r, report))["sources_disagree"] == json::parse(R"([{
    "sources": ["SB", "WN"], "places": 3, "share": {"exact": "1/2", "low": 0.5, "high": 0.5},
    "prevails": {"SB": {"places": 2, "share": {"exact": "1/4", "low": 0.25, "high": 0.25}},
                 "WN": {"places": 0, "share": {"exact": "0/1", "low": 0.0, "high": 0.0}}}}])"));
}

TEST_CASE("problems are counted by severity, and what is not settled is named") {
  Problem question = whole_problem(), note = whole_problem();
  question.severity = Severity::question;
  note.severity = Severity::note;
  Report report;
  report.problems = {whole_problem(), question, question, note};
  report.not_settled = {"cold plunge"};
  const json all = json::parse(read_json(small(), report));
  CHECK(all["counts"] == json::parse(R"({"error": 1, "question": 2, "note": 1})"));
  CHECK(all["settled"] == false);
  CHECK(all["not_settled"] == json::parse(R"(["cold plunge"])"));
}

TEST_CASE("a source that cannot be read gives its messages") {
  const std::vector<SourceFile> files = {{"draft.bty", "Otherwise alowed.\n"}};
  const std::vector<Message> messages = {{"not a verdict", {0, {10, 16}}, "Nothing is \"alowed\".", "Otherwise allowed."}};
  CHECK(json::parse(unreadable_json(files, messages)) == json::parse(R"({"betony": 1, "unreadable": [
    {"file": "draft.bty", "line": 1, "column": 11, "length": 6, "matter": "not a verdict",
     "message": "Nothing is \"alowed\".", "remedy": "Otherwise allowed."}]})"));
}

TEST_CASE("bytes that are not UTF-8 do not break the JSON, and plain letters can be asked for") {
  Ruleset r = small();
  r.title = "a\xff\u202e";
  CHECK(json::parse(read_json(r, {}))["ruleset"] == "a\ufffd\u202e");
  CHECK(read_json(r, {}, true).find("\\u202e") != std::string::npos);
}
