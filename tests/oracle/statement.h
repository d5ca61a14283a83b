// tests/oracle/statement.h: what a ruleset says, as a neutral statement that every oracle can be given.
//
// Variables are words (of some number of values) or numbers (a range, in steps or not, perhaps `never`). Formulas
// are nodes of one list, the same formula once; a formula is named by its place in it. Atoms: a variable has
// one of these words; a number is under (or at most) a bound; a number is never; points of those that hold
// sum up to under (or at most) a bound; a measure is under (or at most) a bound. Bounds are as written: nothing is cut.
//
//   meaning.h   makes one from a model          oracle.h   CaDiCaL, Z3, BuDDy and clasp, asked about formulas
//   question.h  what is asked of a ruleset      finite.h   sums and measures told by plain atoms, for those that know no sums
#pragma once

#include <gmpxx.h>

#include <cstdint>
#include <map>
#include <string>
#include <vector>

#include "tests/property/model.h"

namespace betony::oracle {

using referee::Arithmetic;
using referee::Fraction;
using referee::inputs;
using referee::value;
using Formula = int;

struct Variable {
  std::string name;
  bool is_number = false;
  int words = 2;                         // values of a variable that is no number; 2: no, yes
  Fraction low, high, step;              // numbers; step 0: every number between
  bool or_never = false;
};

struct Node {
  enum class Kind { no, yes, word, number, never, sum, measure, negation, all, any };
  Kind kind = Kind::no;
  int variable = -1;                     // word, number, never
  std::uint64_t words = 0;               // word: one bit a value
  int measure = -1;                      // into Statement::measures
  bool inclusive = false;                // number, sum, measure: at most, not under
  Fraction bound;
  std::vector<Formula> parts;            // negation, all, any, sum; always earlier nodes
  std::vector<Fraction> points;          // sum: of each part
};

class Statement {
 public:
  std::vector<Variable> variables;
  // Arithmetic over variables (`index` of an input is a variable), which are numbers and cannot be never.
  std::vector<Arithmetic> measures;

  const std::vector<Node>& nodes() const { return nodes_; }
  const Node& node(Formula f) const { return nodes_[static_cast<std::size_t>(f)]; }

  Formula constant(bool value);
  Formula word(int variable, std::uint64_t words);
  Formula number(int variable, bool inclusive, Fraction bound);    // false where never
  Formula never(int variable);
  Formula measure(int measure, bool inclusive, Fraction bound);
  Formula sum(std::vector<Formula> parts, std::vector<Fraction> points, bool inclusive, Fraction bound);
  Formula no(Formula part);
  Formula all(std::vector<Formula> parts);
  Formula any(std::vector<Formula> parts);

  // Steps of a stepped number from its low end to its high end: one less than its values.
  static long steps(const Variable& v);

 private:
  Formula list(Node::Kind kind, std::vector<Formula> parts);
  Formula put(Node node);
  std::vector<Node> nodes_;
  std::map<std::string, Formula> known_;
};

// One complete profile: a word or a number for each variable.
struct Point {
  std::vector<int> words;
  std::vector<Fraction> numbers;
  std::vector<char> never;
};

// The plain meaning of a formula, on one profile. `memo` may be kept between formulas for one point; clear it for another.
bool holds(const Statement& statement, Formula formula, const Point& point, std::vector<signed char>& memo);

}  // namespace betony::oracle
