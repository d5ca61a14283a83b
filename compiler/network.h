// compiler/network.h: simple temporal networks: points in time, and bounds on how far one lies behind another.
//
// A bound says `to - from <= most`, or `<` where `strict` counts one. Spans are exact; `strict` counts
// amounts smaller than any number, so that "a practice takes some time" needs no length.
//
//   Network day(3);
//   day.bound(0, 1, {600, 0});    // point 1 at most 600 s after point 0
//   day.bound(1, 0, {-900, 0});   // and at least 900 s after it
//   day.contradiction();          // {0, 1}: these two bounds cannot both be kept
//
// Cost      `contradiction`: O(points · bounds); `distances`: O(points³).
// Source    Dechter, Meiri, Pearl, Temporal constraint networks, Artificial Intelligence 49 (1991).
// Tested by tests/unit/network_test.cpp, tests/published/network_test.cpp
#pragma once

#include <optional>
#include <vector>

#include "compiler/graph.h"

namespace betony {

struct Distance {
  Rational seconds;
  int strict = 0;  // so many infinitely small amounts less
  friend Distance operator+(const Distance& a, const Distance& b) { return {a.seconds + b.seconds, a.strict + b.strict}; }
  friend bool operator<(const Distance& a, const Distance& b) { return a.seconds != b.seconds ? a.seconds < b.seconds : a.strict > b.strict; }
  friend bool operator==(const Distance&, const Distance&) = default;
};

class Network {
 public:
  struct Bound {
    Index from, to;
    Distance most;
  };
  explicit Network(std::size_t points) : points_(points) {}

  void bound(Index from, Index to, Distance most) { bounds_.push_back({from, to, std::move(most)}); }
  std::size_t points() const { return points_; }
  const std::vector<Bound>& bounds() const { return bounds_; }

  // Bounds (indices) around a circle of negative length, in its order: together they cannot be kept.
  // Empty if all can be. Looking at a bound once is a step; `steps`, if given, is what may be spent, less what was:
  // past it BudgetMet is thrown.
  std::vector<Index> contradiction(std::uint64_t* steps = nullptr) const;

  // The tightest bound from each point to each; nothing where there is none. Only without a contradiction.
  std::vector<std::vector<std::optional<Distance>>> distances() const;

 private:
  std::vector<Index> circle_behind(const std::vector<Index>& by) const;

  std::size_t points_;
  std::vector<Bound> bounds_;
};

}  // namespace betony
