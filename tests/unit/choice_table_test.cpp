// Choices as tables: what they tell is held to the graphs', and to looking at every profile, in tests/property; here is
// what is their own: that the two say the same of a book with everything in it, and what is said of very many rows.
#include "tests/support.h"

using namespace betony;
using namespace betony::testing;

namespace {

const std::string findings =
    "Ruleset \"Reed house\", edition \"1\".\n"
    "Finding fever is yes or no.\nFinding chill is yes or no.\nFinding skin is one of sound, chapped, broken.\n"
    "Finding age is a whole number of years from 0 to 99, usually 30.\n";

Report by(std::size_t rows_of_a_table, const std::string& sentences) {
  Budget budget;
  budget.rows_of_a_table = rows_of_a_table;
  return report_of(findings + sentences, budget);
}

// All that is told of choices, with shares, pairs and witnesses.
std::vector<std::string> all_of(const Report& report) {
  std::vector<std::string> out;
  for (const Problem& p : report.problems) {
    if (p.choice.empty()) continue;
    std::string text = p.kind + "/" + p.form + " of " + p.choice + ", " + p.share.low.get_str() + " to " + p.share.high.get_str() + "; " + p.sense + p.replay;
    for (const Concerned& c : p.sentences) text += "; " + c.text;
    for (const auto& [a, b] : p.pairs) text += "; " + std::to_string(a) + " with " + std::to_string(b);
    out.push_back(text);
  }
  return out;
}

void check_both_say(const std::string& sentences, const std::vector<std::string>& kinds) {
  INFO(sentences);
  const Report graphs = by(1000, sentences), table = by(0, sentences);
  CHECK(graphs.settled());
  CHECK(table.settled());
  CHECK(told(table) == kinds);
  CHECK(all_of(table) == all_of(graphs));
}

// A row for every run of `step` years, the next beginning one year before this one ends.
std::string overlapping_years(unsigned count) {
  std::string out = "Finding hours is a whole number of h from 0 to 9999.\nChoice oil is one of nut oil, tallow.\n";
  for (unsigned i = 0; i < count; ++i)
    out += std::string("Take ") + (i % 2 ? "nut oil" : "tallow") + " in hours from " + std::to_string(i * 10) + " to " + std::to_string(i * 10 + 10) + ".\n";
  return out;
}

}  // namespace

TEST_CASE("by graphs and as a table a choice is told the same, word for word") {
  const std::string oil = "Choice oil is one of nut oil, tallow, wax.\n";
  check_both_say(oil + "Take tallow in fever. Take nut oil in age over 60. Take wax in not fever and age under 61.", {"error choice-clash of oil"});
  check_both_say(oil + "Take tallow in fever. Take nut oil in not fever and age over 60.", {"question choice-empty of oil"});
  check_both_say(oil + "Take tallow in fever. Take nut oil in not fever.", {});
  check_both_say(oil + "Take tallow in fever. Take tallow in fever and age over 60. Otherwise wax.", {"question idle/sentence of oil"});
  check_both_say(oil + "Take wax in fever. Take tallow in chill and not fever. Otherwise wax.", {"question idle/sentence of oil"});
  check_both_say(oil + "Take wax in fever. Take tallow in chill. Otherwise wax.", {"error choice-clash of oil"});
  check_both_say(oil + "Take wax in fever. Take tallow in not fever. Otherwise nut oil.", {"question idle/sentence of oil"});
  check_both_say(oil + "Take wax in fever and not fever. Otherwise nut oil.", {"error never-applies of oil"});
}

TEST_CASE("grades and choices of several values are looked at as tables too") {
  const std::string heat = "Choice heat is a grade of cool, warm, hot, the highest prevails.\n";
  check_both_say(heat + "Take hot in fever. Take cool in fever and age over 60. Take warm in not fever.", {"question idle/sentence of heat"});
  check_both_say(heat + "Take hot in fever. Take cool in age over 60. Otherwise cool.", {"question idle/sentence of heat"});
  const std::string oils = "Choice oils are any of nut oil, tallow, wax.\n";
  check_both_say(oils + "Take tallow, wax in fever. Take tallow in chill. Otherwise tallow and wax.", {});
  check_both_say(oils + "Take tallow, wax in fever. Otherwise tallow and wax.", {"question idle/sentence of oils"});
}

