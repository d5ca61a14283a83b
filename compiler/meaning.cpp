#include "compiler/meaning.h"

#include <algorithm>

namespace betony {

using tree::Verdict;
using Kind = Sentence::Kind;

bool is_companion(const Ruleset& ruleset, Index sentence) {
  if (sentence == 0 || sentence >= ruleset.sentences.size()) return false;
  const Sentence &s = ruleset.sentences[sentence], &before = ruleset.sentences[sentence - 1];
  return s.kind == Kind::caution && s.text.empty() && s.place == before.place && s.practices == before.practices &&
         (before.kind == Kind::allowed || before.kind == Kind::indicated);
}

Meaning::Meaning(const Ruleset& ruleset, const Universe& universe) : ruleset_(ruleset), universe_(universe) {}

// ---------------------------------------------------------------- conditions

Form Meaning::condition(const Cond& c, Reading reading) {
  std::vector<Form> parts;
  for (const Cond& part : c.parts) parts.push_back(condition(part, reading));
  switch (c.kind) {
    case Cond::Kind::always: return Conditions::always;
    case Cond::Kind::test: return test(c.test, reading);
    case Cond::Kind::negation: return conditions_.negation(parts[0]);
    case Cond::Kind::all: return conditions_.all(std::move(parts));
    case Cond::Kind::any: return conditions_.any(std::move(parts));
    case Cond::Kind::at_least: return conditions_.at_least(c.count, std::move(parts));
    case Cond::Kind::term: break;
  }
  const std::pair key{c.term, reading.school};
  if (const auto known = terms_.find(key); known != terms_.end()) return known->second;
  const Form form = condition(ruleset_.terms[c.term].condition, reading);
  return terms_[key] = form;
}

namespace {

// A measure that only adds up tallies and numbers is as exact as a tally.
struct Sum {
  std::vector<std::pair<Form, Rational>> items;
  Rational constant = 0;

