// runtime/single_rows.h: rows of bits of a SingleWeigher, and what is done with whole registers of them. Inside runtime/single*.cpp only.
//
// Every function says the same on each path; SingleWeigher::path() tells which it is.
//
// Tested by  tests/property/paths_test.cpp, single_test.cpp
#pragma once

#include <cstddef>
#include <cstdint>
#include <cstring>
#include <new>
#include <vector>

namespace betony::runtime {

// Of 256 inputs those that are asked to be yes, and those that are asked to be no; or that may be, or are. A program of more inputs has
// several of these, one behind another.
struct alignas(64) Literals {
  static constexpr std::size_t words = 4, inputs = words * 64;
  std::uint64_t yes[words] = {}, no[words] = {};
};

// Words that begin where a register's do in memory, for which rows of eight are best.
template <class Word>
struct AlignedAllocator {
  using value_type = Word;
  AlignedAllocator() = default;
  template <class Other>
  AlignedAllocator(const AlignedAllocator<Other>&) {}
  Word* allocate(std::size_t count) { return static_cast<Word*>(::operator new(count * sizeof(Word), std::align_val_t{64})); }
  void deallocate(Word* words, std::size_t) { ::operator delete(words, std::align_val_t{64}); }
  bool operator==(const AlignedAllocator&) const { return true; }
};
using AlignedWords = std::vector<std::uint64_t, AlignedAllocator<std::uint64_t>>;

// Four words at once; loaded and stored as any part of a row, on every path as its function is compiled.
typedef std::uint64_t Four __attribute__((vector_size(32)));
template <class Part>
__attribute__((always_inline)) inline void load(const std::uint64_t* words, Part& part) {
  std::memcpy(&part, words, sizeof part);
}
template <class Part>
__attribute__((always_inline)) inline void store(const Part& part, std::uint64_t* words) {
  std::memcpy(words, &part, sizeof part);
}
inline bool is_any(const Four& four) {
  typedef std::uint64_t Two __attribute__((vector_size(16)));
  Two halves[2];
  std::memcpy(halves, &four, sizeof halves);
  halves[0] |= halves[1];
  return (halves[0][0] | halves[0][1]) != 0;
}

// Ways by what they ask for, a bit each: three layers of inputs that they ask to be yes, of each of which one must be, and one of inputs that
// they ask to be no. A row has a layer behind another, each of so many words: four, or a multiple of eight.
constexpr std::size_t way_layers = 4;

struct RowPath {
  // out: the first row, or-ed with those of the inputs that are yes; `zeros` is a row, too. Of any width that is a multiple of 8.
  void (*or_rows)(const std::uint64_t* first, const std::uint64_t* rows, const std::uint64_t* zeros, std::size_t width,
                  const std::uint64_t* inputs, std::size_t words, std::uint64_t* out);
  // The first of the rows, from one on, that has no literal which `of` lacks; `count` where there is none.
  std::size_t (*first_within)(const Literals* rows, std::size_t from, std::size_t count, std::size_t blocks, const Literals* of);
  // One row of ways, or-ed with others.
  void (*add_ways)(const std::uint64_t* first, const std::uint64_t* const* rows, std::size_t count, std::size_t words, std::uint64_t* out);
  // Which ways hold after the first row or-ed with the others: words from one on before another, both multiples of eight, or all four. And in
  // which bytes of eight such words any of them hold, a bit each: of those that ask for nothing but their rows, and behind these of `more`.
  void (*put_held)(const std::uint64_t* first, const std::uint64_t* const* rows, std::size_t count, std::size_t words,
                   const std::uint64_t* more, std::size_t from, std::size_t behind, std::uint64_t* held, std::uint64_t* bytes);
};

const RowPath& plain_rows();
const RowPath* avx2_rows();                 // nothing where the processor has no such registers
const RowPath* avx512_rows();

}  // namespace betony::runtime
