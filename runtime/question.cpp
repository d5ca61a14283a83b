#include "runtime/question.h"

#include <algorithm>

#include "runtime/asking.h"
#include "runtime/weigh.h"

namespace betony::runtime {
namespace {

using For = NextQuestion::For;

void put_in(std::vector<Index>& list, Index item) {
  const auto at = std::lower_bound(list.begin(), list.end(), item);
  if (at == list.end() || *at != item) list.insert(at, item);
}

// Of everything in the program that is open, the first finding of those that may be asked for on which it depends. Worked out for
// all of it at once, from the inputs up.
class Behind {
 public:
  template <class MayAsk>
  Behind(const Reach& reach, const MayAsk& may_ask) {
    const Pack& pack = reach.pack();
    const Slots slots(pack.program, inputs_of(pack, reach.cells()));
    first_.reserve(pack.program.slots());
    const auto enter = [&](Index first) { first_.push_back(slots[static_cast<Index>(first_.size()) * 2] == Truth::open ? first : no_index); };
    enter(no_index);
    for (Index v = 0; v < pack.variables.size(); ++v) {
      Index first = no_index;
      for (Index f : open_findings(reach, {{v}, {}, {}, {}}))
        if (may_ask(f)) first = std::min(first, f);
      for (Index i = 0; i < pack.variables[v].inputs; ++i) enter(first);
    }
    for (const Gate& gate : pack.program.gates) {
      Index first = no_index;
      for (Index o : gate.operands) first = std::min(first, first_[o / 2]);
      enter(first);
    }
  }

  // no_index: there is none.
  Index operator[](Index operand) const { return first_[operand / 2]; }

 private:
  std::vector<Index> first_;  // of each slot
};

class Interviewer {
 public:
  Interviewer(const Pack& pack, const Answers& answers, Index which, const std::vector<Index>& not_known)
      : pack_(pack), not_known_(not_known), reading_(pack.readings[which]), reach_(pack, answers), told_(weigh(pack, answers, which)) {}

  std::optional<NextQuestion> next() {
    if (!told_.possible || !told_.refers.empty()) return std::nullopt;
    gather();
    if (auto chosen = of_the_graphs()) return chosen;
    const Behind behind(reach_, [this](Index finding) { return may_ask(finding); });
    if (auto chosen = of_conditions(For::verdicts, behind)) return chosen;
    return of_conditions(For::details, behind);
  }

 private:
  bool may_ask(Index finding) const { return !std::binary_search(not_known_.begin(), not_known_.end(), finding); }

  void gather() {
    if (reading_.red_flags != no_index) {
      OpenGraph flags(reach_, pack_.graphs[reading_.red_flags]);
      agenda_.flags_first = !flags.is_settled();
      if (agenda_.flags_first) agenda_.graphs.emplace_back(reach_, no_index, std::move(flags));
    }
    for (Index p = 0; p < reading_.graphs.size(); ++p) {
      if (reading_.graphs[p] == no_index || told_.practices[p].settled()) continue;
      OpenGraph graph(reach_, pack_.graphs[reading_.graphs[p]]);
      if (!graph.is_settled()) agenda_.graphs.emplace_back(reach_, p, std::move(graph));
    }
  }

  std::optional<NextQuestion> of_the_graphs() {
    std::vector<Index> candidates;
    for (std::size_t g = 0; g < (agenda_.flags_first ? 1 : agenda_.graphs.size()); ++g)
      for (Index f : agenda_.graphs[g].all_findings)
        if (may_ask(f)) put_in(candidates, f);
    if (candidates.empty() && agenda_.flags_first) {  // nobody knows what is asked for red flags
      agenda_.graphs.erase(agenda_.graphs.begin());
      agenda_.flags_first = false;
      return of_the_graphs();
    }
    if (candidates.empty()) return std::nullopt;
    Asked asked = best_of_all_orders(reach_, agenda_, not_known_);
    if (asked.finding == no_index) asked = least_mixed(reach_, agenda_, candidates);
    NextQuestion out{asked.finding, agenda_.flags_first ? For::red_flags : For::verdicts, {}, asked.further};
    for (const OpenPractice& open : agenda_.graphs) {
      if (open.practice != no_index && open.asks_for(out.finding)) out.practices.push_back(open.practice);
    }
    return out;
  }

