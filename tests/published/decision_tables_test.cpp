// Published check: five decision tables with known answers. Object Management Group, Decision Model and Notation 1.x,
// 8.2.11 and 11: from memory; the counts are computed.
#include <catch2/catch.hpp>

#include "tests/published/table.h"

using namespace betony;
using namespace betony::published;
using Lines = std::vector<std::string>;

namespace {

// One age for each of the three bands under 25, 25 to 60, over 60, at their edges.
const char* const bands[][2] = {{"0", "24"}, {"25", "60"}, {"61", "120"}};

Person applicant(const std::string& age, const std::string& history) { return {{"age", age}, {"history", history}}; }

}  // namespace

// ---------------------------------------------------------------- applicant risk, unique

TEST_CASE("applicant risk: three bands with two histories are complete and without overlap, and nothing is told") {
  const Table table("applicant_risk.bty");
  CHECK(table.told(242) == Lines{});
  // 121 ages, two histories: 25 under 25, 36 from 25 to 60, 60 over 60.
  CHECK(table.count("risk is low", 242) == 25);
  CHECK(table.count("risk is medium", 242) == 60 + 2 * 36 + 25);
  CHECK(table.count("risk is high", 242) == 60);
}

TEST_CASE("applicant risk: each of the six combinations is matched by exactly one row") {
  const Table table("applicant_risk.bty");
  const char* const expected[3][2] = {{"low", "medium"}, {"medium", "medium"}, {"medium", "high"}};
  for (int band = 0; band < 3; ++band)
    for (int bad = 0; bad < 2; ++bad)
      for (const char* age : bands[band]) {
        CAPTURE(age, bad);
        CHECK(table.firing("risk", applicant(age, bad ? "bad" : "good")) == 1);
        CHECK(table.fits("risk", applicant(age, bad ? "bad" : "good")) == expected[band][bad]);
      }
}

TEST_CASE("applicant risk: with any row taken out, exactly what it matched has no risk") {
  const Table table("applicant_risk.bty");
  const std::pair<const char*, int> rows[] = {{"Take medium in age over 60 and history is good [DM 1].", 60},
                                              {"Take high in age over 60 and history is bad [DM 2].", 60},
                                              {"Take medium in age from 25 to 60 [DM 3].", 72},
                                              {"Take low in age under 25 and history is good [DM 4].", 25},
                                              {"Take medium in age under 25 and history is bad [DM 5].", 25}};
  for (const auto& [row, matched] : rows) {
    CAPTURE(row);
    CHECK(table.without(row).told(242) == Lines{"question choice-empty of risk: " + std::to_string(matched) + " of 242"});
  }
}

// ---------------------------------------------------------------- loan compliance, any

TEST_CASE("loan compliance: rows that overlap say the same, so nothing contradicts, and no row can be removed") {
  const Table table("loan_compliance.bty");
  CHECK(table.told(8) == Lines{});
  CHECK(table.count("compliance is compliant", 8) == 1);
  CHECK(table.count("compliance is non-compliant", 8) == 7);
}

TEST_CASE("loan compliance: of eight combinations one row matches in four, two in three and three in one") {
  const Table table("loan_compliance.bty");
  std::map<std::size_t, int> rows;
  for (const char* rating : {"A", "B"})
    for (const char* card : {"9999", "10000"})
      for (const char* loan : {"49999", "50000"})
        ++rows[table.firing("compliance", {{"rating", rating}, {"card balance", card}, {"education loan", loan}})];
  CHECK(rows == std::map<std::size_t, int>{{1, 4}, {2, 3}, {3, 1}});
  const std::string bad = " of rating is not A, card balance at least 10000, education loan at least 50000";
  CHECK(table.count("at least 2" + bad, 8) == 4);
  CHECK(table.count("at least 3" + bad, 8) == 1);
}

// ---------------------------------------------------------------- applicant risk, priority

TEST_CASE("applicant risk by priority: complete, the overlap over 60 with a bad history is high, and nothing is told") {
  const Table table("applicant_risk_priority.bty");
  CHECK(table.told(242) == Lines{});
  CHECK(table.count("risk is high", 242) == 60);
  CHECK(table.count("risk is medium", 242) == 96 + 61);  // 25 and over with a good history, up to 60 with a bad one
  CHECK(table.count("risk is low", 242) == 25);
  CHECK(table.fits("risk", applicant("61", "bad")) == "high");
  CHECK(table.firing("risk", applicant("61", "bad")) == 2);
  CHECK(table.firing("risk", applicant("60", "bad")) == 1);
}

