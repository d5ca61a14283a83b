// runtime/single_ways.h: in which ways a condition can hold. Inside runtime/single*.cpp only.
//
// A way is some inputs, each to be so or not so, that together are enough: `a and (b or not c)` has the ways {a, b} and {a, not c}.
// A condition holds where one of its ways does. Where one part of an `and` would multiply the ways of the others too much, it is kept
// apart as a side: a condition, with ways of its own, that must not hold (`a, unless d and (e or f)`).
//
// Limits     32 ways to a condition, of 64 inputs, and some milliseconds of work for each at most; for all together the work that is left,
//            which is counted down. What has more is not told in ways.
// Tested by  tests/property/single_test.cpp
#pragma once

#include <cstdint>
#include <optional>
#include <vector>

#include "runtime/pack.h"

namespace betony::runtime {

constexpr std::size_t most_ways = 32, most_asked = 64;
using Way = std::vector<Index>;             // operands of inputs, ascending
using Ways = std::vector<Way>;              // those with the fewest operands first; none contains another

struct ToldInWays {
  Ways ways;
  std::vector<Index> sides;                 // operands, none of which may hold
};

// All of the parts, which are operands; nothing where there are too many ways.
std::optional<ToldInWays> told_in_ways(const Program& program, const std::vector<Index>& parts, std::uint64_t& work_left);
std::optional<Ways> ways_of(const Program& program, Index operand, std::uint64_t& work_left);

}  // namespace betony::runtime
