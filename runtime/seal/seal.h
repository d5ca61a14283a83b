// runtime/seal/seal.h: seals of packs: who shipped a pack, and that not a byte of it has been changed since.
//
//   const auto hill = betony::seal::read_public_key("hill.public");    // from whom the pack is expected
//   const auto told = betony::seal::examine(bytes);                    // any bytes at all
//   if (!hill.key) return complain(hill.wrong);
//   if (told.state != betony::seal::State::sealed) return complain(told.wrong.empty() ? "it is not sealed" : told.wrong);
//   if (told.by != *hill.key) return complain("it is sealed by " + betony::seal::words_of(told.by));
//
// A seal is an Ed25519 signature (RFC 8032) of a pack's header, which holds the digest of all the rest; it stands behind the pack
// with the public key that it is checked with (runtime/pack.h gives the bytes). So a seal that fits says only that whoever holds the
// secret key belonging to `by` sealed these bytes. Whose key that is, nothing in the pack can tell: compare `by` with a
// key that came to you in another way. A seal that is cut off whole leaves a sound pack that is not sealed; whoever expects a
// seal has to refuse that too.
//
// A key file is two lines of text. A secret key is the 32 bytes that RFC 8032, 5.1.5 calls the private key; the public key follows from it.
//
//   betony public key                        betony secret key: show it to nobody
//   64 hexadecimal digits                    64 hexadecimal digits
//
// Lines end in LF or CR LF, the last need not; digits may be capitals; nothing else may stand there.
//
// Installed as betony/seal.h; find_package(betony COMPONENTS seal) gives the target betony::seal, pkg-config calls it betony-seal.
// The only part of the runtime that needs a library: libsodium.
//
// Threads   Any number; no call here has a memory.
// Errors    Values: where something could not be done, `wrong` says in words why, and never holds what a key file holds. Nothing is thrown.
// Secrets   A secret key lies in memory that is locked where the system lets it, is left out of core dumps, and is wiped when it goes.
// Tested by tests/unit/seal_test.cpp, tests/unit/terminal_seal_test.cpp, tests/embed/
#pragma once

#include <array>
#include <cstdint>
#include <memory>
#include <optional>
#include <span>
#include <string>
#include <vector>

namespace betony::seal {

using PublicKey = std::array<std::uint8_t, 32>;

std::string hex_of(const PublicKey& key);    // 64 digits
// The first 16 of them in groups: "3f2a 91c0 77de 0b12". To tell the keys at hand apart by eye, not to trust one: for that compare all of it.
std::string words_of(const PublicKey& key);

class SecretKey {
 public:
  const PublicKey& public_key() const { return public_; }

 private:
  struct Wipe {
    void operator()(unsigned char* bytes) const;
  };
  SecretKey() = default;
  friend struct Secrets;                      // seal.cpp's own

  std::unique_ptr<unsigned char, Wipe> bytes_;
  PublicKey public_{};
};

// ---------------------------------------------------------------- keys

// A key, or why there is none: "there is no file "hill.secret"", ""hill.public" holds a public key; the secret key is asked for".
struct SecretKeyReading {
  std::optional<SecretKey> key;
  std::string wrong;
};
struct PublicKeyReading {
  std::optional<PublicKey> key;
  std::string wrong;
};

SecretKeyReading make_key();                  // a new one, at random
SecretKeyReading read_secret_key(const std::string& path);
PublicKeyReading read_public_key(const std::string& path);

// Writes both halves of a key, each into a file that is not there yet; the secret one may be read and written by its owner only.
// Returns what went wrong; then neither file was made. Empty: both are written and synced.
std::string write_key(const SecretKey& key, const std::string& secret_path, const std::string& public_path);

// ---------------------------------------------------------------- packs

// The pack with a seal behind it, or why it is not sealed: it is no sound pack, or has a seal.
struct Sealing {
  std::vector<std::uint8_t> bytes;
  std::string wrong;
};
Sealing seal_pack(std::span<const std::uint8_t> pack, const SecretKey& key);

enum class State : std::uint8_t {
  refused,     // it does not begin as a pack that is read here, or libsodium cannot be used
  tampered,    // the signature does not fit, the digest does not, or what stands behind the pack is no seal
  unsealed,    // a sound pack, and nothing behind it
  sealed       // `by`, and the seal fits
};

struct Examination {
  State state = State::refused;
  PublicKey by{};                             // sealed
  std::string wrong;                          // refused, tampered
};

// The frame of a pack and its seal; what its sections say is looked at only when it is read. Cost: one SHA-256 over the bytes.
Examination examine(std::span<const std::uint8_t> bytes);

}  // namespace betony::seal
