// tests/oracle/oracle.h: general solvers, each asked in its own way whether somebody fits a formula.
//
//   CaDiCaL  clauses: a literal a node, a literal a bound of a number, ordered
//   BuDDy    decision diagrams over the cells between bounds, in binary; counts exactly, by weights
//   Z3       SMT-LIB text: numbers as numbers, bounds and arithmetic as written, nothing cut
//   clasp    rules for gringo: numbers step by step, sums as its own sums; one run answers for many rulesets
//   grid     no solver: every combination of all values, where all numbers go in steps
//
// None shares code with grammar/ or compiler/. Each answers for every formula it is given: true where somebody fits it.
#pragma once

#include <memory>
#include <optional>
#include <set>

#include "tests/oracle/statement.h"

namespace betony::oracle {

// Formulas may hold sums, and measures where can_be_finite() (finite.h); both add to `statement` what they need.
std::vector<bool> ask_cadical(Statement& statement, const std::vector<Formula>& formulas);

class Buddy {
 public:
  Buddy(Statement& statement, const std::vector<Formula>& formulas);
  ~Buddy();
  bool satisfiable(std::size_t formula) const;
  // The part of all profiles that fits: words and steps alike likely, lengths of numbers without steps, `never` half of its number.
  Fraction weight(std::size_t formula) const;
  std::set<int> depends(std::size_t formula) const;  // the variables that make a difference to it somewhere

 private:
  struct Inner;
  std::unique_ptr<Inner> inner_;
};

// Nothing: Z3 does not know. `trouble` gets what it complained of, if it did.
struct Z3Answers {
  std::vector<std::optional<bool>> fits;
  std::string trouble;
};
Z3Answers ask_z3(const Statement& statement, const std::vector<Formula>& formulas);

struct Asked {
  Statement* statement;
  std::vector<Formula> formulas;
};
// By what was asked, in order. An empty result: the programs could not be run, or did not come to an end.
std::vector<std::vector<bool>> ask_clasp(const std::vector<Asked>& asked);

// Nothing: a number without steps, or more than `most` profiles.
std::optional<std::vector<bool>> ask_grid(const Statement& statement, const std::vector<Formula>& formulas, double most);

// Helper of those that know nothing of numbers: the last step (from 0) that is under the bound, or at most it; -1: none is.
long last_step(const Variable& v, bool inclusive, const Fraction& bound);

}  // namespace betony::oracle
