// Published check: sleep in 24 hours for children, American Academy of Sleep Medicine 2016 (Paruthi et al., J Clin Sleep
// Med 2016;12:785-786) with adults 2015 (from memory), against WHO 2019. Ages in completed months; the counts computed.
#include <catch2/catch.hpp>

#include "compiler/dose.h"
#include "tests/published/table.h"

using namespace betony;
using namespace betony::published;
using Lines = std::vector<std::string>;

namespace {

constexpr int months = 1'201;  // 0 to 1200

Person aged(int month) { return {{"age", std::to_string(month)}}; }

// The hours that the firing doses of a reading leave in common: "12 to 14", "7 and more", "none".
std::string hours(const Table& table, int month, const std::string& school) {
  const Ruleset& r = table.ruleset();
  const Reading reading{school == "Academy" ? Index{0} : Index{1}};
  const SettledDose dose = settle_dose(r, 0, table.profile(aged(month)), reading);
  if (dose.amounts.empty()) return "none";
  const Interval& settled = dose.amounts.at(0).interval;
  return number_words(*settled.low / 3600) + (settled.high ? " to " + number_words(*settled.high / 3600) : " and more");
}

}  // namespace

TEST_CASE("sleep: each school is told where it is silent and where two of its rows meet, and nothing else is told") {
  const Table table("sleep.bty");
  // The Academy: rows meet at 12 months and in the 19th year (216 to 227 months); silent at 0 to 3 and from 732 months on.
  // WHO: silent from 60 months on.
  CHECK(table.told(months) == Lines{"error choice-clash of age row in Academy: 13 of 1201",
                                    "question silence of sleep in Academy: 473 of 1201",
                                    "question silence of sleep in World Health: 1141 of 1201"});
}

TEST_CASE("sleep: the silences and the meeting rows are named to the month") {
  const Table table("sleep.bty");
  CHECK(table.only("choice-clash").region == Lines{"(age is 12 mo or age from 216 to 227 mo)"});
  CHECK(table.only("silence", "sleep", "Academy").region == Lines{"(age at most 3 mo or age at least 732 mo)"});
  CHECK(table.only("silence", "sleep", "World Health").region == Lines{"age at least 60 mo"});
}

TEST_CASE("sleep: the two schools differ in three places up to 18 years") {
  const Table table("sleep.bty");
  Lines places;  // the first month of every run of months in which the rows of the two schools differ alike
  std::string before;
  for (int month = 0; month <= 1'200; ++month) {
    const std::string academy = table.fits("age row", aged(month), "Academy"), world = table.fits("age row", aged(month), "World Health");
    const std::string now = academy == world ? "" : world == "nothing" ? "only the Academy" : academy + " against " + world;
    if (now != before && !now.empty()) places.push_back(std::to_string(month) + " months: " + now);
    before = now;
  }
  CHECK(places == Lines{"0 months: nothing against newborn", "12 months: infant, toddler against toddler", "60 months: only the Academy"});
}

TEST_CASE("sleep: the printed rows hold at both of their ends") {
  const Table table("sleep.bty");
  struct Row { int month; const char *academy, *world; };
  const Row rows[] = {{0, "none", "14 to 17"},       {3, "none", "14 to 17"},       {4, "12 to 16", "12 to 16"},
                      {11, "12 to 16", "12 to 16"},  {12, "12 to 14", "11 to 14"},  {13, "11 to 14", "11 to 14"},
                      {35, "11 to 14", "11 to 14"},  {36, "10 to 13", "10 to 13"},  {59, "10 to 13", "10 to 13"},
                      {60, "10 to 13", "none"},      {71, "10 to 13", "none"},      {72, "9 to 12", "none"},
                      {155, "9 to 12", "none"},      {156, "8 to 10", "none"},      {215, "8 to 10", "none"},
                      {216, "8 to 10", "none"},      {227, "8 to 10", "none"},      {228, "7 and more", "none"},
                      {731, "7 and more", "none"},   {732, "none", "none"},         {1200, "none", "none"}};
  for (const Row& row : rows) {
    CAPTURE(row.month);
    CHECK(hours(table, row.month, "Academy") == row.academy);
    CHECK(hours(table, row.month, "World Health") == row.world);
    CHECK(table.verdict("sleep", aged(row.month), "Academy") == (row.academy == std::string("none") ? "silent" : "advised"));
    CHECK(table.verdict("sleep", aged(row.month), "World Health") == (row.world == std::string("none") ? "silent" : "advised"));
  }
}
