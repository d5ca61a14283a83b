#include "compiler/cover_graph.h"

#include <algorithm>
#include <map>
#include <numeric>
#include <set>

namespace betony {

using Node = CoverGraph::Node;

CoverGraph::CoverGraph(const Boxes& boxes, std::vector<std::uint32_t> order, Spending& spending, std::size_t most_nodes)
    : order_(std::move(order)), spending_(&spending), most_nodes_(most_nodes), table_(1024), cache_(1024) {
  if (order_.size() > most_columns) throw BudgetMet("more columns than one graph may ask for");
  for (const std::uint32_t column : order_) widths_.push_back(boxes.widths()[column]);
  nodes_ = {{leaf_level, 0, 0}, {leaf_level, 0, 0}};

  std::vector<std::uint32_t> sorted(boxes.size());
  std::iota(sorted.begin(), sorted.end(), 0u);
  std::sort(sorted.begin(), sorted.end(), [&](std::uint32_t a, std::uint32_t b) {
    for (const std::uint32_t c : order_)
      if (boxes.low(a)[c] != boxes.low(b)[c]) return boxes.low(a)[c] < boxes.low(b)[c];
    return a < b;
  });
  std::vector<Node> parts;
  for (const std::uint32_t box : sorted) parts.push_back(box_node(boxes, box));
  std::size_t needed = nodes_.size();
  while (parts.size() > 1) {
    std::vector<Node> next;
    for (std::size_t i = 0; i + 1 < parts.size(); i += 2) {
      next.push_back(either(parts[i], parts[i + 1]));
      if (nodes_.size() <= std::min(4 * needed + 100'000, most_nodes_ / 4 * 3) || nodes_.size() <= needed / 8 * 9) continue;
      next.insert(next.end(), parts.begin() + static_cast<std::ptrdiff_t>(i) + 2, parts.end());
      const std::size_t done = i / 2 + 1;
      forget_all_but(next);
      std::copy(next.begin() + static_cast<std::ptrdiff_t>(done), next.end(), parts.begin() + static_cast<std::ptrdiff_t>(i) + 2);
      next.resize(done);
      needed = nodes_.size();
    }
    if (parts.size() % 2) next.push_back(parts.back());
    parts = std::move(next);
  }
  if (parts.empty()) return;
  forget_all_but(parts);
  root_ = parts[0];
  cache_ = {};
  table_ = {};
  scratch_ = {};
}

std::size_t CoverGraph::size() const { return nodes_.size() - 2; }

// ---------------------------------------------------------------- nodes

std::uint64_t CoverGraph::hash(std::uint32_t level, const Run* runs, std::size_t count) const {
  std::uint64_t h = 0x9e3779b97f4a7c15u ^ level;
  for (std::size_t i = 0; i < count; ++i) {
    h = (h ^ runs[i].end ^ (std::uint64_t{runs[i].child} << 32)) * 0xff51afd7ed558ccdu;
    h ^= h >> 32;
  }
  return h;
}

void CoverGraph::insert(Node node) {
  const Record& record = nodes_[node];
  std::size_t at = hash(record.level, &runs_[record.begin], record.count) & (table_.size() - 1);
  while (table_[at] != 0) at = (at + 1) & (table_.size() - 1);
  table_[at] = node;
}

void CoverGraph::put(Coordinate end, Node child, std::size_t scratch_begin) {
  if (scratch_.size() > scratch_begin && scratch_.back().child == child) scratch_.back().end = end;
  else scratch_.push_back({end, child});
}

Node CoverGraph::make(std::uint32_t level, std::size_t scratch_begin) {
  const std::size_t count = scratch_.size() - scratch_begin;
  const Run* runs = scratch_.data() + scratch_begin;
  if (count == 1) {
    const Node child = runs[0].child;
    scratch_.resize(scratch_begin);
    return child;
  }
  if (nodes_.size() * 2 > table_.size()) {
    table_.assign(table_.size() * 2, 0);
    for (Node node = 2; node < nodes_.size(); ++node) insert(node);
    if (cache_.size() < (std::size_t{1} << 22)) cache_.assign(table_.size(), Kept{});  // emptied as it grows; it is only a memory
  }
  std::size_t at = hash(level, runs, count) & (table_.size() - 1);
  for (; table_[at] != 0; at = (at + 1) & (table_.size() - 1)) {
    const Record& record = nodes_[table_[at]];
    if (record.level == level && record.count == count && std::equal(runs, runs + count, runs_.begin() + record.begin)) {
      scratch_.resize(scratch_begin);
      return table_[at];
    }
  }
  if (nodes_.size() >= most_nodes_ || runs_.size() > most_nodes_ * 8) throw BudgetMet("nodes of a cover");
  const Node node = static_cast<Node>(nodes_.size());
  nodes_.push_back({level, static_cast<std::uint32_t>(runs_.size()), static_cast<std::uint32_t>(count)});
  runs_.insert(runs_.end(), runs, runs + count);
  scratch_.resize(scratch_begin);
  return table_[at] = node;
}

Node CoverGraph::box_node(const Boxes& boxes, std::size_t box) {
  Node node = covered;
  spending_->spend(order_.size());
  for (std::size_t level = order_.size(); level-- > 0;) {
    const Coordinate low = boxes.low(box)[order_[level]], high = boxes.high(box)[order_[level]];
    const std::size_t base = scratch_.size();
    if (low > 0) put(low - 1, open, base);
    put(high, node, base);
    if (high + 1 < widths_[level]) put(widths_[level] - 1, open, base);
    node = make(static_cast<std::uint32_t>(level), base);
  }
  return node;
}

Node CoverGraph::either(Node a, Node b) {
  if (a == b || b == open) return a;
  if (a == open) return b;
  if (a == covered || b == covered) return covered;
  if (a > b) std::swap(a, b);
  const auto slot = [&]() -> Kept& {
    return cache_[((std::uint64_t{a} * 0x9e3779b97f4a7c15u ^ b) * 0xff51afd7ed558ccdu >> 20) & (cache_.size() - 1)];
  };
  if (const Kept& known = slot(); known.a == a && known.b == b) return known.result;
  const std::uint32_t level = std::min(nodes_[a].level, nodes_[b].level);
  const std::size_t base = scratch_.size();
  // Indices, not pointers: nodes and runs move as deeper ones are made.
  const Record ra = nodes_[a].level == level ? nodes_[a] : Record{level, 0, 0}, rb = nodes_[b].level == level ? nodes_[b] : Record{level, 0, 0};
  spending_->spend(ra.count + rb.count);
  for (std::uint32_t i = 0, j = 0; i < ra.count || j < rb.count;) {
    const Run run_a = ra.count ? runs_[ra.begin + i] : Run{widths_[level] - 1, a},
              run_b = rb.count ? runs_[rb.begin + j] : Run{widths_[level] - 1, b};
    put(std::min(run_a.end, run_b.end), either(run_a.child, run_b.child), base);
    i += ra.count && run_a.end <= run_b.end;
    j += rb.count && run_b.end <= run_a.end;
  }
  const Node result = make(level, base);
  slot() = {a, b, result};
  return result;
}

// Keeps what the roots reach, in the same order, and gives it new numbers.
void CoverGraph::forget_all_but(std::vector<Node>& roots) {
  std::vector<Node> number(nodes_.size(), 0);  // 1: needed; then the new number
  for (const Node root : roots) number[root] = 1;
  for (Node node = static_cast<Node>(nodes_.size()); node-- > 2;)
    if (number[node])
      for (std::uint32_t i = 0; i < nodes_[node].count; ++i) number[runs_[nodes_[node].begin + i].child] = 1;
  number[open] = open, number[covered] = covered;
  Node free = 2;
  std::uint32_t free_run = 0;
  for (Node node = 2; node < nodes_.size(); ++node) {
    if (!number[node]) continue;
    const Record record = nodes_[node];
    nodes_[free] = {record.level, free_run, record.count};
    for (std::uint32_t i = 0; i < record.count; ++i) {
      const Run run = runs_[record.begin + i];
      runs_[free_run++] = {run.end, number[run.child]};
    }
    number[node] = free++;
  }
  nodes_.resize(free);
  runs_.resize(free_run);
  std::fill(table_.begin(), table_.end(), 0);
  for (Node node = 2; node < nodes_.size(); ++node) insert(node);
  std::fill(cache_.begin(), cache_.end(), Kept{});
  for (Node& root : roots) root = number[root];
}

// ---------------------------------------------------------------- looking

template <class Number>
Number CoverGraph::count_open(const Weights& weights) const {
  const auto weight = [&](std::uint32_t level, Coordinate begin, Coordinate end) -> Number {
    if constexpr (std::is_same_v<Number, mpz_class>) {
      const auto& sums = weights.wide_sums(order_[level]);
      return sums[end + 1] - sums[begin];
    } else {
      const auto& sums = weights.narrow_sums(order_[level]);
      return sums[end + 1] - sums[begin];
    }
  };
  const auto levels = static_cast<std::uint32_t>(order_.size());
  std::vector<Number> below(levels + 1, 1);  // all points from a level on
  for (std::uint32_t level = levels; level-- > 0;) below[level] = below[level + 1] * weight(level, 0, widths_[level] - 1);
  const auto between = [&](std::uint32_t from, std::uint32_t to) {  // all points of the levels from .. to - 1
    Number product = 1;
    for (; from < to; ++from) product *= weight(from, 0, widths_[from] - 1);
    return product;
  };
  const auto level_of = [&](Node node) { return node < 2 ? levels : nodes_[node].level; };
  std::vector<Number> count(nodes_.size(), 0);
  count[open] = 1;
  for (Node node = 2; node < nodes_.size(); ++node) {
    const Record& record = nodes_[node];
    Coordinate begin = 0;
    for (std::uint32_t i = 0; i < record.count; ++i) {
      const Run& run = runs_[record.begin + i];
      if (run.child == open) count[node] += weight(record.level, begin, run.end) * below[record.level + 1];
      else if (run.child != covered)
        count[node] += weight(record.level, begin, run.end) * between(record.level + 1, level_of(run.child)) * count[run.child];
      begin = run.end + 1;
    }
  }
  return between(0, level_of(root_)) * count[root_];
}

mpz_class CoverGraph::uncovered(const Weights& weights) const {
  return weights.fits() ? to_mpz(count_open<Weights::Narrow>(weights)) : count_open<mpz_class>(weights);
}

std::optional<std::vector<Coordinate>> CoverGraph::uncovered_point() const {
  std::optional<std::vector<Coordinate>> point;
  for_each_open_box([&](const std::vector<Coordinate>& low, const std::vector<Coordinate>&) { return point = low, false; });
  return point;
}

void CoverGraph::for_each_open_box(const std::function<bool(const std::vector<Coordinate>&, const std::vector<Coordinate>&)>& each) const {
  std::vector<Coordinate> low(order_.size(), 0), high(order_.size());
  for (std::size_t level = 0; level < order_.size(); ++level) high[order_[level]] = widths_[level] - 1;
  const std::function<bool(Node)> walk = [&](Node node) {
    if (node == open) return each(low, high);
    if (node == covered) return true;
    const Record& record = nodes_[node];
    const std::uint32_t column = order_[record.level];
    Coordinate begin = 0;
    bool go_on = true;
    for (std::uint32_t i = 0; go_on && i < record.count; ++i) {
      const Run& run = runs_[record.begin + i];
      low[column] = begin, high[column] = run.end;
      go_on = walk(run.child);
      begin = run.end + 1;
    }
    low[column] = 0, high[column] = widths_[record.level] - 1;
    return go_on;
  };
  walk(root_);
}

std::string CoverGraph::print() const {
  const auto name = [](Node node) { return node == open ? "open" : node == covered ? "covered" : std::to_string(node); };
  if (root_ < 2) return name(root_) + "\n";
  std::string out;
  for (Node node = static_cast<Node>(nodes_.size()); node-- > 2;) {
    const Record& record = nodes_[node];
    out += name(node) + ": column " + std::to_string(order_[record.level]) + " ?";
    Coordinate begin = 0;
    for (std::uint32_t i = 0; i < record.count; ++i) {
      const Run& run = runs_[record.begin + i];
      out += (i ? ", " : " ") + std::to_string(begin) + (run.end > begin ? "-" + std::to_string(run.end) : "") + " -> " + name(run.child);
      begin = run.end + 1;
    }
    out += "\n";
  }
  return out;
}

std::string CoverGraph::verify() const {
  std::set<std::pair<std::uint32_t, std::vector<std::pair<Coordinate, Node>>>> seen;
  std::vector<bool> reached(nodes_.size());
  reached[open] = reached[covered] = reached[root_] = true;
  for (Node node = static_cast<Node>(nodes_.size()); node-- > 2;) {
    const std::string where = "node " + std::to_string(node) + ": ";
    const Record& record = nodes_[node];
    std::vector<std::pair<Coordinate, Node>> runs;
    for (std::uint32_t i = 0; i < record.count; ++i) {
      const Run& run = runs_[record.begin + i];
      if (run.child >= node) return where + "a child that does not lie before it";
      if (run.child >= 2 && nodes_[run.child].level <= record.level) return where + "a child that is not deeper";
      if (!runs.empty() && (run.child == runs.back().second || run.end <= runs.back().first)) return where + "runs that are not apart";
      runs.emplace_back(run.end, run.child);
      reached[run.child] = true;
    }
    if (!reached[node]) return where + "nobody needs it";
    if (runs.size() < 2) return where + "nothing to ask";
    if (runs.back().first + 1 != widths_[record.level]) return where + "cells left over";
    if (!seen.insert({record.level, runs}).second) return where + "stands twice";
  }
  return "";
}

// ---------------------------------------------------------------- the order of columns

std::vector<std::vector<std::uint32_t>> orders_to_try(const Boxes& boxes) {
  const std::size_t columns = boxes.columns();
  std::vector<std::uint32_t> plain(columns);
  std::iota(plain.begin(), plain.end(), 0u);
  std::vector<std::uint64_t> narrowed(columns, 0), kept(columns, 0);  // boxes that ask the column; how much of it they keep, in 1024ths
  for (std::size_t b = 0; b < boxes.size(); ++b)
    for (std::size_t c = 0; c < columns; ++c) {
      const std::uint64_t cells = std::uint64_t{boxes.high(b)[c]} - boxes.low(b)[c] + 1;
      narrowed[c] += cells < boxes.widths()[c];
      kept[c] += cells * 1024 / boxes.widths()[c];
    }
  const auto& widths = boxes.widths();
  const auto sorted_by = [&](auto before) {
    std::vector<std::uint32_t> order = plain;
    std::stable_sort(order.begin(), order.end(), before);
    return order;
  };
  const auto few_cells = [&](std::uint32_t c) { return widths[c] <= 16; };
  return {  // the likeliest first
      sorted_by([&](std::uint32_t a, std::uint32_t b) { return few_cells(a) != few_cells(b) ? few_cells(a) : kept[a] < kept[b]; }),
      sorted_by([&](std::uint32_t a, std::uint32_t b) { return widths[a] < widths[b]; }),
      sorted_by([&](std::uint32_t a, std::uint32_t b) { return kept[a] < kept[b]; }),
      plain,
      sorted_by([&](std::uint32_t a, std::uint32_t b) { return narrowed[a] > narrowed[b]; }),
      sorted_by([&](std::uint32_t a, std::uint32_t b) { return few_cells(a) != few_cells(b) ? few_cells(a) : kept[a] > kept[b]; }),
  };
}

std::vector<std::uint32_t> order_for(const Boxes& boxes, Spending& spending) {
  const std::size_t wanted = std::max<std::size_t>(25, boxes.size() / 8), step = std::max<std::size_t>(1, boxes.size() / wanted);
  Boxes some(boxes.widths());
  for (std::size_t b = 0; b < boxes.size(); b += step) some.add_row({boxes.low(b), boxes.columns()}, {boxes.high(b), boxes.columns()});
  std::vector<std::uint32_t> best;
  std::size_t least = 0;
  std::uint64_t cheapest = spending.left / 2;
  for (const auto& order : orders_to_try(boxes)) {
    Spending trial{std::min(spending.left, cheapest + cheapest / 4)};
    const std::uint64_t given = trial.left;
    try {
      const CoverGraph graph(some, order, trial);
      cheapest = std::min(cheapest, given - trial.left);
      if (best.empty() || graph.size() < least) best = order, least = graph.size();
    } catch (const BudgetMet&) {}
    spending.spend(given - trial.left);
  }
  if (best.empty()) throw BudgetMet("orders of columns");
  return best;
}

}  // namespace betony
