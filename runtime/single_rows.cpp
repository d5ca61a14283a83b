#include "runtime/single_rows.h"

#include <algorithm>
#include <bit>
#include <cstring>

#if defined(__x86_64__) && defined(__GNUC__)
#define BETONY_HAS_WIDE_ROWS
#include <immintrin.h>
#endif

namespace betony::runtime {
namespace {

// Four rows at a time. Which inputs are yes is written down first, four at least of each word, so that no branch hangs on how many
// they are.
template <std::size_t bytes>
__attribute__((always_inline)) inline void or_rows_by(const std::uint64_t* first, const std::uint64_t* rows, const std::uint64_t* zeros,
                                                      std::size_t width, const std::uint64_t* inputs, std::size_t words, std::uint64_t* out) {
  typedef std::uint64_t Part __attribute__((vector_size(bytes)));
  const std::uint64_t* found[4 + 64 + 4];
  std::size_t have = 0;
  const auto add = [&](std::size_t from) {
    for (std::size_t i = 0; i < width; i += bytes / 8) {
      Part parts[5];
      std::memcpy(&parts[0], found[from] + i, bytes), std::memcpy(&parts[1], found[from + 1] + i, bytes);
      std::memcpy(&parts[2], found[from + 2] + i, bytes), std::memcpy(&parts[3], found[from + 3] + i, bytes);
      std::memcpy(&parts[4], first + i, bytes);
      parts[0] = ((parts[0] | parts[1]) | (parts[2] | parts[3])) | parts[4];
      std::memcpy(out + i, &parts[0], bytes);
    }
    first = out;
  };
  for (std::size_t w = 0; w < words; ++w) {
    std::uint64_t left = inputs[w];
    const std::uint64_t* here = rows + w * 64 * width;
    const auto count = static_cast<std::size_t>(std::popcount(left));
    const auto next = [&] {
      const std::uint64_t* row = here + static_cast<std::size_t>(std::countr_zero(left)) * width;
      left &= left - 1;
      return row;
    };
    std::uint64_t const** to = found + have;
    to[0] = next(), to[1] = next(), to[2] = next(), to[3] = next();
    for (std::size_t k = 4; k < count; ++k) to[k] = next();
    have += count;
    std::size_t from = 0;
    for (; from + 4 <= have; from += 4) add(from);
    for (std::size_t k = 0; k < 4; ++k) found[k] = found[from + k];
    have -= from;
  }
  if (have == 0 && first == out) return;
  while (have < 4) found[have++] = zeros;
  add(0);
}

// All layers of some words at a time, without a loop over them.
template <class Part>
struct Layers {
  Part a, b, c, no;
};
template <class Part>
__attribute__((always_inline)) inline void put_together(const std::uint64_t* first, const std::uint64_t* const* rows, std::size_t count,
                                                        std::size_t words, std::size_t at, Layers<Part>& out) {
  load(first + at, out.a), load(first + words + at, out.b);
  load(first + 2 * words + at, out.c), load(first + 3 * words + at, out.no);
  const auto add = [&](const std::uint64_t* words_of_row) {
    Layers<Part> row;
    load(words_of_row + at, row.a), load(words_of_row + words + at, row.b);
    load(words_of_row + 2 * words + at, row.c), load(words_of_row + 3 * words + at, row.no);
    out.a |= row.a, out.b |= row.b, out.c |= row.c, out.no |= row.no;
  };
  for (std::size_t r = 0; r < count; ++r) add(rows[r]);
}
template <class Part>
__attribute__((always_inline)) inline void add_ways_by(const std::uint64_t* first, const std::uint64_t* const* rows, std::size_t count,
                                                       std::size_t words, std::uint64_t* out) {
  for (std::size_t at = 0; at < words; at += sizeof(Part) / 8) {
    Layers<Part> any;
    put_together(first, rows, count, words, at, any);
    store(any.a, out + at), store(any.b, out + words + at), store(any.c, out + 2 * words + at), store(any.no, out + 3 * words + at);
  }
}
// bytes_of: which of a part's bytes are not 0, a bit each.
template <class Part, class BytesOf>
__attribute__((always_inline)) inline void put_held_by(const std::uint64_t* first, const std::uint64_t* const* rows, std::size_t count,
                                                       std::size_t words, const std::uint64_t* more, std::size_t from, std::size_t behind,
                                                       std::uint64_t* held, std::uint64_t* bytes, const BytesOf& bytes_of) {
  constexpr std::size_t size = sizeof(Part) / 8;
  for (std::size_t at = from; at < behind; at += size) {
    Layers<Part> any;
    Part asking;
    put_together(first, rows, count, words, at, any);
    load(more + at, asking);
    any.a = any.a & any.b & any.c & ~any.no;
    store(any.a, held + at);
    any.b = any.a & ~asking, any.c = any.a & asking;
    const std::uint64_t plain = bytes_of(&any.b), more_of_them = bytes_of(&any.c);
    std::uint64_t* of_eight = bytes + at / 8 * 2;
    if (size == 8 || at % 8 == 0)
      of_eight[0] = plain, of_eight[1] = more_of_them;
    else
      of_eight[0] |= plain << 32, of_eight[1] |= more_of_them << 32;
  }
}

void or_rows_plain(const std::uint64_t* first, const std::uint64_t* rows, const std::uint64_t* zeros, std::size_t width, const std::uint64_t* inputs,
                   std::size_t words, std::uint64_t* out) {
  or_rows_by<8>(first, rows, zeros, width, inputs, words, out);
}
void add_ways_plain(const std::uint64_t* first, const std::uint64_t* const* rows, std::size_t count, std::size_t words, std::uint64_t* out) {
  add_ways_by<Four>(first, rows, count, words, out);
}
void put_held_plain(const std::uint64_t* first, const std::uint64_t* const* rows, std::size_t count, std::size_t words,
                    const std::uint64_t* more, std::size_t from, std::size_t behind, std::uint64_t* held, std::uint64_t* bytes) {
  put_held_by<Four>(first, rows, count, words, more, from, behind, held, bytes, [](const Four* four) {
    std::uint64_t out = 0;
    for (std::size_t w = 0; w < 4; ++w) {
      std::uint64_t any = (*four)[w];
      any |= any >> 4, any |= any >> 2, any |= any >> 1, any &= 0x0101010101010101u;
      out |= any * 0x0102040810204080u >> 56 << (8 * w);
    }
    return out;
  });
}
std::size_t first_within_plain(const Literals* rows, std::size_t from, std::size_t count, std::size_t blocks, const Literals* of) {
  for (; from < count; ++from) {
    std::uint64_t lacks = 0;
    const Literals* row = rows + from * blocks;
    for (std::size_t b = 0; b < blocks; ++b)
      for (std::size_t w = 0; w < Literals::words; ++w) lacks |= (row[b].yes[w] & ~of[b].yes[w]) | (row[b].no[w] & ~of[b].no[w]);
    if (lacks == 0) break;
  }
  return from;
}

#ifdef BETONY_HAS_WIDE_ROWS
#define BETONY_AVX2 __attribute__((target("avx2")))
BETONY_AVX2 void or_rows_avx2(const std::uint64_t* first, const std::uint64_t* rows, const std::uint64_t* zeros, std::size_t width,
                              const std::uint64_t* inputs, std::size_t words, std::uint64_t* out) {
  or_rows_by<32>(first, rows, zeros, width, inputs, words, out);
}
BETONY_AVX2 void add_ways_avx2(const std::uint64_t* first, const std::uint64_t* const* rows, std::size_t count, std::size_t words,
                               std::uint64_t* out) {
  add_ways_by<Four>(first, rows, count, words, out);
}
BETONY_AVX2 void put_held_avx2(const std::uint64_t* first, const std::uint64_t* const* rows, std::size_t count, std::size_t words,
                               const std::uint64_t* more, std::size_t from, std::size_t behind, std::uint64_t* held, std::uint64_t* bytes) {
  put_held_by<Four>(first, rows, count, words, more, from, behind, held, bytes, [](const Four* four) BETONY_AVX2 {
    const __m256i are_none = _mm256_cmpeq_epi8(*reinterpret_cast<const __m256i*>(four), _mm256_setzero_si256());
    return ~static_cast<std::uint32_t>(_mm256_movemask_epi8(are_none));
  });
}
__attribute__((always_inline)) BETONY_AVX2 inline __m256i aligned(const std::uint64_t* words) {
  return _mm256_load_si256(reinterpret_cast<const __m256i*>(words));
}
BETONY_AVX2 std::size_t first_within_avx2(const Literals* rows, std::size_t from, std::size_t count, std::size_t blocks, const Literals* of) {
  if (blocks == 1) {
    const __m256i yes = aligned(of->yes), no = aligned(of->no);
    const auto is_within = [&](const Literals& row) BETONY_AVX2 {
      const __m256i lacks = _mm256_or_si256(_mm256_andnot_si256(yes, aligned(row.yes)), _mm256_andnot_si256(no, aligned(row.no)));
      return static_cast<unsigned>(_mm256_testz_si256(lacks, lacks));
    };
    for (; from + 4 <= count; from += 4) {  // since nobody could foresee which it is
      const Literals* row = rows + from;
      const unsigned which = is_within(row[0]) | is_within(row[1]) << 1 | is_within(row[2]) << 2 | is_within(row[3]) << 3;
      if (which != 0) return from + static_cast<unsigned>(std::countr_zero(which));
    }
    if (from >= count) return count;
    const Literals* row = rows + from;       // the last stands for those that are missing behind it
    const std::size_t last = count - from - 1;
    const unsigned which = is_within(row[0]) | is_within(row[std::min<std::size_t>(1, last)]) << 1 | is_within(row[last]) << 2;
    return which != 0 ? from + std::min<std::size_t>(static_cast<unsigned>(std::countr_zero(which)), last) : count;
  }
  for (; from < count; ++from) {
    __m256i lacks = _mm256_setzero_si256();
    const Literals* row = rows + from * blocks;
    for (std::size_t b = 0; b < blocks; ++b) {
      lacks = _mm256_or_si256(lacks, _mm256_andnot_si256(aligned(of[b].yes), aligned(row[b].yes)));
      lacks = _mm256_or_si256(lacks, _mm256_andnot_si256(aligned(of[b].no), aligned(row[b].no)));
    }
    if (_mm256_testz_si256(lacks, lacks)) break;
  }
  return from;
}
#define BETONY_AVX512 __attribute__((target("avx512f,avx512bw")))
typedef std::uint64_t Eight __attribute__((vector_size(64)));
BETONY_AVX512 void or_rows_avx512(const std::uint64_t* first, const std::uint64_t* rows, const std::uint64_t* zeros, std::size_t width,
                                  const std::uint64_t* inputs, std::size_t words, std::uint64_t* out) {
  or_rows_by<64>(first, rows, zeros, width, inputs, words, out);
}
BETONY_AVX512 void add_ways_avx512(const std::uint64_t* first, const std::uint64_t* const* rows, std::size_t count, std::size_t words,
                                   std::uint64_t* out) {
  if (words == Literals::words) return add_ways_by<Four>(first, rows, count, words, out);
  add_ways_by<Eight>(first, rows, count, words, out);
}
BETONY_AVX512 void put_held_avx512(const std::uint64_t* first, const std::uint64_t* const* rows, std::size_t count, std::size_t words,
                                   const std::uint64_t* more, std::size_t from, std::size_t behind, std::uint64_t* held, std::uint64_t* bytes) {
  if (words == Literals::words) return put_held_avx2(first, rows, count, words, more, from, behind, held, bytes);
  put_held_by<Eight>(first, rows, count, words, more, from, behind, held, bytes, [](const Eight* eight) BETONY_AVX512 {
    const __m512i all = *reinterpret_cast<const __m512i*>(eight);
    return static_cast<std::uint64_t>(_mm512_test_epi8_mask(all, all));
  });
}
#endif

}  // namespace

const RowPath& plain_rows() {
  static constexpr RowPath path{or_rows_plain, first_within_plain, add_ways_plain, put_held_plain};
  return path;
}

#ifdef BETONY_HAS_WIDE_ROWS
const RowPath* avx2_rows() {
  static constexpr RowPath path{or_rows_avx2, first_within_avx2, add_ways_avx2, put_held_avx2};
  return __builtin_cpu_supports("avx2") ? &path : nullptr;
}
const RowPath* avx512_rows() {
  static constexpr RowPath path{or_rows_avx512, first_within_avx2, add_ways_avx512, put_held_avx512};
  return __builtin_cpu_supports("avx512bw") && avx2_rows() ? &path : nullptr;
}
#else
const RowPath* avx2_rows() { return nullptr; }
const RowPath* avx512_rows() { return nullptr; }
#endif

}  // namespace betony::runtime
