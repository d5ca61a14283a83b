// runtime/blocks_avx512.cpp: the loop of blocks_kernel.h on registers of 64 bytes, a plane each.
#if defined(__x86_64__) && defined(__GNUC__)
#define BETONY_BLOCK_PART 64
#define BETONY_BLOCK_TARGET __attribute__((target("avx512f,avx512bw")))
#include <immintrin.h>
#endif
#include "runtime/blocks_kernel.h"

namespace betony::runtime {

#ifdef BETONY_BLOCK_PART
namespace {

// A word of a plane is a mask of 64 bytes as it stands.
BETONY_BLOCK_TARGET void spread(const std::uint64_t* planes, unsigned words, std::uint8_t* codes) {
  const __m512i one = _mm512_set1_epi8(1), two = _mm512_set1_epi8(2), four = _mm512_set1_epi8(4), eight = _mm512_set1_epi8(8);
  for (unsigned w = 0; w < words; ++w) {
    __m512i low = _mm512_maskz_mov_epi8(planes[w], one), high = _mm512_maskz_mov_epi8(planes[2 * block_words + w], four);
    low = _mm512_mask_add_epi8(low, planes[block_words + w], low, two);
    high = _mm512_mask_add_epi8(high, planes[3 * block_words + w], high, eight);
    _mm512_storeu_si512(codes + std::size_t{64} * w, _mm512_or_si512(low, high));
  }
}

constexpr BlockPath path{run, spread};

}  // namespace

const BlockPath* avx512_path() { return __builtin_cpu_supports("avx512f") && __builtin_cpu_supports("avx512bw") ? &path : nullptr; }
#else
const BlockPath* avx512_path() { return nullptr; }
#endif

}  // namespace betony::runtime
