// Findings that a measure binds together: which, and their combinations counted point by point.
//
// Each point is placed by floating point with a bound on the error; only where a threshold lies within that
// bound is it worked out again exactly, so the counts are exact and most points cost a few machine operations.
#include <algorithm>
#include <cmath>
#include <map>

#include "compiler/universe_internal.h"
#include "compiler/walk.h"

namespace betony::cutting {
namespace {

void gather_inputs(const Ruleset& ruleset, const Cond& condition, Inputs& inputs, bool& only_findings) {
  for_each_test(condition, [&](const Test& test) {
    if (test.subject == Test::Subject::finding) inputs.asked.insert(test.index);
    else only_findings = false;
  });
  for_each_term(condition, [&](Index term) { gather_inputs(ruleset, ruleset.terms[term].condition, inputs, only_findings); });
}

void gather_inputs(const Ruleset& ruleset, const Formula& formula, Inputs& inputs, bool& only_findings) {
  if (formula.kind == Formula::Kind::finding) inputs.valued.insert(formula.index);
  if (formula.kind == Formula::Kind::measure)
    gather_inputs(ruleset, ruleset.measures[formula.index].formula, inputs, only_findings);
  if (formula.kind == Formula::Kind::tally)
    for (const Tally::Item& item : ruleset.tallies[formula.index].items)
      gather_inputs(ruleset, item.condition, inputs, only_findings);
  for (const Formula& part : formula.parts) gather_inputs(ruleset, part, inputs, only_findings);
}

std::size_t points_of(const Finding& finding) {
  if (finding.step == 0) return Universe::most_points + 1;
  const mpz_class count = floor_of((finding.high - finding.low) / finding.step) + 1;
  return count > Universe::most_points ? Universe::most_points + 1 : count.get_ui();
}

}  // namespace

std::set<Index> Inputs::all() const {
  std::set<Index> result = valued;
  result.insert(asked.begin(), asked.end());
  return result;
}

Inputs inputs_of(const Ruleset& ruleset, Index measure) {
  Inputs inputs;
  bool only_findings = true;
  gather_inputs(ruleset, ruleset.measures[measure].formula, inputs, only_findings);
  return inputs;
}

std::vector<Binding> bindings_of(const Ruleset& ruleset, const AllCuts& cuts) {
  std::vector<Binding> bindings;
  for (Index m = 0; m < ruleset.measures.size(); ++m) {
    if (!cuts.measure_asked[m]) continue;
    Binding binding;
    binding.measures.push_back(m);
    gather_inputs(ruleset, ruleset.measures[m].formula, binding.inputs, binding.countable);
    for (auto other = bindings.begin(); other != bindings.end();) {  // whatever shares an input is one binding
      const std::set<Index> all = other->inputs.all();
      const bool meets = std::any_of(all.begin(), all.end(), [&](Index f) {
        return binding.inputs.valued.count(f) || binding.inputs.asked.count(f);
      });
      if (!meets) { ++other; continue; }
      binding.measures.insert(binding.measures.begin(), other->measures.begin(), other->measures.end());
      binding.inputs.valued.insert(other->inputs.valued.begin(), other->inputs.valued.end());
      binding.inputs.asked.insert(other->inputs.asked.begin(), other->inputs.asked.end());
      binding.countable = binding.countable && other->countable;
      other = bindings.erase(other);
    }
    for (Index f : binding.inputs.valued) binding.inputs.asked.erase(f);
    bindings.push_back(std::move(binding));
  }
  return bindings;
}

namespace {

// A number with a bound on its error, so that a comparison in floating point is either certain or done again exactly.
struct Near {
  double value = 0, error = 0;
};
constexpr double grain = 4.5e-16;

Near near(const Rational& x) {
  const double value = x.get_d();
  return {value, std::abs(value) * grain};
}
Near sum(Near a, Near b) {
  const double v = a.value + b.value;
  return {v, a.error + b.error + std::abs(v) * grain};
}
Near product(Near a, Near b) {
  const double v = a.value * b.value;
  return {v, std::abs(a.value) * b.error + std::abs(b.value) * a.error + a.error * b.error + std::abs(v) * grain};
}
Near quotient(Near a, Near b) {
  const double v = a.value / b.value, room = std::abs(b.value) - b.error;
  if (!(room > 0)) return {0, INFINITY};
  return {v, (a.error + std::abs(v) * b.error) / room + std::abs(v) * grain};
}

// One point of a binding: the values of its inputs, as numbers and as extents.
struct Point {
  const Universe& universe;
  const std::vector<Dimension>& dimensions;      // of the inputs
  std::map<Index, std::size_t> slot;             // finding -> position in `dimensions`
  std::vector<Rational> numbers;
  std::vector<Near> nears;
  std::vector<Index> extents;

