// A choice whose sentences are boxes (boxed.h), by splitting and the ordered graph of boxes (cover.h): the same answers as
// choice.cpp gives, for tables of any size a school or a registry will bring.
//
//   rows         a sentence and a value that it takes; the values are the colours
//   clash        where rows of unlike colours meet
//   empty        what no row covers
//   idle         a row that others of its value cover (of a grade: of its value or better ones), or, where it says what the
//                Otherwise says, one that lies where nothing else is taken
// Who is not looked at is boxes too, and takes part as rows that cover.
#include <algorithm>

#include "compiler/boxed.h"
#include "compiler/check/choice.h"
#include "compiler/cover.h"

namespace betony {
namespace {

using Kind = Sentence::Kind;
using Corners = std::pair<std::vector<Coordinate>, std::vector<Coordinate>>;  // of a box: lows, highs

constexpr std::uint64_t steps_of_a_table = 3;    // so many times those of a practice: it may be a whole book
constexpr std::uint64_t steps_a_box = 400;       // and column, if that is more: what rows that are nearly a partition take
constexpr std::uint64_t steps_over_boxes = 2;    // take as long as one of a graph, or less
constexpr std::size_t most_meetings = 1'000'000;  // pairs of rows of unlike colours
constexpr std::size_t most_left_out = 10'000;   // boxes that a graph is turned into
constexpr std::size_t most_compared = 100;      // conditions of sentences that change nothing
constexpr std::size_t shown_boxes = 6;          // put into words, and looked at for a witness

class ChoiceTable {
 public:
  ChoiceTable(Study& study, Index choice)
      : study_(study), index_(choice), choice_(study.ruleset.choices[choice]), boxing_(study.ruleset, study.universe), taken_(boxing_.widths()),
        impossible_(taken_.widths()), excluded_(taken_.widths()), passed_over_(taken_.widths()), left_(study.limit().steps * steps_of_a_table) {}

  // False if it is no table.
  bool read() {
    for (const Variable& variable : study_.universe.variables) {
      const auto is_exact = [](const betony::Cell& cell) { return cell.slack == 0; };
      if (!variable.exact || !variable.is_decided() || !std::all_of(variable.cells.begin(), variable.cells.end(), is_exact)) return false;
    }
    return taken_.columns() > 0 && study_.all_readings.size() == 1 && read_sentences() && read_people();
  }

  void look(SentenceFacts& facts) {
    std::vector<std::vector<Rational>> shares;
    for (const Variable& variable : study_.universe.variables) {
      shares.emplace_back();
      for (const betony::Cell& cell : variable.cells) shares.back().push_back(cell.share);
    }
    weights_.emplace(shares);
    left_ = std::max(left_, steps_a_box * taken_.size() * (taken_.columns() + 1));
    look_for_unheard(facts);
    note_what_matters(facts);
    if (choice_.kind == Choice::Kind::one_of) look_for_clashes();
    if (!otherwise_) look_for_empty();
  }

 private:
  struct Row {
    Index sentence, value;
  };

  // ---------------------------------------------------------------- budget

  void spend(std::uint64_t steps) {
    if (steps > left_) throw BudgetMet("steps over boxes");
    left_ -= steps, uncharged_ += steps;
    study_.spend(uncharged_ / steps_over_boxes);
    uncharged_ %= steps_over_boxes;
  }

  template <class Work>
  auto counted(Work&& work) {
    Spending spending{left_};
    try {
      auto result = work(spending);
      spend(left_ - spending.left);
      return result;
    } catch (const BudgetMet&) {
      spend(left_ - spending.left);
      throw;
    }
  }

  // Asks a table of its own.
  template <class Work>
  auto asked(const Boxes& boxes, Work&& work) {
    Cover::Limit limit;
    limit.steps = left_;
    limit.nodes = study_.limit().nodes;
    Cover cover(boxes, limit);
    auto result = work(cover);
    spend(left_ - cover.steps_left());
    return result;
  }

  // What was begun could not be finished.
  void not_finished() { study_.not_settled(choice_.name); }

  // ---------------------------------------------------------------- reading