  void add(const Sum& other, const Rational& factor) {
    for (const auto& [form, points] : other.items) items.emplace_back(form, points * factor);
    constant += other.constant * factor;
  }
};

// Nothing where a finding is asked, or the formula is no sum.
std::optional<Sum> sum_of_tallies(Meaning& meaning, const Formula& formula, Reading reading) {
  const Ruleset& ruleset = meaning.ruleset();
  Sum sum;
  std::vector<Sum> parts;
  for (const Formula& part : formula.parts) {
    const auto read = sum_of_tallies(meaning, part, reading);
    if (!read) return std::nullopt;
    parts.push_back(*read);
  }
  switch (formula.kind) {
    case Formula::Kind::number: sum.constant = formula.number; return sum;
    case Formula::Kind::measure: return sum_of_tallies(meaning, ruleset.measures[formula.index].formula, reading);
    case Formula::Kind::tally:
      for (const Tally::Item& item : ruleset.tallies[formula.index].items)
        sum.items.emplace_back(meaning.condition(item.condition, reading), item.points);
      return sum;
    case Formula::Kind::negate: sum.add(parts[0], -1); return sum;
    case Formula::Kind::add: sum.add(parts[0], 1), sum.add(parts[1], 1); return sum;
    case Formula::Kind::subtract: sum.add(parts[0], 1), sum.add(parts[1], -1); return sum;
    case Formula::Kind::multiply:
      if (parts[0].items.empty()) std::swap(parts[0], parts[1]);
      if (!parts[1].items.empty()) return std::nullopt;
      sum.add(parts[0], parts[1].constant);
      return sum;
    case Formula::Kind::divide:
      if (!parts[1].items.empty() || parts[1].constant == 0) return std::nullopt;
      sum.add(parts[0], 1 / parts[1].constant);
      return sum;
    case Formula::Kind::finding: case Formula::Kind::least: case Formula::Kind::most: break;
  }
  return std::nullopt;
}

std::vector<Interval> moved(std::vector<Interval> intervals, const Rational& by) {
  for (Interval& i : intervals) {
    if (i.low) *i.low += by;
    if (i.high) *i.high += by;
  }
  return intervals;
}

}  // namespace

Form Meaning::test(const Test& t, Reading reading) {
  std::vector<Form> any;
  switch (t.subject) {
    case Test::Subject::measure:
      if (const auto sum = sum_of_tallies(*this, ruleset_.measures[t.index].formula, reading))
        return conditions_.score(sum->items, moved(t.intervals, -sum->constant));
      [[fallthrough]];
    case Test::Subject::finding:
      return conditions_.literal((t.subject == Test::Subject::measure ? universe_.of_measure : universe_.of_finding)[t.index],
                                 universe_.cells_where(t));
    case Test::Subject::tally: return conditions_.score(items(t.index, 1, reading), t.intervals);
    case Test::Subject::leading:
      for (Index word : t.words) any.push_back(leading(t.index, word, reading));
      return conditions_.any(std::move(any));
    case Test::Subject::choice:
      for (Index word : t.words) any.push_back(takes(t.index, word, reading));
      return conditions_.any(std::move(any));
    case Test::Subject::verdict: return verdict_test(t, reading);
  }
  return Conditions::never;
}

Form Meaning::verdict_test(const Test& t, Reading reading) {
  const Form seen = conditions_.all({applies(), conditions_.negation(refers(reading))});
  if (t.with_care) return conditions_.all({with_care(t.index, reading), seen});
  std::vector<Form> any;
  for (Verdict v : {Verdict::outside, Verdict::referred, Verdict::withheld, Verdict::discouraged, Verdict::advised,
                    Verdict::allowed, Verdict::silent}) {
    if (!(t.verdicts >> static_cast<int>(v) & 1u)) continue;
    const Form form = verdict(t.index, v, reading);
    any.push_back(v == Verdict::outside || v == Verdict::referred ? form : conditions_.all({form, seen}));
  }
  return conditions_.any(std::move(any));
}

std::vector<std::pair<Form, Rational>> Meaning::items(Index tally, const Rational& factor, Reading reading) {
  std::vector<std::pair<Form, Rational>> result;
  for (const Tally::Item& item : ruleset_.tallies[tally].items)
    result.emplace_back(condition(item.condition, reading), item.points * factor);
  return result;
}

// A tally leads when it has more points than each other one, by the lead asked for, and not all is zero.
Form Meaning::leading(Index index, Index value, Reading reading) {
  const Leading& leading = ruleset_.leadings[index];
  const auto leads = [&](std::size_t which) {
    std::vector<Form> beats;
    for (std::size_t other = 0; other < leading.tallies.size(); ++other) {
      if (other == which) continue;
      auto difference = items(leading.tallies[which], 1, reading);
      for (auto& item : items(leading.tallies[other], -1, reading)) difference.push_back(std::move(item));
      Interval ahead;
      ahead.low = leading.lead;
      ahead.low_in = leading.lead > 0;
      beats.push_back(conditions_.score(std::move(difference), {ahead}));
    }
    if (beats.empty()) {
      Interval below, above;
      below.high = 0, below.high_in = false;
      above.low = 0, above.low_in = false;
      beats.push_back(conditions_.score(items(leading.tallies[which], 1, reading), {below, above}));
    }
    return conditions_.all(std::move(beats));
  };
  if (value < leading.tallies.size()) return leads(value);
  std::vector<Form> none;
  for (std::size_t which = 0; which < leading.tallies.size(); ++which) none.push_back(conditions_.negation(leads(which)));
  return conditions_.all(std::move(none));
}

// ---------------------------------------------------------------- sentences

Form Meaning::fires(Index sentence, Reading reading) {
  const std::pair key{sentence, reading.school};
  if (const auto known = fires_.find(key); known != fires_.end()) return known->second;
  const Sentence& s = ruleset_.sentences[sentence];
  std::vector<Form> both{condition(s.when, reading)};
  if (s.unless) both.push_back(conditions_.negation(condition(*s.unless, reading)));
  return fires_[key] = conditions_.all(std::move(both));
}

// The sentences of the practice that name the ban in `despite`.
const std::vector<Index>& Meaning::defeaters(Index practice, Index ban) {
  const auto [at, is_new] = defeaters_.try_emplace(practice);
  if (is_new)
    for (Index s : ruleset_.practices[practice].sentences)
      for (Index named : ruleset_.sentences[s].despite) at->second[named].push_back(s);
  return at->second[ban];
}

Form Meaning::live(Index practice, Index ban, Reading reading, Index without) {
  std::vector<Form> both{fires(ban, reading)};
  for (Index s : defeaters(practice, ban))
    if (s != without && in_reading(ruleset_, ruleset_.sentences[s], reading)) both.push_back(conditions_.negation(fires(s, reading)));
  return conditions_.all(std::move(both));
}

std::vector<Index> Meaning::sentences(Index practice, Kind kind, Reading reading) const {
  std::vector<Index> result;
  for (Index s : ruleset_.practices[practice].sentences)
    if (ruleset_.sentences[s].kind == kind && in_reading(ruleset_, ruleset_.sentences[s], reading)) result.push_back(s);
  return result;
}

std::optional<Index> Meaning::otherwise(Index practice, Reading reading, Index without) const {
  std::optional<Index> best;
  for (Index s : sentences(practice, Kind::otherwise, reading))
    if (s != without && (!best || rank(ruleset_.sentences[s]) < rank(ruleset_.sentences[*best]))) best = s;
  return best;
}

// ---------------------------------------------------------------- verdicts

Form Meaning::verdict(Index practice, Verdict verdict, Reading reading, Index without) {
  if (verdict == Verdict::outside) return conditions_.negation(applies());
  if (verdict == Verdict::referred) return conditions_.all({applies(), refers(reading)});
  const std::tuple key{practice, static_cast<int>(verdict), reading.school};
  if (without == no_index)
    if (const auto known = verdicts_.find(key); known != verdicts_.end()) return known->second;
  const auto any_of = [&](Kind kind) {
    std::vector<Form> any;
    for (Index s : sentences(practice, kind, reading)) {
      if (s == without) continue;
      const bool ban = kind == Kind::contraindicated || kind == Kind::discouraged;
      any.push_back(ban ? live(practice, s, reading, without) : fires(s, reading));
    }
    return conditions_.any(std::move(any));
  };
  // The first that holds, from the gravest down; whoever comes later needs all earlier ones to be absent.
  static constexpr std::pair<Verdict, Kind> ladder[] = {{Verdict::withheld, Kind::contraindicated},
                                                        {Verdict::discouraged, Kind::discouraged},
                                                        {Verdict::advised, Kind::indicated},
                                                        {Verdict::allowed, Kind::allowed}};
  std::vector<Form> absent, result;
  for (const auto& [step, kind] : ladder) {
    const Form speaks = any_of(kind);
    if (step == verdict) {
      std::vector<Form> all = absent;
      all.push_back(speaks);
      result.push_back(conditions_.all(std::move(all)));
    }
    absent.push_back(conditions_.negation(speaks));
  }
  const std::optional<Index> last = otherwise(practice, reading, without);
  if ((last ? ruleset_.sentences[*last].verdict : Verdict::silent) == verdict) result.push_back(conditions_.all(absent));
  const Form form = conditions_.any(std::move(result));
  if (without == no_index) verdicts_[key] = form;
  return form;
}

Form Meaning::with_care(Index practice, Reading reading, Index without) {
  std::vector<Form> cautions;
  for (Index s : sentences(practice, Kind::caution, reading))
    if (s != without) cautions.push_back(fires(s, reading));
  if (const auto last = otherwise(practice, reading, without); last && ruleset_.sentences[*last].with_care) {
    std::vector<Form> nobody_spoke;
    for (Kind kind : {Kind::indicated, Kind::allowed})
      for (Index s : sentences(practice, kind, reading))
        if (s != without) nobody_spoke.push_back(conditions_.negation(fires(s, reading)));
    cautions.push_back(conditions_.all(std::move(nobody_spoke)));
  }
  return conditions_.all({conditions_.any(std::move(cautions)),
                          conditions_.any({verdict(practice, Verdict::advised, reading, without),
                                           verdict(practice, Verdict::allowed, reading, without)})});
}

// ---------------------------------------------------------------- choices

// For each value, where it fits: taken and not refused; if nothing is, the `Otherwise` unless refused.
const std::vector<Form>& Meaning::fitting(Index index, Reading reading) {
  const std::pair key{index, reading.school};
  if (const auto known = fitting_.find(key); known != fitting_.end()) return known->second;
  const Choice& choice = ruleset_.choices[index];
  std::vector<std::vector<Form>> taken(choice.values.size()), refused(choice.values.size());
  std::vector<bool> otherwise(choice.values.size());
  for (Index s : choice.sentences) {
    const Sentence& sentence = ruleset_.sentences[s];
    if (!in_reading(ruleset_, sentence, reading)) continue;
    for (Index value : sentence.values) {
      if (sentence.kind == Kind::take) taken[value].push_back(fires(s, reading));
      if (sentence.kind == Kind::refuse) refused[value].push_back(fires(s, reading));
      if (sentence.kind == Kind::choice_otherwise) otherwise[value] = true;
    }
  }
  std::vector<Form> fits, absent;
  for (std::size_t v = 0; v < taken.size(); ++v) {
    const Form not_refused = conditions_.negation(conditions_.any(refused[v]));
    fits.push_back(conditions_.all({conditions_.any(taken[v]), not_refused}));
    absent.push_back(conditions_.negation(fits.back()));
  }
  const Form empty = conditions_.all(absent);
  for (std::size_t v = 0; v < fits.size(); ++v)
    if (otherwise[v])
      fits[v] = conditions_.any({fits[v], conditions_.all({empty, conditions_.negation(conditions_.any(refused[v]))})});
  if (choice.kind == Choice::Kind::grade_highest || choice.kind == Choice::Kind::grade_lowest) {
    const bool highest = choice.kind == Choice::Kind::grade_highest;
    std::vector<Form> prevailing(fits.size());
    std::vector<Form> before;  // better values that do not fit
    for (std::size_t i = 0; i < fits.size(); ++i) {
      const std::size_t v = highest ? fits.size() - 1 - i : i;
      std::vector<Form> all = before;
      all.push_back(fits[v]);
      prevailing[v] = conditions_.all(std::move(all));
      before.push_back(conditions_.negation(fits[v]));
    }
    fits = std::move(prevailing);
  }
  return fitting_[key] = std::move(fits);
}

Form Meaning::takes(Index choice, Index value, Reading reading) { return fitting(choice, reading)[value]; }

Form Meaning::nothing_fits(Index choice, Reading reading) {
  std::vector<Form> none;
  for (Form fits : fitting(choice, reading)) none.push_back(conditions_.negation(fits));
  return conditions_.all(std::move(none));
}

// ---------------------------------------------------------------- who is looked at

Form Meaning::background() {
  std::vector<Form> kept;
  for (const Background& fact : ruleset_.backgrounds) kept.push_back(conditions_.negation(condition(fact.condition, {})));
  return conditions_.all(std::move(kept));
}

Form Meaning::applies() { return ruleset_.applies ? condition(*ruleset_.applies, {}) : Conditions::always; }

Form Meaning::refers(Reading reading, Index without) {
  const std::pair key{without, reading.school};
  if (const auto known = refers_.find(key); known != refers_.end()) return known->second;
  std::vector<Form> any;
  for (Index s : ruleset_.red_flags)
    if (s != without && in_reading(ruleset_, ruleset_.sentences[s], reading)) any.push_back(fires(s, reading));
  return refers_[key] = conditions_.any(std::move(any));
}

}  // namespace betony
