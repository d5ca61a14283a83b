// The order of measures, terms, tallies, leadings and choices: none may ask a later one, none itself.
//
// A depth-first walk with a stack of its own, for a chain of definitions may be as long as the ruleset.
// How deep a walk through names into names can get is bounded, since later passes recurse.
#include <algorithm>

#include "compiler/typing.h"

namespace betony {
namespace {

using tree::Arithmetic;
using tree::ChoiceLine;
using tree::Condition;
using tree::LeadingLine;
using tree::MeasureLine;
using tree::Name;
using tree::TallyLine;
using tree::TermLine;

constexpr unsigned most_depth = 1000;  // brackets and names together; keeps recursion within the stack

struct Node {
  Known::Kind kind = Known::Kind::term;
  Index sentence = 0;
  const Name* name = nullptr;
  std::vector<Index> asks;  // nodes
  unsigned own_depth = 1, depth = 1;
};

class Orderer {
 public:
  explicit Orderer(Typing& typing) : typing_(typing) {}

  void run() {
    for (Index i = 0; i < typing_.sentences().size(); ++i) add_node(i);
    for (Index i = 0; i < typing_.sentences().size(); ++i) add_choice_conditions(i);
    for (Node& node : nodes_) add_asked(node);
    state_.resize(nodes_.size());
    for (Index i = 0; i < nodes_.size(); ++i) visit(i);
    for (auto& [key, known] : typing_.names) renumber(known);
  }

 private:
  enum class State : char { fresh, open, done };
  struct Step {
    Index node;
    std::size_t next = 0;
  };

  // ------------------------------------------------ the nodes

  void add_node(Index sentence) {
    const auto& form = typing_.sentences()[sentence].form;
    if (auto* line = std::get_if<TermLine>(&form)) add(Known::Kind::term, sentence, line->name.name);
    else if (auto* line = std::get_if<MeasureLine>(&form)) add(Known::Kind::measure, sentence, line->name.name);
    else if (auto* line = std::get_if<TallyLine>(&form)) add(Known::Kind::tally, sentence, line->name.name);
    else if (auto* line = std::get_if<LeadingLine>(&form)) add(Known::Kind::leading, sentence, line->name.name);
    else if (auto* line = std::get_if<ChoiceLine>(&form)) add(Known::Kind::choice, sentence, line->name.name);
  }

  void add(Known::Kind kind, Index sentence, const Name& name) {
    node_of_[sentence] = static_cast<Index>(nodes_.size());
    nodes_.push_back({kind, sentence, &name, {}});
  }

  // ------------------------------------------------ what a node asks

  void add_asked(Node& node) {
    const auto& form = typing_.sentences()[node.sentence].form;
    if (auto* line = std::get_if<TermLine>(&form)) ask(node, line->condition, 1);
    else if (auto* line = std::get_if<MeasureLine>(&form)) ask(node, line->value, 1);
    else if (auto* line = std::get_if<LeadingLine>(&form))
      for (const Name& tally : line->tallies) ask(node, tally);
    else if (auto* line = std::get_if<TallyLine>(&form))
      for (const auto& item : line->items)
        for (const Condition& counted : item.counted) ask(node, counted, 1);
  }

  void add_choice_conditions(Index sentence) {
    const Heading& heading = typing_.headings[sentence];
    const auto* line = std::get_if<tree::TakeLine>(&typing_.sentences()[sentence].form);
    if (!line || heading.choice == no_index) return;
    Node& node = nodes_[node_of_.at(heading.choice)];
    if (line->ending.when) ask(node, *line->ending.when, 1);
    if (line->ending.unless) ask(node, *line->ending.unless, 1);
  }

  void ask(Node& node, const Condition& condition, unsigned depth) {
    node.own_depth = std::max(node.own_depth, depth);
    if (condition.kind == Condition::Kind::atom) return ask(node, condition.atom.name);
    for (const Condition& part : condition.parts) ask(node, part, depth + 1);
  }

  void ask(Node& node, const Arithmetic& value, unsigned depth) {
    node.own_depth = std::max(node.own_depth, depth);
    if (value.kind == Arithmetic::Kind::name) return ask(node, value.name);
    for (const Arithmetic& part : value.parts) ask(node, part, depth + 1);
  }

