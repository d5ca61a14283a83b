#include "runtime/inputs.h"

#include <algorithm>

namespace betony::runtime {
namespace {

// ---------------------------------------------------------------- measures

Bounds between(Number low, Number high) { return {std::move(low), std::move(high), false}; }
const Number& high_of(const Bounds& b) { return b.is_number ? b.low : b.high; }

Bounds opposite_of(const Bounds& b) { return b.is_number ? Bounds{-b.low, {}} : between(-b.high, -b.low); }

Bounds sum(const Bounds& a, const Bounds& b) {
  if (a.is_number && b.is_number) return {a.low + b.low, {}};
  return between(a.low + b.low, high_of(a) + high_of(b));
}

Bounds product(const Bounds& a, const Bounds& b) {
  if (a.is_number && b.is_number) return {a.low * b.low, {}};
  const auto [low, high] = std::minmax({a.low * b.low, a.low * high_of(b), high_of(a) * b.low, high_of(a) * high_of(b)});
  return between(low, high);
}

std::optional<Bounds> quotient(const Bounds& a, const Bounds& b) {
  const int low = b.low.sign(), high = high_of(b).sign();
  if (low == 0 || high == 0 || low != high) return std::nullopt;
  Bounds under{*divided(1, b.low), {}};
  if (!b.is_number) under = between(*divided(1, b.high), std::move(under.low));
  return product(a, under);
}

Bounds least(const Bounds& a, const Bounds& b) {
  if (a.is_number && b.is_number) return {std::min(a.low, b.low), {}};
  return between(std::min(a.low, b.low), std::min(high_of(a), high_of(b)));
}

using Known = std::vector<std::optional<Bounds>>;

// What the formulas give, of the findings, measures and tallies that are known.
class Reckoner {
 public:
  Reckoner(const Pack& pack, const Known& findings)
      : pack_(pack), findings_(findings), measures_(pack.measures.size()), tallies_(pack.tallies.size()), done_(pack.measures.size()) {}

  // The measures, each of which is done once all that it asks for is exact; with long numbers they are dear. Where `all`, also
  // bounds of the others.
  void reckon(bool all) {
    for (Index m = 0; m < measures_.size(); ++m) {
      if (done_[m]) continue;
      done_[m] = is_known(pack_.measures[m]);
      if (all || done_[m]) measures_[m] = value(pack_.measures[m]);
    }
  }
  bool asks_for_tallies() const {
    return std::any_of(pack_.measures.begin(), pack_.measures.end(), [](const Measure& m) {
      return std::any_of(m.formula.begin(), m.formula.end(), [](const Step& step) { return step.kind == Step::Kind::tally; });
    });
  }
  void count_tallies(const Slots& slots) {
    for (Index t = 0; t < tallies_.size(); ++t) {
      Number surely, less, more;
      for (const Tally::Item& item : pack_.tallies[t].items) {
        const Truth counted = slots[item.condition];
        work_ += work_with(item.points);
        if (counted == Truth::yes)
          surely += item.points;
        else if (counted == Truth::open)
          (item.points.sign() < 0 ? less : more) += item.points;
      }
      tallies_[t] = less.sign() == 0 && more.sign() == 0 ? Bounds{surely, {}} : between(surely + less, surely + more);
    }
  }
  std::size_t exact() const { return static_cast<std::size_t>(std::count_if(measures_.begin(), measures_.end(), is_exact)); }
  const Known& measures() const { return measures_; }
  std::size_t work() const { return work_; }

 private:
  static bool is_exact(const std::optional<Bounds>& b) { return b && b->is_number; }
  bool is_known(const Measure& measure) const {
    return std::all_of(measure.formula.begin(), measure.formula.end(), [&](const Step& step) {
      switch (step.kind) {
        case Step::Kind::finding:
          return is_exact(findings_[step.index]);
        case Step::Kind::measure:
          return is_exact(measures_[step.index]);
        case Step::Kind::tally:
          return is_exact(tallies_[step.index]);
        default:
          return true;
      }
    });
  }

  std::optional<Bounds> value(const Measure& measure) const {
    std::vector<Bounds> stack;
    for (const Step& step : measure.formula)
      if (!take(step, stack)) return std::nullopt;
    return stack.back();
  }

