// Published check: one teaching prevails over another, in defeasible logic. Antoniou, Billington, Governatori, Maher,
// Representation results for defeasible logic, ACM TOCL 2(2) 2001, 255-287: the theories from memory, their conclusions
// computed from the paper's proof conditions (ambiguity blocking, team defeat), once more below.
//
// Each theory is written in two ways. Of a choice both conclusions are values: a rule takes one of them unless a superior rule
// speaks, so that a conclusion is proved where it alone fits, and what the logic leaves open shows as two that fit
// (a clash, which is told) or as nothing that fits. Of a practice the rules for it are indications and the rules
// against it are bans: there Betony differs by design. A ban that no indication is said to stand despite is always live, so
// where the logic concludes neither because two rules stand against each other, the practice is withheld.
#include <algorithm>
#include <catch2/catch.hpp>
#include <random>
#include <set>

#include "tests/published/table.h"

using namespace betony;
using namespace betony::published;
using Lines = std::vector<std::string>;

namespace {

using Facts = std::set<std::string>;

struct Rule {
  std::string name, when;   // one fact that sets it off
  bool for_it = true;       // for the conclusion, or against it
  bool defeater = false;    // holds back, and concludes nothing
};

struct Theory {
  std::vector<Rule> rules;
  std::vector<std::pair<std::string, std::string>> superior;  // the first to the second

