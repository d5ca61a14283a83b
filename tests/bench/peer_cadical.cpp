#include <cadical.hpp>

#include "tests/bench/peers.h"

namespace betony::bench::peers {

namespace {

// A point of the grid in propositional variables: for each column and each of its cells but the first, "there or beyond".
class PointClauses {
 public:
  PointClauses(CaDiCaL::Solver& solver, const Boxes& boxes) : solver_(solver), boxes_(boxes) {
    for (const std::uint32_t width : boxes.widths()) {
      first_.push_back(next_);
      next_ += static_cast<int>(width) - 1;
      for (int i = first_.back() + 1; i < next_; ++i) clause({-i, i - 1});
    }
  }
  int fresh() { return next_++; }
  void clause(std::initializer_list<int> literals) {
    for (const int literal : literals) solver_.add(literal);
    solver_.add(0);
  }
  // `each(literal)` for every side of the box that a point may lie within: the literal says it does.
  template <class Each>
  void sides(std::size_t box, Each each) {
    for (std::size_t c = 0; c < boxes_.columns(); ++c) {
      const Coordinate low = boxes_.low(box)[c], high = boxes_.high(box)[c];
      if (low > 0) each(first_[c] + static_cast<int>(low) - 1);
      if (high + 1 < boxes_.widths()[c]) each(-(first_[c] + static_cast<int>(high)));
    }
  }

 private:
  CaDiCaL::Solver& solver_;
  const Boxes& boxes_;
  std::vector<int> first_;
  int next_ = 1;
};

}  // namespace

bool cadical_no_uncovered_point(const Boxes& boxes) {
  CaDiCaL::Solver solver;
  PointClauses point(solver, boxes);
  for (std::size_t b = 0; b < boxes.size(); ++b) {
    point.sides(b, [&](int inside) { solver.add(-inside); });
    solver.add(0);
  }
  return solver.solve() == 20;
}

// Some row holds the point, and some later one does. For each row: "it is the first", "it is the second", "the first is it or one before".
bool cadical_no_overlap(const Boxes& boxes) {
  CaDiCaL::Solver solver;
  PointClauses point(solver, boxes);
  std::vector<int> first, second;
  int before = 0;
  for (std::size_t b = 0; b < boxes.size(); ++b) {
    first.push_back(point.fresh());
    second.push_back(point.fresh());
    point.sides(b, [&](int inside) {
      point.clause({-first.back(), inside});
      point.clause({-second.back(), inside});
    });
    if (before) point.clause({-second.back(), before});
    else point.clause({-second.back()});
    const int by_now = point.fresh();
    if (before) point.clause({-by_now, before, first.back()});
    else point.clause({-by_now, first.back()});
    before = by_now;
  }
  for (const int variable : second) solver.add(variable);
  solver.add(0);
  return solver.solve() == 20;
}

}  // namespace betony::bench::peers