  // One step; false where it has no answer.
  bool take(const Step& step, std::vector<Bounds>& stack) const {
    const auto push = [&](std::optional<Bounds> bounds) {
      if (!bounds) return false;
      work_ += work_with(bounds->low) + (bounds->is_number ? 0 : work_with(bounds->high));
      stack.push_back(std::move(*bounds));
      return true;
    };
    const auto pop = [&] {
      Bounds top = std::move(stack.back());
      stack.pop_back();
      return top;
    };
    switch (step.kind) {
      case Step::Kind::number:
        return push(Bounds{step.number, {}});
      case Step::Kind::finding:
        return push(findings_[step.index]);
      case Step::Kind::measure:
        return push(measures_[step.index]);
      case Step::Kind::tally:
        return push(tallies_[step.index]);
      case Step::Kind::negate:
        return push(opposite_of(pop()));
      case Step::Kind::least:
      case Step::Kind::most: {
        const bool is_least = step.kind == Step::Kind::least;
        Bounds out = pop();
        for (Index i = 1; i < step.index; ++i) out = is_least ? least(out, pop()) : opposite_of(least(opposite_of(out), opposite_of(pop())));
        return push(std::move(out));
      }
      default:
        break;
    }
    const Bounds b = pop(), a = pop();
    switch (step.kind) {
      case Step::Kind::add:
        return push(sum(a, b));
      case Step::Kind::subtract:
        return push(sum(a, opposite_of(b)));
      case Step::Kind::multiply:
        return push(product(a, b));
      default:
        return push(quotient(a, b));
    }
  }

  const Pack& pack_;
  const Known& findings_;
  Known measures_, tallies_;
  std::vector<bool> done_;  // of each measure
  mutable std::size_t work_ = 0;
};

// ---------------------------------------------------------------- cells

// Findings that no formula asks for are left out.
Known numbers_told(const Pack& pack, const Answers& answers) {
  Known out(pack.findings.size());
  for (const Measure& measure : pack.measures) {
    for (const Step& step : measure.formula) {
      if (step.kind != Step::Kind::finding || out[step.index]) continue;
      const Finding& finding = pack.findings[step.index];
      const auto& answer = answers[step.index];
      if (answer && answer->kind == Value::Kind::number)
        out[step.index] = Bounds{answer->number, {}};
      else if (!answer && !finding.or_never)
        out[step.index] = between(finding.low, finding.high);
    }
  }
  return out;
}

Run run_of(const Pack& pack, const Variable& v, const Answers& answers, const Known& measures) {
  const Run all{0, v.cells - 1};
  if (v.is_measure) {
    const auto& bounds = measures[v.index];
    return bounds ? Run{cell_of(v, bounds->low), cell_of(v, high_of(*bounds))} : all;
  }
  const auto& answer = answers[v.index];
  if (!answer) return all;
  const Index cell = pack.findings[v.index].has_words() ? answer->word : cell_of(v, *answer);
  return {cell, cell};
}

class Worker {
 public:
  Worker(const Pack& pack, const Answers& answers) : pack_(pack), answers_(answers), told_(numbers_told(pack, answers)), reckoner_(pack, told_) {
    reckoner_.reckon(true);
    if (!reckoner_.asks_for_tallies()) return;
    bool first = true;
    for (std::size_t before = no_index; before != reckoner_.exact(); first = false) {
      before = reckoner_.exact();
      const Slots slots(pack_.program, inputs_of(pack_, cells()));
      rounds_ += pack_.program.slots();
      for (const Gate& gate : pack_.program.gates) rounds_ += gate.operands.size();
      reckoner_.count_tallies(slots);
      reckoner_.reckon(first);
    }
  }

  std::vector<Run> cells() const {
    std::vector<Run> out;
    out.reserve(pack_.variables.size());
    for (const Variable& v : pack_.variables) out.push_back(run_of(pack_, v, answers_, reckoner_.measures()));
    return out;
  }
  std::vector<std::optional<Number>> measures() const {
    std::vector<std::optional<Number>> out;
    for (const auto& bounds : reckoner_.measures()) out.push_back(bounds && bounds->is_number ? std::optional(bounds->low) : std::nullopt);
    return out;
  }
  std::size_t work() const { return reckoner_.work() + rounds_ + pack_.variables.size(); }

