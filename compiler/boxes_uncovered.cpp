// What no box covers: in few boxes, and in one point.
//
// Splitting goes on until a region is free of boxes, or covered. That it is covered is seen early: in regions of few
// boxes their sizes (in cells) less what pairs of them share, all clipped to the region, are at most what they cover
// (Bonferroni), and for rows that are nearly a partition the very same. The free regions of both sides of a cut are
// joined again along it, so that a gap which is one box comes out as one box, whatever cut it.
#include <algorithm>
#include <numeric>

#include "compiler/splitter.h"

namespace betony {

namespace {

// The cells of a box; nothing where that is past 64 bits.
std::optional<std::uint64_t> cells_of(const Coordinate* low, const Coordinate* high, std::uint32_t columns) {
  std::uint64_t product = 1;
  for (std::uint32_t c = 0; c < columns; ++c)
    if (__builtin_mul_overflow(product, std::uint64_t{high[c]} - low[c] + 1, &product)) return std::nullopt;
  return product;
}

// Of a box that lies partly in a region whose cells are counted in 64 bits.
std::uint64_t cells_within(const Coordinate* low, const Coordinate* high, const std::vector<Coordinate>& region_low, const std::vector<Coordinate>& region_high) {
  std::uint64_t product = 1;
  for (std::size_t c = 0; c < region_low.size(); ++c) {
    const Coordinate begin = std::max(low[c], region_low[c]), end = std::min(high[c], region_high[c]);
    if (begin > end) return 0;
    product *= std::uint64_t{end} - begin + 1;
  }
  return product;
}

// Disjoint boxes in the making: a low and a high corner each, one behind the other.
class Pieces {
 public:
  explicit Pieces(std::uint32_t columns) : columns_(columns) {}
  std::size_t size() const { return corners_.size() / stride(); }
  Coordinate* low(std::size_t piece) { return corners_.data() + piece * stride(); }
  Coordinate* high(std::size_t piece) { return low(piece) + columns_; }
  const Coordinate* low(std::size_t piece) const { return corners_.data() + piece * stride(); }
  const Coordinate* high(std::size_t piece) const { return low(piece) + columns_; }
  void add(std::span<const Coordinate> low, std::span<const Coordinate> high) {
    corners_.insert(corners_.end(), low.begin(), low.end());
    corners_.insert(corners_.end(), high.begin(), high.end());
  }

  // Joins pieces before `middle` that end at the cut with pieces from there on that begin at it and are alike in every other column.
  void join_along(std::size_t begin, std::size_t middle, std::uint32_t column, Coordinate at) {
    ends_.clear();
    begins_.clear();
    for (std::size_t i = middle; i < size(); ++i)
      if (low(i)[column] == at) begins_.push_back({key(i, column), static_cast<std::uint32_t>(i)});
    if (begins_.empty()) return;
    for (std::size_t i = begin; i < middle; ++i)
      if (high(i)[column] + 1 == at) ends_.push_back({key(i, column), static_cast<std::uint32_t>(i)});
    if (ends_.empty()) return;
    std::sort(begins_.begin(), begins_.end());
    std::sort(ends_.begin(), ends_.end());
    gone_.assign(size() - middle, false);
    bool any = false;
    for (std::size_t e = 0, b = 0; e < ends_.size() && b < begins_.size();) {
      if (ends_[e].key != begins_[b].key) ends_[e].key < begins_[b].key ? ++e : ++b;
      else {
        const std::uint32_t left = ends_[e++].piece, right = begins_[b++].piece;
        if (!alike(left, right, column)) continue;  // keys that agree by chance: two pieces stay two
        high(left)[column] = high(right)[column];
        gone_[right - middle] = any = true;
      }
    }
    if (any) sweep(middle);
  }

  // Joins what can be joined, column after column, until nothing more can.
  void join_all(Spending& spending) {
    for (std::uint32_t column = 0, idle = 0; idle < columns_; column = (column + 1) % columns_) {
      spending.spend(size());
      idle = join_in(column) ? 0 : idle + 1;
    }
  }

 private:
  struct Keyed {
    std::uint64_t key;
    std::uint32_t piece;
    friend auto operator<=>(const Keyed&, const Keyed&) = default;
  };
  std::size_t stride() const { return 2 * std::size_t{columns_}; }

