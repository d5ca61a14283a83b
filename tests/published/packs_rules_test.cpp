// Published checks through packs, row for row, from CSV: hot tubs, the readiness questionnaire, and one teaching that prevails over
// another. What is expected is typed here from the print, and what every row is told is the pack's; tests/published/weighed.h says how.
#include <algorithm>
#include <catch2/catch.hpp>
#include <set>

#include "tests/packs.h"
#include "tests/published/weighed.h"

using namespace betony;
using namespace betony::published;
using Counts = std::map<std::string, std::size_t>;

namespace {

const std::vector<std::string> yes_or_no = {"no", "yes"};

Published only(const std::string& practice, const std::string& verdict) { return {{{practice, verdict}}, {}, {}}; }

}  // namespace

// ---------------------------------------------------------------- hot tubs
// US Consumer Product Safety Commission 1979 (letter, Washington Post 14 Dec 1979; release 79-071 quoted at rhtubs.com); N.J. Admin. Code
// 8:26-5.8. The bath-houses are made up.

namespace {

const char* const conditions[] = {"heart disease", "diabetes", "high blood pressure", "low blood pressure", "medicines"};

// Never over 104. Under 5 not over 98. First three months: over 102 can harm, keep to 100. No heavy drinking. Not alone; not under
// 16 without a supervisor; conditions and pregnancy only after consultation. 100 is safe for a healthy adult; at most 15 minutes.
Published hot_tub(const Person& person) {
  const auto is = [&](const char* finding) { return person.at(finding) == "yes"; };
  const Rational water = exactly(person.at("water"));
  const int age = std::stoi(person.at("age"));
  const bool first_months = person.at("pregnancy") == "first three months", pregnant = person.at("pregnancy") != "none";
  const bool ailing = std::any_of(std::begin(conditions), std::end(conditions), is);
  if (water > 104 || (age < 5 && water > 98) || (first_months && water > 102) || is("heavy drinking") || person.at("company") == "alone" ||
      (age < 16 && person.at("company") != "with a supervisor") || ((ailing || pregnant) && !is("physician agrees")))
    return only("hot tub", "withheld");
  if (first_months && water > 100) return only("hot tub", "discouraged");
  if (age >= 18 && !ailing && !pregnant && water <= 100) return {{{"hot tub", "allowed"}}, {}, {{"hot tub", "at most 15 min"}}};
  return only("hot tub", "silent");
}

const std::vector<std::string> water_edges = {"80", "98", "98.01", "100", "100.01", "102", "102.01", "104", "104.01", "110"};
const std::vector<std::string> age_edges = {"0", "4", "5", "15", "16", "17", "18", "99"};

// With each of the two named conditions known and open, the others as given.
std::vector<Column> bathers(const std::vector<std::string>& others) {
  std::vector<Column> columns = {{"water", water_edges},         {"age", age_edges}, {"pregnancy", {"none", "first three months", "later"}},
                                 {"heavy drinking", yes_or_no}, {"company", {"alone", "among others", "with a supervisor"}},
                                 {"physician agrees", yes_or_no}};
  for (const std::string condition : conditions)
    columns.push_back({condition, condition == "heart disease" || condition == "medicines" ? yes_or_no : others});
  return columns;
}

}  // namespace

TEST_CASE("packs: hot tubs at both sides of every printed limit, for everybody who can be put together") {
  for (const char* others : {"no", "yes"}) {
    const Held held = hold(Table("hot_tub.bty"), bathers({others}), hot_tub);
    CHECK(held.whole == 10 * 8 * 3 * 2 * 3 * 2 * 4);
    CHECK(held.not_exact == 0);
    for (const char* verdict : {"withheld", "discouraged", "silent"}) CHECK(held.counts.count(std::string("hot tub: ") + verdict) == 1);
    // Allowed are: water at 80, 98, 98.01 and 100; age 18 and 99; not drinking; two companies; agreed or not; nothing else.
    CHECK(held.counts.count("hot tub: allowed") == (*others == 'n' ? 1 : 0));
    if (*others == 'n') CHECK(held.counts.at("hot tub: allowed") == 4 * 2 * 2 * 2);
  }
}

