// compiler/splitter.h: the cut that all searches over boxes share. Inside of compiler/boxes.h; not for others.
#pragma once

#include <bit>

#include "compiler/boxes.h"

namespace betony {

// A region of the grid, and lists of the boxes that touch it. Lists lie one behind the other on a stack.
class Splitter {
 protected:
  Splitter(const Boxes& boxes, Spending& spending)
      : boxes_(boxes), spending_(spending), columns_(static_cast<std::uint32_t>(boxes.columns())), low_(columns_, 0), high_(boxes.widths()) {
    for (Coordinate& cell : high_) --cell;
  }

  struct Cut {
    std::uint32_t column = 0;
    Coordinate at = 0;  // the first cell on the right
    std::uint64_t left = 0, right = 0;  // boxes that touch each side
  };
  struct List {
    std::size_t begin, end;  // on the stack
    std::size_t size() const { return end - begin; }
  };

  // n log2 n in whole numbers: how long the ways in a balanced tree of n leaves are, all together.
  static std::uint64_t order_of(std::uint64_t n) {
    if (n == 0) return 0;
    const std::uint64_t depth = static_cast<std::uint64_t>(std::bit_width(n)) - 1;
    return n * depth + 2 * (n - (std::uint64_t{1} << depth));
  }

  // The best cut along a side of a box; false if no side of any box lies within the region.
  bool best_cut(List list, Cut& best) {
    std::uint64_t least = ~std::uint64_t{0};
    for (std::uint32_t c = 0; c < columns_; ++c) {
      const std::size_t width = high_[c] - low_[c];
      if (width == 0) continue;
      spending_.spend(list.size() + 8);
      if (width <= 4 * list.size() + 16) by_counting(list, c, least, best);
      else by_sorting(list, c, least, best);
    }
    return least != ~std::uint64_t{0};
  }

  // Those of the list that touch the left, or the right of the cut, put on the stack.
  List left_of(List list, const Cut& cut) {
    const std::size_t begin = stack_.size();
    stack_.resize(begin + cut.left);
    std::size_t at = begin;
    for (std::size_t i = list.begin; i < list.end; ++i)
      if (boxes_.low(stack_[i])[cut.column] < cut.at) stack_[at++] = stack_[i];
    return {begin, at};
  }
  List right_of(List list, const Cut& cut) {
    const std::size_t begin = stack_.size();
    stack_.resize(begin + cut.right);
    std::size_t at = begin;
    for (std::size_t i = list.begin; i < list.end; ++i)
      if (boxes_.high(stack_[i])[cut.column] >= cut.at) stack_[at++] = stack_[i];
    return {begin, at};
  }
  void drop(List list) { stack_.resize(list.begin); }

  static constexpr std::size_t deepest = 500;  // cuts within cuts; protects the stack (some 50 are usual)

  // Runs `on_left` and `on_right` with the region narrowed to the side.
  template <class Left, class Right>
  void on_both_sides(const Cut& cut, Left&& on_left, Right&& on_right) {
    if (++depth_ > deepest) throw BudgetMet("cuts within cuts");
    const Coordinate kept_low = low_[cut.column], kept_high = high_[cut.column];
    high_[cut.column] = cut.at - 1;
    on_left();
    high_[cut.column] = kept_high;
    low_[cut.column] = cut.at;
    on_right();
    low_[cut.column] = kept_low;
    --depth_;
  }

  bool holds_region(std::uint32_t box) const {
    const Coordinate *low = boxes_.low(box), *high = boxes_.high(box);
    for (std::uint32_t c = 0; c < columns_; ++c)
      if (low[c] > low_[c] || high[c] < high_[c]) return false;
    return true;
  }

  const Boxes& boxes_;
  Spending& spending_;
  std::uint32_t columns_;
  std::vector<Coordinate> low_, high_;  // the region
  std::vector<std::uint32_t> stack_;

 private:
  void weigh(std::uint32_t column, Coordinate at, std::uint64_t left, std::uint64_t right, std::uint64_t& least, Cut& best) {
    const std::uint64_t cost = order_of(left) + order_of(right);
    if (cost >= least) return;
    least = cost;
    best = {column, at, left, right};
  }

  void by_counting(List list, std::uint32_t c, std::uint64_t& least, Cut& best) {
    const Coordinate low = low_[c], high = high_[c];
    sides_.assign(high - low + 1, {0, 0});
    for (std::size_t i = list.begin; i < list.end; ++i) {
      const Coordinate begin = boxes_.low(stack_[i])[c], end = boxes_.high(stack_[i])[c];
      if (begin > low) ++sides_[begin - low].begun;
      if (end < high) ++sides_[end + 1 - low].ended;
    }
    std::uint64_t begun_later = 0;
    for (const Sides& sides : sides_) begun_later += sides.begun;
    std::uint64_t left = list.size() - begun_later, right = list.size();
    for (std::size_t at = 1; at < sides_.size(); ++at) {
      right -= sides_[at].ended;
      if (sides_[at].begun | sides_[at].ended) weigh(c, low + static_cast<Coordinate>(at), left, right, least, best);
      left += sides_[at].begun;
    }
  }

  void by_sorting(List list, std::uint32_t c, std::uint64_t& least, Cut& best);

  struct Sides {
    std::uint32_t begun, ended;  // boxes that begin at a cell, that end before it
  };
  std::size_t depth_ = 0;
  std::vector<Sides> sides_;
  std::vector<Coordinate> begins_, ends_;
};

}  // namespace betony