  // Equal for pieces that are alike in every other column.
  std::uint64_t key(std::size_t piece, std::uint32_t column) const {
    std::uint64_t h = 0x9e3779b97f4a7c15u;
    for (std::uint32_t c = 0; c < columns_; ++c) {
      if (c == column) continue;
      h = (h ^ low(piece)[c] ^ (std::uint64_t{high(piece)[c]} << 32)) * 0xff51afd7ed558ccdu;
      h ^= h >> 32;
    }
    return h;
  }
  bool alike(std::size_t a, std::size_t b, std::uint32_t column) const {
    for (std::uint32_t c = 0; c < columns_; ++c)
      if (c != column && (low(a)[c] != low(b)[c] || high(a)[c] != high(b)[c])) return false;
    return true;
  }

  bool join_in(std::uint32_t column) {
    begins_.clear();
    for (std::size_t i = 0; i < size(); ++i) begins_.push_back({key(i, column), static_cast<std::uint32_t>(i)});
    std::sort(begins_.begin(), begins_.end(), [&](const Keyed& a, const Keyed& b) {
      return a.key != b.key ? a.key < b.key : low(a.piece)[column] < low(b.piece)[column];
    });
    gone_.assign(size(), false);
    bool any = false;
    for (std::size_t i = 0, j = 1; j < begins_.size(); ++j) {
      const std::uint32_t a = begins_[i].piece, b = begins_[j].piece;
      if (begins_[i].key == begins_[j].key && high(a)[column] + 1 == low(b)[column] && alike(a, b, column)) {
        high(a)[column] = high(b)[column];
        gone_[b] = any = true;
      } else {
        i = j;
      }
    }
    if (any) sweep(0);
    return any;
  }

  void sweep(std::size_t first) {  // takes out those that are gone; gone_[0] is piece `first`
    std::size_t to = first;
    for (std::size_t i = first; i < size(); ++i) {
      if (gone_[i - first]) continue;
      if (to != i) std::copy_n(low(i), stride(), low(to));
      ++to;
    }
    corners_.resize(to * stride());
  }

  std::uint32_t columns_;
  std::vector<Coordinate> corners_;
  std::vector<Keyed> begins_, ends_;
  std::vector<bool> gone_;
};

class UncoveredSearch : Splitter {
 public:
  UncoveredSearch(const Boxes& boxes, std::size_t most, Spending& spending)
      : Splitter(boxes, spending), most_(most), pieces_(columns_), shared_(columns_) {
    stack_.resize(boxes.size());
    std::iota(stack_.begin(), stack_.end(), 0u);
  }

  // What was found, which is all unless BudgetMet leaves `run`.
  void run() { look({0, stack_.size()}, std::nullopt); }
  Pieces& pieces() { return pieces_; }

 private:
  static constexpr std::size_t few = 32;  // from here on it is seen whether the region is covered

  // `shares`: what pairs of these boxes share, on the stack of shares; nothing where that was not looked for.
  void look(List list, std::optional<List> shares) {
    if (list.size() == 0) return add();
    if (list.size() == 1) return add_around(stack_[list.begin]);
    if (list.size() <= few) {
      const auto region = cells_of(low_.data(), high_.data(), columns_);
      if (region && !shares) shares = look_for_shares(list);
      if (region && is_covered(list, *region, shares)) return;
    }
    for (std::size_t i = list.begin; i < list.end; ++i)
      if (holds_region(stack_[i])) return;
    Cut cut;
    best_cut(list, cut);  // there is one: no box holds the region
    const std::size_t begin = pieces_.size();
    std::size_t middle = begin;
    on_both_sides(
        cut, [&] { go_down(left_of(list, cut), shares), middle = pieces_.size(); }, [&] { go_down(right_of(list, cut), shares); });
    pieces_.join_along(begin, middle, cut.column, cut.at);
  }

  void go_down(List list, std::optional<List> shares) {
    const std::size_t shares_begin = share_stack_.size();
    if (shares) {
      for (std::size_t i = shares->begin; i < shares->end; ++i)
        if (touches_region(share_stack_[i])) share_stack_.push_back(share_stack_[i]);
      shares = {shares_begin, share_stack_.size()};
    }
    look(list, shares);
    share_stack_.resize(shares_begin);
    drop(list);
  }