TEST_CASE("applicant risk without priority: there is one overlap with different outcomes, over 60 with a bad history") {
  const Table table = Table("applicant_risk_priority.bty")
                          .changed("a grade of low, medium, high, the highest prevails", "one of low, medium, high");
  // At 25 and over a bad history is medium by a row of its own: "good" only keeps the two apart.
  CHECK(table.told(242) == Lines{"error choice-clash of risk: 60 of 242", "note idle/part of risk: 96 of 242"});
  const Problem clash = table.only("choice-clash");
  REQUIRE(clash.sentences.size() == 2);
  CHECK(clash.sentences[0].text == "Take high in age over 60 and history is bad [DM 2].");
  CHECK(clash.sentences[1].text == "Take medium in history is bad [DM 3].");
  CHECK(clash.region == Lines{"age at least 61 years and history is bad"});
  CHECK(table.number(clash, "age") > 60);
  CHECK(table.answer(clash, "history") == "bad");
}

// ---------------------------------------------------------------- pre-bureau risk category

// 120 to 130 are low, and 80 to under 90 high, whoever asks: there the kind of person only keeps two rows apart.
const Lines two_kept_apart = {"note idle/part of risk: 10 of 400", "note idle/part of risk: 10 of 400"};

TEST_CASE("pre-bureau risk: eight rows over every score are complete and disjoint, and only what keeps two of them apart is noted") {
  const Table table("pre_bureau_risk.bty");
  CHECK(table.told(400) == two_kept_apart);
  // Lengths of score out of 200, for two kinds of person.
  CHECK(table.count("risk is decline", 400) == 80);
  CHECK(table.count("risk is high", 400) == 100 + 10);
  CHECK(table.count("risk is medium", 400) == 20 + 20);
  CHECK(table.count("risk is low", 400) == 10 + 90);
  CHECK(table.count("risk is very low", 400) == 70);
}

TEST_CASE("pre-bureau risk: exactly one row matches at every edge and just beside it") {
  const Table table("pre_bureau_risk.bty");
  struct Row { const char *customer, *score, *risk; };
  const Row rows[] = {{"no", "99.99", "high"},   {"no", "100", "medium"},    {"no", "119.99", "medium"}, {"no", "120", "low"},
                      {"no", "130", "low"},      {"no", "130.01", "very low"}, {"yes", "79.99", "decline"}, {"yes", "80", "high"},
                      {"yes", "89.99", "high"},  {"yes", "90", "medium"},    {"yes", "110", "medium"},   {"yes", "110.01", "low"}};
  for (const Row& row : rows) {
    CAPTURE(row.customer, row.score);
    CHECK(table.fits("risk", {{"existing customer", row.customer}, {"score", row.score}}) == row.risk);
    CHECK(table.firing("risk", {{"existing customer", row.customer}, {"score", row.score}}) == 1);
  }
}

TEST_CASE("pre-bureau risk as a table: what its eight rows say is what the eight sentences say") {
  const Table table("pre_bureau_risk.csv"), sentences("pre_bureau_risk.bty");
  CHECK(table.told(400) == two_kept_apart);
  for (const char* customer : {"no", "yes"})
    for (const char* score : {"0", "79.99", "80", "89.99", "90", "99.99", "100", "110", "110.01", "119.99", "120", "130", "130.01", "200"}) {
      CAPTURE(customer, score);
      const Person person = {{"existing customer", customer}, {"score", score}};
      CHECK(table.fits("risk", person) == sentences.fits("risk", person));
      CHECK(table.firing("risk", person) == 1);
    }
}

TEST_CASE("pre-bureau risk as a table: without its second row the scores from 100 to under 120 have no risk, and twice said they clash") {
  const std::string second = "no,>=100 & <120,medium,DM 2\n";
  CHECK(Table("pre_bureau_risk.csv").without(second).told(400) == Lines{"question choice-empty of risk: 20 of 400", two_kept_apart[0], two_kept_apart[1]});
  const Table wider = Table("pre_bureau_risk.csv").changed(second, "no,>=100 & <=125,medium,DM 2\n");
  CHECK(wider.told(400) == Lines{"error choice-clash of risk: 5 of 400", two_kept_apart[0], two_kept_apart[1]});
  const Problem clash = wider.only("choice-clash");
  REQUIRE(clash.sentences.size() == 2);
  const LineIndex rows(wider.ruleset().tree.files[0]);
  CHECK(rows.words(clash.sentences[0].place.span.begin) == "row 7");
  CHECK(rows.words(clash.sentences[1].place.span.begin) == "row 8");
}

// ---------------------------------------------------------------- application risk score, sum