  bool read_sentences() {
    for (Index s : choice_.sentences) {
      const Sentence& sentence = study_.ruleset.sentences[s];
      if (sentence.kind == Kind::refuse) return false;
      if (sentence.kind == Kind::choice_otherwise) {
        if (otherwise_ || (choice_.kind == Choice::Kind::one_of && sentence.values.size() > 1)) return false;
        otherwise_ = s;
        continue;
      }
      for (Index value : sentence.values) {
        taken_.begin_row(value);
        rows_.push_back({s, value});
        if (!boxing_.add(taken_, sentence.when, sentence.unless ? &*sentence.unless : nullptr)) return false;
      }
    }
    return true;
  }

  bool read_people() {
    const Ruleset& ruleset = study_.ruleset;
    for (Index b : study_.scope.backgrounds)
      if (impossible_.begin_row(), !boxing_.add(impossible_, ruleset.backgrounds[b].condition)) return false;
    append(excluded_, impossible_);
    const std::vector<const Cond*> applies = parts_of_applies(ruleset);
    for (Index a : study_.scope.applies)
      if (excluded_.begin_row(), !boxing_.add_opposite(excluded_, *applies[a])) return false;
    append(passed_over_, excluded_);
    for (Index s : study_.scope.red_flags) {
      const Sentence& flag = ruleset.sentences[s];
      if (passed_over_.begin_row(), !boxing_.add(passed_over_, flag.when, flag.unless ? &*flag.unless : nullptr)) return false;
    }
    return !study_.people.has_nobody({});
  }

  // ---------------------------------------------------------------- boxes

  static void append(Boxes& to, const Boxes& from, Index row, Index colour) {
    to.begin_row(colour);
    for (std::size_t box = from.first(row); box < from.last(row); ++box)
      to.add({from.low(box), from.columns()}, {from.high(box), from.columns()});
  }
  static void append(Boxes& to, const Boxes& from, Index colour = 0) {
    for (Index row = 0; row < from.row_count(); ++row) append(to, from, row, colour);
  }

  Corners corners(const Boxes& of, std::size_t box) const {
    return {{of.low(box), of.low(box) + of.columns()}, {of.high(box), of.high(box) + of.columns()}};
  }

  // What two boxes share; false if nothing.
  bool shared(const Boxes& boxes, std::size_t a, std::size_t b, Corners& out) const {
    out = corners(boxes, a);
    for (std::size_t c = 0; c < boxes.columns(); ++c) {
      out.first[c] = std::max(out.first[c], boxes.low(b)[c]);
      out.second[c] = std::min(out.second[c], boxes.high(b)[c]);
      if (out.first[c] > out.second[c]) return false;
    }
    return true;
  }

  // Adds what of the box lies in the room, as told within it.
  static void add_clipped(Boxes& to, const Corners& room, const Coordinate* low, const Coordinate* high) {
    std::vector<Coordinate> from(to.columns()), up_to(to.columns());
    for (std::size_t c = 0; c < to.columns(); ++c) {
      const Coordinate begin = std::max(low[c], room.first[c]), end = std::min(high[c], room.second[c]);
      if (begin > end) return;
      from[c] = begin - room.first[c], up_to[c] = end - room.first[c];
    }
    to.add_row(from, up_to);
  }

  static Boxes empty_room(const Corners& room) {
    std::vector<std::uint32_t> widths;
    for (std::size_t c = 0; c < room.first.size(); ++c) widths.push_back(room.second[c] - room.first[c] + 1);
    return Boxes(std::move(widths));
  }

  // Whether a point of the room lies in none of these.
  bool has_point_beside(const Boxes& clipped) {
    spend(clipped.columns() * (clipped.size() + 1));
    if (clipped.size() == 0) return true;
    return counted([&](Spending& spending) { return uncovered_point(clipped, spending).has_value(); });
  }

  bool anyone(const Corners& room, const Boxes& outside) {
    if (outside.size() == 0) return true;
    spend(outside.columns() * outside.size());
    Boxes clipped = empty_room(room);
    for (std::size_t box = 0; box < outside.size(); ++box) add_clipped(clipped, room, outside.low(box), outside.high(box));
    return has_point_beside(clipped);
  }

  bool anyone(Index row, const Boxes& outside) {
    for (std::size_t box = taken_.first(row); box < taken_.last(row); ++box)
      if (anyone(corners(taken_, box), outside)) return true;
    return false;
  }

