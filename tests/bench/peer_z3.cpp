#include <z3++.h>

#include <bit>

#include "tests/bench/peers.h"

namespace betony::bench::peers {

std::optional<std::vector<Coordinate>> z3_uncovered_point(const Boxes& boxes, bool bits) {
  z3::context context;
  z3::solver solver(context, bits ? "QF_BV" : "QF_LIA");
  std::vector<z3::expr> point;
  std::vector<unsigned> sizes;
  for (std::size_t c = 0; c < boxes.columns(); ++c) {
    const std::string name = "c" + std::to_string(c);
    sizes.push_back(std::max(1u, static_cast<unsigned>(std::bit_width(boxes.widths()[c] - 1))));
    point.push_back(bits ? context.bv_const(name.c_str(), sizes[c]) : context.int_const(name.c_str()));
  }
  const auto number = [&](std::size_t c, Coordinate cell) { return bits ? context.bv_val(cell, sizes[c]) : context.int_val(cell); };
  const auto at_most = [&](std::size_t c, Coordinate cell) { return bits ? z3::ule(point[c], number(c, cell)) : point[c] <= number(c, cell); };
  const auto at_least = [&](std::size_t c, Coordinate cell) { return bits ? z3::uge(point[c], number(c, cell)) : point[c] >= number(c, cell); };
  for (std::size_t c = 0; c < boxes.columns(); ++c) solver.add(at_least(c, 0) && at_most(c, boxes.widths()[c] - 1));
  for (std::size_t b = 0; b < boxes.size(); ++b) {
    z3::expr_vector outside(context);
    for (std::size_t c = 0; c < boxes.columns(); ++c) {
      if (boxes.low(b)[c] > 0) outside.push_back(at_most(c, boxes.low(b)[c] - 1));
      if (boxes.high(b)[c] + 1 < boxes.widths()[c]) outside.push_back(at_least(c, boxes.high(b)[c] + 1));
    }
    solver.add(z3::mk_or(outside));
  }
  if (solver.check() != z3::sat) return std::nullopt;
  const z3::model model = solver.get_model();
  std::vector<Coordinate> found;
  for (const z3::expr& column : point) found.push_back(static_cast<Coordinate>(model.eval(column, true).get_numeral_uint()));
  return found;
}

}  // namespace betony::bench::peers
