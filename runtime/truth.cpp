#include "runtime/truth.h"

namespace betony::runtime {
namespace {

Truth parity(const Slots& slots, const std::vector<Index>& operands) {
  bool odd = false;
  for (const Index o : operands) {
    const Truth t = slots[o];
    if (t == Truth::open) return Truth::open;
    odd = odd != (t == Truth::yes);
  }
  return odd ? Truth::yes : Truth::no;
}

Truth most(const Slots& slots, const std::vector<Index>& operands) {
  unsigned no = 0, yes = 0;
  for (const Index o : operands) no += may_be_no(slots[o]), yes += may_be_yes(slots[o]);
  return truth(no > 1, yes > 1);
}

Truth worked_out(const Slots& slots, const Gate& gate) {
  switch (gate.kind) {
    case Gate::Kind::parity: return parity(slots, gate.operands);
    case Gate::Kind::most: return most(slots, gate.operands);
    case Gate::Kind::all: {
      Truth result = Truth::yes;
      for (const Index o : gate.operands) result = both(result, slots[o]);
      return result;
    }
    case Gate::Kind::any: break;
  }
  Truth result = Truth::no;
  for (const Index o : gate.operands) result = either(result, slots[o]);
  return result;
}

}  // namespace

Slots::Slots(const Program& program, std::span<const Truth> inputs) {
  truths_.reserve(program.slots());
  truths_.push_back(Truth::no);
  truths_.insert(truths_.end(), inputs.begin(), inputs.end());
  for (const Gate& gate : program.gates) truths_.push_back(worked_out(*this, gate));
}

}  // namespace betony::runtime
