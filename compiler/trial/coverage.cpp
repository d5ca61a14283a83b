#include "compiler/trial/coverage.h"

#include <algorithm>
#include <unordered_map>

#include "compiler/region.h"
#include "compiler/verdict_graph.h"

namespace betony::trial {
namespace {

using Node = Graph::Node;
using tree::Verdict;

Graph::Limit limit() { return {500'000, most_exact, nullptr}; }

// A scope with what the conditions of it mean.
struct Looked {
  Looked(const Ruleset& ruleset, const Scope& given, const BoundFindings& bound)
      : scope(given), universe(cut(ruleset, scope, bound)), meaning(ruleset, universe), people(meaning, scope) {}
  const Scope scope;
  const Universe universe;
  Meaning meaning;
  People people;
};

class Coverage {
 public:
  Coverage(const Ruleset& ruleset, Attack& attack, std::uint64_t samples)
      : ruleset_(ruleset), attack_(attack), bound_(ruleset), facts_(ruleset, bound_), samples_(std::min(samples, most_walked)) {}

  std::vector<Unreached> run() {
    sentences();
    draw_samples();
    for (Index p = 0; p < ruleset_.practices.size(); ++p) practice(p);
    const auto likelier = [](const Unreached& a, const Unreached& b) {
      return a.share && b.share ? a.share->low > b.share->low : a.share.has_value() && !b.share;
    };
    std::stable_sort(sentences_.begin(), sentences_.end(), likelier);
    std::stable_sort(verdicts_.begin(), verdicts_.end(), likelier);
    std::stable_sort(edges_.begin(), edges_.end(), likelier);
    if (edges_.size() > most_edges) edges_.resize(most_edges);
    std::vector<Unreached> out;
    for (auto* list : {&sentences_, &verdicts_, &edges_}) std::move(list->begin(), list->end(), std::back_inserter(out));
    return out;
  }

 private:
  // ---- sentences

  static bool can_be_reached(const Sentence& s) {
    switch (s.kind) {
      case Sentence::Kind::otherwise: case Sentence::Kind::choice_otherwise: case Sentence::Kind::uses: return false;
      default: return is_conditional(s);
    }
  }

  void sentences() {
    if (!attack_.watches_sentences()) return;
    for (Index s = 0; s < ruleset_.sentences.size() && sentences_.size() < most_sentences; ++s) {
      if (attack_.seen().fired[s] || !can_be_reached(ruleset_.sentences[s])) continue;
      Unreached one{"sentence", words_of(ruleset_, ruleset_.sentences[s]), s, std::nullopt};
      if (is_told(s, one.share)) sentences_.push_back(std::move(one));
    }
  }

  // False where nobody fires it.
  bool is_told(Index sentence, std::optional<Share>& share) {
    try {
      Looked looked(ruleset_, Scoping(ruleset_, &bound_).sentence(sentence).facts(facts_).scope(), bound_);
      Space space(looked.meaning, looked.people, {looked.meaning.fires(sentence, {})}, limit());
      const Node whole = space.applies(), region = space.graph().both(space.of(looked.meaning.fires(sentence, {})), whole);
      if (region == Graph::no) return false;
      share = space.share(region, whole);
    } catch (const BudgetMet&) {
    }
    return true;
  }

  // ---- verdicts and edges

  void draw_samples() {
    Outcomes person;
    for (std::uint64_t number = 0; number < samples_; ++number) {
      for (std::uint8_t attempt = 0; attempt < Sampler::most_attempts; ++attempt) {
        attack_.sampler().person({number, attempt}, person);
        if (is_possible(person)) {
          persons_.push_back(person);
          break;
        }
      }
    }
  }

  bool is_possible(const Outcomes& person) {
    if (ruleset_.backgrounds.empty()) return true;
    one_.clear(attack_.bulk().inputs());
    one_.persons = 1;
    attack_.sampler().put(person, one_, 0);
    std::uint64_t possible[runtime::block_words];
    attack_.bulk().possible(one_, scratch_, possible);
    return possible[0] & 1u;
  }

  void practice(Index p) {
    try {
      Looked looked(ruleset_, Scoping(ruleset_, &bound_).practice(p).every_fact().scope(), bound_);
      std::vector<Form> asked = asked_by(looked.meaning, p, {Reading{}});
      asked.push_back(looked.meaning.applies());
      asked.push_back(looked.meaning.refers({}));
      Space space(looked.meaning, looked.people, asked, limit());
      const Node graph = verdict_graph(space, p, {});
      verdicts(p, space, graph);
      edges(p, space, graph);
    } catch (const BudgetMet&) {
    }
  }

  void verdicts(Index p, Space& space, Node graph) {
    const Node whole = space.background();
    for (Node leaf : space.graph().reachable(graph)) {
      if (!space.graph().is_leaf(leaf)) continue;
      const VerdictCode code = VerdictCode::of(space.graph().number(leaf));
      const unsigned told = static_cast<unsigned>(ship::verdict_in_pack(code.verdict)) + (code.with_care ? 8u : 0u);
      if (attack_.seen().told[p] >> told & 1u) continue;
      const Node region = space.graph().both(space.graph().where(graph, [&](std::int64_t n) { return n == code.number(); }), whole);
      if (region == Graph::no) continue;
      verdicts_.push_back({"verdict", ruleset_.practices[p].name + " " + verdict_word(code.verdict) + (code.with_care ? " with care" : ""), no_index,
                           space.share(region, whole)});
    }
  }

  // Of each level: the cell of every outcome of its group.
  struct Level {
    Index group = no_index;
    std::vector<Index> cells;
  };

  std::optional<std::vector<Level>> levels_of(const Space& space) {
    std::vector<Level> out;
    for (Index variable : space.order()) {
      const Variable& v = space.universe().variables[variable];
      Level level;
      std::map<std::vector<Index>, Index> by_place;
      for (Index c = 0; c < v.cells.size(); ++c) by_place.emplace(v.cells[c].at, c);
      const Dimension& first = v.dimensions[0];
      if (first.is_measure) return std::nullopt;   // it stands apart from its inputs
      level.group = attack_.sampler().group_of(first.index);
      const Group& group = attack_.sampler().groups()[level.group];
      for (const Outcome& outcome : group.outcomes) {
        std::vector<Index> at;
        Profile person = attack_.sampler().profile(attack_.sampler().usual());
        for (std::size_t i = 0; i < group.findings.size(); ++i) person[group.findings[i]] = outcome.values[i];
        for (const Dimension& d : v.dimensions) at.push_back(extent_of(d, value_of(d, person)));
        const auto cell = by_place.find(at);
        if (cell == by_place.end()) return std::nullopt;
        level.cells.push_back(cell->second);
      }
      out.push_back(std::move(level));
    }
    return out;
  }

  Value value_of(const Dimension& dimension, const Profile& person) const {
    return dimension.is_measure ? Value{Value::Kind::number, 0, measure_value(ruleset_, dimension.index, person)} : *person[dimension.index];
  }

  void edges(Index p, Space& space, Node root) {
    const Graph& graph = space.graph();
    const std::vector<Node> nodes = graph.reachable(root);
    if (nodes.size() > most_graph_nodes) return;
    const auto levels = levels_of(space);
    if (!levels) return;
    std::unordered_map<Node, std::vector<bool>> seen;
    for (const Outcomes& person : persons_)
      for (Node node = root; !graph.is_leaf(node);) {
        const Level& level = (*levels)[graph.level(node)];
        const Index cell = level.cells[person[level.group]];
        auto& cells = seen[node];
        if (cells.empty()) cells.resize(graph.children(node).size());
        cells[cell] = true;
        node = graph.children(node)[cell];
      }
    struct Way {
      double share = 0, best = 0;          // of all that come here; of the likeliest way
      std::string words;
    };
    std::unordered_map<Node, Way> ways;
    ways[root] = {1, 1, ""};
    for (Node node : nodes) {
      if (graph.is_leaf(node)) continue;
      const Way here = ways[node];
      const auto children = graph.children(node);
      const auto& weights = space.weights()[graph.level(node)];
      std::map<Node, std::vector<bool>> by_child;
      for (Index c = 0; c < children.size(); ++c) {
        auto& cells = by_child[children[c]];
        if (cells.empty()) cells.resize(children.size());
        cells[c] = true;
      }
      for (const auto& [child, cells] : by_child) {
        double part = 0;
        bool walked = false;
        for (Index c = 0; c < cells.size(); ++c)
          if (cells[c]) part += weights[c].get_d(), walked = walked || (seen.count(node) && seen[node][c]);
        const std::string words = (here.words.empty() ? "" : here.words + "; ") + cell_words(space, graph.level(node), cells);
        Way& there = ways[child];
        there.share += here.share * part;
        if (here.best * part >= there.best) there.best = here.best * part, there.words = words;
        if (walked) continue;
        const Rational near(here.share * part);
        edges_.push_back({"edge", ruleset_.practices[p].name + ": " + words, no_index, Share{false, near, near}});
      }
    }
  }

  std::string cell_words(const Space& space, std::uint32_t level, const std::vector<bool>& cells) const {
    const Variable& v = space.universe().variables[space.order()[level]];
    std::string out;
    for (std::size_t d = 0; d < v.dimensions.size(); ++d) {
      std::vector<bool> extents(v.dimensions[d].extents.size());
      for (std::size_t c = 0; c < cells.size(); ++c)
        if (cells[c]) extents[v.cells[c].at[d]] = true;
      if (std::all_of(extents.begin(), extents.end(), [](bool b) { return b; })) continue;
      out += (out.empty() ? "" : " and ") + extents_words(ruleset_, v.dimensions[d], extents);
    }
    return out.empty() ? "the other combinations" : out;
  }

  const Ruleset& ruleset_;
  Attack& attack_;
  const BoundFindings bound_;
  const Facts facts_;
  const std::uint64_t samples_;
  std::vector<Outcomes> persons_;
  runtime::Block one_;
  Bulk::Scratch scratch_;
  std::vector<Unreached> sentences_, verdicts_, edges_;
};

}  // namespace

std::vector<Unreached> unreached(const Ruleset& ruleset, Attack& attack, std::uint64_t samples) { return Coverage(ruleset, attack, samples).run(); }

}  // namespace betony::trial
