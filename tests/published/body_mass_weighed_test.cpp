// Published check: body mass index, WHO Global Database on BMI (after WHO 1995, 2000, 2004; read in two copies of table 1),
// worked out from weight and height in steps. The counts are computed, in whole numbers, and so are the persons.
#include <array>
#include <catch2/catch.hpp>

#include "tests/published/table.h"

using namespace betony;
using namespace betony::published;
using Lines = std::vector<std::string>;

namespace {

const char* const classes[] = {"severe thinness", "moderate thinness", "mild thinness", "normal weight",
                               "pre-obese", "obese class I", "obese class II", "obese class III"};
constexpr int edges[] = {32, 34, 37, 50, 60, 70, 80};  // between the classes, in halves of kg/m2

// The class of an index given as a fraction.
int class_of(long over, long under) {
  int c = 0;
  while (c < 7 && 2 * over >= edges[c] * under) ++c;
  return c;
}

// Weight in eighths of a kilogram, height in centimetres: the index is w / 8 / (h / 100)^2 = 1250 w / h^2.
constexpr int all = 1'361 * 71;
template <class Each>
void each_person(const Each& each) {
  for (long w = 240; w <= 1'600; ++w)
    for (long h = 140; h <= 210; ++h) each(1'250 * w, h * h);
}

std::string eighths(long w) { return rounded(Rational(w, 8), 3); }

}  // namespace

TEST_CASE("body mass index weighed and measured: every person has one class, each inside its wider ones, and nothing is told") {
  CHECK(Table("body_mass_weighed.bty").told(all) == Lines{});
}

TEST_CASE("body mass index weighed and measured: each class has as many persons as plain counting finds") {
  std::array<int, 8> counted{};
  each_person([&](long over, long under) { ++counted[static_cast<std::size_t>(class_of(over, under))]; });
  const Table table("body_mass_weighed.bty");
  for (std::size_t c = 0; c < counted.size(); ++c) {
    CAPTURE(classes[c]);
    REQUIRE(counted[c] > 0);
    CHECK(table.count(std::string("class is ") + classes[c], all) == counted[c]);
  }
  CHECK(table.count("standing is underweight", all) == counted[0] + counted[1] + counted[2]);
  CHECK(table.count("standing is overweight", all) == counted[4] + counted[5] + counted[6] + counted[7]);
  CHECK(table.count("standing is obese", all) == counted[5] + counted[6] + counted[7]);
  CHECK(table.count("standing is overweight and not standing is obese", all) == counted[4]);
}

TEST_CASE("body mass index weighed and measured: persons on an edge to the last digit belong to the class above it") {
  const Table table("body_mass_weighed.bty");
  for (std::size_t e = 0; e < 7; ++e) {
    CAPTURE(classes[e + 1]);
    int on_it = 0;
    for (long w = 240; w <= 1'600; ++w)
      for (long h = 140; h <= 210; ++h) {
        if (2 * 1'250 * w != edges[e] * h * h) continue;
        ++on_it;
        const std::string height = rounded(Rational(h, 100), 2);
        CHECK(table.fits("class", {{"weight", eighths(w)}, {"height", height}}) == classes[e + 1]);
        if (w > 240) CHECK(table.fits("class", {{"weight", eighths(w - 1)}, {"height", height}}) == classes[e]);
      }
    CHECK(table.count("body mass index is " + rounded(Rational(edges[e], 2), 1), all) == on_it);
  }
  CHECK(table.fits("standing", {{"weight", "91.875"}, {"height", "1.75"}}) == "overweight, obese, obese class I");
  CHECK(table.fits("standing", {{"weight", "91.750"}, {"height", "1.75"}}) == "overweight, pre-obese");
}

TEST_CASE("body mass index weighed and measured: the published persons are found by the checks, not only by the evaluator") {
  struct Row { const char *weight, *low, *high, *name; };
  const Row rows[] = {{"48", "15.67345", "15.67355", "severe thinness"},   {"50", "16.32645", "16.32655", "moderate thinness"},
                      {"70", "22.85705", "22.85715", "normal weight"},     {"76.5", "24.97955", "24.97965", "normal weight"},
                      {"91.875", "30", "30", "obese class I"},             {"95", "31.02035", "31.02045", "obese class I"},
                      {"110", "35.91835", "35.91845", "obese class II"},   {"125", "40.81625", "40.81635", "obese class III"}};
  std::string claims;
  for (const Row& row : rows)
    claims += std::string("Claim \"") + row.weight + " kg\": always body mass index from " + row.low + " to " + row.high + " and class is " +
              row.name + " in weight is " + row.weight + " and height is 1.75.\n";
  CHECK(Table("body_mass_weighed.bty").with(claims).told(all) == Lines{});
}

TEST_CASE("body mass index in pounds and inches: each class has as many persons as plain counting finds") {
  // Whole pounds from 66 to 440, inches from 55 to 83: w lb are 45359237 w / 10^8 kg, h inches 254 h / 10^4 m, so the index is
  // 45359237 w / (64516 h^2).
  constexpr int persons = 375 * 29;
  std::array<int, 8> counted{};
  for (long w = 66; w <= 440; ++w)
    for (long h = 55; h <= 83; ++h) ++counted[static_cast<std::size_t>(class_of(45'359'237 * w, 64'516 * h * h))];
  const Table table = Table("body_mass_weighed.bty")
                          .changed("a number of kg from 30 to 200 in steps of 0.125, usually 70", "a whole number of lb from 66 to 440, usually 154")
                          .changed("a number of m from 1.40 to 2.10 in steps of 0.01, usually 1.75", "a whole number of inches from 55 to 83, usually 69");
  CHECK(table.told(persons) == Lines{});
  for (std::size_t c = 0; c < counted.size(); ++c) {
    CAPTURE(classes[c]);
    REQUIRE(counted[c] > 0);
    CHECK(table.count(std::string("class is ") + classes[c], persons) == counted[c]);
  }
  CHECK(rounded(table.measure("body mass index", {{"weight", "154"}, {"height", "69"}}), 4) == "22.7416");
  CHECK(table.with("Claim \"154 lb, 69 inches\": always body mass index from 22.74155 to 22.74165 in weight is 154 and height is 69.").told(persons) ==
        Lines{});
}
