#include "compiler/trend.h"

#include <algorithm>

#include "compiler/verdict_graph.h"

namespace betony {
namespace {

using tree::Verdict;

bool less(const std::optional<Rational>& a, const std::optional<Rational>& b) { return a && (!b || *a < *b); }

bool moved(const DoseEnds& from, const DoseEnds& to, bool raised) {
  return raised ? from.low < to.low || less(from.high, to.high) : to.low < from.low || less(to.high, from.high);
}

// One part of a dose, of two persons.
struct Compared {
  const SettledDose::Part &first, &second;
  Dose::Part what;
};

std::vector<Compared> compared_parts(const Trend& trend, const SettledDose& first, const SettledDose& second) {
  std::vector<Compared> both;
  for (const SettledDose::Part& a : first.amounts)
    for (const SettledDose::Part& b : second.amounts)
      if (alike(a.unit, b.unit) && compares(trend, Dose::Part::amount, a.unit)) both.push_back({a, b, Dose::Part::amount});
  if (first.length && second.length && compares(trend, Dose::Part::length, {})) both.push_back({*first.length, *second.length, Dose::Part::length});
  return both;
}

std::string words(const SettledDose::Part& part, Dose::Part what) {
  if (what == Dose::Part::amount) return amount_words(part.interval, part.unit, part.unit_text);
  Unit day;
  day.powers = {{"s", 1}};
  day.factor = 86400;
  return "for " + amount_words(part.interval, day, "d");
}

std::vector<Index> makers(const SettledDose::Part& part, const SettledDose& dose, Dose::Part what) {
  std::vector<Index> from = part.from;
  if (what == Dose::Part::amount) from.insert(from.end(), dose.factored_by.begin(), dose.factored_by.end());
  std::sort(from.begin(), from.end());
  return from;
}

std::optional<BrokenTrend> broken_dose(const Ruleset& ruleset, const Trend& trend, Index practice, const Profile& first, const Profile& second,
                                       Reading reading, BrokenTrend broken) {
  const SettledDose one = settle_dose(ruleset, practice, first, reading), other = settle_dose(ruleset, practice, second, reading);
  for (const Compared& both : compared_parts(trend, one, other)) {
    if (both.first.clash || both.second.clash) continue;
    if (!moved(ends_of(both.first.interval), ends_of(both.second.interval), trend.raised)) continue;
    broken.first = words(both.first, both.what), broken.second = words(both.second, both.what);
    broken.because = makers(both.first, one, both.what), broken.second_because = makers(both.second, other, both.what);
    return broken;
  }
  return std::nullopt;
}

bool spoken_of(const Ruleset& ruleset, const Claim& claim, const Profile& profile, Reading reading) {
  if (broken_background(ruleset, profile) || (ruleset.applies && !holds(ruleset, *ruleset.applies, profile))) return false;
  if (claim.when.kind == Cond::Kind::always) return true;
  const Weighing weighing = evaluate(ruleset, profile, reading);
  return holds(ruleset, claim.when, profile, &weighing, reading);
}

}  // namespace

int trend_rank(Verdict verdict) {
  constexpr Verdict ranks[] = {Verdict::referred, Verdict::withheld, Verdict::discouraged, Verdict::silent, Verdict::allowed, Verdict::advised};
  const auto* found = std::find(std::begin(ranks), std::end(ranks), verdict);
  return found == std::end(ranks) ? -1 : static_cast<int>(found - std::begin(ranks));
}

bool changes_so(const Trend& trend, const Value& first, const Value& second) {
  if (first.kind != second.kind || first.kind == Value::Kind::never) return false;
  const int order = first.kind == Value::Kind::number ? cmp(second.number, first.number)
                                                      : static_cast<int>(second.word > first.word) - static_cast<int>(second.word < first.word);
  return trend.change == Trend::Change::less ? order < 0 : order > 0;
}

bool compares(const Trend& trend, Dose::Part part, const Unit& unit) {
  if (part == Dose::Part::often) return false;
  if (trend.of == Trend::Of::amount) return part == Dose::Part::amount;
  Unit second;
  second.powers = {{"s", 1}};
  return trend.of == Trend::Of::length && (part == Dose::Part::length || alike(unit, second));
}

DoseEnds ends_of(const Interval& interval) { return {interval.low.value_or(0), interval.high}; }

std::optional<BrokenTrend> broken_trend(const Ruleset& ruleset, const Claim& claim, Index practice, const Profile& first, const Profile& second,
                                        Reading reading) {
  const Trend& trend = *claim.trend;
  const PracticeVerdict one = evaluate_practice(ruleset, practice, first, reading), other = evaluate_practice(ruleset, practice, second, reading);
  if (!changes_so(trend, *first[trend.finding], *second[trend.finding])) return std::nullopt;
  if (!spoken_of(ruleset, claim, first, reading) || !spoken_of(ruleset, claim, second, reading)) return std::nullopt;
  BrokenTrend broken{verdict_word(one.verdict), verdict_word(other.verdict), one.verdict, other.verdict, one.because, other.because};
  if (trend.of != Trend::Of::verdict) {
    if (!may_be_done(one.verdict) || !may_be_done(other.verdict)) return std::nullopt;
    return broken_dose(ruleset, trend, practice, first, second, reading, std::move(broken));
  }
  const int from = trend_rank(one.verdict), to = trend_rank(other.verdict);
  return (trend.raised ? to > from : to < from) ? std::optional(std::move(broken)) : std::nullopt;
}

std::string words_of(const Ruleset& ruleset, const Trend& trend, Index practice, const Profile& first, const Profile& second,
                     const BrokenTrend& broken) {
  const Finding& finding = ruleset.findings[trend.finding];
  const auto value = [&](const Profile& person) { return value_words(finding, *person[trend.finding]); };
  const std::string change = trend.change == Trend::Change::adding ? finding.name : finding.name + " " + value(second) + " in place of " + value(first);
  return "With " + change + (trend.of == Trend::Of::verdict ? ", " : ", the dose of ") + ruleset.practices[practice].name + " is " + broken.second +
         ", where it was " + broken.first + ".";
}

}  // namespace betony
