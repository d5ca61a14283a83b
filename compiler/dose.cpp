#include "compiler/dose.h"

#include <algorithm>

#include "compiler/evaluator.h"

namespace betony {

// ---------------------------------------------------------------- intervals

Interval common(const Interval& a, const Interval& b) {
  Interval result = a;
  if (b.low && (!result.low || *result.low < *b.low)) result.low = b.low;
  if (b.high && (!result.high || *b.high < *result.high)) result.high = b.high;
  return result;
}

bool empty(const Interval& interval) { return interval.low && interval.high && *interval.high < *interval.low; }
bool same(const Interval& a, const Interval& b) { return a.low == b.low && a.high == b.high; }

// ---------------------------------------------------------------- who says what

namespace {

const std::optional<Interval>& part_of(const Dose& dose, Dose::Part part) {
  switch (part) {
    case Dose::Part::amount: return dose.amount;
    case Dose::Part::often: return dose.often;
    case Dose::Part::length: break;
  }
  return dose.length;
}

void enter(const Ruleset& ruleset, Index sentence, DosePart& part) {
  const Sentence& s = ruleset.sentences[sentence];
  if (is_conditional(s)) {
    part.conditional.push_back(sentence);
    return;
  }
  if (!part.plain.empty() && rank(ruleset.sentences[part.plain.front()]) < rank(s)) return;
  if (!part.plain.empty() && rank(ruleset.sentences[part.plain.front()]) > rank(s)) part.plain.clear();
  part.plain.push_back(sentence);
}

DosePart& part_for(DoseSentences& all, Dose::Part what, const Dose& dose) {
  for (DosePart& part : all.parts)
    if (part.what == what && (what != Dose::Part::amount || alike(part.unit, dose.unit))) return part;
  all.parts.push_back({what, dose.unit, dose.unit_text, {}, {}});
  return all.parts.back();
}

}  // namespace

const Interval& said(const Ruleset& ruleset, Index sentence, Dose::Part part) {
  return part_of(ruleset.doses[ruleset.sentences[sentence].dose], part).value();
}

DoseSentences dose_sentences(const Ruleset& ruleset, Index practice, Reading reading, Index without) {
  DoseSentences all;
  for (Index index : ruleset.practices[practice].sentences) {
    const Sentence& sentence = ruleset.sentences[index];
    if (sentence.kind != Sentence::Kind::dose || index == without || !in_reading(ruleset, sentence, reading)) continue;
    const Dose& dose = ruleset.doses[sentence.dose];
    for (Dose::Part what : {Dose::Part::amount, Dose::Part::often, Dose::Part::length})
      if (part_of(dose, what)) enter(ruleset, index, part_for(all, what, dose));
    if (dose.factor) all.factors.push_back(index);
    if (!dose.words.empty()) enter(ruleset, index, all.words);
  }
  return all;
}

// ---------------------------------------------------------------- for one person

namespace {

std::vector<Index> heard(const DosePart& part, Evaluator& evaluator) {
  std::vector<Index> firing;
  for (Index sentence : part.conditional)
    if (evaluator.fires(sentence)) firing.push_back(sentence);
  return firing.empty() ? part.plain : firing;
}

std::optional<SettledDose::Part> settle(const Ruleset& ruleset, const DosePart& part, Evaluator& evaluator) {
  SettledDose::Part settled;
  settled.from = heard(part, evaluator);
  if (settled.from.empty()) return std::nullopt;
  for (Index sentence : settled.from) settled.interval = common(settled.interval, said(ruleset, sentence, part.what));
  settled.clash = empty(settled.interval);
  settled.unit = part.unit;
  settled.unit_text = part.unit_text;
  return settled;
}

void multiply(SettledDose& dose) {
  for (SettledDose::Part& part : dose.amounts) {
    if (part.interval.low) *part.interval.low *= dose.factor;
    if (part.interval.high) *part.interval.high *= dose.factor;
  }
}

}  // namespace

SettledDose settle_dose(const Ruleset& ruleset, Index practice, const Profile& profile, Reading reading) {
  Evaluator evaluator(ruleset, profile, reading);
  const DoseSentences all = dose_sentences(ruleset, practice, reading);
  SettledDose dose;
  for (const DosePart& part : all.parts) {
    auto settled = settle(ruleset, part, evaluator);
    if (!settled) continue;
    if (part.what == Dose::Part::amount) dose.amounts.push_back(std::move(*settled));
    else (part.what == Dose::Part::often ? dose.often : dose.length) = std::move(settled);
  }
  for (Index sentence : heard(all.words, evaluator)) {
    const std::string& words = ruleset.doses[ruleset.sentences[sentence].dose].words;
    if (std::find(dose.words.begin(), dose.words.end(), words) == dose.words.end()) dose.words.push_back(words);
  }
  for (Index sentence : all.factors) {
    if (!evaluator.fires(sentence)) continue;
    const Rational factor = *ruleset.doses[ruleset.sentences[sentence].dose].factor;
    if (dose.factored_by.empty() || factor < dose.factor) dose.factored_by.clear(), dose.factor = factor;
    if (factor == dose.factor) dose.factored_by.push_back(sentence);
  }
  multiply(dose);
  return dose;
}

// ---------------------------------------------------------------- words

namespace {

std::string times_words(const Rational& times) {
  if (times == 1) return "once";
  if (times == 2) return "twice";
  return number_words(times) + " times";
}

// So many times in a span.
std::string rate_words(const Interval& times, const std::string& span) {
  if (times.low == times.high) return times_words(*times.low) + span;
  if (!times.low) return "at most " + times_words(*times.high) + span;
  if (!times.high) return "at least " + times_words(*times.low) + span;
  return number_words(*times.low) + " to " + number_words(*times.high) + " times" + span;
}

// Told of the shortest time in which it is a whole number of times: a day, a week, so many days; what comes every hour, of the hour.
std::string often_words(const Interval& often) {
  constexpr long hour = 3600, day = 24 * hour;
  const auto times_in = [&](const Rational& seconds) {
    Interval result = often;
    for (auto* end : {&result.low, &result.high})
      if (*end) **end *= seconds;
    return result;
  };
  const auto times = [&](const mpz_class& days) { return times_in(Rational(days) * day); };
  const auto whole = [](const Interval& i) { return (!i.low || i.low->get_den() == 1) && (!i.high || i.high->get_den() == 1); };
  if (often.low == often.high && whole(times_in(hour))) return rate_words(times_in(hour), " every 1 h");
  if (whole(times(1))) return rate_words(times(1), " a day");
  if (whole(times(7))) return rate_words(times(7), " a wk");
  mpz_class days = 1;
  const Interval per_day = times(1);
  for (const auto& end : {per_day.low, per_day.high})
    if (end) days = lcm(days, end->get_den());
  if (often.low == often.high && days > 31) return "once every " + number_words(1 / *per_day.low) + " d";
  return rate_words(times(days), " every " + days.get_str() + " d");
}

}  // namespace

std::string amount_words(const Interval& interval, const Unit& unit, const std::string& unit_text) {
  const auto end = [&](const Rational& base) { return number_words(base / unit.factor - unit.offset); };
  const std::string measure = unit_text.empty() ? "" : " " + unit_text;
  if (interval.low && interval.high && *interval.low == *interval.high) return end(*interval.low) + measure;
  if (!interval.low) return "at most " + end(*interval.high) + measure;
  if (!interval.high) return "at least " + end(*interval.low) + measure;
  return end(*interval.low) + " to " + end(*interval.high) + measure;
}

std::string part_words(Dose::Part part, const Interval& interval, const Unit& unit, const std::string& unit_text) {
  if (part == Dose::Part::amount) return amount_words(interval, unit, unit_text);
  if (part == Dose::Part::often) return often_words(interval);
  Unit day;
  day.powers = {{"s", 1}};
  day.factor = 86400;
  return "for " + amount_words(interval, day, "d");
}

std::string said_words(const Ruleset& ruleset, Index sentence, Dose::Part part) {
  const Dose& dose = ruleset.doses[ruleset.sentences[sentence].dose];
  return part_words(part, said(ruleset, sentence, part), dose.unit, dose.unit_text);
}

std::string dose_words(const Ruleset& ruleset, Index sentence) {
  const Dose& dose = ruleset.doses[ruleset.sentences[sentence].dose];
  std::vector<std::string> said;
  if (dose.factor) said.push_back(number_words(*dose.factor) + " of it");
  if (dose.amount) {  // in base units, whatever the words: 60 min and 1 h are the same
    Unit base = dose.unit;
    base.factor = 1, base.offset = 0;
    said.push_back(amount_words(*dose.amount, base, measured(dose.unit)));
  }
  for (Dose::Part part : {Dose::Part::often, Dose::Part::length})
    if (part_of(dose, part)) said.push_back(said_words(ruleset, sentence, part));
  if (!dose.words.empty()) said.push_back("\"" + dose.words + "\"");
  std::string out;
  for (const std::string& part : said) out += (out.empty() ? "" : ", ") + part;
  return out;
}

}  // namespace betony
