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

class Interviewer {
 public:
  Interviewer(const Pack& pack, const Answers& answers, Index which)
      : pack_(pack), reading_(pack.readings[which]), reach_(pack, answers), told_(weigh(pack, answers, which)), slots_(pack.program, inputs_of(pack, reach_.cells())) {}

  std::optional<NextQuestion> next() {
    if (!told_.possible || !told_.refers.empty()) return std::nullopt;
    gather();
    if (auto chosen = of_the_graphs()) return chosen;
    if (auto chosen = of_conditions(For::verdicts)) return chosen;
    return of_conditions(For::details);
  }

 private:
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
    const std::size_t looked_at = agenda_.flags_first ? 1 : agenda_.graphs.size();
    for (std::size_t g = 0; g < looked_at; ++g)
      for (Index f : asked_by(reach_, agenda_.graphs[g].graph)) put_in(candidates, f);
    if (candidates.empty()) return std::nullopt;
    Asked asked = best_of_all_orders(reach_, agenda_);
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
      for (Index operand : what == For::verdicts ? of_its_verdict(p) : of_its_details(p)) behind(operand, findings);
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

  // The findings that are open behind an operand.
  void behind(Index operand, std::vector<Index>& findings) {
    if (slots_[operand] != Truth::open) return;
    std::vector<Index> rest{operand / 2};
    std::vector<char> seen(pack_.program.slots());
    for (seen[operand / 2] = 1; !rest.empty();) {
      const Index slot = rest.back();
      rest.pop_back();
      if (slot <= pack_.program.inputs) {
        add_finding(slot - 1, findings);
        continue;
      }
      for (Index o : pack_.program.gates[slot - 1 - pack_.program.inputs].operands)
        if (!seen[o / 2] && slots_[o] == Truth::open) seen[o / 2] = 1, rest.push_back(o / 2);
    }
  }

  void add_finding(Index input, std::vector<Index>& findings) const {
    const auto behind = [&](const Variable& v) { return v.first_input <= input; };
    const auto v = std::partition_point(pack_.variables.begin(), pack_.variables.end(), behind) - 1;
    const DecisionGraph::Question alone{{static_cast<Index>(v - pack_.variables.begin())}, {}, {}, {}};
    for (Index f : open_findings(reach_, alone)) put_in(findings, f);
  }

  const Pack& pack_;
  const Reading& reading_;
  const Reach reach_;
  const Weighing told_;
  const Slots slots_;
  Agenda agenda_;
};

}  // namespace

std::optional<NextQuestion> next_question(const Pack& pack, const Answers& answers, Index reading) { return Interviewer(pack, answers, reading).next(); }

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
