#include "runtime/change.h"

#include <algorithm>
#include <bit>

namespace betony::runtime {
namespace {

constexpr std::size_t most_combinations = 4096;

Value number_value(Number number) { return {Value::Kind::number, 0, std::move(number)}; }

// Whether the cell of the variable that holds the number is one of the run.
bool holds(const Variable& v, const Run& run, const Number& number) {
  const Index cell = cell_of(v, number);
  return run.first <= cell && cell <= run.last;
}

// A number of the run near to `aim`: it, or one on the side of the run where it lies; where the end does not belong to the
// run, one as near as has few digits.
Number number_near(const Pack& pack, const Variable& v, const Run& run, const Number& aim) {
  const Bounds b = numbers_of(pack, v, run);
  if (holds(v, run, aim)) return aim;
  const bool from_below = aim <= b.low;
  const Number& end = from_below ? b.low : b.high;
  if (holds(v, run, end)) return end;
  const Number room = b.high - b.low;
  Number step = 1;
  for (int digits = 0; digits < 30 && step >= room; ++digits) step = *divided(step, 10);
  if (step >= room) step = *divided(room, 2);
  return from_below ? end + step : end - step;
}

Value value_near(const Pack& pack, const Variable& v, const Run& run, const std::optional<Value>& told) {
  const Finding& f = pack.findings[v.index];
  const auto fits = [&](const Value& value) {
    const Index cell = cell_of(v, value);
    return run.first <= cell && cell <= run.last;
  };
  if (f.has_words()) return {Value::Kind::word, f.usual && fits(*f.usual) && !told ? f.usual->word : run.first, {}};
  if (run.first > v.ends.size()) return {Value::Kind::never, 0, {}};
  const Run numbers{run.first, std::min(run.last, static_cast<Index>(v.ends.size()))};
  if (told && told->kind == Value::Kind::number) return number_value(number_near(pack, v, numbers, told->number));
  if (f.usual && f.usual->kind == Value::Kind::number) return number_value(number_near(pack, v, numbers, f.usual->number));
  return number_value(number_near(pack, v, numbers, f.low));
}

}  // namespace

// ---------------------------------------------------------------- steps

// How to come to a cell of a question about one finding.
Changes::Step Changes::plain_step(const Question& q, Index cell) const {
  const Variable& v = pack_.variables[q.parts[0]];
  const Run run{q.first[cell], q.last[cell]}, &now = reach_.cells()[q.parts[0]];
  const auto& answer = reach_.answers()[v.index];
  Step out;
  if (answer && now.first >= run.first && now.last <= run.last) return out;
  if (answer) out.otherwise = {v.index};
  out.told = {{v.index, value_near(pack_, v, run, answer)}};
  return out;
}

Changes::Steps Changes::steps(const Question& q) {
  if (q.parts.size() == 1 && !pack_.variables[q.parts[0]].is_measure) {
    Steps out;
    for (Index c = 0; c < q.cells(); ++c) out.push_back(plain_step(q, c));
    return out;
  }
  std::vector<Index> runs = q.first;
  runs.insert(runs.end(), q.last.begin(), q.last.end());
  const auto [at, is_new] = bound_.try_emplace({q.parts, runs});
  if (is_new) at->second = bound_steps(q);
  return at->second;
}

// Findings behind the measures, told or not: each set of those told otherwise, the small ones first.
Changes::Steps Changes::bound_steps(const Question& q) {
  Steps out(q.cells());
  std::size_t missing = out.size();
  std::vector<Index> told, open = open_findings(reach_, q);
  const Answers nobody(pack_.findings.size());
  const Reach nothing_told(pack_, nobody);
  for (Index f : open_findings(nothing_told, q))
    if (reach_.answers()[f]) told.push_back(f);
  const std::size_t most = told.size() <= 6 ? told.size() : 1;
  for (std::size_t count = 0; count <= most && missing > 0; ++count) {
    std::vector<bool> chosen(told.size());
    std::fill(chosen.begin(), chosen.begin() + static_cast<std::ptrdiff_t>(count), true);
    do {
      std::vector<Index> free = open;
      for (std::size_t i = 0; i < told.size(); ++i)
        if (chosen[i]) free.push_back(told[i]);
      std::sort(free.begin(), free.end());
      go_through(q, free, out, missing);
    } while (missing > 0 && std::prev_permutation(chosen.begin(), chosen.end()));
  }
  return out;
}

namespace {

// Numbers of a finding, those near to `aim` first: all of its steps, or, where these are more than `most`, so many of them.
std::vector<Number> numbers_around(const Finding& f, const Number& aim, std::size_t most) {
  std::vector<Number> out;
  const double steps = f.step.sign() == 0 ? 1e300 : divided(f.high - f.low, f.step)->near() + 1;
  if (steps <= static_cast<double>(most)) {
    for (Number x = f.low; x <= f.high; x += f.step) out.push_back(x);
  } else {
    const Number parts = *divided(f.high - f.low, static_cast<std::uint64_t>(std::max<std::size_t>(most, 3) - 1));
    for (std::size_t i = 0; i + 1 < std::max<std::size_t>(most, 3); ++i) {
      Number x = parts * static_cast<std::uint64_t>(i);
      if (f.step.sign() != 0) x = divided(x, f.step)->floor() * f.step;
      out.push_back(f.low + x);
    }
    out.push_back(f.high);
    if (f.low <= aim && aim <= f.high) out.push_back(aim);
  }
  const auto far = [&](const Number& x) { return x < aim ? aim - x : x - aim; };
  std::stable_sort(out.begin(), out.end(), [&](const Number& a, const Number& b) { return far(a) < far(b); });
  return out;
}

}  // namespace

// Comes to as many cells as can be by telling the free findings; the others stay as they are told.
void Changes::go_through(const Question& q, const std::vector<Index>& free, Steps& out, std::size_t& missing) {
  std::vector<std::vector<Number>> numbers;
  static constexpr std::size_t of_each[] = {1, most_combinations, 64, 16};
  const std::size_t each = free.size() < 4 ? of_each[free.size()] : 6;
  std::size_t all = 1, formulas = 1;
  for (Index f : free) {
    const Finding& finding = pack_.findings[f];
    if (finding.has_words()) return;
    const auto& answer = reach_.answers()[f];
    const bool told = answer && answer->kind == Value::Kind::number;
    numbers.push_back(numbers_around(finding, told ? answer->number : finding.usual ? finding.usual->number : finding.low, each));
    all *= numbers.back().size();
  }
  for (const Measure& m : pack_.measures) formulas += m.formula.size();
  if (all == 0 || all > left_to_reckon_ / formulas) return;
  left_to_reckon_ -= all * formulas;
  Answers answers = reach_.answers();
  std::vector<std::size_t> at(free.size());
  const std::size_t parts = q.parts.size();
  for (std::size_t i = 0; i < all && missing > 0; ++i) {
    for (std::size_t d = 0; d < free.size(); ++d) answers[free[d]] = number_value(numbers[d][at[d]]);
    const std::vector<Run> cells = cells_of(pack_, answers);
    for (Index c = 0; c < q.cells(); ++c) {
      const auto lies_in = [&](std::size_t p) { return cells[q.parts[p]].first >= q.first[c * parts + p] && cells[q.parts[p]].last <= q.last[c * parts + p]; };
      bool here = !out[c];
      for (std::size_t p = 0; p < parts && here; ++p) here = lies_in(p);
      if (!here) continue;
      Step step;
      for (Index f : free) {
        if (reach_.answers()[f] && *reach_.answers()[f] == *answers[f]) continue;
        if (reach_.answers()[f]) step.otherwise.push_back(f);
        step.told.emplace_back(f, *answers[f]);
      }
      out[c] = std::move(step);
      --missing;
    }
    for (std::size_t d = 0; d < free.size() && ++at[d] == numbers[d].size(); ++d) at[d] = 0;
  }
}

// ---------------------------------------------------------------- the shortest way

// From each node the best way to a verdict that is another.
class Changes::Way {
 public:
  Way(Changes& changes, const DecisionGraph& graph, Verdict now) : changes_(changes), graph_(graph), now_(now), steps_(graph.questions.size()), best_(graph.nodes.size()) {}

