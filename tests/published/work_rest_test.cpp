// Published check: minutes of work and rest in heat, NIOSH (read at cdc.gov/niosh/mining/content/heatstressworkrest.html;
// from NIOSH 2016-106). What sun and moist air add is from memory; the counts, and that more heat or a heavier load
// never gives more work, are computed.
#include <catch2/catch.hpp>

#include "tests/published/table.h"

using namespace betony;
using namespace betony::published;
using Lines = std::vector<std::string>;

namespace {

const char* const loads[] = {"light", "moderate", "heavy"};

// The printed table, a column a load: minutes of work at 90, 91, ... 112 degrees; 60 where work is normal, 0 where extreme
// caution is called for.
const int minutes[3][23] = {
    {60, 60, 60, 60, 60, 60, 60, 60, 60, 60, 60, 60, 60, 60, 60, 60, 45, 40, 35, 30, 15, 0, 0},
    {60, 60, 60, 60, 60, 60, 60, 60, 60, 60, 45, 40, 35, 30, 30, 25, 20, 15, 0, 0, 0, 0, 0},
    {60, 60, 60, 60, 60, 45, 45, 40, 35, 35, 30, 30, 25, 20, 20, 15, 0, 0, 0, 0, 0, 0, 0},
};

constexpr int persons = 41 * 3;  // 80 to 120 degrees, three loads

std::string cell_words(int work) {
  if (work == 60) return "normal work";
  if (work == 0) return "extreme caution";
  return "work " + std::to_string(work) + " rest " + std::to_string(60 - work);
}

Person worker(int degrees, int load) { return {{"temperature", std::to_string(degrees)}, {"load", loads[load]}}; }

// The warmest temperature at which the load still gives so much work.
int warmest(int load, int work) {
  int degrees = 89;
  while (degrees < 112 && minutes[load][degrees + 1 - 90] >= work) ++degrees;
  return degrees;
}

// That a load gives at least so much work up to some temperature, and never above it: for every load and every amount.
std::string claims_of_falling() {
  std::string claims;
  for (int load = 0; load < 3; ++load) {
    std::string at_least;
    for (int work : {60, 45, 40, 35, 30, 25, 20, 15}) {
      at_least += (at_least.empty() ? "cell is one of " : ", ") + cell_words(work);
      const std::string here = " in load is " + std::string(loads[load]) + " and temperature ", last = std::to_string(warmest(load, work));
      const std::string title = loads[load] + std::string(", ") + std::to_string(work);
      claims += "Claim \"" + title + ", up to " + last + "\": always " + at_least + here + "from 90 to " + last + ".\n";
      claims += "Claim \"" + title + ", over " + last + "\": never " + at_least + here + "over " + last + ".\n";
    }
  }
  return claims;
}

}  // namespace

TEST_CASE("work and rest: all 69 cells are as printed, with the minutes of work and of rest in the hour") {
  const Table table("work_rest.bty");
  for (int load = 0; load < 3; ++load)
    for (int degrees = 90; degrees <= 112; ++degrees) {
      CAPTURE(loads[load], degrees);
      const int work = minutes[load][degrees - 90];
      const Person person = worker(degrees, load);
      const bool timed = work != 60 && work != 0;
      CHECK(table.fits("cell", person) == cell_words(work));
      CHECK(table.firing("cell", person) == 1);
      CHECK(table.verdict("work", person) == (work == 0 ? "discouraged" : "allowed"));
      CHECK(table.verdict("rest", person) == (timed ? "allowed" : "silent"));
      CHECK(table.dose("work", person) == (timed ? std::to_string(work) + " min, once every 1 h" : "nothing"));
      CHECK(table.dose("rest", person) == (timed ? std::to_string(60 - work) + " min, once every 1 h" : "nothing"));
    }
}

TEST_CASE("work and rest: 31 cells are normal, 24 are timed and 14 call for caution") {
  const Table table("work_rest.bty");
  CHECK(table.count("cell is normal work", persons) == 31);
  CHECK(table.count("cell is extreme caution", persons) == 14);
  CHECK(table.count("cell is not normal work or extreme caution and work is allowed", persons) == 24);
  CHECK(table.count("work is allowed", persons) == 55);
  CHECK(table.count("work is discouraged", persons) == 14);
}