 private:
  const Pack& pack_;
  const Answers& answers_;
  const Known told_;
  Reckoner reckoner_;
  std::size_t rounds_ = 0;  // work of the program
};

void put(const Pack& pack, const Variable& v, const Run& run, std::vector<Truth>& out) {
  if (!v.is_measure && pack.findings[v.index].has_words()) {
    const bool yes_no = pack.findings[v.index].kind == Finding::Kind::yes_no;
    for (Index word = yes_no ? 1 : 0; word < v.cells; ++word)
      out.push_back(truth(run.first != word || run.last != word, run.first <= word && word <= run.last));
    return;
  }
  const Index behind = static_cast<Index>(v.ends.size());  // the last cell of numbers
  const bool may_be_never = run.last > behind;
  const Index last = std::min(run.last, behind);
  const bool is_never = run.first > behind;
  for (Index e = 0; e < behind; ++e) out.push_back(is_never ? Truth::no : truth(may_be_never || run.first <= e, last > e));
  if (v.inputs > behind) out.push_back(truth(!is_never, may_be_never));
}

}  // namespace

Index cell_of(const Variable& v, const Number& number) {
  const auto lies_past = [&](const Variable::End& end) { return number > end.at || (number == end.at && !end.belongs); };
  return static_cast<Index>(std::partition_point(v.ends.begin(), v.ends.end(), lies_past) - v.ends.begin());
}

Index cell_of(const Variable& v, const Value& value) {
  switch (value.kind) {
    case Value::Kind::word:
      return value.word;
    case Value::Kind::never:
      return v.cells - 1;
    default:
      return cell_of(v, value.number);
  }
}

std::size_t work_with(const Number& number) {
  const std::size_t words = number.bits() / 64;
  return 1 + words * words / 2;
}

std::vector<Run> cells_of(const Pack& pack, const Answers& answers, std::size_t* work) {
  const Worker worker(pack, answers);
  if (work) *work += worker.work();
  return worker.cells();
}

namespace {

// The run of a finding of words less the cells at its ends that cannot be; nothing where none is left. `truth` goes by cell, of yes and no too.
template <class TruthOfCell>
std::optional<Run> narrowed_words(Run run, const TruthOfCell& truth) {
  std::optional<Run> sure;
  for (Index word = run.first; word <= run.last; ++word) {
    if (truth(word) != Truth::yes) continue;
    if (sure) return std::nullopt;
    sure = Run{word, word};
  }
  if (sure) return sure;
  while (run.first < run.last && truth(run.first) == Truth::no) ++run.first;
  while (run.first < run.last && truth(run.last) == Truth::no) --run.last;
  return truth(run.last) == Truth::no ? std::nullopt : std::optional(run);
}

// The run of a variable less the cells at its ends that its inputs leave out, `slots` being those of the program; nothing where none is left.
std::optional<Run> narrowed(const Pack& pack, const Variable& v, Run run, const Slots& slots) {
  const auto truth = [&](Index input) { return slots[(1 + v.first_input + input) * 2]; };
  if (!v.is_measure && pack.findings[v.index].has_words()) {
    if (pack.findings[v.index].kind != Finding::Kind::yes_no) return narrowed_words(run, truth);
    return narrowed_words(run, [&](Index word) { return word == 1 ? truth(0) : opposite(truth(0)); });
  }
  const Index behind = static_cast<Index>(v.ends.size());
  if (v.inputs > behind && truth(behind) == Truth::yes) run.first = std::max(run.first, v.cells - 1);
  if (v.inputs > behind && truth(behind) == Truth::no) run.last = std::min(run.last, behind);
  for (Index e = 0; e < behind; ++e) {
    if (truth(e) == Truth::yes)
      run.first = std::max(run.first, e + 1), run.last = std::min(run.last, behind);
    else if (truth(e) == Truth::no && run.last <= behind)
      run.last = std::min(run.last, e);
  }
  return run.first <= run.last ? std::optional(run) : std::nullopt;
}

// Less those that the background facts leave out by what is known so far; false where nobody is left.
bool narrow(const Pack& pack, std::vector<Run>& cells, Slots& slots) {
  if (!slots.suppose(pack.program, pack.background)) return false;
  for (Index v = 0; v < cells.size(); ++v) {
    if (cells[v].is_told()) continue;
    const auto fewer = narrowed(pack, pack.variables[v], cells[v], slots);
    if (!fewer) return false;
    cells[v] = *fewer;
  }
  return true;
}

}  // namespace

PossibleCells possible_cells(const Pack& pack, const Answers& answers) {
  constexpr int most_rounds = 8;
  const std::vector<Run> all = cells_of(pack, answers);
  if (pack.background == 1) return {all, true};  // there are no background facts
  std::vector<Run> cells = all;
  for (int round = 0;; ++round) {
    Slots slots(pack.program, inputs_of(pack, cells));
    const Truth background = slots[pack.background];
    if (background == Truth::no) return {all, false};
    if (background == Truth::yes || round == most_rounds) return {cells, true};
    const std::vector<Run> before = cells;
    if (!narrow(pack, cells, slots)) return {all, false};
    if (cells == before) return {cells, true};
  }
}

std::vector<Truth> inputs_of(const Pack& pack, const std::vector<Run>& cells) {
  std::vector<Truth> out;
  out.reserve(pack.program.inputs);
  for (std::size_t v = 0; v < cells.size(); ++v) put(pack, pack.variables[v], cells[v], out);
  return out;
}

std::vector<std::optional<Number>> measures_of(const Pack& pack, const Answers& answers, std::size_t* work) {
  const Worker worker(pack, answers);
  if (work) *work += worker.work();
  return worker.measures();
}

MeasureBounds bounds_of(const Pack& pack, const std::vector<std::optional<Bounds>>& findings, std::size_t* work) {
  Reckoner reckoner(pack, findings);
  reckoner.reckon(true);
  if (work) *work += reckoner.work() + pack.measures.size();
  return reckoner.measures();
}

}  // namespace betony::runtime