  // ---------------------------------------------------------------- without graphs

  // The first finding on which something depends that is open yet.
  std::optional<NextQuestion> of_conditions(For what, const Behind& behind) {
    NextQuestion out{no_index, what, {}, std::nullopt};
    for (Index p = 0; p < pack_.practices.size(); ++p) {
      Index first = no_index;
      for (Index operand : what == For::verdicts ? of_its_verdict(p) : of_its_details(p)) first = std::min(first, behind[operand]);
      if (first == no_index || first > out.finding) continue;
      if (first < out.finding) out.practices.clear();
      out.finding = first;
      out.practices.push_back(p);
    }
    return out.finding == no_index ? std::nullopt : std::optional(out);
  }

  std::vector<Index> of_its_verdict(Index p) const {
    if (told_.practices[p].settled()) return {};
    const Reading::Ways& w = reading_.practices[p];
    return {reading_.refers, reading_.applies, w.withheld, w.discouraged, w.advised, w.allowed, w.care};
  }

  std::vector<Index> of_its_details(Index p) const {
    const PracticeTold& told = told_.practices[p];
    const Verdict verdict = told.possible[0].verdict;
    if (!told.settled() || (verdict != Verdict::advised && verdict != Verdict::allowed)) return {};
    std::vector<Index> out;
    for (Index s : pack_.practices[p].sentences) {
      const Sentence::Kind kind = pack_.sentences[s].kind;
      if (kind == Sentence::Kind::caution || (kind == Sentence::Kind::dose && told.dose.open)) out.push_back(reading_.fires[s]);
    }
    for (Index c : pack_.practices[p].choices) out.insert(out.end(), reading_.fits[c].begin(), reading_.fits[c].end());
    return out;
  }

  const Pack& pack_;
  const std::vector<Index>& not_known_;
  const Reading& reading_;
  const Reach reach_;
  const Weighing told_;
  Agenda agenda_;
};

}  // namespace

std::optional<NextQuestion> next_question(const Pack& pack, const Answers& answers, Index reading, const std::vector<Index>& not_known) {
  return Interviewer(pack, answers, reading, not_known).next();
}

std::vector<Index> sentences_open_to(const Pack& pack, const Answers& answers, Index reading, Index finding) {
  const Reach reach(pack, answers);
  const Behind behind(reach, [&](Index asked) { return asked == finding; });
  std::vector<Index> out;
  for (Index s = 0; s < pack.sentences.size(); ++s)
    if (behind[pack.readings[reading].fires[s]] == finding) out.push_back(s);
  return out;
}

std::vector<double> shares_of(const Pack& pack, const Variable& v) {
  const Finding& f = pack.findings[v.index];
  if (f.has_words()) return std::vector<double>(v.cells, 1.0 / v.cells);
  std::vector<double> out;
  const double all = f.step.sign() == 0 ? (f.high - f.low).near() : divided(f.high - f.low, f.step)->near() + 1;
  const double numbers = f.or_never ? 0.5 : 1;
  for (Index c = 0; c <= v.ends.size(); ++c) {
    const Bounds b = numbers_of(pack, v, {c, c});
    const double part = f.step.sign() == 0 ? (b.high - b.low).near() : divided(b.high - b.low, f.step)->near() + 1;
    out.push_back(all > 0 ? std::max(0.0, part) / all * numbers : numbers);
  }
  if (f.or_never) out.push_back(0.5);
  return out;
}

}  // namespace betony::runtime
