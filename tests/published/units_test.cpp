// Published check: units. Regenstrief Institute, UCUM; definitions read in a public JSON rendering of the UCUM tables; the
// check values computed. Here as a practitioner meets them: a threshold in another unit than the finding's cuts at
// exactly the right place, and unlike units are refused by name.
#include <catch2/catch.hpp>

#include "tests/published/table.h"

using namespace betony;
using namespace betony::published;
using Lines = std::vector<std::string>;

namespace {

const Table& units() {
  static const Table table("units.bty");
  return table;
}

std::string told(const std::string& practice, const std::string& finding, const std::string& value) {
  return units().verdict(practice, {{finding, value}});
}

// Of so many persons (values in steps, or a length) those from whom the practice is withheld.
Rational withheld(const std::string& practice, const Rational& all) { return units().count(practice + " is withheld", all); }

Rational given(const std::string& finding, const std::string& answer) {
  const Table table = units().with("Profile \"one\": " + finding + " " + answer + ", the rest as usual.");
  const Profile profile = profile_of(table.ruleset(), table.ruleset().profiles.at(0));
  for (std::size_t f = 0; f < profile.size(); ++f)
    if (table.ruleset().findings[f].name == finding) return profile[f]->number;
  FAIL("no finding " << finding);
  return 0;
}

Lines refused(const std::string& sentence) {
  return unreadable_text(
      "Ruleset \"Unlike\", edition \"1\".\nFinding weight is a number of kg from 2 to 350.\n"
      "Finding pressure is a number of mm[Hg] from 30 to 300.\nFinding rest is a number of min from 0 to 60.\n"
      "Finding pulse is a number of /min from 0 to 300.\nPractice wrong. Otherwise allowed.\n" + sentence + "\n");
}

}  // namespace

TEST_CASE("units: of all thresholds only that of 1.5 years is told as idle, because 18 months are just as long") {
  // 547.875 d of 40,000: 18 mo = 1.5 a, so the milder ban is never heard. 6 mo and 26 wk differ, and nothing is told of them.
  const Rational all = 40'000;
  CHECK(units().told(all) == Lines{"question idle/sentence of cradle: " + Rational(all - exactly("547.875")).get_str() + " of 40000"});
}

