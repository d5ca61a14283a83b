// runtime/block.h: up to 512 persons side by side, a bit each.
//
// Every input of a pack's program (pack.h, Variable) is a plane of 512 bits: person p is bit p % 64 of word p / 64. What a program
// makes of planes is a plane again, so one instruction weighs hundreds of persons.
#pragma once

#include <cstdint>
#include <vector>

namespace betony::runtime {

constexpr unsigned block_persons = 512, block_words = block_persons / 64;

struct Block {
  unsigned persons = 0;                 // those there are; bits past them are 0
  std::vector<std::uint64_t> planes;    // block_words for each input, in their order

  void clear(std::size_t inputs) {
    persons = 0;
    planes.assign(inputs * block_words, 0);
  }
  void put(std::size_t input, unsigned person) { planes[input * block_words + person / 64] |= std::uint64_t{1} << (person % 64); }
};

}  // namespace betony::runtime
