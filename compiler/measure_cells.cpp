#include "compiler/measure_cells.h"

#include <algorithm>
#include <cmath>
#include <deque>
#include <map>
#include <memory>

#include "compiler/measure_solver.h"

namespace betony::cutting {
namespace {

using Numbers = std::vector<Rational>;
using Key = std::vector<Index>;  // extents of the inputs, then of the measures
using Measures = std::vector<CutMeasure>;

struct Box {
  Key at;                 // extents of the inputs
  Sides sides;            // of those that are reckoned with
  Numbers samples;        // numbers a person would name, for these
  std::shared_ptr<const Measures> measures;
  std::vector<bool> thin; // measures that meet a number exactly without width only
  Rational share;
};

// A part of a box that may lie in several combinations.
struct Piece {
  std::size_t box = 0;
  std::vector<Range<Rational>> sides;
  Rational share;         // of all values of the variable
  std::vector<std::pair<Index, Index>> extents;  // of each measure: first and last that may occur
};

struct Found {
  Rational share, slack;
  Numbers numbers;
  bool plain = false;     // these are the box's samples: nothing is plainer
  Cell::Shown shown = Cell::Shown::numbers;
};

bool is_open(const Range<Rational>& side) { return side.low != side.high; }

bool has_tally(const Ruleset& ruleset, const Formula& formula) {
  return formula.kind == Formula::Kind::tally ||
         (formula.kind == Formula::Kind::measure && has_tally(ruleset, ruleset.measures[formula.index].formula)) ||
         std::any_of(formula.parts.begin(), formula.parts.end(), [&](const Formula& part) { return has_tally(ruleset, part); });
}

std::size_t size_of(const Formula& formula) {
  std::size_t size = 1;
  for (const Formula& part : formula.parts) size += size_of(part);
  return size;
}

constexpr std::size_t exact_effort = 16;  // of an exact operation, against one in floating point

class MeasureCells {
 public:
  MeasureCells(const Ruleset& ruleset, const Binding& binding, const AllCuts& cuts, const MeasureBudget& budget)
      : ruleset_(ruleset), binding_(binding), cuts_(cuts), budget_(budget) {
    for (const auto* part : {&binding.inputs.valued, &binding.inputs.asked})
      for (Index f : *part) {
        place_[f] = inputs_.size();
        inputs_.push_back(cut_finding(ruleset, f, cuts.findings[f]));
      }
    valued_ = binding.inputs.valued.size();
    for (Index m : binding.measures) rests_on_tallies_ = rests_on_tallies_ || has_tally(ruleset, ruleset.measures[m].formula);
    if (!rests_on_tallies_) measures_ = measures_in({});
    for (Index m : binding.measures) size_ += size_of(plain(ruleset, ruleset.measures[m].formula, [](Index) { return 0; }, [](Index) { return Rational(0); }));
  }

  std::optional<Variable> run() {
    std::size_t count = 1;
    for (const Dimension& input : inputs_) {
      if (input.extents.size() > budget_.boxes / count) return std::nullopt;
      count *= input.extents.size();
    }
    Box box;
    box.at.resize(inputs_.size());
    each_box(0, box);
    refine();
    settle();
    if (too_many()) return std::nullopt;
    count_open_pieces();
    return variable();
  }

 private:
  bool too_many() const { return found_.size() > budget_.cells || doubtful_ > budget_.doubtful; }

  // ------------------------------------------------ boxes

  void each_box(std::size_t input, Box& box) {
    if (too_many()) return;
    if (input == inputs_.size()) {
      finish(box);
      decide(box);
      return;
    }
    for (Index e = 0; e < inputs_[input].extents.size(); ++e) {
      box.at[input] = e;
      each_box(input + 1, box);
    }
  }

