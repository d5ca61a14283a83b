// runtime/single_conditions.h: conditions of a SingleWeigher, made from operands. Inside runtime/single*.cpp only.
//
// Tested by  tests/property/single_test.cpp
#pragma once

#include <map>

#include "runtime/single_ways.h"
#include "runtime/single.h"

namespace betony::runtime {

class SingleWeigher::ConditionMaker {
 public:
  explicit ConditionMaker(SingleWeigher& made);

  // Any of the inputs.
  Condition of_one(const std::vector<Index>& inputs);
  // All of the parts, which together are the operand. items: those of its practice by their operands, for sides that are items too.
  Condition of_all(Index operand, const std::vector<Index>& parts, const std::map<Index, Index>& items);
  // Behind all others the conditions of the sides, which until then are told as operands.
  void put_sides();

 private:
  Span put_needed(std::size_t count);
  void put_ways(const Ways& ways, Condition& condition);

  static constexpr std::size_t most_needed = std::size_t{1} << 24;  // 128 MiB
  SingleWeigher& made_;
  std::uint64_t work_left_ = std::uint64_t{1} << 20;  // and more for a larger program
};

}  // namespace betony::runtime
