// Conditions: new ones, and old ones copied, narrowed, widened and turned round.
#include <algorithm>
#include <array>
#include <utility>

#include "tests/property/maker.h"

namespace betony::referee {

namespace {

Cond negated(Cond part) {
  Cond c;
  c.kind = Cond::Kind::negation;
  c.parts = {std::move(part)};
  return c;
}

}  // namespace

Cond Maker::plain_cond(int depth) {  // over findings and earlier terms only
  const bool before = std::exchange(plain_, true);
  Cond c = cond(depth);
  plain_ = before;
  return c;
}

// A background fact seldom forbids much.
Cond Maker::small_fact() {
  Cond c;
  c.kind = Cond::Kind::all;
  c.parts = {plain_cond(0), plain_cond(0)};
  if (chance(30)) c.parts.push_back(plain_cond(0));
  c.style = upto(12);
  return c;
}

Cond Maker::cond(int depth) {
  const int roll = upto(10);
  if (depth == 0 || roll < 4) return chance(15) ? negated(atom()) : atom();
  Cond c;
  c.style = upto(12);
  c.kind = roll < 6 ? Cond::Kind::all : roll < 8 ? Cond::Kind::any : roll == 8 ? Cond::Kind::at_least : Cond::Kind::none;
  for (int parts = from(2, 3); parts > 0; --parts) c.parts.push_back(cond(depth - 1));
  c.count = from(1, static_cast<int>(c.parts.size()));
  return c;
}

Cond Maker::atom() {
  Cond c;
  c.style = upto(105);
  c.negated = chance(25);
  if (!m_.measures.empty() && chance(40)) {
    const int which = upto(static_cast<int>(m_.measures.size()));
    const Measure& m = m_.measures[static_cast<std::size_t>(which)];
    return compare(c, Cond::Of::measure, which, measured_threshold(m), measured_threshold(m));
  }
  const int roll = upto(100);
  if (roll < 12 && terms_askable() > 0) {
    c.kind = Cond::Kind::holds;
    c.of = Cond::Of::term;
    c.index = upto(terms_askable());
    return c;
  }
  if (!plain_ && roll < 22 && !m_.tallies.empty())
    return compare(c, Cond::Of::tally, upto(static_cast<int>(m_.tallies.size())), from(-1, 4), from(-1, 4));
  if (!plain_ && roll < 32 && !m_.leadings.empty()) return among(c, Cond::Of::leading, 0, leading_values(m_, m_.leadings[0]).size());
  if (!plain_ && roll < 44 && choices_askable_ > 0) {
    const int choice = upto(choices_askable_);
    return among(c, Cond::Of::choice, choice, m_.choices[static_cast<std::size_t>(choice)].words.size());
  }
  return of_finding(c, upto(static_cast<int>(m_.findings.size())));
}

int Maker::terms_askable() const {
  const int count = static_cast<int>(m_.terms.size());
  return late_term_ >= 0 && (plain_ || !late_terms_ask_) ? late_term_ : count;
}

Cond Maker::among(Cond c, Cond::Of of, int index, std::size_t words) {
  c.kind = Cond::Kind::among;
  c.of = of;
  c.index = index;
  c.words = some(static_cast<int>(words), 1);
  while (c.words.size() > 1 && (c.words.size() == words || chance(50))) c.words.pop_back();
  return c;
}

Cond Maker::compare(Cond c, Cond::Of of, int index, Fraction a, Fraction b) {
  c.of = of;
  c.index = index;
  const int roll = upto(12);
  if (roll < 2) {
    c.kind = Cond::Kind::numbers;
    c.numerals = {a};
    if (roll == 1 && b != a) c.numerals.push_back(b);
    return c;
  }
  c.kind = Cond::Kind::compare;
  c.negated = false;
  c.how = static_cast<Cond::How>(roll < 10 ? roll % 4 : 4);
  if (c.how == Cond::How::from_to) c.numerals = {std::min(a, b), std::max(a, b)};
  else c.numerals = {a};
  return c;
}

Cond Maker::of_finding(Cond c, int index) {
  const Finding& f = m_.findings[static_cast<std::size_t>(index)];
  c.index = index;
  switch (f.kind) {
    case Finding::Kind::any_of: c.item = upto(static_cast<int>(f.words.size())); [[fallthrough]];
    case Finding::Kind::yes_no: c.kind = Cond::Kind::holds; c.negated = false; return c;
    case Finding::Kind::one_of: return among(c, Cond::Of::finding, index, f.words.size());
    case Finding::Kind::grade: return of_grade(c, index, static_cast<int>(f.words.size()));
    case Finding::Kind::date: return of_day(c, index, 366);
    case Finding::Kind::time_of_day: return of_day(c, index, 1440);
    case Finding::Kind::number: break;
  }
  if (f.or_never && chance(25)) {
    c.kind = Cond::Kind::never;
    c.numerals.clear();
    return c;
  }
  return compare(c, Cond::Of::finding, index, threshold(f), threshold(f));
}

Cond Maker::of_grade(Cond c, int index, int words) {
  if (chance(50)) return among(c, Cond::Of::finding, index, static_cast<std::size_t>(words));
  Cond made = compare(c, Cond::Of::finding, index, upto(words), upto(words));
  return made.kind == Cond::Kind::numbers ? among(c, Cond::Of::finding, index, static_cast<std::size_t>(words)) : made;
}

// Few thresholds, so that ranges meet; ranges may go round the end of the year or the day.
Cond Maker::of_day(Cond c, int index, int count) {
  static const std::array<int, 5> marks = {0, 59, 120, 244, 335};
  const auto mark = [&] { return Fraction(chance(10) ? count - 1 : marks[static_cast<std::size_t>(upto(5))]); };
  c.index = index;
  c.negated = false;
  c.kind = Cond::Kind::compare;
  c.how = count == 1440 && chance(30) ? static_cast<Cond::How>(upto(4)) : Cond::How::from_to;
  c.numerals = {mark()};
  if (c.how == Cond::How::from_to) c.numerals.push_back(mark());
  return c;
}

// Mostly a value of the finding; now and then between two of its steps, or beyond its ends.
Fraction Maker::threshold(const Finding& f) {
  const Fraction step = f.step == 0 ? Fraction(1, 2) : f.step;
  const int steps = static_cast<int>(Fraction((f.high - f.low) / step).get_d());
  Fraction at = f.low + step * (chance(25) ? from(0, steps) : from(1, steps - 1));
  if (chance(8)) at += step / 2;
  if (chance(3)) at = f.high + step;
  if (chance(3) && f.low > step) at = f.low - step;
  return at;
}

// ---------------------------------------------------------------- conditions that collide

Cond Maker::colliding() {
  const int roll = upto(100);
  if (pool_.empty() || roll < 44) return remember(cond(chance(50) ? 0 : chance(70) ? 1 : 2));
  if (roll < 49) return {};
  Cond old = pool_[static_cast<std::size_t>(upto(static_cast<int>(pool_.size())))];
  if (roll < 65) return old;
  if (roll < 72) return old.kind == Cond::Kind::negation ? old.parts[0] : negated(old);
  Cond c;
  c.style = upto(12);
  c.kind = roll < 87 ? Cond::Kind::all : Cond::Kind::any;
  c.parts = {old, cond(chance(70) ? 0 : 1)};
  return remember(c);
}

Cond Maker::remember(const Cond& c) {
  pool_.push_back(c);
  return c;
}

}  // namespace betony::referee