  bool beats(const Rule& a, const Rule& b) const {
    return std::find(superior.begin(), superior.end(), std::pair(a.name, b.name)) != superior.end();
  }
  // Provable defeasibly: some applicable rule concludes it, and each applicable rule against it is beaten by some applicable
  // rule for it.
  bool proved(bool for_it, const Facts& facts) const {
    const auto applies = [&](const Rule& rule, bool side) { return rule.for_it == side && facts.count(rule.when) > 0; };
    return std::any_of(rules.begin(), rules.end(), [&](const Rule& rule) { return applies(rule, for_it) && !rule.defeater; }) &&
           std::all_of(rules.begin(), rules.end(), [&](const Rule& attacker) {
             return !applies(attacker, !for_it) || std::any_of(rules.begin(), rules.end(), [&](const Rule& rule) {
               return applies(rule, for_it) && !rule.defeater && beats(rule, attacker);
             });
           });
  }
  bool speaks(bool for_it, const Facts& facts) const {
    return std::any_of(rules.begin(), rules.end(), [&](const Rule& rule) {
      return rule.for_it == for_it && !rule.defeater && facts.count(rule.when) > 0;
    });
  }
};

const Theory penguins{{{"r1", "bird"}, {"r2", "penguin", false}}, {{"r2", "r1"}}};
const Theory penguins_alike{penguins.rules, {}};
const Theory quakers{{{"r1", "quaker"}, {"r2", "republican", false}}, {}};
const Theory quakers_first{quakers.rules, {{"r1", "r2"}}};
const Theory mammals{{{"r1", "monotreme"}, {"r2", "fur"}, {"r3", "eggs", false}, {"r4", "bill", false}}, {{"r1", "r3"}, {"r2", "r4"}}};
const Theory mammals_half{mammals.rules, {{"r1", "r3"}}};
const Theory heavy_birds{{{"r1", "bird"}, {"d", "heavy", false, true}}, {}};

// Each set of facts that the background allows.
std::vector<Facts> all_facts(const Table& table, const std::vector<std::string>& names) {
  std::vector<Facts> sets;
  for (unsigned chosen = 0; chosen < 1u << names.size(); ++chosen) {
    Facts facts;
    for (std::size_t f = 0; f < names.size(); ++f)
      if (chosen >> f & 1u) facts.insert(names[f]);
    Person person;
    for (const std::string& name : names) person[name] = facts.count(name) ? "yes" : "no";
    if (!broken_background(table.ruleset(), table.profile(person))) sets.push_back(facts);
  }
  return sets;
}

Person person_with(const std::vector<std::string>& names, const Facts& facts) {
  Person person;
  for (const std::string& name : names) person[name] = facts.count(name) ? "yes" : "no";
  return person;
}

struct Written {
  std::vector<std::string> names;   // the facts
  std::string value, other, practice;
};
const Written of_penguins{{"bird", "penguin"}, "flies", "does not fly", "flight"};
const Written of_quakers{{"quaker", "republican"}, "pacifist", "no pacifist", "keeping the peace"};
const Written of_mammals{{"monotreme", "fur", "eggs", "bill"}, "mammal", "no mammal", "milk"};
const Written of_heavy_birds{{"bird", "heavy"}, "flies", "does not fly", "flight"};

// Holds both ways of writing against the logic, for every set of facts; says how many sets there are of each outcome.
std::map<std::string, int> hold_against(const Theory& theory, const Table& table, const Written& written) {
  std::map<std::string, int> outcomes;
  int clashes = 0, empty = 0, all = 0;
  for (const Facts& facts : all_facts(table, written.names)) {
    const bool yes = theory.proved(true, facts), no = theory.proved(false, facts);
    CAPTURE(facts);
    REQUIRE_FALSE((yes && no));
    const bool two_sides = theory.speaks(true, facts) && theory.speaks(false, facts);
    const Person person = person_with(written.names, facts);
    const std::string fits = table.fits("conclusion", person), verdict = table.verdict(written.practice, person);
    if (yes || no) {
      CHECK(fits == (yes ? written.value : written.other));
      CHECK(verdict == (yes ? "advised" : "withheld"));
    } else {
      CHECK(fits == (two_sides ? written.value + ", " + written.other : "nothing"));
      CHECK(verdict == (two_sides ? "withheld" : "silent"));  // by design: the live ban wins
    }
    ++all;
    clashes += !yes && !no && two_sides;
    empty += !yes && !no && !two_sides;
    ++outcomes[yes ? "proved" : no ? "refuted" : "neither"];
  }
  // What is left open is told: two that fit, or nothing, for exactly so many sets of facts.
  Lines told;
  for (const std::string& line : table.told(all))
    if (line.find("choice-") != std::string::npos) told.push_back(line);
  Lines expected;
  const auto share = [&](int count) { return std::to_string(count) + " of " + std::to_string(all); };
  if (clashes > 0) expected.push_back("error choice-clash of conclusion: " + share(clashes));
  if (empty > 0) expected.push_back("question choice-empty of conclusion: " + share(empty));
  CHECK(told == expected);
  return outcomes;
}

using Outcomes = std::map<std::string, int>;

// A theory of two to six rules about the signs of an animal; a rule can be superior only to later ones, so in no circle.
Theory any_theory(std::mt19937& dice) {
  Theory theory;
  const std::size_t count = 2 + dice() % 5;
  for (std::size_t r = 0; r < count; ++r)
    theory.rules.push_back({"r" + std::to_string(r), of_mammals.names[dice() % 4], dice() % 2 == 0});
  for (std::size_t a = 0; a < count; ++a)
    for (std::size_t b = a + 1; b < count; ++b)
      if (theory.rules[a].for_it != theory.rules[b].for_it && dice() % 2 == 0) theory.superior.emplace_back(theory.rules[a].name, theory.rules[b].name);
  return theory;
}

// The same in both ways of writing.
std::string in_words(const Theory& theory) {
  std::string practice = "Practice guess.\n", choice = "Choice guessed is one of so, against.\n";
  for (const Rule& rule : theory.rules) {
    std::string despite, unless;
    for (const Rule& other : theory.rules) {
      if (theory.beats(rule, other)) despite += ", despite rule " + other.name;
      if (theory.beats(other, rule)) unless += (unless.empty() ? ", unless " : " or ") + other.when;
    }
    practice += rule.for_it ? "  Indicated in " + rule.when + despite + ".\n" : "  Contraindicated in " + rule.when + ", called rule " + rule.name + ".\n";
    choice += "  Take " + std::string(rule.for_it ? "so" : "against") + " in " + rule.when + unless + ".\n";
  }
  return practice + choice;
}

}  // namespace

