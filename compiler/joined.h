// compiler/joined.h: sets that grow together (union by the smaller index, paths halved).
#pragma once

#include <algorithm>
#include <numeric>
#include <vector>

#include "compiler/ruleset.h"

namespace betony {

class Joined {
 public:
  explicit Joined(std::size_t count) : parent_(count) { std::iota(parent_.begin(), parent_.end(), Index{0}); }
  Index root(Index i) {
    while (parent_[i] != i) i = parent_[i] = parent_[parent_[i]];
    return i;
  }
  void join(Index a, Index b) {
    a = root(a), b = root(b);
    parent_[std::max(a, b)] = std::min(a, b);
  }

 private:
  std::vector<Index> parent_;
};

}  // namespace betony