  void finish(Box& box) const {
    box.share = 1;
    box.sides.clear(), box.samples.clear();
    for (std::size_t i = 0; i < inputs_.size(); ++i) {
      const Extent& extent = inputs_[i].extents[box.at[i]];
      box.share *= extent.share;
      if (i >= valued_) continue;
      const Interval& numbers = extent.numbers;
      box.sides.push_back({*numbers.low, *numbers.high, numbers.low_in, numbers.high_in, ruleset_.findings[inputs_[i].index].step});
      box.samples.push_back(extent.sample);
    }
    box.measures = rests_on_tallies_ ? measures_in(box) : measures_;
  }

  std::shared_ptr<const Measures> measures_in(const Box& box) const {
    const auto extent = [&](Index finding) -> const Extent& {
      const std::size_t at = place_.at(finding);
      return inputs_[at].extents[box.at[at]];
    };
    Measures measures;
    for (Index m : binding_.measures) {
      CutMeasure measure;
      measure.formula = plain(ruleset_, ruleset_.measures[m].formula, [&](Index finding) { return place_.at(finding); },
                              [&](Index tally) { return tally_points(ruleset_, tally, extent); });
      measure.cuts.assign(cuts_.measures[m].begin(), cuts_.measures[m].end());
      for (const Cut& cut : measure.cuts) measure.near_cuts.push_back(around(cut.at));
      measures.push_back(std::move(measure));
    }
    return std::make_shared<const Measures>(std::move(measures));
  }

  Key key_of(const Box& box, const Numbers& numbers) {
    effort_ += exact_effort * size_;
    Key key = box.at;
    for (const CutMeasure& measure : *box.measures) key.push_back(measure.extent_of(value_of(measure.formula, numbers)));
    return key;
  }

  Found& meet(const Key& key, const Rational& share, const Numbers& numbers, bool is_sample = false) {
    Found& found = found_[key];
    found.share += share;
    if (found.numbers.empty() || (is_sample && !found.plain)) found.numbers = numbers;
    found.plain = found.plain || is_sample;
    return found;
  }

  void decide(const Box& box) {
    meet(key_of(box, box.samples), 0, box.samples, true);
    Piece whole;
    whole.box = boxes_.size();
    whole.share = box.share;
    for (const Side& side : box.sides) whole.sides.push_back({side.low, side.high});
    if (look_at(box, whole)) {
      meet(key_in(box, whole), box.share, box.samples, true);
      return;
    }
    if (flat(box)) return;
    boxes_.push_back(box);
    find_thin(boxes_.back());
    halve(std::move(whole));
  }

  // ------------------------------------------------ flat boxes

  bool flat(const Box& box) {
    Rational count = 1;
    for (const Side& side : box.sides)
      if (side.step != 0) count *= (side.high - side.low) / side.step + 1;
    if (count > grid_left_) return false;
    struct Part {
      Rational share, largest = -1;
      Numbers point;
    };
    std::map<Key, Part> parts;
    const FlatPart tell = [&](const Key& extents, const Rational& share, const Numbers& point) {
      Part& part = parts[extents];
      part.share += share;
      if (share > part.largest) part.largest = share, part.point = point;
    };
    std::vector<const CutMeasure*> measures;
    for (const CutMeasure& measure : *box.measures) measures.push_back(&measure);
    Sides sides = box.sides;
    const std::function<bool(std::size_t)> each = [&](std::size_t i) {
      if (i == sides.size()) return flat_parts(sides, measures, flat_steps_, tell);
      const Side side = sides[i];
      if (side.step == 0) return each(i + 1);
      for (Rational x = side.low; x <= side.high; x += side.step) {
        sides[i].low = sides[i].high = x;
        if (!each(i + 1)) return false;
      }
      sides[i] = side;
      return true;
    };
    if (!each(0)) return false;
    grid_left_ -= count.get_num().get_ui();
    for (const auto& [extents, part] : parts) {
      Key key = box.at;
      key.insert(key.end(), extents.begin(), extents.end());
      meet(key, box.share * part.share / count, part.point);
    }
    return true;
  }

  // ------------------------------------------------ pieces

