// Checks of unit conversion. Figures: The Unified Code for Units of Measure (UCUM), Regenstrief
// Institute; check values follow from its definitions.
#include "compiler/units.h"
#include "grammar/words.h"

#include <catch2/catch.hpp>

using namespace betony;

namespace {

Unit unit(std::string_view text) {
  const UnitReading reading = UnitBook{}.read(text);
  INFO(text << ": " << reading.message);
  REQUIRE(reading.unit);
  return *reading.unit;
}

Rational number(const char* text) {  // "98.6"
  const std::string whole(text);
  const std::size_t point = whole.find('.');
  if (point == std::string::npos) return Rational{whole, 10};
  Rational value{whole.substr(0, point) + whole.substr(point + 1), 10};
  for (std::size_t i = point + 1; i < whole.size(); ++i) value /= 10;
  return value;
}

// Both ways: `a` of `from` is `b` of `to`, and back, to the last digit.
void same(const char* a, const char* from, const char* b, const char* to) {
  INFO(a << " " << from << " = " << b << " " << to);
  REQUIRE(alike(unit(from), unit(to)));
  CHECK(convert_reading(number(a), unit(from), unit(to)) == number(b));
  CHECK(convert_reading(number(b), unit(to), unit(from)) == number(a));
}

std::string refusal(std::string_view text) {
  const UnitReading reading = UnitBook{}.read(text);
  CHECK_FALSE(reading.unit);
  return reading.message + (reading.remedy.empty() ? "" : " | " + reading.remedy);
}

}  // namespace

TEST_CASE("Fahrenheit and Celsius readings convert exactly both ways") {
  same("98.6", "[degF]", "37", "Cel");
  same("100.4", "[degF]", "38", "Cel");
  same("104", "[degF]", "40", "Cel");
  same("95", "degF", "35", "Cel");
  same("-40", "degF", "-40", "Cel");
  same("37", "Cel", "310.15", "K");
}

TEST_CASE("a difference of 1 Cel is 1 K, not 274.15 K") {
  CHECK(convert_difference(1, unit("Cel"), unit("K")) == 1);
  CHECK(convert_reading(1, unit("Cel"), unit("K")) == number("274.15"));
  CHECK(convert_difference(9, unit("degF"), unit("Cel")) == 5);
}

TEST_CASE("the pound is 7000 grains of 64.79891 mg") {
  same("1", "[lb_av]", "7000", "[gr]");
  same("1", "[gr]", "64.79891", "mg");
  same("1", "[lb_av]", "0.45359237", "kg");
  same("154", "lb", "69.85322498", "kg");
  same("16", "oz", "1", "pound");
}

TEST_CASE("feet and inches are exact centimetres") {
  same("1", "[in_i]", "2.54", "cm");
  same("1", "[ft_i]", "12", "[in_i]");
  CHECK(convert_reading(5, unit("ft"), unit("cm")) + convert_reading(9, unit("inch"), unit("cm")) == number("175.26"));
}

TEST_CASE("millimetres of mercury follow the standard's metre of 133.322 kPa") {
  same("120", "mm[Hg]", "15.99864", "kPa");
  same("80", "mm[Hg]", "10.66576", "kPa");
  same("1", "m[Hg]", "133.322", "kPa");
  const Rational back = convert_reading(16, unit("kPa"), unit("mm[Hg]"));
  CHECK(back == Rational(16) / number("0.133322"));
  CHECK(back > number("120.0102"));
  CHECK(back < number("120.0103"));
}

TEST_CASE("weeks, days, hours and minutes are whole multiples") {
  same("1", "min", "60", "s");
  same("1", "h", "60", "min");
  same("1", "d", "24", "h");
  same("1", "wk", "7", "d");
  same("1", "wk", "10080", "min");
  CHECK(convert_reading(150, unit("min/wk"), unit("min/d")) == Rational(150) / 7);
  same("60", "min/d", "420", "min/wk");
}

TEST_CASE("the year has 365.25 days and the month a twelfth of them") {
  same("1", "a", "365.25", "d");
  same("1", "mo", "30.4375", "d");
  same("18", "mo", "547.875", "d");
  same("18", "mo", "1.5", "years");
  same("6", "mo", "182.625", "d");
  same("26", "wk", "182", "d");
}

TEST_CASE("3 MET at 70 kg are 735 mL a minute") {
  const Unit flow = unit("[MET]") * unit("kg");
  REQUIRE(alike(flow, unit("mL/min")));
  CHECK(convert_reading(3 * 70, flow, unit("mL/min")) == 735);
}

TEST_CASE("2000 food calories are 8.368 MJ") {
  same("2000", "[Cal]", "8.368", "MJ");
  same("1", "[Cal]", "1", "kcal");
  same("1", "[Cal]", "4184", "J");
}

TEST_CASE("a metric teaspoon is 100 drops") {
  same("1", "[tsp_m]", "100", "[drp]");
  same("1", "[tsp_m]", "5", "mL");
  same("1", "teaspoon", "100", "drops");
}

TEST_CASE("unlike units do not convert") {
  CHECK_FALSE(alike(unit("kg"), unit("mL")));
  CHECK_FALSE(alike(unit("mm[Hg]"), unit("Cel")));
  CHECK_FALSE(alike(unit("min"), unit("/min")));
  CHECK_FALSE(alike(unit("deg"), unit("rad")));
  CHECK_FALSE(alike(unit("[iU]"), unit("")));
}

