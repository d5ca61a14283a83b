// tests/bench/peers.h: other ways to answer the same questions, each as good as its author could make it.
//
//   brute    every pair of rows compared, column by column, left at the first column that parts them; what is left of a box
//            or of the grid by cutting slabs off, one row after the other
//   BuDDy    binary decision diagrams: a column is a code of whole bits, high bit first; rows sorted by their low corners in the order of the
//            columns and combined in a balanced way; the sides of boxes are made once each; the order is the quickest of the six that Betony tries
//   Z3       a solver: one integer a column, or one vector of bits; a row is "not all of its sides"
//   CaDiCaL  a SAT solver: one variable for "column c is at cell i or beyond"; a row is a clause
// Compiled as everything else here (-O2).
#pragma once

#include <optional>

#include "compiler/boxes.h"

namespace betony::bench::peers {

// ---- brute
std::vector<Meeting> brute_pairs(const Boxes& boxes);
Weights::Narrow brute_uncovered(const Boxes& boxes, const Weights& weights, const std::vector<Meeting>& pairs);  // where weights fit
Boxes brute_uncovered_boxes(const Boxes& boxes);

// ---- BuDDy
class Buddy {  // one at a time
 public:
  Buddy();
  ~Buddy();
  // The union of all boxes and what is left of the grid; true if nothing is left.
  bool cover(const Boxes& boxes, const std::vector<std::uint32_t>& order);
  int nodes() const { return nodes_; }           // of what is covered
  double uncovered_share() const { return share_; }  // as its floating-point count has it, of cells

 private:
  int nodes_ = 0;
  double share_ = 0;
};

// ---- Z3
std::optional<std::vector<Coordinate>> z3_uncovered_point(const Boxes& boxes, bool bits);

// ---- CaDiCaL: true if there is none, by proof
bool cadical_no_uncovered_point(const Boxes& boxes);
bool cadical_no_overlap(const Boxes& boxes);  // rows of one box each

}  // namespace betony::bench::peers