  // Finds the extents that may occur in the piece; true if it lies in one combination as a whole.
  bool look_at(const Box& box, Piece& piece) {
    effort_ += size_;
    std::vector<Range<double>> near;
    for (const auto& side : piece.sides) near.push_back({around(side.low).low, around(side.high).high});
    const bool first = piece.extents.empty(), is_point = std::none_of(piece.sides.begin(), piece.sides.end(), is_open);
    bool single = true;
    for (std::size_t m = 0; m < box.measures->size(); ++m) {
      const CutMeasure& measure = (*box.measures)[m];
      const Range<double> range = range_of(measure.formula, near);
      Index low = 0, high = static_cast<Index>(measure.cuts.size());
      while (low < measure.cuts.size() && measure.near_cuts[low].high < range.low) ++low;
      while (high > low && measure.near_cuts[high - 1].low > range.high) --high;
      const double width = range.high - range.low;
      if (low != high && (first || is_point || width < 1e-6 * (std::abs(range.low) + std::abs(range.high)) || width < 1e-200)) {
        effort_ += exact_effort * size_of(measure.formula);
        const Range<Rational> exact = range_of(measure.formula, piece.sides);
        low = measure.extent_of(exact.low), high = measure.extent_of(exact.high);
      }
      if (first) piece.extents.emplace_back(low, high);
      else piece.extents[m] = {std::max(low, piece.extents[m].first), std::min(high, piece.extents[m].second)};
      single = single && piece.extents[m].first == piece.extents[m].second;
    }
    return single;
  }

  Key key_in(const Box& box, const Piece& piece) const {
    Key key = box.at;
    for (const auto& [low, high] : piece.extents) key.push_back(low);
    return key;
  }

  // The middle, or the usual numbers where they lie in it.
  Numbers middle_of(const Box& box, const std::vector<Range<Rational>>& sides) const {
    Numbers numbers;
    for (std::size_t i = 0; i < sides.size(); ++i) {
      const Range<Rational>& side = sides[i];
      if (side.low <= box.samples[i] && box.samples[i] <= side.high) numbers.push_back(box.samples[i]);
      else if (const Rational& step = box.sides[i].step; step == 0) numbers.push_back((side.low + side.high) / 2);
      else numbers.push_back(side.low + floor_of((side.high - side.low) / step / 2) * step);
    }
    return numbers;
  }

  // The two halves along the side that is longest against the box; false if it is one point.
  bool divide(const Piece& piece, Piece& low, Piece& high) const {
    const Sides& whole = boxes_[piece.box].sides;
    std::size_t longest = piece.sides.size();
    double most = 0;
    for (std::size_t i = 0; i < piece.sides.size(); ++i) {
      if (!is_open(piece.sides[i])) continue;
      const double length = Rational((piece.sides[i].high - piece.sides[i].low) / (whole[i].high - whole[i].low)).get_d();
      if (longest == piece.sides.size() || length > most) longest = i, most = length;
    }
    if (longest == piece.sides.size()) return false;
    low = high = piece;
    const Range<Rational>& side = piece.sides[longest];
    if (const Rational& step = whole[longest].step; step == 0) {
      low.sides[longest].high = high.sides[longest].low = (side.low + side.high) / 2;
      low.share = high.share = piece.share / 2;
    } else {
      const Rational count = (side.high - side.low) / step + 1;
      const Rational first(floor_of(count / 2));
      low.sides[longest].high = side.low + (first - 1) * step;
      high.sides[longest].low = side.low + first * step;
      low.share = piece.share * first / count;
      high.share = piece.share - low.share;
    }
    return true;
  }

  void find_thin(Box& box) const {
    const bool steps = std::any_of(box.sides.begin(), box.sides.end(), [](const Side& side) { return side.step != 0 && side.low != side.high; });
    for (const CutMeasure& measure : *box.measures) {
      const Rational first = value_of(measure.formula, box.samples);
      bool differs = false;
      for (std::size_t corner = 0; corner < std::size_t{1} << std::min<std::size_t>(box.sides.size(), 4) && !differs; ++corner) {
        Numbers point;
        for (std::size_t i = 0; i < box.sides.size(); ++i) point.push_back(corner >> i % 4 & 1 ? box.sides[i].high : box.sides[i].low);
        differs = value_of(measure.formula, point) != first;
      }
      box.thin.push_back(differs && !steps && !has_choice(measure.formula));
    }
  }

