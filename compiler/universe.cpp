#include "compiler/universe.h"

#include <algorithm>
#include <map>

#include "compiler/measure_cells.h"
#include "compiler/walk.h"

namespace betony {
namespace cutting {

namespace {

void add_ends(const Interval& interval, Cuts& cuts) {
  if (interval.low) cuts.insert({*interval.low, !interval.low_in});
  if (interval.high) cuts.insert({*interval.high, interval.high_in});
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

}  // namespace

AllCuts::AllCuts(const Ruleset& ruleset, const Scope& scope)
    : findings(ruleset.findings.size()), measures(ruleset.measures.size()), measure_asked(ruleset.measures.size()) {
  for (Index t : scope.terms) add(ruleset.terms[t].condition);
  for (Index t : scope.tallies)
    for (const Tally::Item& item : ruleset.tallies[t].items) add(item.condition);
  for (Index s : scope.sentences) {
    add(ruleset.sentences[s].when);
    if (ruleset.sentences[s].unless) add(*ruleset.sentences[s].unless);
  }
  for (Index b : scope.backgrounds) add(ruleset.backgrounds[b].condition);
  const std::vector<const Cond*> applies = parts_of_applies(ruleset);
  for (Index a : scope.applies) add(*applies[a]);
  for (Index c : scope.claims) {
    add(ruleset.claims[c].condition);
    add(ruleset.claims[c].when);
  }
}

mpz_class floor_of(const Rational& x) {
  mpz_class result;
  mpz_fdiv_q(result.get_mpz_t(), x.get_num_mpz_t(), x.get_den_mpz_t());
  return result;
}

void AllCuts::add(const Cond& condition) {
  for_each_test(condition, [this](const Test& test) {
    if (test.subject == Test::Subject::measure) measure_asked[test.index] = true;
    if (test.subject != Test::Subject::finding && test.subject != Test::Subject::measure) return;
    Cuts& cuts = test.subject == Test::Subject::finding ? findings[test.index] : measures[test.index];
    for (const Interval& interval : test.intervals) add_ends(interval, cuts);
  });
}

Extent numbers_extent(Interval interval, Rational share, const Finding* finding) {
  Extent extent;
  extent.kind = Extent::Kind::numbers;
  extent.sample = named_number(interval, finding);
  extent.numbers = std::move(interval);
  extent.share = std::move(share);
  return extent;
}

namespace {

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

}  // namespace

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

}  // namespace cutting

using namespace cutting;

namespace {

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
  for (Dimension& dimension : variable.dimensions)
    for (const Extent& extent : dimension.extents)
      if (extent.kind == Extent::Kind::numbers) dimension.near.push_back(near(extent.sample));
  universe.variables.push_back(std::move(variable));
}

}  // namespace

Index extent_of(const Dimension& dimension, const Value& value) {
  for (Index e = 0; e < dimension.extents.size(); ++e) {
    const Extent& extent = dimension.extents[e];
    const bool holds = extent.kind == Extent::Kind::word      ? value.kind == Value::Kind::word && value.word == extent.word
                       : extent.kind == Extent::Kind::numbers ? value.kind == Value::Kind::number && extent.numbers.contains(value.number)
                                                              : value.kind == Value::Kind::never;
    if (holds) return e;
  }
  return no_index;
}

std::size_t Variable::unusual(Index cell) const {
  std::size_t far = 0;
  for (std::size_t d = 0; d < dimensions.size(); ++d)
    far += (!dimensions[d].is_measure || !exact) && cells[cell].at[d] != dimensions[d].usual;
  return far;
}

BoundFindings::BoundFindings(const Ruleset& ruleset) : of_measure_(ruleset.measures.size(), no_index), inputs_(ruleset.measures.size()) {
  if (ruleset.measures.empty()) return;
  const AllCuts cuts(ruleset, Scoping(ruleset).everything().scope());
  for (const Binding& binding : bindings_of(ruleset, cuts)) {
    for (Index m : binding.measures) {
      const std::set<Index> own = inputs_of(ruleset, m).all();
      inputs_[m].assign(own.begin(), own.end());
    }
    const std::set<Index> inputs = binding.inputs.all();
    if (inputs.empty()) continue;
    std::optional<Variable> variable = few_enough(ruleset, binding, cuts) ? bound_variable(ruleset, binding, cuts)
                                                                          : measured_variable(ruleset, binding, cuts);
    if (!variable) continue;
    for (Index m : binding.measures) of_measure_[m] = static_cast<Index>(all_.size());
    all_.push_back({{inputs.begin(), inputs.end()}, std::move(*variable)});
  }
}

BoundFindings BoundFindings::none(const Ruleset& ruleset) {
  BoundFindings bound;
  bound.of_measure_.assign(ruleset.measures.size(), no_index);
  bound.inputs_.resize(ruleset.measures.size());
  return bound;
}

Universe cut(const Ruleset& ruleset) { return cut(ruleset, Scoping(ruleset).everything().scope(), BoundFindings(ruleset)); }

Universe cut(const Ruleset& ruleset, const Scope& scope, const BoundFindings& bound, const std::vector<Threshold>& further) {
  Universe universe;
  universe.ruleset = &ruleset;
  universe.of_finding.assign(ruleset.findings.size(), no_index);
  universe.dimension_of_finding.assign(ruleset.findings.size(), 0);
  universe.of_measure.assign(ruleset.measures.size(), no_index);
  universe.dimension_of_measure.assign(ruleset.measures.size(), 0);
  universe.inputs_of_measure.resize(ruleset.measures.size());
  AllCuts cuts(ruleset, scope);
  for (const Threshold& threshold : further) cuts.findings[threshold.finding].insert({threshold.at, threshold.after});
  std::map<Index, const BoundFindings::Together*> together;  // first finding -> those bound with it
  std::set<Index> bound_here;
  for (Index m = 0; m < ruleset.measures.size(); ++m) {
    universe.inputs_of_measure[m] = bound.inputs(m);
    const auto* with = bound.of(m);
    if (!with || !cuts.measure_asked[m]) continue;
    together[with->findings[0]] = with;
    bound_here.insert(with->findings.begin(), with->findings.end());
  }
  for (Index f : scope.findings) {
    if (const auto at = together.find(f); at != together.end()) register_variable(universe, at->second->variable);
    else if (!bound_here.count(f)) register_variable(universe, single_variable(cut_finding(ruleset, f, cuts.findings[f])));
  }
  for (Index m = 0; m < ruleset.measures.size(); ++m)
    if (cuts.measure_asked[m] && universe.of_measure[m] == no_index)
      register_variable(universe, free_measure(ruleset, m, cuts.measures[m]));
  return universe;
}

bool Variable::is_decided() const {
  if (!exact) return cells.size() == 1;
  return std::none_of(cells.begin(), cells.end(), [](const Cell& cell) { return cell.shown == Cell::Shown::doubtful; });
}

double near(const Rational& number) {
  return number.get_den() == 1 ? number.get_num().get_d() : number.get_d();  // both cut off towards 0
}

namespace {

// The first extent of numbers that lies past the number, or, if `at` is set, at it.
Index first_from(const Dimension& dimension, const Rational& number, bool at) {
  const auto [first, last] = std::equal_range(dimension.near.begin(), dimension.near.end(), near(number));
  const auto extents = dimension.extents.begin();
  const auto found = std::partition_point(extents + (first - dimension.near.begin()), extents + (last - dimension.near.begin()),
                                          [&](const Extent& extent) { return at ? extent.sample < number : extent.sample <= number; });
  return static_cast<Index>(found - extents);
}

}  // namespace

std::vector<std::pair<Index, Index>> extents_where(const Dimension& dimension, const Test& test) {
  std::vector<std::pair<Index, Index>> ranges;
  const auto begin = dimension.extents.begin();
  const bool has_never = !dimension.extents.empty() && dimension.extents.back().kind == Extent::Kind::never;
  const auto end = dimension.extents.end() - has_never;
  if (begin != end && begin->kind == Extent::Kind::word) {
    for (auto e = begin; e != end; ++e)
      if (std::binary_search(test.words.begin(), test.words.end(), e->word)) ranges.emplace_back(e - begin, e - begin);
  } else {  // extents ascend, so those of an interval stand in a row
    for (const Interval& interval : test.intervals) {
      const Index first = interval.low ? first_from(dimension, *interval.low, interval.low_in) : 0;
      const Index past = interval.high ? first_from(dimension, *interval.high, !interval.high_in) : static_cast<Index>(end - begin);
      if (first < past) ranges.emplace_back(first, past - 1);
    }
  }
  if (has_never && test.never) ranges.emplace_back(end - begin, end - begin);
  return ranges;
}

std::vector<bool> Universe::cells_where(const Test& test) const {
  const bool measure = test.subject == Test::Subject::measure;
  const Variable& variable = variables[(measure ? of_measure : of_finding)[test.index]];
  const Index at = (measure ? dimension_of_measure : dimension_of_finding)[test.index];
  const Dimension& dimension = variable.dimensions[at];
  std::vector<bool> extents(dimension.extents.size());
  for (const auto& [first, last] : extents_where(dimension, test)) std::fill(extents.begin() + first, extents.begin() + last + 1, true);
  if (variable.dimensions.size() == 1) return extents;  // a cell an extent
  std::vector<bool> cells(variable.cells.size());
  for (std::size_t c = 0; c < cells.size(); ++c) cells[c] = extents[variable.cells[c].at[at]];
  return cells;
}

Index Universe::cell_of(Index finding, const Value& value) const {
  const Variable& variable = variables[of_finding[finding]];
  const Index extent = extent_of(variable.dimensions[dimension_of_finding[finding]], value);
  for (Index c = 0; c < variable.cells.size(); ++c)
    if (variable.cells[c].at[dimension_of_finding[finding]] == extent) return c;
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
