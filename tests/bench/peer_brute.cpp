#include <algorithm>

#include "tests/bench/peers.h"

namespace betony::bench::peers {

std::vector<Meeting> brute_pairs(const Boxes& boxes) {
  std::vector<Meeting> pairs;
  const std::size_t columns = boxes.columns();
  const auto count = static_cast<std::uint32_t>(boxes.size());
  for (std::uint32_t i = 0; i < count; ++i) {
    const Coordinate *low_i = boxes.low(i), *high_i = boxes.high(i);
    for (std::uint32_t j = i + 1; j < count; ++j) {
      const Coordinate *low_j = boxes.low(j), *high_j = boxes.high(j);
      std::size_t c = 0;
      while (c < columns && low_i[c] <= high_j[c] && low_j[c] <= high_i[c]) ++c;
      if (c == columns) pairs.push_back({i, j});
    }
  }
  return pairs;
}

namespace {

// Boxes laid one behind the other; a low and a high corner each.
class Rest {
 public:
  explicit Rest(std::size_t columns) : columns_(columns) {}
  void start(const Coordinate* low, const Coordinate* high) {
    corners_.assign(low, low + columns_);
    corners_.insert(corners_.end(), high, high + columns_);
  }
  // Cuts the box out of everything: what it meets is replaced by the slabs around it.
  void cut_out(const Coordinate* low, const Coordinate* high) {
    next_.clear();
    for (std::size_t at = 0; at < corners_.size(); at += 2 * columns_) {
      Coordinate *rest_low = &corners_[at], *rest_high = &corners_[at + columns_];
      std::size_t c = 0;
      while (c < columns_ && low[c] <= rest_high[c] && rest_low[c] <= high[c]) ++c;
      if (c < columns_) {
        next_.insert(next_.end(), rest_low, rest_low + 2 * columns_);
        continue;
      }
      for (c = 0; c < columns_; ++c) {
        if (rest_low[c] < low[c]) {
          next_.insert(next_.end(), rest_low, rest_low + 2 * columns_);
          next_[next_.size() - columns_ + c] = low[c] - 1;
          rest_low[c] = low[c];
        }
        if (rest_high[c] > high[c]) {
          next_.insert(next_.end(), rest_low, rest_low + 2 * columns_);
          next_[next_.size() - 2 * columns_ + c] = high[c] + 1;
          rest_high[c] = high[c];
        }
      }
    }
    corners_.swap(next_);
  }
  std::size_t size() const { return corners_.size() / (2 * columns_); }
  const Coordinate* low(std::size_t i) const { return &corners_[i * 2 * columns_]; }
  const Coordinate* high(std::size_t i) const { return low(i) + columns_; }

 private:
  std::size_t columns_;
  std::vector<Coordinate> corners_, next_;
};

}  // namespace

Weights::Narrow brute_uncovered(const Boxes& boxes, const Weights& weights, const std::vector<Meeting>& pairs) {
  std::vector<std::vector<std::uint32_t>> earlier(boxes.size());
  for (const Meeting& pair : pairs) earlier[pair.later].push_back(pair.earlier);
  Rest rest(boxes.columns());
  Weights::Narrow covered = 0;
  for (std::size_t b = 0; b < boxes.size(); ++b) {
    rest.start(boxes.low(b), boxes.high(b));
    for (const std::uint32_t other : earlier[b]) rest.cut_out(boxes.low(other), boxes.high(other));
    for (std::size_t i = 0; i < rest.size(); ++i) covered += weights.narrow(rest.low(i), rest.high(i));
  }
  const std::vector<Coordinate> low(boxes.columns(), 0);
  std::vector<Coordinate> high = boxes.widths();
  for (Coordinate& cell : high) --cell;
  return weights.narrow(low.data(), high.data()) - covered;
}

Boxes brute_uncovered_boxes(const Boxes& boxes) {
  Rest rest(boxes.columns());
  const std::vector<Coordinate> low(boxes.columns(), 0);
  std::vector<Coordinate> high = boxes.widths();
  for (Coordinate& cell : high) --cell;
  rest.start(low.data(), high.data());
  for (std::size_t b = 0; b < boxes.size(); ++b) rest.cut_out(boxes.low(b), boxes.high(b));
  Boxes left(boxes.widths());
  for (std::size_t i = 0; i < rest.size(); ++i) left.add_row({rest.low(i), boxes.columns()}, {rest.high(i), boxes.columns()});
  return left;
}

}  // namespace betony::bench::peers
