// compiler/scope.h: what of a ruleset one check has to look at.
//
// A practice is asked about by its own sentences, by what these name (terms, tallies, measures, choices and
// their sentences), and by those facts (background, `Applies to`, red flags) that share a finding with them,
// directly or around. Nothing else can change an answer about it: numbers are cut only at the thresholds
// within, and what was found out stays true as long as the scope says the same.
//
// Cost      O(size of what is in it · log).
// Tested by tests/unit/scope_test.cpp
#pragma once

#include "compiler/index_set.h"

namespace betony {

class BoundFindings;  // universe.h

// Indices into the lists of the ruleset; `applies` into the conditions that `Applies to` asks together.
struct Scope {
  IndexSet findings, measures, terms, tallies, leadings, choices, practices, sentences;
  IndexSet backgrounds, applies, claims;
  // Red flags stand among the sentences, and here.
  IndexSet red_flags;
};

// `Applies to` as a list of conditions that are all asked.
std::vector<const Cond*> parts_of_applies(const Ruleset& ruleset);

// The facts of a ruleset in groups that share no finding with one another.
class Facts {
 public:
  Facts(const Ruleset& ruleset, const BoundFindings& bound);
  const Ruleset& ruleset() const { return ruleset_; }
  std::size_t group_count() const { return groups_.size(); }
  const Scope& group(Index group) const { return groups_[group]; }
  Index group_of(Index finding) const { return group_of_[finding]; }  // no_index: no fact names it

 private:
  const Ruleset& ruleset_;  // borrowed; outlives this
  std::vector<Scope> groups_;
  std::vector<Index> group_of_;
};

// Puts a scope together. What is entered brings along all that it names, and a measure the findings that are bound with it.
class Scoping {
 public:
  explicit Scoping(const Ruleset& ruleset, const BoundFindings* bound = nullptr) : ruleset_(ruleset), bound_(bound) {}
  Scoping& condition(const Cond& condition);
  Scoping& term(Index term);
  Scoping& sentence(Index sentence);
  Scoping& practice(Index practice);
  Scoping& choice(Index choice);
  Scoping& claim(Index claim);
  Scoping& answers(const SampleProfile& sample);  // the findings that are answered there
  Scoping& every_fact();
  Scoping& facts(const Facts& facts);    // those that bear on what was entered; last
  Scoping& everything();
  const Scope& scope() const& { return scope_; }
  Scope scope() && { return std::move(scope_); }

 private:
  void test(const Test& test);
  void formula(const Formula& formula);
  void tally(Index tally);
  void measure(Index measure);

  const Ruleset& ruleset_;
  const BoundFindings* bound_;
  Scope scope_;
};

}  // namespace betony
