// Claims that tell a trend, on every pair of profiles that differ in the one answer.
#include <algorithm>

#include "tests/property/doses.h"
#include "tests/property/reading.h"

namespace betony::referee {
namespace {

// The least first; of outside nothing is said.
int rank(Verdict verdict) {
  switch (verdict) {
    case Verdict::referred: return 0;
    case Verdict::withheld: return 1;
    case Verdict::discouraged: return 2;
    case Verdict::silent: return 3;
    case Verdict::allowed: return 4;
    default: return 5;
  }
}

// Whether the second answer is more than the first, or less if the trend says so.
bool further(const Trend& trend, bool is_number, const Cell& first, const Cell& second) {
  if (first.never || second.never) return false;
  const Cell &least = trend.change == Trend::Change::less ? second : first, &most = trend.change == Trend::Change::less ? first : second;
  return is_number ? most.number > least.number : most.word > least.word;
}

bool is_up(const Trend& trend) { return trend.verb == Trend::Verb::raises || trend.verb == Trend::Verb::lengthens; }

constexpr int minutes = 0;  // the kind of amounts that are times

bool compared(const Trend& trend, int part) {
  if (trend.verb == Trend::Verb::lengthens || trend.verb == Trend::Verb::shortens) return part == minutes || part == part_length;
  return part < dose_kinds;
}

bool clashes(const Range& range) { return range.low && range.high && *range.low > *range.high; }

bool greater_end(const std::optional<Fraction>& than, const std::optional<Fraction>& end) { return than && (!end || *end > *than); }

bool greater(const Range& than, const Range& range) {
  return range.low.value_or(0) > than.low.value_or(0) || greater_end(than.high, range.high);
}

bool dose_moves(const Trend& trend, const Settled& first, const Settled& second) {
  for (const auto& [part, range] : first.parts) {
    const auto other = second.parts.find(part);
    if (!compared(trend, part) || other == second.parts.end() || clashes(range) || clashes(other->second)) continue;
    const bool amount = part < dose_kinds;
    const Range one = scaled(range, amount ? first.factor.value_or(1) : Fraction(1));
    const Range two = scaled(other->second, amount ? second.factor.value_or(1) : Fraction(1));
    if (is_up(trend) ? greater(one, two) : greater(two, one)) return true;
  }
  return false;
}

}  // namespace

std::vector<Expected> Reading::trends(int index) const {
  const Claim& claim = model_.claims[index];
  const Trend& trend = *claim.trend;
  const int variable = universe_.variable(trend.of.finding, trend.of.item);
  const Variable& asked = universe_.variables()[static_cast<std::size_t>(variable)];
  Region people(universe_.size(), 0);
  for (std::size_t p = 0; p < universe_.size(); ++p) people[p] = judge_.applies()[p] && judge_.holds(claim.when, p, table_);
  std::vector<Expected> found;
  for (int practice = 0; practice < static_cast<int>(model_.practices.size()); ++practice) {
    const bool named = trend.practices.empty() || std::count(trend.practices.begin(), trend.practices.end(), practice) > 0;
    if (model_.practices[practice].gone || !named) continue;
    std::vector<Settled> doses;
    for (std::size_t p = 0; trend.dose && p < universe_.size(); ++p) doses.push_back(settled(model_, judge_, table_, practice, p));
    const auto moves = [&](std::size_t first, std::size_t second) {
      const bool taken = takes_it(table_, practice, first) && takes_it(table_, practice, second);
      if (trend.dose) return taken && dose_moves(trend, doses[first], doses[second]);
      const int one = rank(table_.outcomes[practice][first].verdict), two = rank(table_.outcomes[practice][second].verdict);
      return is_up(trend) ? two > one : two < one;
    };
    Expected e = problem("claim-refuted", "", Weight::error);
    e.practice = model_.practices[practice].name;
    e.sentences.insert({Spot::What::claim, index});
    e.region.assign(universe_.size(), 0);
    for (std::size_t p = 0; p < universe_.size(); ++p) {
      if (!people[p]) continue;
      for (int cell = 0; cell < static_cast<int>(asked.cells.size()) && !e.region[p]; ++cell) {
        if (!further(trend, asked.is_number, universe_.cell(p, variable), asked.cells[static_cast<std::size_t>(cell)])) continue;
        const std::size_t other = universe_.with(p, variable, cell);
        e.region[p] = people[other] && moves(p, other);
      }
    }
    if (!any(e.region)) continue;
    const Fraction all = universe_.weight(judge_.applies());
    e.has_share = all != 0;
    if (e.has_share) e.share = universe_.weight(e.region) / all;
    found.push_back(std::move(e));
  }
  return found;
}

}  // namespace betony::referee