  // ---------------------------------------------------------------- never applies

  void look_for_unheard(SentenceFacts& facts) {
    std::vector<Index> unheard;
    for (Index row = 0; row < rows_.size(); ++row) {
      if (!unheard.empty() && unheard.back() == rows_[row].sentence) continue;
      if (!anyone(row, passed_over_)) unheard.push_back(rows_[row].sentence);
    }
    if (unheard.empty()) return;
    std::vector<Form> asked;
    for (Index s : unheard) asked.push_back(study_.meaning.fires(s, {}));
    Space space(study_.meaning, study_.people, asked, study_.limit());
    check_never_applies(study_, space, unheard, facts);
  }

  // ---------------------------------------------------------------- what matters

  bool is_grade() const { return choice_.kind == Choice::Kind::grade_highest || choice_.kind == Choice::Kind::grade_lowest; }
  bool is_better(Index value, Index than) const { return is_grade() && (choice_.kind == Choice::Kind::grade_highest ? value > than : value < than); }

  // What fits where the sentence alone speaks: its values, or of a grade the best of them.
  std::set<Index> fitting(Index sentence) const {
    const std::vector<Index>& values = study_.ruleset.sentences[sentence].values;
    if (!is_grade()) return {values.begin(), values.end()};
    const auto [least, most] = std::minmax_element(values.begin(), values.end());
    return {choice_.kind == Choice::Kind::grade_highest ? *most : *least};
  }

  void note_what_matters(SentenceFacts& facts) {
    std::vector<std::vector<Index>> of_value(choice_.values.size());  // rows
    for (Index row = 0; row < rows_.size(); ++row) of_value[rows_[row].value].push_back(row), facts[rows_[row].sentence];
    for (Index value = 0; value < of_value.size(); ++value)
      if (!of_value[value].empty()) note_rows_of(value, of_value, facts);
    if (otherwise_) facts[*otherwise_].matters = somebody_is_left();
    note_alike(facts);
  }

  // A row of the value lies under all that speaks before it, or else tells something.
  void note_rows_of(Index value, const std::vector<std::vector<Index>>& of_value, SentenceFacts& facts) {
    Boxes before(taken_.widths());
    std::vector<Index> rows = of_value[value];
    for (Index other = 0; other < of_value.size(); ++other)
      if (is_better(other, value)) rows.insert(rows.end(), of_value[other].begin(), of_value[other].end());
    for (Index row : rows) append(before, taken_, row, 0);
    append(before, excluded_);
    const auto covered = asked(before, [](Cover& cover) { return cover.covered_rows(); });
    if (!covered) return not_finished(), not_looked_at(of_value[value], facts);
    for (std::size_t i = 0; i < of_value[value].size(); ++i) {
      const Index row = rows[i];
      if ((*covered)[i] || facts[rows_[row].sentence].matters) continue;
      const bool says_the_otherwise = otherwise_ && fitting(rows_[row].sentence) == fitting(*otherwise_);
      facts[rows_[row].sentence].matters = !says_the_otherwise || meets_another(row);
    }
  }

  void not_looked_at(const std::vector<Index>& rows, SentenceFacts& facts) const {
    for (Index row : rows) facts[rows_[row].sentence].looked_at = false;
  }

  bool somebody_is_left() {
    Boxes all = taken_;
    append(all, excluded_);
    const auto answer = asked(all, [](Cover& cover) { return cover.uncovered_point(); });
    if (!answer.settled) not_finished();
    return answer.witness || !answer.settled;
  }

  // All pairs of rows that meet, once.
  void meet_others() {
    if (!partners_.empty()) return;  // done
    partners_.resize(rows_.size());
    const Overlaps met = asked(taken_, [](Cover& cover) { return cover.overlaps(Between::all_rows, most_meetings); });
    if (!met.complete || met.count > met.rows.size()) throw BudgetMet("rows that meet");
    for (const auto& [a, b] : met.rows) partners_[a].push_back(b), partners_[b].push_back(a);
  }

