// tests/property/enumerate.h: every problem of a model, found by looking at every profile.
#pragma once

#include <set>
#include <utility>

#include "tests/property/verdicts.h"

namespace betony::referee {

enum class Weight { error, question, note };  // how much a problem matters

struct Expected {
  std::string kind, form;
  Weight severity = Weight::error;
  std::string practice, choice, school, finding;  // names, or empty
  std::set<Spot> sentences;                       // those it is about; of a swallowed indication: only that
  std::set<std::pair<int, int>> pairs;            // sentences; contradictions: indication, ban; choice clash: the lesser first
  Region region;                                  // profiles on which it shows; empty: none to show
  bool has_share = false;
  Fraction share;
  // swallowed: the bans of which a smallest set covers the region, each with its own region, and the size of that set
  std::vector<std::pair<int, Region>> covers;
  int cover_size = 0;
  std::multiset<std::string> marks;  // idle parts: their words (bare)
  std::string other;        // broken company: the other practice
  bool either_side = false;  // it may be told of the other practice as well
  int told_with = -1;  // crossings of one ban are told together: the ban
};

// Schools whose red flags differ look at different persons. What they say in the same words of the same share may
// pass for alike, or not: the language leaves it open.
enum class Sameness { of_persons, of_shares };

// All problems. With schools, what is alike in all readings stands once, with no school.
std::vector<Expected> problems(const Model&, const Universe&, const Judge&, Sameness sameness = Sameness::of_persons);

// A problem in words, for people who look into a difference.
std::string words(const Model&, const Expected&);

}  // namespace betony::referee
