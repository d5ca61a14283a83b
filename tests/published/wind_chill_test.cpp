// Published check: wind chill, US National Weather Service 2001. Formula and six of the chart's numbers read at 10tv.com
// (the chart's example) and ridebellchain.com (grid); the other 210 from memory. That formula and chart agree is computed.
#include <catch2/catch.hpp>

#include "tests/published/table.h"

using namespace betony;
using namespace betony::published;
using Lines = std::vector<std::string>;

namespace {

constexpr long all = 22L * 61;  // -45 to 60 degrees by fives, 0 to 60 miles an hour

Person weather(int temperature, int wind) { return {{"temperature", std::to_string(temperature)}, {"wind", std::to_string(wind)}}; }

Rational power(const Rational& base, unsigned exponent) {
  Rational result = 1;
  while (exponent-- > 0) result *= base;
  return result;
}

}  // namespace

TEST_CASE("wind chill: the two decimals written for each wind lie a billionth apart, on both sides of the 25th root of its fourth power") {
  const Table table("wind_chill.bty");
  for (int wind = 4; wind <= 60; ++wind) {
    CAPTURE(wind);
    const Rational below = table.tally("root from below", weather(0, wind)), above = table.tally("root from above", weather(0, wind));
    CHECK(above - below == exactly("0.000000001"));
    CHECK(power(below, 25) <= power(wind, 4));
    CHECK(power(above, 25) > power(wind, 4));
  }
}

TEST_CASE("wind chill: the six numbers that were read come out, and so do the other 210 of the chart") {
  const Table table("wind_chill.bty");
  const auto chill = [&](int temperature, int wind) {
    const Person person = weather(temperature, wind);
    const std::string coldest = rounded(table.measure("coldest", person), 0), warmest = rounded(table.measure("warmest", person), 0);
    CHECK(coldest == warmest);
    return coldest;
  };
  CHECK(chill(0, 15) == "-19");
  CHECK(chill(40, 5) == "36");
  CHECK(chill(-45, 60) == "-98");
  CHECK(chill(20, 30) == "1");
  CHECK(chill(10, 5) == "1");
  CHECK(chill(30, 60) == "10");
  for (int temperature = -45; temperature <= 40; temperature += 5)
    for (int wind = 5; wind <= 60; wind += 5) {
      CAPTURE(temperature, wind);
      CHECK(chill(temperature, wind) == rounded(table.tally("printed", weather(temperature, wind)), 0));
    }
}

TEST_CASE("wind chill: whichever of the two decimals is taken, every weather has the same whole number") {
  const Table table("wind_chill.bty");
  for (int temperature = -45; temperature <= 50; temperature += 5)
    for (int wind = 4; wind <= 60; ++wind) {
      CAPTURE(temperature, wind);
      const Person person = weather(temperature, wind);
      REQUIRE(table.measure("coldest", person) < table.measure("warmest", person));
      CHECK(rounded(table.measure("coldest", person), 0) == rounded(table.measure("warmest", person), 0));
    }
}

TEST_CASE("wind chill: the chart is the formula, and all that is told is where the text is silent") {
  const Table table("wind_chill.bty");
  CHECK(table.count("on the chart", all) == 18 * 12);
  // Over 50 degrees: 2 of 22; up to 3 miles an hour: 4 of 61. Of freezing skin one weather is told.
  CHECK(table.told(all) == Lines{"question silence of looking it up: " + std::to_string(all - 20 * 57) + " of 1342",
                                 "question silence of staying out with bare skin: 1341 of 1342"});
  CHECK(table.only("silence", "looking it up").region == Lines{"temperature at least 55 degF", "wind at most 3 mph"});
}

TEST_CASE("wind chill: one number of the chart put wrong by one is found, with its temperature and its wind") {
  const Table table = Table("wind_chill.bty").changed("wind is 15 and temperature is 0 as -19", "wind is 15 and temperature is 0 as -18");
  const Problem refuted = table.only("claim-refuted");
  CHECK(refuted.share.low * all == 1);
  CHECK(table.number(refuted, "temperature") == 0);
  CHECK(table.number(refuted, "wind") == 15);
}

TEST_CASE("wind chill: the text speaks at 50 degrees and not over it, over 3 miles an hour and not at 3") {
  const Table table = Table("wind_chill.bty")
                          .changed("from -45 to 60 in steps of 5", "from -45 to 60 in steps of 0.5")
                          .changed("a whole number of mph from 0 to 60", "a number of mph from 0 to 60 in steps of 0.01");
  const auto said = [&](const char* temperature, const char* wind) {
    return table.verdict("looking it up", {{"temperature", temperature}, {"wind", wind}});
  };
  CHECK(said("50", "3") == "silent");
  CHECK(said("50", "3.01") == "allowed");
  CHECK(said("50.5", "3.01") == "silent");
  CHECK(said("-45", "60") == "allowed");
}

TEST_CASE("wind chill: at 0 degrees and 15 miles an hour bare skin can freeze in 30 minutes") {
  CHECK(Table("wind_chill.bty").dose("staying out with bare skin", weather(0, 15)) == "at most 30 min");
}
