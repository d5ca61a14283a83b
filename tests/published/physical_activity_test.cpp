// Published check: physical activity, WHO 2020 (Bull et al., Br J Sports Med 2020;54:1451-1462, read: PMC7719906, abstract and
// table 4) and WHO 2019 for under fives (read at beta.measurement-toolkit.org). That a vigorous minute counts as two moderate
// ones: from memory. The counts are computed.
#include <catch2/catch.hpp>

#include "tests/published/table.h"

using namespace betony;
using namespace betony::published;
using Lines = std::vector<std::string>;

namespace {

constexpr int ages = 111;  // 0 to 110 completed years

const char* group_of(int age) {
  return age < 1 ? "infants" : age < 3 ? "toddlers" : age < 5 ? "small children" : age < 18 ? "children and youth" : age < 65 ? "adults" : "older adults";
}

Person week(const char* age, const char* moderate, const char* vigorous, const char* days = "0", const char* light = "0") {
  return {{"age", age}, {"moderate", moderate}, {"vigorous", vigorous}, {"days of vigorous activity", days}, {"light", light}};
}

const Table& table() {
  static const Table table("physical_activity.bty");
  return table;
}

std::string activity(const Person& person) { return table().fits("activity", person); }

}  // namespace

TEST_CASE("physical activity: in completed years the six groups leave no gap and no overlap") {
  std::map<std::string, int> counted;
  for (int age = 0; age <= 110; ++age) {
    CAPTURE(age);
    ++counted[group_of(age)];
    CHECK(table().fits("group", {{"age", std::to_string(age)}}) == group_of(age));
    CHECK(table().firing("group", {{"age", std::to_string(age)}}) == 1);
  }
  for (const auto& [group, count] : counted) CHECK(table().count("group is " + group, ages) == count);
}

TEST_CASE("physical activity: no group is empty or clashes, and each practice is silent of the ages that are not its own") {
  CHECK(table().told(2 * ages) == Lines{"question silence of moderate activity: 36 of 222",   // 0 to 17 years
                                        "question silence of vigorous activity: 36 of 222",
                                        "question silence of strengthening: 10 of 222",       // 0 to 4
                                        "question silence of balance work: 130 of 222",       // 0 to 64
                                        "question silence of lying prone: 221 of 222"});      // all but those under 1 who do not move about
}

TEST_CASE("physical activity: a gap of one year between two groups would be told, and so would a year in two") {
  CHECK(table().changed("age from 18 to 64", "age from 19 to 64").only("choice-empty", "group").region == Lines{"age is 18 years"});
  CHECK(table().changed("age from 18 to 64", "age from 17 to 64").only("choice-clash", "group").region == Lines{"age is 17 years"});
}

TEST_CASE("physical activity: 90 + 30 and 0 + 75 minutes a week are the equivalent of 150 and meet it, 100 + 20 are 140 and do not") {
  struct Row { const char *moderate, *vigorous; int equivalent; const char* activity; };
  const Row rows[] = {{"90", "30", 150, "enough"}, {"100", "20", 140, "too little"}, {"0", "75", 150, "enough"},
                      {"150", "0", 150, "enough"}, {"140", "0", 140, "too little"},  {"0", "70", 140, "too little"}, {"140", "5", 150, "enough"}};
  for (const Row& row : rows) {
    CAPTURE(row.moderate, row.vigorous);
    for (const char* age : {"18", "64", "65"}) {
      CHECK(table().measure("equivalent", week(age, row.moderate, row.vigorous)) == row.equivalent);
      CHECK(activity(week(age, row.moderate, row.vigorous)) == row.activity);
    }
  }
}

