#include "runtime/digest.h"

#include <algorithm>
#include <bit>

namespace betony::runtime {

namespace {

using Word = std::uint32_t;

constexpr std::size_t block_size = 64;

// 4.2.2: the first 32 bits of the fractional parts of the cube roots of the first 64 primes.
constexpr std::array<Word, 64> constants = {
    0x428a2f98, 0x71374491, 0xb5c0fbcf, 0xe9b5dba5, 0x3956c25b, 0x59f111f1, 0x923f82a4, 0xab1c5ed5,
    0xd807aa98, 0x12835b01, 0x243185be, 0x550c7dc3, 0x72be5d74, 0x80deb1fe, 0x9bdc06a7, 0xc19bf174,
    0xe49b69c1, 0xefbe4786, 0x0fc19dc6, 0x240ca1cc, 0x2de92c6f, 0x4a7484aa, 0x5cb0a9dc, 0x76f988da,
    0x983e5152, 0xa831c66d, 0xb00327c8, 0xbf597fc7, 0xc6e00bf3, 0xd5a79147, 0x06ca6351, 0x14292967,
    0x27b70a85, 0x2e1b2138, 0x4d2c6dfc, 0x53380d13, 0x650a7354, 0x766a0abb, 0x81c2c92e, 0x92722c85,
    0xa2bfe8a1, 0xa81a664b, 0xc24b8b70, 0xc76c51a3, 0xd192e819, 0xd6990624, 0xf40e3585, 0x106aa070,
    0x19a4c116, 0x1e376c08, 0x2748774c, 0x34b0bcb5, 0x391c0cb3, 0x4ed8aa4a, 0x5b9cca4f, 0x682e6ff3,
    0x748f82ee, 0x78a5636f, 0x84c87814, 0x8cc70208, 0x90befffa, 0xa4506ceb, 0xbef9a3f7, 0xc67178f2};

// 4.1.2, in its order: Ch, Maj, the two sums, the two sigmas.
Word choose(Word x, Word y, Word z) { return (x & y) ^ (~x & z); }
Word majority(Word x, Word y, Word z) { return (x & y) ^ (x & z) ^ (y & z); }
Word sum_0(Word x) { return std::rotr(x, 2) ^ std::rotr(x, 13) ^ std::rotr(x, 22); }
Word sum_1(Word x) { return std::rotr(x, 6) ^ std::rotr(x, 11) ^ std::rotr(x, 25); }
Word sigma_0(Word x) { return std::rotr(x, 7) ^ std::rotr(x, 18) ^ (x >> 3); }
Word sigma_1(Word x) { return std::rotr(x, 17) ^ std::rotr(x, 19) ^ (x >> 10); }

Word read_word(const std::uint8_t* bytes) { return Word{bytes[0]} << 24 | Word{bytes[1]} << 16 | Word{bytes[2]} << 8 | Word{bytes[3]}; }

// `count` bytes, the highest first.
void write(std::uint8_t* to, std::uint64_t value, unsigned count) {
  for (unsigned i = 0; i < count; ++i) to[i] = static_cast<std::uint8_t>(value >> (8 * (count - 1 - i)) & 0xff);
}

// 6.2.2, step 1.
std::array<Word, 64> schedule(const std::uint8_t* block) {
  std::array<Word, 64> words;
  for (std::size_t t = 0; t < 16; ++t) words[t] = read_word(block + 4 * t);
  for (std::size_t t = 16; t < 64; ++t) words[t] = sigma_1(words[t - 2]) + words[t - 7] + sigma_0(words[t - 15]) + words[t - 16];
  return words;
}

}  // namespace

// 6.2.2, steps 2 to 4.
void Sha256::take_block(const std::uint8_t* block) {
  const std::array<Word, 64> words = schedule(block);
  auto [a, b, c, d, e, f, g, h] = state_;
  for (std::size_t t = 0; t < 64; ++t) {
    const Word first = h + sum_1(e) + choose(e, f, g) + constants[t] + words[t];
    const Word second = sum_0(a) + majority(a, b, c);
    h = g, g = f, f = e, e = d + first;
    d = c, c = b, b = a, a = first + second;
  }
  const std::array<Word, 8> after = {a, b, c, d, e, f, g, h};
  for (std::size_t i = 0; i < 8; ++i) state_[i] += after[i];
}

void Sha256::add(std::span<const std::uint8_t> bytes) {
  const auto held = static_cast<std::size_t>(size_ % block_size);
  size_ += bytes.size();
  if (held != 0) {
    const std::size_t taken = std::min(bytes.size(), block_size - held);
    std::copy_n(bytes.begin(), taken, waiting_.begin() + static_cast<std::ptrdiff_t>(held));
    bytes = bytes.subspan(taken);
    if (held + taken < block_size) return;
    take_block(waiting_.data());
  }
  for (; bytes.size() >= block_size; bytes = bytes.subspan(block_size)) take_block(bytes.data());
  std::copy(bytes.begin(), bytes.end(), waiting_.begin());
}

// 5.1.1: a bit 1, as few bits 0 as make it come out even, and the number of bits.
Digest Sha256::finish() {
  const std::uint64_t bits = size_ * 8;
  std::array<std::uint8_t, block_size + 8> padding = {0x80};
  const std::size_t zeros_end = block_size - static_cast<std::size_t>((size_ + 8) % block_size);    // 1 to 64
  write(padding.data() + zeros_end, bits, 8);
  add(std::span(padding).first(zeros_end + 8));
  Digest digest;
  for (std::size_t i = 0; i < 8; ++i) write(digest.data() + 4 * i, state_[i], 4);
  *this = Sha256();
  return digest;
}

Digest sha256(std::span<const std::uint8_t> bytes) {
  Sha256 hash;
  hash.add(bytes);
  return hash.finish();
}

}  // namespace betony::runtime
