#include "compiler/witness.h"

#include <algorithm>
#include <unordered_map>

namespace betony {

using Node = Graph::Node;

Value value_of(const Extent& extent) {
  Value value;
  switch (extent.kind) {
    case Extent::Kind::word: value.word = extent.word; break;
    case Extent::Kind::numbers: value.kind = Value::Kind::number, value.number = extent.sample; break;
    case Extent::Kind::never: value.kind = Value::Kind::never; break;
  }
  return value;
}

namespace {

// What a cell costs: unusual answers are dear; those that cannot be shown are taken where there is nothing else.
unsigned cost_of(const Variable& variable, Index cell) {
  switch (variable.cells[cell].shown) {
    case Cell::Shown::numbers: return static_cast<unsigned>(variable.unusual(cell));
    case Cell::Shown::no_fraction: return 10'000;  // above as many unusual answers as a graph has levels
    case Cell::Shown::doubtful: break;
  }
  return 100'000;
}

// The cheapest cell of each level on a way to `yes`.
std::vector<Index> cheapest_cells(Space& space, Node region) {
  Graph& graph = space.graph();
  struct Best {
    unsigned cost = 0xffffffff;
    Index cell = 0;
  };
  std::unordered_map<Node, Best> best{{Graph::yes, {0, 0}}, {Graph::no, {}}};
  const std::vector<Node> order = graph.reachable(region);
  for (auto node = order.rbegin(); node != order.rend(); ++node) {
    if (graph.is_leaf(*node)) continue;
    const Variable& variable = space.universe().variables[space.order()[graph.level(*node)]];
    const auto children = graph.children(*node);
    Best chosen;
    for (Index c = 0; c < children.size(); ++c) {
      const unsigned below = best.at(children[c]).cost;
      if (below == 0xffffffff) continue;
      const unsigned cost = below + cost_of(variable, c);
      if (cost < chosen.cost || (cost == chosen.cost && variable.cells[c].share > variable.cells[chosen.cell].share)) chosen = {cost, c};
    }
    best[*node] = chosen;
  }
  std::vector<Index> result;
  for (Index v : space.order()) result.push_back(space.universe().variables[v].usual);
  for (Node node = region; !graph.is_leaf(node);) {
    const Index cell = best.at(node).cell;
    result[graph.level(node)] = cell;
    node = graph.children(node)[cell];
  }
  return result;
}

}  // namespace

void Witnesses::fill(const Universe& universe, Index index, Index cell, Profile& profile) {
  const Variable& variable = universe.variables[index];
  for (Index d = 0; d < variable.dimensions.size(); ++d) {
    const Dimension& dimension = variable.dimensions[d];
    if (dimension.is_measure) continue;
    Value value = value_of(dimension.extents[variable.cells[cell].at[d]]);
    if (value.kind == Value::Kind::number) value.number = variable.cells[cell].numbers[d];
    profile[dimension.index] = value;
  }
}

namespace {

// Gives the profile the values of a cell of each level. False if one of the cells is not shown by numbers.
bool fill_all(const Space& space, const std::vector<Index>& chosen, Profile& profile, bool& no_fraction) {
  bool shown = true;
  no_fraction = false;
  for (Index level = 0; level < chosen.size(); ++level) {
    const Index variable = space.order()[level];
    const Cell::Shown how = space.universe().variables[variable].cells[chosen[level]].shown;
    if (how == Cell::Shown::doubtful) return no_fraction = false;
    no_fraction = no_fraction || how == Cell::Shown::no_fraction;
    shown = shown && how == Cell::Shown::numbers;
    if (shown) Witnesses::fill(space.universe(), variable, chosen[level], profile);
  }
  return shown;
}

}  // namespace

std::optional<Profile> Witnesses::find(Space& space, Node region, Reading reading, bool* no_fraction) {
  const Universe& universe = meaning_.universe();
  bool ignored = false;
  Profile profile = usual_.of(reading);
  std::set<Index> unsettled = usual_.unsettled();
  const std::vector<Index> chosen = cheapest_cells(space, region);
  for (Index level = 0; level < chosen.size(); ++level)
    for (const Dimension& dimension : universe.variables[space.order()[level]].dimensions)
      if (!dimension.is_measure) unsettled.erase(dimension.index);
  if (!unsettled.empty()) return std::nullopt;
  if (!fill_all(space, chosen, profile, no_fraction ? *no_fraction : ignored)) return std::nullopt;
  const std::vector<std::uint32_t> asked = space.graph().support(region);
  for (Index level = 0; level < chosen.size(); ++level) {
    const Variable& variable = universe.variables[space.order()[level]];
    if (variable.exact || !std::binary_search(asked.begin(), asked.end(), level)) continue;
    if (!meet_measure(variable.dimensions[0].index, variable.dimensions[0].extents[chosen[level]], profile)) return std::nullopt;
  }
  return profile;
}

// ---------------------------------------------------------------- usual answers

UsualAnswers::UsualAnswers(const Facts& facts, const BoundFindings& bound, const std::vector<Reading>& readings, const Graph::Limit& limit) {
  const Ruleset& ruleset = facts.ruleset();
  Scope all;
  for (Index f = 0; f < ruleset.findings.size(); ++f) all.findings.insert(f);
  const Universe plain = cut(ruleset, all, bound);
  Profile usual(ruleset.findings.size());
  for (Index v = 0; v < plain.variables.size(); ++v) Witnesses::fill(plain, v, plain.variables[v].usual, usual);
  for (Reading reading : readings) profiles_[reading.school] = usual;

  for (Index group = 0; group < facts.group_count(); ++group) {
    const Scope& scope = facts.group(group);
    try {
      const Universe universe = cut(ruleset, scope, bound);
      Meaning meaning(ruleset, universe);
      const People people(meaning, scope);
      std::vector<Form> asked;
      for (const People::Fact& fact : people.facts()) asked.push_back(fact.form);
      Space space(meaning, people, asked, limit);
      const bool possible = space.background() != Graph::no, within = space.applies() != Graph::no;
      nobody_possible_ = nobody_possible_ || !possible;
      nobody_within_ = nobody_within_ || !within;
      for (auto& [school, profile] : profiles_) {
        Node looked_at = space.looked_at({school});
        if (looked_at == Graph::no) nobody_left_.insert(school);
        if (looked_at == Graph::no) looked_at = within ? space.applies() : space.background();
        if (looked_at == Graph::no) continue;
        bool no_fraction = false;
        if (!fill_all(space, cheapest_cells(space, looked_at), profile, no_fraction)) unsettled_.insert(scope.findings.begin(), scope.findings.end());
      }
      if (!possible) unsettled_.insert(scope.findings.begin(), scope.findings.end());
    } catch (const BudgetMet&) {
      budget_met_ = true;
      unsettled_.insert(scope.findings.begin(), scope.findings.end());
    }
  }
}

// ---------------------------------------------------------------- measures apart from their inputs

namespace {

// Where an input may be tried: its ends, its usual value, and points between.
std::vector<Rational> tries(const Finding& finding, const std::optional<Value>& now) {
  std::vector<Rational> result;
  if (now && now->kind == Value::Kind::number) result.push_back(now->number);
  const int pieces = 16;
  for (int i = 0; i <= pieces; ++i) {
    Rational x = finding.low + (finding.high - finding.low) * i / pieces;
    if (finding.step > 0) {
      Rational steps = (x - finding.low) / finding.step;
      mpz_class whole;
      mpz_fdiv_q(whole.get_mpz_t(), steps.get_num_mpz_t(), steps.get_den_mpz_t());
      x = finding.low + whole * finding.step;
    }
    result.push_back(x);
  }
  return result;
}

}  // namespace

// Tries combinations of the inputs, then halves the way between one below and one above.
bool Witnesses::meet_measure(Index measure, const Extent& extent, Profile& profile) {
  const Ruleset& ruleset = meaning_.ruleset();
  std::vector<Index> inputs;
  for (Index f : meaning_.universe().inputs_of_measure[measure])
    if (ruleset.findings[f].kind == Finding::Kind::number) inputs.push_back(f);
  const auto set = [&](Index f, const Rational& x) { profile[f] = Value{Value::Kind::number, 0, x}; };
  const auto meets = [&] { return extent.numbers.contains(measure_value(ruleset, measure, profile)); };
  std::optional<std::vector<Rational>> below, above;
  std::vector<std::vector<Rational>> candidates;
  std::size_t combinations = 1;
  for (Index f : inputs) {
    candidates.push_back(tries(ruleset.findings[f], profile[f]));
    if (combinations < 20000) combinations *= candidates.back().size();
  }
  for (std::size_t i = 0; i < std::min<std::size_t>(combinations, 20000); ++i) {
    std::vector<Rational> point;
    std::size_t rest = i;
    for (std::size_t f = 0; f < inputs.size(); ++f) {
      point.push_back(candidates[f][rest % candidates[f].size()]);
      rest /= candidates[f].size();
      set(inputs[f], point.back());
    }
    const Rational value = measure_value(ruleset, measure, profile);
    if (extent.numbers.contains(value)) return true;
    (value < *extent.numbers.low ? below : above) = std::move(point);
  }
  if (!below || !above) return false;
  for (int halvings = 0; halvings < 60; ++halvings) {
    std::vector<Rational> middle;
    for (std::size_t f = 0; f < inputs.size(); ++f) {
      const Finding& finding = ruleset.findings[inputs[f]];
      Rational x = ((*below)[f] + (*above)[f]) / 2;
      if (finding.step > 0) {
        const Rational steps = (x - finding.low) / finding.step;
        mpz_class whole;
        mpz_fdiv_q(whole.get_mpz_t(), steps.get_num_mpz_t(), steps.get_den_mpz_t());
        x = finding.low + whole * finding.step;
      }
      middle.push_back(x);
      set(inputs[f], x);
    }
    if (meets()) return true;
    (measure_value(ruleset, measure, profile) < *extent.numbers.low ? below : above) = std::move(middle);
  }
  return false;
}

}  // namespace betony
