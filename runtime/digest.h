// runtime/digest.h: SHA-256, the fingerprint of a row of bytes.
//
//   Sha256 hash;                        // the same as sha256(head and tail as one row)
//   hash.add(head);
//   hash.add(tail);
//   const Digest digest = hash.finish();
//
// It tells whether bytes are the ones that somebody named; it is no secret and no signature.
//
// Errors    None: any bytes have a digest. FIPS 180-4 defines it for fewer than 2^61 bytes.
// Cost      O(bytes), about 200 MB a second; no memory but the object itself, 104 bytes.
// Source    NIST, FIPS 180-4, Secure Hash Standard (2015), sections 4.1.2, 4.2.2, 5.1.1, 5.3.3 and 6.2.
// Tested by tests/unit/runtime_digest_test.cpp
#pragma once

#include <array>
#include <cstddef>
#include <cstdint>
#include <span>

namespace betony::runtime {

using Digest = std::array<std::uint8_t, 32>;    // in the order in which it is written in hexadecimal

class Sha256 {
 public:
  void add(std::span<const std::uint8_t> bytes);    // the next bytes, in pieces of any size, also of none
  Digest finish();                                  // of all that was added; then begins anew, with nothing added

 private:
  void take_block(const std::uint8_t* block);       // 64 bytes

  std::array<std::uint32_t, 8> state_ = first_state;
  std::uint64_t size_ = 0;                          // bytes added
  std::array<std::uint8_t, 64> waiting_{};          // the last size_ % 64 of them

  static constexpr std::array<std::uint32_t, 8> first_state = {0x6a09e667, 0xbb67ae85, 0x3c6ef372, 0xa54ff53a,
                                                               0x510e527f, 0x9b05688c, 0x1f83d9ab, 0x5be0cd19};
};

Digest sha256(std::span<const std::uint8_t> bytes);

}  // namespace betony::runtime
