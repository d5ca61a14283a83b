// compiler/condition.h: the one condition form: every condition of a ruleset as one shared structure over
// cells of variables (compiler/universe.h).
//
// A `Form` is an index into a `Conditions` store. Forms are made by the functions below and by nothing
// else, which keeps them small: constants are folded in, lists are flattened and sorted, doubles are
// dropped, `not not c` is c, and what was made before is found again (full comparison, no hash is taken on
// trust), so equal indices mean equal conditions; the reverse is the decision graph's work.
//
// Beside and, or, not there are `at_least` (so many of a list) and `score` (the sum of the points of the
// conditions that hold lies in given intervals), so that tallies stay sums until the graph is built.
// Tested by tests/unit/space_test.cpp
#pragma once

#include <cstdint>
#include <string>
#include <unordered_map>
#include <utility>
#include <vector>

#include "compiler/universe.h"

namespace betony {

using Form = std::uint32_t;

class Conditions {
 public:
  enum class Kind { never, always, literal, negation, all, any, at_least, score };
  struct Node {
    Kind kind = Kind::never;
    Index variable = 0;              // literal
    std::vector<bool> cells;         // literal: neither empty nor full
    std::vector<Form> parts;         // negation: one; the lists
    unsigned count = 0;              // at_least
    std::vector<Rational> points;    // score: of each part
    std::vector<Interval> sums;      // score: accepted sums
    std::vector<Index> support;      // variables named below, ascending
  };
  static constexpr Form never = 0, always = 1;
  // All cells of all literals together; past it BudgetMet (graph.h) is thrown and what was made stays. A
  // finding cut at tens of thousands of places, asked as often, would fill the memory.
  static constexpr std::size_t most_cells = std::size_t{64} << 20;

  Conditions();
  Form literal(Index variable, const std::vector<bool>& cells);
  Form negation(Form part);
  Form all(std::vector<Form> parts);
  Form any(std::vector<Form> parts);
  Form at_least(unsigned count, std::vector<Form> parts);
  Form score(std::vector<std::pair<Form, Rational>> items, std::vector<Interval> sums);

  const Node& operator[](Form form) const { return nodes_[form]; }
  std::size_t size() const { return nodes_.size(); }

 private:
  Form make(Node node);
  Form list(Kind kind, std::vector<Form> parts);
  std::size_t cells_ = 0;
  std::vector<Node> nodes_;
  std::unordered_map<std::string, Form> known_;  // by everything a node is made of
};

std::string print(const Conditions& conditions, Form form, const Universe& universe);

}  // namespace betony
