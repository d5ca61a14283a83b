#include "compiler/boxes.h"

#include <algorithm>
#include <numeric>

#include "compiler/splitter.h"

namespace betony {

// ---------------------------------------------------------------- boxes

void Boxes::begin_row(Index colour) {
  first_.push_back(static_cast<std::uint32_t>(rows_.size()));
  colours_.push_back(colour);
}

void Boxes::add(std::span<const Coordinate> low, std::span<const Coordinate> high) {
  corners_.insert(corners_.end(), low.begin(), low.end());
  corners_.insert(corners_.end(), high.begin(), high.end());
  rows_.push_back(static_cast<Index>(first_.size() - 1));
}

void Boxes::reserve(std::size_t rows) {
  corners_.reserve(rows * 2 * widths_.size());
  rows_.reserve(rows);
  first_.reserve(rows);
  colours_.reserve(rows);
}

bool Boxes::meet(std::size_t a, std::size_t b) const {
  const Coordinate *low_a = low(a), *high_a = high(a), *low_b = low(b), *high_b = high(b);
  for (std::size_t c = 0; c < columns(); ++c)
    if (low_a[c] > high_b[c] || low_b[c] > high_a[c]) return false;
  return true;
}

bool Boxes::contains(std::size_t box, std::span<const Coordinate> point) const {
  const Coordinate *low_cell = low(box), *high_cell = high(box);
  for (std::size_t c = 0; c < columns(); ++c)
    if (point[c] < low_cell[c] || point[c] > high_cell[c]) return false;
  return true;
}

// ---------------------------------------------------------------- weights

mpz_class to_mpz(Weights::Narrow number) {
  mpz_class high = static_cast<unsigned long>(number >> 64);
  return (high << 64) + static_cast<unsigned long>(number);
}

Weights::Weights(const std::vector<std::vector<Rational>>& cells) {
  std::vector<std::vector<mpz_class>> sums;
  for (const std::vector<Rational>& column : cells) {
    mpz_class denominator = 1;
    for (const Rational& weight : column) mpz_lcm(denominator.get_mpz_t(), denominator.get_mpz_t(), weight.get_den_mpz_t());
    sums.push_back({0});
    for (const Rational& weight : column) sums.back().push_back(sums.back().back() + weight.get_num() * (denominator / weight.get_den()));
  }
  settle(std::move(sums));
}

Weights Weights::counting(const std::vector<std::uint32_t>& widths) {
  std::vector<std::vector<mpz_class>> sums;
  for (const std::uint32_t width : widths) {
    sums.emplace_back(width + 1);
    for (std::uint32_t cell = 0; cell <= width; ++cell) sums.back()[cell] = cell;
  }
  Weights weights;
  weights.settle(std::move(sums));
  return weights;
}

void Weights::settle(std::vector<std::vector<mpz_class>> sums) {
  all_ = 1;
  fits_ = true;
  for (const auto& column : sums) {
    all_ *= column.back();
    fits_ = fits_ && mpz_sizeinbase(column.back().get_mpz_t(), 2) <= 64;
  }
  fits_ = fits_ && mpz_sizeinbase(all_.get_mpz_t(), 2) <= 126;
  if (!fits_) {
    wide_ = std::move(sums);
    return;
  }
  for (const auto& column : sums) {
    narrow_.emplace_back();
    for (const mpz_class& sum : column) narrow_.back().push_back(sum.get_ui());
  }
}

Weights::Narrow Weights::narrow(const Coordinate* low, const Coordinate* high) const {
  Narrow product = 1;
  for (std::size_t c = 0; c < narrow_.size(); ++c) product *= narrow_[c][high[c] + 1] - narrow_[c][low[c]];
  return product;
}

mpz_class Weights::wide(const Coordinate* low, const Coordinate* high) const {
  mpz_class product = 1;
  for (std::size_t c = 0; c < wide_.size(); ++c) product *= wide_[c][high[c] + 1] - wide_[c][low[c]];
  return product;
}

Rational Weights::share(const mpz_class& part) const {
  if (all_ == 0) return 0;
  Rational share(part, all_);
  share.canonicalize();
  return share;
}

// ---------------------------------------------------------------- which meet

namespace {

// Tells every pair of boxes that meet, once, to `tell(a, b)` with a < b; stops when that says false.
template <class Tell>
class MeetingSearch : Splitter {
 public:
  MeetingSearch(const Boxes& boxes, Between between, Spending& spending, Tell& tell) : Splitter(boxes, spending), between_(between), tell_(tell) {
    stack_.resize(boxes.size());
    std::iota(stack_.begin(), stack_.end(), 0u);
  }
  void run() { look({0, stack_.size()}); }

 private:
  static constexpr std::size_t few = 48;  // so many are compared pair by pair: quicker than one more cut

  void look(List list) {
    if (list.size() < 2 || stopped_ || (between_ == Between::unlike_colours && of_one_colour(list))) return;
    Cut cut;
    if (list.size() <= few || !best_cut(list, cut) || !worthwhile(list.size(), cut)) return compare(list);
    on_both_sides(
        cut, [&] { const List left = left_of(list, cut); look(left); drop(left); },
        [&] { const List right = right_of(list, cut); look(right); drop(right); });
  }

