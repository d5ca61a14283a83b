#include "compiler/view/graph_view.h"

#include <algorithm>
#include <map>
#include <unordered_map>

#include "compiler/region.h"
#include "compiler/verdict_graph.h"
#include "compiler/view/practice_space.h"

namespace betony::view {
namespace {

using Node = Graph::Node;
using Question = GraphView::Question;
using Answer = GraphView::Answer;

std::string question_of(const Ruleset& ruleset, const Variable& variable) {
  std::vector<std::string> names;
  for (const Dimension& d : variable.dimensions)
    if (!d.is_measure || variable.dimensions.size() == 1)
      names.push_back(d.is_measure ? ruleset.measures[d.index].name : ruleset.findings[d.index].name);
  if (const Dimension& d = variable.dimensions[0]; variable.dimensions.size() == 1 && !d.is_measure) {
    const Finding& finding = ruleset.findings[d.index];
    // An item of an any-of finding has the question of the whole.
    std::string question = finding.question;
    if (!question.empty() && !finding.part_of.empty()) {
      while (!question.empty() && (question.back() == '?' || question.back() == ' ')) question.pop_back();
      question += ": " + finding.name + "?";
    }
    if (!question.empty()) return question;
  }
  std::string out;
  for (std::size_t i = 0; i < names.size(); ++i) out += (i == 0 ? "" : i + 1 == names.size() ? " and " : ", ") + names[i];
  return out + "?";
}

std::string without_brackets(std::string words) {
  return words.size() > 2 && words.front() == '(' && words.back() == ')' ? words.substr(1, words.size() - 2) : words;
}

// Where more than one run leads on, it is told as what the other answers leave, if they are all plainer.
void name_the_rest(std::vector<Answer>& answers) {
  const auto has_runs = [](const Answer& answer) { return answer.words.size() > 1; };
  if (answers.size() < 2 || std::count_if(answers.begin(), answers.end(), has_runs) != 1) return;
  const auto at = std::find_if(answers.begin(), answers.end(), has_runs);
  at->words = {"any other"};
  std::rotate(at, at + 1, answers.end());
}

Question question_of(const Ruleset& ruleset, const Universe& universe, Index variable) {
  Question out;
  const Variable& v = universe.variables[variable];
  out.variable = variable;
  out.asked = question_of(ruleset, v);
  for (const Dimension& d : v.dimensions) out.names.push_back(d.is_measure ? ruleset.measures[d.index].name : ruleset.findings[d.index].name);
  return out;
}

// The dimension of a variable that decides between the answers by itself, if one does.
std::optional<Index> deciding(const Variable& variable, const Question& question) {
  for (Index d = 0; d < variable.dimensions.size(); ++d) {
    std::vector<std::optional<std::size_t>> answer_of(variable.dimensions[d].extents.size());
    bool decides = true;
    for (std::size_t a = 0; a < question.answers.size() && decides; ++a)
      for (std::size_t c = 0; c < variable.cells.size() && decides; ++c) {
        if (!question.answers[a].cells[c]) continue;
        auto& of = answer_of[variable.cells[c].at[d]];
        decides = !of || *of == a;
        of = a;
      }
    if (decides) return d;
  }
  return std::nullopt;
}

void put_words(const Ruleset& ruleset, const Variable& variable, Question& question) {
  const auto decides = deciding(variable, question);
  for (Answer& answer : question.answers) {
    answer.full = cells_words(ruleset, variable, answer.cells);
    if (!decides) {
      answer.words = {without_brackets(answer.full)};
      continue;
    }
    const Dimension& dimension = variable.dimensions[*decides];
    std::vector<bool> extents(dimension.extents.size());
    for (std::size_t c = 0; c < answer.cells.size(); ++c)
      if (answer.cells[c]) extents[variable.cells[c].at[*decides]] = true;
    answer.words = extents_answers(ruleset, dimension, extents);
  }
  if (decides && variable.dimensions.size() > 1) {
    const Dimension& dimension = variable.dimensions[*decides];
    const Variable alone{{dimension}, {}, 0, true};
    question.asked = question_of(ruleset, alone);
    question.names = {dimension.is_measure ? ruleset.measures[dimension.index].name : ruleset.findings[dimension.index].name};
  }
  const Dimension& first = variable.dimensions[0];
  const bool is_yes_no = variable.dimensions.size() == 1 && !first.is_measure && ruleset.findings[first.index].kind == Finding::Kind::yes_no;
  if (is_yes_no) std::reverse(question.answers.begin(), question.answers.end());
  name_the_rest(question.answers);
}

// How many persons come to each node below a root, of those of `among`: sums over the ways that both go together. Nothing where it
// would take too long.
std::optional<std::unordered_map<Node, double>> arrivals(PracticeSpace& here, Node root, Node among_all) {
  constexpr std::size_t most_pairs = 1'000'000;
  const Graph& graph = here.space.graph();
  std::unordered_map<Node, double> out{{root, here.share(among_all)}};
  std::map<std::tuple<std::uint32_t, Node, Node>, double> rest;
  const auto add = [&](Node a, Node b, double mass) {
    if (b != Graph::no && !graph.is_leaf(a)) rest[{std::min(graph.level(a), graph.level(b)), a, b}] += mass;
  };
  add(root, among_all, 1);
  for (std::size_t pairs = 0; !rest.empty(); ++pairs) {
    if (pairs > most_pairs) return std::nullopt;
    const auto [key, mass] = *rest.begin();
    const auto [level, a, b] = key;
    rest.erase(rest.begin());
    const auto& weights = here.weights(level);
    for (std::size_t c = 0; c < weights.size(); ++c) {
      const Node next = graph.level(a) == level ? graph.children(a)[c] : a, among = graph.level(b) == level ? graph.children(b)[c] : b;
      const double mass_here = mass * weights[c];
      if (next != a) out[next] += mass_here * here.share(among);
      add(next, among, mass_here);
    }
  }
  return out;
}

class Builder {
 public:
  Builder(const Ruleset& ruleset, Index practice, Reading reading, const Budget& budget)
      : here_(ruleset, practice, reading, budget) {
    out_.practice = ruleset.practices[practice].name;
    if (reading.school != no_index) out_.school = ruleset.schools[reading.school].name;
    out_.universe = here_.universe;
  }

