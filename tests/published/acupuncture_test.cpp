// Published check: acupuncture, WHO 1999, section II 2 (WHO/EDM/TRM/99.1). Pregnancy read at
// apps.who.int/medicinedocs/en/d/Jwhozip56e/4.2.1.html; the rest from memory. The counts are computed.
#include <catch2/catch.hpp>

#include "tests/published/table.h"

using namespace betony;
using namespace betony::published;
using Lines = std::vector<std::string>;

namespace {

const char* const purposes[] = {"usual complaints", "inducing labour", "emergency care", "surgery", "treatment of a tumour", "ease with a tumour"};
const char* const pregnancies[] = {"none", "first trimester", "after the third month"};

struct Answers {
  int pregnancy, purpose;
  bool needed, tumour, site;
  int blood;  // which of three

  Person person() const {
    const auto yes = [](bool answer) { return std::string(answer ? "yes" : "no"); };
    return {{"pregnancy", pregnancies[pregnancy]}, {"purpose", purposes[purpose]}, {"needed all the same", yes(needed)}, {"tumour", yes(tumour)},
            {"needle at the site", yes(site)}, {"bleeding disorder", yes(blood & 1)}, {"clotting disorder", yes(blood & 2)},
            {"anticoagulants", yes(blood & 4)}};
  }
  bool possible() const { return (purpose != 1 || pregnancy == 2) && (tumour || (!site && purpose < 4)); }
  bool allowed() const {
    return (pregnancy == 0 && (purpose == 0 || purpose == 5)) || (pregnancy != 0 && needed) || purpose == 1;
  }
  bool forbidden() const {
    return (pregnancy != 0 && !needed && purpose != 1) || purpose == 2 || purpose == 3 || purpose == 4 || site;
  }
  std::string verdict() const {
    const bool care = pregnancy != 0 && needed;
    return forbidden() ? "withheld" : blood ? "discouraged" : allowed() ? care ? "allowed with care" : "allowed" : "silent";
  }
};

template <class Each>
void each_person(const Each& each) {
  for (int pregnancy = 0; pregnancy < 3; ++pregnancy)
    for (int purpose = 0; purpose < 6; ++purpose)
      for (int yes = 0; yes < 8; ++yes)
        for (int blood = 0; blood < 8; ++blood) {
          const Answers answers{pregnancy, purpose, (yes & 1) != 0, (yes & 2) != 0, (yes & 4) != 0, blood};
          if (answers.possible()) each(answers);
        }
}

Person plain_pregnancy() { return {{"pregnancy", "after the third month"}, {"purpose", "usual complaints"}}; }

}  // namespace

TEST_CASE("acupuncture: every possible person has the verdict that the text gives") {
  const Table table("acupuncture.bty");
  std::map<std::string, int> counted;
  int all = 0;
  each_person([&](const Answers& answers) {
    ++all;
    ++counted[answers.verdict()];
    REQUIRE(table.verdict("needling", answers.person()) == answers.verdict());
  });
  CHECK(counted.count("silent") == 0);
  for (const auto& [verdict, count] : counted) {
    CAPTURE(verdict);
    const bool care = verdict == "allowed with care";
    CHECK(table.count(care ? "needling is with care" : verdict == "allowed" ? "needling is allowed and not needling is with care" : "needling is " + verdict, all) == count);
  }
}

TEST_CASE("acupuncture: what is allowed meets bans on other grounds, and nothing else is told") {
  int all = 0, met = 0;
  each_person([&](const Answers& answers) {
    ++all;
    met += answers.allowed() && (answers.forbidden() || answers.blood);
  });
  CHECK(Table("acupuncture.bty").told(all) == Lines{"note contradiction/crossing of needling: " + std::to_string(met) + " of " + std::to_string(all)});
}

TEST_CASE("acupuncture: inducing labour and other needs are exceptions to the pregnancy rule, by its own word") {
  const Table table("acupuncture.bty");
  Person person = plain_pregnancy();
  CHECK(table.verdict("needling", person) == "withheld");
  person["needed all the same"] = "yes";
  CHECK(table.verdict("needling", person) == "allowed with care");
  person["needed all the same"] = "no";
  person["purpose"] = "inducing labour";
  CHECK(table.verdict("needling", person) == "allowed");
  CHECK(table.firing("needling", person) == 1);
}

TEST_CASE("acupuncture: without the exception of labour nobody could follow what is said of it") {
  const Table table = Table("acupuncture.bty").changed(", unless needed all the same or purpose is inducing labour", "");
  Person person = plain_pregnancy();
  person["purpose"] = "inducing labour";
  CHECK(table.verdict("needling", person) == "withheld");
  std::vector<std::string> swallowed;
  for (const Problem& p : table.report().problems)
    if (p.kind == "contradiction" && p.form == "swallowed") {
      REQUIRE(p.sentences.size() == 2);
      CHECK(p.sentences[1].label == "pregnancy rule");
      swallowed.push_back(p.sentences[0].text);
    }
  CHECK(swallowed == Lines{"Allowed in pregnant and needed all the same [WH II 2.1].", "Allowed in purpose is inducing labour [WH II 2.1]."});
}

TEST_CASE("acupuncture: not in place of surgery, not against a tumour, but to ease it; blood that does not clot is a reason to avoid it") {
  const Table table("acupuncture.bty");
  const auto told = [&](const char* purpose, const char* tumour, const char* site, const char* anticoagulants) {
    return table.verdict("needling", {{"purpose", purpose}, {"tumour", tumour}, {"needle at the site", site}, {"anticoagulants", anticoagulants}});
  };
  CHECK(told("usual complaints", "no", "no", "no") == "allowed");
  CHECK(told("surgery", "no", "no", "no") == "withheld");
  CHECK(told("emergency care", "no", "no", "no") == "withheld");
  CHECK(told("treatment of a tumour", "yes", "no", "no") == "withheld");
  CHECK(told("ease with a tumour", "yes", "no", "no") == "allowed");
  CHECK(told("ease with a tumour", "yes", "yes", "no") == "withheld");
  CHECK(told("ease with a tumour", "yes", "no", "yes") == "discouraged");
}

TEST_CASE("acupuncture: of the lower abdomen after the third month the two lists say nothing, and that is told") {
  const Table table("acupuncture_points.bty");
  CHECK(table.told(9) == Lines{"question silence of lower abdomen: 6 of 9", "question silence of upper abdomen: 3 of 9",
                               "question silence of points with strong sensations: 3 of 9", "question silence of labour-inducing ear points: 3 of 9"});
  const Problem gap = table.only("silence", "lower abdomen");
  CHECK(gap.region == Lines{"month at least 4"});
  CHECK(gap.replay == "lower abdomen is silent");
  CHECK(gap.sentences.at(0).text == "Contraindicated in month at most 3 [WH II 2.1].");
}

TEST_CASE("acupuncture: the lists turn over after the third month, and only the lumbosacral region is on both") {
  const Table table("acupuncture_points.bty");
  struct Row { const char *points, *third, *fourth; };
  const Row rows[] = {{"lower abdomen", "withheld", "silent"}, {"upper abdomen", "silent", "discouraged"},
                      {"lumbosacral region", "withheld", "discouraged"}, {"points with strong sensations", "silent", "discouraged"},
                      {"labour-inducing ear points", "silent", "discouraged"}};
  for (const Row& row : rows) {
    CAPTURE(row.points);
    CHECK(table.verdict(row.points, {{"month", "3"}}) == row.third);
    CHECK(table.verdict(row.points, {{"month", "4"}}) == row.fourth);
  }
}