  std::optional<List> look_for_shares(List list) {
    spending_.spend(list.size() * list.size() / 2);
    if (share_stack_.empty()) shared_ = Pieces(columns_);
    const std::size_t begin = share_stack_.size();
    std::vector<Coordinate> low(columns_), high(columns_);
    for (std::size_t i = list.begin; i < list.end; ++i)
      for (std::size_t j = i + 1; j < list.end; ++j) {
        if (!share(stack_[i], stack_[j], low, high)) continue;
        if (share_stack_.size() - begin >= 4 * list.size()) {  // too many to be of use
          share_stack_.resize(begin);
          return std::nullopt;
        }
        share_stack_.push_back(static_cast<std::uint32_t>(shared_.size()));
        shared_.add(low, high);
      }
    return List{begin, share_stack_.size()};
  }

  bool share(std::uint32_t a, std::uint32_t b, std::vector<Coordinate>& low, std::vector<Coordinate>& high) const {
    for (std::uint32_t c = 0; c < columns_; ++c) {
      low[c] = std::max({boxes_.low(a)[c], boxes_.low(b)[c], low_[c]});
      high[c] = std::min({boxes_.high(a)[c], boxes_.high(b)[c], high_[c]});
      if (low[c] > high[c]) return false;
    }
    return true;
  }

  bool touches_region(std::uint32_t shared) const {
    for (std::uint32_t c = 0; c < columns_; ++c)
      if (shared_.low(shared)[c] > high_[c] || shared_.high(shared)[c] < low_[c]) return false;
    return true;
  }

  // Certain if true. `region`: its cells.
  bool is_covered(List list, std::uint64_t region, const std::optional<List>& shares) {
    spending_.spend(list.size());
    Weights::Narrow sum = 0, twice = 0;
    for (std::size_t i = list.begin; i < list.end; ++i) {
      const std::uint64_t cells = cells_within(boxes_.low(stack_[i]), boxes_.high(stack_[i]), low_, high_);
      if (cells == region) return true;
      sum += cells;
    }
    if (!shares || sum < region) return false;
    for (std::size_t i = shares->begin; i < shares->end; ++i)
      twice += cells_within(shared_.low(share_stack_[i]), shared_.high(share_stack_[i]), low_, high_);
    return sum >= twice + region;
  }

  void add() {
    if (pieces_.size() >= most_) throw BudgetMet("uncovered boxes");
    spending_.spend(columns_);
    pieces_.add(low_, high_);
  }

  // The region without the box: a slab for each of its sides that lies within the region.
  void add_around(std::uint32_t box) {
    const std::vector<Coordinate> kept_low = low_, kept_high = high_;
    for (std::uint32_t c = 0; c < columns_; ++c) {
      const Coordinate begin = boxes_.low(box)[c], end = boxes_.high(box)[c];
      if (begin > low_[c]) {
        high_[c] = begin - 1;
        add();
        low_[c] = begin, high_[c] = kept_high[c];
      }
      if (end < high_[c]) {
        low_[c] = end + 1;
        add();
        low_[c] = std::max(begin, kept_low[c]), high_[c] = end;
      }
    }
    low_ = kept_low, high_ = kept_high;
  }

  std::size_t most_;
  Pieces pieces_, shared_;
  std::vector<std::uint32_t> share_stack_;
};

// Grows boxes as wide as what is uncovered allows, out of disjoint pieces of it that touch one another.
class Growth {
 public:
  Growth(const Boxes& pieces, Spending& spending) : pieces_(pieces), spending_(spending), columns_(static_cast<std::uint32_t>(pieces.columns())) {}

  // Growing costs the square of the group, and counts its cells in 64 bits.
  bool may_grow(const std::vector<std::uint32_t>& group) {
    if (group.size() < 2 || group.size() > most_of_a_group) return false;
    low_ = pieces_.widths();
    high_.assign(columns_, 0);
    for (const std::uint32_t piece : group)
      for (std::uint32_t c = 0; c < columns_; ++c) {
        low_[c] = std::min(low_[c], pieces_.low(piece)[c]);
        high_[c] = std::max(high_[c], pieces_.high(piece)[c]);
      }
    return cells_of(low_.data(), high_.data(), columns_).has_value();
  }