TEST_CASE("what prevails: penguins do not fly, since the rule of the penguin is superior") {
  const Table table("prevail_penguin.bty");
  CHECK(hold_against(penguins, table, of_penguins) == Outcomes{{"proved", 1}, {"refuted", 1}, {"neither", 1}});
  CHECK(table.fits("conclusion", {{"bird", "yes"}, {"penguin", "yes"}}) == "does not fly");
  CHECK(table.verdict("flight", {{"bird", "yes"}, {"penguin", "yes"}}) == "withheld");
  CHECK(table.verdict("flight", {{"bird", "yes"}, {"penguin", "no"}}) == "advised");
  // As a practice this is a rule and its exception, and is told as such.
  CHECK(table.only("contradiction/exception", "flight").region == Lines{"penguin"});
}

TEST_CASE("what prevails: where neither rule is superior, neither is concluded of penguins, and the clash is told") {
  const Table table = Table("prevail_penguin.bty").changed("in bird, unless penguin", "in bird");
  CHECK(hold_against(penguins_alike, table, of_penguins) == Outcomes{{"proved", 1}, {"neither", 2}});
  CHECK(table.fits("conclusion", {{"bird", "yes"}, {"penguin", "yes"}}) == "flies, does not fly");
  CHECK(table.only("choice-clash").region == Lines{"penguin"});
}

TEST_CASE("what prevails: of a republican quaker neither is concluded; a practice is withheld, and the meeting is told") {
  const Table table("prevail_quaker.bty");
  CHECK(hold_against(quakers, table, of_quakers) == Outcomes{{"proved", 1}, {"refuted", 1}, {"neither", 2}});
  CHECK(table.only("choice-clash").region == Lines{"quaker and republican"});
  CHECK(table.only("contradiction/crossing", "keeping the peace").region == Lines{"quaker and republican"});
}

TEST_CASE("what prevails: with the quaker's rule superior a republican quaker is a pacifist") {
  const Table table = Table("prevail_quaker.bty")
                          .changed("Indicated in quaker, called quaker rule", "Indicated in quaker, despite republican rule, called quaker rule")
                          .changed("Take no pacifist in republican", "Take no pacifist in republican, unless quaker");
  CHECK(hold_against(quakers_first, table, of_quakers) == Outcomes{{"proved", 2}, {"refuted", 1}, {"neither", 1}});
  const Person both = {{"quaker", "yes"}, {"republican", "yes"}};
  CHECK(table.verdict("keeping the peace", both) == "advised");
  CHECK(table.fits("conclusion", both) == "pacifist");
}

TEST_CASE("what prevails: monotreme and fur prevail as a team over eggs and bill, each over one of them") {
  const Table table("prevail_mammal.bty");
  const Person platypus = {{"monotreme", "yes"}, {"fur", "yes"}, {"eggs", "yes"}, {"bill", "yes"}};
  CHECK(hold_against(mammals, table, of_mammals) == Outcomes{{"proved", 8}, {"refuted", 3}, {"neither", 5}});
  CHECK(table.fits("conclusion", platypus) == "mammal");
  CHECK(table.verdict("milk", platypus) == "advised");
}

TEST_CASE("what prevails: with one of the team's rules not superior to the bill, neither is concluded of the platypus") {
  const Table table = Table("prevail_mammal.bty")
                          .changed("Indicated in fur, despite bill rule [RR r2]", "Indicated in fur [RR r2]")
                          .changed("Take no mammal in bill, unless fur [RR r4]", "Take no mammal in bill [RR r4]");
  const Person platypus = {{"monotreme", "yes"}, {"fur", "yes"}, {"eggs", "yes"}, {"bill", "yes"}};
  CHECK(hold_against(mammals_half, table, of_mammals) == Outcomes{{"proved", 5}, {"refuted", 3}, {"neither", 8}});
  CHECK(table.fits("conclusion", platypus) == "mammal, no mammal");
  CHECK(table.verdict("milk", platypus) == "withheld");
}

