// compiler/trend.h: what a trend claims of two persons, word for word as LANGUAGE.md tells it ("Trends"). Slow and
// plain, as evaluate.h is: what the checks find is replayed with it.
// Tested by tests/unit/trend_check_test.cpp
#pragma once

#include "compiler/dose.h"
#include "compiler/evaluate.h"

namespace betony {

// The place of a verdict among those that a trend compares, the least first: referred is 0, advised 5. Of outside and
// unanswered it says nothing: -1.
int trend_rank(tree::Verdict verdict);

// Whether a second answer differs from a first as the trend's finding does: more, less, or yes in place of no.
bool changes_so(const Trend& trend, const Value& first, const Value& second);

// The parts of a dose that the trend compares: amounts in each dimension; of a length how long, and amounts of time.
bool compares(const Trend& trend, Dose::Part part, const Unit& unit);

// What a dose part's ends are where one is missing: it begins at 0, and nothing is greater than no end.
struct DoseEnds {
  Rational low;
  std::optional<Rational> high;
};
DoseEnds ends_of(const Interval& interval);

struct BrokenTrend {
  std::string first, second;                 // "withheld", "5 to 10 min", "for 5 d"
  tree::Verdict verdict = tree::Verdict::silent, second_verdict = tree::Verdict::silent;
  std::vector<Index> because, second_because;  // the sentences that make these, ascending
};
// What of the claim, which has a trend, does not hold of a practice and two complete profiles that are alike in all but
// the trend's finding; nothing where it holds, or does not speak of the two: one is impossible, outside or not as the claim's
// condition says, they do not differ so, or one has no such dose.
// Throws std::invalid_argument where a profile is not complete. Cost O(size of the ruleset).
std::optional<BrokenTrend> broken_trend(const Ruleset&, const Claim&, Index practice, const Profile& first, const Profile& second, Reading = {});

// "With age 31 years in place of 30 years, cold plunge is allowed, where it was discouraged."
std::string words_of(const Ruleset&, const Trend&, Index practice, const Profile& first, const Profile& second, const BrokenTrend&);

}  // namespace betony
