// Packs sealed, and seals examined.
#include "runtime/seal/seal.h"

#include <sodium.h>

#include <algorithm>

#include "runtime/pack.h"
#include "runtime/seal/secrets.h"

namespace betony::seal {
namespace {

constexpr char magic[] = "btnyseal";
constexpr std::size_t magic_size = 8;

}  // namespace

Sealing seal_pack(std::span<const std::uint8_t> pack, const SecretKey& key) {
  const auto frame = runtime::frame_of(pack);
  if (!frame.wrong.empty()) return {{}, frame.wrong};
  if (!frame.signature.empty()) return {{}, "the pack is sealed already"};
  if (!Secrets::bytes(key)) return {{}, "the secret key is gone"};
  std::array<std::uint8_t, crypto_sign_BYTES> signature;
  crypto_sign_detached(signature.data(), nullptr, frame.header.data(), frame.header.size(), Secrets::bytes(key));
  Sealing out;
  out.bytes.reserve(pack.size() + magic_size + key.public_key().size() + signature.size());
  out.bytes.assign(pack.begin(), pack.end());
  out.bytes.insert(out.bytes.end(), magic, magic + magic_size);
  out.bytes.insert(out.bytes.end(), key.public_key().begin(), key.public_key().end());
  out.bytes.insert(out.bytes.end(), signature.begin(), signature.end());
  return out;
}

Examination examine(std::span<const std::uint8_t> bytes) {
  const auto frame = runtime::frame_of(bytes);
  if (!frame.begins_as_pack) return {State::refused, {}, frame.wrong};
  if (!frame.wrong.empty()) return {State::tampered, {}, frame.wrong};
  if (frame.signature.empty()) return {State::unsealed, {}, ""};
  if (!sodium_is_ready()) return {State::refused, {}, no_sodium};
  if (crypto_sign_verify_detached(frame.signature.data(), frame.header.data(), frame.header.size(), frame.public_key.data()) != 0)
    return {State::tampered, {}, "the seal does not fit the pack: one of them has been changed"};
  Examination out{State::sealed, {}, ""};
  std::copy(frame.public_key.begin(), frame.public_key.end(), out.by.begin());
  return out;
}

}  // namespace betony::seal
