// compiler/universe_internal.h: cutting single findings (universe.cpp) and findings bound by a measure: counted
// point by point (universe_bound.cpp), or as regions where the points are too many (measure_cells.cpp). Only these
// and the tests of their parts include it.
#pragma once

#include <algorithm>
#include <set>

#include "compiler/scope.h"
#include "compiler/universe.h"

namespace betony::cutting {

// A cut lies just before a number or just after it.
struct Cut {
  Cut(Rational number, bool is_after) : near(betony::near(number)), at(std::move(number)), after(is_after) {}
  double near;
  Rational at;
  bool after;
  friend bool operator<(const Cut& a, const Cut& b) {
    if (a.near != b.near) return a.near < b.near;
    const int order = cmp(a.at, b.at);
    return order < 0 || (order == 0 && a.after < b.after);
  }
};
using Cuts = std::set<Cut>;

// Every cut that some condition of the scope makes in a finding, a measure.
struct AllCuts {
  AllCuts(const Ruleset& ruleset, const Scope& scope);
  std::vector<Cuts> findings, measures;
  std::vector<bool> measure_asked;

 private:
  void add(const Cond& condition);
};

mpz_class floor_of(const Rational& x);
Dimension cut_finding(const Ruleset& ruleset, Index finding, const Cuts& cuts);
Extent numbers_extent(Interval interval, Rational share, const Finding* finding);

// The findings a formula needs: `valued` as numbers, `asked` only through a tally's conditions.
struct Inputs {
  std::set<Index> valued, asked;
  std::set<Index> all() const;
};

// Findings and measures that have to be looked at together.
struct Binding {
  std::vector<Index> measures;
  Inputs inputs;
  bool countable = true;  // every input is a finding, in steps where its number is used, and the points are few enough
};

std::vector<Binding> bindings_of(const Ruleset& ruleset, const AllCuts& cuts);  // of measures that are asked for
Inputs inputs_of(const Ruleset& ruleset, Index measure);
bool few_enough(const Ruleset& ruleset, const Binding& binding, const AllCuts& cuts);
Variable bound_variable(const Ruleset& ruleset, const Binding& binding, const AllCuts& cuts);

Dimension cut_measure(const Ruleset& ruleset, Index measure, const Cuts& cuts);
// Sets the variable's usual cell; its first dimensions are `findings`.
void choose_usual(Variable& variable, std::size_t findings);

// Whether a condition over findings only holds where each has the extent that `extent_of(finding)` gives.
template <class ExtentOf>
bool holds_in(const Ruleset& ruleset, const Cond& c, const ExtentOf& extent_of) {
  const auto held = [&](const Cond& part) { return holds_in(ruleset, part, extent_of); };
  switch (c.kind) {
    case Cond::Kind::always: return true;
    case Cond::Kind::term: return held(ruleset.terms[c.term].condition);
    case Cond::Kind::negation: return !held(c.parts[0]);
    case Cond::Kind::all: return std::all_of(c.parts.begin(), c.parts.end(), held);
    case Cond::Kind::any: return std::any_of(c.parts.begin(), c.parts.end(), held);
    case Cond::Kind::at_least: return std::count_if(c.parts.begin(), c.parts.end(), held) >= static_cast<long>(c.count);
    case Cond::Kind::test: break;
  }
  const Extent& extent = extent_of(c.test.index);
  if (extent.kind == Extent::Kind::never) return c.test.never;
  if (extent.kind == Extent::Kind::word) return std::binary_search(c.test.words.begin(), c.test.words.end(), extent.word);
  return std::any_of(c.test.intervals.begin(), c.test.intervals.end(), [&](const Interval& i) { return i.contains(extent.sample); });
}

template <class ExtentOf>
Rational tally_points(const Ruleset& ruleset, Index tally, const ExtentOf& extent_of) {
  Rational total = 0;
  for (const Tally::Item& item : ruleset.tallies[tally].items)
    if (holds_in(ruleset, item.condition, extent_of)) total += item.points;
  return total;
}

}  // namespace betony::cutting
