#include "runtime/change.h"

#include <algorithm>
#include <bit>

namespace betony::runtime {
namespace {

constexpr std::size_t most_combinations = 4096;

Value number_value(Number number) { return {Value::Kind::number, 0, std::move(number)}; }

// Whether the cell of the variable that holds the number, or the value, is one of the run.
template <class Told>
bool holds(const Variable& v, const Run& run, const Told& told) {
  const Index cell = cell_of(v, told);
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
  const auto fits = [&](const Value& value) { return holds(v, run, value); };
  if (f.has_words()) return {Value::Kind::word, f.usual && fits(*f.usual) && !told ? f.usual->word : run.first, {}};
  if (run.first > v.ends.size()) return {Value::Kind::never, 0, {}};
  const Run numbers{run.first, std::min(run.last, static_cast<Index>(v.ends.size()))};
  if (told && told->kind == Value::Kind::number) return number_value(number_near(pack, v, numbers, told->number));
  if (f.usual && f.usual->kind == Value::Kind::number) return number_value(number_near(pack, v, numbers, f.usual->number));
  return number_value(number_near(pack, v, numbers, f.low));
}

}  // namespace

// ---------------------------------------------------------------- steps

// How to come to a cell of a question about one finding; nothing where none of its values lies there.
std::optional<Changes::Step> Changes::plain_step(const Question& q, Index cell) const {
  const Variable& v = pack_.variables[q.parts[0]];
  const Run run{q.first[cell], q.last[cell]}, &now = reach_.cells()[q.parts[0]];
  const auto& answer = reach_.answers()[v.index];
  Step out;
  if (answer && now.first >= run.first && now.last <= run.last) return out;
  if (answer) out.otherwise = {v.index};
  Value value = value_near(pack_, v, run, answer);
  if (!holds(v, run, value) || !why_impossible(pack_.findings[v.index], value).empty()) return std::nullopt;
  out.told.emplace_back(v.index, std::move(value));
  return out;
}

bool Changes::spend(std::size_t work) {
  left_ -= std::min(left_, work);
  return left_ > 0;
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
  for (std::size_t count = 0; count <= most && missing > 0 && left_ > 0; ++count) {
    std::vector<bool> chosen(told.size());
    std::fill(chosen.begin(), chosen.begin() + static_cast<std::ptrdiff_t>(count), true);
    do {
      std::vector<Index> free = open;
      for (std::size_t i = 0; i < told.size(); ++i)
        if (chosen[i]) free.push_back(told[i]);
      std::sort(free.begin(), free.end());
      go_through(q, free, out, missing);
    } while (missing > 0 && left_ > 0 && std::prev_permutation(chosen.begin(), chosen.end()));
  }
  return out;
}

// Numbers of a finding, those near to what is told, or is usual, first: all of its steps, or, where these are more than `most`, so many.
const std::vector<Number>& Changes::numbers_around(Index finding, std::size_t most) {
  const auto [kept, is_new] = numbers_.try_emplace({finding, most});
  std::vector<Number>& out = kept->second;
  if (!is_new) return out;
  const Finding& f = pack_.findings[finding];
  const auto& answer = reach_.answers()[finding];
  const bool is_told = answer && answer->kind == Value::Kind::number;
  const Number& aim = is_told ? answer->number : f.usual && f.usual->kind == Value::Kind::number ? f.usual->number : f.low;
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
    std::erase_if(out, [&](const Number& x) { return !why_impossible(f, number_value(x)).empty(); });
  }
  std::vector<std::pair<Number, Number>> by_distance;
  std::size_t work = 0;
  for (Number& x : out) {
    Number far = x < aim ? aim - x : x - aim;
    work += work_with(far);
    by_distance.emplace_back(std::move(far), std::move(x));
  }
  spend(work);
  std::stable_sort(by_distance.begin(), by_distance.end(), [](const auto& a, const auto& b) { return a.first < b.first; });
  for (std::size_t i = 0; i < out.size(); ++i) out[i] = std::move(by_distance[i].second);
  return out;
}

// Comes to as many cells as can be by telling the free findings; the others stay as they are told.
void Changes::go_through(const Question& q, const std::vector<Index>& free, Steps& out, std::size_t& missing) {
  std::vector<const std::vector<Number>*> numbers;
  static constexpr std::size_t of_each[] = {1, most_combinations, 64, 16};
  const std::size_t each = free.size() < 4 ? of_each[free.size()] : 6;
  std::size_t all = 1;
  for (Index f : free) {
    if (pack_.findings[f].has_words()) return;
    numbers.push_back(&numbers_around(f, each));
    all *= numbers.back()->size();
    if (all == 0 || all > left_) return;
  }
  Answers answers = reach_.answers();
  std::vector<std::size_t> at(free.size());
  const std::size_t parts = q.parts.size();
  for (std::size_t i = 0; i < all && missing > 0; ++i) {
    for (std::size_t d = 0; d < free.size(); ++d) answers[free[d]] = number_value((*numbers[d])[at[d]]);
    std::size_t work = q.first.size() / 8;
    const std::vector<Run> cells = cells_of(pack_, answers, &work);
    if (!spend(work)) return;
    for (Index c = 0; c < q.cells(); ++c) {
      const auto lies_in = [&](std::size_t p) {
        return cells[q.parts[p]].first >= q.first[c * parts + p] && cells[q.parts[p]].last <= q.last[c * parts + p];
      };
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
    for (std::size_t d = 0; d < free.size() && ++at[d] == numbers[d]->size(); ++d) at[d] = 0;
  }
}

// ---------------------------------------------------------------- the shortest way

// From each node the best way to a verdict that is another.
class Changes::Way {
 public:
  Way(Changes& changes, const DecisionGraph& graph, Verdict now)
      : changes_(changes), graph_(graph), now_(now), steps_(graph.questions.size()), best_(graph.nodes.size()) {}

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
      tell_each_once(out.findings);
      return out;
    }
  }

 private:
  struct Best {
    bool leads = false;
    std::vector<Index> otherwise;  // ascending
    std::size_t told = 0;          // for the first time
    Index cell = 0, to = 0;
  };
  // Of a finding that several questions ask for, what the last of them wants.
  static void tell_each_once(Told& told) {
    const auto is_less = [](const auto& a, const auto& b) { return a.first < b.first; };
    std::reverse(told.begin(), told.end());
    std::stable_sort(told.begin(), told.end(), is_less);
    told.erase(std::unique(told.begin(), told.end(), [](const auto& a, const auto& b) { return a.first == b.first; }), told.end());
  }
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
std::optional<Verdict> Changes::verdict_with(const DecisionGraph& graph, const Told& change) {
  Answers answers = reach_.answers();
  for (const auto& [f, value] : change) answers[f] = value;
  const std::uint32_t codes = Reach(pack_, answers, left_).verdicts(graph);
  const std::uint32_t verdicts = (codes | codes >> DecisionGraph::care) & 0xffu;
  if (verdicts == 0 || (verdicts & (verdicts - 1)) != 0) return std::nullopt;
  return static_cast<Verdict>(std::countr_zero(verdicts));
}

// What is told for the first time though the verdict is another without it.
void Changes::leave_out_needless(const DecisionGraph& graph, Change& change) {
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
  const auto is_of_measures = [&](const Question& q) { return q.parts.size() > 1 || pack_.variables[q.parts[0]].is_measure; };
  const bool has_measures = std::any_of(graph.questions.begin(), graph.questions.end(), is_of_measures);
  if (left_ == 0 && has_measures) return std::nullopt;  // whether somebody can be so was not found out
  return change;
}

}  // namespace betony::runtime