  bool has_width(const Box& box, std::size_t m, Index extent) const {
    const std::vector<Cut>& cuts = (*box.measures)[m].cuts;
    return !box.thin[m] || extent == 0 || extent == cuts.size() || cuts[extent - 1].at != cuts[extent].at;
  }

  // The cells with a width that the piece may lie in.
  std::vector<Found*> wide_cells(const Piece& piece) {
    const Box& box = boxes_[piece.box];
    std::vector<Found*> cells;
    for (auto at = found_.lower_bound(box.at); at != found_.end() && std::equal(box.at.begin(), box.at.end(), at->first.begin()); ++at) {
      bool may_be = true;
      for (std::size_t m = 0; m < piece.extents.size() && may_be; ++m) {
        const Index e = at->first[box.at.size() + m];
        may_be = piece.extents[m].first <= e && e <= piece.extents[m].second && has_width(box, m, e);
      }
      effort_ += 2;
      if (may_be) cells.push_back(&at->second);
    }
    return cells;
  }

  // True if all of the piece lies in one combination, which is met there; else a point of it is looked at.
  bool counted(Piece& piece, bool look_at_a_point) {
    const Box& box = boxes_[piece.box];
    const bool single = look_at(box, piece);
    if (single)
      if (const auto known = found_.find(key_in(box, piece)); known != found_.end()) {
        known->second.share += piece.share;
        return true;
      }
    if (!single && !look_at_a_point) return false;
    const Numbers point = middle_of(box, piece.sides);
    for (std::size_t i = 0; i < point.size(); ++i)
      if (!box.sides[i].contains(point[i])) return false;
    meet(single ? key_in(box, piece) : key_of(box, point), single ? piece.share : Rational(0), point);
    return single;
  }

  void keep_open(Piece piece) {
    open_.push_back(std::move(piece));
    std::push_heap(open_.begin(), open_.end(), smaller);
  }
  static bool smaller(const Piece& a, const Piece& b) { return a.share < b.share; }

  // Breadth first, so that a box without width is looked at evenly too.
  void halve(Piece whole) {
    std::deque<Piece> queue;
    queue.push_back(std::move(whole));
    for (std::size_t left = effort_ < budget_.effort ? budget_.pieces_a_box : 0; !queue.empty(); queue.pop_front()) {
      Piece low, high;
      if (left == 0 || !divide(queue.front(), low, high)) {
        keep_open(std::move(queue.front()));
        continue;
      }
      --left;
      if (!counted(low, true)) queue.push_back(std::move(low));
      if (!counted(high, true)) queue.push_back(std::move(high));
    }
  }

  // Halves the piece with the largest share until every share is known well enough.
  void refine() {
    std::size_t next_look = 16;
    for (std::size_t spent = 0; effort_ < budget_.effort && spent < budget_.pieces && !open_.empty() && open_.front().share > 0 && !too_many(); spent += 2) {
      if (spent >= next_look) {
        next_look *= 2;
        if (known_well()) return;
      }
      std::pop_heap(open_.begin(), open_.end(), smaller);
      Piece piece = std::move(open_.back()), low, high;
      open_.pop_back();
      if (!divide(piece, low, high)) return keep_open(std::move(piece));
      if (!counted(low, false)) keep_open(std::move(low));
      if (!counted(high, false)) keep_open(std::move(high));
    }
  }

  bool known_well() {
    std::map<const Found*, Rational> more;
    for (const Piece& piece : open_) {
      if (piece.share == 0) continue;
      const std::vector<Found*> cells = wide_cells(piece);
      if (cells.empty()) return false;
      for (const Found* found : cells) more[found] += piece.share;
    }
    return std::all_of(more.begin(), more.end(), [](const auto& entry) { return entry.second * 100 <= entry.first->share; });
  }

  // ------------------------------------------------ what was not met yet

