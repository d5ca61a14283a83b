// compiler/measure_bounds.h: between which ends a formula lies while its inputs move between ends.
//
// The formulas here are plain arithmetic: measures in them are written out and tallies are numbers (`plain`
// does both); `Formula::index` of a finding is its place among the inputs. The ends are by interval arithmetic:
// never too narrow, and as wide as findings that stand twice in the formula make them. On ends that are equal the
// result is the value itself.
//
// Cost      one operation a number of the formula. The quick form reckons in floating point rounded outward, so
//           what it rules out is ruled out; where it cannot tell, the exact form is asked.
// Tested by tests/unit/measure_bounds_test.cpp
#pragma once

#include <functional>
#include <map>
#include <vector>

#include "compiler/ruleset.h"

namespace betony {

template <class Number>
struct Range {
  Number low, high;
};

// `place` gives the place of a finding among the inputs, `points` what a tally comes to.
Formula plain(const Ruleset& ruleset, const Formula& formula, const std::function<std::size_t(Index)>& place,
              const std::function<Rational(Index)>& points);

Range<Rational> range_of(const Formula& plain, const std::vector<Range<Rational>>& inputs);
Range<double> range_of(const Formula& plain, const std::vector<Range<double>>& inputs);
Rational value_of(const Formula& plain, const std::vector<Rational>& inputs);

// The number in floating point, rounded outward.
Range<double> around(const Rational& number);

// Whether `least of` or `most of` stands in it: it then may be level somewhere without being the same everywhere.
bool has_choice(const Formula& plain);

}  // namespace betony
