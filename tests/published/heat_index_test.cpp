// Published check: heat index, US National Weather Service (Rothfusz, NWS SR 90-23, 1990; formula read at
// wpc.ncep.noaa.gov/html/heatindex_equation.shtml, the chart's numbers at srh.noaa.gov/tsa/?n=heatindex). The results of
// the nine examples and all counts are computed.
#include <catch2/catch.hpp>

#include "tests/published/table.h"

using namespace betony;
using namespace betony::published;
using Lines = std::vector<std::string>;

namespace {

constexpr long all = 81L * 101;  // 75 to 115 degrees in halves, 0 to 100 in 100

const char* const by_mean = "the simple formula";
const char* const by_polynomial = "the polynomial";
const char* const less = "the polynomial less";
const char* const more = "the polynomial more";

Person weather(const std::string& air, const std::string& humidity) { return {{"air", air}, {"humidity", humidity}}; }

// Fractions on both sides of a square root, a billionth apart.
std::pair<Rational, Rational> root(const Rational& square) {
  mpz_class scale, whole;
  mpz_ui_pow_ui(scale.get_mpz_t(), 10, 9);
  const Rational scaled = square * scale * scale;
  mpz_fdiv_q(whole.get_mpz_t(), scaled.get_num_mpz_t(), scaled.get_den_mpz_t());
  whole = sqrt(whole);
  Rational below(whole, scale), above(whole + 1, scale);
  below.canonicalize();
  above.canonicalize();
  REQUIRE(below * below <= square);
  REQUIRE(above * above > square);
  return {below, above};
}

// The heat index to so many places, by the way that the ruleset chooses.
std::string index_of(const Table& table, const Person& person, unsigned places) {
  const std::string way = table.fits("way", person);
  if (way == by_mean) return rounded(table.measure("mean", person), places);
  if (way == by_polynomial) return rounded(table.measure("polynomial", person), places);
  if (way == more) return rounded(table.measure("humid answer", person), places);
  REQUIRE(way == less);
  const auto [below, above] = root(table.measure("squared subtraction", person));
  const Rational polynomial = table.measure("polynomial", person);
  const std::string least = rounded(polynomial - above, places), most = rounded(polynomial - below, places);
  CHECK(least == most);  // the root is told closely enough
  return most;
}

}  // namespace

TEST_CASE("heat index: the nine examples come out to the last digit, each by its own way") {
  const Table table("heat_index.bty");
  struct Row { const char *air, *humidity, *index, *way; };
  const Row rows[] = {{"75", "50", "74.775", by_mean}, {"80", "40", "79.790", by_mean}, {"90", "50", "94.597", by_polynomial},
                      {"96", "65", "121.032", by_polynomial},  {"110", "40", "135.657", by_polynomial}, {"95", "10", "89.450", less},
                      {"100", "5", "92.504", less},     {"80", "90", "86.342", more},   {"84", "100", "103.560", more}};
  for (const Row& row : rows) {
    CAPTURE(row.air, row.humidity);
    const Person person = weather(row.air, row.humidity);
    CHECK(table.fits("way", person) == row.way);
    CHECK(index_of(table, person, 3) == row.index);
  }
}

TEST_CASE("heat index: rounded to whole degrees the four numbers of the chart come out") {
  const Table table("heat_index.bty");
  CHECK(index_of(table, weather("80", "40"), 0) == "80");  // 79.790, by the simple formula: just under 80
  CHECK(index_of(table, weather("90", "50"), 0) == "95");
  CHECK(index_of(table, weather("96", "65"), 0) == "121");
  CHECK(index_of(table, weather("110", "40"), 0) == "136");
}

TEST_CASE("heat index: every weather is reckoned in exactly one way, every claim of the ruleset holds, and one condition says nothing") {
  const Table table("heat_index.bty");
  CHECK(table.told(all) == Lines{"question idle/part of way: 225 of 8181"});
  CHECK(table.only("idle/part").write == Lines{"in humid, in line 36"});  // no simple weather is humid
}

TEST_CASE("heat index: each way serves as many weathers as plain counting finds") {
  // In halves of a degree, t = k / 2: the mean (0.5 (t + 61 + 1.2 (t - 68) + 0.094 r) + t) / 2 is (1050 k + 47 r - 10300) / 2000.
  std::map<std::string, int> counted;
  for (int k = 150; k <= 230; ++k)
    for (int r = 0; r <= 100; ++r) {
      const bool simple = 1'050 * k + 47 * r - 10'300 < 160'000;
      ++counted[simple ? by_mean : r < 13 && k >= 160 && k <= 224 ? less : r > 85 && k >= 160 && k <= 174 ? more : by_polynomial];
    }
  REQUIRE(counted.size() == 4);
  const Table table("heat_index.bty");
  for (const auto& [way, count] : counted) {
    CAPTURE(way);
    CHECK(table.count("way is " + way, all) == count);
  }
}

TEST_CASE("heat index: the ways change over at 13 and 85 in 100, and at 80, 87 and 112 degrees") {
  const Table table("heat_index.bty");
  const auto way = [&](const char* air, const char* humidity) { return table.fits("way", weather(air, humidity)); };
  CHECK(way("95", "12") == less);
  CHECK(way("95", "13") == by_polynomial);
  CHECK(way("112", "12") == less);
  CHECK(way("112.5", "12") == by_polynomial);
  CHECK(way("84", "85") == by_polynomial);
  CHECK(way("84", "86") == more);
  CHECK(way("87", "100") == more);
  CHECK(way("87.5", "100") == by_polynomial);
  CHECK(way("80", "100") == more);
  CHECK(way("79.5", "100") == by_polynomial);   // the mean is over 80 already, the air is not
  CHECK(way("80", "48") == by_mean);    // 79.978
  CHECK(way("80", "49") == by_polynomial);      // 80.001
  CHECK(rounded(table.measure("mean", weather("80", "48")), 4) == "79.9780");
  CHECK(rounded(table.measure("mean", weather("80", "49")), 4) == "80.0015");
}

TEST_CASE("heat index: a claim a thousandth of a degree off is refuted by the one weather that it speaks of") {
  const Table table = Table("heat_index.bty").with("Claim \"off\": always polynomial over 94.597 in air is 90 and humidity is 50.");
  CHECK(table.told(all) == Lines{"error claim-refuted: 1 of 8181", "question idle/part of way: 225 of 8181"});
  CHECK(table.answer(table.only("claim-refuted"), "air") == "90 degF");
  CHECK(table.answer(table.only("claim-refuted"), "humidity") == "50 %");
}
