#include "compiler/universe.h"

#include <algorithm>
#include <cmath>
#include <map>
#include <numeric>
#include <set>
#include <utility>

#include "compiler/walk.h"

namespace betony {
namespace {

// A cut lies just before a number or just after it.
struct Cut {
  Rational at;
  bool after = false;
  friend bool operator<(const Cut& a, const Cut& b) { return a.at < b.at || (a.at == b.at && a.after < b.after); }
};
using Cuts = std::set<Cut>;

void add_ends(const Interval& interval, Cuts& cuts) {
  if (interval.low) cuts.insert({*interval.low, !interval.low_in});
  if (interval.high) cuts.insert({*interval.high, interval.high_in});
}

mpz_class floor_of(const Rational& x) {
  mpz_class result;
  mpz_fdiv_q(result.get_mpz_t(), x.get_num_mpz_t(), x.get_den_mpz_t());
  return result;
}

mpz_class ceiling_of(const Rational& x) {
  mpz_class result;
  mpz_cdiv_q(result.get_mpz_t(), x.get_num_mpz_t(), x.get_den_mpz_t());
  return result;
}

bool on_step(const Finding& finding, const Rational& x) {
  if (finding.step == 0) return true;
  Rational steps = (x - finding.low) / finding.step;
  return steps.get_den() == 1;
}

// The number in the interval that a person would name: the roundest, and of those the one nearest to the middle.
Rational named_number(const Interval& interval, const Finding* finding) {
  const Rational &low = *interval.low, &high = *interval.high;
  if (low == high) return low;
  const Rational middle = (low + high) / 2;
  Rational unit = 1;
  for (const Rational span = high - low; unit * 10 <= span;) unit *= 10;
  for (int tries = 0; tries < 24; ++tries, unit /= 10) {
    for (int part : {1, 2, 5}) {  // 10, 5, 2 of the next smaller decade
      const Rational grain = unit / part;
      const mpz_class near = floor_of(middle / grain + Rational(1, 2));
      for (int shift : {0, -1, 1}) {
        const Rational candidate = (near + shift) * grain;
        if (interval.contains(candidate) && (!finding || on_step(*finding, candidate))) return candidate;
      }
    }
  }
  return interval.low_in ? low : interval.high_in ? high : middle;
}

Extent numbers_extent(Interval interval, Rational share, const Finding* finding) {
  Extent extent;
  extent.kind = Extent::Kind::numbers;
  extent.sample = named_number(interval, finding);
  extent.numbers = std::move(interval);
  extent.share = std::move(share);
  return extent;
}

// Values low, low + step, ... high, cut into runs.
std::vector<Extent> stepped_extents(const Finding& finding, const Cuts& cuts) {
  const mpz_class count = floor_of((finding.high - finding.low) / finding.step) + 1;
  std::set<mpz_class> starts{0};
  for (const Cut& cut : cuts) {
    const Rational position = (cut.at - finding.low) / finding.step;
    mpz_class start = cut.after ? mpz_class(floor_of(position) + 1) : ceiling_of(position);
    if (start > 0 && start < count) starts.insert(start);
  }
  std::vector<Extent> extents;
  for (auto start = starts.begin(); start != starts.end(); ++start) {
    const auto next = std::next(start);
    const mpz_class end = next == starts.end() ? count : *next;
    Interval interval;
    interval.low = finding.low + *start * finding.step;
    interval.high = finding.low + (end - 1) * finding.step;
    Rational share(end - *start, count);
    share.canonicalize();
    extents.push_back(numbers_extent(interval, share, &finding));
  }
  return extents;
}

// Every number from low to high, cut into intervals and single points.
std::vector<Extent> continuous_extents(const Rational& low, const Rational& high, const Cuts& cuts, const Finding* finding) {
  std::vector<Extent> extents;
  Cut start{low, false};
  const auto close = [&](const Cut& end) {  // from `start` up to the cut `end`
    if (!(start < end)) return;
    Interval interval;
    interval.low = start.at, interval.low_in = !start.after;
    interval.high = end.at, interval.high_in = end.after;
    const Rational share = low == high ? Rational(1) : Rational((end.at - start.at) / (high - low));
    extents.push_back(numbers_extent(interval, share, finding));
    start = end;
  };
  const Cut last{high, true};
  for (const Cut& cut : cuts)
    if (start < cut && cut < last) close(cut);
  close(last);
  return extents;
}

Index cheapest(const Finding& finding, const std::vector<Extent>& extents) {
  Index best = 0;
  for (Index i = 0; i < extents.size(); ++i) {
    const Extent& extent = extents[i];
    if (finding.usual) {
      const Value& usual = *finding.usual;
      const bool holds = extent.kind == Extent::Kind::word      ? usual.kind == Value::Kind::word && usual.word == extent.word
                         : extent.kind == Extent::Kind::numbers ? usual.kind == Value::Kind::number && extent.numbers.contains(usual.number)
                                                                : usual.kind == Value::Kind::never;
      if (holds) return i;
    } else if (extent.kind == Extent::Kind::numbers && extent.share > extents[best].share) {
      best = i;
    }
  }
  return best;
}

Dimension cut_finding(const Ruleset& ruleset, Index index, const Cuts& cuts) {
  const Finding& finding = ruleset.findings[index];
  Dimension dimension;
  dimension.index = index;
  if (finding.kind == Finding::Kind::yes_no || finding.kind == Finding::Kind::one_of || finding.kind == Finding::Kind::grade) {
    for (Index word = 0; word < finding.values.size(); ++word) {
      Extent extent;
      extent.word = word;
      extent.share = Rational(1, finding.values.size());
      dimension.extents.push_back(extent);
    }
  } else {
    dimension.extents = finding.step > 0 ? stepped_extents(finding, cuts)
                                         : continuous_extents(finding.low, finding.high, cuts, &finding);
    for (Extent& extent : dimension.extents)
      if (finding.usual && finding.usual->kind == Value::Kind::number && extent.numbers.contains(finding.usual->number))
        extent.sample = finding.usual->number;
  }
  if (finding.or_never) {
    for (Extent& extent : dimension.extents) extent.share /= 2;
    Extent never;
    never.kind = Extent::Kind::never;
    never.share = Rational(1, 2);
    dimension.extents.push_back(never);
  }
  dimension.usual = cheapest(finding, dimension.extents);
  return dimension;
}

// Every cut that some condition of the ruleset makes in a finding, a measure.
struct AllCuts {
  std::vector<Cuts> findings, measures;
  std::vector<bool> measure_asked;