TEST_CASE("physical activity: as many weeks are enough for a grown person as plain counting finds") {
  int enough = 0;
  for (int moderate = 0; moderate <= 1'680; moderate += 10)
    for (int vigorous = 0; vigorous <= 840; vigorous += 5) enough += moderate + 2 * vigorous >= 150;
  const long weeks = 169L * 169;
  REQUIRE(enough == weeks - 120);  // 120 mixes fall short: 15 + 14 + … + 1, vigorous minutes by fives counting double
  CHECK(table().count("activity is enough in age is 40", weeks * ages) == enough);
}

TEST_CASE("physical activity: children need 60 minutes a day, which are 420 a week, and 3 days of vigorous activity") {
  CHECK(activity(week("10", "420", "0", "3")) == "enough");
  CHECK(activity(week("10", "410", "5", "3")) == "too little");
  CHECK(activity(week("10", "400", "20", "3")) == "enough");  // minutes of the two are added here, and not counted double
  CHECK(activity(week("10", "200", "110", "3")) == "too little");
  CHECK(activity(week("10", "420", "0", "2")) == "too little");
  CHECK(activity(week("5", "420", "0", "3")) == "enough");
  CHECK(activity(week("17", "420", "0", "3")) == "enough");
}

TEST_CASE("physical activity: small children need 180 minutes a day, of which 60 are moderate to vigorous from 3 years on") {
  CHECK(activity(week("2", "0", "0", "0", "180")) == "enough");
  CHECK(activity(week("2", "0", "0", "0", "120")) == "too little");
  CHECK(activity(week("2", "410", "10", "0", "120")) == "enough");    // 120 min/d and 420 min/wk
  CHECK(activity(week("2", "410", "5", "0", "120")) == "too little");
  CHECK(activity(week("3", "0", "0", "0", "180")) == "too little");
  CHECK(activity(week("4", "420", "0", "0", "120")) == "enough");
  CHECK(activity(week("4", "410", "5", "0", "240")) == "too little");
  CHECK(table().measure("whole activity", week("4", "420", "0", "0", "120")) == 180);
  CHECK(table().measure("whole activity", week("4", "410", "5", "0", "120")) == 120 + Rational(415, 7));
  const auto prone = [&](const char* minutes, const char* mobile) { return activity({{"age", "0"}, {"prone", minutes}, {"mobile", mobile}}); };
  CHECK(prone("30", "no") == "enough");
  CHECK(prone("20", "no") == "too little");
  CHECK(prone("0", "yes") == "enough");
}

TEST_CASE("physical activity: strengthening on 2 days or 3, and balance work on 3 from 65 years on") {
  const auto strength = [&](const char* age, const char* days) { return table().fits("strength", {{"age", age}, {"days of strengthening", days}}); };
  const auto balance = [&](const char* age, const char* days) { return table().fits("balance", {{"age", age}, {"days of balance", days}}); };
  CHECK(strength("4", "7") == "not asked for");
  CHECK(strength("5", "3") == "enough");
  CHECK(strength("17", "2") == "too little");
  CHECK(strength("18", "2") == "enough");
  CHECK(strength("65", "1") == "too little");
  CHECK(balance("64", "0") == "not asked for");
  CHECK(balance("65", "2") == "too little");
  CHECK(balance("65", "3") == "enough");
}

TEST_CASE("physical activity: the doses are told as they are printed") {
  const auto dose = [&](const char* practice, const char* age, const char* mobile = "yes") {
    return table().dose(practice, {{"age", age}, {"mobile", mobile}});
  };
  CHECK(dose("moderate activity", "18") == "150 to 300 min, once a wk");
  CHECK(dose("vigorous activity", "65") == "75 to 150 min, once a wk");
  CHECK(dose("strengthening", "17") == "3 to 7 times a wk");
  CHECK(dose("strengthening", "18") == "2 to 7 times a wk");
  CHECK(dose("balance work", "65") == "3 to 7 times a wk");
  CHECK(dose("lying prone", "0", "no") == "at least 30 min, once a day");
  CHECK(table().verdict("balance work", {{"age", "64"}}) == "silent");
  CHECK(table().verdict("balance work", {{"age", "65"}}) == "advised");
}

TEST_CASE("physical activity: minutes a day and minutes a week are converted, and neither is ever compared with plain minutes") {
  const long weeks = 169L * 169;
  int short_of = 0;
  for (int moderate = 0; moderate <= 1'680; moderate += 10)
    for (int vigorous = 0; vigorous <= 840; vigorous += 5) short_of += moderate + vigorous < 420;
  CHECK(table().count("together under 60 min/d", weeks) == short_of);
  CHECK(table().count("together under 420 min/wk", weeks) == short_of);
  CHECK(table().count("together under 60 min/wk", weeks) < short_of);
  const auto refused = [](const std::string& sentence) {
    return unreadable_text("Ruleset \"Unlike\", edition \"1\".\nFinding walking is a number of min/wk from 0 to 1680.\nPractice wrong. Otherwise allowed.\n" +
                           sentence + "\n");
  };
  CHECK(refused("Practice wrong. Discouraged in walking under 150 min.") ==
        Lines{"line 4: unlike units: \"walking\" is in min/wk (a plain number) and cannot be compared with min (a time)."});
  CHECK(refused("Measure more is walking + 60 min in min/wk.\nClaim \"c\": never more over 0.") == Lines{"line 4: unlike units: walking is a plain number and 60 min is a time; the two cannot be added."});
  CHECK(refused("Practice wrong. Discouraged in walking under 60 min/d.") == Lines{});
}
