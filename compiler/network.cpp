#include "compiler/network.h"

#include <algorithm>

namespace betony {

// A circle among the bounds that set each point last: it is of negative length. Empty if there is none.
std::vector<Index> Network::circle_behind(const std::vector<Index>& by) const {
  std::vector<Index> seen(points_, no_index);  // the walk in which a point was met first
  for (Index start = 0; start < points_; ++start) {
    Index point = start;
    while (seen[point] == no_index && by[point] != no_index) {
      seen[point] = start;
      point = bounds_[by[point]].from;
    }
    if (by[point] == no_index || seen[point] != start) continue;
    std::vector<Index> circle;
    const Index first = point;
    do {
      circle.push_back(by[point]);
      point = bounds_[by[point]].from;
    } while (point != first);
    std::reverse(circle.begin(), circle.end());
    return circle;
  }
  return {};
}

// Bellman and Ford, from a point before all others; a circle is looked for after every round.
std::vector<Index> Network::contradiction(std::uint64_t* steps) const {
  std::vector<Distance> distance(points_);
  std::vector<Index> by(points_, no_index);  // the bound that set it last
  while (true) {
    if (steps) {
      if (*steps < bounds_.size()) throw BudgetMet("bounds");
      *steps -= bounds_.size();
    }
    bool changed = false;
    for (Index b = 0; b < bounds_.size(); ++b) {
      const Distance further = distance[bounds_[b].from] + bounds_[b].most;
      if (!(further < distance[bounds_[b].to])) continue;
      distance[bounds_[b].to] = further;
      by[bounds_[b].to] = b;
      changed = true;
    }
    if (!changed) return {};
    if (auto circle = circle_behind(by); !circle.empty()) return circle;
  }
}

std::vector<std::vector<std::optional<Distance>>> Network::distances() const {
  std::vector<std::vector<std::optional<Distance>>> d(points_, std::vector<std::optional<Distance>>(points_));
  const auto tighten = [&](Index from, Index to, const Distance& most) {
    if (!d[from][to] || most < *d[from][to]) d[from][to] = most;
  };
  for (Index i = 0; i < points_; ++i) d[i][i] = Distance{};
  for (const Bound& b : bounds_) tighten(b.from, b.to, b.most);
  for (Index k = 0; k < points_; ++k)
    for (Index i = 0; i < points_; ++i)
      for (Index j = 0; j < points_ && d[i][k]; ++j)
        if (d[k][j]) tighten(i, j, *d[i][k] + *d[k][j]);
  return d;
}

}  // namespace betony
