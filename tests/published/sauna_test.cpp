// Published check: sauna, Hannuksela, Ellahham, Am J Med 2001;110:118-126 (abstract read), alone and against the hot tubs of
// the US Consumer Product Safety Commission 1979. Counts computed.
#include <catch2/catch.hpp>

#include "tests/published/table.h"

using namespace betony;
using namespace betony::published;
using Lines = std::vector<std::string>;

TEST_CASE("sauna: the three contraindicated conditions are withheld, the three stated safe are allowed") {
  const Table table("sauna.bty");
  const auto told = [&](const char* heart, const char* pregnancy) {
    return table.verdict("sauna", {{"heart", heart}, {"pregnancy", pregnancy}});
  };
  CHECK(told("unstable angina", "none") == "withheld");
  CHECK(told("recent infarction", "none") == "withheld");
  CHECK(told("severe aortic stenosis", "uncomplicated") == "withheld");
  CHECK(told("stable angina", "none") == "allowed");
  CHECK(told("old infarction", "none") == "allowed");
  CHECK(told("sound", "uncomplicated") == "allowed");
  CHECK(table.verdict("sauna", {{"heart", "stable angina"}, {"alcohol", "yes"}}) == "discouraged");
}

TEST_CASE("sauna: the text is silent of 4 in 36 persons, and alcohol crosses what it allows without anything in common") {
  const Table table("sauna.bty");
  // 6 hearts, 3 pregnancies, alcohol or not. Silent: sound and not pregnant; sound, stable or old, and complicated; sober.
  // Allowed: 2 hearts with 2 pregnancies, and a sound one with 1; alcohol meets each once.
  CHECK(table.told(36) == Lines{"question silence of sauna: 4 of 36", "note contradiction/crossing of sauna: 5 of 36"});
}

TEST_CASE("sauna: unstable angina inside coronary heart disease is an exception, and the disease is that of all whom it is about") {
  const Table table("sauna_exception.bty");
  CHECK(table.told(2) == Lines{"note contradiction/exception of sauna: 1 of 2", "note idle/part of sauna: 2 of 2"});
  const Problem exception = table.only("contradiction/exception");
  CHECK(exception.pairs == std::vector<std::pair<unsigned, unsigned>>{{0, 1}});
  CHECK(exception.sentences.at(0).text == "Allowed in coronary heart disease [HE].");
  CHECK(exception.sentences.at(1).text == "Contraindicated in unstable angina [HE].");
  CHECK(table.answer(exception, "unstable angina") == "yes");
  CHECK(exception.replay == "sauna is withheld");
}

TEST_CASE("sauna: without the fact that unstable angina is coronary, the two only meet") {
  const Table table = Table("sauna_exception.bty")
                          .without("It cannot be that unstable angina and not coronary heart disease.")
                          .without("Applies to coronary heart disease.");
  CHECK(table.told(4) == Lines{"question silence of sauna: 1 of 4", "note contradiction/crossing of sauna: 1 of 4"});
}

TEST_CASE("pregnancy in heat: tub and sauna in one group cross in the first three months, for each practice once") {
  const Table table("heat_group.bty");
  constexpr long all = 3L * 2 * 121;
  // First three months, no complications, 103 to 200 degrees: 98 of 726.
  CHECK(table.told(all) == Lines{"question contradiction/crossing of hot tub: 98 of 726", "question contradiction/crossing of sauna: 98 of 726"});
  const Problem crossing = table.only("contradiction/crossing", "sauna");
  CHECK(table.answer(crossing, "pregnancy") == "first three months");
  CHECK(table.answer(crossing, "complications") == "no");
  CHECK(table.number(crossing, "warmth") > 102);
  CHECK(crossing.replay == "sauna is withheld");
}

TEST_CASE("pregnancy in heat: with a school for each text neither contradicts itself, and that they differ is a note") {
  const Table table("heat_group_schools.bty");
  constexpr long all = 3L * 2 * 121;
  CHECK(table.told(all) == Lines{"note dissent of hot tub: 98 of 726", "note dissent of sauna: 98 of 726"});
  const Person person = {{"pregnancy", "first three months"}, {"complications", "no"}, {"warmth", "180"}};
  CHECK(table.verdict("sauna", person, "bench") == "advised");
  CHECK(table.verdict("sauna", person, "tub") == "withheld");
}