  void settle() {
    std::vector<std::vector<const Piece*>> of_box(boxes_.size());
    for (const Piece& piece : open_) of_box[piece.box].push_back(&piece);
    for (std::size_t b = 0; b < boxes_.size(); ++b) {
      Key key = boxes_[b].at;
      if (!of_box[b].empty()) walk(boxes_[b], of_box[b], key);
    }
  }

  bool is_met(const Key& begin) const {
    const auto at = found_.lower_bound(begin);
    return at != found_.end() && std::equal(begin.begin(), begin.end(), at->first.begin());
  }

  void walk(const Box& box, const std::vector<const Piece*>& pieces, Key& key) {
    const std::size_t m = key.size() - inputs_.size();
    if (m == box.measures->size()) return;
    const auto cut_count = static_cast<Index>((*box.measures)[m].cuts.size());
    for (Index e = 0; e <= cut_count && !too_many(); ++e) {
      std::vector<const Piece*> here;
      for (const Piece* piece : pieces)
        if (piece->extents[m].first <= e && e <= piece->extents[m].second) here.push_back(piece);
      if (here.empty()) continue;
      key.push_back(e);
      if (is_met(key) || may_be(box, here, key)) walk(box, here, key);
      key.pop_back();
    }
  }

  // Looks for numbers in these pieces with the extents of the measures so far; false if there are none.
  bool may_be(const Box& box, const std::vector<const Piece*>& pieces, const Key& key) {
    const Sides hull = hull_of(box, pieces);
    look_along_lines(box, hull);
    if (is_met(key)) return true;
    using Answer = MeasureSolver::Answer;
    MeasureSolver::Result result;
    if (solver_.questions() < budget_.questions && unsettled_ < budget_.unsettled) {
      std::vector<Wanted> wanted;
      for (std::size_t m = 0; m < key.size() - inputs_.size(); ++m) {
        const std::vector<Cut>& cuts = (*box.measures)[m].cuts;
        const Index e = key[inputs_.size() + m];
        Interval interval;
        if (e > 0) interval.low = cuts[e - 1].at, interval.low_in = !cuts[e - 1].after;
        if (e < cuts.size()) interval.high = cuts[e].at, interval.high_in = cuts[e].after;
        wanted.push_back({&(*box.measures)[m].formula, interval});
      }
      result = solver_.ask(hull, wanted);
      unsettled_ += result.answer == Answer::not_settled;
    }
    if (result.answer == Answer::nobody) return false;
    if (result.answer == Answer::found) {
      meet(key_of(box, result.numbers), 0, result.numbers);
      if (is_met(key)) return true;
      result.answer = Answer::not_settled;  // never seen: its numbers do not show it
    }
    if (key.size() == inputs_.size() + box.measures->size()) {
      Found& found = found_[key];
      found.shown = result.answer == Answer::no_fraction ? Cell::Shown::no_fraction : Cell::Shown::doubtful;
      doubtful_ += found.shown == Cell::Shown::doubtful;
    }
    return true;
  }

  Sides hull_of(const Box& box, const std::vector<const Piece*>& pieces) const {
    Sides hull = box.sides;
    for (std::size_t i = 0; i < hull.size(); ++i) {
      Rational low = pieces[0]->sides[i].low, high = pieces[0]->sides[i].high;
      for (const Piece* piece : pieces) low = std::min(low, piece->sides[i].low), high = std::max(high, piece->sides[i].high);
      if (low != hull[i].low) hull[i].low = low, hull[i].low_in = true;
      if (high != hull[i].high) hull[i].high = high, hull[i].high_in = true;
    }
    return hull;
  }