  // Grown boxes that cover the group; stops as soon as they are no fewer than its pieces.
  std::vector<std::pair<std::vector<Coordinate>, std::vector<Coordinate>>> grow(const std::vector<std::uint32_t>& group) {
    std::vector<std::pair<std::vector<Coordinate>, std::vector<Coordinate>>> grown;
    std::vector<std::uint32_t> by_size = group;
    std::stable_sort(by_size.begin(), by_size.end(), [&](std::uint32_t a, std::uint32_t b) { return cells(a) > cells(b); });
    for (const std::uint32_t seed : by_size) {
      spending_.spend(grown.size());
      if (std::any_of(grown.begin(), grown.end(), [&](const auto& box) { return within(seed, box.first, box.second); })) continue;
      if (grown.size() + 1 >= group.size()) return {};
      low_.assign(pieces_.low(seed), pieces_.low(seed) + columns_);
      high_.assign(pieces_.high(seed), pieces_.high(seed) + columns_);
      for (std::uint32_t c = 0; c < columns_; ++c) {
        while (high_[c] + 1 < pieces_.widths()[c] && widen(group, c, high_[c] + 1)) {}
        while (low_[c] > 0 && widen(group, c, low_[c] - 1)) {}
      }
      grown.emplace_back(low_, high_);
    }
    return grown;
  }

 private:
  static constexpr std::size_t most_of_a_group = 200;

  std::uint64_t cells(std::uint32_t piece) const { return cells_of(pieces_.low(piece), pieces_.high(piece), columns_).value(); }

  bool within(std::uint32_t piece, const std::vector<Coordinate>& low, const std::vector<Coordinate>& high) const {
    for (std::uint32_t c = 0; c < columns_; ++c)
      if (pieces_.low(piece)[c] < low[c] || pieces_.high(piece)[c] > high[c]) return false;
    return true;
  }

  // Takes in the slab at `at`, and as much behind it as the same pieces cover; false if the slab is not all uncovered.
  bool widen(const std::vector<std::uint32_t>& group, std::uint32_t c, Coordinate at) {
    spending_.spend(group.size());
    const Coordinate kept_low = low_[c], kept_high = high_[c];
    low_[c] = high_[c] = at;
    std::uint64_t missing = 1;  // a slab beside the group may not fit in; it is missing then in any case
    for (std::uint32_t k = 0; k < columns_; ++k) missing *= std::uint64_t{high_[k]} - low_[k] + 1;
    Coordinate first = 0, last = pieces_.widths()[c] - 1;
    for (const std::uint32_t piece : group) {
      const std::uint64_t shared = cells_within(pieces_.low(piece), pieces_.high(piece), low_, high_);
      if (shared == 0) continue;
      missing -= shared;
      first = std::max(first, pieces_.low(piece)[c]);
      last = std::min(last, pieces_.high(piece)[c]);
    }
    low_[c] = missing ? kept_low : std::min(kept_low, first);
    high_[c] = missing ? kept_high : std::max(kept_high, last);
    return missing == 0;
  }

