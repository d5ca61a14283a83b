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

// Stands where the finding's name may have to be said again.
constexpr const char* again = " and\x01";

std::string with_name(std::string words, const std::string& name) {
  for (std::size_t at; (at = words.find('\x01')) != std::string::npos;) words.replace(at, 1, name);
  return words;
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
  return std::string(first.low_in ? " at least " : " over ") + words(*first.low) + again + (last.high_in ? " at most " : " under ") + words(*last.high);
}

// What follows the finding's name for some of its words.
std::string word_list(const Finding& finding, const std::vector<bool>& extents) {
  std::vector<std::string> held;
  std::string missing;
  for (std::size_t i = 0; i < finding.values.size(); ++i) (extents[i] ? held.emplace_back(finding.values[i]) : missing) = finding.values[i];
  const auto runs = runs_of(extents, finding.values.size());
  if (finding.kind == Finding::Kind::grade && runs.size() == 1 && held.size() > 1) {
    if (runs[0].end == extents.size()) return " at least " + held.front();
    if (runs[0].begin == 0) return " at most " + held.back();
    return " from " + held.front() + " to " + held.back();
  }
  if (finding.values.size() > 2 && held.size() + 1 == finding.values.size()) return " is not " + missing;
  return " is " + joined(held, "or");
}

// What follows the name, each run of numbers by itself.
std::vector<std::string> phrases(const Ruleset& ruleset, const Dimension& dimension, const std::vector<bool>& extents) {
  const bool has_never = dimension.extents.back().kind == Extent::Kind::never;
  const std::size_t count = dimension.extents.size() - has_never;
  std::vector<Run> runs = runs_of(extents, count);
  if (has_never && runs.size() == 1 && runs[0].begin == 0 && runs[0].end == count && !extents.back()) return {" is not never"};
  const Finding::Kind kind = dimension.is_measure ? Finding::Kind::number : ruleset.findings[dimension.index].kind;
  const bool circular = kind == Finding::Kind::date || kind == Finding::Kind::time_of_day;
  std::vector<std::string> parts;
  if (circular && runs.size() > 1 && runs.front().begin == 0 && runs.back().end == count) {  // over the turn of the year, the night
    parts.push_back(" from " + with_unit(ruleset, dimension, *dimension.extents[runs.back().begin].numbers.low) + " to " +
                    with_unit(ruleset, dimension, *dimension.extents[runs.front().end - 1].numbers.high));
    runs.erase(runs.begin());
    runs.pop_back();
  }
  for (const Run& run : runs) parts.push_back(numbers_words(ruleset, dimension, run, count));
  if (has_never && extents.back()) parts.push_back(" is never");
  return parts;
}

bool is_told_in_words(const Ruleset& ruleset, const Dimension& dimension) {
  if (dimension.is_measure) return false;
  const Finding::Kind kind = ruleset.findings[dimension.index].kind;
  return kind == Finding::Kind::yes_no || kind == Finding::Kind::one_of || kind == Finding::Kind::grade;
}

}  // namespace

std::string extents_words(const Ruleset& ruleset, const Dimension& dimension, const std::vector<bool>& extents, bool as_condition) {
  const std::string& name = dimension.is_measure ? ruleset.measures[dimension.index].name : ruleset.findings[dimension.index].name;
  if (is_told_in_words(ruleset, dimension)) {
    const Finding& finding = ruleset.findings[dimension.index];
    if (finding.kind == Finding::Kind::yes_no) return extents[1] ? name : "not " + name;
    return name + word_list(finding, extents);
  }
  std::vector<std::string> parts = phrases(ruleset, dimension, extents);
  for (std::string& part : parts) {
    const bool is_two = part.find('\x01') != std::string::npos;
    part = with_name(name + part, as_condition ? " " + name : "");
    if (is_two && as_condition) part = "(" + part + ")";
  }
  return parts.size() == 1 ? parts[0] : "(" + joined(parts, "or") + ")";
}

std::string answer_words(const Finding& finding, const Value& value) {
  if (finding.kind == Finding::Kind::yes_no) return (value.word == 1 ? "" : "not ") + finding.name;
  const bool plain = finding.kind == Finding::Kind::number && value.kind == Value::Kind::number && finding.unit == "years" && !finding.ago;
  return finding.name + " " + (plain ? number_words(value.number) : value_words(finding, value));
}

std::vector<std::string> extents_answers(const Ruleset& ruleset, const Dimension& dimension, const std::vector<bool>& extents) {
  std::vector<std::string> out;
  if (!is_told_in_words(ruleset, dimension)) {
    out = phrases(ruleset, dimension, extents);
  } else if (const Finding& finding = ruleset.findings[dimension.index]; finding.kind == Finding::Kind::yes_no) {
    return {extents[0] && extents[1] ? "yes or no" : extents[1] ? "yes" : "no"};
  } else if (const auto held = std::count(extents.begin(), extents.end(), true); finding.kind == Finding::Kind::one_of && held <= 3) {
    std::vector<std::string> words;
    for (std::size_t i = 0; i < finding.values.size(); ++i)
      if (extents[i]) words.push_back(finding.values[i]);
    return {joined(words, "or")};
  } else {
    out = {word_list(finding, extents)};
  }
  for (std::string& part : out) {
    if (part.empty()) part = " any";
    part = with_name(part, "");
    part.erase(0, part.rfind(" is ", 0) == 0 ? 4 : 1);
  }
  return out;
}