  explicit AllCuts(const Ruleset& ruleset)
      : findings(ruleset.findings.size()), measures(ruleset.measures.size()), measure_asked(ruleset.measures.size()) {
    for_each_condition(ruleset, [this](const Cond& condition) {
      for_each_test(condition, [this](const Test& test) { add(test); });
    });
  }
  void add(const Test& test) {
    if (test.subject == Test::Subject::measure) measure_asked[test.index] = true;
    if (test.subject != Test::Subject::finding && test.subject != Test::Subject::measure) return;
    Cuts& cuts = test.subject == Test::Subject::finding ? findings[test.index] : measures[test.index];
    for (const Interval& interval : test.intervals) add_ends(interval, cuts);
  }
};

// ---------------------------------------------------------------- measures that bind findings

// The findings a formula needs: `valued` as numbers, `asked` only through a tally's conditions.
struct Inputs {
  std::set<Index> valued, asked;
};

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

// Findings and measures that have to be looked at together.
struct Binding {
  std::vector<Index> measures;
  Inputs inputs;
  bool countable = true;  // every input is a finding, in steps where its number is used, and the points are few enough
};

std::size_t points_of(const Finding& finding) {
  if (finding.step == 0) return Universe::most_points + 1;
  const mpz_class count = floor_of((finding.high - finding.low) / finding.step) + 1;
  return count > Universe::most_points ? Universe::most_points + 1 : count.get_ui();
}

std::vector<Binding> bindings_of(const Ruleset& ruleset, const AllCuts& cuts) {
  std::vector<Binding> bindings;
  for (Index m = 0; m < ruleset.measures.size(); ++m) {
    if (!cuts.measure_asked[m]) continue;
    Binding binding;
    binding.measures.push_back(m);
    gather_inputs(ruleset, ruleset.measures[m].formula, binding.inputs, binding.countable);
    for (auto other = bindings.begin(); other != bindings.end();) {  // whatever shares an input is one binding
      std::set<Index> all = other->inputs.valued;
      all.insert(other->inputs.asked.begin(), other->inputs.asked.end());
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
  Counter(const Universe& universe, const Binding& binding, const std::vector<Dimension>& inputs,
          const std::vector<MeasureCuts>& measures, std::size_t valued)
      : point_{universe, inputs, {}, {}, {}, {}}, measures_(measures), valued_(valued) {
    (void)binding;
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
  for (auto& [key, found] : Counter(universe, binding, inputs, measures, valued).run()) {
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

Variable single_variable(Dimension dimension) {
  Variable variable;
  for (Index e = 0; e < dimension.extents.size(); ++e)
    variable.cells.push_back({{e}, dimension.extents[e].share, {dimension.extents[e].sample}});
  variable.usual = dimension.usual;
  variable.dimensions.push_back(std::move(dimension));
  return variable;
}

// The measure apart from its inputs: only the extents that its range allows.
Variable free_measure(const Ruleset& ruleset, Index index, const Cuts& cuts) {
  const Measure& measure = ruleset.measures[index];
  const Rational low = measure.low.value_or(0), high = measure.high.value_or(low);
  Dimension dimension;
  dimension.is_measure = true;
  dimension.index = index;
  dimension.extents = continuous_extents(low, high, cuts, nullptr);
  for (Index e = 0; e < dimension.extents.size(); ++e)
    if (dimension.extents[e].share > dimension.extents[dimension.usual].share) dimension.usual = e;
  Variable variable = single_variable(std::move(dimension));
  for (Cell& cell : variable.cells) cell.share = 0;
  variable.exact = false;
  return variable;
}

void register_variable(Universe& universe, Variable variable) {
  const Index at = static_cast<Index>(universe.variables.size());
  for (Index d = 0; d < variable.dimensions.size(); ++d) {
    const Dimension& dimension = variable.dimensions[d];
    (dimension.is_measure ? universe.of_measure : universe.of_finding)[dimension.index] = at;
    (dimension.is_measure ? universe.dimension_of_measure : universe.dimension_of_finding)[dimension.index] = d;
  }
  universe.variables.push_back(std::move(variable));
}

}  // namespace

Universe cut(const Ruleset& ruleset) {
  Universe universe;
  universe.ruleset = &ruleset;
  universe.of_finding.assign(ruleset.findings.size(), no_index);
  universe.dimension_of_finding.assign(ruleset.findings.size(), 0);
  universe.of_measure.assign(ruleset.measures.size(), no_index);
  universe.dimension_of_measure.assign(ruleset.measures.size(), 0);
  universe.inputs_of_measure.resize(ruleset.measures.size());
  const AllCuts cuts(ruleset);
  std::map<Index, const Binding*> bound;  // first input -> its binding
  const std::vector<Binding> bindings = bindings_of(ruleset, cuts);
  std::set<Index> bound_inputs;
  for (const Binding& binding : bindings) {
    std::set<Index> inputs = binding.inputs.valued;
    inputs.insert(binding.inputs.asked.begin(), binding.inputs.asked.end());
    for (Index m : binding.measures) {
      Inputs own;
      bool only_findings = true;
      gather_inputs(ruleset, ruleset.measures[m].formula, own, only_findings);
      own.valued.insert(own.asked.begin(), own.asked.end());
      universe.inputs_of_measure[m].assign(own.valued.begin(), own.valued.end());
    }
    if (inputs.empty() || !few_enough(ruleset, binding, cuts)) continue;
    bound[*inputs.begin()] = &binding;
    bound_inputs.insert(inputs.begin(), inputs.end());
  }
  for (Index f = 0; f < ruleset.findings.size(); ++f) {
    if (const auto at = bound.find(f); at != bound.end()) register_variable(universe, bound_variable(universe, *at->second, cuts));
    else if (!bound_inputs.count(f)) register_variable(universe, single_variable(cut_finding(ruleset, f, cuts.findings[f])));
  }
  for (Index m = 0; m < ruleset.measures.size(); ++m)
    if (cuts.measure_asked[m] && universe.of_measure[m] == no_index)
      register_variable(universe, free_measure(ruleset, m, cuts.measures[m]));
  return universe;
}

std::vector<bool> Universe::cells_where(const Test& test) const {
  const bool measure = test.subject == Test::Subject::measure;
  const Variable& variable = variables[(measure ? of_measure : of_finding)[test.index]];
  const Index at = (measure ? dimension_of_measure : dimension_of_finding)[test.index];
  const Dimension& dimension = variable.dimensions[at];
  std::vector<bool> extents(dimension.extents.size());
  for (std::size_t e = 0; e < extents.size(); ++e) {
    const Extent& extent = dimension.extents[e];
    switch (extent.kind) {
      case Extent::Kind::never: extents[e] = test.never; break;
      case Extent::Kind::word: extents[e] = std::binary_search(test.words.begin(), test.words.end(), extent.word); break;
      case Extent::Kind::numbers:
        extents[e] = std::any_of(test.intervals.begin(), test.intervals.end(),
                                 [&](const Interval& interval) { return interval.contains(extent.sample); });
    }
  }
  std::vector<bool> cells(variable.cells.size());
  for (std::size_t c = 0; c < cells.size(); ++c) cells[c] = extents[variable.cells[c].at[at]];
  return cells;
}

Index Universe::cell_of(Index finding, const Value& value) const {
  const Variable& variable = variables[of_finding[finding]];
  const Dimension& dimension = variable.dimensions[dimension_of_finding[finding]];
  for (Index c = 0; c < variable.cells.size(); ++c) {
    const Extent& extent = dimension.extents[variable.cells[c].at[dimension_of_finding[finding]]];
    const bool holds = extent.kind == Extent::Kind::word      ? value.kind == Value::Kind::word && value.word == extent.word
                       : extent.kind == Extent::Kind::numbers ? value.kind == Value::Kind::number && extent.numbers.contains(value.number)
                                                              : value.kind == Value::Kind::never;
    if (holds) return c;
  }
  return no_index;
}

std::string print(const Universe& universe) {
  const Ruleset& ruleset = *universe.ruleset;
  std::string out;
  for (std::size_t v = 0; v < universe.variables.size(); ++v) {
    const Variable& variable = universe.variables[v];
    out += "variable " + std::to_string(v) + (variable.exact ? "\n" : ", apart from its inputs\n");
    for (const Dimension& dimension : variable.dimensions) {
      out += dimension.is_measure ? "  measure " + ruleset.measures[dimension.index].name : "  finding " + ruleset.findings[dimension.index].name;
      out += ":";
      for (const Extent& extent : dimension.extents) {
        if (extent.kind == Extent::Kind::never) out += " never";
        if (extent.kind == Extent::Kind::word) out += " " + ruleset.findings[dimension.index].values[extent.word];
        if (extent.kind == Extent::Kind::numbers)
          out += std::string(extent.numbers.low_in ? " [" : " (") + number_words(*extent.numbers.low) + " " +
                 number_words(*extent.numbers.high) + (extent.numbers.high_in ? "]" : ")");
      }
      out += "\n";
    }
    if (variable.dimensions.size() > 1 || !variable.exact) continue;
    out += "  shares:";
    for (const Cell& cell : variable.cells) out += " " + cell.share.get_str();
    out += "\n";
  }
  return out;
}

}  // namespace betony