TEST_CASE("composed units follow the standard: a slash divides only what follows it") {
  CHECK(alike(unit("mL/min/kg"), unit("mL/(min.kg)")));
  CHECK(alike(unit("kg/m2"), unit("kg.m-2")));
  CHECK(alike(unit("/min"), unit("Hz")));
  same("60", "/min", "1", "Hz");
  same("1", "g/cm3", "1000", "kg/m3");
  same("1", "10*3/uL", "1000000000", "/L");
  same("1", "N", "1", "kg.m/s2");
  same("1", "W", "1", "J/s");
  same("1", "{beats}/min", "1", "/min");
  same("25", "%", "0.25", "1");
  same("1", "d2", "576", "h2");
}

TEST_CASE("everyday names, plurals, capitals and signs of print are understood") {
  same("1", "Hours", "60", "minutes");
  same("2", "kilos", "2000", "grams");
  same("1", "kg/m\u00b2", "1", "kg/m2");
  same("120", "mmHg", "120", "mm[Hg]");
  same("37", "\u00b0C", "98.6", "\u00b0F");
  same("1", "\u00b5g", "1", "ug");
  same("1", "ft", "0.3048", "m");
  same("72", "bpm", "72", "/min");
  same("1", "t", "1000", "kg");
  same("1", "mi", "1.609344", "km");
}

TEST_CASE("a unit that stands in brackets is the one that its everyday name means") {
  UnitBook book;
  for (const char* code : {"[degF]", "[lb_av]", "[oz_av]", "[stone_av]", "[gr]", "[in_i]", "[ft_i]", "[yd_i]", "[mi_i]", "[kn_i]",
                           "[cup_m]", "[tsp_m]", "[tbs_m]", "[drp]", "[psi]", "[MET]"}) {
    INFO(code);
    const auto everyday = unit_without_brackets(code);
    REQUIRE(everyday);
    const auto meant = book.read(code).unit, said = book.read(*everyday).unit;
    REQUIRE((meant && said));
    CHECK((alike(*meant, *said) && meant->factor == said->factor && meant->offset == said->offset));
  }
  CHECK(unit_without_brackets("[IU]") == "");
  CHECK_FALSE(unit_without_brackets("[DB]"));
}

TEST_CASE("a text that is no unit is refused with what to write instead") {
  CHECK(refusal("hourz") == "No unit is called \"hourz\". | hour");
  CHECK(refusal("KG") == "No unit is called \"KG\". | kg");
  CHECK(refusal("snarks") == "No unit is called \"snarks\"; there are min, h, kg, mL, Cel and many others, and a unit of your own is declared. | Unit snarks.");
  CHECK(refusal("m^2") == "A power stands straight after its unit, without \"^\". | m2");
  CHECK(refusal("kg/(m.s") == "\"kg/(m.s\" opens a bracket and does not close it. | kg/(m.s)");
  CHECK(refusal("kg)") == "\"kg)\" closes a bracket that was never opened.");
  CHECK(refusal("kg//m") == "A unit is missing in \"kg//m\".");
  CHECK(refusal("m99") == "The power in \"m99\" is too high for a unit.");
  CHECK(refusal("0.m") == "A unit cannot be 0 times something, as in \"0.m\".");
  CHECK(refusal("J/Cel") ==
        "Cel has a zero of its own and cannot be part of \"J/Cel\"; K has none, and its steps are those of Cel. | J/K");
  CHECK(refusal(std::string(81, 'm')) == "This unit is longer than a unit can be. | Declare a short name for it: Unit palm is 30 g.");
}

TEST_CASE("any bytes at all are a unit or a refusal") {
  const std::string alphabet = "m[]{}()./^*-1s\xc2%";
  unsigned seed = 1;
  for (int i = 0; i < 20000; ++i) {
    std::string text;
    for (int j = i % 12; j >= 0; --j) text += alphabet[(seed = seed * 1103515245u + 12345u) / 65536u % alphabet.size()];
    const UnitReading reading = UnitBook{}.read(text);
    if (reading.unit.has_value() != reading.message.empty()) FAIL(text);
  }
}

TEST_CASE("a declared unit is a dimension of its own, a named amount is not") {
  UnitBook book;
  book.declare({"puff", "puffs"});
  book.declare({"palm"}, 30, *book.read("g").unit);
  CHECK(alike(*book.read("puffs").unit, *book.read("Puff").unit));
  CHECK_FALSE(alike(*book.read("puff").unit, *book.read("").unit));
  CHECK(convert_reading(2, *book.read("palm").unit, *book.read("g").unit) == 60);
  CHECK(alike(*book.read("puffs/d").unit, *book.read("puff/wk").unit));
  CHECK(book.read("pufs").remedy == "puff");
  CHECK(UnitBook::is_code("min"));
  CHECK_FALSE(UnitBook::is_code("cup"));
}

TEST_CASE("what a unit measures has a word where there is one") {
  CHECK(measured(unit("kg")) == "a mass");
  CHECK(measured(unit("mm[Hg]")) == "a pressure");
  CHECK(measured(unit("Cel")) == "a temperature");
  CHECK(measured(unit("")) == "a plain number");
  CHECK(measured(unit("kg/m2")) == "measured in g.m-2");
}
