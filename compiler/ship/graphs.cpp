#include "compiler/ship/graphs.h"

#include <algorithm>
#include <map>

#include "compiler/verdict_graph.h"

namespace betony::ship {
namespace {

using runtime::DecisionGraph;
using Node = Graph::Node;

constexpr std::uint64_t steps_of_all = 100'000'000;

runtime::Verdict verdict_of(tree::Verdict verdict) {
  switch (verdict) {
    case tree::Verdict::outside:
      return runtime::Verdict::outside;
    case tree::Verdict::referred:
      return runtime::Verdict::referred;
    case tree::Verdict::withheld:
      return runtime::Verdict::withheld;
    case tree::Verdict::discouraged:
      return runtime::Verdict::discouraged;
    case tree::Verdict::advised:
      return runtime::Verdict::advised;
    case tree::Verdict::allowed:
      return runtime::Verdict::allowed;
    default:
      return runtime::Verdict::silent;
  }
}

Index code_of(VerdictCode code) { return static_cast<Index>(verdict_of(code.verdict)) + (code.with_care ? DecisionGraph::care : 0); }

// Where the cells of one universe lie among those of the pack's variables.
class Places {
 public:
  Places(const Ruleset& ruleset, const runtime::Pack& pack)
      : pack_(pack), of_finding_(ruleset.findings.size(), no_index), of_measure_(ruleset.measures.size(), no_index) {
    for (Index v = 0; v < pack.variables.size(); ++v) (pack.variables[v].is_measure ? of_measure_ : of_finding_)[pack.variables[v].index] = v;
  }

  std::optional<Index> variable(const Dimension& dimension) const {
    const Index v = (dimension.is_measure ? of_measure_ : of_finding_)[dimension.index];
    return v == no_index ? std::nullopt : std::optional(v);
  }

  // The runs of the variable's cells that the dimension's extents are; nothing if they do not fit into one another.
  using Run = std::pair<Index, Index>;
  std::optional<std::vector<Run>> runs(const Dimension& dimension, Index variable) const {
    const runtime::Variable& v = pack_.variables[variable];
    const Index behind = static_cast<Index>(v.ends.size());
    std::vector<Run> out;
    for (std::size_t e = 0; e < dimension.extents.size(); ++e) {
      const Extent& extent = dimension.extents[e];
      if (extent.kind == Extent::Kind::word) {
        out.emplace_back(extent.word, extent.word);
      } else if (extent.kind == Extent::Kind::never) {
        out.emplace_back(v.cells - 1, v.cells - 1);
      } else {
        const bool is_last = e + 1 == dimension.extents.size() || dimension.extents[e + 1].kind == Extent::Kind::never;
        const auto end = is_last ? std::optional(behind) : end_of(v, extent.numbers);
        const Index first = out.empty() ? 0 : out.back().second + 1;
        if (!end || *end < first) return std::nullopt;
        out.emplace_back(first, *end);
      }
    }
    return out;
  }

 private:
  static std::optional<Index> end_of(const runtime::Variable& v, const Interval& numbers) {
    const auto at = runtime::Number::read(numbers.high->get_str(), 4096).value();
    const auto found = std::find_if(v.ends.begin(), v.ends.end(), [&](const auto& end) { return end.at == at && end.belongs == numbers.high_in; });
    return found == v.ends.end() ? std::nullopt : std::optional(static_cast<Index>(found - v.ends.begin()));
  }

  const runtime::Pack& pack_;
  std::vector<Index> of_finding_, of_measure_;
};

std::optional<DecisionGraph::Question> question_of(const Variable& variable, const Places& places) {
  DecisionGraph::Question out;
  std::vector<std::vector<Places::Run>> runs;
  for (const Dimension& dimension : variable.dimensions) {
    const auto part = places.variable(dimension);
    const auto found = part ? places.runs(dimension, *part) : std::nullopt;
    if (!found) return std::nullopt;
    out.parts.push_back(*part);
    runs.push_back(*found);
  }
  for (const Cell& cell : variable.cells) {
    for (std::size_t d = 0; d < runs.size(); ++d) {
      out.first.push_back(runs[d][cell.at[d]].first);
      out.last.push_back(runs[d][cell.at[d]].second);
    }
    const Rational share = cell.share + cell.slack / 2;
    out.shares.push_back(static_cast<std::uint32_t>(std::min(1.0, share.get_d()) * 4294967295.0));
  }
  return out;
}

// Nothing where it is too large, or asks for what the pack does not know.
std::optional<DecisionGraph> graph_of(const Space& space, Node root, const Places& places) {
  const Graph& graph = space.graph();
  const std::vector<Node> nodes = graph.reachable(root);  // by level, leaves too
  DecisionGraph out;
  std::map<Node, Index> place;
  std::vector<Index> question_at(space.order().size(), no_index);
  for (Node n : nodes) {
    if (graph.is_leaf(n)) {
      place[n] = DecisionGraph::leaf + static_cast<Index>(graph.number(n));
      continue;
    }
    Index& question = question_at[graph.level(n)];
    if (question == no_index) {
      question = static_cast<Index>(out.questions.size());
      auto asked = question_of(space.universe().variables[space.order()[graph.level(n)]], places);
      if (!asked) return std::nullopt;
      out.questions.push_back(std::move(*asked));
    }
    place[n] = static_cast<Index>(out.nodes.size());
    out.nodes.push_back({question, {}});
    if (out.nodes.size() > most_nodes || out.nodes.size() * space.order().size() > DecisionGraph::most_size) return std::nullopt;
  }
  std::size_t at = 0;
  for (Node n : nodes) {
    if (graph.is_leaf(n)) continue;
    auto& ways = out.nodes[at++].ways;
    const auto children = graph.children(n);
    for (Index c = 0; c < children.size(); ++c) {
      const Index to = place.at(children[c]);
      if (ways.empty() || ways.back().to != to)
        ways.push_back({c, to});
      else
        ways.back().last = c;
    }
  }
  out.root = place.at(root);
  out.exact = std::all_of(space.order().begin(), space.order().end(), [&](Index v) { return space.universe().variables[v].exact; });
  return out;
}

class Builder {
 public:
  Builder(const Ruleset& ruleset, runtime::Pack& pack) : r_(ruleset), pack_(pack), bound_(ruleset), places_(ruleset, pack), account_(steps_of_all) {}

