#include "compiler/measure_bounds.h"

#include <algorithm>
#include <cmath>

namespace betony {

Formula plain(const Ruleset& ruleset, const Formula& formula, const std::function<std::size_t(Index)>& place,
              const std::function<Rational(Index)>& points) {
  if (formula.kind == Formula::Kind::measure) return plain(ruleset, ruleset.measures[formula.index].formula, place, points);
  Formula result;
  result.kind = formula.kind;
  result.number = formula.number;
  if (formula.kind == Formula::Kind::finding) result.index = static_cast<Index>(place(formula.index));
  if (formula.kind == Formula::Kind::tally) {
    result.kind = Formula::Kind::number;
    result.number = points(formula.index);
  }
  for (const Formula& part : formula.parts) result.parts.push_back(plain(ruleset, part, place, points));
  return result;
}

bool has_choice(const Formula& formula) {
  return formula.kind == Formula::Kind::least || formula.kind == Formula::Kind::most ||
         std::any_of(formula.parts.begin(), formula.parts.end(), has_choice);
}

namespace {

// One operation in floating point is wrong by half a last place, a conversion by less than one.
constexpr double grain = 4.5e-16, smallest = 1e-300;
constexpr Range<double> anything{-INFINITY, INFINITY};

Range<Rational> outward(Range<Rational> range) { return range; }

Range<double> outward(Range<double> range) {
  if (std::isnan(range.low) || std::isnan(range.high)) return anything;
  return {range.low - std::abs(range.low) * grain - smallest, range.high + std::abs(range.high) * grain + smallest};
}

void number(const Rational& x, Range<Rational>& range) { range = {x, x}; }
void number(const Rational& x, Range<double>& range) { range = around(x); }

template <class Number>
Range<Number> product(const Range<Number>& a, const Range<Number>& b) {
  const Number ends[] = {a.low * b.low, a.low * b.high, a.high * b.low, a.high * b.high};
  if constexpr (std::is_same_v<Number, double>)
    if (std::any_of(ends, ends + 4, [](double end) { return std::isnan(end); })) return anything;
  return outward(Range<Number>{*std::min_element(ends, ends + 4), *std::max_element(ends, ends + 4)});
}

template <class Number>
Range<Number> square(const Range<Number>& a) {
  const Number low = a.low * a.low, high = a.high * a.high;
  const Number least = a.low > 0 || a.high < 0 ? std::min(low, high) : Number(0);
  return outward(Range<Number>{least, std::max(low, high)});
}

template <class Number>
Range<Number> quotient(const Range<Number>& a, const Range<Number>& b) {
  if constexpr (std::is_same_v<Number, double>)
    if (!(b.low > 0 || b.high < 0)) return anything;  // it is not 0, only near it
  return product(a, outward(Range<Number>{1 / b.high, 1 / b.low}));
}

template <class Number>
Range<Number> reckon(const Formula& f, const std::vector<Range<Number>>& inputs) {
  const auto part = [&](std::size_t i) { return reckon(f.parts[i], inputs); };
  Range<Number> result;
  switch (f.kind) {
    case Formula::Kind::finding: return inputs[f.index];
    case Formula::Kind::negate: { const auto a = part(0); return {-a.high, -a.low}; }
    case Formula::Kind::add: { const auto a = part(0), b = part(1); return outward(Range<Number>{a.low + b.low, a.high + b.high}); }
    case Formula::Kind::subtract: { const auto a = part(0), b = part(1); return outward(Range<Number>{a.low - b.high, a.high - b.low}); }
    case Formula::Kind::multiply:
      if (f.parts[0].kind == Formula::Kind::finding && f.parts[1].kind == Formula::Kind::finding && f.parts[0].index == f.parts[1].index)
        return square(part(0));
      return product(part(0), part(1));
    case Formula::Kind::divide: return quotient(part(0), part(1));
    case Formula::Kind::least: case Formula::Kind::most: break;
    case Formula::Kind::number: case Formula::Kind::measure: case Formula::Kind::tally: number(f.number, result); return result;
  }
  result = part(0);
  for (std::size_t i = 1; i < f.parts.size(); ++i) {
    const auto next = part(i);
    const bool least = f.kind == Formula::Kind::least;
    result.low = least ? std::min(result.low, next.low) : std::max(result.low, next.low);
    result.high = least ? std::min(result.high, next.high) : std::max(result.high, next.high);
  }
  return result;
}

}  // namespace

Range<double> around(const Rational& x) {
  const double value = x.get_d();
  if (x == value) return {value, value};
  return outward(Range<double>{value, value});
}

Range<Rational> range_of(const Formula& formula, const std::vector<Range<Rational>>& inputs) { return reckon(formula, inputs); }
Range<double> range_of(const Formula& formula, const std::vector<Range<double>>& inputs) { return reckon(formula, inputs); }

Rational value_of(const Formula& formula, const std::vector<Rational>& inputs) {
  std::vector<Range<Rational>> ends;
  for (const Rational& x : inputs) ends.push_back({x, x});
  return range_of(formula, ends).low;
}

}  // namespace betony
