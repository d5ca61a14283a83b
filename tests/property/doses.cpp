#include "tests/property/doses.h"

#include <algorithm>
#include <array>

#include "tests/property/reading.h"

namespace betony::referee {

using Kind = Sentence::Kind;

// ---------------------------------------------------------------- what one sentence says

Range scaled(const Range& range, const Fraction& by) {
  Range result = range;
  if (result.low) *result.low *= by;
  if (result.high) *result.high *= by;
  return result;
}

int distance(const Sentence& s) { return s.head == Sentence::Head::every ? 2 : s.head == Sentence::Head::group ? 1 : 0; }

std::optional<Range> ends_of(const Dose& dose, int part) {
  if (part == part_often && dose.often) return scaled(*dose.often, Fraction(1, dose.every * (dose.weekly ? 7 : 1)));
  if (part == part_length && dose.length) return scaled(*dose.length, dose.in_weeks ? 7 : 1);
  const DoseUnit& unit = dose_units()[dose.unit];
  if (part < dose_kinds && dose.amount && unit.kind == part) return scaled(*dose.amount, unit.base);
  return std::nullopt;
}

bool speaks_of_part(const Dose& dose, int part) { return part == part_words ? !dose.words.empty() : ends_of(dose, part).has_value(); }
bool says_an_amount(const Dose& dose) { return dose.amount.has_value(); }

bool same_dose(const Dose& a, const Dose& b) {
  for (int part = 0; part < part_words; ++part)
    if (ends_of(a, part) != ends_of(b, part)) return false;
  return a.factor == b.factor && a.words == b.words;
}

bool nothing_in_common(const Range& a, const Range& b) {
  return (a.low && b.high && *a.low > *b.high) || (b.low && a.high && *b.low > *a.high);
}

bool has_condition(const Sentence& s) { return s.when.kind != Cond::Kind::always || s.unless.has_value(); }

// ---------------------------------------------------------------- what is settled for one person

bool takes_it(const Table& table, int practice, std::size_t profile) {
  const Verdict verdict = table.outcomes[practice][profile].verdict;
  return verdict == Verdict::advised || verdict == Verdict::allowed;
}

std::vector<int> counting(const Model& model, const Judge& judge, const Table& table, int practice, int part, std::size_t profile,
                          int without) {
  std::vector<int> with_condition;
  std::array<std::vector<int>, 3> others;
  for (int s : judge.of_practice(practice)) {
    const Sentence& sentence = model.sentences[s];
    if (s == without || sentence.kind != Kind::dose || !table.fires[s][profile] || !speaks_of_part(sentence.dose, part)) continue;
    (has_condition(sentence) ? with_condition : others[distance(sentence)]).push_back(s);
  }
  if (!with_condition.empty()) return with_condition;
  return !others[0].empty() ? others[0] : !others[1].empty() ? others[1] : others[2];
}

namespace {

std::optional<Fraction> least_factor(const Model& model, const Judge& judge, const Table& table, int practice, std::size_t profile, int without) {
  static const std::array<Fraction, 5> factors = {Fraction(1), Fraction(1, 2), Fraction(1, 3), Fraction(1, 4), Fraction(2)};
  std::optional<Fraction> least;
  for (int s : judge.of_practice(practice)) {
    const Sentence& sentence = model.sentences[s];
    if (s == without || sentence.kind != Kind::dose || !table.fires[s][profile] || sentence.dose.factor == Dose::Factor::none) continue;
    const Fraction& factor = factors[static_cast<std::size_t>(sentence.dose.factor)];
    if (!least || factor < *least) least = factor;
  }
  return least;
}

}  // namespace

Settled settled(const Model& model, const Judge& judge, const Table& table, int practice, std::size_t profile, int without) {
  Settled result;
  for (int part = 0; part < part_words; ++part)
    for (int s : counting(model, judge, table, practice, part, profile, without)) {
      const Range said = *ends_of(model.sentences[s].dose, part);
      Range& common = result.parts[part];
      if (said.low && (!common.low || *said.low > *common.low)) common.low = said.low;
      if (said.high && (!common.high || *said.high < *common.high)) common.high = said.high;
    }
  for (int s : counting(model, judge, table, practice, part_words, profile, without)) result.words.insert(model.sentences[s].dose.words);
  const auto first = result.parts.begin();
  if (first != result.parts.end() && first->first < dose_kinds)
    result.factor = least_factor(model, judge, table, practice, profile, without);
  return result;
}

// ---------------------------------------------------------------- the checks

// Pairs of sentences that count for one part of one person, and have nothing in common.
void Reading::dose_clash(int practice, std::vector<Expected>& into) const {
  for (int part = 0; part < part_words; ++part) {
    std::map<std::pair<int, int>, Region> pairs;
    for (std::size_t p = 0; p < universe_.size(); ++p) {
      if (!r_[p] || !takes_it(table_, practice, p)) continue;
      const std::vector<int> count = counting(model_, judge_, table_, practice, part, p);
      for (int a : count)
        for (int b : count)
          if (a < b && nothing_in_common(*ends_of(model_.sentences[a].dose, part), *ends_of(model_.sentences[b].dose, part)))
            pairs.try_emplace({a, b}, Region(universe_.size(), 0)).first->second[p] = 1;
    }
    std::map<Region, Expected> of_persons;  // pairs of the same persons are told together
    for (const auto& [pair, where] : pairs) {
      Expected& e = of_persons.try_emplace(where, problem("dose-clash", "", Weight::error)).first->second;
      e.practice = model_.practices[practice].name;
      add_pair(e, {pair.first, pair.second, true, where});
    }
    for (auto& [where, e] : of_persons) into.push_back(with_share(std::move(e)));
  }
}

// Advised without an amount or words in place of one, though others who take it have an amount.
void Reading::dose_missing(int practice, std::vector<Expected>& into) const {
  Expected e = problem("dose-missing", "", Weight::question);
  e.practice = model_.practices[practice].name;
  e.region.assign(universe_.size(), 0);
  bool others = false;
  for (std::size_t p = 0; p < universe_.size(); ++p) {
    if (!r_[p] || !takes_it(table_, practice, p)) continue;
    bool amount = false, words = false;
    for (int s : judge_.of_practice(practice)) {
      if (model_.sentences[s].kind != Kind::dose || !table_.fires[s][p]) continue;
      amount = amount || says_an_amount(model_.sentences[s].dose);
      words = words || !model_.sentences[s].dose.words.empty();
    }
    others = others || amount;
    e.region[p] = !amount && !words && table_.outcomes[practice][p].verdict == Verdict::advised;
  }
  if (others && any(e.region)) into.push_back(with_share(std::move(e)));
}

}  // namespace betony::referee