TEST_CASE("work and rest: no cell is in two rows, and the table is silent under 90 and over 112 degrees and nowhere between") {
  const Table table("work_rest.bty");
  // 18 of 41 temperatures, three loads; of rest nothing is said where work is normal or caution is called for either.
  CHECK(table.told(persons) == Lines{"question silence of work: 54 of 123", "question silence of rest: 99 of 123"});
  CHECK(table.only("silence", "work").region == Lines{"(temperature at most 89 degF or temperature at least 113 degF)"});
  CHECK(table.fits("cell", worker(89, 0)) == "nothing");
  CHECK(table.fits("cell", worker(113, 2)) == "nothing");
}

TEST_CASE("work and rest: the two printed examples") {
  const Table table("work_rest.bty");
  CHECK(table.dose("work", worker(104, 2)) == "20 min, once every 1 h");
  CHECK(table.dose("rest", worker(104, 2)) == "40 min, once every 1 h");
  CHECK(table.fits("cell", worker(108, 1)) == "extreme caution");
  CHECK(table.verdict("work", worker(108, 1)) == "discouraged");
}

TEST_CASE("work and rest: more heat or a heavier load never gives more work") {
  for (int work : {60, 45, 40, 35, 30, 25, 20, 15})  // a heavier load does not last longer
    for (int load = 0; load < 2; ++load) {
      CAPTURE(work, loads[load]);
      CHECK(warmest(load + 1, work) <= warmest(load, work));
    }
  const Table table = Table("work_rest.bty").with(claims_of_falling());
  CHECK(table.ruleset().claims.size() == 48);
  CHECK(table.told(persons) == Lines{"question silence of work: 54 of 123", "question silence of rest: 99 of 123"});
}

TEST_CASE("work and rest: that a load gives less work than it does is refuted, and the two temperatures are named") {
  const Table table = Table("work_rest.bty").with(
      "Claim \"heavy, 45, over 94\": never cell is one of normal work, work 45 rest 15 in load is heavy and temperature over 94.");
  CHECK(table.told(persons) == Lines{"error claim-refuted: 2 of 123", "question silence of work: 54 of 123", "question silence of rest: 99 of 123"});
  CHECK(table.only("claim-refuted").region == Lines{"load is heavy and temperature from 95 to 96 degF"});
}

TEST_CASE("work and rest: sun and moist air move the temperature that is looked up, for every person") {
  struct Humidity { const char* percent; int adds; };
  const Humidity humidities[] = {{"10", -8}, {"20", -4}, {"30", 0}, {"40", 3}, {"50", 6}, {"60", 9}};
  const std::pair<const char*, int> suns[] = {{"none", 0}, {"part", 7}, {"full", 13}};
  const Table table("work_rest_adjusted.bty");
  constexpr int all = 46 * 3 * 6 * 3;
  std::map<std::string, int> counted;
  for (int air = 70; air <= 115; ++air)
    for (const auto& [sun, warmth] : suns)
      for (const Humidity& humidity : humidities) {
        const int degrees = air + warmth + humidity.adds;
        const Person person = {{"air", std::to_string(air)}, {"sun", sun}, {"humidity", humidity.percent}};
        REQUIRE(table.measure("temperature", person) == degrees);
        for (int load = 0; load < 3; ++load) {
          const std::string cell = degrees < 90 || degrees > 112 ? "nothing" : cell_words(minutes[load][degrees - 90]);
          ++counted[cell];
          if (air % 5 != 0) continue;  // the evaluator on every fifth, the checks on all
          Person loaded = person;
          loaded["load"] = loads[load];
          CAPTURE(air, sun, humidity.percent, loads[load]);
          CHECK(table.fits("cell", loaded) == cell);
        }
      }
  REQUIRE(counted.size() == 10);
  for (const auto& [cell, count] : counted) {
    if (cell == "nothing") continue;
    CAPTURE(cell);
    CHECK(table.count("cell is " + cell, all) == count);
  }
  const int untimed = counted["nothing"] + counted["normal work"] + counted["extreme caution"];
  CHECK(table.told(all) == Lines{"question silence of work: " + std::to_string(counted["nothing"]) + " of 2484",
                                 "question silence of rest: " + std::to_string(untimed) + " of 2484"});
  CHECK(table.only("silence", "work").region == Lines{"(temperature under 90 degF or temperature over 112 degF)"});
}
