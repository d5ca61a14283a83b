// Claims that tell a trend: what never becomes of a practice where one answer of a person is another.
//
// A claim speaks of everybody within `Applies to`, with or without a red flag. It is broken where the first of two
// persons lies in some condition A (say: is told no more than `silent`), the second in another, B (is told more), and
// the second comes out of the first by more of one finding. All else is the same for both, so with the finding's level
// taken apart those first persons are A and "some greater cell has B": one walk over the graph of B, in which every
// cell of the level gets what its greater cells have together. Looking at neighbouring cells alone would not do: those
// between may be impossible, or outside the claim's condition.
//
// Where a measure binds the finding with others its variable's cells are combinations, and which can be reached from
// which is counted point by point (moves.h). A share is then told as "at most": not every person of a cell need have
// such a second one.
//
// Cost      a walk for each verdict, or each end of a dose, that the practice can have.
// Tested by tests/unit/trend_check_test.cpp; tests/property compares it on every pair of profiles, with and without measures.
#include <algorithm>
#include <unordered_map>

#include "compiler/check/checks.h"
#include "compiler/moves.h"
#include "compiler/trend.h"

namespace betony {
namespace {

using Node = Graph::Node;

// ---------------------------------------------------------------- what the second person can have

// The variable of the finding, and what of its cells is more than what.
class Climb {
 public:
  // `down`: less of the finding.
  Climb(Space& space, const Ruleset& ruleset, Index finding, bool down)
      : graph_(space.graph()), variable_(space.universe().variables[space.universe().of_finding[finding]]), down_(down) {
    const auto& order = space.order();
    level_ = static_cast<std::uint32_t>(std::find(order.begin(), order.end(), space.universe().of_finding[finding]) - order.begin());
    if (variable_.dimensions.size() > 1) moves_ = moves_of(ruleset, variable_, finding, graph_);
    is_known_ = variable_.dimensions.size() == 1 || moves_;
    if (moves_)
      for (const auto& [pair, shown] : moves_->pairs) {
        const auto [low, high] = pair;
        down ? reached_[high].push_back(low) : reached_[low].push_back(high);
      }
  }

  bool is_known() const { return is_known_; }
  bool is_bound() const { return variable_.dimensions.size() > 1; }
  const Variable& variable() const { return variable_; }
  std::uint32_t level() const { return level_; }
  const std::optional<Moves>& moves() const { return moves_; }

  // Of which persons some second one lies in `there`.
  Node from(Node there) {
    done_.clear();
    return walk(there);
  }

 private:
  Node walk(Node node) {
    if (node == Graph::no) return node;
    if (const auto known = done_.find(node); known != done_.end()) return known->second;
    const bool asks = !graph_.is_leaf(node) && graph_.level(node) <= level_;
    const std::size_t width = graph_.widths()[asks ? graph_.level(node) : level_];
    graph_.spend(width);
    std::vector<Node> below(width, node);
    if (asks) below.assign(graph_.children(node).begin(), graph_.children(node).end());
    if (!asks || graph_.level(node) == level_) gather(below);
    else
      for (Node& child : below) child = walk(child);
    return done_[node] = graph_.make(asks ? graph_.level(node) : level_, below);
  }

  // Every cell gets what the cells that can be reached from it have together.
  void gather(std::vector<Node>& cells) {
    if (moves_) return gather_reached(cells);
    Node so_far = Graph::no;
    for (std::size_t i = 0; i < cells.size(); ++i) {
      const std::size_t c = down_ ? i : cells.size() - 1 - i;
      const bool never = variable_.dimensions[0].extents[variable_.cells[c].at[0]].kind == Extent::Kind::never;
      const Node own = cells[c];
      cells[c] = never ? Graph::no : so_far;
      if (!never) so_far = graph_.either(so_far, own);
    }
  }
  void gather_reached(std::vector<Node>& cells) {
    std::vector<Node> gathered(cells.size(), Graph::no);
    for (const auto& [cell, others] : reached_) {
      graph_.spend(others.size());
      std::vector<Node> any;
      for (Index other : others) any.push_back(cells[other]);
      std::sort(any.begin(), any.end());
      any.erase(std::unique(any.begin(), any.end()), any.end());
      gathered[cell] = graph_.any(std::move(any));
    }
    cells = std::move(gathered);
  }