TEST_CASE("packs: hot tubs between 100 and 104 degrees are neither safe nor forbidden, in Fahrenheit and in Celsius") {
  struct Row { const char *column, *water, *verdict; };
  const Row rows[] = {{"water", "100", "allowed"}, {"water", "100.01", "silent"}, {"water", "104", "silent"}, {"water", "104.01", "withheld"},
                      {"water (Cel)", "40", "silent"},      // exactly 104
                      {"water (Cel)", "40.01", "withheld"},
                      {"water (Cel)", "38", "silent"},      // 100.4: the printed pair is rounded
                      {"water (Cel)", "37.77", "allowed"}, {"water (Cel)", "37.78", "silent"}};
  for (const Row& row : rows) {
    std::vector<Column> adult = {{row.column, {row.water}}, {"age", {"40"}}, {"pregnancy", {"none"}},
                                 {"heavy drinking", {"no"}}, {"company", {"among others"}}, {"physician agrees", {"no"}}};
    for (const char* condition : conditions) adult.push_back({condition, {"no"}});
    Published printed = only("hot tub", row.verdict);
    if (printed.verdicts.at("hot tub") == "allowed") printed.doses = {{"hot tub", "at most 15 min"}};
    CAPTURE(row.column, row.water);
    hold(Table("hot_tub.bty"), adult, [&](const Person&) { return printed; });
  }
}

