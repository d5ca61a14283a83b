#include "runtime/single_conditions.h"

#include <algorithm>

namespace betony::runtime {

SingleWeigher::ConditionMaker::ConditionMaker(SingleWeigher& made) : made_(made) {
  for (const Gate& gate : made.program_.gates) work_left_ += 32 * gate.operands.size();
}

SingleWeigher::Condition SingleWeigher::ConditionMaker::of_one(const std::vector<Index>& inputs) {
  Condition out;
  out.is_of_one = true;
  out.inputs = put_needed(inputs.size());
  std::transform(inputs.begin(), inputs.end(), made_.needed_.begin() + out.inputs.begin, [](Index o) { return Needed{o, 0}; });
  return out;
}

SingleWeigher::Condition SingleWeigher::ConditionMaker::of_all(Index operand, const std::vector<Index>& parts,
                                                               const std::map<Index, Index>& items) {
  Condition out;
  out.operand = operand;
  const auto told = told_in_ways(made_.program_, parts, work_left_);
  out.is_told = told.has_value() && made_.needed_.size() < most_needed;
  if (!out.is_told) return out;
  put_ways(told->ways, out);
  out.sides.begin = static_cast<std::uint32_t>(made_.sides_.size());
  for (const Index side : told->sides) {
    const auto item = items.find(side);
    made_.sides_.push_back({side, item == items.end() ? no_index : item->second});
  }
  out.sides.end = static_cast<std::uint32_t>(made_.sides_.size());
  return out;
}

void SingleWeigher::ConditionMaker::put_sides() {
  std::map<Index, Index> conditions;  // by operand
  for (Side& side : made_.sides_) {
    const auto [found, is_new] = conditions.emplace(side.condition, static_cast<Index>(made_.conditions_.size()));
    side.condition = found->second;
    if (!is_new) continue;
    std::uint64_t as_before = ~std::uint64_t{0};  // it could be told then, so it can be told now
    put_ways(*ways_of(made_.program_, found->first, as_before), made_.conditions_.emplace_back());
  }
}

SingleWeigher::Span SingleWeigher::ConditionMaker::put_needed(std::size_t count) {
  const auto begin = static_cast<std::uint32_t>(made_.needed_.size());
  made_.needed_.resize(begin + count);
  return {begin, static_cast<std::uint32_t>(begin + count)};
}

void SingleWeigher::ConditionMaker::put_ways(const Ways& ways, Condition& condition) {
  std::map<Index, std::uint32_t> needed;
  for (std::size_t w = 0; w < ways.size(); ++w) {
    condition.ways |= std::uint32_t{1} << w;
    for (const Index o : ways[w]) needed[o] |= std::uint32_t{1} << w;
  }
  condition.inputs = put_needed((needed.size() + needed_together - 1) / needed_together * needed_together);
  std::uint32_t at = condition.inputs.begin;
  for (const auto& [operand, its_ways] : needed) made_.needed_[at++] = {operand, its_ways};
  while (at < condition.inputs.end) made_.needed_[at++] = {needed.begin()->first, 0};
}

}  // namespace betony::runtime
