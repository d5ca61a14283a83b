// runtime/blocks_avx2.cpp: the loop of blocks_kernel.h on registers of 32 bytes.
#if defined(__x86_64__) && defined(__GNUC__)
#define BETONY_BLOCK_PART 32
#define BETONY_BLOCK_TARGET __attribute__((target("avx2")))
#include <immintrin.h>
#endif
#include "runtime/blocks_kernel.h"

namespace betony::runtime {

#ifdef BETONY_BLOCK_PART
namespace {

// 32 bits to 32 bytes, each `bit` or 0: the four bytes go to eight places each, where a bit of its own is looked at.
BETONY_BLOCK_INLINE __m256i bytes_of(const std::uint64_t* plane, unsigned person, char bit) {
  std::uint32_t bits;
  std::memcpy(&bits, reinterpret_cast<const char*>(plane) + person / 8, sizeof bits);
  const __m256i place = _mm256_setr_epi64x(0, 0x0101010101010101, 0x0202020202020202, 0x0303030303030303);
  const __m256i own = _mm256_set1_epi64x(static_cast<long long>(0x8040201008040201u));
  const __m256i copies = _mm256_shuffle_epi8(_mm256_set1_epi32(static_cast<int>(bits)), place);
  return _mm256_and_si256(_mm256_cmpeq_epi8(_mm256_and_si256(copies, own), own), _mm256_set1_epi8(bit));
}

BETONY_BLOCK_TARGET void spread(const std::uint64_t* planes, unsigned words, std::uint8_t* codes) {
  for (unsigned person = 0; person < words * 64; person += 32) {
    const __m256i low = _mm256_or_si256(bytes_of(planes, person, 1), bytes_of(planes + block_words, person, 2));
    const __m256i high = _mm256_or_si256(bytes_of(planes + 2 * block_words, person, 4), bytes_of(planes + 3 * block_words, person, 8));
    _mm256_storeu_si256(reinterpret_cast<__m256i*>(codes + person), _mm256_or_si256(low, high));
  }
}

constexpr BlockPath path{run, spread};

}  // namespace

const BlockPath* avx2_path() { return __builtin_cpu_supports("avx2") ? &path : nullptr; }
#else
const BlockPath* avx2_path() { return nullptr; }
#endif

}  // namespace betony::runtime
