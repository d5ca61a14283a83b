#include "tests/fuzz/pack_asking.h"

#include <algorithm>

#include "runtime/change.h"
#include "runtime/question.h"
#include "tests/fuzz/require.h"

namespace betony::fuzz {
namespace {

using namespace betony::runtime;

bool ascending_below(const std::vector<Index>& list, std::size_t bound) {
  for (std::size_t i = 0; i < list.size(); ++i)
    if (list[i] >= bound || (i > 0 && list[i] <= list[i - 1])) return false;
  return true;
}

void check_question(const Pack& pack, const Answers& answers, Index reading, const std::vector<Index>& not_known) {
  const auto next = next_question(pack, answers, reading, not_known);
  if (!next) return;
  require(next->finding < pack.findings.size(), "what is asked is a finding");
  require(!answers[next->finding], "what is asked is open");
  require(!std::binary_search(not_known.begin(), not_known.end(), next->finding), "what is not known is not asked");
  require(ascending_below(next->practices, pack.practices.size()), "it is asked for practices");
  require(ascending_below(sentences_open_to(pack, answers, reading, next->finding), pack.sentences.size()), "sentences are open to it");
}

bool is(Verdict verdict, std::uint32_t leaves) {
  const std::uint32_t bit = std::uint32_t{1} << static_cast<unsigned>(verdict);
  return leaves != 0 && (leaves & ~(bit | bit << DecisionGraph::care)) == 0;
}

void check_change(const Pack& pack, const Answers& answers, const DecisionGraph& graph, const Change& change) {
  require(!is(change.verdict, Reach(pack, answers).verdicts(graph)), "a change is one");
  Answers then = answers;
  for (std::size_t i = 0; i < change.findings.size(); ++i) {
    const auto& [f, value] = change.findings[i];
    require(f < pack.findings.size() && (i == 0 || change.findings[i - 1].first < f), "findings that are told otherwise ascend");
    require(why_impossible(pack.findings[f], value).empty(), "what is told otherwise is possible");
    require(answers[f] != value, "what is told otherwise is told otherwise");
    then[f] = value;
  }
  require(is(change.verdict, Reach(pack, then).verdicts(graph)), "a change makes the verdict that it names");
}

}  // namespace

void check_asking(const Pack& pack, const Answers& answers, Index reading, const std::vector<Index>& not_known) {
  check_question(pack, answers, reading, not_known);
  Changes changes(pack, answers, reading);
  for (Index practice = 0; practice < pack.practices.size(); ++practice) {
    const auto change = changes.of(practice);
    if (change) check_change(pack, answers, pack.graphs[pack.readings[reading].graphs[practice]], *change);
  }
}

}  // namespace betony::fuzz
