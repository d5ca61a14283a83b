// compiler/check/all_but_one.h: some conditions, asked about without one of them.
//
// Each node of a tree of halves holds the union of what is below it; without one of them only the unions on its way to
// the root are put together anew, and these are as before nearly everywhere. So is the difference to all of them.
// Running unions from both ends were tried: those of boxes that are nearly a partition grow large, one by one.
// Cost      as many unions as there are conditions, once; then O(log) unions for each that is asked about.
// Tested by tests/unit/parts_test.cpp
#pragma once

#include <map>

#include "compiler/graph.h"

namespace betony {

class AllButOne {
 public:
  using Node = Graph::Node;

  AllButOne() = default;
  AllButOne(Graph& graph, const std::vector<Node>& parts) : graph_(&graph), count_(parts.size()), unions_(2 * parts.size(), Graph::no) {
    for (std::size_t i = 0; i < count_; ++i) unions_[count_ + i] = parts[i];
    for (std::size_t i = count_; i-- > 1;) unions_[i] = graph.either(unions_[2 * i], unions_[2 * i + 1]);
  }

  Node all() const { return count_ == 0 ? Graph::no : unions_[1]; }
  // Where another than this holds.
  Node but(std::size_t one) {
    const auto [at, is_new] = but_.try_emplace(one, Graph::no);
    if (is_new)
      for (std::size_t node = count_ + one; node > 1; node /= 2) at->second = graph_->either(at->second, unions_[node ^ 1]);
    return at->second;
  }
  // Those of `within` for whom no other holds.
  Node no_other(std::size_t one, Node within) {
    const Node own = unions_[count_ + one], outside = graph_->without(within, own);
    const Node alone = graph_->both(within, graph_->without(all(), but(one)));
    return outside == Graph::no ? alone : graph_->either(alone, graph_->without(outside, all()));
  }

 private:
  Graph* graph_ = nullptr;  // borrowed
  std::size_t count_ = 0;
  std::vector<Node> unions_;  // [1]: of all; [n]: of [2n] and [2n + 1]; the conditions themselves from count_ on
  std::map<std::size_t, Node> but_;
};

}  // namespace betony
