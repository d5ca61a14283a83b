// compiler/measure_simplex.h: which combinations occur, and how often, where thresholds are flat: exactly.
//
// Where every threshold of every measure is a line, a plane, ... (sums with any weights, ratios against a
// number, `least of` and `most of` of such), a box of inputs is cut into simplices, and these along the
// thresholds, until none lies on two sides of anything. Inside each simplex and on each of its faces the
// extents are then the same throughout; those at its middle stand for it. Volumes stay exact: cutting an
// edge divides a simplex as it divides the edge. A point, a line and a triangle are simplices too.
//
// Example   a + b over 3 and a - b under 2 are flat; a / b over 2 is (a against 2 b); a * b over 2 is not, but
//           is again where b is one number.
// Cost      n! simplices to begin with for n inputs, one more for each cut; every one is counted.
// Tested by tests/unit/measure_simplex_test.cpp
#pragma once

#include <functional>
#include <optional>

#include "compiler/measure_bounds.h"
#include "compiler/universe_internal.h"

namespace betony::cutting {

// An input in a question: the numbers from low to high; with a step low, low + step, ... high.
struct Side {
  Rational low, high;
  bool low_in = true, high_in = true;
  Rational step;
  bool contains(const Rational& x) const {
    return (low_in ? x >= low : x > low) && (high_in ? x <= high : x < high);
  }
};
using Sides = std::vector<Side>;

// A measure with its thresholds in ascending order; extent e lies above `e` of them.
struct CutMeasure {
  Formula formula;  // plain
  std::vector<Cut> cuts;
  std::vector<Range<double>> near_cuts;
  Index extent_of(const Rational& value) const;
};

constexpr std::size_t most_flat_inputs = 5;   // 120 simplices to begin with
constexpr std::size_t most_flat_bits = 2'000;  // of a corner's divisor: cuts through cuts through cuts lengthen it

// Called for every part: the extents of the measures on it, its share of the box, a point of it.
using FlatPart = std::function<void(const std::vector<Index>& extents, const Rational& share, const std::vector<Rational>& point)>;

// False if some threshold is not flat in this box, or the steps ran out; parts that were told so far then mean
// nothing. Steps of inputs are not heeded: give these one number.
bool flat_parts(const Sides& box, const std::vector<const CutMeasure*>& measures, std::size_t& steps_left, const FlatPart& tell);

}  // namespace betony::cutting