  void add() {
    for (runtime::Reading& reading : pack_.readings) reading.graphs.assign(r_.practices.size(), no_index);
    red_flags();
    for (Index p = 0; p < r_.practices.size() && !account_.exhausted(); ++p) practice(p);
  }

 private:
  struct Room {  // what one practice is asked about
    Room(const Ruleset& ruleset, const BoundFindings& bound, Scope scope)
        : universe(cut(ruleset, scope, bound)), meaning(ruleset, universe), people(meaning, scope) {}
    const Universe universe;
    Meaning meaning;
    const People people;
  };
  Graph::Limit limit() { return {400'000, 10'000'000, &account_}; }
  static Reading reading(std::size_t which) { return which == 0 ? Reading{} : Reading{static_cast<Index>(which - 1)}; }

  // What `tell` makes of a room, for every reading; a room that is too large gives none.
  template <class Tell>
  void in_every_reading(Scope scope, const Tell& tell) {
    try {
      Room room(r_, bound_, std::move(scope));
      for (std::size_t which = 0; which < pack_.readings.size(); ++which) tell(room, which);
    } catch (const BudgetMet&) {
    }
  }

  static Node within(Space& space, Node told) { return space.graph().choose(space.background(), told, space.graph().leaf(DecisionGraph::nobody)); }
  static Node leaf(Space& space, runtime::Verdict verdict) { return space.graph().leaf(static_cast<std::int64_t>(verdict)); }

  void red_flags() {
    in_every_reading(Scoping(r_, &bound_).every_fact().scope(), [&](Room& room, std::size_t which) {
      const Form refers = room.meaning.refers(reading(which));
      Space space(room.meaning, room.people, {refers}, limit());
      const Node told = space.graph().choose(space.of(refers), leaf(space, runtime::Verdict::referred), leaf(space, runtime::Verdict::allowed));
      pack_.readings[which].red_flags = keep(graph_of(space, within(space, told), places_), no_index);
    });
  }

  void practice(Index p) {
    Index before = no_index;  // of the reading before: often the same
    in_every_reading(Scoping(r_, &bound_).practice(p).every_fact().scope(), [&](Room& room, std::size_t which) {
      const Reading of = reading(which);
      const Form applies = room.meaning.applies(), refers = room.meaning.refers(of);
      std::vector<Form> asked = asked_by(room.meaning, p, {of});
      asked.push_back(applies), asked.push_back(refers);
      Space space(room.meaning, room.people, asked, limit());
      Graph& graph = space.graph();
      Node told = graph.map(betony::told(graph, voices(space, p, of)), [](std::int64_t n) { return std::int64_t{code_of(VerdictCode::of(n))}; });
      told = graph.choose(space.of(refers), leaf(space, runtime::Verdict::referred), told);
      told = graph.choose(space.of(applies), told, leaf(space, runtime::Verdict::outside));
      before = pack_.readings[which].graphs[p] = keep(graph_of(space, within(space, told), places_), before);
    });
  }

  Index keep(std::optional<DecisionGraph> graph, Index before) {
    if (!graph) return no_index;
    if (before != no_index && pack_.graphs[before] == *graph) return before;
    pack_.graphs.push_back(std::move(*graph));
    return static_cast<Index>(pack_.graphs.size() - 1);
  }

  const Ruleset& r_;
  runtime::Pack& pack_;
  const BoundFindings bound_;
  const Places places_;
  Account account_;
};

}  // namespace

void add_graphs(const Ruleset& ruleset, runtime::Pack& pack) { Builder(ruleset, pack).add(); }

}  // namespace betony::ship
