#include "runtime/truth.h"

#include <utility>

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

namespace {

// What must be yes where some operand is. A gate of which any operand will do keeps two that are open in sight, and is looked at again
// when one of these is settled; so each of its operands is passed once (watched literals: Moskewicz and others, Chaff, DAC 2001).
class Forcing {
 public:
  Forcing(const Program& program, const Slots& slots) : program_(program), slots_(slots) {}

  bool has_more() const { return !forced_.empty(); }
  Index next() {
    const Index operand = forced_.back();
    forced_.pop_back();
    return operand;
  }
  void add(Index operand) { forced_.push_back(operand); }

  // The slot has just been settled. False where some gate cannot be as it must.
  bool settled(Index slot) {
    if (slot > program_.inputs && !look_at(slot)) return false;
    if (waiting_.empty()) return true;
    for (Index at = std::exchange(first_[slot], no_index); at != no_index;) {
      const Link link = links_[at];
      at = link.next;
      if (!go_on(waiting_[link.waiting])) return false;
    }
    return true;
  }

 private:
  struct Waiting {
    const Gate* gate;
    Index flip;                  // 1: an operand must be no
    std::size_t next = 0;        // of its operands; none before it is of use but the two
    Index in_sight[2] = {0, 0};  // as they must be
  };
  struct Link {
    Index waiting, next;
  };

  bool look_at(Index slot) {
    const Gate& gate = program_.gates[slot - 1 - program_.inputs];
    if (gate.kind != Gate::Kind::all && gate.kind != Gate::Kind::any) return true;
    const bool yes = slots_[slot * 2] == Truth::yes;
    const Index flip = yes ? 0 : 1;
    if ((gate.kind == Gate::Kind::any) == yes) {
      first_.resize(program_.slots(), no_index);
      waiting_.push_back({&gate, flip});
      return go_on(waiting_.back());
    }
    for (const Index o : gate.operands) {
      const Truth t = slots_[o ^ flip];
      if (t == Truth::no) return false;
      if (t == Truth::open) forced_.push_back(o ^ flip);
    }
    return true;
  }

  bool go_on(Waiting& waiting) {
    bool is_new[2] = {};
    for (int i = 0; i < 2; ++i) {
      Index& o = waiting.in_sight[i];
      while (slots_[o] == Truth::no && waiting.next < waiting.gate->operands.size())
        o = waiting.gate->operands[waiting.next++] ^ waiting.flip, is_new[i] = true;
      if (slots_[o] == Truth::yes) return true;
    }
    const auto& [one, other] = waiting.in_sight;
    if (slots_[one] == Truth::no && slots_[other] == Truth::no) return false;
    if (slots_[one] == Truth::no || slots_[other] == Truth::no) {
      forced_.push_back(slots_[one] == Truth::no ? other : one);
      return true;
    }
    for (int i = 0; i < 2; ++i)
      if (is_new[i]) watch(waiting.in_sight[i] / 2, static_cast<Index>(&waiting - waiting_.data()));
    return true;
  }
  void watch(Index slot, Index waiting) {
    links_.push_back({waiting, first_[slot]});
    first_[slot] = static_cast<Index>(links_.size() - 1);
  }

  const Program& program_;
  const Slots& slots_;
  std::vector<Index> forced_;     // operands that must be yes
  std::vector<Waiting> waiting_;
  std::vector<Link> links_;
  std::vector<Index> first_;      // of each slot, the link to what waits for it
};

}  // namespace

bool Slots::suppose(const Program& program, Index operand) {
  Forcing forcing(program, *this);
  forcing.add(operand);
  while (forcing.has_more()) {
    const Index o = forcing.next();
    if ((*this)[o] == Truth::no) return false;
    if ((*this)[o] == Truth::yes) continue;
    truths_[o / 2] = o & 1u ? Truth::no : Truth::yes;
    if (!forcing.settled(o / 2)) return false;
  }
  return true;
}

}  // namespace betony::runtime
