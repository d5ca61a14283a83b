// Published check: heat-index risk bands, OSHA (read at osha.gov/heat/heat-index/protective-measures).
#include <catch2/catch.hpp>

#include "tests/published/table.h"

using namespace betony;
using namespace betony::published;
using Lines = std::vector<std::string>;

TEST_CASE("heat bands: exactly 103 lies in two bands, a share of nothing and yet possible, and there is no gap") {
  const Table table("heat_bands.bty");
  CHECK(table.told(1) == Lines{"error choice-clash of risk: 0 of 1"});
  const Problem clash = table.only("choice-clash");
  CHECK(clash.region == Lines{"heat index is 103 degF"});
  CHECK(table.number(clash, "heat index") == 103);
  REQUIRE(clash.sentences.size() == 2);
  CHECK(clash.sentences[0].text == "Take moderate in heat index from 91 to 103 [OS].");
  CHECK(clash.sentences[1].text == "Take high in heat index from 103 to 115 [OS].");
}

TEST_CASE("heat bands: 91 is moderate, 115 is high, 115.01 is very high, and 103 is moderate and high") {
  const Table table("heat_bands.bty");
  const auto risk = [&](const char* heat) { return table.fits("risk", {{"heat index", heat}}); };
  CHECK(risk("90.99") == "lower");
  CHECK(risk("91") == "moderate");
  CHECK(risk("102.99") == "moderate");
  CHECK(risk("103") == "moderate, high");
  CHECK(risk("103.01") == "high");
  CHECK(risk("115") == "high");
  CHECK(risk("115.01") == "very high");
}

TEST_CASE("heat bands in tenths of a degree: one value of 801 lies in two bands") {
  const Table table = Table("heat_bands.bty").changed("from 60 to 140.", "from 60 to 140 in steps of 0.1.");
  CHECK(table.told(801) == Lines{"error choice-clash of risk: 1 of 801"});
  CHECK(table.count("risk is lower", 801) == 310);          // 60.0 to 90.9
  CHECK(table.count("risk is moderate", 801) == 121);       // 91.0 to 103.0
  CHECK(table.count("risk is high", 801) == 121);           // 103.0 to 115.0
  CHECK(table.count("risk is very high", 801) == 250);      // 115.1 to 140.0
}

TEST_CASE("heat bands: with the graver band before the other 103 is settled and nothing is told") {
  const Table table = Table("heat_bands.bty").changed("one of lower, moderate, high, very high",
                                                      "a grade of lower, moderate, high, very high, the highest prevails");
  CHECK(table.told(1) == Lines{});
  CHECK(table.fits("risk", {{"heat index", "103"}}) == "high");
}