  bool holds(const Cond& c) const {
    const Ruleset& r = *universe.ruleset;
    switch (c.kind) {
      case Cond::Kind::always: return true;
      case Cond::Kind::term: return holds(r.terms[c.term].condition);
      case Cond::Kind::negation: return !holds(c.parts[0]);
      case Cond::Kind::all: return std::all_of(c.parts.begin(), c.parts.end(), [&](const Cond& p) { return holds(p); });
      case Cond::Kind::any: return std::any_of(c.parts.begin(), c.parts.end(), [&](const Cond& p) { return holds(p); });
      case Cond::Kind::at_least:
        return std::count_if(c.parts.begin(), c.parts.end(), [&](const Cond& p) { return holds(p); }) >= static_cast<long>(c.count);
      case Cond::Kind::test: break;
    }
    const std::size_t at = slot.at(c.test.index);
    const Extent& extent = dimensions[at].extents[extents[at]];
    if (extent.kind == Extent::Kind::never) return c.test.never;
    if (extent.kind == Extent::Kind::word)
      return std::find(c.test.words.begin(), c.test.words.end(), extent.word) != c.test.words.end();
    return std::any_of(c.test.intervals.begin(), c.test.intervals.end(), [&](const Interval& i) { return i.contains(extent.sample); });
  }

  Rational points(Index tally) const {
    Rational total = 0;
    for (const Tally::Item& item : universe.ruleset->tallies[tally].items)
      if (holds(item.condition)) total += item.points;
    return total;
  }

  Rational exact(const Formula& f) const {
    const auto part = [&](std::size_t i) { return exact(f.parts[i]); };
    switch (f.kind) {
      case Formula::Kind::number: return f.number;
      case Formula::Kind::finding: return numbers[slot.at(f.index)];
      case Formula::Kind::measure: return exact(universe.ruleset->measures[f.index].formula);
      case Formula::Kind::tally: return points(f.index);
      case Formula::Kind::negate: return -part(0);
      case Formula::Kind::add: return part(0) + part(1);
      case Formula::Kind::subtract: return part(0) - part(1);
      case Formula::Kind::multiply: return part(0) * part(1);
      case Formula::Kind::divide: return part(0) / part(1);
      case Formula::Kind::least: case Formula::Kind::most: break;
    }
    Rational best = part(0);
    for (std::size_t i = 1; i < f.parts.size(); ++i) {
      const Rational next = part(i);
      if (f.kind == Formula::Kind::least ? next < best : next > best) best = next;
    }
    return best;
  }

  Near close(const Formula& f) const {
    const auto part = [&](std::size_t i) { return close(f.parts[i]); };
    switch (f.kind) {
      case Formula::Kind::number: return near(f.number);
      case Formula::Kind::finding: return nears[slot.at(f.index)];
      case Formula::Kind::measure: return close(universe.ruleset->measures[f.index].formula);
      case Formula::Kind::tally: return near(points(f.index));
      case Formula::Kind::negate: { const Near a = part(0); return {-a.value, a.error}; }
      case Formula::Kind::add: return sum(part(0), part(1));
      case Formula::Kind::subtract: { const Near b = part(1); return sum(part(0), {-b.value, b.error}); }
      case Formula::Kind::multiply: return product(part(0), part(1));
      case Formula::Kind::divide: return quotient(part(0), part(1));
      case Formula::Kind::least: case Formula::Kind::most: break;
    }
    Near best = part(0);
    for (std::size_t i = 1; i < f.parts.size(); ++i) {
      const Near next = part(i);
      const double error = std::max(best.error, next.error);
      if (f.kind == Formula::Kind::least ? next.value < best.value : next.value > best.value) best = next;
      best.error = error;
    }
    return best;
  }
};

// A measure's thresholds in ascending order, and the extent a value falls in.
struct MeasureCuts {
  std::vector<Cut> cuts;
  std::vector<double> values;
  const Formula* formula = nullptr;