  Graph& graph_;
  const Variable& variable_;
  const bool down_;
  std::uint32_t level_ = 0;
  bool is_known_ = true;
  std::optional<Moves> moves_;
  std::map<Index, std::vector<Index>> reached_;
  std::unordered_map<Node, Node> done_;
};

// ---------------------------------------------------------------- what is compared

// Ends of intervals, in ascending order; no end is past all others.
using End = std::optional<Rational>;
bool before(const End& a, const End& b) { return a && (!b || *a < *b); }
End times(const End& end, const Rational& factor) { return end ? End(*end * factor) : End(); }
End divided(const End& end, const Rational& factor) { return end ? End(*end / factor) : End(); }

class TrendStudy {
 public:
  TrendStudy(Study& study, Space& space, const Claim& claim, Index practice, Reading reading)
      : study_(study), ruleset_(study.ruleset), space_(space), graph_(space.graph()), claim_(claim), trend_(*claim.trend), practice_(practice),
        reading_(reading), voices_(voices(space, practice, reading)) {
    people_ = graph_.both(space_.applies(), space_.of(study.meaning.condition(claim.when, reading)));
    unflagged_ = graph_.both(people_, space_.looked_at(reading));
  }

  // Calls broken(first, second) for conditions of two persons of whom the claim does not hold; together these are all.
  template <class Broken>
  void each(const Broken& broken) {
    trend_.of == Trend::Of::verdict ? verdicts(broken) : doses(broken);
  }

 private:
  // Two persons of `here` of whom the one has what the other has not.
  template <class Broken>
  void part(Node here, Node high, const Broken& broken) {
    const Node above = graph_.both(here, high), below = graph_.without(here, high);
    if (above == Graph::no || below == Graph::no) return;
    trend_.raised ? broken(below, above) : broken(above, below);
  }

  template <class Broken>
  void verdicts(const Broken& broken) {
    Node last = Graph::no;
    for (int rank = 1; rank <= 5; ++rank) {
      const Node high = graph_.where(voices_.all, [&](std::int64_t n) { return trend_rank(VerdictCode::of(n).verdict) >= rank; });
      const Node reached = graph_.both(unflagged_, high);
      if (rank > 1 && reached == last) continue;
      last = reached;
      part(people_, reached, broken);
    }
  }

  // ------------------------------------------------ doses

  Node fires(Index sentence) { return space_.of(study_.meaning.fires(sentence, reading_)); }

  Node any_of(const std::vector<Index>& sentences) {
    std::vector<Node> any;
    graph_.spend(sentences.size());
    for (Index s : sentences) any.push_back(fires(s));
    return graph_.any(std::move(any));
  }

  // Who hears an end of this kind: a condition's sentence that says so, or where none speaks one without condition.
  template <class Says>
  Node heard(const DosePart& part, const Says& says) {
    const auto of = [&](const std::vector<Index>& all) {
      std::vector<Index> some;
      for (Index s : all)
        if (says(said(ruleset_, s, part.what))) some.push_back(s);
      return some;
    };
    Node node = any_of(of(part.conditional));
    if (!of(part.plain).empty()) node = graph_.either(node, graph_.without(Graph::yes, any_of(part.conditional)));
    return node;
  }
  // Whose least is at least `end`; whose most is under it.
  Node begins_from(const DosePart& part, const Rational& end) {
    if (end <= 0) return Graph::yes;
    return heard(part, [&](const Interval& i) { return i.low && *i.low >= end; });
  }
  Node ends_before(const DosePart& part, const End& end) {
    return heard(part, [&](const Interval& i) { return before(i.high, end); });
  }

  struct Ends {
    std::vector<Rational> low;
    std::vector<End> high;
  };
  Ends ends(const DosePart& part) const {
    Ends all{{Rational(0)}, {}};
    for (const auto* list : {&part.conditional, &part.plain})
      for (Index s : *list) {
        const Interval& interval = said(ruleset_, s, part.what);
        if (interval.low) all.low.push_back(*interval.low);
        all.high.push_back(interval.high);
      }
    std::sort(all.low.begin(), all.low.end());
    all.low.erase(std::unique(all.low.begin(), all.low.end()), all.low.end());
    std::sort(all.high.begin(), all.high.end(), before);
    all.high.erase(std::unique(all.high.begin(), all.high.end()), all.high.end());
    return all;
  }

  // Those who take the practice and have this part of a dose, which does not clash.
  Node who_have(const DosePart& part, const Ends& all) {
    const Node taken = graph_.both(unflagged_, where_done(graph_, voices_.all));
    Node have = part.plain.empty() ? graph_.both(taken, any_of(part.conditional)) : taken;
    for (const Rational& low : all.low) have = graph_.without(have, graph_.both(begins_from(part, low), ends_before(part, low)));
    return have;
  }

  // The factors that may multiply an amount, each with those whom it is for.
  std::vector<std::pair<Rational, Node>> factors(const std::vector<Index>& sentences) {
    std::map<Rational, std::vector<Index>> by_factor;
    for (Index s : sentences) by_factor[*ruleset_.doses[ruleset_.sentences[s].dose].factor].push_back(s);
    std::vector<std::pair<Rational, Node>> all;
    Node left = Graph::yes;
    for (const auto& [factor, which] : by_factor) {  // the least that fires
      const Node here = any_of(which);
      all.emplace_back(factor, graph_.both(left, here));
      left = graph_.without(left, here);
    }
    all.emplace_back(1, left);
    return all;
  }

