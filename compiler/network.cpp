#include "compiler/network.h"

#include <algorithm>

namespace betony {

// Bellman and Ford, from a point before all others.
std::vector<Index> Network::contradiction() const {
  std::vector<Distance> distance(points_);
  std::vector<Index> by(points_, no_index);  // the bound that set it last
  Index changed = no_index;
  for (std::size_t round = 0; round <= points_; ++round) {
    changed = no_index;
    for (Index b = 0; b < bounds_.size(); ++b) {
      const Distance further = distance[bounds_[b].from] + bounds_[b].most;
      if (!(further < distance[bounds_[b].to])) continue;
      distance[bounds_[b].to] = further;
      by[bounds_[b].to] = b;
      changed = bounds_[b].to;
    }
    if (changed == no_index) return {};
  }
  for (std::size_t i = 0; i < points_; ++i) changed = bounds_[by[changed]].from;  // now surely on the circle
  std::vector<Index> circle;
  Index point = changed;
  do {
    circle.push_back(by[point]);
    point = bounds_[by[point]].from;
  } while (point != changed);
  std::reverse(circle.begin(), circle.end());
  return circle;
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
