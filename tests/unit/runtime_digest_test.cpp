// runtime/digest.h against the published examples of SHA-256, and against itself fed in pieces.
#include "runtime/digest.h"

#include <algorithm>
#include <catch2/catch.hpp>
#include <random>
#include <string>
#include <string_view>
#include <vector>

using namespace betony::runtime;

namespace {

using Bytes = std::vector<std::uint8_t>;

Bytes bytes_of(std::string_view text) { return {text.begin(), text.end()}; }

std::string hex(const Digest& digest) {
  std::string out;
  for (const std::uint8_t byte : digest) {
    out += "0123456789abcdef"[byte >> 4];
    out += "0123456789abcdef"[byte & 15];
  }
  return out;
}

// No two of them alike, and none with a period that fits in a block.
Bytes sample(std::size_t size) {
  Bytes bytes(size);
  for (std::size_t i = 0; i < size; ++i) bytes[i] = static_cast<std::uint8_t>(i * 7 + size);
  return bytes;
}

Digest in_pieces(std::span<const std::uint8_t> bytes, std::size_t piece) {
  Sha256 hash;
  for (; bytes.size() > piece; bytes = bytes.subspan(piece)) hash.add(bytes.first(piece));
  hash.add(bytes);
  return hash.finish();
}

}  // namespace

TEST_CASE("the digests are those that NIST publishes") {
  // NIST, Cryptographic Algorithm Validation Program, SHA test vectors for byte-oriented messages: SHA256ShortMsg.rsp, Len = 0.
  CHECK(hex(sha256({})) == "e3b0c44298fc1c149afbf4c8996fb92427ae41e4649b934ca495991b7852b855");
  // NIST, example values to FIPS 180-4, SHA256.pdf: the message of one block (24 bits) and that of two (448 bits).
  CHECK(hex(sha256(bytes_of("abc"))) == "ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad");
  CHECK(hex(sha256(bytes_of("abcdbcdecdefdefgefghfghighijhijkijkljklmklmnlmnomnopnopq"))) ==
        "248d6a61d20638b8e5c026930c3e6039a33ce45964ff2167f6ecedd419db06c1");
  // NIST, FIPS 180-2, appendix B.3: one million times "a".
  CHECK(hex(sha256(Bytes(1'000'000, 'a'))) == "cdc76e5c9914fb9281a1c7e284d73e67f1809a48a497200e046d39ccc7112cd0");
}

TEST_CASE("the digests of messages of every size from 0 to 256 bytes are those of another program") {
  Sha256 all;
  for (std::size_t size = 0; size <= 256; ++size) all.add(sha256(sample(size)));
  // Python's hashlib: h = sha256(); for n in range(257): h.update(sha256(bytes((i * 7 + n) & 255 for i in range(n))).digest())
  CHECK(hex(all.finish()) == "8c87921c70e710c77b598f6aed63e551969111a288541684ba32dc1203143503");
}

TEST_CASE("feeding a message in pieces of any size gives the digest of the whole") {
  std::size_t feedings = 0;
  for (std::size_t size = 0; size <= 200; ++size) {
    const Bytes message = sample(size);
    const Digest whole = sha256(message);
    for (std::size_t piece = 1; piece <= 130; ++piece, ++feedings)
      if (in_pieces(message, piece) != whole) FAIL("a message of " << size << " bytes in pieces of " << piece);
  }
  CHECK(feedings == 201 * 130);
}

TEST_CASE("feeding a message in pieces of uneven sizes, some of them empty, gives the digest of the whole") {
  const std::uint64_t seed = 20240607;
  CAPTURE(seed);
  std::mt19937_64 random(seed);
  const Bytes message = sample(10'000);
  const Digest whole = sha256(message);
  for (int round = 0; round < 200; ++round) {
    Sha256 hash;
    for (std::span<const std::uint8_t> left = message; !left.empty();) {
      const std::size_t piece = std::min<std::size_t>(left.size(), random() % 200);
      hash.add(left.first(piece));
      left = left.subspan(piece);
    }
    CHECK(hash.finish() == whole);
  }
}

TEST_CASE("after finishing, a hash begins anew, and a copy goes its own way") {
  Sha256 hash;
  hash.add(bytes_of("left over?"));
  hash.finish();
  CHECK(hash.finish() == sha256({}));
  hash.add(bytes_of("ab"));
  Sha256 copy = hash;
  copy.add(bytes_of("d"));
  hash.add(bytes_of("c"));
  CHECK(hash.finish() == sha256(bytes_of("abc")));
  CHECK(copy.finish() == sha256(bytes_of("abd")));
}