  // Against comparing all pairs now: comparing them on both sides, and the partition itself.
  static bool worthwhile(std::uint64_t n, const Cut& cut) { return cut.left * cut.left + cut.right * cut.right + 32 * n < n * n; }

  bool of_one_colour(List list) const {
    const Index colour = colour_of(stack_[list.begin]);
    return std::all_of(stack_.begin() + static_cast<std::ptrdiff_t>(list.begin), stack_.begin() + static_cast<std::ptrdiff_t>(list.end),
                       [&](std::uint32_t box) { return colour_of(box) == colour; });
  }
  Index colour_of(std::uint32_t box) const { return boxes_.colour(boxes_.row(box)); }

  void compare(List list) {
    spending_.spend(list.size() * list.size() / 2);
    for (std::size_t i = list.begin; i < list.end; ++i)
      for (std::size_t j = i + 1; j < list.end; ++j) {
        const std::uint32_t a = stack_[i], b = stack_[j];
        if (!boxes_.meet(a, b) || !corner_here(a, b)) continue;
        if (between_ == Between::unlike_colours && colour_of(a) == colour_of(b)) continue;
        stopped_ = !tell_(a, b);
        if (stopped_) return;
      }
  }

  bool corner_here(std::uint32_t a, std::uint32_t b) const {
    for (std::uint32_t c = 0; c < columns_; ++c)
      if (std::max(boxes_.low(a)[c], boxes_.low(b)[c]) < low_[c]) return false;
    return true;
  }

  Between between_;
  Tell& tell_;
  bool stopped_ = false;
};

template <class Tell>
void search_meetings(const Boxes& boxes, Between between, Spending& spending, Tell tell) {
  MeetingSearch<Tell>(boxes, between, spending, tell).run();
}

// Collects pairs of rows out of meetings of boxes: two rows of several boxes may meet in many, and count in the first.
class RowPairs {
 public:
  RowPairs(const Boxes& boxes, Between between, std::size_t most, Spending& spending)
      : boxes_(boxes), between_(between), most_(most), spending_(spending) {}

  void add(std::uint32_t earlier, std::uint32_t later) {
    const Index first = boxes_.row(earlier), second = boxes_.row(later);
    if (first == second || (between_ == Between::unlike_colours && boxes_.colour(first) == boxes_.colour(second))) return;
    for (std::size_t a = boxes_.first(first); a <= earlier; ++a) {
      spending_.spend(boxes_.last(second) - boxes_.first(second));
      for (std::size_t b = boxes_.first(second); b < (a == earlier ? later : boxes_.last(second)); ++b)
        if (boxes_.meet(a, b)) return;
    }
    ++found_.count;
    found_.rows.emplace_back(first, second);
    if (found_.rows.size() >= 2 * most_ + 1024) keep_first();
  }

  Overlaps result() {
    keep_first();
    std::sort(found_.rows.begin(), found_.rows.end());
    return std::move(found_);
  }
  Overlaps broken_off() {
    found_.complete = false;
    return result();
  }

 private:
  void keep_first() {
    if (found_.rows.size() <= most_) return;
    std::nth_element(found_.rows.begin(), found_.rows.begin() + static_cast<std::ptrdiff_t>(most_), found_.rows.end());
    found_.rows.resize(most_);
  }

  const Boxes& boxes_;
  Between between_;
  std::size_t most_;
  Spending& spending_;
  Overlaps found_;
};

}  // namespace

std::vector<Meeting> meetings(const Boxes& boxes, Spending& spending, std::size_t most) {
  std::vector<Meeting> found;
  search_meetings(boxes, Between::all_rows, spending, [&](std::uint32_t a, std::uint32_t b) {
    if (found.size() >= most) throw BudgetMet("boxes that meet");
    found.push_back({a, b});
    return true;
  });
  return found;
}

namespace {

template <class Look>
Overlaps collected(const Boxes& boxes, Between between, std::size_t most, Spending& spending, Look look) {
  RowPairs pairs(boxes, between, most, spending);
  try {
    look(pairs);
  } catch (const BudgetMet&) {
    return pairs.broken_off();
  }
  return pairs.result();
}

}  // namespace

Overlaps overlaps(const Boxes& boxes, const std::vector<Meeting>& meetings, Between between, std::size_t most, Spending& spending) {
  return collected(boxes, between, most, spending, [&](RowPairs& pairs) {
    for (const Meeting& meeting : meetings) pairs.add(meeting.earlier, meeting.later);
  });
}

Overlaps overlaps(const Boxes& boxes, Between between, std::size_t most, Spending& spending) {
  return collected(boxes, between, most, spending, [&](RowPairs& pairs) {
    search_meetings(boxes, between, spending, [&](std::uint32_t a, std::uint32_t b) { return pairs.add(a, b), true; });
  });
}

std::optional<std::pair<Index, Index>> one_overlap(const Boxes& boxes, Between between, Spending& spending) {
  std::optional<std::pair<Index, Index>> found;
  search_meetings(boxes, between, spending, [&](std::uint32_t a, std::uint32_t b) {
    if (boxes.row(a) != boxes.row(b)) found = {boxes.row(a), boxes.row(b)};
    return !found;
  });
  return found;
}

}  // namespace betony
