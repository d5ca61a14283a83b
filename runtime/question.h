// runtime/question.h: what to ask a person next.
//
// Questions that can decide whether a red flag fires come first, until that is settled; then those that settle the practices'
// verdicts; last those on which only doses, materials or cautions of what may be done depend. Among the first two kinds
// the next is the one after which the fewest further questions are expected, every answer weighted by its share;
// of several alike the one that may still lead to `withheld`, then the one declared first. Nothing is asked that no
// longer matters, and nothing of a person who is referred.
//
// How many are to be expected is exact where at most ten findings with few answers are left, for not very many practices (every order of
// asking is gone through); else the question is taken that leaves the verdicts least mixed (the expected sum of their Gini impurities).
//
// Cost      O(nodes of the graphs that are open), and where every order is gone through up to some ten milliseconds.
// Source    impurity: Breiman, Friedman, Olshen, Stone, Classification and Regression Trees, 1984; orders of asking by dynamic
//           programming over what is known: Garey, SIAM J. Applied Mathematics 23(2), 1972.
// Tested by tests/property/interview_test.cpp, tests/property/teaching_interview_test.cpp, tests/unit/asking_test.cpp
#pragma once

#include "runtime/reach.h"

namespace betony::runtime {

struct NextQuestion {
  enum class For : std::uint8_t { red_flags, verdicts, details };
  Index finding = 0;
  For what = For::verdicts;
  std::vector<Index> practices;      // whose verdict, or whose details, its answer may settle; ascending
  std::optional<double> further;     // questions still to be expected, this one among them, where that was worked out
};

// Nothing where nothing is left to ask. `answers` are possible values; `reading` is one of the pack's; `not_known` are findings
// that are not to be asked for, since the person does not know (ascending).
std::optional<NextQuestion> next_question(const Pack& pack, const Answers& answers, Index reading = 0, const std::vector<Index>& not_known = {});

// The sentences that it is not yet known whether they fire, and that may depend on the finding; ascending.
std::vector<Index> sentences_open_to(const Pack& pack, const Answers& answers, Index reading, Index finding);

// The part of a finding's values that each cell of its variable holds: words alike, numbers by their count or length, `never` half.
std::vector<double> shares_of(const Pack& pack, const Variable& variable);

}  // namespace betony::runtime
