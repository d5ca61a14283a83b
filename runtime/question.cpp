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

// What is open behind operands.
class Behind {
 public:
  explicit Behind(const Reach& reach) : reach_(reach), pack_(reach.pack()), slots_(pack_.program, inputs_of(pack_, reach.cells())) {}

  // The findings that are open behind an operand, ascending.
  std::vector<Index> findings(Index operand) const {
    std::vector<Index> out, rest;
    std::vector<char> seen(pack_.program.slots());
    const auto go = [&](Index o) {
      if (slots_[o] == Truth::open && !seen[o / 2]) seen[o / 2] = 1, rest.push_back(o / 2);
    };
    for (go(operand); !rest.empty();) {
      const Index slot = rest.back();
      rest.pop_back();
      if (slot <= pack_.program.inputs) add_finding(slot - 1, out);
      else for (Index o : pack_.program.gates[slot - 1 - pack_.program.inputs].operands) go(o);
    }
    return out;
  }
  bool is_open(Index operand) const { return slots_[operand] == Truth::open; }

 private:
  void add_finding(Index input, std::vector<Index>& findings) const {
    const auto is_before = [&](const Variable& v) { return v.first_input <= input; };
    const auto v = std::partition_point(pack_.variables.begin(), pack_.variables.end(), is_before) - 1;
    const DecisionGraph::Question alone{{static_cast<Index>(v - pack_.variables.begin())}, {}, {}, {}};
    for (Index f : open_findings(reach_, alone)) put_in(findings, f);
  }

  const Reach& reach_;
  const Pack& pack_;
  const Slots slots_;
};

class Interviewer {
 public:
  Interviewer(const Pack& pack, const Answers& answers, Index which, const std::vector<Index>& not_known)
      : pack_(pack), not_known_(not_known), reading_(pack.readings[which]), reach_(pack, answers), told_(weigh(pack, answers, which)), behind_(reach_) {}

  std::optional<NextQuestion> next() {
    if (!told_.possible || !told_.refers.empty()) return std::nullopt;
    gather();
    if (auto chosen = of_the_graphs()) return chosen;
    if (auto chosen = of_conditions(For::verdicts)) return chosen;
    return of_conditions(For::details);
  }

 private:
  bool may_ask(Index finding) const { return !std::binary_search(not_known_.begin(), not_known_.end(), finding); }

  void gather() {
    if (reading_.red_flags != no_index) {
      OpenGraph flags(reach_, pack_.graphs[reading_.red_flags]);
      agenda_.flags_first = !flags.is_settled();
      if (agenda_.flags_first) agenda_.graphs.push_back({no_index, std::move(flags)});
    }
    for (Index p = 0; p < reading_.graphs.size(); ++p) {
      if (reading_.graphs[p] == no_index || told_.practices[p].settled()) continue;
      OpenGraph graph(reach_, pack_.graphs[reading_.graphs[p]]);
      if (!graph.is_settled()) agenda_.graphs.push_back({p, std::move(graph)});
    }
  }

  std::optional<NextQuestion> of_the_graphs() {
    std::vector<Index> candidates;
    for (std::size_t g = 0; g < (agenda_.flags_first ? 1 : agenda_.graphs.size()); ++g)
      for (Index f : asked_by(reach_, agenda_.graphs[g].graph))
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
      if (open.practice == no_index) continue;
      const auto findings = asked_by(reach_, open.graph);
      if (std::binary_search(findings.begin(), findings.end(), out.finding)) out.practices.push_back(open.practice);
    }
    return out;
  }

  // ---------------------------------------------------------------- without graphs

  // The first finding on which something depends that is open yet.
  std::optional<NextQuestion> of_conditions(For what) {
    NextQuestion out{no_index, what, {}, std::nullopt};
    for (Index p = 0; p < pack_.practices.size(); ++p) {
      std::vector<Index> findings;
      for (Index operand : what == For::verdicts ? of_its_verdict(p) : of_its_details(p))
        for (Index f : behind_.findings(operand))
          if (may_ask(f)) put_in(findings, f);
      if (findings.empty() || findings[0] > out.finding) continue;
      if (findings[0] < out.finding) out.practices.clear();
      out.finding = findings[0];
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
  const Behind behind_;
  Agenda agenda_;
};

}  // namespace

std::optional<NextQuestion> next_question(const Pack& pack, const Answers& answers, Index reading, const std::vector<Index>& not_known) {
  return Interviewer(pack, answers, reading, not_known).next();
}

std::vector<Index> sentences_open_to(const Pack& pack, const Answers& answers, Index reading, Index finding) {
  const Reach reach(pack, answers);
  const Behind behind(reach);
  std::vector<Index> out;
  for (Index s = 0; s < pack.sentences.size(); ++s) {
    const Index fires = pack.readings[reading].fires[s];
    if (!behind.is_open(fires)) continue;
    const auto findings = behind.findings(fires);
    if (std::binary_search(findings.begin(), findings.end(), finding)) out.push_back(s);
  }
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
