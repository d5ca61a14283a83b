// compiler/graph.h: decision graphs: reduced, ordered, many-valued, hash-consed, with any number of leaves.
//
// A `Graph` holds nodes over levels 0, 1, 2, ...; level l has `widths[l]` cells, and an inner node at l has
// one child for each, all on deeper levels. Leaves carry a whole number: 0 and 1 for a condition, a
// verdict's code, a sum of points. Invariants (`verify` walks and proves them):
//   1. children lie on deeper levels than their parent;
//   2. no node has all its children equal;
//   3. no two nodes have the same level and the same children, no two leaves the same number.
// So two nodes are the same function exactly if they are the same index. The unique table and the
// operation cache compare whole keys; no hash is taken on trust.
//
// Cost      an operation on nodes of sizes m and n takes O(m · n · width) steps at the worst and makes as
//           many nodes. Every step counts against the budget; past it `BudgetMet` is thrown and the graph
//           stays valid. Recursion is as deep as there are levels (`most_levels`).
// Source    Bryant, IEEE Trans. Computers C-35(8), 1986; many-valued as in Srinivasan, Kam, Malik, Brayton, ICCAD 1990.
// Tested by tests/unit/graph_test.cpp
#pragma once

#include <chrono>
#include <cstdint>
#include <functional>
#include <optional>
#include <span>
#include <stdexcept>
#include <string>
#include <unordered_map>
#include <vector>

#include "compiler/ruleset.h"

namespace betony {

// A search has cost more than it may; what it was for stays `not settled`.
struct BudgetMet : std::runtime_error {
  using std::runtime_error::runtime_error;
};

// What several graphs may cost together, in steps and in time.
class Account {
 public:
  using Clock = std::chrono::steady_clock;
  explicit Account(std::uint64_t steps, std::optional<Clock::time_point> until = std::nullopt) : left_(steps), until_(until) {}
  void spend(std::uint64_t steps);        // past what is left, or past the time, BudgetMet
  std::uint64_t left() const { return left_; }
  bool exhausted() const { return exhausted_; }

 private:
  static constexpr std::uint64_t steps_between_looks = 20'000;  // at the clock: under a millisecond
  std::uint64_t left_, unlooked_ = 0;
  std::optional<Clock::time_point> until_;
  bool exhausted_ = false;
};

class Graph {
 public:
  using Node = std::uint32_t;
  static constexpr Node no = 0, yes = 1;                    // the leaves 0 and 1
  static constexpr std::uint32_t leaf_level = 0xffffffffu;
  static constexpr std::size_t most_levels = 5'000;         // protects the stack

  struct Limit {
    std::uint64_t nodes = 2'000'000, steps = 40'000'000;
    Account* account = nullptr;     // shared with other graphs; those that met their own budget are charged too
  };

  // Throws BudgetMet if there are more than `most_levels` levels.
  Graph(std::vector<std::uint32_t> widths, const Limit& limit);

  Node leaf(std::int64_t number);
  Node literal(std::uint32_t level, const std::vector<bool>& cells);  // yes in these cells
  Node make(std::uint32_t level, std::span<const Node> children);     // reduces and shares

  // Conditions.
  Node both(Node a, Node b) { return apply(Operation::both, a, b); }
  Node either(Node a, Node b) { return apply(Operation::either, a, b); }
  Node without(Node a, Node b) { return apply(Operation::without, a, b); }  // a and not b
  Node negation(Node a) { return without(yes, a); }
  // These two make no nodes, and go no further than to the first person who decides.
  bool inside(Node a, Node b) { return !anywhere(Operation::without, a, b); }
  bool meet(Node a, Node b) { return anywhere(Operation::both, a, b); }
  // Many at once, by balanced combination in the order given (keep neighbours alike).
  Node all(std::vector<Node> parts) { return combine(Operation::both, std::move(parts), yes); }
  Node any(std::vector<Node> parts) { return combine(Operation::either, std::move(parts), no); }

