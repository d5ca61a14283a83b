#include "compiler/trial/property.h"

#include <algorithm>
#include <set>

#include "compiler/check/checks.h"
#include "compiler/dose.h"
#include "compiler/walk.h"

namespace betony::trial {
namespace {

using Kind = Property::Kind;
using SentenceKind = Sentence::Kind;
using tree::Verdict;

constexpr std::size_t most_loops = 200, longest_loop = 8;
constexpr std::size_t most_pairs = 400;   // of Dose sentences of one practice

std::vector<Reading> readings_of(const Ruleset& ruleset, bool with_whole) {
  std::vector<Reading> out;
  if (with_whole || ruleset.schools.empty()) out.push_back({});
  for (Index school = 0; school < ruleset.schools.size(); ++school) out.push_back({school});
  return out;
}

bool heard(const Ruleset& ruleset, Index sentence, Reading reading) { return in_reading(ruleset, ruleset.sentences[sentence], reading); }

// ---------------------------------------------------------------- who is looked at

Form looked_at(Meaning& meaning, Reading reading) {
  return meaning.conditions().all({meaning.applies(), meaning.conditions().negation(meaning.refers(reading))});
}

Form domain(Meaning& meaning, const Claim& claim, Reading reading) {
  Conditions& conditions = meaning.conditions();
  const Form within = names(meaning.ruleset(), claim, Verdict::referred) ? meaning.applies() : looked_at(meaning, reading);
  if (!names(meaning.ruleset(), claim, Verdict::outside)) return within;
  return conditions.any({within, conditions.negation(meaning.applies())});
}

bool is_in_domain(const Ruleset& ruleset, const Claim& claim, const Weighing& weighing) {
  if (weighing.outside) return names(ruleset, claim, Verdict::outside);
  return weighing.refers.empty() || names(ruleset, claim, Verdict::referred);
}

// ---------------------------------------------------------------- those there are

void add_claims(const Ruleset& ruleset, std::vector<Property>& out) {
  for (Index c = 0; c < ruleset.claims.size(); ++c)
    for (Reading reading : readings_of(ruleset, true))
      out.push_back({ruleset.claims[c].trend ? Kind::trend : Kind::claim, c, no_index, reading, {}, {}, ruleset.claims[c].title});
}

void add_expectations(const Ruleset& ruleset, std::vector<Property>& out) {
  for (Index p = 0; p < ruleset.profiles.size(); ++p)
    for (Index e = 0; e < ruleset.profiles[p].expectations.size(); ++e)
      out.push_back({Kind::expectation, p, e, {}, {}, {}, ruleset.profiles[p].title});
}

bool says_an_amount(const DoseSentences& said) {
  return std::any_of(said.parts.begin(), said.parts.end(), [](const DosePart& part) { return part.what == Dose::Part::amount; });
}

bool can_clash(const Ruleset& ruleset, const DoseSentences& said) {
  for (const DosePart& part : said.parts)
    for (const auto* list : {&part.conditional, &part.plain})
      for (std::size_t i = 0; i < list->size() && i < most_pairs; ++i)
        for (std::size_t j = i + 1; j < list->size() && j < most_pairs; ++j)
          if (empty(common(betony::said(ruleset, (*list)[i], part.what), betony::said(ruleset, (*list)[j], part.what)))) return true;
  return false;
}

void add_doses(const Ruleset& ruleset, std::vector<Property>& out) {
  for (Index p = 0; p < ruleset.practices.size(); ++p)
    for (Reading reading : readings_of(ruleset, false)) {
      const DoseSentences said = dose_sentences(ruleset, p, reading);
      if (can_clash(ruleset, said)) out.push_back({Kind::dose_clash, p, no_index, reading, {}, {}, ruleset.practices[p].name});
      if (says_an_amount(said)) out.push_back({Kind::dose_missing, p, no_index, reading, {}, {}, ruleset.practices[p].name});
    }
}

void add_borrowed(const Ruleset& ruleset, std::vector<Property>& out) {
  for (Index p = 0; p < ruleset.practices.size(); ++p)
    for (Reading reading : readings_of(ruleset, false)) {
      std::set<Index> bans;   // that something which only allows can lift
      for (Index s : ruleset.practices[p].sentences)
        if (ruleset.sentences[s].kind == SentenceKind::allowed && heard(ruleset, s, reading))
          bans.insert(ruleset.sentences[s].despite.begin(), ruleset.sentences[s].despite.end());
      for (Index ban : ruleset.practices[p].sentences)
        if (bans.count(ban) && ruleset.sentences[ban].kind == SentenceKind::contraindicated && heard(ruleset, ban, reading))
          out.push_back({Kind::borrowed, p, ban, reading, {ban}, {}, ruleset.practices[p].name});
    }
}

void add_company(const Ruleset& ruleset, std::vector<Property>& out) {
  for (const CompanyPair& pair : company_pairs(ruleset))
    for (Reading reading : readings_of(ruleset, false))
      if (heard(ruleset, pair.sentence, reading))
        out.push_back({Kind::company, pair.practice, pair.other, reading, {pair.sentence}, {}, ruleset.practices[pair.practice].name});
}

// Circles of Follows and Precedes, each from its least practice on.
class Loops {
 public:
  explicit Loops(const Ruleset& ruleset) : ruleset_(ruleset), after_(ruleset.practices.size()) {
    for (Index s = 0; s < ruleset.sentences.size(); ++s) {
      const Sentence& sentence = ruleset.sentences[s];
      if (sentence.kind != SentenceKind::follows && sentence.kind != SentenceKind::precedes) continue;
      for (Index practice : sentence.practices)
        for (Index other : sentence.others) {
          if (practice == other) continue;
          if (sentence.kind == SentenceKind::precedes) after_[practice].push_back({other, s});
          else after_[other].push_back({practice, s});
        }
    }
  }