  std::optional<Change> shortest() {
    for (Index n = static_cast<Index>(graph_.nodes.size()); n-- > 0;) best_[n] = from(n);
    if (graph_.root >= DecisionGraph::leaf || !best_[graph_.root].leads) return std::nullopt;
    Change out;
    for (Index at = graph_.root;;) {
      const Best& best = best_[at];
      const auto& step = *steps_[graph_.nodes[at].question][best.cell];
      out.findings.insert(out.findings.end(), step.told.begin(), step.told.end());
      at = best.to;
      if (at < DecisionGraph::leaf) continue;
      out.verdict = verdict_of(at);
      std::sort(out.findings.begin(), out.findings.end(), [](const auto& a, const auto& b) { return a.first < b.first; });
      return out;
    }
  }

 private:
  struct Best {
    bool leads = false;
    std::vector<Index> otherwise;   // ascending
    std::size_t told = 0;           // for the first time
    Index cell = 0, to = 0;
  };
  static Verdict verdict_of(Index leaf) { return static_cast<Verdict>((leaf - DecisionGraph::leaf) % DecisionGraph::care); }
  bool is_another(Index leaf) const { return leaf != DecisionGraph::leaf + DecisionGraph::nobody && verdict_of(leaf) != now_; }

  static bool less(const Best& a, const Best& b) {
    if (!b.leads) return true;
    if (a.otherwise.size() != b.otherwise.size()) return a.otherwise.size() < b.otherwise.size();
    if (a.otherwise != b.otherwise) return a.otherwise < b.otherwise;
    return a.told < b.told;
  }