TEST_CASE("in a table too only those are looked at whom the ruleset is about") {
  const std::string facts = "It cannot be that fever and chill. Applies to age at least 18. Refer in skin is broken: \"Ask a healer.\".\n";
  const std::string oil = "Choice oil is one of nut oil, tallow.\n";
  check_both_say(facts + oil + "Take tallow in fever. Take nut oil in chill. Otherwise tallow.", {"question idle/sentence of oil"});
  check_both_say(facts + oil + "Take tallow in fever. Take nut oil in not fever and age at least 20.", {"question choice-empty of oil"});
  check_both_say(facts + oil + "Take tallow in fever. Take nut oil in not fever. Take nut oil in age under 10. Take tallow in skin is broken.",
                 {"note never-applies/already-outside of oil", "note never-applies/already-referred of oil"});
}

TEST_CASE("in a table too sentences are told together that speak for the same of those looked at") {
  const std::string oil = "Applies to age at least 18.\nChoice oil is one of nut oil, tallow.\n";
  check_both_say(oil + "Take nut oil. Take nut oil in age at least 18.", {"question idle/sentence of oil"});
  check_both_say(oil + "Take nut oil in fever or chill. Take nut oil in chill or (fever and not chill). Otherwise tallow.", {"question idle/sentence of oil"});
}

TEST_CASE("in a table too nothing is missed where no practice that uses the choice may be done") {
  const std::string oil = "Choice oil is one of nut oil, tallow.\nTake tallow in fever.\n";
  check_both_say(oil + "Practice rub. Contraindicated in not fever. Otherwise allowed. Uses oil.", {});
  check_both_say(oil + "Practice rub. Contraindicated in not fever and age under 60. Otherwise allowed. Uses oil.", {"question choice-empty of oil"});
}

TEST_CASE("where nearly every two of very many clash, it is told of the first, with how many there are at least") {
  std::string source = "Choice oil is one of nut oil, tallow.\n";
  for (int i = 0; i < 3000; ++i) source += i % 3 ? "Take nut oil.\n" : "Take tallow.\n";
  const Report report = by(150, source);
  CHECK(report.settled());
  REQUIRE(told(report).front() == "error choice-clash of oil");
  const Problem& clash = report.problems[0];
  CHECK(clash.pairs.size() == 200);
  CHECK(clash.more_pairs > 10'000);
  CHECK(clash.share.low == Rational(1));
  CHECK(clash.sense.find("Of at least " + std::to_string(clash.more_pairs + 200) + " pairs of sentences that meet there, only the first 200 are told.") != std::string::npos);
}

TEST_CASE("of very many pairs that clash the first are told, with the number of all") {
  const Report report = by(150, overlapping_years(999));
  CHECK(report.settled());
  REQUIRE(told(report) == std::vector<std::string>{"error choice-clash of oil", "question choice-empty of oil"});
  const Problem& clash = report.problems[0];
  CHECK(clash.pairs.size() == 200);
  CHECK(clash.more_pairs == 798);
  CHECK(clash.sentences.size() == 201);
  CHECK(clash.share.exact);
  CHECK(clash.share.low == Rational(499, 5000));
  CHECK(clash.region.back() == "further persons besides");
  CHECK(clash.replay == "for oil nut oil and tallow fit");
  CHECK(clash.sense.find("Of 998 pairs of sentences that meet there, only the first 200 are told.") != std::string::npos);
  CHECK(report.problems[1].share.low == Rational(9, 10000));
}

TEST_CASE("where graphs meet their budget a choice is looked at as a table, and the other way round") {
  Budget small;
  small.steps = 3000;
  small.rows_of_a_table = 1000;
  const Report changed = report_of(findings + overlapping_years(60), small);
  CHECK(told(changed) == std::vector<std::string>{"error choice-clash of oil", "question choice-empty of oil"});
  const std::string no_table = "Choice oil is one of nut oil, tallow.\nTake tallow in fever. Refuse tallow in chill. Otherwise nut oil.\n";
  CHECK(by(0, no_table).settled());
  Budget least;
  least.steps = 1;
  least.rows_of_a_table = 0;
  CHECK(report_of(findings + overlapping_years(60), least).not_settled == std::vector<std::string>{"oil"});
}
