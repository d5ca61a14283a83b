// Keys, and the files in which they are kept. What was secret in a buffer is wiped before the buffer goes.
#include <fcntl.h>
#include <sodium.h>
#include <unistd.h>

#include <algorithm>
#include <cerrno>
#include <cstring>
#include <string_view>

#include "runtime/seal/secrets.h"

namespace betony::seal {
namespace {

static_assert(std::tuple_size_v<PublicKey> == crypto_sign_PUBLICKEYBYTES && crypto_sign_SEEDBYTES == 32 && crypto_sign_BYTES == 64);

constexpr std::string_view public_title = "betony public key", secret_title = "betony secret key: show it to nobody";
constexpr std::size_t digits = 64, most_bytes = 128;    // of a key file; both kinds have fewer

// A row of bytes that is wiped when it goes.
template <std::size_t size>
struct Wiped {
  ~Wiped() { sodium_memzero(bytes, size); }
  unsigned char bytes[size] = {};
  char* text() { return reinterpret_cast<char*>(bytes); }
};
using KeyText = Wiped<most_bytes>;
using KeyBytes = Wiped<32>;

std::string why(const std::string& path, int error) {
  const std::string name = "\"" + path + "\"";
  switch (error) {
    case ENOENT:
    case ENOTDIR: return "there is no file " + name;
    case EEXIST: return name + " is there already, and a key is never written over a file";
    case EISDIR: return name + " is a folder; name the file of a key";
    case EACCES:
    case EPERM: return name + " may not be read or written by you";
    default: return name + ": " + std::strerror(error);
  }
}

// ---------------------------------------------------------------- reading

// Up to the bound; errno tells where it fails.
bool read_up_to(int fd, KeyText& text, std::size_t& size) {
  while (size < most_bytes) {
    const ssize_t got = ::read(fd, text.bytes + size, most_bytes - size);
    if (got < 0 && errno == EINTR) continue;
    if (got < 0) return false;
    if (got == 0) return true;
    size += static_cast<std::size_t>(got);
  }
  return true;
}

// Takes the next line off `rest`, without its end.
std::string_view line_off(std::string_view& rest) {
  const std::size_t end = std::min(rest.find('\n'), rest.size());
  std::string_view line = rest.substr(0, end);
  rest.remove_prefix(std::min(end + 1, rest.size()));
  if (line.ends_with('\r')) line.remove_suffix(1);
  return line;
}

bool take_digits(std::string_view hex, KeyBytes& key) {
  std::size_t taken = 0;
  return hex.size() == digits && sodium_hex2bin(key.bytes, sizeof key.bytes, hex.data(), hex.size(), nullptr, &taken, nullptr) == 0 &&
         taken == sizeof key.bytes;
}

// The 32 bytes that a key file of this title holds, or what is wrong with it; says nothing of what it holds.
std::string read_key_file(const std::string& path, std::string_view title, KeyBytes& key) {
  const int fd = ::open(path.c_str(), O_RDONLY | O_CLOEXEC);
  if (fd < 0) return why(path, errno);
  KeyText text;
  std::size_t size = 0;
  const bool read = read_up_to(fd, text, size);
  const int error = errno;
  ::close(fd);
  if (!read) return why(path, error);
  std::string_view rest(text.text(), size);
  const std::string_view told = line_off(rest), hex = line_off(rest);
  if (told == secret_title && title == public_title) return "\"" + path + "\" holds a secret key; the public key is asked for";
  if (told == public_title && title == secret_title) return "\"" + path + "\" holds a public key; the secret key is asked for";
  if (told != title) return "\"" + path + "\" is no key: its first line is not \"" + std::string(title) + "\"";
  return rest.empty() && take_digits(hex, key) ? "" : "\"" + path + "\" is no whole key: its second and last line has to be 64 hexadecimal digits";
}

// ---------------------------------------------------------------- writing

bool write_all(int fd, const char* text, std::size_t size) {
  while (size > 0) {
    const ssize_t put = ::write(fd, text, size);
    if (put < 0 && errno != EINTR) return false;
    if (put > 0) text += put, size -= static_cast<std::size_t>(put);
  }
  return true;
}

// Makes a file that is not there yet, whole or not at all.
std::string write_key_file(const std::string& path, std::string_view title, const unsigned char* key, unsigned permissions) {
  KeyText text;
  std::size_t size = title.copy(text.text(), title.size());
  text.bytes[size++] = '\n';
  sodium_bin2hex(text.text() + size, digits + 1, key, digits / 2);
  size += digits;
  text.bytes[size++] = '\n';
  const int fd = ::open(path.c_str(), O_WRONLY | O_CREAT | O_EXCL | O_CLOEXEC, permissions);
  if (fd < 0) return errno == ENOENT || errno == ENOTDIR ? "there is no folder for \"" + path + "\"" : why(path, errno);
  bool written = write_all(fd, text.text(), size) && ::fsync(fd) == 0;
  int error = errno;
  if (::close(fd) != 0 && written) written = false, error = errno;
  if (written) return "";
  ::unlink(path.c_str());
  return why(path, error);
}

}  // namespace

bool sodium_is_ready() { return sodium_init() >= 0; }    // may be called again, and from any thread

std::string hex_of(const PublicKey& key) {
  static constexpr char digit[] = "0123456789abcdef";
  std::string out;
  for (const std::uint8_t byte : key) out += digit[byte >> 4], out += digit[byte & 15];
  return out;
}

std::string words_of(const PublicKey& key) {
  const std::string hex = hex_of(key);
  return hex.substr(0, 4) + " " + hex.substr(4, 4) + " " + hex.substr(8, 4) + " " + hex.substr(12, 4);
}

void SecretKey::Wipe::operator()(unsigned char* bytes) const { sodium_free(bytes); }    // it overwrites them first

SecretKeyReading Secrets::room() {
  if (!sodium_is_ready()) return {std::nullopt, no_sodium};
  SecretKey key;
  key.bytes_.reset(static_cast<unsigned char*>(sodium_malloc(crypto_sign_SECRETKEYBYTES)));
  if (!key.bytes_) return {std::nullopt, "there is no memory for a secret key"};
  return {std::move(key), ""};
}

SecretKeyReading Secrets::random() {
  auto out = room();
  if (out.key) crypto_sign_keypair(out.key->public_.data(), out.key->bytes_.get());
  return out;
}

SecretKeyReading Secrets::from(const unsigned char* seed) {
  auto out = room();
  if (out.key) crypto_sign_seed_keypair(out.key->public_.data(), out.key->bytes_.get(), seed);
  return out;
}

SecretKeyReading make_key() { return Secrets::random(); }

SecretKeyReading read_secret_key(const std::string& path) {
  KeyBytes seed;
  std::string wrong = read_key_file(path, secret_title, seed);
  if (!wrong.empty()) return {std::nullopt, std::move(wrong)};
  return Secrets::from(seed.bytes);
}

PublicKeyReading read_public_key(const std::string& path) {
  KeyBytes bytes;
  std::string wrong = read_key_file(path, public_title, bytes);
  if (!wrong.empty()) return {std::nullopt, std::move(wrong)};
  PublicKey key;
  std::copy(bytes.bytes, bytes.bytes + key.size(), key.begin());
  return {key, ""};
}

std::string write_key(const SecretKey& key, const std::string& secret_path, const std::string& public_path) {
  if (!Secrets::bytes(key)) return "the secret key is gone";
  std::string wrong = write_key_file(secret_path, secret_title, Secrets::bytes(key), 0600);
  if (!wrong.empty()) return wrong;
  wrong = write_key_file(public_path, public_title, key.public_key().data(), 0666);
  if (!wrong.empty()) ::unlink(secret_path.c_str());    // it is the one just made
  return wrong;
}

}  // namespace betony::seal
