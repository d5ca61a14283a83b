#include "compiler/view/dose_view.h"

#include <algorithm>
#include <cmath>
#include <set>

#include "compiler/verdict_graph.h"

namespace betony::view {
namespace {

using Node = Graph::Node;
using Outcome = DoseView::Outcome;
using Panel = DoseView::Panel;

Interval hull(const Interval& a, const Interval& b) {
  Interval out;
  if (a.low && b.low) out.low = std::min(*a.low, *b.low);
  if (a.high && b.high) out.high = std::max(*a.high, *b.high);
  return out;
}

// One part of the dose: who says what of it, as a graph whose leaves are outcomes.
class PanelMaker {
 public:
  PanelMaker(PracticeSpace& here, const DosePart& part, const std::vector<Index>& factors)
      : here_(here), part_(part), factors_(part.what == Dose::Part::amount ? factors : std::vector<Index>()) {
    if (part_.conditional.size() + factors_.size() > most_sentences)
      throw NothingToDraw("more than " + std::to_string(most_sentences) + " sentences with a condition speak of one part of the dose of " +
                         here.ruleset.practices[here.practice].name);
    Graph& graph = here_.space.graph();
    std::vector<Node> bits;
    std::int64_t bit = 1;
    for (const auto* sentences : {&part_.conditional, &factors_})
      for (const Index s : *sentences) {
        bits.push_back(graph.map(here_.space.of(here_.meaning.fires(s, here_.reading)), [bit](std::int64_t speaks) { return speaks ? bit : 0; }));
        bit *= 2;
      }
    said_ = graph.map(graph.sum(bits), [this](std::int64_t speaking) { return number_of(outcome(speaking)); });
  }

  Node said() const { return said_; }

  std::vector<Outcome> among(const Axis& axis, std::size_t part, Node taken_by) {
    Graph& graph = here_.space.graph();
    std::vector<Outcome> out;
    double total = 0;
    for (std::size_t n = 0; n < outcomes_.size(); ++n) {
      const Node who = graph.both(graph.where(said_, [n](std::int64_t number) { return number == static_cast<std::int64_t>(n); }), taken_by);
      const Node there = who == Graph::no ? who : seen_at(here_, axis, part, who);
      if (there == Graph::no) continue;
      const double share = here_.share(there);
      total += share;
      auto at = std::find_if(out.begin(), out.end(), [&](const Outcome& o) { return same_outcome(o, outcomes_[n]); });
      if (at == out.end()) {
        out.push_back(outcomes_[n]);
        out.back().share = share;
        continue;
      }
      at->share += share;
      std::set<Index> from(at->from.begin(), at->from.end());
      from.insert(outcomes_[n].from.begin(), outcomes_[n].from.end());
      at->from.assign(from.begin(), from.end());
    }
    for (Outcome& outcome : out) outcome.share = total > 0 ? outcome.share / total : 1.0 / static_cast<double>(out.size());
    std::stable_sort(out.begin(), out.end(), [](const Outcome& a, const Outcome& b) { return a.share > b.share + 1e-12; });
    return out;
  }

 private:
  static constexpr std::size_t most_sentences = 60;  // a bit each

  Outcome outcome(std::int64_t speaking) const {
    Outcome out;
    std::vector<Index> heard, multiplying;
    std::int64_t bit = 1;
    for (const Index s : part_.conditional) {
      if (speaking & bit) heard.push_back(s);
      bit *= 2;
    }
    for (const Index s : factors_) {
      if (speaking & bit) multiplying.push_back(s);
      bit *= 2;
    }
    if (heard.empty()) heard = part_.plain;
    out.is_said = !heard.empty();
    if (!out.is_said) return out;
    Interval over_all = betony::said(here_.ruleset, heard[0], part_.what);
    for (const Index s : heard) {
      out.interval = common(out.interval, betony::said(here_.ruleset, s, part_.what));
      over_all = hull(over_all, betony::said(here_.ruleset, s, part_.what));
    }
    out.clash = empty(out.interval);
    if (out.clash) out.interval = over_all;
    const auto factor = [&](Index s) { return *here_.ruleset.doses[here_.ruleset.sentences[s].dose].factor; };
    if (!multiplying.empty()) {
      Rational least = factor(multiplying[0]);
      for (const Index s : multiplying) least = std::min(least, factor(s));
      for (auto* end : {&out.interval.low, &out.interval.high})
        if (*end) **end *= least;
      for (const Index s : multiplying)
        if (factor(s) == least) heard.push_back(s);
    }
    std::sort(heard.begin(), heard.end());
    out.from = std::move(heard);
    return out;
  }

