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
    case Cell::Shown::numbers: return cell == variable.usual ? 0 : 1;
    case Cell::Shown::no_fraction: return 10'000;  // above as many unusual answers as a graph has levels
    case Cell::Shown::doubtful: break;
  }
  return 100'000;
}

}  // namespace

std::vector<Index> Witnesses::cells(Space& space, Node region) {
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

// False if one of the cells is not shown by numbers.
bool fill_all(const Universe& universe, const std::vector<std::pair<Index, Index>>& chosen, Profile& profile, bool& no_fraction) {
  bool shown = true;
  no_fraction = false;
  for (const auto& [variable, cell] : chosen) {
    const Cell::Shown how = universe.variables[variable].cells[cell].shown;
    if (how == Cell::Shown::doubtful) return no_fraction = false;
    no_fraction = no_fraction || how == Cell::Shown::no_fraction;
    shown = shown && how == Cell::Shown::numbers;
    if (shown) Witnesses::fill(universe, variable, cell, profile);
  }
  return shown;
}

}  // namespace

bool Witnesses::fill_group(Index group, Reading reading, Profile& profile, bool& no_fraction) {
  auto [at, is_new] = groups_.try_emplace({group, reading.school});
  if (is_new) {
    std::vector<Form> facts;
    for (const People::Fact& fact : people_.facts())
      if (fact.group == group) facts.push_back(fact.form);
    Space space(meaning_, people_, facts, limit_);
    Node all = space.looked_at(reading);
    if (all == Graph::no) all = space.applies();  // red flags leave nobody: a person who is referred shows it as well
    if (all == Graph::no) all = space.background();
    if (all == Graph::no) return false;
    const std::vector<Index> chosen = cells(space, all);
    for (Index level = 0; level < chosen.size(); ++level) at->second.emplace_back(space.order()[level], chosen[level]);
  }
  return fill_all(meaning_.universe(), at->second, profile, no_fraction);
}

std::optional<Profile> Witnesses::find(Space& space, Node region, Reading reading, bool* no_fraction) {
  const Universe& universe = meaning_.universe();
  bool ignored = false;
  bool& is_no_fraction = no_fraction ? *no_fraction : ignored;
  Profile profile(meaning_.ruleset().findings.size());
  for (Index v = 0; v < universe.variables.size(); ++v) fill(universe, v, universe.variables[v].usual, profile);
  for (Index group = 0; group < people_.group_count(); ++group)
    if (!space.has_group(group) && !fill_group(group, reading, profile, is_no_fraction)) return std::nullopt;
  const std::vector<Index> chosen = cells(space, region);
  std::vector<std::pair<Index, Index>> own;
  for (Index level = 0; level < chosen.size(); ++level) own.emplace_back(space.order()[level], chosen[level]);
  if (!fill_all(universe, own, profile, is_no_fraction)) return std::nullopt;
  const std::vector<std::uint32_t> asked = space.graph().support(region);
  for (Index level = 0; level < chosen.size(); ++level) {
    const Variable& variable = universe.variables[space.order()[level]];
    if (variable.exact || !std::binary_search(asked.begin(), asked.end(), level)) continue;
    if (!meet_measure(variable.dimensions[0].index, variable.dimensions[0].extents[chosen[level]], profile)) return std::nullopt;
  }
  return profile;
}

bool Witnesses::nobody(Reading reading, bool with_applies, bool with_flags) {
  for (Index group = 0; group < people_.group_count(); ++group) {
    std::vector<Form> facts;
    for (const People::Fact& fact : people_.facts())
      if (fact.group == group) facts.push_back(fact.form);
    Space space(meaning_, people_, facts, limit_);
    const Node left = with_flags ? space.looked_at(reading) : with_applies ? space.applies() : space.background();
    if (left == Graph::no) return true;
  }
  return false;
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
