#include "compiler/scope.h"

#include <algorithm>
#include <map>

#include "compiler/joined.h"
#include "compiler/universe.h"
#include "compiler/walk.h"

namespace betony {

// ---------------------------------------------------------------- what is named

Scoping& Scoping::condition(const Cond& condition) {
  for_each_test(condition, [this](const Test& t) { test(t); });
  for_each_term(condition, [this](Index t) { term(t); });
  return *this;
}

void Scoping::test(const Test& test) {
  switch (test.subject) {
    case Test::Subject::finding: scope_.findings.insert(test.index); return;
    case Test::Subject::measure: measure(test.index); return;
    case Test::Subject::tally: tally(test.index); return;
    case Test::Subject::choice: choice(test.index); return;
    case Test::Subject::verdict: practice(test.index); return;
    case Test::Subject::leading:
      if (scope_.leadings.insert(test.index).second)
        for (Index t : ruleset_.leadings[test.index].tallies) tally(t);
  }
}

Scoping& Scoping::term(Index term) {
  if (scope_.terms.insert(term).second) condition(ruleset_.terms[term].condition);
  return *this;
}

void Scoping::tally(Index tally) {
  if (!scope_.tallies.insert(tally).second) return;
  for (const Tally::Item& item : ruleset_.tallies[tally].items) condition(item.condition);
}

void Scoping::measure(Index measure) {
  if (!scope_.measures.insert(measure).second) return;
  formula(ruleset_.measures[measure].formula);
  if (const auto* together = bound_ ? bound_->of(measure) : nullptr) scope_.findings.insert(together->findings.begin(), together->findings.end());
}

void Scoping::formula(const Formula& f) {
  if (f.kind == Formula::Kind::finding) scope_.findings.insert(f.index);
  if (f.kind == Formula::Kind::measure) measure(f.index);
  if (f.kind == Formula::Kind::tally) tally(f.index);
  for (const Formula& part : f.parts) formula(part);
}

Scoping& Scoping::sentence(Index sentence) {
  if (!scope_.sentences.insert(sentence).second) return *this;
  const Sentence& s = ruleset_.sentences[sentence];
  condition(s.when);
  if (s.unless) condition(*s.unless);
  return *this;
}

Scoping& Scoping::practice(Index practice) {
  if (scope_.practices.insert(practice).second)
    for (Index s : ruleset_.practices[practice].sentences) sentence(s);
  return *this;
}

Scoping& Scoping::choice(Index choice) {
  if (scope_.choices.insert(choice).second)
    for (Index s : ruleset_.choices[choice].sentences) sentence(s);
  return *this;
}

Scoping& Scoping::claim(Index claim) {
  scope_.claims.insert(claim);
  return condition(ruleset_.claims[claim].condition).condition(ruleset_.claims[claim].when);
}

Scoping& Scoping::answers(const SampleProfile& sample) {
  for (const SampleProfile::Answer& a : sample.answers) scope_.findings.insert(a.finding);
  for (Index f = 0; sample.rest_as_usual && f < ruleset_.findings.size(); ++f)
    if (ruleset_.findings[f].usual) scope_.findings.insert(f);
  return *this;
}

// ---------------------------------------------------------------- facts

std::vector<const Cond*> parts_of_applies(const Ruleset& ruleset) {
  std::vector<const Cond*> parts, left;
  if (ruleset.applies) left.push_back(&*ruleset.applies);
  while (!left.empty()) {
    const Cond* next = left.back();
    left.pop_back();
    if (next->kind != Cond::Kind::all) parts.push_back(next);
    else
      for (auto part = next->parts.rbegin(); part != next->parts.rend(); ++part) left.push_back(&*part);
  }
  return parts;
}

Scoping& Scoping::every_fact() {
  for (Index b = 0; b < ruleset_.backgrounds.size(); ++b) {
    scope_.backgrounds.insert(b);
    condition(ruleset_.backgrounds[b].condition);
  }
  const std::vector<const Cond*> parts = parts_of_applies(ruleset_);
  for (Index a = 0; a < parts.size(); ++a) {
    scope_.applies.insert(a);
    condition(*parts[a]);
  }
  for (Index s : ruleset_.red_flags) {
    scope_.red_flags.insert(s);
    sentence(s);
  }
  return *this;
}

namespace {

void add(Scope& to, const Scope& from) {
  for (auto list : {&Scope::findings, &Scope::measures, &Scope::terms, &Scope::tallies, &Scope::leadings, &Scope::choices, &Scope::practices,
                    &Scope::sentences, &Scope::backgrounds, &Scope::applies, &Scope::claims, &Scope::red_flags})
    (to.*list).insert((from.*list).begin(), (from.*list).end());
}

}  // namespace

Facts::Facts(const Ruleset& ruleset, const BoundFindings& bound) : ruleset_(ruleset), group_of_(ruleset.findings.size(), no_index) {
  std::vector<Scope> facts;
  const auto enter = [&](IndexSet Scope::*list, Index index, const Scoping& scoping) {
    facts.push_back(scoping.scope());
    (facts.back().*list).insert(index);
  };
  for (Index b = 0; b < ruleset.backgrounds.size(); ++b)
    enter(&Scope::backgrounds, b, Scoping(ruleset, &bound).condition(ruleset.backgrounds[b].condition));
  const std::vector<const Cond*> parts = parts_of_applies(ruleset);
  for (Index a = 0; a < parts.size(); ++a) enter(&Scope::applies, a, Scoping(ruleset, &bound).condition(*parts[a]));
  for (Index s : ruleset.red_flags) enter(&Scope::red_flags, s, Scoping(ruleset, &bound).sentence(s));

  Joined joined(ruleset.findings.size());
  for (const Scope& fact : facts)
    for (Index f : fact.findings) joined.join(*fact.findings.begin(), f);
  std::map<Index, Index> numbered;  // root -> group; a fact that names no finding is one by itself
  for (const Scope& fact : facts) {
    const Index root = fact.findings.empty() ? no_index : joined.root(*fact.findings.begin());
    const auto [at, is_new] = numbered.try_emplace(root, static_cast<Index>(groups_.size()));
    if (is_new) groups_.emplace_back();
    add(groups_[at->second], fact);
    for (Index f : fact.findings) group_of_[f] = at->second;
  }
}

Scoping& Scoping::facts(const Facts& facts) {
  IndexSet groups;
  for (Index f : scope_.findings)
    if (const Index group = facts.group_of(f); group != no_index) groups.insert(group);
  for (Index group : groups) add(scope_, facts.group(group));
  return *this;
}

Scoping& Scoping::everything() {
  for (Index f = 0; f < ruleset_.findings.size(); ++f) scope_.findings.insert(f);
  for (Index t = 0; t < ruleset_.terms.size(); ++t) term(t);
  for (Index t = 0; t < ruleset_.tallies.size(); ++t) tally(t);
  for (Index l = 0; l < ruleset_.leadings.size(); ++l) scope_.leadings.insert(l);
  for (Index p = 0; p < ruleset_.practices.size(); ++p) practice(p);
  for (Index c = 0; c < ruleset_.choices.size(); ++c) choice(c);
  for (Index c = 0; c < ruleset_.claims.size(); ++c) claim(c);
  return every_fact();
}

}  // namespace betony
