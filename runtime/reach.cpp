#include "runtime/reach.h"

#include <algorithm>
#include <set>

namespace betony::runtime {
using Question = DecisionGraph::Question;

Bounds numbers_of(const Pack& pack, const Variable& v, const Run& run) {
  const Finding& f = pack.findings[v.index];
  Bounds out{f.low, f.high, false};
  if (run.first > 0) {
    const Variable::End& end = v.ends[run.first - 1];
    out.low = end.belongs ? end.at + f.step : end.at;
  }
  if (run.last < v.ends.size()) {
    const Variable::End& end = v.ends[run.last];
    out.high = end.belongs ? end.at : end.at - f.step;
  }
  return out;
}

// ---------------------------------------------------------------- cells

bool Reach::overlaps(const Question& q, Index cell) const {
  const std::size_t parts = q.parts.size();
  for (std::size_t p = 0; p < parts; ++p) {
    const Run& run = cells()[q.parts[p]];
    if (q.last[cell * parts + p] < run.first || q.first[cell * parts + p] > run.last) return false;
  }
  return true;
}

bool Reach::is_half_told(const Question& q) const {
  bool told = false, open = false;
  for (Index part : q.parts) {
    const Variable& v = pack_.variables[part];
    if (v.is_measure) continue;
    (answers_[v.index] ? told : open) = true;
  }
  return told && open;
}

// Whether the findings that are told, and the others within the cell, can make its measures.
bool Reach::can_be(const Question& q, Index cell) const {
  const std::size_t parts = q.parts.size();
  std::vector<std::optional<Bounds>> findings(pack_.findings.size());
  for (std::size_t p = 0; p < parts; ++p) {
    const Variable& v = pack_.variables[q.parts[p]];
    if (v.is_measure || pack_.findings[v.index].has_words()) continue;
    const bool may_be_never = pack_.findings[v.index].or_never;
    const auto& answer = answers_[v.index];
    if (answer && answer->kind == Value::Kind::number)
      findings[v.index] = Bounds{answer->number, {}};
    else if (!answer && !may_be_never)
      findings[v.index] = numbers_of(pack_, v, {q.first[cell * parts + p], q.last[cell * parts + p]});
  }
  std::size_t work = 0;
  const MeasureBounds measures = bounds_of(pack_, findings, &work);
  spend(work + findings.size());
  for (std::size_t p = 0; p < parts; ++p) {
    const Variable& v = pack_.variables[q.parts[p]];
    if (!v.is_measure || !measures[v.index]) continue;
    const Bounds& b = *measures[v.index];
    const Index low = cell_of(v, b.low), high = b.is_number ? low : cell_of(v, b.high);
    if (q.last[cell * parts + p] < low || q.first[cell * parts + p] > high) return false;
  }
  return true;
}

std::vector<bool> Reach::cells(const Question& q) const {
  std::vector<bool> out(q.cells());
  const bool half_told = q.parts.size() > 1 && is_half_told(q);
  const auto* together = half_told ? &met(q) : nullptr;
  for (Index c = 0; c < out.size(); ++c) {
    if (!overlaps(q, c)) continue;
    const auto holds = [&](const std::vector<Index>& cells) {
      for (std::size_t p = 0, at = c * cells.size(); p < cells.size(); ++p, ++at)
        if (cells[p] < q.first[at] || cells[p] > q.last[at]) return false;
      return true;
    };
    if (!half_told || left_ == 0)
      out[c] = true;
    else if (!*together)
      out[c] = can_be(q, c);
    else if (spend((*together)->size() / 64))
      out[c] = std::any_of((*together)->begin(), (*together)->end(), holds);
    else
      out[c] = true;
  }
  return out;
}

// Whether something is left to be worked out.
bool Reach::spend(std::size_t work) const {
  left_ -= std::min(left_, work);
  return left_ > 0;
}

const std::optional<Reach::Meetings>& Reach::met(const Question& q) const {
  const auto [at, is_new] = met_.try_emplace(q.parts);
  if (is_new) at->second = go_through(q);
  return at->second;
}

// The cells that the steps of the open findings lead to; nothing where these are none, or too many.
std::optional<Reach::Meetings> Reach::go_through(const Question& q) const {
  struct Dial {
    Index finding;
    std::size_t steps, at = 0;
  };
  std::vector<Dial> dials;
  Answers answers = answers_;
  std::size_t all = 1;
  for (Index part : q.parts) {
    const Variable& v = pack_.variables[part];
    if (v.is_measure || answers_[v.index]) continue;
    const Finding& f = pack_.findings[v.index];
    if (f.has_words() || f.or_never || f.step.sign() == 0) return std::nullopt;
    const double steps = divided(f.high - f.low, f.step)->near();
    if (steps >= static_cast<double>(most_steps / all)) return std::nullopt;
    dials.push_back({v.index, static_cast<std::size_t>(steps) + 1});
    all *= dials.back().steps;
    answers[v.index] = Value{Value::Kind::number, 0, f.low};
  }
  std::set<std::vector<Index>> met;
  for (std::size_t i = 0; i < all; ++i) {
    std::size_t work = q.parts.size();
    const auto measures = measures_of(pack_, answers, &work);
    if (!spend(work)) return std::nullopt;
    std::vector<Index> cells;
    for (Index part : q.parts) {
      const Variable& v = pack_.variables[part];
      if (v.is_measure && !measures[v.index]) return std::nullopt;  // it asks for others too
      cells.push_back(v.is_measure ? cell_of(v, *measures[v.index]) : cell_of(v, *answers[v.index]));
    }
    met.insert(std::move(cells));
    for (Dial& dial : dials) {
      const Finding& f = pack_.findings[dial.finding];
      Number& number = answers[dial.finding]->number;
      const bool is_back = ++dial.at == dial.steps;
      if (is_back) dial.at = 0;
      number = is_back ? f.low : number + f.step;
      if (!is_back) break;
    }
  }
  return Meetings(met.begin(), met.end());
}

bool Reach::is_exact(const DecisionGraph& graph) const {
  const auto is_told_or_met = [&](const Question& q) { return q.parts.size() == 1 || !is_half_told(q) || met(q); };
  return graph.exact && std::all_of(graph.questions.begin(), graph.questions.end(), is_told_or_met) && left_ > 0;
}

std::uint32_t Reach::verdicts(const DecisionGraph& graph) const { return OpenGraph(*this, graph).verdicts; }

// ---------------------------------------------------------------- a graph

OpenGraph::OpenGraph(const Reach& reach, const DecisionGraph& g) : graph(&g), allowed(g.questions.size()), reached(g.nodes.size()) {
  const auto go = [&](Index to) {
    if (to < DecisionGraph::leaf)
      reached[to] = 1;
    else if (to != DecisionGraph::leaf + DecisionGraph::nobody)
      verdicts |= std::uint32_t{1} << (to - DecisionGraph::leaf);
  };
  go(g.root);
  for (std::size_t n = 0; n < g.nodes.size(); ++n) {
    if (!reached[n]) continue;
    const auto& [question, ways] = g.nodes[n];
    auto& cells = allowed[question];
    if (cells.empty()) cells = reach.cells(g.questions[question]);
    Index cell = 0;
    for (const DecisionGraph::Way& way : ways) {
      bool any = false;
      for (; cell <= way.last; ++cell) any = any || cells[cell];
      if (any) go(way.to);
    }
  }
}

std::vector<Index> open_findings(const Reach& reach, const Question& q) {
  const Pack& pack = reach.pack();
  std::vector<Index> out;
  const auto add = [&](Index finding) {
    if (!reach.answers()[finding]) out.push_back(finding);
  };
  const bool is_bound = q.parts.size() > 1;
  for (Index part : q.parts) {
    const Variable& v = pack.variables[part];
    if (!v.is_measure)
      add(v.index);
    else if (!is_bound) {  // what stands apart from its inputs asks for them, and for those of measures within
      std::vector<Index> within{v.index};
      std::vector<bool> seen(pack.measures.size());
      for (std::size_t i = 0; i < within.size(); ++i) {
        for (const Step& step : pack.measures[within[i]].formula) {
          if (step.kind == Step::Kind::finding)
            add(step.index);
          else if (step.kind == Step::Kind::measure && !seen[step.index])
            seen[step.index] = true, within.push_back(step.index);
        }
      }
    }
  }
  std::sort(out.begin(), out.end());
  out.erase(std::unique(out.begin(), out.end()), out.end());
  return out;
}

}  // namespace betony::runtime
