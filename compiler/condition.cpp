#include "compiler/condition.h"

#include <algorithm>
#include <map>

#include "compiler/graph.h"

namespace betony {
namespace {

void append(std::string& key, std::uint32_t number) { key.append(reinterpret_cast<const char*>(&number), sizeof number); }

void append(std::string& key, const Rational& number) {
  key += number.get_str(62);
  key += ';';
}

void append(std::string& key, const Interval& interval) {
  key += interval.low ? (interval.low_in ? '[' : '(') : '-';
  if (interval.low) append(key, *interval.low);
  key += interval.high ? (interval.high_in ? ']' : ')') : '+';
  if (interval.high) append(key, *interval.high);
}

std::string key_of(const Conditions::Node& node) {
  std::string key(1, static_cast<char>(node.kind));
  append(key, node.variable);
  append(key, node.count);
  for (std::size_t c = 0; c < node.cells.size();) {  // runs of cells that are held
    const std::size_t begin = c;
    while (c < node.cells.size() && node.cells[c]) ++c;
    if (c > begin) {
      append(key, static_cast<std::uint32_t>(begin));
      append(key, static_cast<std::uint32_t>(c));
    } else {
      ++c;
    }
  }
  key += '|';
  for (Form part : node.parts) append(key, part);
  for (const Rational& points : node.points) append(key, points);
  for (const Interval& sum : node.sums) append(key, sum);
  return key;
}

}  // namespace

Conditions::Conditions() {
  make(Node{Kind::never, 0, {}, {}, 0, {}, {}, {}});
  make(Node{Kind::always, 0, {}, {}, 0, {}, {}, {}});
}

Form Conditions::make(Node node) {
  const auto [at, is_new] = known_.try_emplace(key_of(node), static_cast<Form>(nodes_.size()));
  if (!is_new) return at->second;
  if (node.kind == Kind::literal) node.support.push_back(node.variable);
  for (Form part : node.parts)
    node.support.insert(node.support.end(), nodes_[part].support.begin(), nodes_[part].support.end());
  std::sort(node.support.begin(), node.support.end());
  node.support.erase(std::unique(node.support.begin(), node.support.end()), node.support.end());
  nodes_.push_back(std::move(node));
  return at->second;
}

Form Conditions::literal(Index variable, const std::vector<bool>& cells) {
  const auto held = std::count(cells.begin(), cells.end(), true);
  if (held == 0) return never;
  if (held == static_cast<std::ptrdiff_t>(cells.size())) return always;
  cells_ += cells.size();
  if (cells_ > most_cells) throw BudgetMet("cells");
  Node node;
  node.kind = Kind::literal;
  node.variable = variable;
  node.cells = cells;
  return make(std::move(node));
}

Form Conditions::negation(Form part) {
  const Node& node = nodes_[part];
  if (part == never) return always;
  if (part == always) return never;
  if (node.kind == Kind::negation) return node.parts[0];
  if (node.kind == Kind::literal) {
    std::vector<bool> cells = node.cells;
    cells.flip();
    return literal(node.variable, cells);
  }
  Node made;
  made.kind = Kind::negation;
  made.parts.push_back(part);
  return make(std::move(made));
}

Form Conditions::list(Kind kind, std::vector<Form> parts) {
  const Form neutral = kind == Kind::all ? always : never, ruling = kind == Kind::all ? never : always;
  std::vector<Form> flat;
  for (Form part : parts) {
    if (part == ruling) return ruling;
    if (part == neutral) continue;
    if (nodes_[part].kind == kind) flat.insert(flat.end(), nodes_[part].parts.begin(), nodes_[part].parts.end());
    else flat.push_back(part);
  }
  std::sort(flat.begin(), flat.end());
  flat.erase(std::unique(flat.begin(), flat.end()), flat.end());
  if (flat.empty()) return neutral;
  if (flat.size() == 1) return flat[0];
  Node node;
  node.kind = kind;
  node.parts = std::move(flat);
  return make(std::move(node));
}

Form Conditions::all(std::vector<Form> parts) { return list(Kind::all, std::move(parts)); }
Form Conditions::any(std::vector<Form> parts) { return list(Kind::any, std::move(parts)); }

Form Conditions::at_least(unsigned count, std::vector<Form> parts) {
  if (count == 0) return always;
  const auto certain = std::count(parts.begin(), parts.end(), always);
  parts.erase(std::remove_if(parts.begin(), parts.end(), [](Form f) { return f == always || f == never; }), parts.end());
  if (certain >= static_cast<std::ptrdiff_t>(count)) return always;
  count -= static_cast<unsigned>(certain);
  if (count > parts.size()) return never;
  if (count == 1) return any(std::move(parts));
  if (count == parts.size()) return all(std::move(parts));
  Node node;
  node.kind = Kind::at_least;
  node.count = count;
  std::sort(parts.begin(), parts.end());  // a part named twice counts twice, as it reads
  node.parts = std::move(parts);
  return make(std::move(node));
}

Form Conditions::score(std::vector<std::pair<Form, Rational>> items, std::vector<Interval> sums) {
  std::map<Form, Rational> merged;
  Rational constant = 0;
  for (const auto& [form, points] : items) {
    if (form == always) constant += points;
    else if (form != never) merged[form] += points;
  }
  for (Interval& sum : sums) {
    if (sum.low) *sum.low -= constant;
    if (sum.high) *sum.high -= constant;
  }
  Node node;
  node.kind = Kind::score;
  for (const auto& [form, points] : merged) {
    if (points == 0) continue;
    node.parts.push_back(form);
    node.points.push_back(points);
  }
  if (node.parts.empty()) {
    const bool holds = std::any_of(sums.begin(), sums.end(), [](const Interval& i) { return i.contains(0); });
    return holds ? always : never;
  }
  node.sums = std::move(sums);
  return make(std::move(node));
}

namespace {

std::string interval_text(const Interval& i) {
  return (i.low ? (i.low_in ? "[" : "(") + i.low->get_str() : std::string("(-")) + " " +
         (i.high ? i.high->get_str() + (i.high_in ? "]" : ")") : std::string("+)"));
}

std::string variable_text(const Universe& universe, Index variable) {
  const Dimension& first = universe.variables[variable].dimensions[0];
  return first.is_measure ? universe.ruleset->measures[first.index].name : universe.ruleset->findings[first.index].name;
}

}  // namespace

std::string print(const Conditions& conditions, Form form, const Universe& universe) {
  const Conditions::Node& node = conditions[form];
  const auto joined = [&](const char* opening) {
    std::string out = opening;
    for (std::size_t i = 0; i < node.parts.size(); ++i) {
      out += i ? " " : "";
      if (!node.points.empty()) out += node.points[i].get_str() + "*";
      out += print(conditions, node.parts[i], universe);
    }
    return out + ")";
  };
  switch (node.kind) {
    case Conditions::Kind::never: return "never";
    case Conditions::Kind::always: return "always";
    case Conditions::Kind::negation: return joined("not(");
    case Conditions::Kind::all: return joined("all(");
    case Conditions::Kind::any: return joined("any(");
    case Conditions::Kind::at_least: return joined(("at least " + std::to_string(node.count) + "(").c_str());
    case Conditions::Kind::score: {
      std::string out = joined("score(") + " in";
      for (const Interval& sum : node.sums) out += " " + interval_text(sum);
      return out;
    }
    case Conditions::Kind::literal: break;
  }
  std::string out = variable_text(universe, node.variable) + "{";
  bool first = true;
  for (std::size_t c = 0; c < node.cells.size(); ++c)
    if (node.cells[c]) out += (std::exchange(first, false) ? "" : ",") + std::to_string(c);
  return out + "}";
}

}  // namespace betony
