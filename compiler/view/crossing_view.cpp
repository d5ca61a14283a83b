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

// Typed sentences that meet, as pairs; the same sentence twice has none.
std::vector<std::pair<Index, Index>> pairs_of(const Ruleset& ruleset, const Problem& problem) {
  std::vector<std::pair<Index, Index>> out;
  const auto practice = practice_of(ruleset, problem);
  if (!practice || !problem.has_share) return out;
  const auto add = [&](const Concerned& first, const Concerned& second) {
    const auto a = sentence_of(ruleset, *practice, first), b = sentence_of(ruleset, *practice, second);
    if (a && b && *a != *b) out.emplace_back(*a, *b);
  };
  for (const auto& [first, second] : problem.pairs) add(problem.sentences[first], problem.sentences[second]);
  if (problem.form == "twice-attested" && problem.sentences.size() == 2) add(problem.sentences[0], problem.sentences[1]);
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

// Those of the first side come first, each once; one that stands on both sides stands on the second.
void put_sentences(CrossingView& out, const std::vector<std::pair<Index, Index>>& pairs) {
  std::vector<Index> first, second;
  const auto add = [](std::vector<Index>& all, Index s) {
    if (std::find(all.begin(), all.end(), s) == all.end()) all.push_back(s);
  };
  for (const auto& pair : pairs) add(second, pair.second);
  for (const auto& pair : pairs)
    if (std::find(second.begin(), second.end(), pair.first) == second.end()) add(first, pair.first);
  out.sentences = first;
  out.sentences.insert(out.sentences.end(), second.begin(), second.end());
  out.second.assign(first.size(), false);
  out.second.resize(out.sentences.size(), true);
}

// What has no room on a leaf is named; scales on which all sentences speak alike go first.
void keep_room(CrossingView& out) {
  const auto tells = [](const CrossingView::Scale& scale) {
    return std::any_of(scale.spoken.begin(), scale.spoken.end(), [&](const auto& one) { return one != scale.both; });
  };
  for (const bool telling : {false, true})
    for (std::size_t i = out.scales.size(); i-- > 0 && out.scales.size() > (telling ? CrossingView::most_scales : CrossingView::most_telling);)
      if (tells(out.scales[i]) == telling) {
        out.no_room.insert(out.no_room.begin(), out.scales[i].name);
        out.scales.erase(out.scales.begin() + static_cast<std::ptrdiff_t>(i));
      }
}

}  // namespace

bool is_crossing(const Ruleset& ruleset, const Problem& problem) { return !pairs_of(ruleset, problem).empty(); }

CrossingView crossing_view(const Ruleset& ruleset, const Problem& problem, const Budget& budget) {
  CrossingView out;
  const Index practice = *practice_of(ruleset, problem);
  const Reading reading = reading_of(ruleset, problem);
  auto pairs = pairs_of(ruleset, problem);
  put_sentences(out, pairs);
  if (out.sentences.size() > CrossingView::most_sentences) {
    auto shown = pairs.begin();
    if (problem.witness)
      shown = std::find_if(pairs.begin(), pairs.end(), [&](const auto& pair) {
        return fires(ruleset, ruleset.sentences[pair.first], *problem.witness, reading) &&
               fires(ruleset, ruleset.sentences[pair.second], *problem.witness, reading);
      });
    out.pairs_left_out = pairs.size() - 1 + problem.more_pairs;
    pairs = {shown == pairs.end() ? pairs.front() : *shown};
    put_sentences(out, pairs);
  }

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
  std::vector<Node> meetings;
  for (const auto& [first, second] : pairs) {
    const auto node = [&](Index s) {
      return spoken[static_cast<std::size_t>(std::find(out.sentences.begin(), out.sentences.end(), s) - out.sentences.begin())];
    };
    meetings.push_back(graph.both(node(first), node(second)));
  }
  const Node together = graph.any(meetings);

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
  keep_room(out);
  return out;
}

}  // namespace betony::view