TEST_CASE("units: degrees Celsius and Fahrenheit meet at 38 and 100.4, 40 and 104, 35 and 95, -40 and -40") {
  CHECK(told("fever bed", "temperature", "100.4") == "allowed");
  CHECK(told("fever bed", "temperature", "100.5") == "withheld");
  CHECK(told("hot bath", "temperature", "104") == "allowed");
  CHECK(told("hot bath", "temperature", "104.1") == "withheld");
  CHECK(told("cool room", "temperature", "95") == "allowed");
  CHECK(told("cool room", "temperature", "94.9") == "withheld");
  CHECK(told("frost walk", "temperature", "-40") == "allowed");
  CHECK(told("frost walk", "temperature", "-40.1") == "withheld");
  // -60.0 to 120.0 in tenths are 1,801 values.
  CHECK(withheld("fever bed", 1'801) == 196);   // 100.5 to 120.0
  CHECK(withheld("hot bath", 1'801) == 160);    // 104.1 to 120.0
  CHECK(withheld("cool room", 1'801) == 1'550); // -60.0 to 94.9
  CHECK(withheld("frost walk", 1'801) == 200);  // -60.0 to -40.1
}

TEST_CASE("units: 310.15 K are 37 Cel are 98.6 degF") {
  CHECK(told("kelvin room", "temperature", "98.6") == "allowed");
  CHECK(told("kelvin room", "temperature", "98.7") == "withheld");
  CHECK(withheld("kelvin room", 1'801) == 214);
  CHECK(given("temperature", "37 Cel") == exactly("98.6"));
  CHECK(given("temperature", "310.15 K") == exactly("98.6"));
  CHECK(given("temperature", "-40 Cel") == -40);
}

TEST_CASE("units: a difference of 1 Cel is 1 K, not 274.15 K") {
  CHECK(units().measure("warming", {{"water", "21"}}) == 1);
  CHECK(units().measure("warming", {{"water", "20"}}) == 0);
  CHECK(told("kettle", "water", "21") == "allowed");
  CHECK(told("kettle", "water", "21.01") == "withheld");
}

TEST_CASE("units: 154 pounds are 69.85322498 kg, exactly") {
  CHECK(told("pound table", "weight", "69.85322498") == "allowed");
  CHECK(told("pound table", "weight", "69.85322499") == "withheld");
  CHECK(given("weight", "154 lb") == exactly("69.85322498"));
  CHECK(given("weight", "7 lb") == exactly("0.45359237") * 7);
  CHECK(given("weight", "49000[gr]") == exactly("0.45359237") * 7);
  CHECK(withheld("pound table", 348) == 350 - exactly("69.85322498"));
}

TEST_CASE("units: 5 ft 9 in are 69 inches are 175.26 cm") {
  CHECK(told("tall door", "height", "175.26") == "allowed");
  CHECK(told("tall door", "height", "175.2600001") == "withheld");
  CHECK(withheld("tall door", 210) == 250 - exactly("175.26"));
  CHECK(given("height", "5.75 ft") == exactly("175.26"));
}

TEST_CASE("units: 120 mm[Hg] are 15.99864 kPa and 80 are 10.66576") {
  CHECK(told("cuff", "pressure", "15.99864") == "allowed");
  CHECK(told("cuff", "pressure", "15.99864001") == "withheld");
  CHECK(told("cuff", "pressure", "10.66576") == "allowed");
  CHECK(told("cuff", "pressure", "10.66575999") == "discouraged");
  CHECK(withheld("cuff", 35) == 40 - exactly("15.99864"));
  CHECK(units().count("cuff is discouraged", 35) == exactly("10.66576") - 5);
}

TEST_CASE("units: 16 kPa are 120.0102 mm[Hg]") {
  const Table table = units()
                          .changed("a number of kPa from 5 to 40, usually 15", "a number of mm[Hg] from 40 to 300, usually 120")
                          .changed("over 120 mm[Hg]", "over 16 kPa");
  const Rational limit = 300 - table.count("cuff is withheld", 260);
  CHECK(limit == 16 / exactly("0.133322"));
  CHECK(limit > exactly("120.0102"));
  CHECK(limit < exactly("120.01025"));
  CHECK(table.verdict("cuff", {{"pressure", "120.0102"}}) == "allowed");
  CHECK(table.verdict("cuff", {{"pressure", "120.01025"}}) == "withheld");
}

TEST_CASE("units: 150 minutes a week are 150/7 minutes a day, and a week is 10080 minutes") {
  CHECK(withheld("long walk", 600) == Rational(150, 7));
  CHECK(told("long walk", "walking", "21.428571") == "withheld");
  CHECK(told("long walk", "walking", "21.428572") == "allowed");
  CHECK(given("walking", "420 min/wk") == 60);
  CHECK(told("meal rest", "last meal", "10080") == "allowed");
  CHECK(told("meal rest", "last meal", "10080.001") == "withheld");
  CHECK(withheld("meal rest", 20'160) == 10'080);
}

TEST_CASE("units: 18 months are 547.875 days are 1.5 years; 6 months are 182.625 days and not 26 weeks") {
  CHECK(told("cradle", "age", "547.875") == "allowed");
  CHECK(told("cradle", "age", "547.876") == "withheld");
  CHECK(given("age", "18 mo") == exactly("547.875"));
  CHECK(given("age", "1.5 years") == exactly("547.875"));
  CHECK(told("weaning", "age", "181.999") == "withheld");
  CHECK(told("weaning", "age", "182") == "discouraged");
  CHECK(told("weaning", "age", "182.624") == "discouraged");
  CHECK(told("weaning", "age", "182.625") == "allowed");
  CHECK(units().count("weaning is discouraged", 40'000) == exactly("0.625"));
}

TEST_CASE("units: an effort of 3 MET at 70 kg takes 735 mL of oxygen a minute") {
  CHECK(units().measure("oxygen", {{"effort", "3"}, {"weight", "70"}}) == 735);
  CHECK(units().verdict("bellows", {{"effort", "3"}, {"weight", "70"}}) == "allowed");
  CHECK(units().verdict("bellows", {{"effort", "3.001"}, {"weight", "70"}}) == "withheld");
}

TEST_CASE("units: 2000 kilocalories are 8.368 MJ, and a teaspoon is 100 drops") {
  CHECK(told("feast", "food", "8.368") == "allowed");
  CHECK(told("feast", "food", "8.368001") == "withheld");
  CHECK(withheld("feast", 40) == 40 - exactly("8.368"));
  CHECK(told("spoon", "syrup", "100") == "allowed");
  CHECK(told("spoon", "syrup", "100.001") == "withheld");
  CHECK(withheld("spoon", 1'000) == 900);
}

TEST_CASE("units: kg against mL, mm[Hg] against Cel and min against /min are refused, and both units are named") {
  CHECK(refused("Practice wrong. Contraindicated in weight over 3 mL.") ==
        Lines{"line 7: unlike units: \"weight\" is in kg (a mass) and cannot be compared with mL (a volume)."});
  CHECK(refused("Practice wrong. Contraindicated in pressure over 37 Cel.") ==
        Lines{"line 7: unlike units: \"pressure\" is in mm[Hg] (a pressure) and cannot be compared with Cel (a temperature)."});
  CHECK(refused("Practice wrong. Contraindicated in rest over 5 /min.") ==
        Lines{"line 7: unlike units: \"rest\" is in min (a time) and cannot be compared with /min (a rate)."});
  CHECK(refused("Practice wrong. Contraindicated in pulse over 60 min.") ==
        Lines{"line 7: unlike units: \"pulse\" is in /min (a rate) and cannot be compared with min (a time)."});
  CHECK(refused("Profile \"one\": weight 3 mL.") ==
        Lines{"line 7: unlike units: \"weight\" is in kg (a mass) and cannot be compared with mL (a volume)."});
}
