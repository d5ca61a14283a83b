// compiler/cover_graph.h: what some boxes cover, as an ordered graph over their columns.
//
// Reduced, ordered, hash-consed as compiler/graph.h, but for boxes over wide columns: a node keeps runs of cells that
// lead to the same place instead of one child a cell, has two leaves only (open, covered), and forgets what is not needed any more while it
// is built. A graph of independent boxes that overlap in heaps stays small where splitting them explodes.
//   1. children lie on deeper levels than their parent, and before it (a child's number is smaller);
//   2. neighbouring runs of a node lead to different places, the last one ends with the column, and there are two or more;
//   3. no two nodes have the same level and the same runs. (`verify` walks and proves all three.)
// The unique table and the cache of results compare whole keys; no hash is taken on trust.
//
// Build     The boxes, sorted by their low corners in the order of the columns, are combined in a balanced way: neighbours
//           share their upper parts. The order of the columns decides the size: see `order_for`.
// Cost      Steps (runs looked at) count against `Spending`, nodes in the making against `most_nodes`; past either, BudgetMet.
//           Memory: some 40 bytes a node and 8 a run. Recursion is as deep as there are columns.
// Tested by tests/unit/cover_test.cpp
#pragma once

#include <functional>

#include "compiler/boxes.h"

namespace betony {

class CoverGraph {
 public:
  using Node = std::uint32_t;
  static constexpr Node open = 0, covered = 1;
  static constexpr std::size_t most_columns = 5'000;  // protects the stack

  // order[level]: the column that is asked there; each column once.
  CoverGraph(const Boxes& boxes, std::vector<std::uint32_t> order, Spending& spending, std::size_t most_nodes = 2'000'000);

  Node root() const { return root_; }
  std::size_t size() const;  // inner nodes
  const std::vector<std::uint32_t>& order() const { return order_; }

  mpz_class uncovered(const Weights& weights) const;  // what all open points weigh together
  std::optional<std::vector<Coordinate>> uncovered_point() const;
  // The ways to `open`, each a box, disjoint; the rest is left out once `each` says false.
  void for_each_open_box(const std::function<bool(const std::vector<Coordinate>& low, const std::vector<Coordinate>& high)>& each) const;

  std::string print() const;   // a node a line, root first: "4: column 2 ? 0-3 -> 2, 4 -> covered"
  std::string verify() const;  // what is broken, in words, or empty

 private:
  struct Record { std::uint32_t level, begin, count; };  // runs_[begin .. begin + count)
  struct Run {
    Coordinate end;  // its last cell; the first follows on the run before
    Node child;
    friend bool operator==(const Run&, const Run&) = default;
  };
  struct Kept { Node a = 0, b = 0, result = 0; };
  static constexpr std::uint32_t leaf_level = 0xffffffffu;

  Node box_node(const Boxes& boxes, std::size_t box);
  Node either(Node a, Node b);
  Node make(std::uint32_t level, std::size_t scratch_begin);  // of the runs on scratch from there on, which it takes off
  void put(Coordinate end, Node child, std::size_t scratch_begin);
  std::uint64_t hash(std::uint32_t level, const Run* runs, std::size_t count) const;
  void insert(Node node);
  void forget_all_but(std::vector<Node>& roots);
  template <class Number>
  Number count_open(const Weights& weights) const;

  std::vector<std::uint32_t> order_, widths_;  // by level
  Spending* spending_;
  std::size_t most_nodes_;
  std::vector<Record> nodes_;
  std::vector<Run> runs_, scratch_;
  std::vector<Node> table_;  // unique table, open addressing; 0 is free
  std::vector<Kept> cache_;
  Node root_ = open;
};

// A good order of the columns: six are tried on an eighth of the boxes (25 at least), none for much longer than the quickest
// took, and the one with the smallest graph is taken. BudgetMet.
std::vector<std::uint32_t> order_for(const Boxes& boxes, Spending& spending);
// The six.
std::vector<std::vector<std::uint32_t>> orders_to_try(const Boxes& boxes);

}  // namespace betony