  // Whether somewhere nothing but this row speaks for its value, and another row for another (of a grade: a worse one).
  bool meets_another(Index row) {
    meet_others();
    const Index value = rows_[row].value;
    std::vector<Index> before, others;
    for (Index other : partners_[row]) {
      const bool same = rows_[other].value == value || is_better(rows_[other].value, value);
      if (same) before.push_back(other);
      else if (rows_[other].sentence != rows_[row].sentence) others.push_back(other);
    }
    Corners room;
    for (Index other : others)
      for (std::size_t a = taken_.first(row); a < taken_.last(row); ++a)
        for (std::size_t b = taken_.first(other); b < taken_.last(other); ++b) {
          if (!shared(taken_, a, b, room)) continue;
          Boxes clipped = empty_room(room);
          for (Index under : before)
            for (std::size_t box = taken_.first(under); box < taken_.last(under); ++box) add_clipped(clipped, room, taken_.low(box), taken_.high(box));
          for (std::size_t box = 0; box < excluded_.size(); ++box) add_clipped(clipped, room, excluded_.low(box), excluded_.high(box));
          spend((before.size() + excluded_.size()) * taken_.columns());
          if (has_point_beside(clipped)) return true;
        }
    return false;
  }

  // Sentences that fire on the same persons of those looked at: told by graphs where few change nothing, else by their boxes.
  void note_alike(SentenceFacts& facts) {
    std::map<std::vector<Coordinate>, std::vector<Index>> by_boxes;  // sentences
    for (Index row = 0; row < rows_.size(); ++row) {
      const Index s = rows_[row].sentence;
      if (facts[s].matters || (row > 0 && rows_[row - 1].sentence == s)) continue;
      std::vector<Corners> boxes;
      for (std::size_t box = taken_.first(row); box < taken_.last(row); ++box) boxes.push_back(corners(taken_, box));
      std::sort(boxes.begin(), boxes.end());
      std::vector<Coordinate> key;
      for (const auto& [low, high] : boxes) key.insert(key.end(), low.begin(), low.end()), key.insert(key.end(), high.begin(), high.end());
      by_boxes[std::move(key)].push_back(s);
    }
    std::vector<Form> asked;
    const bool few = by_boxes.size() <= most_compared;
    for (const auto& [key, alike] : by_boxes)
      if (few) asked.push_back(study_.meaning.fires(alike[0], {}));
    Space space(study_.meaning, study_.people, asked, study_.limit());
    std::uint64_t number = 2;
    for (const auto& [key, alike] : by_boxes) {
      if (few) number = 2 + space.graph().both(space.of(study_.meaning.fires(alike[0], {})), space.looked_at({}));
      else ++number;
      for (Index s : alike) facts[s].alike = number;
    }
  }

  // ---------------------------------------------------------------- clash and empty

  void look_for_clashes() {
    const Overlaps met = asked(taken_, [](Cover& cover) { return cover.overlaps(Between::unlike_colours, most_meetings); });
    const bool all = met.complete && met.count == met.rows.size();
    if (!all) not_finished();
    Boxes region(taken_.widths());
    std::set<std::pair<Index, Index>> pairs;
    Corners room;
    for (const auto& [a, b] : met.rows) {
      bool clash = false;
      for (std::size_t i = taken_.first(a); i < taken_.last(a); ++i)
        for (std::size_t j = taken_.first(b); j < taken_.last(b); ++j)
          if (shared(taken_, i, j, room) && anyone(room, passed_over_)) region.add_row(room.first, room.second), clash = true;
      if (clash) pairs.insert(std::minmax(rows_[a].sentence, rows_[b].sentence));
    }
    if (pairs.empty()) return;
    ClashingPairs first;
    for (auto at = pairs.begin(); at != pairs.end() && first.size() < ChoiceTelling::most_pairs; ++at) first.push_back(*at);
    ChoiceTelling(study_, index_).clash(first, pairs.size(), true, {}, "", [&](Problem& p) {
      Share covered = share_beside(region);  // of those looked at, what no box of the region covers
      show(p, region, all ? Share{covered.exact, 1 - covered.high, 1 - covered.low} : Share{false, 1 - covered.high, 1});
    });
  }

