#include "compiler/region.h"

#include <algorithm>
#include <unordered_map>
#include <unordered_set>

namespace betony {
namespace {

using Node = Graph::Node;
using Box = std::vector<std::vector<bool>>;  // cells of each level

std::string joined(const std::vector<std::string>& parts, const char* last) {
  std::string out;
  for (std::size_t i = 0; i < parts.size(); ++i) {
    if (i > 0) out += parts.size() == 2 ? std::string(" ") + last + " " : i + 1 == parts.size() ? std::string(", ") + last + " " : ", ";
    out += parts[i];
  }
  return out;
}

// ---------------------------------------------------------------- one dimension in words

struct Run {
  std::size_t begin, end;  // extents
};

std::vector<Run> runs_of(const std::vector<bool>& extents, std::size_t count) {
  std::vector<Run> runs;
  for (std::size_t i = 0; i < count; ++i) {
    if (!extents[i]) continue;
    if (!runs.empty() && runs.back().end == i) runs.back().end = i + 1;
    else runs.push_back({i, i + 1});
  }
  return runs;
}

std::string with_unit(const Ruleset& ruleset, const Dimension& dimension, const Rational& number) {
  if (dimension.is_measure) {
    const std::string& unit = ruleset.measures[dimension.index].unit;
    return number_words(number) + (unit.empty() || unit == "1" ? "" : " " + unit);
  }
  return value_words(ruleset.findings[dimension.index], {Value::Kind::number, 0, number});
}

// What follows the finding's name for one run of numbers.
std::string numbers_words(const Ruleset& ruleset, const Dimension& dimension, Run run, std::size_t count) {
  const Interval &first = dimension.extents[run.begin].numbers, &last = dimension.extents[run.end - 1].numbers;
  const Finding* finding = dimension.is_measure ? nullptr : &ruleset.findings[dimension.index];
  const auto words = [&](const Rational& x) { return with_unit(ruleset, dimension, x); };
  const bool from_start = run.begin == 0, to_end = run.end == count;
  if (*first.low == *last.high && first.low_in && last.high_in) return " is " + words(*first.low);
  const bool fine = finding && finding->step > 0 && finding->step != 1;  // "under 40" is plainer than "at most 39.9"
  if (from_start && to_end) return "";
  if (from_start) return last.high_in ? (fine ? " under " + words(*last.high + finding->step) : " at most " + words(*last.high))
                                      : " under " + words(*last.high);
  if (to_end) return (first.low_in ? " at least " : " over ") + words(*first.low);
  if (first.low_in && last.high_in) {
    if (finding && (finding->kind == Finding::Kind::date || finding->kind == Finding::Kind::time_of_day))
      return " from " + words(*first.low) + " to " + words(*last.high);
    return " from " + number_words(*first.low) + " to " + words(*last.high);
  }
  return std::string(first.low_in ? " at least " : " over ") + words(*first.low) + (last.high_in ? " and at most " : " and under ") +
         words(*last.high);
}

std::string word_list(const Finding& finding, const std::vector<bool>& extents, const std::string& name) {
  std::vector<std::string> held;
  std::string missing;
  for (std::size_t i = 0; i < finding.values.size(); ++i) (extents[i] ? held.emplace_back(finding.values[i]) : missing) = finding.values[i];
  const auto runs = runs_of(extents, finding.values.size());
  if (finding.kind == Finding::Kind::grade && runs.size() == 1 && held.size() > 1) {
    if (runs[0].end == extents.size()) return name + " at least " + held.front();
    if (runs[0].begin == 0) return name + " at most " + held.back();
    return name + " from " + held.front() + " to " + held.back();
  }
  if (finding.values.size() > 2 && held.size() + 1 == finding.values.size()) return name + " is not " + missing;
  return name + " is " + joined(held, "or");
}

}  // namespace

std::string extents_words(const Ruleset& ruleset, const Dimension& dimension, const std::vector<bool>& extents) {
  const std::string& name = dimension.is_measure ? ruleset.measures[dimension.index].name : ruleset.findings[dimension.index].name;
  if (!dimension.is_measure) {
    const Finding& finding = ruleset.findings[dimension.index];
    if (finding.kind == Finding::Kind::yes_no) return extents[1] ? name : "not " + name;
    if (finding.kind == Finding::Kind::one_of || finding.kind == Finding::Kind::grade) return word_list(finding, extents, name);
  }
  const bool has_never = dimension.extents.back().kind == Extent::Kind::never;
  const std::size_t count = dimension.extents.size() - has_never;
  std::vector<Run> runs = runs_of(extents, count);
  if (has_never && runs.size() == 1 && runs[0].begin == 0 && runs[0].end == count && !extents.back()) return name + " is not never";
  const Finding::Kind kind = dimension.is_measure ? Finding::Kind::number : ruleset.findings[dimension.index].kind;
  const bool circular = kind == Finding::Kind::date || kind == Finding::Kind::time_of_day;
  std::vector<std::string> parts;
  if (circular && runs.size() > 1 && runs.front().begin == 0 && runs.back().end == count) {  // over the turn of the year, the night
    parts.push_back(name + " from " + with_unit(ruleset, dimension, *dimension.extents[runs.back().begin].numbers.low) + " to " +
                    with_unit(ruleset, dimension, *dimension.extents[runs.front().end - 1].numbers.high));
    runs.erase(runs.begin());
    runs.pop_back();
  }
  for (const Run& run : runs) parts.push_back(name + numbers_words(ruleset, dimension, run, count));
  if (has_never && extents.back()) parts.push_back(name + " is never");
  return parts.size() == 1 ? parts[0] : "(" + joined(parts, "or") + ")";
}

namespace {

// ---------------------------------------------------------------- one variable in words

bool all_held(const std::vector<bool>& flags) { return std::find(flags.begin(), flags.end(), false) == flags.end(); }

// Extents of each dimension that occur in the cells.
std::vector<std::vector<bool>> projections(const Variable& variable, const std::vector<bool>& cells) {
  std::vector<std::vector<bool>> result;
  for (const Dimension& dimension : variable.dimensions) result.emplace_back(dimension.extents.size());
  for (std::size_t c = 0; c < cells.size(); ++c)
    if (cells[c])
      for (std::size_t d = 0; d < result.size(); ++d) result[d][variable.cells[c].at[d]] = true;
  return result;
}

// The cells of the product of these sides.
std::vector<bool> cells_in(const Variable& variable, const std::vector<std::vector<bool>>& sides) {
  std::vector<bool> cells(variable.cells.size());
  for (std::size_t c = 0; c < cells.size(); ++c) {
    bool held = true;
    for (std::size_t d = 0; d < sides.size(); ++d) held = held && sides[d][variable.cells[c].at[d]];
    cells[c] = held;
  }
  return cells;
}

bool is_product(const Variable& variable, const std::vector<bool>& cells, const std::vector<std::vector<bool>>& sides) {
  return cells_in(variable, sides) == cells;
}

// Extents that no cell has are told along where that joins two runs or reaches an end, never as a run of their own.
void join_unmet(const std::vector<bool>& met, std::vector<bool>& side) {
  for (std::size_t begin = 0, end = 0; begin < side.size(); begin = end + 1) {
    for (end = begin; end < side.size() && !met[end];) ++end;
    const bool left = begin == 0 || side[begin - 1], right = end == side.size() || side[end];
    if (left && right && (begin > 0 || end < side.size()))
      std::fill(side.begin() + static_cast<std::ptrdiff_t>(begin), side.begin() + static_cast<std::ptrdiff_t>(end), true);
  }
}

// Words for cells that are the product of some extents of each dimension; nothing if they are not.
std::optional<std::string> product_words(const Ruleset& ruleset, const Variable& variable, const std::vector<bool>& cells) {
  auto sides = projections(variable, cells);
  if (!is_product(variable, cells, sides)) return std::nullopt;
  for (auto& side : sides) {  // what follows from the other sides need not be said
    std::vector<bool> kept(side.size(), true);
    kept.swap(side);
    if (!is_product(variable, cells, sides)) kept.swap(side);
  }
  const auto met = projections(variable, std::vector<bool>(cells.size(), true));
  std::vector<std::string> parts;
  for (std::size_t d = 0; d < sides.size(); ++d) {
    join_unmet(met[d], sides[d]);
    if (!all_held(sides[d])) parts.push_back(extents_words(ruleset, variable.dimensions[d], sides[d]));
  }
  return joined(parts, "and");
}

std::string variable_words(const Ruleset& ruleset, const Variable& variable, std::vector<bool> cells) {
  if (variable.dimensions.size() == 1) {
    std::vector<bool> extents(variable.dimensions[0].extents.size());
    for (std::size_t c = 0; c < cells.size(); ++c) extents[variable.cells[c].at[0]] = cells[c];
    return extents_words(ruleset, variable.dimensions[0], extents);
  }
  std::vector<std::string> parts;
  while (parts.size() < 3 && std::find(cells.begin(), cells.end(), true) != cells.end()) {
    std::vector<bool> grown(cells.size());  // a product inside the cells, grown by a cell and what it brings along
    for (std::size_t c = 0; c < cells.size(); ++c) {
      if (!cells[c] || grown[c]) continue;
      std::vector<bool> wider = grown;
      wider[c] = true;
      wider = cells_in(variable, projections(variable, wider));
      bool inside = true;
      for (std::size_t i = 0; i < cells.size(); ++i) inside = inside && (!wider[i] || cells[i]);
      if (inside) grown = std::move(wider);
    }
    parts.push_back(*product_words(ruleset, variable, grown));
    for (std::size_t c = 0; c < cells.size(); ++c) cells[c] = cells[c] && !grown[c];
  }
  if (std::find(cells.begin(), cells.end(), true) != cells.end()) parts.push_back("others like these");
  return parts.size() == 1 ? parts[0] : "(" + joined(parts, "or") + ")";
}

std::string box_words(Space& space, const Box& box) {
  std::vector<std::pair<Index, std::string>> parts;
  for (Index level = 0; level < box.size(); ++level) {
    if (all_held(box[level])) continue;
    const Index variable = space.order()[level];
    parts.emplace_back(variable, variable_words(space.meaning().ruleset(), space.universe().variables[variable], box[level]));
  }
  if (parts.empty()) return "every person";
  std::sort(parts.begin(), parts.end());  // as the findings are declared
  std::vector<std::string> words;
  for (auto& [variable, text] : parts) words.push_back(std::move(text));
  return joined(words, "and");
}

// ---------------------------------------------------------------- boxes

// The widest way from `region` to yes: at each node the answers that lead to the best child.
Box widest_way(Space& space, Node region) {
  Graph& graph = space.graph();
  std::unordered_map<Node, double> best{{Graph::no, -1}, {Graph::yes, 1}};
  std::unordered_map<Node, Node> next;
  const std::vector<Node> order = graph.reachable(region);
  for (auto node = order.rbegin(); node != order.rend(); ++node) {
    if (graph.is_leaf(*node)) continue;
    std::unordered_map<Node, double> weight;
    const auto children = graph.children(*node);
    for (std::size_t c = 0; c < children.size(); ++c) weight[children[c]] += space.weights()[graph.level(*node)][c].get_d() + 1e-9;
    double most = -1;
    for (Node child : children) {  // in the order of cells, so that ties are the same on every run
      if (best[child] < 0 || weight[child] * best[child] <= most) continue;
      most = weight[child] * best[child];
      next[*node] = child;
    }
    best[*node] = most;
  }
  Box box;
  for (std::uint32_t width : graph.widths()) box.emplace_back(width, true);
  for (Node node = region; !graph.is_leaf(node); node = next.at(node)) {
    const auto children = graph.children(node);
    for (std::size_t c = 0; c < children.size(); ++c) box[graph.level(node)][c] = children[c] == next.at(node);
  }
  return box;
}

bool box_inside(Space& space, const Box& box, Node node) {
  Graph& graph = space.graph();
  std::unordered_set<Node> seen;
  const std::function<bool(Node)> walk = [&](Node at) {
    if (graph.is_leaf(at)) return at != Graph::no;
    if (!seen.insert(at).second) return true;
    const auto children = graph.children(at);
    for (std::size_t c = 0; c < children.size(); ++c)
      if (box[graph.level(at)][c] && (c == 0 || children[c] != children[c - 1] || !box[graph.level(at)][c - 1]) && !walk(children[c]))
        return false;
    return true;
  };
  const bool inside = walk(node);
  graph.spend(seen.size());
  return inside;
}

// Sets the cells if the box then still stays inside `room`.
bool try_cells(Space& space, Box& box, std::vector<bool>& cells, std::vector<bool> wanted, Node room) {
  cells.swap(wanted);
  if (box_inside(space, box, room)) return true;
  cells.swap(wanted);
  return false;
}

// Whether somebody who is looked at has this cell and lies in the rest of the box.
bool somebody_at(Space& space, Box& box, std::vector<bool>& cells, std::size_t cell, Node nobody) {
  std::vector<bool> one(cells.size());
  one[cell] = true;
  cells.swap(one);
  const bool empty = box_inside(space, box, nobody);
  cells.swap(one);
  return !empty;
}

// Numbers that nobody who is looked at has are told along where that joins two runs or reaches an end
// ("age at most 40" for 12 to 40 where children are not looked at), never as a run of their own.
void join_runs(Space& space, Box& box, std::vector<bool>& cells, Node room) {
  for (std::size_t begin = 0; begin < cells.size();) {
    if (cells[begin]) {
      ++begin;
      continue;
    }
    std::size_t end = begin;
    while (end < cells.size() && !cells[end]) ++end;
    std::vector<bool> wanted = cells;
    std::fill(wanted.begin() + static_cast<std::ptrdiff_t>(begin), wanted.begin() + static_cast<std::ptrdiff_t>(end), true);
    try_cells(space, box, cells, std::move(wanted), room);
    begin = end;
  }
}

void widen(Space& space, Box& box, Node room, Node nobody) {
  for (Index level = 0; level < box.size(); ++level) {
    std::vector<bool>& cells = box[level];
    if (all_held(cells) || try_cells(space, box, cells, std::vector<bool>(cells.size(), true), room)) continue;
    for (std::size_t c = 0; c < cells.size(); ++c) {
      if (cells[c] || !somebody_at(space, box, cells, c, nobody)) continue;
      std::vector<bool> wanted = cells;
      wanted[c] = true;
      try_cells(space, box, cells, std::move(wanted), room);
    }
    const Variable& variable = space.universe().variables[space.order()[level]];
    if (variable.dimensions.size() == 1 && variable.dimensions[0].extents[0].kind == Extent::Kind::numbers) join_runs(space, box, cells, room);
  }
}

}  // namespace

RegionWords region_words(Space& space, Node region, Node whole) {
  Graph& graph = space.graph();
  const Node nobody = graph.negation(whole), room = graph.either(region, nobody);
  RegionWords words;
  for (Node left = region; left != Graph::no;) {
    if (words.boxes.size() == most_boxes) {
      words.complete = false;
      break;
    }
    Box box = widest_way(space, left);
    widen(space, box, room, nobody);
    words.boxes.push_back(box_words(space, box));
    std::vector<Node> sides;
    for (std::uint32_t level = 0; level < box.size(); ++level) sides.push_back(graph.literal(level, box[level]));
    left = graph.without(left, graph.all(std::move(sides)));
  }
  return words;
}

}  // namespace betony
