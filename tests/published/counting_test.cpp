// Published check: the counting rule and why it is not enough. Montalbano 1962; Pollack, RAND RM-3669-PR, 1963; CODASYL
// 1982; ISO 5806:1984 (from memory); King, Comm. ACM 11(10) 1968; counts computed.
#include <catch2/catch.hpp>

#include "tests/published/table.h"

using namespace betony;
using namespace betony::published;
using Lines = std::vector<std::string>;

namespace {

// How many rules match in each of the eight combinations.
std::map<std::size_t, int> matches(const Table& table) {
  std::map<std::size_t, int> counts;
  for (const char* first : {"yes", "no"})
    for (const char* second : {"yes", "no"})
      for (const char* third : {"yes", "no"}) ++counts[table.firing("act", {{"first", first}, {"second", second}, {"third", third}})];
  return counts;
}

// Sum over the rules of 2^(dashes): of eight combinations, so many as each rule matches.
Rational sum_of_rules(const Table& table, const Lines& acts) {
  Rational sum = 0;
  for (const std::string& act : acts) sum += table.count("act is " + act, 8);
  return sum;
}

}  // namespace

TEST_CASE("counting: rules YY-, YN-, N-- count 2 + 2 + 4 = 8, and the table is complete and disjoint") {
  const Table table("counting_disjoint.bty");
  CHECK(table.told(8) == Lines{});
  CHECK(table.count("act is act 1", 8) == 2);
  CHECK(table.count("act is act 2", 8) == 2);
  CHECK(table.count("act is act 3", 8) == 4);
  CHECK(sum_of_rules(table, {"act 1", "act 2", "act 3"}) == 8);
  CHECK(matches(table) == std::map<std::size_t, int>{{1, 8}});
}

TEST_CASE("counting: rules Y-- and -Y- count 4 + 4 = 8, yet two combinations are matched twice and two never") {
  const Table table("counting_deceived.bty");
  CHECK(sum_of_rules(table, {"act 1", "act 2"}) == 8);
  CHECK(table.told(8) == Lines{"error choice-clash of act: 2 of 8", "question choice-empty of act: 2 of 8"});
  CHECK(table.only("choice-clash").region == Lines{"first and second"});
  CHECK(table.only("choice-empty").region == Lines{"not first and not second"});
  CHECK(matches(table) == std::map<std::size_t, int>{{0, 2}, {1, 4}, {2, 2}});
}

TEST_CASE("counting: a rule that is missing and impossible is not asked for, one that is possible is a gap at 40 to 60") {
  const Table table("counting_impossible.bty");
  // Of two conditions that cannot hold together the one makes the other's "not" say nothing, in both rules.
  CHECK(table.told(101) == Lines{"question choice-empty of act: 21 of 101", "question idle/part of act: 40 of 101", "question idle/part of act: 40 of 101"});
  const Problem gap = table.only("choice-empty");
  CHECK(gap.region == Lines{"x from 40 to 60"});
  CHECK(table.number(gap, "x") >= 40);
  CHECK(table.number(gap, "x") <= 60);
  CHECK(table.fits("act", {{"x", "50"}}) == "nothing");
}

TEST_CASE("counting: the impossible rule, if somebody writes it, never applies") {
  const Table table = Table("counting_impossible.bty").with("Choice other act is one of act 3, no act. Take act 3 in x over 60 and x under 40 [KI]. Otherwise no act.");
  CHECK(table.told(101) == Lines{"error never-applies of other act", "question choice-empty of act: 21 of 101", "question idle/part of act: 40 of 101",
                                 "question idle/part of act: 40 of 101"});
}

TEST_CASE("counting: rules Y- and -Y over 60 and over 40 contradict on every x over 60") {
  const Table table("counting_overlap.bty");
  CHECK(table.told(101) == Lines{"error choice-clash of act: 40 of 101"});
  const Problem clash = table.only("choice-clash");
  CHECK(table.number(clash, "x") > 60);
  CHECK(table.fits("act", {{"x", "70"}}) == "act 1, act 2");
  CHECK(table.fits("act", {{"x", "60"}}) == "act 2");
  CHECK(table.fits("act", {{"x", "40"}}) == "neither act");
  CHECK(table.count("act is act 1 and not act is act 2", 101) == 0);
}

TEST_CASE("counting: advised over 60 and withheld over 40 is swallowed; the other way round it is an exception") {
  const Table table("counting_practice.bty");
  CHECK(table.told(101) == Lines{"error contradiction/swallowed of act: 40 of 101"});
  CHECK(table.verdict("act", {{"x", "70"}}) == "withheld");
  const Table turned = table.changed("Indicated in x over 60", "Indicated in x over 40")
                           .changed("Contraindicated in x over 40 [KI 2]", "Contraindicated in x over 60 [KI 2]");
  CHECK(turned.told(101) == Lines{"note contradiction/exception of act: 40 of 101"});
}