  void look_for_empty() {
    Boxes covered = taken_;
    append(covered, needless());
    append(covered, passed_over_);
    const Uncovered open = asked(covered, [](Cover& cover) { return cover.uncovered_boxes(); });
    if (!open.complete) not_finished();
    if (open.boxes.size() == 0) return;
    Boxes spoken = taken_;
    append(spoken, needless());
    const Share share = share_beside(spoken);
    ChoiceTelling(study_, index_).empty({}, "", [&](Problem& p) { show(p, open.boxes, share); });
  }

  // Where no practice that uses the choice may be done, though some use it.
  const Boxes& needless() {
    if (needless_) return *needless_;
    needless_.emplace(taken_.widths());
    const std::vector<Index>& users = study_.common.users_of[index_];
    std::vector<Form> done, asked;
    for (Index practice : users) {
      for (tree::Verdict verdict : {tree::Verdict::advised, tree::Verdict::allowed}) done.push_back(study_.meaning.verdict(practice, verdict, {}));
      for (Form form : asked_by(study_.meaning, practice, study_.all_readings)) asked.push_back(form);
    }
    if (users.empty()) return *needless_;
    Space space(study_.meaning, study_.people, asked, study_.limit());
    const Graph::Node needed = space.of(study_.meaning.conditions().any(std::move(done)));
    std::vector<Coordinate> low(taken_.columns()), high;
    for (std::uint32_t width : taken_.widths()) high.push_back(width - 1);
    add_ways_to_no(space, needed, low, high);
    return *needless_;
  }

  void add_ways_to_no(Space& space, Graph::Node node, std::vector<Coordinate>& low, std::vector<Coordinate>& high) {
    Graph& graph = space.graph();
    if (node == Graph::yes) return;
    if (needless_->size() == most_left_out) throw BudgetMet("where a choice is not needed");
    spend(taken_.columns());
    if (node == Graph::no) return needless_->add_row(low, high);
    const std::vector<Graph::Node> children(graph.children(node).begin(), graph.children(node).end());
    const Index column = space.order()[graph.level(node)];
    for (Coordinate first = 0, last; first < children.size(); first = last + 1) {
      for (last = first; last + 1 < children.size() && children[last + 1] == children[first];) ++last;
      low[column] = first, high[column] = last;
      add_ways_to_no(space, children[first], low, high);
    }
    low[column] = 0, high[column] = taken_.widths()[column] - 1;
  }

  // Of those looked at, the share that no box covers.
  Share share_beside(const Boxes& boxes) {
    Boxes all = boxes;
    append(all, passed_over_);
    const Share beside = asked(all, [&](Cover& cover) { return cover.uncovered_share(*weights_); });
    const Share whole = passed_over_.size() == 0 ? Share{true, 1, 1} : asked(passed_over_, [&](Cover& cover) { return cover.uncovered_share(*weights_); });
    Share share;
    share.low = whole.high == 0 ? Rational(0) : Rational(beside.low / whole.high);
    share.high = whole.low == 0 ? Rational(beside.high == 0 ? 0 : 1) : std::min(Rational(1), Rational(beside.high / whole.low));
    share.exact = beside.exact && whole.exact;
    if (!share.exact) not_finished();
    return share;
  }

  mpz_class weight(const Boxes& boxes, std::size_t box) const {
    return weights_->fits() ? to_mpz(weights_->narrow(boxes.low(box), boxes.high(box))) : weights_->wide(boxes.low(box), boxes.high(box));
  }

  unsigned unusual(const Boxes& boxes, std::size_t box) const {
    unsigned count = 0;
    for (std::size_t c = 0; c < boxes.columns(); ++c) {
      const Index usual = study_.universe.variables[c].usual;
      count += usual < boxes.low(box)[c] || usual > boxes.high(box)[c];
    }
    return count;
  }

  // Where the box begins and ends among numbers.
  void add_thresholds(const Boxes& boxes, std::size_t box, std::vector<Threshold>& out) const {
    for (std::size_t c = 0; c < boxes.columns(); ++c) {
      const Dimension& column = study_.universe.variables[c].dimensions[0];
      const auto before = [&](const Extent& extent) {
        if (extent.kind == Extent::Kind::numbers) out.push_back({column.index, *extent.numbers.low, !extent.numbers.low_in});
      };
      before(column.extents[boxes.low(box)[c]]);
      if (const Coordinate next = boxes.high(box)[c] + 1; next < column.extents.size()) before(column.extents[next]);
    }
  }