  Best from(Index n) {
    const auto& [q, ways] = graph_.nodes[n];
    if (steps_[q].empty()) steps_[q] = changes_.steps(graph_.questions[q]);
    Best best;
    Index cell = 0;
    for (const DecisionGraph::Way& way : ways) {
      const bool leads = way.to >= DecisionGraph::leaf ? is_another(way.to) : best_[way.to].leads;
      if (!leads) cell = way.last + 1;
      for (; cell <= way.last; ++cell) {
        const auto& step = steps_[q][cell];
        if (!step) continue;
        Best here{true, step->otherwise, step->told.size() - step->otherwise.size(), cell, way.to};
        if (way.to < DecisionGraph::leaf) {
          const Best& rest = best_[way.to];
          here.otherwise.insert(here.otherwise.end(), rest.otherwise.begin(), rest.otherwise.end());
          std::sort(here.otherwise.begin(), here.otherwise.end());
          here.told += rest.told;
        }
        if (less(here, best)) best = std::move(here);
      }
    }
    return best;
  }

  Changes& changes_;
  const DecisionGraph& graph_;
  const Verdict now_;
  std::vector<Steps> steps_;
  std::vector<Best> best_;
};

// The verdict that is settled with the change; nothing if none is.
std::optional<Verdict> Changes::verdict_with(const DecisionGraph& graph, const Told& change) const {
  Answers answers = reach_.answers();
  for (const auto& [f, value] : change) answers[f] = value;
  const std::uint32_t codes = Reach(pack_, answers).verdicts(graph);
  const std::uint32_t verdicts = (codes | codes >> DecisionGraph::care) & 0xffu;
  if (verdicts == 0 || (verdicts & (verdicts - 1)) != 0) return std::nullopt;
  return static_cast<Verdict>(std::countr_zero(verdicts));
}

// What is told for the first time though the verdict is another without it.
void Changes::leave_out_needless(const DecisionGraph& graph, Change& change) const {
  for (std::size_t i = change.findings.size(); i-- > 0;) {
    if (reach_.answers()[change.findings[i].first]) continue;
    Told less = change.findings;
    less.erase(less.begin() + static_cast<std::ptrdiff_t>(i));
    if (verdict_with(graph, less) == change.verdict) change.findings = std::move(less);
  }
}

std::optional<Change> Changes::of(Index practice) {
  const auto& graphs = pack_.readings[reading_].graphs;
  if (graphs.empty() || graphs[practice] == no_index) return std::nullopt;
  const DecisionGraph& graph = pack_.graphs[graphs[practice]];
  const auto now = verdict_with(graph, {});
  if (!now) return std::nullopt;
  auto change = Way(*this, graph, *now).shortest();
  if (!change || verdict_with(graph, change->findings) != change->verdict) return std::nullopt;
  leave_out_needless(graph, *change);
  return change;
}

}  // namespace betony::runtime