  Index extent_of(const Point& point) const {
    const Near value = point.close(*formula);
    std::size_t below = 0;  // cuts that lie below the value
    for (; below < cuts.size(); ++below) {
      const double gap = value.value - values[below], doubt = value.error + std::abs(values[below]) * grain;
      if (gap > doubt) continue;
      if (gap < -doubt) break;
      return exact_extent(point);
    }
    return static_cast<Index>(below);
  }
  Index exact_extent(const Point& point) const {
    const Rational value = point.exact(*formula);
    Index below = 0;
    while (below < cuts.size() && (cuts[below].at < value || (cuts[below].at == value && !cuts[below].after))) ++below;
    return below;
  }
};

Dimension cut_measure(const Ruleset& ruleset, Index index, const Cuts& cuts) {
  const Measure& measure = ruleset.measures[index];
  Dimension dimension;
  dimension.is_measure = true;
  dimension.index = index;
  const Rational low = measure.low.value_or(0), high = measure.high.value_or(low);
  // Cuts outside the range stay, so that extents and cuts correspond one to one.
  std::vector<Cut> sorted(cuts.begin(), cuts.end());
  for (std::size_t i = 0; i <= sorted.size(); ++i) {
    Interval interval;
    interval.low = i == 0 ? (sorted.empty() || low < sorted[0].at ? low : sorted[0].at) : sorted[i - 1].at;
    interval.low_in = i == 0 || !sorted[i - 1].after;
    interval.high = i == sorted.size() ? (sorted.empty() || high > sorted.back().at ? high : sorted.back().at) : sorted[i].at;
    interval.high_in = i == sorted.size() || sorted[i].after;
    dimension.extents.push_back(numbers_extent(interval, 0, nullptr));
  }
  return dimension;
}

// Visits every point of the inputs and counts it under the extents it falls in.
class Counter {
 public:
  Counter(const Universe& universe, const std::vector<Dimension>& inputs, const std::vector<MeasureCuts>& measures,
          std::size_t valued)
      : point_{universe, inputs, {}, {}, {}, {}}, measures_(measures), valued_(valued) {
    for (std::size_t i = 0; i < inputs.size(); ++i) point_.slot[inputs[i].index] = i;
    point_.numbers.resize(inputs.size());
    point_.nears.resize(inputs.size());
    point_.extents.resize(inputs.size());
    key_.resize(inputs.size() + measures.size());
  }
  struct Found {
    Rational share;
    mpz_class count;
    std::vector<Rational> numbers;
    double distance = INFINITY;  // of `numbers` from the extents' samples, to show a plain person
  };
  std::map<std::vector<Index>, Found> run() {
    visit(0, 1, 0);
    for (auto& [key, found] : found_) found.share += Rational(found.count) * point_share_;
    return std::move(found_);
  }