namespace {

// ---------------------------------------------------------------- one variable in words

bool all_held(const std::vector<bool>& flags) { return std::find(flags.begin(), flags.end(), false) == flags.end(); }

using Sides = std::vector<std::vector<bool>>;  // extents of each dimension

bool holds(const Sides& sides, const Cell& cell) {
  for (std::size_t d = 0; d < sides.size(); ++d)
    if (!sides[d][cell.at[d]]) return false;
  return true;
}

bool inside(const Variable& variable, const Sides& sides, const std::vector<bool>& room) {
  for (std::size_t c = 0; c < room.size(); ++c)
    if (!room[c] && holds(sides, variable.cells[c])) return false;
  return true;
}

// For each extent of a dimension, the other sides being given: whether anybody has it, and somebody outside the room.
struct Reached {
  std::vector<bool> anybody, outside;
};
Reached reached(const Variable& variable, Sides sides, std::size_t d, const std::vector<bool>& room) {
  const std::size_t width = sides[d].size();
  sides[d].assign(width, true);
  Reached result{std::vector<bool>(width), std::vector<bool>(width)};
  for (std::size_t c = 0; c < room.size(); ++c) {
    const Cell& cell = variable.cells[c];
    if (!holds(sides, cell)) continue;
    result.anybody[cell.at[d]] = true;
    if (!room[c]) result.outside[cell.at[d]] = true;
  }
  return result;
}

// Numbers that nobody has are told along where that joins two runs or reaches an end, as in join_runs.
void join_runs(const Dimension& dimension, std::vector<bool>& side, const std::vector<bool>& anybody) {
  for (std::size_t begin = 0; begin < side.size();) {
    std::size_t end = begin;
    bool empty = true;
    for (; end < side.size() && !side[end]; ++end)
      empty = empty && !anybody[end] && dimension.extents[end].kind == Extent::Kind::numbers;
    if (empty) std::fill(side.begin() + static_cast<std::ptrdiff_t>(begin), side.begin() + static_cast<std::ptrdiff_t>(end), true);
    begin = end + 1;
  }
}

// A product of extents inside the room, grown from one cell as far as it goes. What need not be said at all goes first: the measures,
// or the findings.
Sides grown(const Variable& variable, const std::vector<bool>& room, const Cell& seed, bool measures_first) {
  Sides sides;
  std::vector<std::size_t> order;
  for (std::size_t d = 0; d < variable.dimensions.size(); ++d) {
    sides.emplace_back(variable.dimensions[d].extents.size());
    sides[d][seed.at[d]] = true;
    order.push_back(d);
  }
  std::stable_partition(order.begin(), order.end(), [&](std::size_t d) { return variable.dimensions[d].is_measure == measures_first; });
  const auto leave_out = [&] {
    for (std::size_t d : order) {
      std::vector<bool> kept(sides[d].size(), true);
      kept.swap(sides[d]);
      if (!inside(variable, sides, room)) kept.swap(sides[d]);
    }
  };
  leave_out();
  for (Sides before; before != sides;) {
    before = sides;
    for (std::size_t d : order) {
      const Reached here = reached(variable, sides, d, room);
      for (std::size_t e = 0; e < sides[d].size(); ++e) sides[d][e] = sides[d][e] || (here.anybody[e] && !here.outside[e]);
    }
  }
  leave_out();
  for (std::size_t d : order) join_runs(variable.dimensions[d], sides[d], reached(variable, sides, d, room).anybody);
  return sides;
}

Rational share_of(const Variable& variable, const Sides& sides) {
  Rational share = 0;
  for (const Cell& cell : variable.cells)
    if (holds(sides, cell)) share += cell.share;
  return share;
}

// The wider of the two; findings are plainer where it makes no difference.
Sides widest(const Variable& variable, const std::vector<bool>& room, const Cell& seed) {
  Sides by_findings = grown(variable, room, seed, true), by_measures = grown(variable, room, seed, false);
  return share_of(variable, by_measures) > share_of(variable, by_findings) ? by_measures : by_findings;
}

std::string variable_words(const Ruleset& ruleset, const Variable& variable, const std::vector<bool>& cells, bool as_condition = false) {
  if (variable.dimensions.size() == 1) {
    std::vector<bool> extents(variable.dimensions[0].extents.size());
    for (std::size_t c = 0; c < cells.size(); ++c) extents[variable.cells[c].at[0]] = cells[c];
    return extents_words(ruleset, variable.dimensions[0], extents, as_condition);
  }
  std::vector<Sides> products;
  std::vector<bool> left = cells;
  auto seed = left.begin();
  while (products.size() < 3 && (seed = std::find(seed, left.end(), true)) != left.end()) {
    products.push_back(widest(variable, cells, variable.cells[static_cast<std::size_t>(seed - left.begin())]));
    for (std::size_t c = 0; c < left.size(); ++c) left[c] = left[c] && !holds(products.back(), variable.cells[c]);
  }
  std::vector<std::vector<std::string>> parts;
  for (const Sides& sides : products) {
    parts.emplace_back();
    for (std::size_t d = 0; d < sides.size(); ++d)
      if (!all_held(sides[d])) parts.back().push_back(extents_words(ruleset, variable.dimensions[d], sides[d], as_condition));
  }
  if (parts.size() == 1) return joined(parts[0], "and");
  std::vector<std::string> words;
  for (const auto& sides : parts) words.push_back(sides.size() > 1 ? "(" + joined(sides, "and") + ")" : joined(sides, "and"));
  if (std::find(seed, left.end(), true) != left.end()) words.push_back("others like these");
  return "(" + joined(words, "or") + ")";
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

std::string cells_words(const Ruleset& ruleset, const Variable& variable, const std::vector<bool>& cells) {
  return variable_words(ruleset, variable, cells, true);
}

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
