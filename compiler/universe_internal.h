// compiler/universe_internal.h: cutting single findings (universe.cpp) and findings bound by a measure
// (universe_bound.cpp). Only these two include it.
#pragma once

#include <set>

#include "compiler/scope.h"
#include "compiler/universe.h"

namespace betony::cutting {

// A cut lies just before a number or just after it.
struct Cut {
  Rational at;
  bool after = false;
  friend bool operator<(const Cut& a, const Cut& b) { return a.at < b.at || (a.at == b.at && a.after < b.after); }
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

}  // namespace betony::cutting
