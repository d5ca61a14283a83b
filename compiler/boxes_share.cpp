// The uncovered share, and the rows that others cover: what a box has apart from its neighbours.
#include <algorithm>

#include "compiler/splitter.h"

namespace betony {

namespace {

// How much of one box some others cover, in whole numbers `Number` (128 bits, or GMP's).
template <class Number>
class Covered : Splitter {
 public:
  Covered(const Boxes& boxes, const Weights& weights, Spending& spending)
      : Splitter(boxes, spending), weights_(weights), low_shared_(columns_), high_shared_(columns_) {}

  Number of(std::uint32_t box, std::span<const std::uint32_t> others) {
    std::copy_n(boxes_.low(box), columns_, low_.begin());
    std::copy_n(boxes_.high(box), columns_, high_.begin());
    stack_.assign(others.begin(), others.end());
    return look({0, stack_.size()});
  }
  Number size(const Coordinate* low, const Coordinate* high) const {
    if constexpr (std::is_same_v<Number, mpz_class>) return weights_.wide(low, high);
    else return weights_.narrow(low, high);
  }

 private:
  Number look(List list) {
    spending_.spend(list.size() + 1);
    if (list.size() == 0) return 0;
    for (std::size_t i = list.begin; i < list.end; ++i)
      if (holds_region(stack_[i])) return size(low_.data(), high_.data());
    if (list.size() == 1) return shared(stack_[list.begin], stack_[list.begin]);
    if (list.size() == 2) {
      const std::uint32_t a = stack_[list.begin], b = stack_[list.begin + 1];
      return shared(a, a) + shared(b, b) - shared(a, b);
    }
    Cut cut;
    best_cut(list, cut);  // there is one: no box holds the region
    Number sum = 0;
    on_both_sides(
        cut, [&] { const List left = left_of(list, cut); sum += look(left); drop(left); },
        [&] { const List right = right_of(list, cut); sum += look(right); drop(right); });
    return sum;
  }

  // What two boxes (or one, twice) and the region share.
  Number shared(std::uint32_t a, std::uint32_t b) {
    for (std::uint32_t c = 0; c < columns_; ++c) {
      low_shared_[c] = std::max({low_[c], boxes_.low(a)[c], boxes_.low(b)[c]});
      high_shared_[c] = std::min({high_[c], boxes_.high(a)[c], boxes_.high(b)[c]});
      if (low_shared_[c] > high_shared_[c]) return 0;
    }
    return size(low_shared_.data(), high_shared_.data());
  }

  const Weights& weights_;
  std::vector<Coordinate> low_shared_, high_shared_;
};

// The meetings box by box: those of box b stand from begin[b] to begin[b + 1].
struct Neighbours {
  std::vector<std::uint32_t> begin, boxes;
  std::span<const std::uint32_t> of(std::uint32_t box) const { return {boxes.data() + begin[box], boxes.data() + begin[box + 1]}; }

  // `wanted(a, b)`: whether a counts among b's.
  template <class Wanted>
  Neighbours(std::size_t box_count, const std::vector<Meeting>& meetings, Wanted wanted) : begin(box_count + 1, 0) {
    const auto each = [&](auto what) {
      for (const Meeting& m : meetings) {
        if (wanted(m.earlier, m.later)) what(m.earlier, m.later);
        if (wanted(m.later, m.earlier)) what(m.later, m.earlier);
      }
    };
    each([&](std::uint32_t, std::uint32_t b) { ++begin[b + 1]; });
    for (std::size_t b = 0; b < box_count; ++b) begin[b + 1] += begin[b];
    boxes.resize(begin.back());
    std::vector<std::uint32_t> free(begin.begin(), begin.end() - 1);
    each([&](std::uint32_t a, std::uint32_t b) { boxes[free[b]++] = a; });
  }
};

template <class Number>
mpz_class as_mpz(const Number& number) {
  if constexpr (std::is_same_v<Number, mpz_class>) return number;
  else return to_mpz(number);
}

template <class Number>
Share uncovered_share_in(const Boxes& boxes, const Weights& weights, const std::vector<Meeting>& meetings, Spending& spending) {
  const Neighbours earlier(boxes.size(), meetings, [](std::uint32_t a, std::uint32_t b) { return a < b; });
  Covered<Number> covered(boxes, weights, spending);
  mpz_class open = weights.all(), doubtful = 0;  // what is left over for certain or doubtful; of it doubtful
  Number sum = 0;  // no more than all: the parts are disjoint
  bool met = false;
  for (std::uint32_t box = 0; box < boxes.size(); ++box) {
    const auto neighbours = earlier.of(box);
    const Number size = covered.size(boxes.low(box), boxes.high(box));
    if (neighbours.empty()) {
      sum += size;
      continue;
    }
    try {
      if (!met) {
        sum += size - covered.of(box, neighbours);
        continue;
      }
    } catch (const BudgetMet&) {
      met = true;
    }
    doubtful += as_mpz(size);
  }
  open -= as_mpz(sum);
  const mpz_class least = std::max(mpz_class(0), mpz_class(open - doubtful));
  return {!met, weights.share(least), weights.share(open)};
}

}  // namespace

Share uncovered_share(const Boxes& boxes, const Weights& weights, const std::vector<Meeting>& meetings, Spending& spending) {
  if (weights.all() == 0) return {true, 0, 0};
  return weights.fits() ? uncovered_share_in<Weights::Narrow>(boxes, weights, meetings, spending)
                        : uncovered_share_in<mpz_class>(boxes, weights, meetings, spending);
}

std::vector<bool> covered_rows(const Boxes& boxes, const std::vector<Meeting>& meetings, Spending& spending) {
  const Neighbours alike(boxes.size(), meetings, [&](std::uint32_t a, std::uint32_t b) {
    const Index row_a = boxes.row(a), row_b = boxes.row(b);
    return row_a != row_b && boxes.colour(row_a) == boxes.colour(row_b);
  });
  const Weights points = Weights::counting(boxes.widths());  // not weights: a point of no weight is a point
  const auto find = [&](auto covered) {
    std::vector<bool> found(boxes.row_count(), true);
    for (std::uint32_t box = 0; box < boxes.size(); ++box) {
      const Index row = boxes.row(box);
      if (found[row]) found[row] = !alike.of(box).empty() && covered.of(box, alike.of(box)) == covered.size(boxes.low(box), boxes.high(box));
    }
    return found;
  };
  return points.fits() ? find(Covered<Weights::Narrow>(boxes, points, spending)) : find(Covered<mpz_class>(boxes, points, spending));
}

}  // namespace betony
