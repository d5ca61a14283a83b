// Published check: kinds of defect, one smallest example each. Nguyen, Perkins, Laffey, Pecora, AI Magazine 8(2) 1987: the
// list of kinds read (aaai.org/ojs, article 584), the medical examples from memory; Suwa, Scott, Shortliffe, AI Magazine
// 3(4) 1982, abstract read.
#include <catch2/catch.hpp>

#include "tests/published/table.h"

using namespace betony;
using namespace betony::published;
using Lines = std::vector<std::string>;

namespace {

Lines sentences_of(const Problem& problem) {
  Lines texts;
  for (const Concerned& c : problem.sentences) texts.push_back(c.text);
  return texts;
}

}  // namespace

TEST_CASE("defects: redundant rules are told as idle together, whatever the order of their conditions") {
  const Table table("defect_redundant.bty");
  CHECK(table.told(4) == Lines{"question idle/sentence of illness: 1 of 4"});
  CHECK(sentences_of(table.only("idle/sentence")) ==
        Lines{"Take croup in cough and hard breathing [NP 1].", "Take croup in hard breathing and cough [NP 1]."});
}

TEST_CASE("defects: redundant rules of different books are attested twice, a note") {
  const Table table = Table("defect_redundant.bty")
                          .changed("edition \"1\".", "edition \"1\".\nSource SS is \"Completeness and consistency\", 1982.")
                          .changed("hard breathing and cough [NP 1]", "hard breathing and cough [SS 1]");
  CHECK(table.told(4) == Lines{"note idle/twice-attested of illness: 1 of 4"});
}

TEST_CASE("defects: conflicting rules clash as values of a choice and stand head-on as sentences of a practice") {
  CHECK(Table("defect_conflicting.bty").told(4) == Lines{"error choice-clash of illness: 1 of 4"});
  const Table practice("defect_head_on.bty");
  CHECK(practice.told(4) == Lines{"error contradiction/head-on of steam kettle: 1 of 4"});
  const Problem head_on = practice.only("contradiction/head-on");
  CHECK(head_on.region == Lines{"cough and hard breathing"});
  CHECK(practice.answer(head_on, "cough") == "yes");
  CHECK(practice.answer(head_on, "hard breathing") == "yes");
  CHECK(head_on.replay == "steam kettle is withheld");
}

TEST_CASE("defects: of a rule and a wider one with the same outcome the narrower is idle") {
  const Table table("defect_subsumed.bty");
  CHECK(table.told(4) == Lines{"question idle/sentence of illness: 1 of 4"});
  CHECK(sentences_of(table.only("idle/sentence")) == Lines{"Take measles in spots and fever [NP 1]."});
}

TEST_CASE("defects: two rules that differ in an unnecessary condition come to one: spots, measles") {
  const Table table("defect_unnecessary.bty");
  CHECK(table.told(4) == Lines{"note idle/part of illness: 1 of 4", "note idle/part of illness: 1 of 4"});
  CHECK(table.report().problems[0].write == Lines{"in spots, in line 14"});
  CHECK(table.report().problems[1].write == Lines{"in spots, in line 15"});
  CHECK(table.count("illness is measles", 4) == 2);
  const Table asked = table.with("Claim \"nobody has measles\": never illness is measles.");
  CHECK(asked.only("claim-refuted").region == Lines{"spots"});
}

TEST_CASE("defects: a circle of three terms cannot be read, and the circle is named") {
  CHECK(unreadable("defect_circular.bty") ==
        Lines{"line 11: explained by itself: fever means ... hot means ... measles means ... fever: nothing in this circle is "
              "ever explained."});
}

TEST_CASE("defects: a value that no rule asks for is noted, and only that value") {
  const Table table("defect_unreferenced_value.bty");
  CHECK(table.told(3) == Lines{"note unused of spots"});
  CHECK(table.only("unused").matter == "nothing asks for spots purple");
}

TEST_CASE("defects: a rule that asks for a value not declared cannot be read") {
  CHECK(unreadable("defect_illegal_value.bty") == Lines{"line 12: no such value: \"blue\" is not a value of \"spots\"."});
}

TEST_CASE("defects: a rule that waits for what no fact and no rule can bring about never applies") {
  const Table table("defect_dead_end.bty");
  CHECK(table.told(4) == Lines{"error never-applies of steam kettle"});
  CHECK(sentences_of(table.only("never-applies")) == Lines{"Indicated in illness is bronchitis [NP 2]."});
}

TEST_CASE("defects: of six pairs exactly the one without a rule is named") {
  const Table table("defect_missing.bty");
  // Large is lower, light or dark, so that two rules could be one.
  CHECK(table.told(6) == Lines{"question choice-empty of shelf: 1 of 6", "note idle/part of shelf: 1 of 6", "note idle/part of shelf: 1 of 6"});
  const Problem missing = table.only("choice-empty");
  CHECK(missing.region == Lines{"shade is dark and size is middling"});
  CHECK(table.answer(missing, "shade") == "dark");
  CHECK(table.answer(missing, "size") == "middling");
}
