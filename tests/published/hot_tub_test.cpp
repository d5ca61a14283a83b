// Published check: hot tubs, US Consumer Product Safety Commission 1979 (letter, Washington Post 14 Dec 1979; release
// 79-071 quoted at rhtubs.com) and N.J. Admin. Code 8:26-5.8. Shares computed.
#include <catch2/catch.hpp>

#include "tests/published/table.h"

using namespace betony;
using namespace betony::published;
using Lines = std::vector<std::string>;

namespace {

// Silence of the whole text, counted with weights by hand, over everybody (the share of each answer as a fraction).
// Silent is who is neither allowed nor banned.
Rational silent_share() {
  // Stretches of water between the limits that matter, in degrees: up to 98, to 100, to 102, to 104, above.
  const int widths[] = {18, 2, 2, 2, 6};
  Rational silent = 0;
  for (int stretch = 0; stretch < 5; ++stretch)
    for (int age = 0; age < 100; ++age)
      for (int pregnancy = 0; pregnancy < 3; ++pregnancy)
        for (int drinking = 0; drinking < 2; ++drinking)
          for (int company = 0; company < 3; ++company)
            for (int condition = 0; condition < 32; ++condition)  // so many sets of the five conditions; 0 is none of them
              for (int agrees = 0; agrees < 2; ++agrees) {
                const bool allowed = age >= 18 && condition == 0 && pregnancy == 0 && stretch <= 1;
                const bool banned = stretch == 4 || (age < 5 && stretch >= 1) || (pregnancy == 1 && stretch >= 2) || drinking ||
                                    company == 0 || (age < 16 && company != 2) || ((condition != 0 || pregnancy != 0) && !agrees);
                if (!allowed && !banned) silent += Rational(widths[stretch], 30L * 100 * 3 * 2 * 3 * 32 * 2);
              }
  silent.canonicalize();
  return silent;
}

}  // namespace

TEST_CASE("hot tub: between 100 and 104 degrees the text neither calls the water safe nor forbids it") {
  const Table table("hot_tub.bty");
  const auto adult = [&](const char* water) { return table.verdict("hot tub", {{"water", water}, {"age", "40"}}); };
  CHECK(adult("100") == "allowed");
  CHECK(adult("100.01") == "silent");
  CHECK(adult("104") == "silent");
  CHECK(adult("104.01") == "withheld");
  const std::string adults = "age at least 18, not ailing, not pregnant, not heavy drinking, and company is not alone";
  // Of 30 degrees 20 are called safe, 4 are silent, 6 are forbidden.
  const Rational all = 30 * Rational(100, 82) * 32 * 3 * 2 * Rational(3, 2);
  CHECK(table.count("hot tub is allowed in " + adults, all) == 20);
  CHECK(table.count("hot tub is silent in " + adults, all) == 4);
  CHECK(table.count("hot tub is withheld in " + adults, all) == 6);
}

TEST_CASE("hot tub: the limits cut at 98 under 5 years, at 100 and 102 in the first three months, and at 104 for everyone") {
  const Table table("hot_tub.bty");
  const auto told = [&](const char* water, const char* age, const char* pregnancy, const char* company) {
    return table.verdict("hot tub", {{"water", water}, {"age", age}, {"pregnancy", pregnancy}, {"company", company}, {"physician agrees", "yes"}});
  };
  CHECK(told("98", "4", "none", "with a supervisor") == "silent");
  CHECK(told("98.01", "4", "none", "with a supervisor") == "withheld");
  CHECK(told("98.01", "5", "none", "with a supervisor") == "silent");
  CHECK(told("90", "15", "none", "among others") == "withheld");
  CHECK(told("90", "16", "none", "among others") == "silent");
  CHECK(told("100", "30", "first three months", "among others") == "silent");
  CHECK(told("100.01", "30", "first three months", "among others") == "discouraged");
  CHECK(told("102", "30", "first three months", "among others") == "discouraged");
  CHECK(told("102.01", "30", "first three months", "among others") == "withheld");
  CHECK(told("90", "30", "none", "alone") == "withheld");
}