TEST_CASE("application score: the least is 72, the most 138, and both are met") {
  const Table table("application_score.bty");
  constexpr int all = 82 * 2 * 4;
  CHECK(table.told(all) == Lines{});
  CHECK(table.count("score is 72", all) == 4);       // 18 to 21, single, unemployed
  CHECK(table.count("score is 138", all) == 50);     // 50 to 99, married, employed
  CHECK(table.count("score from 72 to 138", all) == all);
  CHECK(table.count("score is 72 and not (age from 18 to 21, marital status is single, and employment is unemployed)", all) == 0);
}

TEST_CASE("application score: 51, married and employed is 138, and 18, single and unemployed is 72") {
  const Table table("application_score.bty");
  const auto score = [&](const char* age, const char* status, const char* work) {
    return table.tally("score", {{"age", age}, {"marital status", status}, {"employment", work}});
  };
  CHECK(score("51", "married", "employed") == 138);
  CHECK(score("18", "single", "unemployed") == 72);
  CHECK(score("22", "married", "self-employed") == 35 + 45 + 36);
  CHECK(score("35", "single", "student") == 40 + 25 + 18);
}

TEST_CASE("application score: plain adding of all rows gives every score as often as the checks do") {
  const int years[] = {4, 4, 10, 14, 50}, by_age[] = {32, 35, 40, 43, 48}, by_status[] = {25, 45}, by_work[] = {15, 18, 45, 36};
  std::map<int, int> counts;
  for (int a = 0; a < 5; ++a)
    for (int status : by_status)
      for (int work : by_work) counts[by_age[a] + status + work] += years[a];
  CHECK(counts.begin()->first == 72);
  CHECK(counts.rbegin()->first == 138);
  const Table table("application_score.bty");
  for (const auto& [score, count] : counts) {
    CAPTURE(score);
    CHECK(table.count("score is " + std::to_string(score), 82 * 2 * 4) == count);
  }
}

TEST_CASE("application score with ages not rounded: 21-22, 25-26, 35-36 and 49-50 are gaps, and under 18 nothing is said") {
  const Table table("application_score_bands.bty");
  // Of 100 years 18 are silent and four are gaps.
  CHECK(table.told(100) == Lines{"question choice-empty of age row: 22 of 100"});
  const char* const gaps[][3] = {{"21", "21.5", "22"}, {"25", "25.5", "26"}, {"35", "35.5", "36"}, {"49", "49.5", "50"}};
  const std::string none = "not age row is first or second or third or fourth or fifth";
  for (const auto& gap : gaps) {
    CAPTURE(gap[1]);
    const auto row = [&](const char* age) {
      return table.fits("age row", {{"age", age}, {"marital status", "single"}, {"employment", "student"}});
    };
    CHECK(row(gap[0]) != "nothing");
    CHECK(row(gap[1]) == "nothing");
    CHECK(row(gap[2]) != "nothing");
    CHECK(table.count(none + " in age from " + gap[0] + " to " + gap[2], 100) == 1);
  }
  CHECK(table.count(none + " in age under 18", 100) == 18);
  CHECK(table.fits("age row", {{"age", "18"}, {"marital status", "single"}, {"employment", "student"}}) == "first");
}

TEST_CASE("application score with ages not rounded: a person in a gap has no points for age, so 40 is the least") {
  const Table table("application_score_bands.bty");
  const auto score = [&](const char* age, const char* status, const char* work) {
    return table.tally("score", {{"age", age}, {"marital status", status}, {"employment", work}});
  };
  CHECK(score("51", "married", "employed") == 138);
  CHECK(score("18", "single", "unemployed") == 72);
  CHECK(score("21.5", "single", "unemployed") == 40);
  // In years of 100, of which 22 have no row: 1 of 2 states and 1 of 4 employments.
  CHECK(table.count("score is 40", 800) == 22);
  CHECK(table.count("score under 40", 800) == 0);
}

TEST_CASE("application score: a measure that adds three tallies has their sums and no others") {
  const Table table = Table("application_score_bands.bty").with(
      "Tally age points counts age row is first as 32, age row is second as 35, age row is third as 40, age row is fourth as 43,"
      " and age row is fifth as 48.\n"
      "Tally state points counts marital status is single as 25, and marital status is married as 45.\n"
      "Tally work points counts employment is unemployed as 15, employment is student as 18, employment is employed as 45, and"
      " employment is self-employed as 36.\n"
      "Measure added score is age points + state points + work points.\n"
      "Claim \"no sum over 138\": never added score over 138.");
  CHECK(table.measure("added score", {{"age", "51"}, {"marital status", "married"}, {"employment", "employed"}}) == 138);
  CHECK(table.measure("added score", {{"age", "18"}, {"marital status", "single"}, {"employment", "unemployed"}}) == 72);
  CHECK(table.told(100) == Lines{"question choice-empty of age row: 22 of 100"});
}