  // Numbers.
  Node plus(Node a, Node b) { return apply(Operation::plus, a, b); }
  Node sum(std::vector<Node> parts) { return combine(Operation::plus, std::move(parts), no); }
  Node choose(Node condition, Node then, Node otherwise);
  Node differing(Node a, Node b) { return apply(Operation::differing, a, b); }  // where their leaves differ
  Node map(Node a, const std::function<std::int64_t(std::int64_t)>& number);
  Node where(Node a, const std::function<bool(std::int64_t)>& accepted);  // as a condition
  // A node that agrees with `a` wherever `care` holds (not `no`) and is no larger in the usual case: where
  // nobody is possible it goes along with a neighbour (Coudert, Madre, ICCAD 1990, "restrict").
  Node simplified(Node a, Node care);
  // For every cell of the level (there: is there one, are all).
  Node exists(Node a, std::uint32_t level) { return quantify(a, level, Operation::either); }
  Node for_all(Node a, std::uint32_t level) { return quantify(a, level, Operation::both); }

  bool is_leaf(Node a) const { return nodes_[a].level == leaf_level; }
  std::int64_t number(Node leaf) const { return numbers_[nodes_[leaf].begin]; }
  std::uint32_t level(Node a) const { return nodes_[a].level; }
  std::span<const Node> children(Node a) const { return {children_.data() + nodes_[a].begin, widths_[nodes_[a].level]}; }
  const std::vector<std::uint32_t>& widths() const { return widths_; }

  std::vector<std::uint32_t> support(Node a) const;   // levels it depends on, ascending
  std::vector<Node> reachable(Node a) const;          // each once, by level, so parents before children
  std::size_t size() const { return nodes_.size(); }
  std::uint64_t steps() const { return steps_; }
  void spend(std::uint64_t steps);                    // work done elsewhere on this graph's account

  // The probability of `yes`, where cell c of level l has probability weights[l][c].
  Rational probability(Node condition, const std::vector<std::vector<Rational>>& weights) const;
  // Its least and its most, where these probabilities are known only to lie from weights[l][c] to
  // weights[l][c] + slack[l][c]; those of a level are 1 together, so what some cells have more the others have less.
  std::pair<Rational, Rational> probability(Node condition, const std::vector<std::vector<Rational>>& weights,
                                            const std::vector<std::vector<Rational>>& slack) const;

 private:
  enum class Operation : std::uint32_t { both, either, without, plus, differing, choose, free };
  struct Record { std::uint32_t level, begin; };      // leaf: begin indexes numbers_
  struct Kept { Operation operation = Operation::free; Node a = 0, b = 0, c = 0, result = 0; };

  Node apply(Operation operation, Node a, Node b);
  bool anywhere(Operation operation, Node a, Node b);  // both, without: whether the result is not `no`
  Node combine(Operation operation, std::vector<Node> parts, Node neutral);
  Node quantify(Node a, std::uint32_t level, Operation operation);
  bool settled(Operation operation, Node& a, Node& b, Node& result);
  Kept& kept(Operation operation, Node a, Node b, Node c);
  std::optional<Node> remembered(Operation operation, Node a, Node b);
  std::uint64_t hash(std::uint32_t level, const Node* children, std::size_t count) const;
  void grow();

  std::vector<std::uint32_t> widths_;
  Limit limit_;
  std::uint64_t steps_ = 0;
  std::vector<Record> nodes_;
  std::vector<Node> children_;
  std::vector<std::int64_t> numbers_;
  std::unordered_map<std::int64_t, Node> leaves_;
  std::vector<Node> table_;                           // unique table, open addressing; 0 is free (a leaf is never in it)
  std::size_t in_table_ = 0;
  std::vector<Kept> cache_;
  std::vector<Node> scratch_;                         // children in the making, one stack for all recursions
};

// Proves the invariants for everything below `root`; what is broken, in words, or empty.
std::string verify(const Graph& graph, Graph::Node root);

// A node a line, root first: "2: age ? 0-1 -> 5, 2 -> leaf 1". `name` gives a level's name.
std::string print(const Graph& graph, Graph::Node root, const std::function<std::string(std::uint32_t)>& name);

}  // namespace betony