  std::int64_t number_of(const Outcome& outcome) {
    const auto at = std::find_if(outcomes_.begin(), outcomes_.end(), [&](const Outcome& o) { return same_outcome(o, outcome) && o.from == outcome.from; });
    if (at != outcomes_.end()) return at - outcomes_.begin();
    outcomes_.push_back(outcome);
    return static_cast<std::int64_t>(outcomes_.size()) - 1;
  }

  PracticeSpace& here_;
  const DosePart& part_;
  const std::vector<Index> factors_;
  std::vector<Outcome> outcomes_;
  Node said_ = Graph::no;
};

// Neighbours among the numbers of which all panels say the same.
std::vector<bool> alike_parts(const DoseView& view) {
  std::vector<bool> out;
  for (std::size_t p = 1; p < view.across.parts.size(); ++p)
    out.push_back(view.across.is_numbers(p) && std::all_of(view.panels.begin(), view.panels.end(), [&](const Panel& panel) {
                    const auto &a = panel.outcomes[p - 1], &b = panel.outcomes[p];
                    return alike(a, b, 1e-9);
                  }));
  return out;
}

}  // namespace

bool same_outcome(const Outcome& a, const Outcome& b) { return a.is_said == b.is_said && a.clash == b.clash && same(a.interval, b.interval); }
bool alike(const std::vector<Outcome>& a, const std::vector<Outcome>& b, double most_apart) {
  return std::equal(a.begin(), a.end(), b.begin(), b.end(), [&](const Outcome& x, const Outcome& y) {
    return same_outcome(x, y) && x.from == y.from && std::abs(x.share - y.share) <= most_apart;
  });
}

std::string Panel::words(const Interval& interval) const {
  if (!interval.low && !interval.high) return "any amount";
  return part_words(what, interval, unit, unit_text);
}

std::string Panel::title() const {
  if (what == Dose::Part::amount) return unit_text.empty() ? "how much" : "how much, in " + unit_text;
  return what == Dose::Part::often ? "how often" : "for how long";
}

DoseView dose_view(const Ruleset& ruleset, Index practice, Reading reading, AxisName across, const Profile* held, const Budget& budget) {
  PracticeSpace here(ruleset, practice, reading, budget);
  Graph& graph = here.space.graph();
  DoseView out;
  out.practice = ruleset.practices[practice].name;
  if (reading.school != no_index) out.school = ruleset.schools[reading.school].name;
  out.shares_known = !here.space.has_undecided_measure();
  const DoseSentences sentences = dose_sentences(ruleset, practice, reading);
  if (sentences.parts.empty()) throw NothingToDraw("no sentence says how much or how often of " + out.practice);
  out.across = drawn_axis(here, across);

  const Node verdict = verdict_graph(here.space, practice, reading);
  const Node takes = where_done(graph, verdict);
  std::vector<PanelMaker> makers;
  std::vector<Node> hangs_on{takes};
  for (const DosePart& part : sentences.parts) {
    makers.emplace_back(here, part, sentences.factors);
    hangs_on.push_back(makers.back().said());
    out.panels.push_back({part.what, part.unit, part.unit_text, {}});
  }
  LookedAt seen = looked_at(here, held, {across}, hangs_on);
  const Node among = seen.who;
  out.held = std::move(seen.held), out.open = std::move(seen.open);
  const Node taken_by = graph.both(takes, among);
  if (taken_by == Graph::no) throw NothingToDraw(out.practice + " is advised or allowed for nobody here, so that nobody has a dose of it");
  for (std::size_t m = 0; m < makers.size(); ++m)
    for (std::size_t p = 0; p < out.across.parts.size(); ++p) out.panels[m].outcomes.push_back(makers[m].among(out.across, p, taken_by));

  const std::vector<bool> joined = alike_parts(out);
  for (Panel& panel : out.panels) {
    std::vector<std::vector<Outcome>> kept;
    for (std::size_t p = 0; p < panel.outcomes.size(); ++p)
      if (p == 0 || !joined[p - 1]) kept.push_back(std::move(panel.outcomes[p]));
    panel.outcomes = std::move(kept);
  }
  out.across.join(joined);
  find_limits(here, out.across, among, true);
  return out;
}

}  // namespace betony::view
