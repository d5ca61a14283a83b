// Published check: blood pressure classes, ACC/AHA 2017, table 6 (Whelton et al., Hypertension 2018;71:e13-e115; the
// table read in several quotations, the counts computed).
#include <catch2/catch.hpp>

#include "tests/published/table.h"

using namespace betony;
using namespace betony::published;
using Lines = std::vector<std::string>;

namespace {

constexpr int pairs = 26'331;            // systolic 60 to 260, diastolic 30 to 160
constexpr int pairs_in_tenths = 2'603'301;

// The table once more, over tenths, without Betony: a bit for each class that fits.
unsigned classes(int systolic, int diastolic) {
  unsigned fit = 0;
  if (systolic < 1200 && diastolic < 800) fit |= 1;
  if (systolic >= 1200 && systolic <= 1290 && diastolic < 800) fit |= 2;
  if ((systolic >= 1300 && systolic <= 1390) || (diastolic >= 800 && diastolic <= 890)) fit |= 4;
  if (systolic >= 1400 || diastolic >= 900) fit |= 8;
  return fit;
}

std::map<unsigned, int> enumerated(int step) {
  std::map<unsigned, int> counts;
  for (int systolic = 600; systolic <= 2600; systolic += step)
    for (int diastolic = 300; diastolic <= 1600; diastolic += step) ++counts[classes(systolic, diastolic)];
  return counts;
}

Person pressure(const std::string& systolic, const std::string& diastolic) {
  return {{"systolic", systolic}, {"diastolic", diastolic}};
}

}  // namespace

