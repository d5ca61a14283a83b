// runtime/truth.h: yes, no, or open.
//
// Two rails: whether something may be no, and whether it may be yes. What is worked out from open things this way may
// be called open though it is settled ("fever or not fever"), never settled though it is open.
#pragma once

#include <cstdint>
#include <span>

#include "runtime/pack.h"

namespace betony::runtime {

enum class Truth : std::uint8_t { no = 1, yes = 2, open = 3 };

inline bool may_be_no(Truth t) { return static_cast<unsigned>(t) & 1u; }
inline bool may_be_yes(Truth t) { return static_cast<unsigned>(t) & 2u; }
inline Truth truth(bool may_no, bool may_yes) { return static_cast<Truth>(unsigned{may_no} + 2u * unsigned{may_yes}); }
inline Truth opposite(Truth t) { return truth(may_be_yes(t), may_be_no(t)); }
inline Truth both(Truth a, Truth b) { return truth(may_be_no(a) || may_be_no(b), may_be_yes(a) && may_be_yes(b)); }
inline Truth either(Truth a, Truth b) { return truth(may_be_no(a) && may_be_no(b), may_be_yes(a) || may_be_yes(b)); }

// A truth for every slot of a pack's program, worked out from those of its inputs.
class Slots {
 public:
  Slots(const Program& program, std::span<const Truth> inputs);
  // Takes `operand` for yes, and whatever must then be so because nothing else is left; slots before it may become settled, those that
  // ask for them are not worked out again. What must be so does not hang on the order in which it is found, and of inputs that say
  // more nothing less follows. False where it cannot be yes: then the slots are of no more use.
  // Cost O(size of the program).
  bool suppose(const Program& program, Index operand);
  Truth operator[](Index operand) const { return operand & 1u ? opposite(truths_[operand / 2]) : truths_[operand / 2]; }

 private:
  std::vector<Truth> truths_;
};

}  // namespace betony::runtime