  GraphView take() {
    Graph& graph = space_.graph();
    background_ = space_.background();
    const Node applies = space_.of(here_.meaning.applies()), refers = space_.of(here_.meaning.refers(here_.reading));
    const Node meant = graph.both(background_, applies), looked_at = graph.without(meant, refers);
    const Node told = betony::told(graph, voices(space_, here_.practice, here_.reading));
    add_leaves(graph.without(background_, applies), graph.both(meant, refers), told, looked_at);
    // From behind: each part knows where the one after it begins.
    Index first = GraphView::leaf;
    if (looked_at != Graph::no)
      first = part(GraphView::Part::practice, told, looked_at, [&](std::int64_t code) { return leaf(VerdictCode::of(code)); });
    const auto before = [&](GraphView::Part which, Node turns_aside, Node among, tree::Verdict verdict) {
      if (graph.both(among, turns_aside) == Graph::no) return;
      const Index aside = leaf({verdict, false}), on = first;
      const bool nobody_goes_on = graph.without(among, turns_aside) == Graph::no;
      first = nobody_goes_on ? aside : part(which, turns_aside, among, [&](std::int64_t is_so) { return is_so ? aside : on; });
    };
    before(GraphView::Part::flags, refers, meant, tree::Verdict::referred);
    before(GraphView::Part::applies, graph.negation(applies), background_, tree::Verdict::outside);
    turn_around(first);
    return std::move(out_);
  }

 private:
  void add_leaves(Node outside, Node referred, Node told, Node looked_at) {
    Graph& graph = space_.graph();
    const auto add = [&](VerdictCode code, Node region) {
      if (region != Graph::no) out_.leaves.push_back({code.verdict, code.with_care, space_.share(region, background_)});
    };
    add({tree::Verdict::outside, false}, outside);
    add({tree::Verdict::referred, false}, referred);
    std::vector<std::int64_t> codes;
    for (const Node n : graph.reachable(told))
      if (graph.is_leaf(n)) codes.push_back(graph.number(n));
    std::sort(codes.begin(), codes.end());
    for (const std::int64_t code : codes)
      add(VerdictCode::of(code), graph.both(graph.where(told, [&](std::int64_t n) { return n == code; }), looked_at));
  }
  Index leaf(VerdictCode code) const {
    const auto at = std::find_if(out_.leaves.begin(), out_.leaves.end(),
                                 [&](const GraphView::Leaf& l) { return l.verdict == code.verdict && l.with_care == code.with_care; });
    return GraphView::leaf + static_cast<Index>(at - out_.leaves.begin());
  }

