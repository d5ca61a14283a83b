// runtime/pack_verify.h: whether everything in a pack refers to something that is there.
//
// What is proven here is what the rest of the runtime takes for granted. Cost O(size). Inside the runtime only.
#pragma once

#include <string>

#include "runtime/pack.h"

namespace betony::runtime {

// In words ("the pack's practices are not sound"); empty where nothing is wrong.
std::string what_is_wrong(const Pack& pack);

// A number of the formulas has at most so many bits, whatever is told of the findings.
constexpr std::size_t most_bits = 1 << 16;

}  // namespace betony::runtime
