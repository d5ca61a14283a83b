#include "compiler/space.h"

#include <algorithm>
#include <numeric>

#include "compiler/joined.h"

namespace betony {

using Node = Graph::Node;

// ---------------------------------------------------------------- people

People::People(Meaning& meaning, const Scope& scope) {
  const Ruleset& ruleset = meaning.ruleset();
  Conditions& conditions = meaning.conditions();
  std::map<std::pair<Form, Index>, std::size_t> known;
  const auto add = [&](Kind kind, Form form, Index sentence, Index school) {
    if (form == Conditions::always) return;
    const auto [at, is_new] = known.try_emplace({form, sentence + (kind == Kind::flag ? 0x40000000u : 0)}, facts_.size());
    if (is_new) facts_.push_back({kind, form, sentence, {}, 0});
    facts_[at->second].schools.insert(school);
  };
  for (Index b : scope.backgrounds)
    add(Kind::background, conditions.negation(meaning.condition(ruleset.backgrounds[b].condition, {})), b, no_index);
  const std::vector<const Cond*> applies = parts_of_applies(ruleset);
  for (Index a : scope.applies) add(Kind::applies, meaning.condition(*applies[a], {}), no_index, no_index);
  for (Index s : scope.red_flags) {
    for (Index school = 0; school <= ruleset.schools.size(); ++school) {
      const Reading reading{school < ruleset.schools.size() ? school : no_index};
      if (in_reading(ruleset, ruleset.sentences[s], reading))
        add(Kind::flag, conditions.negation(meaning.fires(s, reading)), s, reading.school);
    }
  }
  const std::size_t count = meaning.universe().variables.size();
  Joined joined(count);
  for (const Fact& fact : facts_)
    for (Index v : conditions[fact.form].support) joined.join(conditions[fact.form].support[0], v);
  group_of_.assign(count, no_index);
  std::map<Index, Index> numbered;
  for (Fact& fact : facts_) {
    const auto& support = conditions[fact.form].support;
    // A fact without variables can only be `never`; it is a group of its own.
    const Index root = support.empty() ? static_cast<Index>(count) : joined.root(support[0]);
    const auto [at, is_new] = numbered.try_emplace(root, static_cast<Index>(groups_.size()));
    if (is_new) groups_.emplace_back();
    fact.group = at->second;
    groups_[fact.group].insert(groups_[fact.group].end(), support.begin(), support.end());
    for (Index v : support) group_of_[v] = fact.group;
  }
  for (auto& group : groups_) {
    std::sort(group.begin(), group.end());
    group.erase(std::unique(group.begin(), group.end()), group.end());
  }
}

// ---------------------------------------------------------------- order

namespace {

std::vector<std::uint32_t> widths_of(const Universe& universe, const std::vector<Index>& order) {
  std::vector<std::uint32_t> widths;
  for (Index v : order) widths.push_back(static_cast<std::uint32_t>(universe.variables[v].cells.size()));
  return widths;
}

double total_span(const std::vector<std::vector<Index>>& edges, const std::vector<double>& place) {
  double total = 0;
  for (const auto& edge : edges) {
    double low = place[edge[0]], high = low;
    for (Index v : edge) low = std::min(low, place[v]), high = std::max(high, place[v]);
    total += high - low;
  }
  return total;
}

// `edges` over 0 .. count-1; the order found, as a list of these.
std::vector<Index> gathered(std::size_t count, const std::vector<std::vector<Index>>& edges) {
  std::vector<Index> order(count), best;
  std::iota(order.begin(), order.end(), Index{0});
  std::vector<double> place(count);
  double least = 0;
  for (int round = 0; round < 12; ++round) {
    for (std::size_t i = 0; i < count; ++i) place[order[i]] = static_cast<double>(i);
    const double span = total_span(edges, place);
    if (best.empty() || span < least) least = span, best = order;
    std::vector<double> pull(count), pulls(count);
    for (const auto& edge : edges) {
      double middle = 0;
      for (Index v : edge) middle += place[v];
      middle /= static_cast<double>(edge.size());
      for (Index v : edge) pull[v] += middle, pulls[v] += 1;
    }
    for (std::size_t v = 0; v < count; ++v) place[v] = pulls[v] > 0 ? pull[v] / pulls[v] : place[v];
    std::stable_sort(order.begin(), order.end(), [&](Index a, Index b) { return place[a] < place[b]; });
  }
  return best;
}

}  // namespace

void Space::arrange(const std::vector<Form>& asked) {
  const Conditions& conditions = meaning_.conditions();
  std::vector<Index> mentioned;
  std::vector<bool> here(universe().variables.size());
  const auto mention = [&](const std::vector<Index>& variables) {
    for (Index v : variables)
      if (!here[v]) here[v] = true, mentioned.push_back(v);
  };
  for (Form form : asked) mention(conditions[form].support);
  for (std::size_t i = 0; i < mentioned.size(); ++i) {  // grows: facts bring their variables, these their facts
    const Index group = people_.group_of(mentioned[i]);
    if (group == no_index || !groups_.insert(group).second) continue;
    mention(people_.variables_of(group));
  }
  std::vector<Index> number(here.size());
  for (Index i = 0; i < mentioned.size(); ++i) number[mentioned[i]] = i;
  std::vector<std::vector<Index>> edges;
  const auto pull = [&](Form form) {
    const auto& support = conditions[form].support;
    if (support.size() < 2) return;
    edges.emplace_back();
    for (Index v : support) edges.back().push_back(number[v]);
  };
  for (Form form : asked) pull(form);
  for (const People::Fact& fact : people_.facts())
    if (groups_.count(fact.group)) pull(fact.form);
  if (mentioned.empty()) return;
  for (Index i : gathered(mentioned.size(), edges)) order_.push_back(mentioned[i]);
}

Space::Space(Meaning& meaning, const People& people, const std::vector<Form>& asked, const Graph::Limit& limit)
    : meaning_(meaning), people_(people), graph_((arrange(asked), widths_of(meaning.universe(), order_)), limit) {
  level_of_.assign(universe().variables.size(), no_index);
  for (Index level = 0; level < order_.size(); ++level) level_of_[order_[level]] = level;
  bool is_exact = true;
  for (Index v : order_) {
    weights_.emplace_back(), least_weights_.emplace_back(), slack_.emplace_back();
    const Variable& variable = universe().variables[v];
    has_undecided_measure_ = has_undecided_measure_ || !variable.is_decided();
    for (const Cell& cell : variable.cells) {
      weights_.back().push_back(cell.share + cell.slack / 2);
      least_weights_.back().push_back(cell.share);
      slack_.back().push_back(cell.slack);
      is_exact = is_exact && cell.slack == 0;
    }
  }
  if (is_exact) least_weights_.clear(), slack_.clear();
}

// ---------------------------------------------------------------- conditions to graphs

bool Space::reaches(Form form) const {
  const auto& support = meaning_.conditions()[form].support;
  return std::all_of(support.begin(), support.end(), [&](Index v) { return level_of_[v] != no_index; });
}

Node Space::of(Form form) {
  if (const auto known = built_.find(form); known != built_.end()) return known->second;
  const Node node = build(form);
  return built_[form] = node;
}

Node Space::build(Form form) {
  const Conditions::Node node = meaning_.conditions()[form];
  std::vector<Node> parts;
  for (Form part : node.parts) parts.push_back(of(part));
  switch (node.kind) {
    case Conditions::Kind::never: return Graph::no;
    case Conditions::Kind::always: return Graph::yes;
    case Conditions::Kind::literal: return graph_.literal(level_of_[node.variable], node.cells);
    case Conditions::Kind::negation: return graph_.negation(parts[0]);
    case Conditions::Kind::all: return graph_.all(std::move(parts));
    case Conditions::Kind::any: return graph_.any(std::move(parts));
    case Conditions::Kind::at_least:
      return graph_.where(graph_.sum(std::move(parts)), [&](std::int64_t held) { return held >= node.count; });
    case Conditions::Kind::score: return build_score(node);
  }
  return Graph::no;
}

// The sum of points as a graph whose leaves are whole multiples of a common unit, then cut.
Node Space::build_score(const Conditions::Node& node) {
  mpz_class unit = 1, most = 0;
  for (const Rational& points : node.points) mpz_lcm(unit.get_mpz_t(), unit.get_mpz_t(), points.get_den_mpz_t());
  for (const Rational& points : node.points) most += abs(mpz_class(points.get_num() * (unit / points.get_den())));
  if (!most.fits_slong_p()) throw BudgetMet("points too fine to add up");
  std::vector<Node> parts;
  for (std::size_t i = 0; i < node.parts.size(); ++i) {
    const std::int64_t points = mpz_class(node.points[i].get_num() * (unit / node.points[i].get_den())).get_si();
    parts.push_back(graph_.map(of(node.parts[i]), [&](std::int64_t holds) { return holds ? points : 0; }));
  }
  return graph_.where(graph_.sum(std::move(parts)), [&](std::int64_t sum) {
    Rational points(mpz_class(static_cast<long>(sum)), unit);
    points.canonicalize();
    return std::any_of(node.sums.begin(), node.sums.end(), [&](const Interval& i) { return i.contains(points); });
  });
}

// ---------------------------------------------------------------- who is looked at

Node Space::facts(People::Kind kind, Reading reading) {
  std::vector<Node> all;
  for (const People::Fact& fact : people_.facts()) {
    const bool held = fact.kind == kind && (kind != People::Kind::flag || fact.schools.count(reading.school));
    // A fact that names no finding can only be one that nobody meets, and bears on everything.
    if (held && (groups_.count(fact.group) || fact.form == Conditions::never)) all.push_back(of(fact.form));
  }
  return graph_.all(std::move(all));
}

Node Space::background() { return facts(People::Kind::background, {}); }

Node Space::applies() { return graph_.both(background(), facts(People::Kind::applies, {})); }

Node Space::looked_at(Reading reading) {
  if (const auto known = looked_at_.find(reading.school); known != looked_at_.end()) return known->second;
  const Node node = people_.has_nobody(reading) ? Graph::no : graph_.both(applies(), facts(People::Kind::flag, reading));
  return looked_at_[reading.school] = node;
}

Node Space::agrees(const Profile& profile) {
  std::vector<Node> all;
  for (Index level = 0; level < order_.size(); ++level) {
    const Variable& variable = universe().variables[order_[level]];
    std::vector<bool> cells(variable.cells.size(), true);
    for (Index d = 0; d < variable.dimensions.size(); ++d) {
      const Dimension& dimension = variable.dimensions[d];
      std::optional<Value> value;
      if (!dimension.is_measure) {
        value = profile[dimension.index];
      } else {
        const auto& inputs = universe().inputs_of_measure[dimension.index];
        const bool all_told = std::all_of(inputs.begin(), inputs.end(), [&](Index f) { return profile[f] && profile[f]->kind != Value::Kind::never; });
        if (all_told) value = Value{Value::Kind::number, 0, measure_value(meaning_.ruleset(), dimension.index, profile)};
      }
      if (!value) continue;
      const Index extent = extent_of(dimension, *value);
      for (std::size_t c = 0; c < cells.size(); ++c) cells[c] = cells[c] && variable.cells[c].at[d] == extent;
    }
    all.push_back(graph_.literal(level, cells));
  }
  return graph_.all(std::move(all));
}

// ---------------------------------------------------------------- shares and dependence

// Where measures stand apart from their inputs only bounds are known: as if all of their cells had to
// hold, or any one were enough.
std::pair<Rational, Rational> Space::probability(Node region) {
  Node least = region, most = region;
  for (Index level = 0; level < order_.size(); ++level) {
    if (universe().variables[order_[level]].exact) continue;
    least = graph_.for_all(least, level);
    most = graph_.exists(most, level);
  }
  if (!slack_.empty()) return {graph_.probability(least, least_weights_, slack_).first, graph_.probability(most, least_weights_, slack_).second};
  const Rational low = graph_.probability(least, weights_);
  return {low, least == most ? low : graph_.probability(most, weights_)};
}

Share Space::share(Node region, Node whole) {
  const auto [least, most] = probability(region);
  Share share;
  if (least == most && slack_.empty()) {
    const auto [least_whole, most_whole] = probability(whole);
    share.low = most_whole == 0 ? Rational(0) : Rational(least / most_whole);
    share.high = least_whole == 0 ? Rational(most_whole == 0 ? 0 : 1) : Rational(most / least_whole);
  } else if (most > 0) {  // against itself and the rest: where there is no rest it is the whole, however little is known
    const auto [least_rest, most_rest] = probability(graph_.without(whole, region));
    share.low = least > 0 ? Rational(least / (least + most_rest)) : Rational(most_rest == 0 ? 1 : 0);
    share.high = most / (most + least_rest);
  }
  if (share.high > 1) share.high = 1;
  share.exact = share.low == share.high;
  return share;
}

namespace {

// Dimensions of a variable that the children of a node really tell apart: any that can be dropped while
// the others still decide is dropped, findings before measures.
std::vector<Index> dimensions_told(const Variable& variable, std::span<const Node> children) {
  std::vector<Index> kept(variable.dimensions.size());
  std::iota(kept.begin(), kept.end(), Index{0});
  for (Index d = 0; d < variable.dimensions.size(); ++d) {
    std::vector<Index> rest;
    for (Index k : kept)
      if (k != d) rest.push_back(k);
    std::map<std::vector<Index>, Node> answer;
    const bool decided = std::all_of(children.begin(), children.end(), [&, c = std::size_t{0}](Node child) mutable {
      std::vector<Index> key;
      for (Index k : rest) key.push_back(variable.cells[c].at[k]);
      ++c;
      return answer.try_emplace(std::move(key), child).first->second == child;
    });
    if (decided) kept = rest;
  }
  return kept;
}

}  // namespace

std::vector<Index> Space::findings(Node condition) {
  std::set<Index> found;
  for (Node node : graph_.reachable(condition)) {
    if (graph_.is_leaf(node)) continue;
    const Variable& variable = universe().variables[order_[graph_.level(node)]];
    const bool simple = variable.dimensions.size() == 1;
    for (Index d : simple ? std::vector<Index>{0} : dimensions_told(variable, graph_.children(node))) {
      const Dimension& dimension = variable.dimensions[d];
      if (!dimension.is_measure) found.insert(dimension.index);
      else found.insert(universe().inputs_of_measure[dimension.index].begin(), universe().inputs_of_measure[dimension.index].end());
    }
  }
  return {found.begin(), found.end()};
}

}  // namespace betony
