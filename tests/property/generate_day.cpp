// Random doses, and random sentences about order, company, times and lengths.
#include "tests/property/dice.h"

namespace betony::referee {

using Kind = Sentence::Kind;

namespace {

Range random_range(Dice& dice, const std::vector<int>& numbers, bool open_ends) {
  const Fraction a = dice.pick(numbers), b = dice.pick(numbers);
  const int shape = dice.upto(open_ends ? 10 : 7);
  if (shape < 4 || (shape < 7 && a == b)) return {a, a};
  if (shape < 7) return {std::min(a, b), std::max(a, b)};
  return shape < 9 ? Range{std::nullopt, a} : Range{a, std::nullopt};
}

void random_amount(Dice& dice, Dose& dose) {
  static const std::vector<int> units = {0, 0, 0, 0, 0, 1, 1, 2, 3, 4};
  dose.unit = dice.pick(units);
  const int base = dose_units()[static_cast<std::size_t>(dose.unit)].base;
  const auto scaled = [&](std::optional<Fraction>& end) {
    if (end) *end = *end * 30 / base;
  };
  // Time and weight stand in thirties, so that 60 min and 1 h, or 30 g and a palm, say the same.
  dose.amount = random_range(dice, {1, 2, 2, 4}, true);
  if (dose_units()[static_cast<std::size_t>(dose.unit)].kind != 1) scaled(dose.amount->low), scaled(dose.amount->high);
}

void random_rate(Dice& dice, Dose& dose) {
  dose.often = random_range(dice, {1, 2, 3, 7}, false);
  if (dice.chance(20)) dose.often->low.reset();
  dose.weekly = dice.chance(35);
  if (dice.chance(30)) dose.every = 2;
}

void random_length(Dice& dice, Dose& dose) {
  dose.in_weeks = dice.chance(30);
  dose.length = random_range(dice, dose.in_weeks ? std::vector<int>{1, 2} : std::vector<int>{5, 7, 14}, false);
}

}  // namespace

Dose random_dose(Dice& dice) {
  Dose dose;
  const int first = dice.upto(100);
  if (first < 55) random_amount(dice, dose);
  else if (first < 70) dose.factor = static_cast<Dose::Factor>(dice.from(1, 4));
  else if (first < 82) dose.words = dice.chance(60) ? "until the bell" : "slowly";
  if (dice.chance(first < 82 ? 18 : 60)) random_rate(dice, dose);
  if (dice.chance(12) || (first >= 82 && !dose.often)) random_length(dice, dose);
  return dose;
}

void random_day(Dice& dice, const Model& model, Sentence& s) {
  static const std::vector<Kind> kinds = {Kind::follows, Kind::follows, Kind::follows, Kind::precedes, Kind::precedes, Kind::needs, Kind::needs, Kind::needs, Kind::leads_to,
                                          Kind::leads_to, Kind::leads_to, Kind::never_with, Kind::never_with, Kind::apart, Kind::time, Kind::time, Kind::takes};
  const int practices = static_cast<int>(model.practices.size());
  s.kind = dice.pick(kinds);
  if (practices < 2 && names_others(s.kind)) s.kind = dice.chance(60) ? Kind::time : Kind::takes;
  if (names_others(s.kind)) {
    s.others = {dice.upto(practices)};
    if (dice.chance(10)) s.others = dice.some(practices, 1);
    const auto himself = [&](int p) { return s.head == Sentence::Head::practices && s.practices.size() == 1 && s.practices[0] == p; };
    s.others.erase(std::remove_if(s.others.begin(), s.others.end(), himself), s.others.end());
    if (s.others.empty()) s.others = {(s.practices[0] + 1) % practices};
    s.first = dice.from(1, 2);
  } else if (s.kind == Kind::takes) {
    s.first = dice.from(1, 3);
    s.last = s.first + (dice.chance(40) ? dice.from(1, 2) : 0);
  } else {
    s.first = dice.from(12, 16);
    s.last = s.first + dice.from(1, 4);
    s.forbidden = dice.chance(25);
    if (dice.chance(8)) s.first = 44, s.last = 4;  // over midnight
  }
}

}  // namespace betony::referee