TEST_CASE("packs: the house that advises 103 degrees for pregnant persons never does; that which advises 101 to 104 for other adults does") {
  const auto forbidden = [](int water, int age, bool pregnant) { return water > 104 || (age < 5 && water > 98) || (pregnant && water > 100); };
  const std::vector<Column> everybody = {{"water", whole_numbers(80, 110)}, {"age", whole_numbers(0, 99)}, {"pregnancy", yes_or_no}};
  for (const bool kettle : {true, false}) {
    const auto print = [&](const Person& person) {
      const int water = std::stoi(person.at("water")), age = std::stoi(person.at("age"));
      const bool pregnant = person.at("pregnancy") == "yes";
      const bool advised = kettle ? pregnant && water == 103 : age >= 18 && !pregnant && water >= 101 && water <= 104;
      return only("hot tub", forbidden(water, age, pregnant) ? "withheld" : advised ? "advised" : "allowed");
    };
    const Held held = hold(Table("hot_tub_houses.bty"), everybody, print, {kettle ? "Kettle house" : "Rain house"});
    CHECK(held.whole == 6'200);
    CHECK(held.counts.count("hot tub: advised") == (kettle ? 0 : 1));
    if (!kettle) CHECK(held.counts.at("hot tub: advised") == 82 * 4);   // ages 18 to 99
  }
}

TEST_CASE("packs: two printings of one limit differ for over 100 up to 102 degrees, and only there") {
  for (const char* printing : {"first printing", "later copy"}) {
    const Rational limit = *printing == 'f' ? 102 : 100;
    const std::string practice = "hot tub in the first three months";
    const auto print = [&](const Person& person) { return only(practice, exactly(person.at("water")) > limit ? "withheld" : "allowed"); };
    const std::vector<Column> waters = {{"water", {"80", "99.99", "100", "100.01", "101", "102", "102.01", "110"}}};
    const Held held = hold(Table("hot_tub_editions.bty"), waters, print, {printing});
    CHECK(held.counts.at(practice + ": withheld") == (*printing == 'f' ? 2 : 5));
  }
}

TEST_CASE("packs: one limit printed as 100 F and as 38 C: 37.78 to 38 C are in dispute, and both sentences are told") {
  const Table table("hot_tub_rounded.bty");
  const auto print = [](const Person& person) { return only("hot tub", exactly(person.at("water")) > 100 ? "withheld" : "allowed"); };
  CHECK(hold(table, {{"water", {"80", "100", "100.01", "100.4", "100.41", "110"}}}, print).counts.at("hot tub: allowed") == 2);
  const runtime::Pack pack = testing::packed(table.ruleset(), table.report());
  struct Row { const char* water; std::size_t because, defeated; };
  for (const Row& row : {Row{"100", 1, 0}, {"100.01", 1, 1}, {"100.4", 1, 1}, {"100.41", 1, 0}}) {
    CAPTURE(row.water);
    const runtime::PracticeTold told = runtime::weigh(pack, {runtime::value_of_text(pack, 0, row.water).value}).practices[0];
    CHECK(told.because.size() == row.because);
    CHECK(told.defeated.size() == row.defeated);
  }
}

// ---------------------------------------------------------------- readiness questionnaire
// PAR-Q, for ages 15 to 69 (read at medicalalgorithms.com/physical-activity-readiness-questionnaire-par-q).

namespace {

const char* const questions[] = {"heart condition", "pain in exercise", "pain at rest", "dizziness",
                                 "joint trouble",   "heart medicines",  "other reason"};

// One yes or more, or may be pregnant: consult. 70 or over and not very active: consult. Passing illness: delay. Under 15: nothing.
Published readiness(const Person& person) {
  const auto is = [&](const char* finding) { return person.at(finding) == "yes"; };
  const int age = std::stoi(person.at("age"));
  if (age < 15) return only("starting slowly", "silent");
  if (std::any_of(std::begin(questions), std::end(questions), is) || is("pregnancy") || (age >= 70 && !is("very active")))
    return only("starting slowly", "referred");
  return only("starting slowly", is("temporary illness") ? "withheld" : "allowed");
}

std::vector<Column> sheets(const std::vector<std::string>& ages, const std::vector<std::string>& rest) {
  std::vector<Column> columns = {{"age", ages}, {"temporary illness", rest}, {"pregnancy", rest}, {"very active", rest}};
  for (const char* question : questions) columns.push_back({question, yes_or_no});
  return columns;
}

}  // namespace

TEST_CASE("packs: of 128 answer sheets 1 clears and 127 refer") {
  const Held held = hold(Table("readiness.bty"), sheets({"40"}, {"no"}), readiness);
  CHECK(held.whole == 128);
  CHECK(held.counts == Counts{{"starting slowly: allowed", 1}, {"starting slowly: referred", 127}});
}

TEST_CASE("packs: every answer sheet at the printed ages, ill, pregnant and active or not, and with each answer left open") {
  const Held held = hold(Table("readiness.bty"), sheets({"0", "14", "15", "69", "70", "109"}, yes_or_no), readiness);
  CHECK(held.whole == 6 * 8 * 128);
  CHECK(held.not_exact == 0);
  CHECK(held.counts.at("starting slowly: silent") == 2 * 8 * 128);
  CHECK(held.counts.at("starting slowly: withheld") == 2 * 2 + 2);   // 15 and 69, active or not; 70 and 109, active
  CHECK(held.counts.at("starting slowly: allowed") == 2 * 2 + 2);
}

TEST_CASE("packs: all no and a fever: both sentences hold, and the delay prevails") {
  const Table table("readiness.bty");
  const runtime::Pack pack = testing::packed(table.ruleset(), table.report());
  const runtime::Names names(pack);
  runtime::Answers ill(pack.findings.size());
  for (runtime::Index f = 0; f < pack.findings.size(); ++f)
    ill[f] = runtime::value_of_text(pack, f, f == names.finding("age") ? "40" : f == names.finding("temporary illness") ? "yes" : "no").value;
  const runtime::PracticeTold told = runtime::weigh(pack, ill).practices[0];
  REQUIRE(told.settled());
  CHECK(told.possible[0].verdict == runtime::Verdict::withheld);
  REQUIRE(told.because.size() == 1);
  REQUIRE(told.defeated.size() == 1);
  CHECK(pack.sentences[told.because[0]].words == "Contraindicated in age at least 15 and temporary illness [RQ]");
  CHECK(pack.sentences[told.defeated[0]].words == "Allowed in age at least 15 and not a yes among them [RQ]");
}

// ---------------------------------------------------------------- one teaching prevails over another
// Antoniou, Billington, Governatori, Maher, Representation results for defeasible logic, ACM TOCL 2(2) 2001, 255-287: theories from memory,
// conclusions computed from the paper's proof conditions.

namespace {

using Facts = std::set<std::string>;

// A theory with, of every set of facts, what is concluded: `proved` (+ of the conclusion), `refuted` (+ of its opposite); of the others neither,
// since two rules stand against each other (`clash`), or since no rule speaks.
struct Theory {
  std::vector<std::string> names;
  std::string conclusion, opposite, practice;
  std::set<Facts> proved, refuted, clash;

  // As prevail_test.cpp says: of a practice a ban that nothing prevails over is live, so where two stand against each other it is withheld.
  Published print(const Person& person) const {
    Facts facts;
    for (const std::string& name : names)
      if (person.at(name) == "yes") facts.insert(name);
    if (proved.count(facts)) return {{{practice, "advised"}}, {{"conclusion", conclusion}}, {}};
    if (refuted.count(facts)) return {{{practice, "withheld"}}, {{"conclusion", opposite}}, {}};
    if (clash.count(facts)) return {{{practice, "withheld"}}, {{"conclusion", conclusion + ", " + opposite}}, {}};
    return {{{practice, "silent"}}, {{"conclusion", "nothing"}}, {}};
  }
};

const Theory penguins{{"bird", "penguin"}, "flies", "does not fly", "flight", {{"bird"}}, {{"bird", "penguin"}}, {}};
const Theory penguins_alike{penguins.names, "flies", "does not fly", "flight", {{"bird"}}, {}, {{"bird", "penguin"}}};
const Theory quakers{{"quaker", "republican"}, "pacifist", "no pacifist", "keeping the peace",
                     {{"quaker"}}, {{"republican"}}, {{"quaker", "republican"}}};
const Theory quakers_first{quakers.names, "pacifist", "no pacifist", "keeping the peace",
                           {{"quaker"}, {"quaker", "republican"}}, {{"republican"}}, {}};
const Theory mammals{{"monotreme", "fur", "eggs", "bill"}, "mammal", "no mammal", "milk",
                     {{"monotreme"}, {"fur"}, {"monotreme", "fur"}, {"monotreme", "eggs"}, {"fur", "bill"},
                      {"monotreme", "fur", "eggs"}, {"monotreme", "fur", "bill"}, {"monotreme", "fur", "eggs", "bill"}},
                     {{"eggs"}, {"bill"}, {"eggs", "bill"}},
                     {{"fur", "eggs"}, {"monotreme", "bill"}, {"monotreme", "eggs", "bill"}, {"fur", "eggs", "bill"}}};
// r2 is not superior to r4: of the platypus, as of all with a bill and something else, neither.
const Theory mammals_half{mammals.names, "mammal", "no mammal", "milk",
                          {{"monotreme"}, {"fur"}, {"monotreme", "fur"}, {"monotreme", "eggs"}, {"monotreme", "fur", "eggs"}},
                          {{"eggs"}, {"bill"}, {"eggs", "bill"}},
                          {{"fur", "eggs"}, {"fur", "bill"}, {"monotreme", "bill"}, {"monotreme", "eggs", "bill"}, {"fur", "eggs", "bill"},
                           {"monotreme", "fur", "bill"}, {"monotreme", "fur", "eggs", "bill"}}};
const Theory heavy_birds{{"bird", "heavy"}, "flies", "does not fly", "flight", {{"bird"}}, {}, {}};

Held hold(const Table& table, const Theory& theory, const Holding& holding = {}) {
  std::vector<Column> columns;
  for (const std::string& name : theory.names) columns.push_back({name, yes_or_no});
  const Held held = published::hold(table, columns, [&](const Person& person) { return theory.print(person); }, holding);
  CHECK(held.not_exact == 0);
  return held;
}

}  // namespace

TEST_CASE("packs: penguins do not fly, and without a superior rule neither is concluded") {
  const Table table("prevail_penguin.bty");
  const Holding birds{"", [](const Person& person) { return person.at("penguin") == "no" || person.at("bird") == "yes"; }};
  CHECK(hold(table, penguins, birds).counts == Counts{{"conclusion: flies", 1}, {"conclusion: does not fly", 1}, {"conclusion: nothing", 1},
                                                      {"flight: advised", 1},   {"flight: withheld", 1},         {"flight: silent", 1}});
  const Table alike = table.changed("in bird, unless penguin", "in bird");
  CHECK(hold(alike, penguins_alike, birds).counts.at("conclusion: flies, does not fly") == 1);
}

TEST_CASE("packs: of a republican quaker neither is concluded, unless the quaker's rule is superior") {
  const Table table("prevail_quaker.bty");
  CHECK(hold(table, quakers).counts.at("conclusion: pacifist, no pacifist") == 1);
  const Table first = table.changed("Indicated in quaker, called quaker rule", "Indicated in quaker, despite republican rule, called quaker rule")
                          .changed("Take no pacifist in republican", "Take no pacifist in republican, unless quaker");
  CHECK(hold(first, quakers_first).counts.at("conclusion: pacifist") == 2);
}

TEST_CASE("packs: monotreme and fur prevail as a team over eggs and bill, and do not where one of them is not superior") {
  const Table table("prevail_mammal.bty");
  const Held team = hold(table, mammals);
  CHECK(team.counts == Counts{{"conclusion: mammal", 8}, {"conclusion: no mammal", 3}, {"conclusion: mammal, no mammal", 4},
                              {"conclusion: nothing", 1}, {"milk: advised", 8}, {"milk: withheld", 7}, {"milk: silent", 1}});
  const Table half = table.changed("Indicated in fur, despite bill rule [RR r2]", "Indicated in fur [RR r2]")
                         .changed("Take no mammal in bill, unless fur [RR r4]", "Take no mammal in bill [RR r4]");
  CHECK(hold(half, mammals_half).counts.at("conclusion: mammal, no mammal") == 7);
}

TEST_CASE("packs: a defeater holds back and concludes nothing") {
  CHECK(hold(Table("prevail_defeater.bty"), heavy_birds).counts ==
        Counts{{"conclusion: flies", 1}, {"conclusion: nothing", 3}, {"flight: advised", 1}, {"flight: silent", 3}});
}
