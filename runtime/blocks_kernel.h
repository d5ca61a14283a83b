// runtime/blocks_kernel.h: what a BlockWeigher (blocks.h) is made into, and the loop that works it off.
//
// Inside blocks*.cpp only. The first half is the code: 32-bit words, an instruction's head (what | how many << 8) and its
// places behind it. The second half is the loop. It is compiled once for each width of register, by a file that says
// before it includes this header
//
//   BETONY_BLOCK_PART     bytes of a register: 16, 32 or 64; a plane has 64 bytes, so 4, 2 or 1 of them
//   BETONY_BLOCK_TARGET   the attribute of functions that may use such registers, or nothing
//
// A place is where a plane lies among the slots, in words of 64 bits, so a multiple of 8. The first slot is `no`, the second
// `yes`. No operand is negated: where the opposite of a plane is asked for, it has a place of its own. There are two
// registers as large as a plane: `sum`, which some instructions add to and `keep` empties, and `in`, the persons the ruleset is for.
//
//   head              behind it                      what it does
//   fetch n           n times: input, place          copies planes of the block to slots
//   fetch_not n       n times: input, place          copies the opposites
//   turn n            n times: to, from              one slot = the opposite of another
//   small + s         n times: to, k * w places      slot = any of k terms, each all of w places; k and w are those of small_shapes[s]
//   small_not + s     n times: to, k * w places      slot = the opposite of that
//   odd_2, odd_3 n    n times: to, 2 or 3 places     slot = an odd number of them
//   most n            n times: to, 3 places          slot = two of them at least
//   odd n             to, n places                   slot = an odd number of them
//   any n             n places                       sum |= each; n is even
//   pairs n           n times 2 places               sum |= both
//   triples n         n times 3 places               sum |= all three
//   term n            n places                       sum |= all of them
//   keep              to                             slot = sum; sum = no
//   keep_not          to                             slot = not sum; sum = no
//   scope             applies, refers                in = applies and not refers
//   ladder            withheld, discouraged, advised, allowed, care, and the code of what is said otherwise:
//                                                    four planes of the next practice, behind those of the one before
//   end
//
// A processor foresees where it goes next from where it went, but not thousands of jumps back, and each jump it does not foresee
// costs as much as some 20 operands. So small things of one shape stand in one instruction, as many as there are, and a thing
// that has fewer operands than the shape next to it is given some of its own again.
#pragma once

#include <cstddef>
#include <cstdint>
#include <cstring>

#include "runtime/block.h"

namespace betony::runtime {

struct SmallShape {
  unsigned terms, width;
};
constexpr SmallShape small_shapes[] = {{2, 1}, {3, 1}, {4, 1}, {1, 2}, {1, 3}, {1, 4}, {2, 2}, {3, 2}, {4, 2}, {2, 3}, {3, 3}};
constexpr std::uint32_t small_count = sizeof small_shapes / sizeof *small_shapes;

enum class BlockOp : std::uint32_t {
  end, fetch, fetch_not, turn, odd_2, odd_3, most, odd, any, pairs, triples, term, keep, keep_not, scope, ladder,
  small, small_not = small + small_count
};

// The code of a verdict: its number, and this where it is with care.
constexpr std::uint32_t code_of_care = 8, planes_each = 4;

struct BlockPath {
  // `slots` lies at a multiple of 64 bytes, `inputs` (of the block) and `out` (planes_each planes for each practice) anywhere.
  void (*run)(const std::uint32_t* code, const std::uint64_t* inputs, std::uint64_t* slots, std::uint64_t* out);
  // Turns four planes into the codes of the persons in the first `words` words, 64 each.
  void (*spread)(const std::uint64_t* planes, unsigned words, std::uint8_t* codes);
};

// Nothing where the processor, or the one this was compiled for, has no such registers.
const BlockPath* plain_path();
const BlockPath* avx2_path();
const BlockPath* avx512_path();

}  // namespace betony::runtime

#ifdef BETONY_BLOCK_PART

#define BETONY_BLOCK_INLINE BETONY_BLOCK_TARGET __attribute__((always_inline)) inline