  // All inputs but one fixed in the middle, or at what is usual.
  void look_along_lines(const Box& box, const Sides& hull) {
    std::vector<Range<Rational>> ends;
    for (const Side& side : hull) ends.push_back({side.low, side.high});
    const Numbers middle = middle_of(box, ends);
    std::vector<const CutMeasure*> measures;
    for (const CutMeasure& measure : *box.measures) measures.push_back(&measure);
    for (std::size_t i = 0; i < hull.size(); ++i) {
      if (hull[i].low == hull[i].high || hull[i].step != 0) continue;
      Sides line;
      for (std::size_t j = 0; j < hull.size(); ++j) line.push_back(j == i ? hull[j] : Side{middle[j], middle[j], true, true, 0});
      bool inside = true;
      for (std::size_t j = 0; j < hull.size(); ++j) inside = inside && (j == i || hull[j].contains(middle[j]));
      if (!inside) continue;
      std::vector<std::pair<Key, Numbers>> parts;
      const bool whole = flat_parts(line, measures, flat_steps_, [&](const Key& extents, const Rational&, const Numbers& point) {
        Key key = box.at;
        key.insert(key.end(), extents.begin(), extents.end());
        parts.emplace_back(std::move(key), point);
      });
      if (!whole) continue;
      for (const auto& [key, point] : parts) meet(key, 0, point);
    }
  }

  // ------------------------------------------------ the result

  void count_open_pieces() {
    for (const Piece& piece : open_) {
      const std::vector<Found*> possible = wide_cells(piece);
      if (possible.size() == 1) possible[0]->share += piece.share;
      else
        for (Found* found : possible) found->slack += piece.share;
    }
  }

  // Fewer digits, as long as they show the same.
  void make_plain(const Key& key, Numbers& numbers) {
    Box box;
    box.at.assign(key.begin(), key.begin() + static_cast<std::ptrdiff_t>(inputs_.size()));
    finish(box);
    for (std::size_t i = 0; i < numbers.size(); ++i) {
      const Rational before = numbers[i];
      std::vector<Rational> tries{box.samples[i]};
      if (box.sides[i].step == 0)
        for (const char* grain : {"1", "10", "100", "1000", "10000"}) {
          const mpz_class parts(grain);
          tries.emplace_back(floor_of(before * parts + Rational(1, 2)), parts);
          tries.back().canonicalize();
        }
      for (const Rational& x : tries) {
        if (!box.sides[i].contains(x)) continue;
        numbers[i] = x;
        if (key_of(box, numbers) == key) break;
        numbers[i] = before;
      }
    }
  }

  Variable variable() {
    Variable variable;
    variable.dimensions = inputs_;
    for (Index m : binding_.measures) variable.dimensions.push_back(cut_measure(ruleset_, m, cuts_.measures[m]));
    for (const auto& [key, found] : found_) {
      Cell cell{key, found.share, found.numbers, found.slack, found.shown};
      if (found.shown == Cell::Shown::numbers) {
        if (!found.plain) make_plain(key, cell.numbers);
        for (std::size_t i = valued_; i < inputs_.size(); ++i) cell.numbers.push_back(inputs_[i].extents[key[i]].sample);
      }
      variable.cells.push_back(std::move(cell));
    }
    choose_usual(variable, inputs_.size());
    return variable;
  }

  const Ruleset& ruleset_;
  const Binding& binding_;
  const AllCuts& cuts_;
  const MeasureBudget& budget_;
  std::map<Index, std::size_t> place_;  // finding -> position in `inputs_`
  std::vector<Dimension> inputs_;       // those reckoned with, then those asked through tallies
  std::size_t valued_ = 0;
  bool rests_on_tallies_ = false;
  std::shared_ptr<const Measures> measures_;  // the same in every box, unless they rest on tallies
  std::vector<Box> boxes_;              // those that are halved
  std::vector<Piece> open_;             // a heap by share
  std::map<Key, Found> found_;
  MeasureSolver solver_;
  std::size_t grid_left_ = budget_.grid, flat_steps_ = budget_.flat_steps, doubtful_ = 0, unsettled_ = 0;
  std::size_t size_ = 0, effort_ = 0;   // operations in all formulas; spent so far
};

}  // namespace

std::optional<Variable> measured_variable(const Ruleset& ruleset, const Binding& binding, const AllCuts& cuts, const MeasureBudget& budget) {
  if (!binding.countable) return std::nullopt;
  return MeasureCells(ruleset, binding, cuts, budget).run();
}

}  // namespace betony::cutting