TEST_CASE("blood pressure in whole numbers: 24,411 pairs have one class and 1,920 have stage 1 and stage 2") {
  const Table table("blood_pressure_unranked.bty");
  CHECK(table.told(pairs) == Lines{"error choice-clash of class: 1920 of 26331"});
  CHECK(table.count("class is normal", pairs) == 3'000);
  CHECK(table.count("class is elevated", pairs) == 500);
  CHECK(table.count("class is stage 1 and not class is stage 2", pairs) == 1'300);
  CHECK(table.count("class is stage 2 and not class is stage 1", pairs) == 19'611);
  CHECK(table.count("class is stage 1 and class is stage 2", pairs) == 1'920);
  CHECK(table.count("at least 2 of class is normal, class is elevated, class is stage 1, class is stage 2", pairs) == 1'920);
  CHECK(table.count("none of class is normal, class is elevated, class is stage 1, class is stage 2", pairs) == 0);
  CHECK(3'000 + 500 + 1'300 + 19'611 == 24'411);
}

TEST_CASE("blood pressure: the clash names stage 1 and stage 2, and its witness has both") {
  const Table table("blood_pressure_unranked.bty");
  const Problem clash = table.only("choice-clash");
  REQUIRE(clash.sentences.size() == 2);
  CHECK(clash.pairs == std::vector<std::pair<unsigned, unsigned>>{{0, 1}});
  CHECK(clash.sentences[0].text.find("Take stage 1") == 0);
  CHECK(clash.sentences[1].text.find("Take stage 2") == 0);
  const Rational systolic = table.number(clash, "systolic"), diastolic = table.number(clash, "diastolic");
  CHECK(classes(static_cast<int>(systolic.get_d()) * 10, static_cast<int>(diastolic.get_d()) * 10) == (4 | 8));
  CHECK(table.fits("class", pressure(systolic.get_str(), diastolic.get_str())) == "stage 1, stage 2");
}

TEST_CASE("blood pressure: with the higher class before the lower the 1,920 pairs are settled and nothing is told") {
  const Table table("blood_pressure.bty");
  CHECK(table.told(pairs) == Lines{});
  CHECK(table.count("class is normal", pairs) == 3'000);
  CHECK(table.count("class is elevated", pairs) == 500);
  CHECK(table.count("class is stage 1", pairs) == 1'300);
  CHECK(table.count("class is stage 2", pairs) == 19'611 + 1'920);
}

TEST_CASE("blood pressure: the printed edges fall into their classes") {
  const Table one("blood_pressure_unranked.bty"), higher("blood_pressure.bty");
  struct Row { const char *systolic, *diastolic, *all, *highest; };
  const Row rows[] = {{"118", "76", "normal", "normal"},     {"119", "79", "normal", "normal"},
                      {"120", "79", "elevated", "elevated"}, {"125", "79", "elevated", "elevated"},
                      {"129", "79", "elevated", "elevated"}, {"119", "80", "stage 1", "stage 1"},
                      {"130", "79", "stage 1", "stage 1"},   {"139", "89", "stage 1", "stage 1"},
                      {"140", "79", "stage 2", "stage 2"},   {"119", "90", "stage 2", "stage 2"},
                      {"135", "92", "stage 1, stage 2", "stage 2"}, {"145", "85", "stage 1, stage 2", "stage 2"}};
  for (const Row& row : rows) {
    CAPTURE(row.systolic, row.diastolic);
    CHECK(one.fits("class", pressure(row.systolic, row.diastolic)) == row.all);
    CHECK(higher.fits("class", pressure(row.systolic, row.diastolic)) == row.highest);
  }
}

TEST_CASE("blood pressure in tenths: 15,381 pairs have no class and 173,082 have two") {
  const Table table("blood_pressure_tenths.bty");
  CHECK(table.told(pairs_in_tenths) ==
        Lines{"error choice-clash of class: 173082 of 2603301", "question choice-empty of class: 15381 of 2603301"});
  const std::string two = "at least 2 of class is normal, class is elevated, class is stage 1, class is stage 2";
  const std::string none = "none of class is normal, class is elevated, class is stage 1, class is stage 2";
  CHECK(table.count("not (" + none + ") and not (" + two + ")", pairs_in_tenths) == 2'414'838);
  CHECK(table.count(two, pairs_in_tenths) == 173'082);
  CHECK(table.count(none, pairs_in_tenths) == 15'381);
}

TEST_CASE("blood pressure in tenths: 129.5 over 70, 139.5 over 70 and 110 over 89.5 have no class, and the witness has none") {
  const Table table("blood_pressure_tenths.bty");
  CHECK(table.fits("class", pressure("129.5", "70")) == "nothing");
  CHECK(table.fits("class", pressure("139.5", "70")) == "nothing");
  CHECK(table.fits("class", pressure("110", "89.5")) == "nothing");
  CHECK(table.fits("class", pressure("129", "70")) == "elevated");
  CHECK(table.fits("class", pressure("130", "70")) == "stage 1");
  const Problem empty = table.only("choice-empty"), clash = table.only("choice-clash");
  const auto tenths = [&](const Problem& p, const char* finding) {
    return static_cast<int>(mpz_class(table.number(p, finding) * 10).get_si());
  };
  CHECK(classes(tenths(empty, "systolic"), tenths(empty, "diastolic")) == 0);
  CHECK(classes(tenths(clash, "systolic"), tenths(clash, "diastolic")) == (4 | 8));
}

TEST_CASE("blood pressure: plain counting of every pair gives the same figures") {
  const std::map<unsigned, int> whole = enumerated(10), tenths = enumerated(1);
  CHECK(whole == std::map<unsigned, int>{{1, 3'000}, {2, 500}, {4, 1'300}, {8, 19'611}, {12, 1'920}});
  CHECK(tenths.at(0) == 15'381);
  CHECK(tenths.at(12) == 173'082);
  CHECK(tenths.at(1) + tenths.at(2) + tenths.at(4) + tenths.at(8) == 2'414'838);
  CHECK(tenths.size() == 6);
}

TEST_CASE("blood pressure: the evaluator gives every whole pair the classes of the table") {
  const Table table("blood_pressure_unranked.bty");
  const char* const names[] = {"normal", "elevated", "stage 1", "stage 2"};
  int wrong = 0;
  for (int systolic = 60; systolic <= 260; systolic += 1)
    for (int diastolic = 30; diastolic <= 160; diastolic += 1) {
      std::string expected;
      for (unsigned c = 0; c < 4; ++c)
        if (classes(systolic * 10, diastolic * 10) >> c & 1u) expected += (expected.empty() ? "" : ", ") + std::string(names[c]);
      wrong += table.fits("class", pressure(std::to_string(systolic), std::to_string(diastolic))) != expected;
    }
  CHECK(wrong == 0);
}