TEST_CASE("hot tub: the text is told to be silent for exactly those whom plain counting leaves, and crosses nothing in common") {
  const Table table("hot_tub.bty");
  // Drinking and being alone meet the one sentence that allows, and ask for nothing that it asks for.
  const Rational silent = silent_share();
  // Allowed: 82 of 100 years, 1 of 32 sets of conditions, 1 of 3 pregnancies, 20 of 30 degrees; met by drinking or being alone: 2 in 3.
  const Rational meets = Rational(82, 100) * Rational(1, 32) * Rational(1, 3) * Rational(2, 3) * Rational(2, 3);
  const Rational all = 30L * 100 * 3 * 2 * 3 * 32 * 2;
  CHECK(table.told(all) == Lines{"question silence of hot tub: " + Rational(silent * all).get_str() + " of " + all.get_str(),
                                 "note contradiction/crossing of hot tub: " + Rational(meets * all).get_str() + " of " + all.get_str()});
}

TEST_CASE("hot tub: advice of 103 degrees for pregnant persons is swallowed, advice of 101 to 104 for other adults is not") {
  const Table table("hot_tub_houses.bty");
  constexpr long all = 31L * 100 * 2;
  // 103 degrees, 100 ages, pregnant.
  CHECK(table.told(all) == Lines{"error contradiction/swallowed of hot tub in Kettle house: 100 of 6200"});
  const Problem swallowed = table.only("contradiction/swallowed");
  REQUIRE(swallowed.sentences.size() == 2);
  CHECK(swallowed.sentences[0].text.find("Indicated in pregnancy and water is 103") == 0);
  CHECK(swallowed.sentences[1].text.find("Contraindicated in pregnancy and water over 100") == 0);
  CHECK(table.number(swallowed, "water") == 103);
  CHECK(swallowed.replay == "hot tub is withheld");
  CHECK(table.verdict("hot tub", {{"water", "104"}, {"age", "18"}, {"pregnancy", "no"}}, "Rain house") == "advised");
}

TEST_CASE("hot tub: one limit printed as 100 F and as 38 C leaves 37.78 to 38 C in dispute") {
  const Table table("hot_tub_rounded.bty");
  // 38 Cel are 100.4 degF: 0.4 of 30 degrees.
  CHECK(table.told(75) == Lines{"question contradiction/crossing of hot tub: 1 of 75"});
  const Problem crossing = table.only("contradiction/crossing");
  const Rational water = table.number(crossing, "water");
  CHECK(water > 100);
  CHECK(water <= exactly("100.4"));
  CHECK(table.verdict("hot tub", {{"water", "100"}}) == "allowed");
  CHECK(table.verdict("hot tub", {{"water", "100.4"}}) == "withheld");
  CHECK(table.firing("hot tub", {{"water", "100"}}) == 1);
  CHECK(table.firing("hot tub", {{"water", "100.4"}}) == 2);
  CHECK(table.firing("hot tub", {{"water", "100.400001"}}) == 1);
}

TEST_CASE("hot tub: 104 F are 40 C exactly, so that pair of limits is in no dispute; 102 F are not 39 C") {
  const Table rounded("hot_tub_rounded.bty");
  CHECK(rounded.changed("38 Cel", "40 Cel").changed("over 100 degF", "over 104 degF").told(1) == Lines{});
  // 39 Cel are 102.2 degF: 0.2 of 30 degrees in dispute.
  CHECK(rounded.changed("38 Cel", "39 Cel").changed("over 100 degF", "over 102 degF").told(150) ==
        Lines{"question contradiction/crossing of hot tub: 1 of 150"});
  // 98 degF are 36.67 Cel (36 2/3): 37 Cel are 98.6 degF.
  CHECK(rounded.changed("38 Cel", "37 Cel").changed("over 100 degF", "over 98 degF").told(50) ==
        Lines{"question contradiction/crossing of hot tub: 1 of 50"});
}

TEST_CASE("hot tub: two printings one threshold apart differ for over 100 up to 102 degrees, and only there") {
  const Table table("hot_tub_editions.bty");
  const std::string name = "hot tub in the first three months";
  CHECK(table.told(15) == Lines{"error claim-refuted of " + name + ": 1 of 15"});  // over 100 up to 102: 2 of 30
  for (const char* water : {"80", "100", "100.01", "101", "102", "102.01", "110"}) {
    CAPTURE(water);
    const Rational warmth = exactly(water);
    const bool differ = table.verdict(name, {{"water", water}}, "first printing") != table.verdict(name, {{"water", water}}, "later copy");
    CHECK(differ == (warmth > 100 && warmth <= 102));
  }
}