namespace betony::runtime {
namespace {

// ---------------------------------------------------------------- planes

typedef std::uint64_t Part __attribute__((vector_size(BETONY_BLOCK_PART)));
constexpr unsigned parts = 64 / BETONY_BLOCK_PART, part_words = BETONY_BLOCK_PART / 8;

// Written as a chain, so that each part stays in a register of its own at every level of optimization.
template <unsigned n>
struct Wide {
  Part head;
  Wide<n - 1> rest;
};
template <>
struct Wide<1> {
  Part head;
};
using Plane = Wide<parts>;

template <unsigned n>
BETONY_BLOCK_INLINE Wide<n> both(const Wide<n>& a, const Wide<n>& b) {
  if constexpr (n == 1) return {a.head & b.head};
  else return {a.head & b.head, both(a.rest, b.rest)};
}
template <unsigned n>
BETONY_BLOCK_INLINE Wide<n> both_not(const Wide<n>& a, const Wide<n>& b) {
  if constexpr (n == 1) return {a.head & ~b.head};
  else return {a.head & ~b.head, both_not(a.rest, b.rest)};
}
template <unsigned n>
BETONY_BLOCK_INLINE Wide<n> either(const Wide<n>& a, const Wide<n>& b) {
  if constexpr (n == 1) return {a.head | b.head};
  else return {a.head | b.head, either(a.rest, b.rest)};
}
template <unsigned n>
BETONY_BLOCK_INLINE Wide<n> differ(const Wide<n>& a, const Wide<n>& b) {
  if constexpr (n == 1) return {a.head ^ b.head};
  else return {a.head ^ b.head, differ(a.rest, b.rest)};
}
template <unsigned n>
BETONY_BLOCK_INLINE Wide<n> all_same(std::uint64_t word) {
  if constexpr (n == 1) return {Part{} + word};
  else return {Part{} + word, all_same<n - 1>(word)};
}
BETONY_BLOCK_INLINE Plane opposite(const Plane& a) { return differ(a, all_same<parts>(~std::uint64_t{0})); }
BETONY_BLOCK_INLINE Plane everywhere(bool yes) { return all_same<parts>(std::uint64_t{0} - std::uint64_t{yes}); }

template <unsigned n>
BETONY_BLOCK_INLINE Wide<n> read_anywhere(const std::uint64_t* from) {
  Wide<n> a;
  std::memcpy(&a.head, from, sizeof(Part));
  if constexpr (n > 1) a.rest = read_anywhere<n - 1>(from + part_words);
  return a;
}
template <unsigned n>
BETONY_BLOCK_INLINE void write_anywhere(const Wide<n>& a, std::uint64_t* to) {
  std::memcpy(to, &a.head, sizeof(Part));
  if constexpr (n > 1) write_anywhere(a.rest, to + part_words);
}
BETONY_BLOCK_INLINE Plane read(const std::uint64_t* slots, std::uint32_t place) {
  return read_anywhere<parts>(static_cast<const std::uint64_t*>(__builtin_assume_aligned(slots + place, 64)));
}
BETONY_BLOCK_INLINE void write(const Plane& a, std::uint64_t* slots, std::uint32_t place) {
  write_anywhere(a, static_cast<std::uint64_t*>(__builtin_assume_aligned(slots + place, 64)));
}

// ---------------------------------------------------------------- instructions

// Each is given the first word behind the head, and hands back where the next head is. Here for one that makes n things of
// `size` words each, the first of them the place it goes to.
#define BETONY_BLOCK_EACH(size, value)                                                 \
  for (; n != 0; --n, at += (size)) write(negated ? opposite(value) : (value), slots, at[0]); \
  return at

template <bool negated>
BETONY_BLOCK_INLINE const std::uint32_t* fetch(const std::uint32_t* at, std::uint32_t n, const std::uint64_t* inputs, std::uint64_t* slots) {
  for (; n != 0; --n, at += 2) {
    const Plane a = read_anywhere<parts>(inputs + at[0]);
    write(negated ? opposite(a) : a, slots, at[1]);
  }
  return at;
}
BETONY_BLOCK_INLINE const std::uint32_t* turn(const std::uint32_t* at, std::uint32_t n, std::uint64_t* slots) {
  constexpr bool negated = true;
  BETONY_BLOCK_EACH(2, read(slots, at[1]));
}

template <unsigned width>
BETONY_BLOCK_INLINE Plane product(const std::uint32_t* at, const std::uint64_t* slots) {
  if constexpr (width == 1) return read(slots, at[0]);
  else return both(read(slots, at[0]), product<width - 1>(at + 1, slots));
}
template <unsigned terms, unsigned width>
BETONY_BLOCK_INLINE Plane sum_of(const std::uint32_t* at, const std::uint64_t* slots) {
  if constexpr (terms == 1) return product<width>(at, slots);
  else return either(product<width>(at, slots), sum_of<terms - 1, width>(at + width, slots));
}
template <unsigned shape, bool negated>
BETONY_BLOCK_INLINE const std::uint32_t* small(const std::uint32_t* at, std::uint32_t n, std::uint64_t* slots) {
  constexpr unsigned terms = small_shapes[shape].terms, width = small_shapes[shape].width;
  BETONY_BLOCK_EACH(1 + terms * width, (sum_of<terms, width>(at + 1, slots)));
}

template <unsigned width>
BETONY_BLOCK_INLINE Plane odd_of(const std::uint32_t* at, const std::uint64_t* slots) {
  if constexpr (width == 1) return read(slots, at[0]);
  else return differ(read(slots, at[0]), odd_of<width - 1>(at + 1, slots));
}
template <unsigned width>
BETONY_BLOCK_INLINE const std::uint32_t* odds(const std::uint32_t* at, std::uint32_t n, std::uint64_t* slots) {
  constexpr bool negated = false;
  BETONY_BLOCK_EACH(1 + width, odd_of<width>(at + 1, slots));
}
BETONY_BLOCK_INLINE Plane most_of(const Plane& a, const Plane& b, const Plane& c) { return either(both(a, b), both(c, either(a, b))); }
BETONY_BLOCK_INLINE const std::uint32_t* most(const std::uint32_t* at, std::uint32_t n, std::uint64_t* slots) {
  constexpr bool negated = false;
  BETONY_BLOCK_EACH(4, most_of(read(slots, at[1]), read(slots, at[2]), read(slots, at[3])));
}
#undef BETONY_BLOCK_EACH

BETONY_BLOCK_INLINE const std::uint32_t* odd(const std::uint32_t* at, std::uint32_t n, std::uint64_t* slots) {
  Plane sum = everywhere(false);
  for (std::uint32_t i = 1; i <= n; ++i) sum = differ(sum, read(slots, at[i]));
  write(sum, slots, at[0]);
  return at + 1 + n;
}

BETONY_BLOCK_INLINE const std::uint32_t* any(const std::uint32_t* at, std::uint32_t n, const std::uint64_t* slots, Plane& sum) {
  for (; n != 0; n -= 2, at += 2) sum = either(sum, either(read(slots, at[0]), read(slots, at[1])));
  return at;
}
template <unsigned width>
BETONY_BLOCK_INLINE const std::uint32_t* terms(const std::uint32_t* at, std::uint32_t n, const std::uint64_t* slots, Plane& sum) {
  for (; n != 0; --n, at += width) sum = either(sum, product<width>(at, slots));
  return at;
}
BETONY_BLOCK_INLINE const std::uint32_t* term(const std::uint32_t* at, std::uint32_t n, const std::uint64_t* slots, Plane& sum) {
  Plane all = everywhere(true);
  for (; n != 0; --n, ++at) all = both(all, read(slots, *at));
  sum = either(sum, all);
  return at;
}
BETONY_BLOCK_INLINE const std::uint32_t* keep(const std::uint32_t* at, bool negated, std::uint64_t* slots, Plane& sum) {
  write(negated ? opposite(sum) : sum, slots, at[0]);
  sum = everywhere(false);
  return at + 1;
}

// Down the ladder. `in` are the persons the ruleset is for, without those it refers.
BETONY_BLOCK_INLINE const std::uint32_t* ladder(const std::uint32_t* at, const std::uint64_t* slots, const Plane& in, const Plane& referred,
                                                std::uint64_t* out) {
  const Plane withheld = read(slots, at[0]), discouraged = read(slots, at[1]), advised = read(slots, at[2]), allowed = read(slots, at[3]);
  const Plane past_first = both_not(in, withheld), past_second = both_not(past_first, discouraged), past_third = both_not(past_second, advised);
  const Plane says_withheld = both(in, withheld), says_discouraged = both(past_first, discouraged), says_advised = both(past_second, advised);
  const Plane says_allowed = both(past_third, allowed), otherwise = both_not(past_third, allowed);
  const std::uint32_t said = at[5];
  const bool may_care = (said & 7u) == 4 || (said & 7u) == 5;
  const Plane bit_0 = either(either(referred, says_discouraged), either(says_allowed, both(otherwise, everywhere(said & 1u))));
  const Plane bit_1 = either(either(says_withheld, says_discouraged), both(otherwise, everywhere(said & 2u)));
  const Plane bit_2 = either(either(says_advised, says_allowed), both(otherwise, everywhere(said & 4u)));
  const Plane may_be_done = either(either(says_advised, says_allowed), both(otherwise, everywhere(may_care)));
  const Plane care = either(both(may_be_done, read(slots, at[4])), both(otherwise, everywhere(may_care && (said & code_of_care))));
  write_anywhere(bit_0, out);
  write_anywhere(bit_1, out + block_words);
  write_anywhere(bit_2, out + 2 * block_words);
  write_anywhere(care, out + 3 * block_words);
  return at + 6;
}

#define BETONY_BLOCK_SMALL(shape)                                                                           \
  case static_cast<std::uint32_t>(BlockOp::small) + (shape): at = small<shape, false>(at, n, slots); break; \
  case static_cast<std::uint32_t>(BlockOp::small_not) + (shape): at = small<shape, true>(at, n, slots); break

BETONY_BLOCK_INLINE const std::uint32_t* any_small(const std::uint32_t* at, std::uint32_t op, std::uint32_t n, std::uint64_t* slots) {
  static_assert(small_count == 11);
  switch (op) {
    BETONY_BLOCK_SMALL(0); BETONY_BLOCK_SMALL(1); BETONY_BLOCK_SMALL(2); BETONY_BLOCK_SMALL(3); BETONY_BLOCK_SMALL(4); BETONY_BLOCK_SMALL(5);
    BETONY_BLOCK_SMALL(6); BETONY_BLOCK_SMALL(7); BETONY_BLOCK_SMALL(8); BETONY_BLOCK_SMALL(9); BETONY_BLOCK_SMALL(10);
  }
  return at;
}
#undef BETONY_BLOCK_SMALL

BETONY_BLOCK_TARGET void run(const std::uint32_t* at, const std::uint64_t* inputs, std::uint64_t* slots, std::uint64_t* out) {
  Plane sum = everywhere(false), in = everywhere(false), referred = everywhere(false);
  for (;;) {
    const std::uint32_t head = *at++, op = head & 255u, n = head >> 8;
    switch (static_cast<BlockOp>(op)) {
      case BlockOp::end: return;
      case BlockOp::fetch: at = fetch<false>(at, n, inputs, slots); break;
      case BlockOp::fetch_not: at = fetch<true>(at, n, inputs, slots); break;
      case BlockOp::turn: at = turn(at, n, slots); break;
      case BlockOp::odd_2: at = odds<2>(at, n, slots); break;
      case BlockOp::odd_3: at = odds<3>(at, n, slots); break;
      case BlockOp::most: at = most(at, n, slots); break;
      case BlockOp::odd: at = odd(at, n, slots); break;
      case BlockOp::any: at = any(at, n, slots, sum); break;
      case BlockOp::pairs: at = terms<2>(at, n, slots, sum); break;
      case BlockOp::triples: at = terms<3>(at, n, slots, sum); break;
      case BlockOp::term: at = term(at, n, slots, sum); break;
      case BlockOp::keep: at = keep(at, false, slots, sum); break;
      case BlockOp::keep_not: at = keep(at, true, slots, sum); break;
      case BlockOp::scope: {
        const Plane applies = read(slots, at[0]), refers = read(slots, at[1]);
        in = both_not(applies, refers), referred = both(applies, refers), at += 2;
        break;
      }
      case BlockOp::ladder: at = ladder(at, slots, in, referred, out), out += planes_each * block_words; break;
      default: at = any_small(at, op, n, slots);
    }
  }
}

}  // namespace
}  // namespace betony::runtime

#endif