  const Boxes& pieces_;
  Spending& spending_;
  std::uint32_t columns_;
  std::vector<Coordinate> low_, high_;
};

// Pieces that touch one another, directly or around, in groups; by their first piece.
std::vector<std::vector<std::uint32_t>> groups_of(const Boxes& pieces, Spending& spending) {
  Boxes wider(pieces.widths());
  wider.reserve(pieces.size());
  std::vector<Coordinate> low(pieces.columns()), high(pieces.columns());
  for (std::uint32_t i = 0; i < pieces.size(); ++i) {  // touching boxes share a point once one side of each pair has moved on
    for (std::size_t c = 0; c < pieces.columns(); ++c) {
      low[c] = pieces.low(i)[c];
      high[c] = std::min(pieces.high(i)[c] + 1, pieces.widths()[c] - 1);
    }
    wider.add_row(low, high);
  }
  std::vector<std::uint32_t> leader(pieces.size());
  std::iota(leader.begin(), leader.end(), 0u);
  const auto find = [&](std::uint32_t i) {
    while (leader[i] != i) i = leader[i] = leader[leader[i]];
    return i;
  };
  for (const Meeting& meeting : meetings(wider, spending)) {
    const auto [first, second] = std::minmax({find(meeting.earlier), find(meeting.later)});
    leader[second] = first;
  }
  std::vector<std::vector<std::uint32_t>> groups;
  std::vector<std::uint32_t> number(pieces.size());
  for (std::uint32_t i = 0; i < pieces.size(); ++i) {
    if (find(i) == i) number[i] = static_cast<std::uint32_t>(groups.size()), groups.emplace_back();
    groups[number[find(i)]].push_back(i);
  }
  return groups;
}

Boxes as_boxes(const Pieces& pieces, const Boxes& like) {
  Boxes made(like.widths());
  made.reserve(pieces.size());
  for (std::size_t i = 0; i < pieces.size(); ++i) made.add_row({pieces.low(i), like.columns()}, {pieces.high(i), like.columns()});
  return made;
}

// The pieces, or in each group that gives fewer, grown boxes.
Boxes grown_where_fewer(Boxes pieces, Spending& spending) {
  Boxes fewer(pieces.widths());
  fewer.reserve(pieces.size());
  Growth growth(pieces, spending);
  for (const auto& group : groups_of(pieces, spending)) {
    std::vector<std::pair<std::vector<Coordinate>, std::vector<Coordinate>>> grown;
    if (growth.may_grow(group)) grown = growth.grow(group);
    for (const auto& [low, high] : grown) fewer.add_row(low, high);
    if (!grown.empty()) continue;
    for (const std::uint32_t piece : group) fewer.add_row({pieces.low(piece), pieces.columns()}, {pieces.high(piece), pieces.columns()});
  }
  return fewer;
}

}  // namespace

Uncovered uncovered_boxes(const Boxes& boxes, std::size_t most, Spending& spending) {
  UncoveredSearch search(boxes, most, spending);
  bool complete = true;
  try {
    search.run();
  } catch (const BudgetMet&) {
    complete = false;
  }
  Spending tidying{std::max(spending.left, std::uint64_t{1'000'000})};  // what was found is worth telling in few boxes
  Uncovered uncovered{in_few_boxes(as_boxes(search.pieces(), boxes), tidying), complete};
  spending.left = std::min(spending.left, tidying.left);
  return uncovered;
}

Boxes in_few_boxes(Boxes disjoint, Spending& spending) {
  Pieces pieces(static_cast<std::uint32_t>(disjoint.columns()));
  for (std::size_t i = 0; i < disjoint.size(); ++i) pieces.add({disjoint.low(i), disjoint.columns()}, {disjoint.high(i), disjoint.columns()});
  try {
    pieces.join_all(spending);
    return grown_where_fewer(as_boxes(pieces, disjoint), spending);
  } catch (const BudgetMet&) {
    return as_boxes(pieces, disjoint);
  }
}

// ---------------------------------------------------------------- one point

namespace {

class PointSearch : Splitter {
 public:
  PointSearch(const Boxes& boxes, Spending& spending) : Splitter(boxes, spending) {
    stack_.resize(boxes.size());
    std::iota(stack_.begin(), stack_.end(), 0u);
  }
  std::optional<std::vector<Coordinate>> run() {
    if (look({0, stack_.size()})) return point_;
    return std::nullopt;
  }

 private:
  bool look(List list) {
    if (list.size() == 0) return point_ = low_, true;
    spending_.spend(list.size());
    for (std::size_t i = list.begin; i < list.end; ++i)
      if (holds_region(stack_[i])) return false;
    Cut cut;
    best_cut(list, cut);  // there is one: no box holds the region
    const List left = left_of(list, cut), right = right_of(list, cut);
    std::uint64_t on_left = 0, on_right = 0;
    on_both_sides(cut, [&] { on_left = crowding(left); }, [&] { on_right = crowding(right); });
    bool found = false;
    const auto side = [&](bool first) {  // the emptier side first, and the other only if need be
      on_both_sides(
          cut, [&] { if (!found && (on_left <= on_right) == first) found = look(left); },
          [&] { if (!found && (on_left > on_right) == first) found = look(right); });
    };
    side(true);
    if (!found) side(false);
    stack_.resize(left.begin);
    return found;
  }

  // The boxes' sizes for the region's, in 1024ths: below 1024 there is an uncovered point for certain.
  std::uint64_t crowding(List list) {
    spending_.spend(list.size());
    const auto region = cells_of(low_.data(), high_.data(), columns_);
    if (!region) return list.size() * 1024;
    Weights::Narrow sum = 0;
    for (std::size_t i = list.begin; i < list.end; ++i)
      sum += cells_within(boxes_.low(stack_[i]), boxes_.high(stack_[i]), low_, high_);
    return static_cast<std::uint64_t>(sum * 1024 / *region);
  }

  std::vector<Coordinate> point_;
};

}  // namespace

std::optional<std::vector<Coordinate>> uncovered_point(const Boxes& boxes, Spending& spending) { return PointSearch(boxes, spending).run(); }

}  // namespace betony
