// tests/fuzz/pack_input.h: how the bytes of the fuzz target of packs are taken apart.
//
// One byte: how many choices there are; the choices, a byte each, by which persons are made up; and the pack, which is the rest.
#pragma once

#include <algorithm>
#include <cstdint>
#include <span>
#include <vector>

namespace betony::fuzz {

using Bytes = std::span<const std::uint8_t>;

struct PackInput {
  Bytes choices, pack;
};

inline PackInput parts_of(Bytes bytes) {
  if (bytes.empty()) return {};
  const std::size_t choices = std::min<std::size_t>(bytes[0], bytes.size() - 1);
  return {bytes.subspan(1, choices), bytes.subspan(1 + choices)};
}

inline std::vector<std::uint8_t> joined(Bytes choices, Bytes pack) {
  std::vector<std::uint8_t> out{static_cast<std::uint8_t>(choices.size())};
  out.insert(out.end(), choices.begin(), choices.end());
  out.insert(out.end(), pack.begin(), pack.end());
  return out;
}

}  // namespace betony::fuzz
