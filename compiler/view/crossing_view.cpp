#include "compiler/view/crossing_view.h"

#include <algorithm>
#include <set>

#include "compiler/check/study.h"
#include "compiler/region.h"
#include "compiler/view/practice_space.h"

namespace betony::view {
namespace {

using Node = Graph::Node;

std::optional<Index> practice_of(const Ruleset& ruleset, const Problem& problem) {
  for (Index p = 0; p < ruleset.practices.size(); ++p)
    if (!problem.practice.empty() && ruleset.practices[p].name == problem.practice) return p;
  return std::nullopt;
}

// The typed sentence whose words these are, of those that speak of the practice.
std::optional<Index> sentence_of(const Ruleset& ruleset, Index practice, const Concerned& concerned) {
  for (const Index s : ruleset.practices[practice].sentences) {
    const Place& place = ruleset.sentences[s].place;
    if (place.file == concerned.place.file && place.span.begin == concerned.place.span.begin && place.span.end == concerned.place.span.end) return s;
  }
  return std::nullopt;
}

std::vector<Index> sentences_of(const Ruleset& ruleset, const Problem& problem) {
  std::vector<Index> out;
  const auto practice = practice_of(ruleset, problem);
  if (!practice) return out;
  for (const Concerned& concerned : problem.sentences)
    if (const auto s = sentence_of(ruleset, *practice, concerned); s && std::find(out.begin(), out.end(), *s) == out.end()) out.push_back(*s);
  return out;
}

Reading reading_of(const Ruleset& ruleset, const Problem& problem) {
  for (Index s = 0; s < ruleset.schools.size(); ++s)
    if (!problem.school.empty() && ruleset.schools[s].name == problem.school) return {s};
  return {};
}

// Extents of a dimension that somebody of the region has.
std::vector<bool> extents_in(PracticeSpace& here, Node region, Index level, Index dimension) {
  std::vector<bool> out(here.universe->variables[here.space.order()[level]].dimensions[dimension].extents.size());
  for (Index e = 0; e < out.size(); ++e) out[e] = here.space.graph().meet(region, here.in_extent(level, dimension, e));
  return out;
}

}  // namespace

bool is_crossing(const Ruleset& ruleset, const Problem& problem) { return problem.has_share && sentences_of(ruleset, problem).size() > 1; }

CrossingView crossing_view(const Ruleset& ruleset, const Problem& problem, const Budget& budget) {
  CrossingView out;
  out.sentences = sentences_of(ruleset, problem);
  const Index practice = *practice_of(ruleset, problem);
  const Reading reading = reading_of(ruleset, problem);
  out.second.assign(out.sentences.size(), false);
  for (const auto& [first, second] : problem.pairs)
    if (const auto s = sentence_of(ruleset, practice, problem.sentences[second])) {
      const auto at = std::find(out.sentences.begin(), out.sentences.end(), *s);
      out.second[static_cast<std::size_t>(at - out.sentences.begin())] = true;
    }
  if (problem.pairs.empty())
    for (std::size_t i = 1; i < out.second.size(); ++i) out.second[i] = true;
  // Those of the first side come first.
  std::vector<Index> sorted;
  for (const bool side : {false, true})
    for (std::size_t i = 0; i < out.sentences.size(); ++i)
      if (out.second[i] == side) sorted.push_back(out.sentences[i]);
  out.sentences = std::move(sorted);
  std::sort(out.second.begin(), out.second.end());

  PracticeSpace here(ruleset, practice, reading, budget, [&](Meaning& meaning) {
    std::vector<Form> asked;
    for (const Index s : out.sentences) asked.push_back(meaning.fires(s, reading));
    return asked;
  });
  Graph& graph = here.space.graph();
  const Node looked_at = here.space.looked_at(reading);
  std::vector<Node> spoken;
  std::set<std::uint32_t> levels;
  for (const Index s : out.sentences) {
    const Node fires = here.space.of(here.meaning.fires(s, reading));
    for (const std::uint32_t level : graph.support(fires)) levels.insert(level);
    spoken.push_back(graph.both(fires, looked_at));
  }
  // Where they meet: all of those of the one side and some of the other, or all where there are two.
  std::vector<Node> firsts, seconds;
  for (std::size_t i = 0; i < spoken.size(); ++i) (out.second[i] ? seconds : firsts).push_back(spoken[i]);
  const Node together = firsts.empty() || seconds.empty() ? graph.all(spoken) : graph.both(graph.any(firsts), graph.any(seconds));

  std::vector<std::pair<Index, CrossingView::Scale>> scales;
  for (const std::uint32_t level : levels) {
    const Index v = here.space.order()[level];
    const Variable& variable = here.universe->variables[v];
    for (Index d = 0; d < variable.dimensions.size(); ++d) {
      CrossingView::Scale scale;
      scale.dimension = variable.dimensions[d];
      const bool is_measure = scale.dimension.is_measure;
      scale.name = is_measure ? ruleset.measures[scale.dimension.index].name : ruleset.findings[scale.dimension.index].name;
      scale.unit = is_measure ? ruleset.measures[scale.dimension.index].unit : ruleset.findings[scale.dimension.index].unit;
      bool tells = false;
      const std::vector<bool> all = extents_in(here, looked_at, level, d);
      for (const Node node : spoken) {
        scale.spoken.push_back(extents_in(here, node, level, d));
        tells = tells || scale.spoken.back() != all;
      }
      scale.both = extents_in(here, together, level, d);
      if (!tells && variable.dimensions.size() > 1) continue;
      const auto words = extents_answers(ruleset, scale.dimension, scale.both);
      for (std::size_t i = 0; i < words.size(); ++i) scale.both_words += (i ? " or " : "") + words[i];
      if (std::find(scale.both.begin(), scale.both.end(), false) == scale.both.end()) scale.both_words = "any";
      if (problem.witness) {
        if (!is_measure)
          scale.witness = (*problem.witness)[scale.dimension.index];
        else
          scale.witness = Value{Value::Kind::number, 0, measure_value(ruleset, scale.dimension.index, *problem.witness)};
      }
      scales.emplace_back(is_measure ? static_cast<Index>(ruleset.findings.size()) + scale.dimension.index : scale.dimension.index, std::move(scale));
    }
  }
  std::sort(scales.begin(), scales.end(), [](const auto& a, const auto& b) { return a.first < b.first; });
  std::set<std::string> shown;
  for (auto& [order, scale] : scales) {
    shown.insert(scale.name);
    out.scales.push_back(std::move(scale));
  }
  const Scope own = Scoping(ruleset, &here.bound).practice(practice).scope();
  for (const Index f : own.findings)
    if (!shown.count(ruleset.findings[f].name)) out.others.push_back(ruleset.findings[f].name);
  return out;
}

}  // namespace betony::view
