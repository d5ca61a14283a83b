#include "compiler/view/practice_space.h"

#include <algorithm>

#include "compiler/verdict_graph.h"

namespace betony::view {
namespace {

std::vector<Form> with_facts(Meaning& meaning, Reading reading, std::vector<Form> asked) {
  for (const Form form : {meaning.applies(), meaning.refers(reading), meaning.background()}) asked.push_back(form);
  return asked;
}

}  // namespace

PracticeSpace::PracticeSpace(const Ruleset& ruleset_, Index practice_, Reading reading_, const Budget& budget, const Asked& asked)
    : ruleset(ruleset_),
      practice(practice_),
      reading(reading_),
      bound(ruleset),
      scope(Scoping(ruleset, &bound).practice(practice).every_fact().scope()),
      universe(std::make_shared<const Universe>(cut(ruleset, scope, bound))),
      meaning(ruleset, *universe),
      people_(meaning, scope),
      account_(budget.account()),
      space(meaning, people_, with_facts(meaning, reading, asked(meaning)), {budget.nodes, budget.steps, &account_}) {
  for (const auto& level : space.weights()) {
    weights_.emplace_back();
    for (const Rational& weight : level) weights_.back().push_back(weight.get_d());
  }
}

PracticeSpace::PracticeSpace(const Ruleset& ruleset_, Index practice_, Reading reading_, const Budget& budget)
    : PracticeSpace(ruleset_, practice_, reading_, budget, [&](Meaning& m) { return asked_by(m, practice_, {reading_}); }) {}

std::optional<Index> PracticeSpace::level_of(Index variable) const {
  const auto& order = space.order();
  const auto at = std::find(order.begin(), order.end(), variable);
  return at == order.end() ? std::nullopt : std::optional(static_cast<Index>(at - order.begin()));
}

Graph::Node PracticeSpace::in_extent(Index level, Index dimension, Index extent) {
  const Variable& variable = universe->variables[space.order()[level]];
  std::vector<bool> cells(variable.cells.size());
  for (std::size_t c = 0; c < cells.size(); ++c) cells[c] = variable.cells[c].at[dimension] == extent;
  return space.graph().literal(level, cells);
}

double PracticeSpace::share(Node condition) {
  const Graph& graph = space.graph();
  if (graph.is_leaf(condition)) return condition == Graph::yes;
  if (const auto known = shares_.find(condition); known != shares_.end()) return known->second;
  double out = 0;
  const auto children = graph.children(condition);
  for (std::size_t c = 0; c < children.size(); ++c) out += weights_[graph.level(condition)][c] * share(children[c]);
  return shares_[condition] = out;
}

}  // namespace betony::view
