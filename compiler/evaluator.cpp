#include "compiler/evaluator.h"

#include <algorithm>
#include <stdexcept>

namespace betony {
namespace {

bool has(const std::vector<Index>& ascending, Index value) { return std::binary_search(ascending.begin(), ascending.end(), value); }

bool within(const Test& test, const Rational& number) {
  return std::any_of(test.intervals.begin(), test.intervals.end(), [&](const Interval& interval) { return interval.contains(number); });
}

bool finding_accepts(const Test& test, const Value& value) {
  if (value.kind == Value::Kind::never) return test.never;
  if (value.kind == Value::Kind::word) return has(test.words, value.word);
  return within(test, value.number);
}

std::vector<Index> left(const std::vector<bool>& taken, const std::vector<bool>& refused) {
  std::vector<Index> out;
  for (Index value = 0; value < taken.size(); ++value)
    if (taken[value] && !refused[value]) out.push_back(value);
  return out;
}

}  // namespace

bool Evaluator::holds(const Cond& condition) {
  switch (condition.kind) {
    case Cond::Kind::always: return true;
    case Cond::Kind::test: return accepts(condition.test);
    case Cond::Kind::negation: return !holds(condition.parts.front());
    case Cond::Kind::all: return count(condition) == condition.parts.size();
    case Cond::Kind::any: return count(condition) > 0;
    case Cond::Kind::at_least: return count(condition) >= condition.count;
    case Cond::Kind::term: return term(condition.term);
  }
  return false;
}

bool Evaluator::fires(const Sentence& sentence) { return holds(sentence.when) && !(sentence.unless && holds(*sentence.unless)); }

bool Evaluator::fires(Index sentence) {
  const auto [at, fresh] = fired_.try_emplace(sentence, false);
  if (fresh) {
    const bool now = in_reading(ruleset_, ruleset_.sentences[sentence], reading_) && fires(ruleset_.sentences[sentence]);
    fired_[sentence] = now;
    return now;
  }
  return at->second;
}

Rational Evaluator::measure(Index index) {
  if (const auto known = measures_.find(index); known != measures_.end()) return known->second;
  const Rational value = reckon(ruleset_.measures[index].formula);
  measures_.emplace(index, value);
  return value;
}

Rational Evaluator::tally(Index index) {
  if (const auto known = tallies_.find(index); known != tallies_.end()) return known->second;
  Rational points;
  for (const Tally::Item& item : ruleset_.tallies[index].items)
    if (holds(item.condition)) points += item.points;
  tallies_.emplace(index, points);
  return points;
}

Index Evaluator::leading(Index index) {
  const Leading& leading = ruleset_.leadings[index];
  const Index otherwise = static_cast<Index>(leading.tallies.size());
  Index best = otherwise;
  Rational most, second;
  bool rivalled = false;
  for (Index i = 0; i < otherwise; ++i) {
    const Rational points = tally(leading.tallies[i]);
    if (best == otherwise || points > most) {
      if (best != otherwise) second = most, rivalled = true;
      most = points;
      best = i;
    } else if (!rivalled || points > second) {
      second = points;
      rivalled = true;
    }
  }
  if (best == otherwise) return otherwise;
  const bool ahead = rivalled ? most > second && most - second >= leading.lead : most != 0;
  return ahead ? best : otherwise;
}

const ChoiceResult& Evaluator::choice(Index index) {
  if (const auto known = choices_.find(index); known != choices_.end()) return known->second;
  ChoiceResult result = work_out(ruleset_.choices[index]);
  return choices_.emplace(index, std::move(result)).first->second;
}

std::size_t Evaluator::count(const Cond& condition) {
  std::size_t held = 0;
  for (const Cond& part : condition.parts) held += holds(part);
  return held;
}

bool Evaluator::term(Index index) {
  if (const auto known = terms_.find(index); known != terms_.end()) return known->second;
  const bool now = holds(ruleset_.terms[index].condition);
  terms_.emplace(index, now);
  return now;
}

bool Evaluator::accepts(const Test& test) {
  switch (test.subject) {
    case Test::Subject::finding: return finding_accepts(test, *profile_[test.index]);
    case Test::Subject::measure: return within(test, measure(test.index));
    case Test::Subject::tally: return within(test, tally(test.index));
    case Test::Subject::leading: return has(test.words, leading(test.index));
    case Test::Subject::choice: return choice_accepts(test);
    case Test::Subject::verdict: return verdict_accepts(test);
  }
  return false;
}

bool Evaluator::choice_accepts(const Test& test) {
  const auto& fits = choice(test.index).fits;
  return std::any_of(fits.begin(), fits.end(), [&](Index value) { return has(test.words, value); });
}

bool Evaluator::verdict_accepts(const Test& test) const {
  if (!weighing_) throw std::invalid_argument("a condition that asks for verdicts needs them");
  const PracticeVerdict& practice = weighing_->practices[test.index];
  return test.with_care ? practice.with_care : (test.verdicts >> static_cast<int>(practice.verdict)) & 1u;
}

Rational Evaluator::reckon(const Formula& formula) {
  switch (formula.kind) {
    case Formula::Kind::number: return formula.number;
    case Formula::Kind::finding: return profile_[formula.index]->number;
    case Formula::Kind::measure: return measure(formula.index);
    case Formula::Kind::tally: return tally(formula.index);
    case Formula::Kind::negate: return -reckon(formula.parts[0]);
    case Formula::Kind::add: return reckon(formula.parts[0]) + reckon(formula.parts[1]);
    case Formula::Kind::subtract: return reckon(formula.parts[0]) - reckon(formula.parts[1]);
    case Formula::Kind::multiply: return reckon(formula.parts[0]) * reckon(formula.parts[1]);
    case Formula::Kind::divide: return reckon(formula.parts[0]) / reckon(formula.parts[1]);
    case Formula::Kind::least:
    case Formula::Kind::most: break;
  }
  Rational out = reckon(formula.parts.front());
  for (const Formula& part : formula.parts) {
    const Rational next = reckon(part);
    if (formula.kind == Formula::Kind::least ? next < out : next > out) out = next;
  }
  return out;
}

ChoiceResult Evaluator::work_out(const Choice& choice) {
  std::vector<bool> taken(choice.values.size()), refused(choice.values.size()), otherwise(choice.values.size());
  for (Index index : choice.sentences) {
    if (!fires(index)) continue;
    const Sentence& sentence = ruleset_.sentences[index];
    auto& marked = sentence.kind == Sentence::Kind::take ? taken : sentence.kind == Sentence::Kind::refuse ? refused : otherwise;
    for (Index value : sentence.values) marked[value] = true;
  }
  ChoiceResult result{left(taken, refused)};
  if (result.fits.empty()) result.fits = left(otherwise, refused);
  if (choice.kind == Choice::Kind::grade_highest && !result.fits.empty()) result.fits = {result.fits.back()};
  if (choice.kind == Choice::Kind::grade_lowest && !result.fits.empty()) result.fits = {result.fits.front()};
  return result;
}

}  // namespace betony
