// compiler/walk.h: visiting every condition of a typed ruleset, and what conditions name.
#pragma once

#include "compiler/ruleset.h"

namespace betony {

// Calls `visit(const Test&)` for every test in the condition; terms are not entered.
template <class Visit>
void for_each_test(const Cond& condition, Visit&& visit) {
  if (condition.kind == Cond::Kind::test) visit(condition.test);
  for (const Cond& part : condition.parts) for_each_test(part, visit);
}

template <class Visit>
void for_each_term(const Cond& condition, Visit&& visit) {
  if (condition.kind == Cond::Kind::term) visit(condition.term);
  for (const Cond& part : condition.parts) for_each_term(part, visit);
}

// Whether a condition, or a term that it uses, asks for the verdict of some practice.
inline bool names(const Ruleset& ruleset, const Cond& condition, tree::Verdict verdict) {
  bool found = false;
  for_each_test(condition, [&](const Test& test) {
    found = found || (test.subject == Test::Subject::verdict && (test.verdicts >> static_cast<int>(verdict) & 1u));
  });
  for_each_term(condition, [&](Index term) { found = found || names(ruleset, ruleset.terms[term].condition, verdict); });
  return found;
}

// A claim that names `referred` speaks of those with a red flag too; one that names `outside`, of those whom the ruleset is not about.
inline bool names(const Ruleset& ruleset, const Claim& claim, tree::Verdict verdict) {
  return names(ruleset, claim.condition, verdict) || names(ruleset, claim.when, verdict);
}

// Calls `visit(const Cond&)` for every outermost condition of the ruleset: of terms, tallies, sentences,
// background, `Applies to` and claims, each once.
template <class Visit>
void for_each_condition(const Ruleset& ruleset, Visit&& visit) {
  for (const Term& term : ruleset.terms) visit(term.condition);
  for (const Tally& tally : ruleset.tallies)
    for (const Tally::Item& item : tally.items) visit(item.condition);
  for (const Sentence& sentence : ruleset.sentences) {
    visit(sentence.when);
    if (sentence.unless) visit(*sentence.unless);
  }
  for (const Background& fact : ruleset.backgrounds) visit(fact.condition);
  if (ruleset.applies) visit(*ruleset.applies);
  for (const Claim& claim : ruleset.claims) {
    visit(claim.condition);
    visit(claim.when);
  }
}

}  // namespace betony