TEST_CASE("what prevails: a defeater, written as unless, holds back and concludes nothing") {
  const Table table("prevail_defeater.bty");
  CHECK(hold_against(heavy_birds, table, of_heavy_birds) == Outcomes{{"proved", 1}, {"neither", 3}});
  const Person heavy = {{"bird", "yes"}, {"heavy", "yes"}};
  CHECK(table.verdict("flight", heavy) == "silent");
  CHECK(table.fits("conclusion", heavy) == "nothing");
}

TEST_CASE("what prevails: of any theory a practice is advised exactly where the logic proves it, and a choice tells both sides") {
  constexpr unsigned seed = 2001;
  CAPTURE(seed);
  std::mt19937 dice(seed);
  std::map<std::string, int> outcomes;
  for (int round = 0; round < 200; ++round) {
    const Theory theory = any_theory(dice);
    const std::string text = in_words(theory);
    CAPTURE(text);
    const Table table = Table("prevail_mammal.bty").with(text);
    for (const Facts& facts : all_facts(table, of_mammals.names)) {
      CAPTURE(facts);
      const bool yes = theory.proved(true, facts), no = theory.proved(false, facts);
      const bool two_sides = theory.speaks(true, facts) && theory.speaks(false, facts);
      const Person person = person_with(of_mammals.names, facts);
      REQUIRE((table.verdict("guess", person) == "advised") == yes);
      if (no) REQUIRE(table.verdict("guess", person) == "withheld");
      REQUIRE(table.fits("guessed", person) == (yes ? "so" : no ? "against" : two_sides ? "so, against" : "nothing"));
      ++outcomes[yes ? "proved" : no ? "refuted" : two_sides ? "clash" : "nothing"];
    }
  }
  for (const char* outcome : {"proved", "refuted", "clash", "nothing"}) CHECK(outcomes[outcome] > 100);
}

TEST_CASE("what prevails: no ban can stand despite another sentence, so two sentences cannot each prevail over the other") {
  const std::string text =
      "Ruleset \"Circle\", edition \"1\".\nFinding quaker is yes or no.\nFinding republican is yes or no.\nPractice keeping the peace.\n"
      "  Indicated in quaker, despite republican rule, called quaker rule.\n"
      "  Contraindicated in republican, despite quaker rule, called republican rule.\n";
  CHECK(unreadable_text(text) == Lines{"line 6: `despite` has no place here: Only what is indicated or allowed can stand despite a ban."});
}

TEST_CASE("what prevails: a choice whose values give way to each other asks for itself and is refused") {
  const std::string text =
      "Ruleset \"Circle\", edition \"1\".\nFinding quaker is yes or no.\nFinding republican is yes or no.\nChoice conclusion is one of pacifist, no pacifist.\n"
      "  Take pacifist in quaker, unless conclusion is no pacifist.\n"
      "  Take no pacifist in republican, unless conclusion is pacifist.\n";
  CHECK(unreadable_text(text) ==
        Lines{"line 4: explained by itself: conclusion asks ... conclusion: nothing in this circle is ever explained."});
}

TEST_CASE("what prevails: two rules each written to give way to the other conclude nothing, and that is told") {
  const Table table = Table("prevail_quaker.bty")
                          .changed("Take pacifist in quaker", "Take pacifist in quaker, unless republican")
                          .changed("Take no pacifist in republican", "Take no pacifist in republican, unless quaker");
  CHECK(table.only("choice-empty").region == Lines{"not quaker and not republican", "quaker and republican"});
}