  template <class Broken>
  void doses(const Broken& broken) {
    const DoseSentences all = dose_sentences(ruleset_, practice_, reading_);
    for (const DosePart& dose : all.parts) {
      if (!compares(trend_, dose.what, dose.unit)) continue;
      const auto multiplied = factors(dose.what == Dose::Part::amount ? all.factors : std::vector<Index>());
      const Ends all_ends = ends(dose);
      const Node have = who_have(dose, all_ends);
      if (have == Graph::no) continue;
      std::vector<Rational> lows;
      std::vector<End> highs;
      for (const auto& [factor, whom] : multiplied) {
        for (const Rational& low : all_ends.low) lows.push_back(low * factor);
        for (const End& high : all_ends.high) highs.push_back(times(high, factor));
      }
      std::sort(lows.begin(), lows.end());
      lows.erase(std::unique(lows.begin(), lows.end()), lows.end());
      std::sort(highs.begin(), highs.end(), before);
      highs.erase(std::unique(highs.begin(), highs.end()), highs.end());
      for (const Rational& low : lows)
        part(have, of_factors(multiplied, [&](const Rational& factor) { return begins_from(dose, low / factor); }), broken);
      for (const End& high : highs)
        part(have, graph_.negation(of_factors(multiplied, [&](const Rational& factor) { return ends_before(dose, divided(high, factor)); })), broken);
    }
  }
  template <class Whom>
  Node of_factors(const std::vector<std::pair<Rational, Node>>& multiplied, const Whom& whom) {
    std::vector<Node> any;
    for (const auto& [factor, here] : multiplied) any.push_back(graph_.both(here, whom(factor)));
    return graph_.any(std::move(any));
  }

