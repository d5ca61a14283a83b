#include "compiler/check/subjects.h"

#include <algorithm>

namespace betony {

using Kind = Subject::Kind;

namespace {

// Practices of claims that tell trends are looked at one by one, unless they are very many.
constexpr std::size_t most_trend_subjects = 20'000;

// How many are looked at together.
std::size_t practices_together(const Ruleset& ruleset) {
  std::size_t count = 0;
  for (const Claim& c : ruleset.claims) count += c.trend ? c.trend->practices.size() : 0;
  return count / most_trend_subjects + 1;
}

void add_trends(const Ruleset& ruleset, Index claim, std::size_t together, std::vector<Subject>& all) {
  const auto& practices = ruleset.claims[claim].trend->practices;
  for (std::size_t i = 0; i < practices.size(); i += together) {
    Subject subject{.kind = Kind::trend, .index = claim};
    subject.practices.assign(practices.begin() + static_cast<std::ptrdiff_t>(i),
                             practices.begin() + static_cast<std::ptrdiff_t>(std::min(i + together, practices.size())));
    all.push_back(std::move(subject));
  }
}

}  // namespace

std::vector<Subject> subjects_of(const Ruleset& ruleset) {
  std::vector<Subject> all;
  const auto each = [&](Kind kind, std::size_t count) {
    for (Index i = 0; i < count; ++i) all.push_back({kind, i});
  };
  if (!ruleset.red_flags.empty()) each(Kind::red_flags, 1);
  each(Kind::term, ruleset.terms.size());
  each(Kind::choice, ruleset.choices.size());
  each(Kind::practice, ruleset.practices.size());
  for (const CompanyPair& pair : company_pairs(ruleset)) all.push_back({Kind::company, pair.practice, 0, pair});
  if (!dated_practices(ruleset).empty()) each(Kind::order, 1);
  const std::size_t together = practices_together(ruleset);
  for (Index c = 0; c < ruleset.claims.size(); ++c) {
    if (!ruleset.claims[c].trend) all.push_back({Kind::claim, c});
    else add_trends(ruleset, c, together, all);
  }
  for (Index p = 0; p < ruleset.profiles.size(); ++p)
    for (Index e = 0; e < ruleset.profiles[p].expectations.size(); ++e) all.push_back({Kind::expectation, p, e});
  return all;
}

std::vector<Subject> last_subjects(const Ruleset& ruleset, const AllFacts& facts, std::vector<Disagreement> disagreements) {
  std::vector<Subject> all;
  for (auto& sentences : idle_sentences(ruleset, facts)) all.push_back({.kind = Kind::idle, .sentences = std::move(sentences)});
  for (auto& parts : idle_parts(ruleset, facts)) all.push_back({.kind = Kind::parts, .parts = std::move(parts)});
  for (auto& of_two : by_sources(std::move(disagreements))) all.push_back({.kind = Kind::sources, .disagreements = std::move(of_two)});
  return all;
}

namespace {

const Expectation& expectation_of(const Ruleset& ruleset, const Subject& subject) {
  return ruleset.profiles[subject.index].expectations[subject.expectation];
}

void enter_practice(Scoping& scoping, const Ruleset& ruleset, Index practice) {
  scoping.practice(practice);
  // What it does not say itself may be named by `despite`, and so be marked.
  for (Index s : ruleset.practices[practice].sentences)
    for (Index ban : ruleset.sentences[s].despite) scoping.sentence(ban);
}

// A sentence with those that it stands among, if it speaks of one thing only.
void enter_among(Scoping& scoping, const Ruleset& ruleset, Index sentence) {
  const Sentence& s = ruleset.sentences[sentence];
  scoping.sentence(sentence);
  if (s.practices.size() == 1) enter_practice(scoping, ruleset, s.practices[0]);
  if (s.choice != no_index) scoping.choice(s.choice);
}

bool speaks_of_one_practice(const Sentence& sentence) { return sentence.practices.size() == 1 && sentence.choice == no_index; }

}  // namespace

std::optional<Index> practice_of_scope(const Ruleset& ruleset, const Subject& subject) {
  if (subject.kind == Kind::practice) return subject.index;
  const std::vector<Index> sentences = subject.kind == Kind::parts ? std::vector<Index>{subject.parts.sentence} : subject.sentences;
  std::optional<Index> practice;
  for (Index s : sentences) {
    const Sentence& sentence = ruleset.sentences[s];
    if (!speaks_of_one_practice(sentence) || (practice && *practice != sentence.practices[0])) return std::nullopt;
    practice = sentence.practices[0];
  }
  return practice;
}

Scope scope_of(const Common& common, const Subject& subject) {
  const Ruleset& ruleset = common.ruleset;
  Scoping scoping(ruleset, &common.bound);
  if (const auto practice = practice_of_scope(ruleset, subject)) {
    enter_practice(scoping, ruleset, *practice);
    return std::move(scoping.facts(common.facts)).scope();
  }
  switch (subject.kind) {
    case Kind::practice: break;  // above
    case Kind::red_flags: scoping.every_fact(); break;
    case Kind::term: scoping.term(subject.index); break;
    case Kind::choice:
      scoping.choice(subject.index);
      for (Index user : common.users_of[subject.index]) enter_practice(scoping, ruleset, user);
      break;
    case Kind::company:
      enter_practice(scoping, ruleset, subject.pair.practice);
      enter_practice(scoping, ruleset, subject.pair.other);
      break;
    case Kind::order:
      for (Index practice : dated_practices(ruleset)) enter_practice(scoping, ruleset, practice);
      break;
    case Kind::claim: scoping.claim(subject.index).every_fact(); break;
    case Kind::trend:
      for (Index practice : subject.practices) enter_practice(scoping, ruleset, practice);
      scoping.claim(subject.index).every_fact();
      break;
    case Kind::expectation: {
      const Expectation& expected = expectation_of(ruleset, subject);
      if (expected.practice != no_index) enter_practice(scoping, ruleset, expected.practice);
      if (expected.choice != no_index) scoping.choice(expected.choice);
      scoping.answers(ruleset.profiles[subject.index]).every_fact();
      break;
    }
    case Kind::idle:
      for (Index s : subject.sentences) scoping.sentence(s);
      if (const auto& practices = ruleset.sentences[subject.sentences[0]].practices; practices.size() == 1) enter_practice(scoping, ruleset, practices[0]);
      break;
    case Kind::parts: enter_among(scoping, ruleset, subject.parts.sentence); break;
    case Kind::sources:
      if (!put_together(subject.disagreements)) break;
      for (const Disagreement& there : subject.disagreements) enter_practice(scoping, ruleset, there.practice);
      break;
    case Kind::book: break;
  }
  scoping.facts(common.facts);
  return std::move(scoping).scope();
}

std::string name_of(const Ruleset& ruleset, const Subject& subject) {
  switch (subject.kind) {
    case Kind::red_flags: return "red flags";
    case Kind::term: return "term " + ruleset.terms[subject.index].name;
    case Kind::choice: return ruleset.choices[subject.index].name;
    case Kind::practice: return ruleset.practices[subject.index].name;
    case Kind::company: return "company of " + ruleset.practices[subject.pair.practice].name;
    case Kind::order: return "order of the day";
    case Kind::claim:
    case Kind::trend: return "claim " + ruleset.claims[subject.index].title;
    case Kind::expectation: return "profile " + ruleset.profiles[subject.index].title;
    case Kind::idle: return "which sentences change nothing";
    case Kind::parts: return "which parts of sentences change nothing";
    case Kind::sources: return "which sources disagree";
    case Kind::book: break;
  }
  return "the ruleset";
}

namespace {

void look_at_practice(Study& study, Index practice, SentenceFacts& facts) {
  const Practice& named = study.ruleset.practices[practice];
  Space space(study.meaning, study.people, asked_by(study.meaning, practice, study.all_readings), study.limit());
  PracticeStudy checked{practice, space, {}};
  for (Reading reading : study.all_readings) checked.voices.emplace(reading.school, voices(space, practice, reading));
  if (space.has_undecided_measure()) study.not_settled(named.name);
  std::vector<Index> first_here;  // a group's sentence is looked at with the first practice it speaks of
  for (Index s : named.sentences)
    if (study.ruleset.sentences[s].practices[0] == practice) first_here.push_back(s);
  check_never_applies(study, space, first_here, facts);
  check_contradiction(study, checked, facts);
  check_silence(study, checked);
  check_dose(study, checked, facts);
  note_what_matters(study, checked, facts);
  note_disagreements(study, checked);
  note_parts(study, checked, facts);
}

void run_checks(Study& study, const Subject& subject) {
  SentenceFacts& facts = study.facts;
  switch (subject.kind) {
    case Kind::red_flags: return check_red_flags(study, facts);
    case Kind::term: return check_parts_of_term(study, subject.index);
    case Kind::choice: return check_choice(study, subject.index, facts);
    case Kind::practice: return look_at_practice(study, subject.index, facts);
    case Kind::company: return check_company(study, subject.pair);
    case Kind::order: return check_order(study);
    case Kind::claim: return check_claim(study, subject.index);
    case Kind::trend:
      for (Index practice : subject.practices) check_trend(study, subject.index, practice);
      return;
    case Kind::expectation:
      return check_expectation(study, study.ruleset.profiles[subject.index], expectation_of(study.ruleset, subject));
    case Kind::idle: return check_idle(study, subject.sentences);
    case Kind::parts: return check_parts(study, subject.parts);
    case Kind::sources: return check_sources(study, subject.disagreements);
    case Kind::book: return check_unused(study);
  }
}

void not_settled(const Ruleset& ruleset, const Subject& subject, Found& found, SentenceFacts& facts) {
  const std::vector<Index>* sentences = subject.kind == Kind::practice    ? &ruleset.practices[subject.index].sentences
                                        : subject.kind == Kind::choice    ? &ruleset.choices[subject.index].sentences
                                        : subject.kind == Kind::red_flags ? &ruleset.red_flags
                                                                          : nullptr;
  if (sentences)
    for (Index s : *sentences) facts[s].looked_at = false;
  const std::string name = name_of(ruleset, subject);
  if (std::find(found.not_settled.begin(), found.not_settled.end(), name) == found.not_settled.end()) found.not_settled.push_back(name);
}

void put_in(Found& found, SentenceFacts facts) {
  found.facts.reserve(facts.size());
  for (auto& [sentence, fact] : facts) found.facts.emplace_back(sentence, std::move(fact));
}

}  // namespace

Found look_at(const Common& common, const Subject& subject, Scope scope, Account& account) {
  std::optional<Study> study;
  Found found;
  bool settled = true;
  try {
    account.spend(10 * (scope.sentences.size() + scope.findings.size()));
    study.emplace(common, std::move(scope), account);
    run_checks(*study, subject);
  } catch (const BudgetMet&) {
    settled = false;
  }
  SentenceFacts facts;
  if (study) found = std::move(study->found), facts = std::move(study->facts);
  if (!settled) not_settled(common.ruleset, subject, found, facts);
  put_in(found, std::move(facts));
  return found;
}

Found not_looked_at(const Ruleset& ruleset, const Subject& subject) {
  Found found;
  SentenceFacts facts;
  not_settled(ruleset, subject, found, facts);
  put_in(found, std::move(facts));
  return found;
}

}  // namespace betony
