#include "compiler/view/axis.h"

#include <algorithm>
#include <set>

#include "compiler/region.h"
#include "grammar/text.h"

namespace betony::view {

using Node = Graph::Node;

std::optional<AxisName> named_axis(const Ruleset& ruleset, const std::string& name) {
  const std::string wanted = letters::fold(name);
  const auto is = [&](const auto& one) {
    return letters::fold(one.name) == wanted || std::any_of(one.also.begin(), one.also.end(), [&](const std::string& also) { return letters::fold(also) == wanted; });
  };
  for (Index f = 0; f < ruleset.findings.size(); ++f)
    if (is(ruleset.findings[f])) return AxisName{false, f};
  for (Index m = 0; m < ruleset.measures.size(); ++m)
    if (is(ruleset.measures[m])) return AxisName{true, m};
  return std::nullopt;
}

std::string named(const std::vector<Index>& sentences, const Namer& name_of) {
  std::vector<std::string> names;
  for (const Index s : sentences)
    if (std::string name = name_of(s); std::find(names.begin(), names.end(), name) == names.end()) names.push_back(std::move(name));
  std::string out;
  for (const std::string& name : names) out += (out.empty() ? "" : "; ") + name;
  return out;
}

std::size_t Axis::numbers() const {
  std::size_t count = 0;
  for (std::size_t p = 0; p < parts.size(); ++p) count += is_numbers(p);
  return count;
}

std::optional<std::size_t> Axis::part_of(const Value& value) const {
  const Index extent = extent_of(dimension, value);
  if (extent == no_index) return std::nullopt;
  return static_cast<std::size_t>(std::find_if(parts.begin(), parts.end(), [&](const Part& p) { return extent <= p.last; }) - parts.begin());
}

std::vector<bool> Axis::extents(std::size_t first, std::size_t last) const {
  std::vector<bool> out(dimension.extents.size());
  for (Index e = parts[first].first; e <= parts[last].last; ++e) out[e] = true;
  return out;
}

void Axis::join(const std::vector<bool>& joined) {
  std::vector<Part> out{parts.front()};
  for (std::size_t p = 1; p < parts.size(); ++p) {
    if (joined[p - 1])
      out.back().last = parts[p].last;
    else
      out.push_back(parts[p]);
  }
  parts = std::move(out);
}

std::optional<Axis> axis_of(const PracticeSpace& here, AxisName name) {
  const Universe& universe = *here.universe;
  const Index variable = name.is_measure ? universe.of_measure[name.index] : universe.of_finding[name.index];
  if (variable == no_index) return std::nullopt;
  const auto level = here.level_of(variable);
  if (!level) return std::nullopt;
  Axis out;
  out.level = *level;
  out.in_variable = name.is_measure ? universe.dimension_of_measure[name.index] : universe.dimension_of_finding[name.index];
  out.dimension = universe.variables[variable].dimensions[out.in_variable];
  out.name = name.is_measure ? here.ruleset.measures[name.index].name : here.ruleset.findings[name.index].name;
  out.unit = name.is_measure ? here.ruleset.measures[name.index].unit : here.ruleset.findings[name.index].unit;
  if (out.unit == "1") out.unit.clear();
  for (Index e = 0; e < out.dimension.extents.size(); ++e) out.parts.push_back({e, e});
  return out;
}

Axis drawn_axis(const PracticeSpace& here, AxisName name) {
  const auto axis = axis_of(here, name);
  const std::string& called = name.is_measure ? here.ruleset.measures[name.index].name : here.ruleset.findings[name.index].name;
  const std::string& practice = here.ruleset.practices[here.practice].name;
  if (!axis) {
    std::string others;
    for (const Variable& variable : here.universe->variables)
      for (const Dimension& d : variable.dimensions)
        if (axis_of(here, {d.is_measure, d.index}))
          others += (others.empty() ? "" : ", ") + (d.is_measure ? here.ruleset.measures[d.index].name : here.ruleset.findings[d.index].name);
    throw NothingToDraw("no sentence of " + practice + " asks for " + called + (others.empty() ? "" : "; they ask for: " + others));
  }
  if (axis->parts.size() > most_parts)
    throw NothingToDraw("the sentences of " + practice + " part " + called + " into " + std::to_string(axis->parts.size()) + " parts; a drawing has room for " +
                       std::to_string(most_parts));
  return *axis;
}

LookedAt looked_at(PracticeSpace& here, const Profile* profile, const std::vector<AxisName>& axes, const std::vector<Graph::Node>& conditions) {
  const Ruleset& ruleset = here.ruleset;
  Graph& graph = here.space.graph();
  std::set<Index> left_open, hung_on;
  for (const AxisName& axis : axes) {
    if (!axis.is_measure) left_open.insert(axis.index);
    else left_open.insert(here.universe->inputs_of_measure[axis.index].begin(), here.universe->inputs_of_measure[axis.index].end());
  }
  for (const Node condition : conditions)
    for (const Index f : here.space.findings(condition)) hung_on.insert(f);
  LookedAt out;
  Profile told(ruleset.findings.size());
  for (const Index f : hung_on) {
    const bool is_axis = std::any_of(axes.begin(), axes.end(), [&](const AxisName& axis) { return !axis.is_measure && axis.index == f; });
    if (profile && !left_open.count(f) && (*profile)[f]) {
      told[f] = (*profile)[f];
      out.held.push_back(answer_words(ruleset.findings[f], *told[f]));
    } else if (!is_axis) {
      out.open.push_back(ruleset.findings[f].name);
    }
  }
  out.who = graph.both(here.space.background(), here.space.agrees(told));
  if (out.who == Graph::no) throw NothingToDraw("nobody can be so: the background of the ruleset excludes what the profile answers");
  Node spared = graph.both(here.space.looked_at(here.reading), out.who);
  for (const AxisName& axis : axes) spared = graph.exists(spared, axis_of(here, axis)->level);
  spared = graph.both(spared, out.who);
  if (spared != Graph::no && spared != out.who) out.who = spared, out.leaves_out = true;
  return out;
}

Node in_part(PracticeSpace& here, const Axis& axis, std::size_t part) {
  Node out = Graph::no;
  for (Index e = axis.parts[part].first; e <= axis.parts[part].last; ++e)
    out = here.space.graph().either(out, here.in_extent(axis.level, axis.in_variable, e));
  return out;
}

Node seen_at(PracticeSpace& here, const Axis& axis, std::size_t part, Node condition) {
  Graph& graph = here.space.graph();
  const Node there = graph.both(condition, in_part(here, axis, part));
  const bool stands_alone = here.universe->variables[here.space.order()[axis.level]].dimensions.size() == 1;
  return stands_alone ? graph.exists(there, axis.level) : there;
}

void find_limits(PracticeSpace& here, Axis& axis, Node among, bool with_doses) {
  axis.limits.assign(axis.numbers() > 0 ? axis.parts.size() - 1 : 0, {});
  if (axis.limits.empty()) return;
  Graph& graph = here.space.graph();
  // Those who are possible on both sides of a limit, whatever lies between.
  const auto on_side = [&](std::size_t part, Node condition) { return graph.exists(graph.both(condition, in_part(here, axis, part)), axis.level); };
  std::vector<Node> possible;
  for (std::size_t p = 0; p < axis.parts.size(); ++p) possible.push_back(on_side(p, among));
  const auto look = [&](Index sentence, Node speaks) {
    const auto support = graph.support(speaks);
    if (std::find(support.begin(), support.end(), axis.level) == support.end()) return;
    std::vector<Node> spoken;
    for (std::size_t p = 0; p < axis.parts.size(); ++p) spoken.push_back(on_side(p, graph.both(speaks, among)));
    for (std::size_t p = 0; p + 1 < axis.parts.size(); ++p) {
      if (!axis.is_numbers(p + 1)) continue;
      const Node both = graph.both(possible[p], possible[p + 1]);
      const Node below = graph.both(spoken[p], both), above = graph.both(spoken[p + 1], both);
      Axis::Limit::Side side{sentence, !graph.inside(above, below), !graph.inside(below, above)};
      if (side.begins || side.ends) axis.limits[p].sides.push_back(side);
    }
  };
  look(no_index, here.space.of(here.meaning.applies()));
  std::vector<Index> sentences = here.ruleset.practices[here.practice].sentences;
  for (const Index flag : here.scope.red_flags) sentences.push_back(flag);
  std::sort(sentences.begin(), sentences.end());
  sentences.erase(std::unique(sentences.begin(), sentences.end()), sentences.end());
  for (const Index s : sentences) {
    const Sentence& sentence = here.ruleset.sentences[s];
    if (!in_reading(here.ruleset, sentence, here.reading) || (sentence.kind == Sentence::Kind::dose && !with_doses)) continue;
    const Form form = here.meaning.fires(s, here.reading);
    if (here.space.reaches(form)) look(s, here.space.of(form));
  }
}

std::string limit_words(const Ruleset& ruleset, const Axis& axis, std::size_t part, const Axis::Limit::Side& side) {
  const Interval& below = axis.dimension.extents[axis.parts[part].last].numbers;
  const Interval& above = axis.dimension.extents[axis.parts[part + 1].first].numbers;
  const auto words = [&](const Rational& number) {
    return axis.dimension.is_measure ? number_words(number) : value_words(ruleset.findings[axis.dimension.index], {Value::Kind::number, 0, number});
  };
  if (side.begins && side.ends) return "at " + words(*above.low);
  if (side.begins) return (above.low_in ? "from " : "over ") + words(*above.low);
  return (below.high_in ? "up to " : "under ") + words(*below.high);
}

}  // namespace betony::view
