#include "compiler/graph.h"

#include <algorithm>
#include <map>
#include <set>
#include <unordered_set>

namespace betony {

using Node = Graph::Node;

Graph::Graph(std::vector<std::uint32_t> widths, const Limit& limit)
    : widths_(std::move(widths)), limit_(limit), table_(1024), cache_(4096) {
  if (widths_.size() > most_levels) throw BudgetMet("more findings than one graph may ask for");
  leaf(0);
  leaf(1);
}

void Account::spend(std::uint64_t steps) {
  if (exhausted_ || left_ < steps) {
    exhausted_ = true;
    throw BudgetMet("steps in all");
  }
  left_ -= steps;
  unlooked_ += steps;
  if (!until_ || unlooked_ < steps_between_looks) return;
  unlooked_ = 0;
  if (Clock::now() < *until_) return;
  exhausted_ = true;
  throw BudgetMet("time");
}

void Graph::spend(std::uint64_t steps) {
  steps_ += steps;
  if (limit_.account) limit_.account->spend(steps);
  if (steps_ > limit_.steps) throw BudgetMet("steps");
}

// ---------------------------------------------------------------- nodes

Node Graph::leaf(std::int64_t number) {
  const auto [at, is_new] = leaves_.try_emplace(number, static_cast<Node>(nodes_.size()));
  if (is_new) {
    nodes_.push_back({leaf_level, static_cast<std::uint32_t>(numbers_.size())});
    numbers_.push_back(number);
  }
  return at->second;
}

std::uint64_t Graph::hash(std::uint32_t level, const Node* children, std::size_t count) const {
  std::uint64_t h = 0x9e3779b97f4a7c15u ^ level;
  for (std::size_t i = 0; i < count; ++i) {
    h = (h ^ children[i]) * 0xff51afd7ed558ccdu;
    h ^= h >> 32;
  }
  return h;
}

void Graph::grow() {
  std::vector<Node> old(table_.size() * 2);
  old.swap(table_);
  for (Node node : old) {
    if (node == 0) continue;
    const Record& record = nodes_[node];
    std::size_t at = hash(record.level, &children_[record.begin], widths_[record.level]) & (table_.size() - 1);
    while (table_[at] != 0) at = (at + 1) & (table_.size() - 1);
    table_[at] = node;
  }
  if (cache_.size() < table_.size() && cache_.size() < (std::size_t{1} << 20))  // emptied as it grows; it is only a memory
    cache_.assign(cache_.size() * 2, Kept{});
}

Node Graph::make(std::uint32_t level, std::span<const Node> children) {
  if (std::all_of(children.begin(), children.end(), [&](Node child) { return child == children[0]; })) return children[0];
  if ((in_table_ + 1) * 2 > table_.size()) grow();
  std::size_t at = hash(level, children.data(), children.size()) & (table_.size() - 1);
  for (; table_[at] != 0; at = (at + 1) & (table_.size() - 1)) {
    const Record& record = nodes_[table_[at]];
    if (record.level == level && std::equal(children.begin(), children.end(), children_.begin() + record.begin)) return table_[at];
  }
  if (nodes_.size() >= limit_.nodes || children_.size() > limit_.nodes * 8) throw BudgetMet("nodes");
  const Node node = static_cast<Node>(nodes_.size());
  nodes_.push_back({level, static_cast<std::uint32_t>(children_.size())});
  children_.insert(children_.end(), children.begin(), children.end());
  table_[at] = node;
  ++in_table_;
  return node;
}

Node Graph::literal(std::uint32_t level, const std::vector<bool>& cells) {
  std::vector<Node> children(cells.size());
  for (std::size_t c = 0; c < cells.size(); ++c) children[c] = cells[c] ? yes : no;
  return make(level, children);
}

// ---------------------------------------------------------------- operations

// Whether the answer needs no walk; puts operands that may change places in one order.
bool Graph::settled(Operation operation, Node& a, Node& b, Node& result) {
  switch (operation) {
    case Operation::both:
      if (a > b) std::swap(a, b);
      if (a == no || b == yes || a == b) return result = a, true;
      if (a == yes) return result = b, true;
      return false;
    case Operation::either:
      if (a > b) std::swap(a, b);
      if (a == no || a == b) return result = b, true;
      if (a == yes) return result = yes, true;
      return false;
    case Operation::without:
      if (a == no || b == yes || a == b) return result = no, true;
      if (b == no) return result = a, true;
      return false;
    case Operation::plus:
      if (a > b) std::swap(a, b);
      if (a == no) return result = b, true;
      if (is_leaf(a) && is_leaf(b)) return result = leaf(number(a) + number(b)), true;
      return false;
    case Operation::differing:
      if (a > b) std::swap(a, b);
      if (a == b) return result = no, true;
      if (is_leaf(a) && is_leaf(b)) return result = yes, true;
      return false;
    case Operation::choose:
    case Operation::free: break;
  }
  return false;
}

Graph::Kept& Graph::kept(Operation operation, Node a, Node b, Node c) {
  const Node key[3] = {a, b, c};
  return cache_[hash(static_cast<std::uint32_t>(operation), key, 3) & (cache_.size() - 1)];
}

std::optional<Node> Graph::remembered(Operation operation, Node a, Node b) {
  const Kept& known = kept(operation, a, b, 0);
  return known.operation == operation && known.a == a && known.b == b ? std::optional(known.result) : std::nullopt;
}

Node Graph::apply(Operation operation, Node a, Node b) {
  Node result = no;
  if (settled(operation, a, b, result)) return result;
  if (const auto known = remembered(operation, a, b)) return *known;
  const std::uint32_t top = std::min(level(a), level(b));
  const std::size_t width = widths_[top], base = scratch_.size();
  spend(width);
  for (std::size_t c = 0; c < width; ++c) {
    const Node below_a = level(a) == top ? children(a)[c] : a, below_b = level(b) == top ? children(b)[c] : b;
    const Node child = apply(operation, below_a, below_b);
    scratch_.push_back(child);
  }
  const std::vector<Node> children(scratch_.begin() + static_cast<std::ptrdiff_t>(base), scratch_.end());
  scratch_.resize(base);
  result = make(top, children);
  kept(operation, a, b, 0) = {operation, a, b, 0, result};
  return result;
}

bool Graph::anywhere(Operation operation, Node a, Node b) {
  Node result = no;
  if (settled(operation, a, b, result)) return result != no;
  if (const auto known = remembered(operation, a, b)) return *known != no;
  const std::uint32_t top = std::min(level(a), level(b));
  Node last_a = no, last_b = no;  // cells side by side often lead to the same
  std::size_t looked_at = 0;
  for (std::size_t c = 0; c < widths_[top]; ++c) {
    ++looked_at;
    const Node below_a = level(a) == top ? children(a)[c] : a, below_b = level(b) == top ? children(b)[c] : b;
    if (c > 0 && below_a == last_a && below_b == last_b) continue;
    last_a = below_a, last_b = below_b;
    if (!anywhere(operation, below_a, below_b)) continue;
    spend(looked_at);
    return true;
  }
  spend(looked_at);
  kept(operation, a, b, 0) = {operation, a, b, 0, no};
  return false;
}

Node Graph::choose(Node condition, Node then, Node otherwise) {
  if (condition == yes || then == otherwise) return then;
  if (condition == no) return otherwise;
  if (const Kept& known = kept(Operation::choose, condition, then, otherwise);
      known.operation == Operation::choose && known.a == condition && known.b == then && known.c == otherwise)
    return known.result;
  const std::uint32_t top = std::min({level(condition), level(then), level(otherwise)});
  spend(widths_[top]);
  std::vector<Node> made;
  const auto below = [&](Node node, std::size_t c) { return level(node) == top ? children(node)[c] : node; };
  for (std::size_t c = 0; c < widths_[top]; ++c) made.push_back(choose(below(condition, c), below(then, c), below(otherwise, c)));
  const Node result = make(top, made);
  kept(Operation::choose, condition, then, otherwise) = {Operation::choose, condition, then, otherwise, result};
  return result;
}

Node Graph::combine(Operation operation, std::vector<Node> parts, Node neutral) {
  if (parts.empty()) return neutral;
  while (parts.size() > 1) {
    std::vector<Node> next;
    for (std::size_t i = 0; i + 1 < parts.size(); i += 2) next.push_back(apply(operation, parts[i], parts[i + 1]));
    if (parts.size() % 2) next.push_back(parts.back());
    parts = std::move(next);
  }
  return parts[0];
}

Node Graph::map(Node a, const std::function<std::int64_t(std::int64_t)>& number_of) {
  std::unordered_map<Node, Node> done;
  const std::function<Node(Node)> walk = [&](Node node) -> Node {
    if (is_leaf(node)) return leaf(number_of(number(node)));
    if (const auto known = done.find(node); known != done.end()) return known->second;
    spend(widths_[level(node)]);
    std::vector<Node> made;
    for (std::size_t c = 0; c < widths_[level(node)]; ++c) made.push_back(walk(children(node)[c]));
    return done[node] = make(level(node), made);
  };
  return walk(a);
}

Node Graph::where(Node a, const std::function<bool(std::int64_t)>& accepted) {
  return map(a, [&](std::int64_t number) { return accepted(number) ? 1 : 0; });
}

Node Graph::quantify(Node a, std::uint32_t over, Operation operation) {
  std::unordered_map<Node, Node> done;
  const std::function<Node(Node)> walk = [&](Node node) -> Node {
    if (is_leaf(node) || level(node) > over) return node;
    if (const auto known = done.find(node); known != done.end()) return known->second;
    spend(widths_[level(node)]);
    std::vector<Node> made;
    for (std::size_t c = 0; c < widths_[level(node)]; ++c) made.push_back(walk(children(node)[c]));
    return done[node] = level(node) == over ? combine(operation, made, no) : make(level(node), made);
  };
  return walk(a);
}

Node Graph::simplified(Node a, Node care) {
  std::map<std::pair<Node, Node>, Node> done;
  const std::function<Node(Node, Node)> walk = [&](Node node, Node cared) -> Node {
    if (is_leaf(node) || cared == yes || cared == no) return node;
    const auto [known, is_new] = done.try_emplace({node, cared}, no);
    if (!is_new) return known->second;
    const std::uint32_t top = level(node);
    spend(widths_[top]);
    Node result = no;
    if (level(cared) < top) {  // `a` does not ask this: care where any answer is possible
      const auto below = children(cared);
      result = walk(node, any({below.begin(), below.end()}));
    } else {
      std::vector<Node> made(widths_[top]);
      Node neighbour = no;
      bool found = false;
      const auto possible = [&](std::size_t c) { return level(cared) == top ? children(cared)[c] : cared; };
      for (std::size_t c = 0; c < made.size(); ++c) {
        if (possible(c) == no) continue;
        made[c] = walk(children(node)[c], possible(c));
        if (!found) neighbour = made[c];
        found = true;
      }
      for (std::size_t c = 0; c < made.size(); ++c) {
        if (possible(c) == no) made[c] = neighbour;
        else neighbour = made[c];
      }
      result = make(top, made);
    }
    return done[{node, cared}] = result;
  };
  return walk(a, care);
}

// ---------------------------------------------------------------- looking

std::vector<Node> Graph::reachable(Node a) const {
  std::vector<Node> order{a};
  std::unordered_set<Node> seen{a};
  for (std::size_t i = 0; i < order.size(); ++i)
    if (!is_leaf(order[i]))
      for (Node child : children(order[i]))
        if (seen.insert(child).second) order.push_back(child);
  std::stable_sort(order.begin(), order.end(), [this](Node x, Node y) { return level(x) < level(y); });
  return order;
}

std::vector<std::uint32_t> Graph::support(Node a) const {
  std::set<std::uint32_t> levels;
  for (Node node : reachable(a))
    if (!is_leaf(node)) levels.insert(level(node));
  return {levels.begin(), levels.end()};
}

Rational Graph::probability(Node condition, const std::vector<std::vector<Rational>>& weights) const {
  std::unordered_map<Node, Rational> done{{no, 0}, {yes, 1}};
  const std::vector<Node> order = reachable(condition);
  for (auto node = order.rbegin(); node != order.rend(); ++node) {
    if (is_leaf(*node)) continue;
    std::map<Node, Rational> alike;  // weights of equal children first: fewer products
    const auto below = children(*node);
    for (std::size_t c = 0; c < below.size(); ++c) alike[below[c]] += weights[level(*node)][c];
    Rational total = 0;
    for (const auto& [child, weight] : alike)
      if (child != no) total += weight * done.at(child);
    done[*node] = total;
  }
  return done.at(condition);
}

namespace {

// A child with what its cells weigh at the least, and what they can weigh more.
struct Weighed {
  Rational value, weight, slack;
};

// What the children come to where `left` is still to be given out among them: to the largest value first, or to the smallest.
Rational given_out(std::vector<Weighed> children, Rational left, bool most) {
  std::stable_sort(children.begin(), children.end(), [&](const Weighed& a, const Weighed& b) { return most ? a.value > b.value : a.value < b.value; });
  Rational total = 0;
  for (const Weighed& child : children) {
    const Rational more = std::min(child.slack, left);
    left -= more;
    total += child.value * (child.weight + more);
  }
  return total;
}

}  // namespace

std::pair<Rational, Rational> Graph::probability(Node condition, const std::vector<std::vector<Rational>>& weights,
                                                 const std::vector<std::vector<Rational>>& slack) const {
  std::unordered_map<Node, std::pair<Rational, Rational>> done{{no, {0, 0}}, {yes, {1, 1}}};
  const std::vector<Node> order = reachable(condition);
  for (auto node = order.rbegin(); node != order.rend(); ++node) {
    if (is_leaf(*node)) continue;
    std::map<Node, Weighed> alike;
    Rational left = 1;
    const auto below = children(*node);
    for (std::size_t c = 0; c < below.size(); ++c) {
      Weighed& child = alike[below[c]];
      child.weight += weights[level(*node)][c];
      child.slack += slack[level(*node)][c];
      left -= weights[level(*node)][c];
    }
    std::vector<Weighed> least, most;
    for (const auto& [child, weighed] : alike) {
      least.push_back({done.at(child).first, weighed.weight, weighed.slack});
      most.push_back({done.at(child).second, weighed.weight, weighed.slack});
    }
    done[*node] = {given_out(std::move(least), left, false), given_out(std::move(most), left, true)};
  }
  return done.at(condition);
}

std::string verify(const Graph& graph, Node root) {
  std::set<std::pair<std::uint32_t, std::vector<Node>>> inner;
  std::set<std::int64_t> leaves;
  for (Node node : graph.reachable(root)) {
    const std::string where = "node " + std::to_string(node) + ": ";
    if (graph.is_leaf(node)) {
      if (!leaves.insert(graph.number(node)).second) return where + "a second leaf with its number";
      continue;
    }
    const auto children = graph.children(node);
    if (graph.level(node) >= graph.widths().size()) return where + "no such level";
    for (Node child : children)
      if (!graph.is_leaf(child) && graph.level(child) <= graph.level(node)) return where + "a child that is not deeper";
    if (std::all_of(children.begin(), children.end(), [&](Node child) { return child == children[0]; }))
      return where + "all children are equal";
    if (!inner.insert({graph.level(node), {children.begin(), children.end()}}).second) return where + "stands twice";
  }
  return "";
}

std::string print(const Graph& graph, Node root, const std::function<std::string(std::uint32_t)>& name) {
  const std::vector<Node> order = graph.reachable(root);
  std::unordered_map<Node, std::size_t> line;
  for (Node node : order)
    if (!graph.is_leaf(node)) line.emplace(node, line.size());
  const auto target = [&](Node node) {
    return graph.is_leaf(node) ? "leaf " + std::to_string(graph.number(node)) : std::to_string(line.at(node));
  };
  if (graph.is_leaf(root)) return target(root) + "\n";
  std::string out;
  for (Node node : order) {
    if (graph.is_leaf(node)) continue;
    out += target(node) + ": " + name(graph.level(node)) + " ?";
    const auto children = graph.children(node);
    for (std::size_t c = 0, end = 0; c < children.size(); c = end) {  // runs of equal answers
      for (end = c + 1; end < children.size() && children[end] == children[c];) ++end;
      out += (c ? ", " : " ") + std::to_string(c) + (end > c + 1 ? "-" + std::to_string(end - 1) : "") + " -> " + target(children[c]);
    }
    out += "\n";
  }
  return out;
}

}  // namespace betony
