// runtime/seal/secrets.h: the one door to what a secret key holds. Inside this folder only.
#pragma once

#include "runtime/seal/seal.h"

namespace betony::seal {

constexpr char no_sodium[] = "libsodium cannot be used on this machine";
bool sodium_is_ready();                       // starts it where need be

struct Secrets {
  static SecretKeyReading random();
  // From RFC 8032's private key, 32 bytes.
  static SecretKeyReading from(const unsigned char* seed);
  // That key and behind it the public one, 64 bytes as libsodium wants them; null where the key was moved away.
  static const unsigned char* bytes(const SecretKey& key) { return key.bytes_.get(); }

 private:
  static SecretKeyReading room();
};

}  // namespace betony::seal
