#include "tests/oracle/statement.h"

#include <algorithm>

namespace betony::oracle {

using Kind = Node::Kind;

Formula Statement::put(Node node) {
  std::string key = std::to_string(static_cast<int>(node.kind)) + ',' + std::to_string(node.variable) + ',' + std::to_string(node.words) + ',' +
                    std::to_string(node.measure) + (node.inclusive ? "<=" : "<") + node.bound.get_str();
  for (Formula part : node.parts) key += ' ' + std::to_string(part);
  for (const Fraction& points : node.points) key += '*' + points.get_str();
  const auto [at, fresh] = known_.try_emplace(std::move(key), static_cast<Formula>(nodes_.size()));
  if (fresh) nodes_.push_back(std::move(node));
  return at->second;
}

Formula Statement::constant(bool value) {
  Node node;
  node.kind = value ? Kind::yes : Kind::no;
  return put(std::move(node));
}

Formula Statement::word(int variable, std::uint64_t words) {
  Node node;
  node.kind = Kind::word;
  node.variable = variable;
  node.words = words;
  return put(std::move(node));
}

Formula Statement::number(int variable, bool inclusive, Fraction bound) {
  Node node;
  node.kind = Kind::number;
  node.variable = variable;
  node.inclusive = inclusive;
  node.bound = std::move(bound);
  return put(std::move(node));
}

Formula Statement::never(int variable) {
  if (!variables[static_cast<std::size_t>(variable)].or_never) return constant(false);
  Node node;
  node.kind = Kind::never;
  node.variable = variable;
  return put(std::move(node));
}

Formula Statement::measure(int measure, bool inclusive, Fraction bound) {
  Node node;
  node.kind = Kind::measure;
  node.measure = measure;
  node.inclusive = inclusive;
  node.bound = std::move(bound);
  return put(std::move(node));
}

Formula Statement::sum(std::vector<Formula> parts, std::vector<Fraction> points, bool inclusive, Fraction bound) {
  Node node;
  node.kind = Kind::sum;
  node.parts = std::move(parts);
  node.points = std::move(points);
  node.inclusive = inclusive;
  node.bound = std::move(bound);
  return put(std::move(node));
}

Formula Statement::no(Formula part) {
  if (node(part).kind == Kind::negation) return node(part).parts[0];
  if (node(part).kind == Kind::yes || node(part).kind == Kind::no) return constant(node(part).kind == Kind::no);
  Node n;
  n.kind = Kind::negation;
  n.parts = {part};
  return put(std::move(n));
}

Formula Statement::list(Kind kind, std::vector<Formula> parts) {
  const Kind decides = kind == Kind::all ? Kind::no : Kind::yes, idle = kind == Kind::all ? Kind::yes : Kind::no;
  std::vector<Formula> kept;
  for (Formula part : parts) {
    if (node(part).kind == decides) return part;
    if (node(part).kind != idle) kept.push_back(part);
  }
  std::sort(kept.begin(), kept.end());
  kept.erase(std::unique(kept.begin(), kept.end()), kept.end());
  if (kept.empty()) return constant(kind == Kind::all);
  if (kept.size() == 1) return kept[0];
  Node n;
  n.kind = kind;
  n.parts = std::move(kept);
  return put(std::move(n));
}

Formula Statement::all(std::vector<Formula> parts) { return list(Kind::all, std::move(parts)); }
Formula Statement::any(std::vector<Formula> parts) { return list(Kind::any, std::move(parts)); }

long Statement::steps(const Variable& v) {
  const Fraction count = (v.high - v.low) / v.step;
  return mpz_class(count.get_num() / count.get_den()).get_si();
}

// ---------------------------------------------------------------- on one profile

namespace {

bool under(const Fraction& value, const Node& n) { return value < n.bound || (n.inclusive && value == n.bound); }

}  // namespace

bool holds(const Statement& statement, Formula formula, const Point& point, std::vector<signed char>& memo) {
  if (memo.size() < statement.nodes().size()) memo.resize(statement.nodes().size(), -1);
  signed char& known = memo[static_cast<std::size_t>(formula)];
  if (known >= 0) return known == 1;
  const Node& n = statement.node(formula);
  const auto variable = static_cast<std::size_t>(n.variable);
  const auto part = [&](Formula f) { return holds(statement, f, point, memo); };
  bool result = false;
  switch (n.kind) {
    case Kind::no: break;
    case Kind::yes: result = true; break;
    case Kind::word: result = (n.words >> point.words[variable] & 1u) != 0; break;
    case Kind::number: result = !point.never[variable] && under(point.numbers[variable], n); break;
    case Kind::never: result = point.never[variable] != 0; break;
    case Kind::negation: result = !part(n.parts[0]); break;
    case Kind::all: result = std::all_of(n.parts.begin(), n.parts.end(), part); break;
    case Kind::any: result = std::any_of(n.parts.begin(), n.parts.end(), part); break;
    case Kind::sum: {
      Fraction sum = 0;
      for (std::size_t i = 0; i < n.parts.size(); ++i)
        if (part(n.parts[i])) sum += n.points[i];
      result = under(sum, n);
      break;
    }
    case Kind::measure: result = under(value(statement.measures[static_cast<std::size_t>(n.measure)], point.numbers), n); break;
  }
  memo[static_cast<std::size_t>(formula)] = result ? 1 : 0;
  return result;
}

}  // namespace betony::oracle
