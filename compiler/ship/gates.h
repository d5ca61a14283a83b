// compiler/ship/gates.h: conditions as gates over single yes-or-no inputs.
//
// A literal becomes a question about the inputs of its variable (runtime/pack.h says which these are), tallies and
// "at least so many" become sums in binary and comparisons with a number. Gates are made small on the way: constants are folded in,
// doubles dropped, and what was made before is found again by all that it is made of.
//
// Cost      O(size of the conditions · log); a sum of n items with points of b bits makes about 5 · n · b gates.
// Source    sums by carry-save columns: Wallace, IEEE Trans. Electronic Computers EC-13(1), 1964.
// Tested by tests/unit/weigh_test.cpp, tests/property/pack_test.cpp
#pragma once

#include <map>
#include <unordered_map>
#include <vector>

#include "compiler/condition.h"
#include "runtime/pack.h"

namespace betony::ship {

using Operand = std::uint32_t;  // slot * 2, plus 1 for its opposite
constexpr Operand no_operand = 0, yes_operand = 1;  // slot 0 is `no`; its opposite `yes`
inline Operand opposite(Operand o) { return o ^ 1u; }

class Gates {
 public:
  using Kind = runtime::Gate::Kind;
  // All borrowed; `variables` are those of the conditions' universe, each of one dimension, and may not change.
  Gates(const Conditions& conditions, const Universe& universe, const std::vector<runtime::Variable>& variables, runtime::Program& program)
      : conditions_(conditions), universe_(universe), variables_(variables), program_(program) {}

  Operand of(Form form);
  Operand all(std::vector<Operand> parts) { return list(Kind::all, std::move(parts), yes_operand); }
  Operand any(std::vector<Operand> parts) { return list(Kind::any, std::move(parts), no_operand); }

 private:
  using Bits = std::vector<Operand>;  // a number, the lowest bit first
  Operand make(const Conditions::Node& node);
  Operand literal(const Conditions::Node& node);
  Operand literal_of_words(const runtime::Variable& variable, const std::vector<bool>& cells);
  Operand literal_of_numbers(const runtime::Variable& variable, const std::vector<bool>& cells);
  Operand input(const runtime::Variable& variable, Index input) const { return (1 + variable.first_input + input) * 2; }
  Operand counted(const std::vector<Form>& parts, unsigned least);
  Operand score(const Conditions::Node& node);
  Bits sum(const std::vector<std::pair<Operand, mpz_class>>& items);
  Operand at_least(const Bits& bits, const mpz_class& number);
  Operand parity(Operand a, Operand b, Operand c);
  Operand most(Operand a, Operand b, Operand c);
  Operand list(Kind kind, std::vector<Operand> parts, Operand neutral);
  Operand gate(Kind kind, std::vector<Operand> operands);

  const Conditions& conditions_;
  const Universe& universe_;
  const std::vector<runtime::Variable>& variables_;
  runtime::Program& program_;
  std::unordered_map<Form, Operand> made_;
  std::map<std::pair<Kind, std::vector<Operand>>, Operand> known_;
};

}  // namespace betony::ship