  // Until they are renumbered, names of definitions carry their sentence.
  void ask(Node& node, const Name& name) {
    const auto known = typing_.names.find(name.key);
    if (known == typing_.names.end() || !defined(known->second.kind)) return;
    node.asks.push_back(node_of_.at(known->second.index));
  }

  static bool defined(Known::Kind kind) {
    return kind == Known::Kind::term || kind == Known::Kind::measure || kind == Known::Kind::tally ||
           kind == Known::Kind::leading || kind == Known::Kind::choice;
  }

  // ------------------------------------------------ the walk

  void visit(Index first) {
    if (state_[first] != State::fresh) return;
    std::vector<Step> path{{first}};
    state_[first] = State::open;
    while (!path.empty()) {
      Step& step = path.back();
      const Node& node = nodes_[step.node];
      if (step.next == node.asks.size()) {
        finish(step.node);
        path.pop_back();
        continue;
      }
      const Index asked = node.asks[step.next++];
      if (state_[asked] == State::open) tell_circle(path, asked);
      if (state_[asked] != State::fresh) continue;
      state_[asked] = State::open;
      path.push_back({asked});
    }
  }

  void finish(Index index) {
    Node& node = nodes_[index];
    unsigned below = 0;
    for (Index asked : node.asks)
      if (state_[asked] == State::done) below = std::max(below, nodes_[asked].depth);
    node.depth = below + node.own_depth;
    if (node.depth > most_depth) tell_deep(node);
    state_[index] = State::done;
    auto& list = typing_.definition_sentences[slot(node.kind)];
    position_[node.sentence] = static_cast<Index>(list.size());
    typing_.definition_order.emplace_back(node.kind, static_cast<Index>(list.size()));
    list.push_back(node.sentence);
  }

  void tell_deep(Node& node) {
    typing_.open(node.sentence);
    typing_.tell(node.name->span, "explained too deep", in_quotes(node.name->text) + " is explained through more than " +
                     std::to_string(most_depth) + " steps of other names and brackets; fewer names in between explain it too.", anew(node));
    node.depth = 1;
  }

  static const char* verb(Known::Kind kind) {
    switch (kind) {
      case Known::Kind::term: return " means ... ";
      case Known::Kind::measure: return " is ... ";
      case Known::Kind::tally: return " counts ... ";
      case Known::Kind::leading: return " is the most of ... ";
      default: return " asks ... ";
    }
  }

  // The sentence that could explain the name without the others.
  static std::string anew(const Node& node) {
    const std::string& name = node.name->text;
    switch (node.kind) {
      case Known::Kind::term: return "Term " + name + " means ….";
      case Known::Kind::measure: return "Measure " + name + " is ….";
      case Known::Kind::tally: return "Tally " + name + " counts … as 1.";
      case Known::Kind::leading: return "Leading " + name + " is the most of …, …, else ….";
      default: return "Take … in ….";
    }
  }

  void tell_circle(const std::vector<Step>& path, Index again) {
    std::size_t begin = path.size();
    while (path[begin - 1].node != again) --begin;
    std::string circle;
    for (std::size_t i = begin - 1; i < path.size(); ++i) {
      const Node& node = nodes_[path[i].node];
      if (i - begin + 1 < 20) circle += node.name->text + verb(node.kind);
      else if (i + 1 == path.size()) circle += "(and " + std::to_string(i - begin - 18) + " more) ... ";
    }
    const Node& node = nodes_[again];
    typing_.open(node.sentence);
    typing_.tell(node.name->span, "explained by itself", circle + node.name->text + ": nothing in this circle is ever explained.",
                 anew(node));
  }

  // ------------------------------------------------ the result

  static int slot(Known::Kind kind) {
    switch (kind) {
      case Known::Kind::measure: return 0;
      case Known::Kind::term: return 1;
      case Known::Kind::tally: return 2;
      case Known::Kind::leading: return 3;
      default: return 4;
    }
  }

  void renumber(Known& known) {
    if (defined(known.kind)) known.index = position_.at(known.index);
  }

  Typing& typing_;
  std::vector<Node> nodes_;
  std::vector<State> state_;
  std::unordered_map<Index, Index> node_of_, position_;  // by tree sentence
};

}  // namespace

void order_definitions(Typing& typing) { Orderer(typing).run(); }

}  // namespace betony
