// runtime/blocks_plain.cpp: the loop of blocks_kernel.h for every processor, on registers of 16 bytes where it has such.
#define BETONY_BLOCK_PART 16
#define BETONY_BLOCK_TARGET
#include "runtime/blocks_kernel.h"

namespace betony::runtime {
namespace {

typedef std::uint8_t Bytes __attribute__((vector_size(16)));

// 16 bits to 16 bytes, each `bit` or 0: each byte goes to eight places, where a bit of its own is looked at.
inline Bytes bytes_of(const std::uint64_t* plane, unsigned person, std::uint8_t bit) {
  const std::uint64_t bits = plane[person / 64] >> (person % 64), eight_times = 0x0101010101010101u;
  const Part copies = {(bits & 255u) * eight_times, (bits >> 8 & 255u) * eight_times};
  const Bytes own = {1, 2, 4, 8, 16, 32, 64, 128, 1, 2, 4, 8, 16, 32, 64, 128};
  return reinterpret_cast<Bytes>((reinterpret_cast<Bytes>(copies) & own) == own) & bit;
}

void spread(const std::uint64_t* planes, unsigned words, std::uint8_t* codes) {
  for (unsigned person = 0; person < words * 64; person += 16) {
    const Bytes low = bytes_of(planes, person, 1) | bytes_of(planes + block_words, person, 2);
    const Bytes all = low | bytes_of(planes + 2 * block_words, person, 4) | bytes_of(planes + 3 * block_words, person, 8);
    std::memcpy(codes + person, &all, sizeof all);
  }
}

constexpr BlockPath path{run, spread};

}  // namespace

const BlockPath* plain_path() { return &path; }

}  // namespace betony::runtime
