// Findings that a measure binds together: which, and their combinations counted point by point.
//
// Each point is placed by floating point with a bound on the error; only where a threshold lies within that
// bound is it worked out again exactly, so the counts are exact and most points cost a few machine operations.
#include <algorithm>
#include <cmath>
#include <map>

#include "compiler/moves.h"
#include "compiler/universe_internal.h"
#include "compiler/walk.h"
#include "compiler/witness.h"

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

// A formula ready to be worked out many times: its numbers and the places of its findings looked up.
struct Reckoning {
  Formula::Kind kind = Formula::Kind::number;
  Near number;
  std::size_t slot = 0;  // of a finding
  Index tally = 0;
  std::vector<Reckoning> parts;
};

// One point of a binding: the values of its inputs, as numbers and as extents.
struct Point {
  const Ruleset& ruleset;
  const std::vector<Dimension>& dimensions;  // of the inputs
  std::map<Index, std::size_t> slots;        // finding -> position in `dimensions`
  std::vector<std::size_t> steps;            // of a valued input: low + steps * step
  std::vector<Near> nears;
  std::vector<Index> extents;

  Rational number(std::size_t slot) const {
    const Finding& finding = ruleset.findings[dimensions[slot].index];
    return finding.low + static_cast<unsigned long>(steps[slot]) * finding.step;
  }

  Rational points(Index tally) const {
    return tally_points(ruleset, tally, [this](Index finding) -> const Extent& {
      const std::size_t at = slots.at(finding);
      return dimensions[at].extents[extents[at]];
    });
  }

