// runtime/blocks.h: the verdicts of hundreds of persons at once.
//
// A BlockWeigher is made once from a pack and one of its readings, and then weighs blocks of up to 512 persons of whom
// everything is told (block.h). It says of each what weigh.h says: the same verdict, with care or without; no reasons, cautions
// or choices. Whether a person is possible (Pack::background) it does not ask.
//
//   const BlockWeigher weigher(pack);
//   BlockWeigher::Scratch scratch;                                              // of each thread its own
//   std::vector<std::uint8_t> codes(weigher.practices() * block_persons);
//   weigher.weigh(block, scratch, codes.data());                                // codes[p * block_persons + i]: practice p, person i
//
// How it goes. Of the gates, those are taken that some verdict asks for. All and any become `any` of planes or of their
// opposites (all of a and b is the opposite of any of not a and not b), so what is equal is found to be equal and made once.
// What only one other asks for is merged into it: any of any; and "all of" within an "any of" becomes a term of it. A part that
// many terms have in common is asked once: (a and x) or (b and x) or .. is x and any of a, b, ... What is long then adds up in
// one register: "any of these 30 planes, these 12 pairs, these 5 triples". What is short is sorted by its shape, and all
// that is ready of one shape is one instruction (blocks_kernel.h says why). Planes that are asked for again are
// kept in slots, which are given away again after their last use, so that they stay in the nearest cache; inputs, and the
// opposites of those of which the opposite is asked for, are copied to one just before their first use.
//
// Ownership  nothing of the pack is kept. A weigher is never changed; any number of threads may share it.
// Errors     none; the pack is one that read_pack or what_is_wrong found sound, and the reading one of its own.
// Cost       making: O(n log n) for a program of n operands. Weighing: about one vector operation for each operand that is left;
//            nothing is allocated but by a Scratch that is used for the first time.
// Source     many cases as the bits of a word: Biham, A fast new DES implementation in software, FSE 1997; common parts: Brayton and
//            McMullen, The decomposition and factorization of Boolean expressions, ISCAS 1982.
// Tested by  tests/unit/blocks_test.cpp; tests/bench/blocks_bench.cpp measures it against conditions written out in C++
#pragma once

#include <cstdint>
#include <string>
#include <vector>

#include "runtime/block.h"
#include "runtime/pack.h"

namespace betony::runtime {

struct BlockPath;

class BlockWeigher {
 public:
  // Registers of 16, 32 or 64 bytes. All say the same. `best` is the widest that the processor has; where it lacks those that
  // are asked for, the widest below is taken.
  enum class Path : std::uint8_t { best, plain, avx2, avx512 };

  // Where planes are while a block is weighed. Any weigher may use it, one thread at a time.
  class Scratch {
    friend class BlockWeigher;
    struct alignas(64) Plane {
      std::uint64_t words[block_words];
    };
    std::vector<Plane> planes_;
  };

  explicit BlockWeigher(const Pack& pack, Index reading = 0, Path path = Path::best);

  std::size_t practices() const { return practices_; }
  Path path() const { return path_; }

  // codes[p * block_persons + i] = the number of the verdict of practice p for person i, plus 8 where it is with care.
  //   block   has the inputs of the pack's program; what its bits past the last person are does not matter
  //   codes   yours, practices() * block_persons bytes; those past the last person are left in any state
  void weigh(const Block& block, Scratch& scratch, std::uint8_t* codes) const;

  // The same as four planes for each practice, one behind another: the lowest bit of the verdict's number, the next, the
  // highest, and whether it is with care; bits past the last person are 0.
  //   planes  yours, practices() * 4 * block_words words
  void weigh_planes(const Block& block, Scratch& scratch, std::uint64_t* planes) const;

  // How many slots there are, and the code (blocks_kernel.h), an instruction a line. For people and tests.
  std::string listing() const;

 private:
  std::uint64_t* run(const Block& block, Scratch& scratch) const;

  std::vector<std::uint32_t> code_;
  std::size_t practices_ = 0, slots_ = 0;
  const BlockPath* run_ = nullptr;
  Path path_ = Path::plain;
};

}  // namespace betony::runtime