  // The questions of a graph, as small as it can be among these persons, put behind those there are: children first. Where it begins.
  template <class Leaf>
  Index part(GraphView::Part which, Node root, Node among, const Leaf& leaf) {
    Graph& graph = space_.graph();
    root = graph.simplified(root, among);
    const auto shares = space_.has_undecided_measure() ? std::nullopt : arrivals(here_, root, among);
    const double all = here_.share(background_);
    out_.shares_known = out_.shares_known && shares && all > 0;
    std::unordered_map<Node, Index> place;
    const std::vector<Node> nodes = graph.reachable(root);
    for (auto n = nodes.rbegin(); n != nodes.rend(); ++n) {
      if (graph.is_leaf(*n)) {
        place[*n] = leaf(graph.number(*n));
        continue;
      }
      const Index variable = space_.order()[graph.level(*n)];
      Question question = question_of(here_.ruleset, *here_.universe, variable);
      question.part = which;
      if (shares && all > 0) question.share = shares->count(*n) ? shares->at(*n) / all : 0;
      const auto children = graph.children(*n);
      for (Index c = 0; c < children.size(); ++c) {
        const Index to = place.at(children[c]);
        auto answer = std::find_if(question.answers.begin(), question.answers.end(), [&](const Answer& a) { return a.to == to; });
        if (answer == question.answers.end()) {
          answer = question.answers.insert(answer, Answer{});
          answer->cells.resize(children.size());
          answer->to = to;
        }
        answer->cells[c] = true;
      }
      put_words(here_.ruleset, here_.universe->variables[variable], question);
      place[*n] = static_cast<Index>(out_.questions.size());
      out_.questions.push_back(std::move(question));
    }
    return place.at(root);
  }

  void turn_around(Index first) {
    std::reverse(out_.questions.begin(), out_.questions.end());
    const auto turned = [&](Index to) { return to >= GraphView::leaf ? to : static_cast<Index>(out_.questions.size()) - 1 - to; };
    out_.first = turned(first);
    for (Question& question : out_.questions)
      for (Answer& answer : question.answers) answer.to = turned(answer.to);
  }

  PracticeSpace here_;
  Space& space_ = here_.space;
  Node background_ = Graph::no;
  GraphView out_;
};

// What the profile says of a dimension; none where it says nothing.
std::optional<Value> value_of(const Ruleset& ruleset, const Dimension& dimension, const std::vector<Index>& inputs, const Profile& profile) {
  if (!dimension.is_measure) return profile[dimension.index];
  if (std::all_of(inputs.begin(), inputs.end(), [&](Index f) { return profile[f] && profile[f]->kind != Value::Kind::never; }))
    return Value{Value::Kind::number, 0, measure_value(ruleset, dimension.index, profile)};
  return std::nullopt;
}

std::optional<Index> cell_of(const Universe& universe, Index variable, const Profile& profile) {
  const Variable& v = universe.variables[variable];
  std::vector<Index> at;
  for (const Dimension& d : v.dimensions) {
    const auto value = value_of(*universe.ruleset, d, d.is_measure ? universe.inputs_of_measure[d.index] : std::vector<Index>(), profile);
    const Index extent = value ? extent_of(d, *value) : no_index;
    if (extent == no_index) return std::nullopt;
    at.push_back(extent);
  }
  const auto cell = std::find_if(v.cells.begin(), v.cells.end(), [&](const Cell& c) { return c.at == at; });
  return cell == v.cells.end() ? std::nullopt : std::optional(static_cast<Index>(cell - v.cells.begin()));
}

}  // namespace

std::vector<std::pair<Index, Index>> GraphView::way_of(const Profile& profile) const {
  std::vector<std::pair<Index, Index>> out;
  for (Index at = first; at < leaf;) {
    const Question& question = questions[at];
    const auto cell = cell_of(*universe, question.variable, profile);
    if (!cell) return out;
    const auto answer = std::find_if(question.answers.begin(), question.answers.end(), [&](const Answer& a) { return a.cells[*cell]; });
    out.emplace_back(at, static_cast<Index>(answer - question.answers.begin()));
    at = answer->to;
  }
  return out;
}

GraphView graph_view(const Ruleset& ruleset, Index practice, Reading reading, const Budget& budget) {
  return Builder(ruleset, practice, reading, budget).take();
}

}  // namespace betony::view
