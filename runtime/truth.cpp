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

// The operands that must be yes where the gate is `yes` or no; false where it cannot be.
bool Slots::force(const Gate& gate, bool yes, std::vector<Index>& forced) const {
  if (gate.kind != Gate::Kind::all && gate.kind != Gate::Kind::any) return true;
  const bool each = (gate.kind == Gate::Kind::all) == yes;   // every operand must be as the gate is
  Index last = no_index;
  for (const Index o : gate.operands) {
    const Truth t = (*this)[o];
    if (each) {
      if (t == Truth::open) forced.push_back(yes ? o : o ^ 1u);
      else if ((t == Truth::yes) != yes) return false;
    } else if (t == Truth::open) {
      if (last != no_index) return true;  // one or another of them
      last = o;
    } else if ((t == Truth::yes) == yes) {
      return true;
    }
  }
  if (!each && last == no_index) return false;
  if (!each) forced.push_back(yes ? last : last ^ 1u);
  return true;
}

bool Slots::suppose(const Program& program, Index operand) {
  std::vector<Index> forced{operand};
  while (!forced.empty()) {
    const Index o = forced.back();
    forced.pop_back();
    const Index slot = o / 2;
    if ((*this)[o] == Truth::no) return false;
    truths_[slot] = o & 1u ? Truth::no : Truth::yes;
    if (slot <= program.inputs) continue;
    std::vector<Index> more;
    if (!force(program.gates[slot - 1 - program.inputs], !(o & 1u), more)) return false;
    forced.insert(forced.end(), more.begin(), more.end());
  }
  return true;
}

}  // namespace betony::runtime