  Study& study_;
  const Ruleset& ruleset_;
  Space& space_;
  Graph& graph_;
  const Claim& claim_;
  const Trend& trend_;
  const Index practice_;
  const Reading reading_;
  const Voices voices_;
  Node people_ = Graph::no, unflagged_ = Graph::no;
};

// ---------------------------------------------------------------- two persons who show it

struct Shown {
  Profile first, second;
  BrokenTrend broken;
};

// The value of an extent that lies nearest to those before it, or behind it.
Value nearest_of(const Extent& extent, bool from_below) {
  Value value = value_of(extent);
  if (extent.kind != Extent::Kind::numbers) return value;
  if (from_below && extent.numbers.low_in) value.number = *extent.numbers.low;
  if (!from_below && extent.numbers.high_in) value.number = *extent.numbers.high;
  return value;
}

// What the second person may have in place of the first one's answer, the nearest first. Within one extent nothing changes.
std::vector<Value> other_values(const Variable& variable, const Trend& trend, const Value& now) {
  std::vector<Value> values;
  for (const Extent& extent : variable.dimensions[0].extents)
    if (changes_so(trend, now, value_of(extent))) values.push_back(nearest_of(extent, trend.change != Trend::Change::less));
  if (trend.change == Trend::Change::less) std::reverse(values.begin(), values.end());
  return values;
}

std::optional<Shown> second_of(Study& study, const Claim& claim, Index practice, const Climb& climb, const Profile& first, Reading reading) {
  const Trend& trend = *claim.trend;
  const auto shown = [&](Profile one, Value value) -> std::optional<Shown> {
    Profile other = one;
    other[trend.finding] = std::move(value);
    study.spend(100 * (study.scope.sentences.size() + study.ruleset.findings.size()));
    auto broken = broken_trend(study.ruleset, claim, practice, one, other, reading);
    if (!broken) return std::nullopt;
    return Shown{std::move(one), std::move(other), std::move(*broken)};
  };
  if (!climb.is_bound()) {
    for (Value& value : other_values(climb.variable(), trend, *first[trend.finding]))
      if (auto found = shown(first, std::move(value))) return found;
    return std::nullopt;
  }
  const bool down = trend.change == Trend::Change::less;
  for (const auto& [pair, move] : climb.moves()->pairs) {
    Profile low = first;
    std::size_t d = 0;
    for (const Dimension& dimension : climb.variable().dimensions)
      if (!dimension.is_measure) low[dimension.index] = move.first[d++];
    Value other = move.second;
    if (down) std::swap(*low[trend.finding], other);
    if (auto found = shown(std::move(low), std::move(other))) return found;
  }
  return std::nullopt;
}

// ---------------------------------------------------------------- telling

void tell_broken(Study& study, Space& space, const Claim& claim, Index practice, const Climb& climb, Node region, Reading reading) {
  const Trend& trend = *claim.trend;
  Problem p = study.problem("claim-refuted", "", Severity::error);
  p.school = study.school_name(reading);
  p.practice = study.ruleset.practices[practice].name;
  p.sentences.push_back(study.declared(claim.sentence, claim.condition.place));
  study.show(p, space, region, space.applies(), reading);
  p.no_fraction = false;  // without two persons nothing is told
  std::optional<Shown> shown;
  if (p.witness) shown = second_of(study, claim, practice, climb, *p.witness, reading);
  p.witness = shown ? std::make_shared<const Profile>(shown->first) : nullptr;
  p.second = shown ? std::make_shared<const Profile>(shown->second) : nullptr;
  if (climb.is_bound()) p.share.exact = p.share.exact && p.share.high == 0, p.share.low = 0;
  const auto& findings = p.witness_findings;
  if (std::find(findings.begin(), findings.end(), trend.finding) == findings.end()) {
    p.witness_findings.push_back(trend.finding);
    std::sort(p.witness_findings.begin(), p.witness_findings.end());
  }
  p.matter = "a claim does not hold";
  if (shown) {
    study.replay(p, practice, reading);
    std::set<Index> concerned(shown->broken.because.begin(), shown->broken.because.end());
    concerned.insert(shown->broken.second_because.begin(), shown->broken.second_because.end());
    for (Index s : concerned) p.sentences.push_back(study.concerned(s));
    if (trend.of != Trend::Of::verdict) p.replay += ", " + shown->broken.first;
    p.sense = "\"" + claim.title + "\" fails " + (climb.is_bound() ? "for some of those " : "") + where_words(p) + ". " +
              words_of(study.ruleset, trend, practice, shown->first, shown->second, shown->broken) + school_sentence(p.school);
  }
  p.write = {"sentences that tell both persons the same, or a claim that says less: in …, at its end, for whom it is meant"};
  study.tell(std::move(p));
}

// Whether a measure that stands apart from its inputs may go along with the finding, or hangs on what is no finding.
bool rests_on(const Ruleset& ruleset, const Formula& formula, Index finding) {
  if (formula.kind == Formula::Kind::tally) return true;
  if (formula.kind == Formula::Kind::finding && formula.index == finding) return true;
  if (formula.kind == Formula::Kind::measure && rests_on(ruleset, ruleset.measures[formula.index].formula, finding)) return true;
  return std::any_of(formula.parts.begin(), formula.parts.end(), [&](const Formula& part) { return rests_on(ruleset, part, finding); });
}

bool goes_along_unknown(const Ruleset& ruleset, const Space& space, Index finding) {
  return std::any_of(space.order().begin(), space.order().end(), [&](Index v) {
    const Variable& variable = space.universe().variables[v];
    return !variable.exact && variable.cells.size() > 1 && rests_on(ruleset, ruleset.measures[variable.dimensions[0].index].formula, finding);
  });
}

std::vector<Form> asked_by_trend(Study& study, const Claim& claim, Index practice) {
  std::vector<Form> asked = asked_by(study.meaning, practice, study.all_readings);
  for (Reading reading : study.all_readings) {
    asked.push_back(study.meaning.condition(claim.when, reading));
    asked.push_back(study.meaning.refers(reading));
  }
  return asked;
}

}  // namespace

void check_trend(Study& study, Index index, Index practice) {
  const Claim& claim = study.ruleset.claims[index];
  const Trend& trend = *claim.trend;
  const Index variable = study.universe.of_finding[trend.finding];
  if (variable == no_index) return;  // nothing here asks for it
  Space space(study.meaning, study.people, asked_by_trend(study, claim, practice), study.limit());
  if (std::find(space.order().begin(), space.order().end(), variable) == space.order().end()) return;
  const std::string name = "claim " + claim.title;
  if (space.has_undecided_measure()) study.not_settled(name);
  if (goes_along_unknown(study.ruleset, space, trend.finding)) return study.not_settled(name);
  Climb climb(space, study.ruleset, trend.finding, trend.change == Trend::Change::less);
  for (Reading reading : study.all_readings) {
    Node region = Graph::no;
    bool doubtful = false;
    TrendStudy(study, space, claim, practice, reading).each([&](Node first, Node second) {
      if (climb.is_known()) region = space.graph().either(region, space.graph().both(first, climb.from(second)));
      else doubtful = doubtful || space.graph().meet(space.graph().exists(first, climb.level()), space.graph().exists(second, climb.level()));
    });
    if (doubtful) return study.not_settled(name);
    if (region == Graph::no) continue;
    tell_broken(study, space, claim, practice, climb, region, reading);
    if (reading.school == no_index) break;  // told of the whole; the schools need not repeat it
  }
}

}  // namespace betony