  Rational exact(const Formula& f) const {
    const auto part = [&](std::size_t i) { return exact(f.parts[i]); };
    switch (f.kind) {
      case Formula::Kind::number: return f.number;
      case Formula::Kind::finding: return number(slots.at(f.index));
      case Formula::Kind::measure: return exact(ruleset.measures[f.index].formula);
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

  Reckoning ready(const Formula& f) const {
    if (f.kind == Formula::Kind::measure) return ready(ruleset.measures[f.index].formula);
    Reckoning r{f.kind, near(f.number), 0, f.index, {}};
    if (f.kind == Formula::Kind::finding) r.slot = slots.at(f.index);
    for (const Formula& part : f.parts) r.parts.push_back(ready(part));
    return r;
  }

  Near close(const Reckoning& r) const {
    const auto part = [&](std::size_t i) { return close(r.parts[i]); };
    switch (r.kind) {
      case Formula::Kind::number: case Formula::Kind::measure: return r.number;
      case Formula::Kind::finding: return nears[r.slot];
      case Formula::Kind::tally: return near(points(r.tally));
      case Formula::Kind::negate: { const Near a = part(0); return {-a.value, a.error}; }
      case Formula::Kind::add: return sum(part(0), part(1));
      case Formula::Kind::subtract: { const Near b = part(1); return sum(part(0), {-b.value, b.error}); }
      case Formula::Kind::multiply: return product(part(0), part(1));
      case Formula::Kind::divide: return quotient(part(0), part(1));
      case Formula::Kind::least: case Formula::Kind::most: break;
    }
    Near best = part(0);
    for (std::size_t i = 1; i < r.parts.size(); ++i) {
      const Near next = part(i);
      const double error = std::max(best.error, next.error);
      if (r.kind == Formula::Kind::least ? next.value < best.value : next.value > best.value) best = next;
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
  Reckoning reckoning;

  Index extent_of(const Point& point) const {
    const Near value = point.close(reckoning);
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

}  // namespace

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

namespace {

// Visits every point of the inputs and counts it under the extents it falls in. All points of one
// combination of the inputs' extents weigh alike, so they are counted in whole numbers.
class Counter {
 public:
  Counter(const Ruleset& ruleset, const std::vector<Dimension>& inputs, std::vector<MeasureCuts> measures, std::size_t valued)
      : point_{ruleset, inputs, {}, std::vector<std::size_t>(inputs.size()), std::vector<Near>(inputs.size()),
               std::vector<Index>(inputs.size())},
        measures_(std::move(measures)), valued_(valued), grid_(valued), key_(measures_.size()) {
    for (std::size_t i = 0; i < inputs.size(); ++i) point_.slots[inputs[i].index] = i;
    for (MeasureCuts& measure : measures_) measure.reckoning = point_.ready(*measure.formula);
    for (std::size_t i = 0; i < valued; ++i) {
      const Finding& finding = ruleset.findings[inputs[i].index];
      const double low = finding.low.get_d(), step = finding.step.get_d();
      for (std::size_t n = points_of(finding), k = 0; k < n; ++k) {
        const double value = low + static_cast<double>(k) * step;
        grid_[i].push_back({value, (std::abs(low) + std::abs(value - low)) * 2 * grain});
      }
    }
  }
  struct Found {
    Rational share;
    std::vector<std::size_t> steps;  // of a point that shows it
  };
  std::map<std::vector<Index>, Found> run() {
    combine(0, 1);
    return std::move(found_);
  }
  Rational number(const Found& found, std::size_t slot) {
    point_.steps = found.steps;
    return point_.number(slot);
  }

 private:
  struct Count {
    unsigned long points = 0;
    double distance = INFINITY;  // of `steps` from what is usual, to show a plain person
    std::vector<std::size_t> steps;
  };

  // Chooses an extent of each input, then counts the points of the combination.
  void combine(std::size_t slot, const Rational& share) {
    const auto& inputs = point_.dimensions;
    if (slot == inputs.size()) {
      counts_.clear();
      last_ = nullptr;
      visit(0, 0);
      for (const auto& [measures, count] : counts_) {
        std::vector<Index> key = point_.extents;
        key.insert(key.end(), measures.begin(), measures.end());
        found_[key] = {share * count.points / points_in_combination(), count.steps};
      }
      return;
    }
    for (Index e = 0; e < inputs[slot].extents.size(); ++e) {
      point_.extents[slot] = e;
      combine(slot + 1, share * inputs[slot].extents[e].share);
    }
  }

  std::pair<std::size_t, std::size_t> steps_of(std::size_t slot) const {  // first and one past the last
    const Dimension& dimension = point_.dimensions[slot];
    const Finding& finding = point_.ruleset.findings[dimension.index];
    const Interval& numbers = dimension.extents[point_.extents[slot]].numbers;
    return {floor_of((*numbers.low - finding.low) / finding.step).get_ui(), floor_of((*numbers.high - finding.low) / finding.step).get_ui() + 1};
  }
  unsigned long points_in_combination() const {
    unsigned long points = 1;
    for (std::size_t slot = 0; slot < valued_; ++slot) points *= steps_of(slot).second - steps_of(slot).first;
    return points;
  }

  void visit(std::size_t slot, double distance) {
    if (slot == valued_) return leaf(distance);
    const Dimension& dimension = point_.dimensions[slot];
    const double middle = dimension.extents[point_.extents[slot]].sample.get_d(), width = grid_[slot].back().value - grid_[slot].front().value + 1e-9;
    const auto [begin, end] = steps_of(slot);
    for (std::size_t k = begin; k < end; ++k) {
      point_.steps[slot] = k;
      point_.nears[slot] = grid_[slot][k];
      visit(slot + 1, distance + std::abs(grid_[slot][k].value - middle) / width);
    }
  }
  void leaf(double distance) {
    bool same = last_ != nullptr;
    for (std::size_t m = 0; m < measures_.size(); ++m) {
      const Index extent = measures_[m].extent_of(point_);
      same = same && key_[m] == extent;
      key_[m] = extent;
    }
    if (!same) last_ = &counts_[key_];
    ++last_->points;
    if (distance < last_->distance) {
      last_->distance = distance;
      last_->steps = point_.steps;
    }
  }

  Point point_;
  std::vector<MeasureCuts> measures_;
  std::size_t valued_;
  std::vector<std::vector<Near>> grid_;
  std::vector<Index> key_;
  std::map<std::vector<Index>, Count> counts_;
  Count* last_ = nullptr;
  std::map<std::vector<Index>, Found> found_;
};

}  // namespace

void choose_usual(Variable& variable, std::size_t findings) {
  const auto unusual = [&](const Cell& cell) {
    std::size_t far = cell.shown == Cell::Shown::numbers ? 0 : findings + 1;
    for (std::size_t d = 0; d < findings; ++d) far += cell.at[d] != variable.dimensions[d].usual;
    return far;
  };
  for (Index c = 1; c < variable.cells.size(); ++c) {
    const std::size_t now = unusual(variable.cells[variable.usual]), next = unusual(variable.cells[c]);
    if (next < now || (next == now && variable.cells[c].share > variable.cells[variable.usual].share)) variable.usual = c;
  }
}

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

Variable bound_variable(const Ruleset& ruleset, const Binding& binding, const AllCuts& cuts) {
  Variable variable;
  for (Index f : binding.inputs.valued) variable.dimensions.push_back(cut_finding(ruleset, f, cuts.findings[f]));
  const std::size_t valued = variable.dimensions.size();
  for (Index f : binding.inputs.asked) variable.dimensions.push_back(cut_finding(ruleset, f, cuts.findings[f]));
  std::vector<Dimension> inputs = variable.dimensions;
  std::vector<MeasureCuts> measures;
  for (Index m : binding.measures) {
    MeasureCuts own{{cuts.measures[m].begin(), cuts.measures[m].end()}, {}, &ruleset.measures[m].formula, {}};
    for (const Cut& cut : own.cuts) own.values.push_back(cut.at.get_d());
    measures.push_back(std::move(own));
    variable.dimensions.push_back(cut_measure(ruleset, m, cuts.measures[m]));
  }
  Counter counter(ruleset, inputs, std::move(measures), valued);
  for (const auto& [key, found] : counter.run()) {
    std::vector<Rational> numbers;
    for (std::size_t d = 0; d < inputs.size(); ++d)
      numbers.push_back(d < valued ? counter.number(found, d) : inputs[d].extents[key[d]].sample);
    variable.cells.push_back({key, found.share, std::move(numbers)});
  }
  choose_usual(variable, inputs.size());
  return variable;
}

// ---------------------------------------------------------------- moving along one finding

namespace {

// Goes along the moved finding in every row of points, and notes which cells follow one another.
class Mover {
 public:
  Mover(const Ruleset& ruleset, const Variable& variable, Index finding, Graph& graph)
      : graph_(graph), inputs_(inputs_among(variable)),
        point_{ruleset, inputs_, {}, std::vector<std::size_t>(inputs_.size()), std::vector<Near>(inputs_.size()),
               std::vector<Index>(inputs_.size())} {
    for (std::size_t i = 0; i < inputs_.size(); ++i) {
      point_.slots[inputs_[i].index] = i;
      if (inputs_[i].index == finding) moved_ = i;
    }
    for (Index c = 0; c < variable.cells.size(); ++c) cells_[variable.cells[c].at] = c;
    for (std::size_t d = inputs_.size(); d < variable.dimensions.size(); ++d) enter_measure(variable.dimensions[d]);
  }

  // Whether the points are few enough to be looked at one by one.
  bool lay_out() {
    std::size_t points = 1;
    for (std::size_t i = 0; i < inputs_.size(); ++i) {
      const Finding& finding = point_.ruleset.findings[inputs_[i].index];
      const bool valued = valued_.count(inputs_[i].index) != 0;
      const std::size_t count = valued ? points_of(finding) : inputs_[i].extents.size();
      if ((valued && finding.or_never) || count > Universe::most_points / points) return false;
      points *= count;
      places_.emplace_back();
      valued ? lay_numbers(i, finding, count) : lay_extents(i);
      usual_.push_back(usual_place(i));
      at_.push_back(0);
    }
    return true;
  }

  Moves run() {
    row(0);
    for (const auto& [pair, met] : met_best_) show(moves_.pairs[pair], met);
    return std::move(moves_);
  }

 private:
  struct Place {
    std::size_t step;
    Near near;
    Index extent;
  };

  static std::vector<Dimension> inputs_among(const Variable& variable) {
    std::vector<Dimension> inputs;
    for (const Dimension& dimension : variable.dimensions)
      if (!dimension.is_measure) inputs.push_back(dimension);
    return inputs;
  }
  void enter_measure(const Dimension& dimension) {
    MeasureCuts own{{}, {}, &point_.ruleset.measures[dimension.index].formula, {}};
    for (std::size_t e = 1; e < dimension.extents.size(); ++e) {
      const Interval& numbers = dimension.extents[e].numbers;
      own.cuts.emplace_back(*numbers.low, !numbers.low_in);
      own.values.push_back(numbers.low->get_d());
    }
    own.reckoning = point_.ready(*own.formula);
    const std::set<Index> valued = inputs_of(point_.ruleset, dimension.index).valued;
    valued_.insert(valued.begin(), valued.end());
    measures_.push_back(std::move(own));
  }
  void lay_numbers(std::size_t slot, const Finding& finding, std::size_t count) {
    const double low = finding.low.get_d(), step = finding.step.get_d();
    Index extent = 0;
    Rational number = finding.low;
    for (std::size_t k = 0; k < count; ++k, number += finding.step) {
      while (number > *inputs_[slot].extents[extent].numbers.high) ++extent;
      const double value = low + static_cast<double>(k) * step;
      places_[slot].push_back({k, {value, (std::abs(low) + std::abs(value - low)) * 2 * grain}, extent});
    }
  }
  // `never` is neither more nor less than a number.
  void lay_extents(std::size_t slot) {
    for (Index e = 0; e < inputs_[slot].extents.size(); ++e)
      if (slot != moved_ || inputs_[slot].extents[e].kind != Extent::Kind::never) places_[slot].push_back({0, {}, e});
  }

  // The middle of the extent that is usual, so that plain persons are shown.
  std::size_t usual_place(std::size_t slot) const {
    const auto& places = places_[slot];
    const auto is_usual = [&](const Place& place) { return place.extent == inputs_[slot].usual; };
    const auto first = std::find_if(places.begin(), places.end(), is_usual);
    if (first == places.end()) return 0;
    const double sample = inputs_[slot].extents[inputs_[slot].usual].sample.get_d();
    auto best = first;
    for (auto place = first; place != places.end() && is_usual(*place); ++place)
      if (std::abs(place->near.value - sample) < std::abs(best->near.value - sample)) best = place;
    return static_cast<std::size_t>(best - places.begin());
  }

  void stand(std::size_t slot, std::size_t at) {
    const Place& place = places_[slot][at];
    at_[slot] = at;
    point_.steps[slot] = place.step;
    point_.nears[slot] = place.near;
    point_.extents[slot] = place.extent;
  }
  void row(std::size_t slot) {
    if (slot == inputs_.size()) return along();
    if (slot == moved_) return row(slot + 1);
    for (std::size_t at = 0; at < places_[slot].size(); ++at) {
      stand(slot, at);
      row(slot + 1);
    }
  }
  void along() {
    graph_.spend(places_[moved_].size() / 16 + 1);
    met_.clear();
    std::size_t last = 0;  // the cell met last, among those met
    for (std::size_t p = 0; p < places_[moved_].size(); ++p) {
      stand(moved_, p);
      const Index cell = cell_here();
      if (met_.empty() || met_[last].first != cell) {
        for (const auto& [before, at] : met_)
          if (before != cell) note(before, at, cell, p);
        last = static_cast<std::size_t>(std::find_if(met_.begin(), met_.end(), [&](const auto& m) { return m.first == cell; }) - met_.begin());
        if (last == met_.size()) met_.emplace_back(cell, p);
      }
      met_[last].second = p;
    }
  }
  Index cell_here() {
    std::vector<Index>& key = key_;
    key.assign(point_.extents.begin(), point_.extents.end());
    for (const MeasureCuts& measure : measures_) key.push_back(measure.extent_of(point_));
    if (key == last_key_) return last_cell_;
    last_key_ = key;
    return last_cell_ = cells_.at(key);
  }
  void note(Index from, std::size_t at, Index to, std::size_t now) {
    graph_.spend(1);
    double distance = off(moved_, at);
    for (std::size_t slot = 0; slot < inputs_.size(); ++slot)
      if (slot != moved_) distance += off(slot, at_[slot]);
    const auto [pair, is_new] = met_best_.try_emplace({from, to});
    if (!is_new && pair->second.distance <= distance) return;
    pair->second = {distance, at_, now};
    pair->second.first[moved_] = at;
  }
  // How far from what is usual.
  double off(std::size_t slot, std::size_t at) const {
    const double usual = static_cast<double>(usual_[slot]), here = static_cast<double>(at);
    return std::abs(here - usual) / static_cast<double>(places_[slot].size());
  }
  struct Met {
    double distance = 0;
    std::vector<std::size_t> first;  // a place of each input
    std::size_t now = 0;             // of the moved one, for the second person
  };
  void show(Moves::Shown& shown, const Met& met) {
    for (std::size_t slot = 0; slot < inputs_.size(); ++slot) stand(slot, met.first[slot]);
    for (std::size_t slot = 0; slot < inputs_.size(); ++slot) shown.first.push_back(value_here(slot));
    stand(moved_, met.now);
    shown.second = value_here(moved_);
  }
  Value value_here(std::size_t slot) const {
    if (valued_.count(inputs_[slot].index)) return {Value::Kind::number, 0, point_.number(slot)};
    return value_of(inputs_[slot].extents[point_.extents[slot]]);
  }

  Graph& graph_;
  const std::vector<Dimension> inputs_;
  Point point_;
  std::size_t moved_ = 0;
  std::set<Index> valued_;
  std::vector<MeasureCuts> measures_;
  std::vector<std::vector<Place>> places_;
  std::map<std::vector<Index>, Index> cells_;
  std::vector<std::size_t> usual_, at_;             // a place of each input: the usual one, and that where `point_` stands
  std::vector<std::pair<Index, std::size_t>> met_;  // cells of this row with where they were met last
  std::map<std::pair<Index, Index>, Met> met_best_;
  std::vector<Index> key_, last_key_;
  Index last_cell_ = 0;
  Moves moves_;
};

}  // namespace

}  // namespace betony::cutting

namespace betony {

std::optional<Moves> moves_of(const Ruleset& ruleset, const Variable& variable, Index finding, Graph& graph) {
  cutting::Mover mover(ruleset, variable, finding, graph);
  return mover.lay_out() ? std::optional(mover.run()) : std::nullopt;
}

}  // namespace betony
