// compiler/measure_solver.h: can these numbers meet? Asked of Z3, and only where nothing cheaper can tell.
//
// A question is: numbers within sides, and formulas over them each within an interval. Everything is exact.
// Z3 decides it for numbers without steps (nonlinear real arithmetic, the nlsat procedure); with steps it may
// have to give up. A question may cost `most_effort` of Z3's own counted resources, not time, so that an
// answer is the same everywhere. What costs more, or has too high a power, is `not_settled`. One solver's
// questions share a context of Z3's: making one costs more than most questions.
//
// Where numbers meet only where they are no fractions (x * x is 2), that is the answer; where they meet on
// open ground, a point is searched that a person would write: inputs are fixed one by one at few digits.
//
// Z3's library is opened when the first question is asked: opening it costs every start of the program more than
// reading a small ruleset does. Where it is missing every question is `not_settled`.
// Source    Jovanović, de Moura, "Solving non-linear arithmetic", IJCAR 2012 (nlsat).
// Tested by tests/unit/measure_solver_test.cpp
#pragma once

#include <memory>

#include "compiler/measure_simplex.h"

namespace betony::cutting {

struct Wanted {
  const Formula* formula;  // plain
  Interval interval;       // a missing end is open
};

class MeasureSolver {
 public:
  static constexpr unsigned most_effort = 100'000;   // of Z3's resource count, a question; where inputs go in steps,
  static constexpr unsigned most_effort_in_steps = 20'000;  // which Z3 seldom decides late
  static constexpr unsigned most_power = 24;         // of a formula once its divisors are multiplied out

  enum class Answer { nobody, found, no_fraction, not_settled };
  struct Result {
    Answer answer = Answer::not_settled;
    std::vector<Rational> numbers;  // found: one for each side
  };
  Result ask(const Sides& sides, const std::vector<Wanted>& wanted);

  std::size_t questions() const { return questions_; }

 private:
  struct Met;
  Met meet(const Sides& sides, const std::vector<Wanted>& wanted);
  bool fix(Sides& sides, const std::vector<Wanted>& wanted, Met met, std::vector<Rational>& numbers);
  std::shared_ptr<void> context_;  // of Z3's; made for the first question
  std::size_t questions_ = 0;
};

}  // namespace betony::cutting
