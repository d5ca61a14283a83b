#include "compiler/verdict_graph.h"

#include <algorithm>

namespace betony {

using tree::Verdict;
using Kind = Sentence::Kind;
using Node = Graph::Node;

namespace {

// A sentence that is put in for everybody, or taken out.
struct Supposed {
  Index without = no_index, always = no_index;
};

std::vector<Voices::Voice> gather(Space& space, Index practice, Reading reading, Kind kind, const Supposed& supposed) {
  Meaning& meaning = space.meaning();
  const auto [without, always] = supposed;
  std::vector<Voices::Voice> result;
  const bool ban = kind == Kind::contraindicated || kind == Kind::discouraged;
  const std::vector<Index> none, &defeated = always == no_index ? none : meaning.ruleset().sentences[always].despite;
  for (Index s : meaning.sentences(practice, kind, reading)) {
    if (left_out(meaning.ruleset(), s, without)) continue;
    const bool dead = std::find(defeated.begin(), defeated.end(), s) != defeated.end();
    if (dead || left_out(meaning.ruleset(), s, always)) result.push_back({s, dead ? Graph::no : Graph::yes});
    else result.push_back({s, space.of(ban ? meaning.live(practice, s, reading, without) : meaning.fires(s, reading))});
  }
  return result;
}

Node any_of(Space& space, const std::vector<Voices::Voice>& voices) {
  std::vector<Node> any;
  for (const Voices::Voice& voice : voices) any.push_back(voice.fires);
  return space.graph().any(std::move(any));
}

}  // namespace

namespace {

Voices supposing(Space& space, Index practice, Reading reading, const Supposed& supposed) {
  Graph& graph = space.graph();
  Voices v;
  v.contraindicated = gather(space, practice, reading, Kind::contraindicated, supposed);
  v.discouraged = gather(space, practice, reading, Kind::discouraged, supposed);
  v.indicated = gather(space, practice, reading, Kind::indicated, supposed);
  v.allowed = gather(space, practice, reading, Kind::allowed, supposed);
  v.cautions = gather(space, practice, reading, Kind::caution, supposed);
  v.any_contraindicated = any_of(space, v.contraindicated);
  v.any_discouraged = any_of(space, v.discouraged);
  v.any_indicated = any_of(space, v.indicated);
  v.any_allowed = any_of(space, v.allowed);
  v.any_caution = any_of(space, v.cautions);
  v.otherwise = space.meaning().otherwise(practice, reading, supposed.without);
  if (v.otherwise) {
    const Sentence& sentence = space.meaning().ruleset().sentences[*v.otherwise];
    v.otherwise_code = {sentence.verdict, sentence.with_care};
  }
  const auto leaf = [&](Verdict verdict) { return graph.leaf(VerdictCode{verdict, false}.number()); };
  v.from_otherwise = graph.leaf(v.otherwise_code.number());
  v.from_allowed = graph.choose(v.any_allowed, leaf(Verdict::allowed), v.from_otherwise);
  v.from_indicated = graph.choose(v.any_indicated, leaf(Verdict::advised), v.from_allowed);
  v.from_discouraged = graph.choose(v.any_discouraged, leaf(Verdict::discouraged), v.from_indicated);
  v.all = graph.choose(v.any_contraindicated, leaf(Verdict::withheld), v.from_discouraged);
  return v;
}

}  // namespace

Voices voices(Space& space, Index practice, Reading reading, Index without) { return supposing(space, practice, reading, {without, no_index}); }
Voices voices_if(Space& space, Index practice, Reading reading, Index always) { return supposing(space, practice, reading, {no_index, always}); }

std::vector<Form> asked_by(Meaning& meaning, Index practice, const std::vector<Reading>& readings) {
  std::vector<Form> asked;
  for (Index s : meaning.ruleset().practices[practice].sentences)
    for (Reading reading : readings)
      if (in_reading(meaning.ruleset(), meaning.ruleset().sentences[s], reading)) asked.push_back(meaning.fires(s, reading));
  return asked;
}

Node where_done(Graph& graph, Node verdicts) {
  return graph.where(verdicts, [](std::int64_t number) { return may_be_done(VerdictCode::of(number).verdict); });
}

Node told(Graph& graph, const Voices& voices) {
  const Node cared = graph.map(voices.all, [](std::int64_t number) {
    const Verdict verdict = VerdictCode::of(number).verdict;
    return VerdictCode{verdict, may_be_done(verdict)}.number();
  });
  return graph.choose(voices.any_caution, cared, voices.all);
}

Node verdict_graph(Space& space, Index practice, Reading reading) {
  Graph& graph = space.graph();
  Node node = told(graph, voices(space, practice, reading));
  node = graph.choose(space.looked_at(reading), node, graph.leaf(VerdictCode{Verdict::referred, false}.number()));
  node = graph.choose(space.applies(), node, graph.leaf(VerdictCode{Verdict::outside, false}.number()));
  return graph.simplified(node, space.background());
}

std::string print_verdict_graph(Space& space, Node root) {
  std::string out = print(space.graph(), root, [&](std::uint32_t level) {
    const Dimension& dimension = space.universe().variables[space.order()[level]].dimensions[0];
    const Ruleset& ruleset = space.meaning().ruleset();
    return dimension.is_measure ? ruleset.measures[dimension.index].name : ruleset.findings[dimension.index].name;
  });
  std::string worded;  // "leaf 8" becomes "advised"
  for (std::size_t at = 0; at < out.size();) {
    if (out.compare(at, 5, "leaf ") != 0) {
      worded += out[at++];
      continue;
    }
    std::size_t end = at + 5;
    while (end < out.size() && out[end] >= '0' && out[end] <= '9') ++end;
    const VerdictCode code = VerdictCode::of(std::stoll(out.substr(at + 5, end - at - 5)));
    worded += verdict_word(code.verdict) + (code.with_care ? " with care" : "");
    at = end;
  }
  return worded;
}

}  // namespace betony