  void each(const std::function<void(const std::vector<Index>& practices, const std::vector<Index>& sentences)>& take) {
    for (first_ = 0; first_ < after_.size() && found_ < most_loops; ++first_) go_on(first_, take);
  }

 private:
  template <class Take>
  void go_on(Index at, const Take& take) {
    if (++steps_ > 100'000) return;
    way_.push_back(at);
    for (const auto& [next, sentence] : after_[at]) {
      if (found_ >= most_loops) break;
      joined_.push_back(sentence);
      if (next == first_) ++found_, take(way_, joined_);
      else if (next > first_ && way_.size() < longest_loop && std::find(way_.begin(), way_.end(), next) == way_.end()) go_on(next, take);
      joined_.pop_back();
    }
    way_.pop_back();
  }

  const Ruleset& ruleset_;
  std::vector<std::vector<std::pair<Index, Index>>> after_;
  std::vector<Index> way_, joined_;
  Index first_ = 0;
  std::size_t found_ = 0, steps_ = 0;
};

void add_order(const Ruleset& ruleset, std::vector<Property>& out) {
  Loops(ruleset).each([&](const std::vector<Index>& practices, const std::vector<Index>& sentences) {
    for (Reading reading : readings_of(ruleset, false))
      if (std::all_of(sentences.begin(), sentences.end(), [&](Index s) { return heard(ruleset, s, reading); }))
        out.push_back({Kind::order, practices[0], no_index, reading, sentences, practices, ruleset.practices[practices[0]].name});
  });
}

// ---------------------------------------------------------------- doses

bool clashes(const SettledDose& dose) {
  return std::any_of(dose.amounts.begin(), dose.amounts.end(), [](const auto& part) { return part.clash; }) ||
         (dose.often && dose.often->clash) || (dose.length && dose.length->clash);
}

Form any_fires(Meaning& meaning, const std::vector<Index>& sentences, Reading reading) {
  std::vector<Form> any;
  for (Index s : sentences) any.push_back(meaning.fires(s, reading));
  return meaning.conditions().any(std::move(any));
}

Form dose_clash(Meaning& meaning, Index practice, Reading reading) {
  Conditions& conditions = meaning.conditions();
  std::vector<Form> any;
  const Ruleset& ruleset = meaning.ruleset();
  for (const DosePart& part : dose_sentences(ruleset, practice, reading).parts) {
    const auto pairs = [&](const std::vector<Index>& list, Form where, bool fire) {
      for (std::size_t i = 0; i < list.size() && i < most_pairs; ++i)
        for (std::size_t j = i + 1; j < list.size() && j < most_pairs; ++j)
          if (empty(common(said(ruleset, list[i], part.what), said(ruleset, list[j], part.what))))
            any.push_back(fire ? conditions.all({where, meaning.fires(list[i], reading), meaning.fires(list[j], reading)}) : where);
    };
    pairs(part.conditional, Conditions::always, true);
    pairs(part.plain, conditions.negation(any_fires(meaning, part.conditional, reading)), false);
  }
  const Form taken = conditions.any({meaning.verdict(practice, Verdict::advised, reading), meaning.verdict(practice, Verdict::allowed, reading)});
  return conditions.all({conditions.any(std::move(any)), taken, looked_at(meaning, reading)});
}

Form dose_missing(Meaning& meaning, Index practice, Reading reading) {
  Conditions& conditions = meaning.conditions();
  const DoseSentences said = dose_sentences(meaning.ruleset(), practice, reading);
  std::vector<Form> any;
  const auto add = [&](const DosePart& part) { any.push_back(part.plain.empty() ? any_fires(meaning, part.conditional, reading) : Conditions::always); };
  for (const DosePart& part : said.parts)
    if (part.what == Dose::Part::amount) add(part);
  add(said.words);
  return conditions.all({conditions.negation(conditions.any(std::move(any))), meaning.verdict(practice, Verdict::advised, reading),
                         looked_at(meaning, reading)});
}

// ---------------------------------------------------------------- advised though contraindicated

bool lifts(const Ruleset& ruleset, Index sentence, Index ban) {
  const auto& despite = ruleset.sentences[sentence].despite;
  return std::find(despite.begin(), despite.end(), ban) != despite.end();
}

Form borrowed(Meaning& meaning, const Property& p) {
  Conditions& conditions = meaning.conditions();
  std::vector<Form> all{meaning.verdict(p.index, Verdict::advised, p.reading), meaning.fires(p.further, p.reading), looked_at(meaning, p.reading)};
  std::vector<Form> advises;
  for (Index s : meaning.sentences(p.index, SentenceKind::indicated, p.reading)) {
    if (lifts(meaning.ruleset(), s, p.further)) all.push_back(conditions.negation(meaning.fires(s, p.reading)));
    else advises.push_back(meaning.fires(s, p.reading));
  }
  all.push_back(conditions.any(std::move(advises)));
  return conditions.all(std::move(all));
}

bool is_borrowed(const Ruleset& ruleset, const Property& p, const Profile& person, const Weighing& weighing) {
  const PracticeVerdict& verdict = weighing.practices[p.index];
  if (verdict.verdict != Verdict::advised || !fires(ruleset, ruleset.sentences[p.further], person, p.reading)) return false;
  bool advised = false;
  for (Index s : verdict.because) {
    if (ruleset.sentences[s].kind != SentenceKind::indicated) continue;
    if (lifts(ruleset, s, p.further)) return false;
    advised = true;
  }
  return advised;
}

// ---------------------------------------------------------------- company and order

std::vector<Verdict> broken_by(SentenceKind kind) {
  return {kind == SentenceKind::never_with ? Verdict::advised : Verdict::withheld};
}

Form company(Meaning& meaning, const Property& p) {
  const SentenceKind kind = meaning.ruleset().sentences[p.sentences[0]].kind;
  std::vector<Form> other;
  for (Verdict verdict : broken_by(kind)) other.push_back(meaning.verdict(p.further, verdict, p.reading));
  return meaning.conditions().all({meaning.fires(p.sentences[0], p.reading), meaning.verdict(p.index, Verdict::advised, p.reading),
                                   meaning.conditions().any(std::move(other)), looked_at(meaning, p.reading)});
}

Form order(Meaning& meaning, const Property& p) {
  std::vector<Form> all{looked_at(meaning, p.reading)};
  for (Index practice : p.practices) all.push_back(meaning.verdict(practice, Verdict::advised, p.reading));
  for (Index s : p.sentences) all.push_back(meaning.fires(s, p.reading));
  return meaning.conditions().all(std::move(all));
}

bool is_met(const Ruleset& ruleset, const Expectation& e, const Weighing& weighing) {
  (void)ruleset;
  if (e.choice != no_index) return weighing.choices[e.choice].fits == e.values;
  const PracticeVerdict& told = weighing.practices[e.practice];
  if (e.verdict == Verdict::unanswered) return true;   // one person alone has a verdict
  return (!e.verdict || told.verdict == *e.verdict) && (!e.with_care || told.with_care);
}

}  // namespace

std::vector<Property> properties_of(const Ruleset& ruleset) {
  std::vector<Property> out;
  add_claims(ruleset, out);
  add_expectations(ruleset, out);
  add_doses(ruleset, out);
  add_borrowed(ruleset, out);
  add_company(ruleset, out);
  add_order(ruleset, out);
  return out;
}

const char* word_of(Kind kind) {
  switch (kind) {
    case Kind::claim: return "claim";
    case Kind::trend: return "trend";
    case Kind::expectation: return "expectation";
    case Kind::dose_clash: return "dose-clash";
    case Kind::dose_missing: return "dose-missing";
    case Kind::borrowed: return "advised-though-contraindicated";
    case Kind::company: return "company";
    case Kind::order: return "order";
  }
  return "";
}

std::optional<Form> broken(Meaning& meaning, const Property& p) {
  Conditions& conditions = meaning.conditions();
  switch (p.kind) {
    case Kind::claim: {
      const Claim& claim = meaning.ruleset().claims[p.index];
      const Form held = meaning.condition(claim.condition, p.reading);
      return conditions.all({meaning.condition(claim.when, p.reading), claim.never ? held : conditions.negation(held), domain(meaning, claim, p.reading)});
    }
    case Kind::dose_clash: return dose_clash(meaning, p.index, p.reading);
    case Kind::dose_missing: return dose_missing(meaning, p.index, p.reading);
    case Kind::borrowed: return borrowed(meaning, p);
    case Kind::company: return company(meaning, p);
    case Kind::order: return order(meaning, p);
    case Kind::trend: case Kind::expectation: break;
  }
  return std::nullopt;
}

Form told_an_amount(Meaning& meaning, const Property& p) {
  Conditions& conditions = meaning.conditions();
  std::vector<Form> any;
  for (const DosePart& part : dose_sentences(meaning.ruleset(), p.index, p.reading).parts)
    if (part.what == Dose::Part::amount)
      any.push_back(part.plain.empty() ? any_fires(meaning, part.conditional, p.reading) : Conditions::always);
  const Form taken = conditions.any({meaning.verdict(p.index, Verdict::advised, p.reading), meaning.verdict(p.index, Verdict::allowed, p.reading)});
  return conditions.all({conditions.any(std::move(any)), taken, looked_at(meaning, p.reading)});
}

bool is_broken(const Ruleset& ruleset, const Property& p, const Profile& person) {
  if (broken_background(ruleset, person)) return false;
  const Weighing weighing = evaluate(ruleset, person, p.reading);
  if (p.kind == Kind::claim) {
    const Claim& claim = ruleset.claims[p.index];
    return is_in_domain(ruleset, claim, weighing) && holds(ruleset, claim.when, person, &weighing, p.reading) &&
           holds(ruleset, claim.condition, person, &weighing, p.reading) == claim.never;
  }
  if (p.kind == Kind::expectation) return !is_met(ruleset, ruleset.profiles[p.index].expectations[p.further], weighing);
  if (p.kind == Kind::trend || weighing.outside || !weighing.refers.empty()) return false;
  const auto advised = [&](Index practice) { return weighing.practices[practice].verdict == Verdict::advised; };
  switch (p.kind) {
    case Kind::dose_clash: return may_be_done(weighing.practices[p.index].verdict) && clashes(settle_dose(ruleset, p.index, person, p.reading));
    case Kind::dose_missing: {
      if (!advised(p.index)) return false;
      const SettledDose dose = settle_dose(ruleset, p.index, person, p.reading);
      return dose.amounts.empty() && dose.words.empty();
    }
    case Kind::borrowed: return is_borrowed(ruleset, p, person, weighing);
    case Kind::company: {
      const Sentence& sentence = ruleset.sentences[p.sentences[0]];
      const auto wrong = broken_by(sentence.kind);
      return advised(p.index) && fires(ruleset, sentence, person, p.reading) &&
             std::find(wrong.begin(), wrong.end(), weighing.practices[p.further].verdict) != wrong.end();
    }
    case Kind::order:
      return std::all_of(p.practices.begin(), p.practices.end(), advised) &&
             std::all_of(p.sentences.begin(), p.sentences.end(), [&](Index s) { return fires(ruleset, ruleset.sentences[s], person, p.reading); });
    case Kind::claim: case Kind::trend: case Kind::expectation: break;
  }
  return false;
}

// ---------------------------------------------------------------- what exact checking says

namespace {

bool is_listed(const Report& report, const std::string& name) {
  return std::find(report.not_settled.begin(), report.not_settled.end(), name) != report.not_settled.end();
}

}  // namespace

bool is_told_by(const Ruleset& ruleset, const Property& p, const Problem& problem) {
  const bool of_reading = problem.school.empty() || (p.reading.school != no_index && problem.school == ruleset.schools[p.reading.school].name);
  if (problem.kind == "expectation-failed")
    return p.kind == Kind::expectation && problem.sentences[0].tree_sentence == ruleset.profiles[p.index].expectations[p.further].sentence;
  if (!of_reading) return false;
  switch (p.kind) {
    case Kind::claim: case Kind::trend: return problem.kind == "claim-refuted" && problem.sentences[0].tree_sentence == ruleset.claims[p.index].sentence;
    case Kind::dose_clash: return problem.kind == "dose-clash" && problem.practice == p.name;
    case Kind::dose_missing: return problem.kind == "dose-missing" && problem.practice == p.name;
    case Kind::company: return problem.kind == "broken-company" && problem.sentences[0].tree_sentence == ruleset.sentences[p.sentences[0]].sentence;
    case Kind::order: return problem.kind == "order-loop";
    case Kind::expectation: case Kind::borrowed: break;
  }
  return false;
}

namespace {

// The names under which a thing that is not settled is listed.
std::vector<std::string> listed_as(const Ruleset& ruleset, const Property& p) {
  switch (p.kind) {
    case Kind::claim: case Kind::trend: return {"claim " + p.name};
    case Kind::expectation: return {"profile " + p.name};
    case Kind::company: return {p.name, "company of " + p.name, ruleset.practices[p.further].name};
    case Kind::order: return {"order of the day"};
    case Kind::dose_clash: case Kind::dose_missing: case Kind::borrowed: break;
  }
  return {p.name};
}

}  // namespace

Settled settled(const Ruleset& ruleset, const Property& p, const Report& report) {
  for (const Problem& problem : report.problems)
    if (is_told_by(ruleset, p, problem)) return Settled::fails;
  // Where nobody is possible, that is told, and nothing else is looked at.
  for (const Problem& problem : report.problems)
    if (problem.nobody) return Settled::open;
  // The checks do not look at these.
  if (p.kind == Kind::borrowed) return Settled::open;
  for (const std::string& name : listed_as(ruleset, p))
    if (is_listed(report, name)) return Settled::open;
  return Settled::holds;
}

// ---------------------------------------------------------------- what is told of it

std::vector<Index> practices_of(const Ruleset& ruleset, const Property& p) {
  std::set<Index> practices;
  const auto add = [&](const Cond& condition) {
    for_each_test(condition, [&](const Test& test) {
      if (test.subject == Test::Subject::verdict) practices.insert(test.index);
    });
  };
  switch (p.kind) {
    case Kind::claim: add(ruleset.claims[p.index].condition); break;
    case Kind::trend: practices.insert(ruleset.claims[p.index].trend->practices.begin(), ruleset.claims[p.index].trend->practices.end()); break;
    case Kind::expectation:
      if (const Index practice = ruleset.profiles[p.index].expectations[p.further].practice; practice != no_index) practices.insert(practice);
      break;
    case Kind::company: return {p.index, p.further};
    case Kind::order: return p.practices;
    case Kind::dose_clash: case Kind::dose_missing: case Kind::borrowed: return {p.index};
  }
  return {practices.begin(), practices.end()};
}

std::vector<Index> reasons(const Ruleset& ruleset, const Property& p, const Profile& person) {
  std::vector<Index> out;
  const auto add = [&](Index s) {
    if (std::find(out.begin(), out.end(), s) == out.end()) out.push_back(s);
  };
  for (Index s : p.sentences) add(s);
  for (Index practice : practices_of(ruleset, p))
    for (Index s : evaluate_practice(ruleset, practice, person, p.reading).because) add(s);
  if (p.kind == Kind::borrowed)
    for (Index s : ruleset.practices[p.index].sentences)
      if (lifts(ruleset, s, p.further) && fires(ruleset, ruleset.sentences[s], person, p.reading)) add(s);
  const Index choice = p.kind == Kind::expectation ? ruleset.profiles[p.index].expectations[p.further].choice : no_index;
  if (choice != no_index)
    for (Index s : ruleset.choices[choice].sentences)
      if (fires(ruleset, ruleset.sentences[s], person, p.reading)) add(s);
  if (p.kind == Kind::dose_clash) {
    const SettledDose dose = settle_dose(ruleset, p.index, person, p.reading);
    const auto of = [&](const SettledDose::Part& part) {
      if (part.clash) for (Index s : part.from) add(s);
    };
    for (const auto& part : dose.amounts) of(part);
    if (dose.often) of(*dose.often);
    if (dose.length) of(*dose.length);
  }
  return out;
}

}  // namespace betony::trial
