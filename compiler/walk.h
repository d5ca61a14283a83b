// compiler/walk.h: visiting every condition of a typed ruleset.
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
