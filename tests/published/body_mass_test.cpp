// Published check: body mass index, WHO Global Database on BMI (after WHO 1995, 2000, 2004; read in two copies of
// table 1). Persons and gaps are computed.
#include <algorithm>
#include <catch2/catch.hpp>

#include "tests/published/table.h"

using namespace betony;
using namespace betony::published;
using Lines = std::vector<std::string>;

namespace {

constexpr int hundredths = 5'001;  // 10.00 to 60.00

struct Gap { const char *below, *inside, *above; };
const Gap gaps[] = {{"16.99", "16.995", "17"}, {"18.49", "18.495", "18.5"}, {"24.99", "24.995", "25"},
                    {"29.99", "29.995", "30"}, {"34.99", "34.995", "35"},   {"39.99", "39.995", "40"}};

}  // namespace

TEST_CASE("body mass index to a hundredth: sub-classes inside their classes are no contradiction, and nothing is told") {
  CHECK(Table("body_mass.bty").told(hundredths) == Lines{});
}

TEST_CASE("body mass index to a hundredth: every class has the hundredths between its printed edges") {
  const Table table("body_mass.bty");
  CHECK(table.count("class is severe thinness", hundredths) == 600);      // 10.00 to 15.99
  CHECK(table.count("class is moderate thinness", hundredths) == 100);    // 16.00 to 16.99
  CHECK(table.count("class is mild thinness", hundredths) == 150);        // 17.00 to 18.49
  CHECK(table.count("class is normal weight", hundredths) == 650);        // 18.50 to 24.99
  CHECK(table.count("class is pre-obese", hundredths) == 500);            // 25.00 to 29.99
  CHECK(table.count("class is obese class I", hundredths) == 500);        // 30.00 to 34.99
  CHECK(table.count("class is obese class II", hundredths) == 500);       // 35.00 to 39.99
  CHECK(table.count("class is obese class III", hundredths) == 2'001);    // 40.00 to 60.00
  CHECK(table.count("standing is underweight", hundredths) == 850);
  CHECK(table.count("standing is overweight", hundredths) == 3'501);
  CHECK(table.count("standing is overweight and standing is obese", hundredths) == 3'001);
  CHECK(table.fits("standing", {{"body mass index", "16.5"}}) == "underweight, moderate thinness");
  CHECK(table.fits("standing", {{"body mass index", "37"}}) == "overweight, obese, obese class II");
}

TEST_CASE("body mass index to a hundredth: a claim the wrong way round is refuted by the pre-obese") {
  const Table table = Table("body_mass.bty").with("Claim \"overweight is obese\": always standing is obese in standing is overweight.");
  CHECK(table.told(hundredths) == Lines{"error claim-refuted: 500 of 5001"});
  CHECK(table.only("claim-refuted").region == Lines{"body mass index from 25 to 29.99 kg/m2"});
}

TEST_CASE("body mass index as real numbers: the two-decimal edges leave six gaps of a hundredth, and they are all there is") {
  const Table table = Table("body_mass.bty").changed("from 10 to 60 in steps of 0.01", "from 10 to 60");
  // The index runs over 50 units, so of 5,000 hundredths 6 are empty; of all names only normal | overweight leaves one.
  // "Underweight is thin" fails in the two gaps below 18.50.
  CHECK(table.told(5'000) == Lines{"error claim-refuted: 2 of 5000", "question choice-empty of standing: 1 of 5000",
                                   "question choice-empty of class: 6 of 5000"});
}

TEST_CASE("body mass index as real numbers: both ends of each gap are classed, and nothing between them") {
  const Table table = Table("body_mass.bty").changed("from 10 to 60 in steps of 0.01", "from 10 to 60");
  const std::string none = "not class is severe thinness or moderate thinness or mild thinness or normal weight or pre-obese "
                           "or obese class I or obese class II or obese class III";
  for (const Gap& gap : gaps) {
    CAPTURE(gap.inside);
    CHECK(table.fits("class", {{"body mass index", gap.below}}) != "nothing");
    CHECK(table.fits("class", {{"body mass index", gap.inside}}) == "nothing");
    CHECK(table.fits("class", {{"body mass index", gap.above}}) != "nothing");
    CHECK(table.count(none + " in body mass index from " + gap.below + " to " + gap.above, 5'000) == 1);
  }
}

TEST_CASE("body mass index of persons: the published persons get their index and their class") {
  const Table table("body_mass_persons.bty");
  struct Row { const char *weight, *index, *name; };
  const Row rows[] = {{"48", "15.6735", "severe thinness"},  {"50", "16.3265", "moderate thinness"},
                      {"70", "22.8571", "normal weight"},    {"76.5", "24.9796", "normal weight"},
                      {"91.875", "30.0000", "obese class I"}, {"95", "31.0204", "obese class I"},
                      {"110", "35.9184", "obese class II"},  {"125", "40.8163", "obese class III"}};
  for (const Row& row : rows) {
    const Person person = {{"weight", row.weight}, {"height", "1.75"}};
    CAPTURE(row.weight);
    CHECK(rounded(table.measure("body mass index", person), 4) == row.index);
    CHECK(table.fits("class", person) == row.name);
  }
  CHECK(table.measure("body mass index", {{"weight", "91.875"}, {"height", "1.75"}}) == 30);
  CHECK(table.measure("body mass index", {{"weight", "70"}, {"height", "1.75"}}) == Rational(160, 7));
  // 154 lb are 69.85322498 kg, 69 inches are 1.7526 m, exactly.
  CHECK(rounded(table.measure("body mass index", {{"weight", "69.85322498"}, {"height", "1.7526"}}), 4) == "22.7416");
}

TEST_CASE("body mass index of persons: each profile gets the class that the table gives it, in pounds and inches too") {
  const Table table("body_mass_persons.bty");
  CHECK(table.told(1) == Lines{});
  const Ruleset& ruleset = table.ruleset();
  const auto imperial = std::find_if(ruleset.profiles.begin(), ruleset.profiles.end(),
                                     [](const SampleProfile& p) { return p.title == "154 lb and 69 inches"; });
  REQUIRE(imperial != ruleset.profiles.end());
  CHECK(imperial->answers.at(0).value.number == exactly("69.85322498"));
  CHECK(imperial->answers.at(1).value.number == exactly("1.7526"));
}

TEST_CASE("body mass index with printed edges: as many persons fall between two classes as plain counting finds") {
  // weight w half kilograms, height h centimetres: the index is w / 2 / (h / 100)^2 = 5000 w / h^2.
  int between = 0, all = 0;
  for (int w = 60; w <= 400; ++w)
    for (int h = 140; h <= 210; ++h) {
      ++all;
      const long hundred_times = 500'000L * w, square = static_cast<long>(h) * h;  // index * 100 = hundred_times / square
      for (long edge : {1699L, 1849L, 2499L, 2999L, 3499L, 3999L})
        between += hundred_times > edge * square && hundred_times < (edge + 1) * square;
    }
  REQUIRE(all == 24'211);
  REQUIRE(between > 0);
  const Table table("body_mass_printed_edges.bty");
  CHECK(table.told(all) == Lines{"question choice-empty of class: " + std::to_string(between) + " of 24211"});
  const Problem empty = table.only("choice-empty");
  REQUIRE(empty.witness);
  CHECK(choice_result(table.ruleset(), 0, *empty.witness).fits.empty());
}