  // The box as a condition of another study that looks at the same findings, cut at its thresholds.
  Form form_of(const Boxes& boxes, std::size_t box, Study& other) const {
    std::vector<Form> all;
    for (std::size_t c = 0; c < boxes.columns(); ++c) {
      const Dimension& column = study_.universe.variables[c].dimensions[0];
      const Extent &first = column.extents[boxes.low(box)[c]], &last = column.extents[boxes.high(box)[c]];
      const Index variable = other.universe.of_finding[column.index];
      const std::vector<Extent>& extents = other.universe.variables[variable].dimensions[0].extents;
      Interval run;
      if (first.kind == Extent::Kind::numbers) run.low = first.numbers.low, run.low_in = first.numbers.low_in;
      if (last.kind == Extent::Kind::numbers) run.high = last.numbers.high, run.high_in = last.numbers.high_in;
      std::vector<bool> cells;
      for (const Extent& extent : extents) switch (extent.kind) {
        case Extent::Kind::word: cells.push_back(first.word <= extent.word && extent.word <= last.word); break;
        case Extent::Kind::numbers: cells.push_back(first.kind == Extent::Kind::numbers && run.contains(extent.sample)); break;
        case Extent::Kind::never: cells.push_back(last.kind == Extent::Kind::never); break;
      }
      all.push_back(other.meaning.conditions().literal(variable, cells));
    }
    return other.meaning.conditions().all(std::move(all));
  }

  // In words the weightiest boxes of the region, and that of the most usual persons, who are the witness.
  void show(Problem& p, const Boxes& region, const Share& share) {
    spend(region.size() * region.columns());
    std::vector<std::tuple<mpz_class, std::size_t>> heaviest;
    std::size_t nearest = 0;
    for (std::size_t box = 0; box < region.size(); ++box) {
      heaviest.emplace_back(-weight(region, box), box);
      if (unusual(region, box) < unusual(region, nearest)) nearest = box;
    }
    const std::size_t count = std::min(heaviest.size(), shown_boxes);
    std::partial_sort(heaviest.begin(), heaviest.begin() + static_cast<std::ptrdiff_t>(count), heaviest.end());
    std::set<std::size_t> chosen{nearest};
    for (std::size_t i = 0; i < count; ++i) chosen.insert(std::get<1>(heaviest[i]));
    // Without the thresholds of the other sentences, whose number alone would make each step dear.
    std::vector<Threshold> further;
    for (std::size_t box : chosen) add_thresholds(region, box, further);
    Scope scope = study_.scope;
    scope.sentences.erase_if([&](Index s) { return study_.ruleset.sentences[s].choice == index_; });
    Study shown(study_.common, std::move(scope), study_.account(), further);
    std::vector<Form> forms;
    for (std::size_t box : chosen) forms.push_back(form_of(region, box, shown));
    Space space(shown.meaning, shown.people, forms, study_.limit());
    const Graph::Node whole = space.looked_at({}), found = space.graph().both(space.of(shown.meaning.conditions().any(forms)), whole);
    shown.show(p, space, found, whole, {});
    p.share = share;
    const std::string more = "further persons besides";
    if (chosen.size() < region.size() && (p.region.empty() || p.region.back() != more)) p.region.push_back(more);
  }

  Study& study_;
  Index index_;
  const Choice& choice_;
  Boxing boxing_;
  Boxes taken_;
  Boxes impossible_, excluded_, passed_over_;  // by the background; or by `Applies to`; or by a red flag
  std::vector<Row> rows_;                      // of taken_
  std::optional<Index> otherwise_;
  std::optional<Boxes> needless_;
  std::optional<Weights> weights_;
  std::vector<std::vector<Index>> partners_;   // of each row, those that meet it
  std::uint64_t left_, uncharged_ = 0;         // steps over boxes
};

}  // namespace

bool check_choice_as_table(Study& study, Index choice, SentenceFacts& facts) {
  ChoiceTable table(study, choice);
  if (!table.read()) return false;
  table.look(facts);
  return true;
}

}  // namespace betony