 private:
  void visit(std::size_t slot, const Rational& share, double distance) {
    if (slot == point_.dimensions.size()) return leaf(share, distance);
    const Dimension& dimension = point_.dimensions[slot];
    const Finding& finding = point_.universe.ruleset->findings[dimension.index];
    for (Index e = 0; e < dimension.extents.size(); ++e) {
      const Extent& extent = dimension.extents[e];
      point_.extents[slot] = key_[slot] = e;
      if (slot >= valued_ || extent.kind != Extent::Kind::numbers) {
        visit(slot + 1, share * extent.share, distance);
        continue;
      }
      const mpz_class count = floor_of((*extent.numbers.high - *extent.numbers.low) / finding.step) + 1;
      const Rational each = share * extent.share / Rational(count);
      const double middle = extent.sample.get_d(), width = Rational(finding.high - finding.low).get_d() + 1e-9;
      Rational x = *extent.numbers.low;
      for (mpz_class i = 0; i < count; ++i, x += finding.step) {
        point_.numbers[slot] = x;
        point_.nears[slot] = near(x);
        visit(slot + 1, each, distance + std::abs(point_.nears[slot].value - middle) / width);
      }
    }
  }
  void leaf(const Rational& share, double distance) {
    for (std::size_t m = 0; m < measures_.size(); ++m)
      key_[point_.dimensions.size() + m] = measures_[m].extent_of(point_);
    if (last_ == nullptr || *last_key_ != key_) {
      auto [at, is_new] = found_.try_emplace(key_);
      last_key_ = &at->first;
      last_ = &at->second;
    }
    if (point_share_ == 0) point_share_ = share;
    if (share == point_share_) ++last_->count;  // the common case: all points weigh alike
    else last_->share += share;
    if (distance < last_->distance) {
      last_->distance = distance;
      last_->numbers = point_.numbers;
    }
  }
  Point point_;
  const std::vector<MeasureCuts>& measures_;
  std::size_t valued_;
  std::vector<Index> key_;
  std::map<std::vector<Index>, Found> found_;
  const std::vector<Index>* last_key_ = nullptr;
  Found* last_ = nullptr;
  Rational point_share_ = 0;
};

}  // namespace

bool few_enough(const Ruleset& ruleset, const Binding& binding, const AllCuts& cuts) {
  if (!binding.countable) return false;
  std::size_t points = 1;
  for (Index f : binding.inputs.valued) {
    const std::size_t count = points_of(ruleset.findings[f]);
    if (ruleset.findings[f].or_never || count > Universe::most_points / points) return false;
    points *= count;
  }
  for (Index f : binding.inputs.asked) {
    const std::size_t count = cut_finding(ruleset, f, cuts.findings[f]).extents.size();
    if (count > Universe::most_points / points) return false;
    points *= count;
  }
  return true;
}

Variable bound_variable(const Universe& universe, const Binding& binding, const AllCuts& cuts) {
  const Ruleset& ruleset = *universe.ruleset;
  Variable variable;
  for (Index f : binding.inputs.valued) variable.dimensions.push_back(cut_finding(ruleset, f, cuts.findings[f]));
  const std::size_t valued = variable.dimensions.size();
  for (Index f : binding.inputs.asked) variable.dimensions.push_back(cut_finding(ruleset, f, cuts.findings[f]));
  std::vector<Dimension> inputs = variable.dimensions;
  std::vector<MeasureCuts> measures;
  for (Index m : binding.measures) {
    MeasureCuts own{{cuts.measures[m].begin(), cuts.measures[m].end()}, {}, &ruleset.measures[m].formula};
    for (const Cut& cut : own.cuts) own.values.push_back(cut.at.get_d());
    measures.push_back(std::move(own));
    variable.dimensions.push_back(cut_measure(ruleset, m, cuts.measures[m]));
  }
  for (auto& [key, found] : Counter(universe, inputs, measures, valued).run()) {
    found.share.canonicalize();
    for (std::size_t d = 0; d < inputs.size(); ++d)
      if (d >= valued) found.numbers[d] = inputs[d].extents[key[d]].sample;
    variable.cells.push_back({key, found.share, found.numbers});
  }
  const auto unusual = [&](const Cell& cell) {
    std::size_t far = 0;
    for (std::size_t d = 0; d < inputs.size(); ++d) far += cell.at[d] != inputs[d].usual;
    return far;
  };
  for (Index c = 1; c < variable.cells.size(); ++c) {
    const std::size_t now = unusual(variable.cells[variable.usual]), next = unusual(variable.cells[c]);
    if (next < now || (next == now && variable.cells[c].share > variable.cells[variable.usual].share)) variable.usual = c;
  }
  return variable;
}

}  // namespace betony::cutting
