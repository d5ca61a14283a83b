// Seals of packs, and the keys that make them.
#include <catch2/catch.hpp>

#include <sodium.h>
#include <sys/stat.h>

#include <filesystem>
#include <fstream>
#include <random>
#include <sstream>

#include "compiler/ship/ship.h"
#include "runtime/digest.h"
#include "runtime/pack.h"
#include "runtime/seal/seal.h"
#include "tests/support.h"
#include "tests/unit/terminal_run.h"

using namespace betony;
using seal::State;
using testing::Folder;
using Bytes = std::vector<std::uint8_t>;

namespace {

constexpr std::size_t header_size = 56, seal_size = 104;
const std::string does_not_fit = "the seal does not fit the pack: one of them has been changed";

Bytes pack(const std::string& practice = "moss bed") {
  const Ruleset ruleset = testing::ruleset_of("Ruleset \"Hill\", edition \"2\".\nFinding chill is yes or no.\nPractice " + practice +
                                              ".\n  Indicated in chill.\n  Otherwise allowed.\n");
  return runtime::write_pack(ship::pack_of(ruleset, {}, {"test", false}));
}

seal::SecretKey new_key() {
  auto made = seal::make_key();
  REQUIRE(made.key);
  return *std::move(made.key);
}

Bytes sealed(const Bytes& bytes, const seal::SecretKey& key) {
  auto sealing = seal::seal_pack(bytes, key);
  REQUIRE(sealing.wrong == "");
  return sealing.bytes;
}

void put_digest_right(Bytes& bytes, std::size_t size) {
  const auto digest = runtime::sha256(std::span(bytes).subspan(header_size, size - header_size));
  std::copy(digest.begin(), digest.end(), bytes.begin() + 24);
}

// Neither sealed nor sound: what must come of every change.
bool told_as_wrong(std::span<const std::uint8_t> bytes) {
  const auto told = seal::examine(bytes);
  return (told.state == State::tampered || told.state == State::refused) && !told.wrong.empty();
}

Bytes bytes_of_hex(const std::string& hex) {
  Bytes out;
  for (std::size_t i = 0; i < hex.size(); i += 2) out.push_back(static_cast<std::uint8_t>(std::stoi(hex.substr(i, 2), nullptr, 16)));
  return out;
}

const std::string secret_line = "betony secret key: show it to nobody\n", public_line = "betony public key\n";

// RFC 8032, 7.1, from memory: the private key, the public key, the message and its signature.
struct Vector {
  std::string secret, open, message, signature;
};
const Vector vectors[] = {
    {"9d61b19deffd5a60ba844af492ec2cc44449c5697b326919703bac031cae7f60", "d75a980182b10ab7d54bfed3c964073a0ee172f3daa62325af021a68f707511a", "",
     "e5564300c360ac729086e2cc806e828a84877f1eb8e5d974d873e065224901555fb8821590a33bacc61e39701cf9b46bd25bf5f0595bbe24655141438e7a100b"},
    {"4ccd089b28ff96da9db6c346ec114e0f5b8a319f35aba624da8cf6ed4fb8a6fb", "3d4017c3e843895a92b70aa74d1b7ebc9c982ccf2ec4968cc0cd55f12af4660c", "72",
     "92a009a9f0d4cab8720e820b5f642540a2b27b5416503f8fb3762223ebdb69da085ac1e43e15996e458f3613d0f11d8c387b2eaeb4302aeeb00d291612bb0c00"},
    {"c5aa8df43f9f837bedb7442f31dcb7b166d38535076f094b85ce3a2e0b4458f7", "fc51cd8e6218a1a38da47ed00230f0580816ed13ba3303ac5deb911548908025", "af82",
     "6291d657deec24024827e69c3abe01a30ce548a284743a445e3680d7db5ac3ac18ff9b538d16f290ae67f760984dc6594a7c15e9716ed28dc027beceea1ec40a"},
};

}  // namespace

TEST_CASE("a secret key file holds RFC 8032's private key, and the signatures are that standard's") {
  const Folder folder;
  for (const Vector& vector : vectors) {
    const auto key = seal::read_secret_key(folder.put("key", secret_line + vector.secret + "\n"));
    REQUIRE(key.key);
    CHECK(seal::hex_of(key.key->public_key()) == vector.open);
    const Bytes message = bytes_of_hex(vector.message), both = bytes_of_hex(vector.secret + vector.open);
    Bytes signature(crypto_sign_BYTES);
    REQUIRE(crypto_sign_detached(signature.data(), nullptr, message.data(), message.size(), both.data()) == 0);
    CHECK(signature == bytes_of_hex(vector.signature));
  }
}

TEST_CASE("a seal is the magic, the public key and the signature of the header, in that order behind the pack") {
  const Bytes plain = pack();
  const auto key = new_key();
  const Bytes bytes = sealed(plain, key);
  REQUIRE(bytes.size() == plain.size() + seal_size);
  CHECK(Bytes(bytes.begin(), bytes.end() - seal_size) == plain);
  const std::uint8_t* behind = bytes.data() + plain.size();
  CHECK(std::string(behind, behind + 8) == "btnyseal");
  CHECK(std::equal(behind + 8, behind + 40, key.public_key().begin()));
  CHECK(crypto_sign_verify_detached(behind + 40, bytes.data(), header_size, behind + 8) == 0);
  CHECK(sealed(plain, key) == bytes);
}

TEST_CASE("a pack is told as sealed, and by whom, or as not sealed; either is read") {
  const Bytes plain = pack();
  const auto mine = new_key(), other = new_key();
  CHECK(seal::examine(plain).state == State::unsealed);
  CHECK(seal::examine(plain).wrong == "");
  const Bytes bytes = sealed(plain, mine);
  const auto told = seal::examine(bytes);
  CHECK(told.state == State::sealed);
  CHECK(told.by == mine.public_key());
  CHECK(told.wrong == "");
  CHECK(seal::examine(sealed(plain, other)).by == other.public_key());
  CHECK(mine.public_key() != other.public_key());
  CHECK(runtime::read_pack(bytes).sealed);
  CHECK(runtime::read_pack(bytes).pack);
}

TEST_CASE("every change of a single byte of a sealed pack is told as tampered or refused") {
  const Bytes plain = pack(), bytes = sealed(plain, new_key());
  std::size_t changes = 0;
  for (std::size_t i = 0; i < bytes.size(); ++i) {
    const bool all = i < header_size || i >= plain.size();    // every value in the header and the seal, every bit of the rest
    for (int by = 1; by < 256; by = all ? by + 1 : by * 2) {
      Bytes changed = bytes;
      changed[i] ^= static_cast<std::uint8_t>(by);
      ++changes;
      if (!told_as_wrong(changed)) FAIL_CHECK("byte " << i << " may be changed by " << by);
    }
  }
  CHECK(changes == (header_size + seal_size) * 255 + (plain.size() - header_size) * 8);
}

TEST_CASE("every sealed pack cut short or with a byte behind it is refused, but for the one whose whole seal is gone, which is unsealed") {
  const Bytes plain = pack(), bytes = sealed(plain, new_key());
  for (std::size_t size = 0; size < bytes.size(); ++size)
    if (size != plain.size() && !told_as_wrong(std::span(bytes).first(size))) FAIL_CHECK("the pack may end after " << size << " bytes");
  CHECK(seal::examine(std::span(bytes).first(plain.size())).state == State::unsealed);
  Bytes longer = bytes;
  longer.push_back(0);
  CHECK(seal::examine(longer).wrong == "bytes stand behind the pack that are no seal");
}

TEST_CASE("who changes a sealed pack and puts its digest right does not get past the seal, nor does a seal from another pack") {
  const auto key = new_key();
  const Bytes plain = pack(), bytes = sealed(plain, key);
  for (std::size_t i = header_size; i < plain.size(); ++i) {
    Bytes changed = bytes;
    changed[i] ^= 1;
    put_digest_right(changed, plain.size());
    if (const auto told = seal::examine(changed); told.state != State::tampered || told.wrong != does_not_fit)
      FAIL_CHECK("byte " << i << " may be changed");
  }
  Bytes other = pack("fog bed");
  other.insert(other.end(), bytes.end() - seal_size, bytes.end());
  CHECK(seal::examine(other).state == State::tampered);
}

TEST_CASE("the header is signed, not the digest alone: version, count of sections and size are the sealer's") {
  const Bytes plain = pack(), bytes = sealed(plain, new_key());
  Bytes version = bytes, sections = bytes, size = bytes;
  version[8] = 2;
  CHECK(seal::examine(version).state == State::refused);
  CHECK(seal::examine(version).wrong == "the pack is of version 2; this program reads version 1");
  sections[12] ^= 1;
  CHECK(seal::examine(sections).wrong == does_not_fit);
  size[16] += 1;
  CHECK(seal::examine(size).state == State::tampered);
  // A signature of the bare digest is no seal.
  unsigned char open[crypto_sign_PUBLICKEYBYTES], secret[crypto_sign_SECRETKEYBYTES];
  crypto_sign_keypair(open, secret);
  Bytes bare = bytes;
  std::copy(open, open + 32, bare.end() - 96);
  crypto_sign_detached(&*(bare.end() - 64), nullptr, bare.data() + 24, 32, secret);
  CHECK(seal::examine(bare).state == State::tampered);
  crypto_sign_detached(&*(bare.end() - 64), nullptr, bare.data(), header_size, secret);
  CHECK(seal::examine(bare).state == State::sealed);
}

TEST_CASE("any bytes at all are examined without harm") {
  const Bytes bytes = sealed(pack(), new_key());
  std::mt19937 dice(11);
  for (int round = 0; round < 3000; ++round) {
    Bytes changed = bytes;    // one in three cut short besides
    if (round % 3 == 0) changed.resize(dice() % bytes.size());
    for (int changes = 1 + static_cast<int>(dice() % 6); changes > 0 && !changed.empty(); --changes) {
      const std::size_t near_an_end = dice() % std::min(changed.size(), seal_size);
      changed[dice() % 2 ? near_an_end : changed.size() - 1 - near_an_end] = static_cast<std::uint8_t>(dice());
    }
    if (changed != bytes && !told_as_wrong(changed)) FAIL_CHECK("round " << round);
  }
  CHECK(seal::examine({}).wrong == "this is no pack");
  CHECK(seal::examine({}).state == State::refused);
}

TEST_CASE("only a sound pack without a seal is sealed, and only with a key that is there") {
  auto key = new_key();
  const Bytes plain = pack();
  Bytes changed = plain;
  changed.back() ^= 1;
  CHECK(seal::seal_pack(changed, key).wrong == "the pack has been changed since it was written");
  CHECK(seal::seal_pack({}, key).wrong == "this is no pack");
  CHECK(seal::seal_pack(sealed(plain, key), key).wrong == "the pack is sealed already");
  const auto taken = std::move(key);
  CHECK(seal::seal_pack(plain, key).wrong == "the secret key is gone");
  CHECK(seal::examine(sealed(plain, taken)).by == taken.public_key());
}

TEST_CASE("a key is written in two files of two lines, the secret one for its owner alone, and read again") {
  const Folder folder;
  const auto key = new_key();
  const mode_t mask = ::umask(0);
  const std::string wrong = seal::write_key(key, folder.at("hill.secret"), folder.at("hill.public"));
  ::umask(mask);
  CHECK(wrong == "");
  struct stat about = {};
  REQUIRE(::stat(folder.at("hill.secret").c_str(), &about) == 0);
  CHECK((about.st_mode & 07777) == 0600);
  const std::string hex = seal::hex_of(key.public_key());
  CHECK(folder.text("hill.public") == public_line + hex + "\n");
  CHECK(folder.text("hill.secret").substr(0, secret_line.size()) == secret_line);
  CHECK(folder.text("hill.secret").size() == secret_line.size() + 65);
  CHECK(folder.text("hill.secret").find(hex) == std::string::npos);
  const auto secret = seal::read_secret_key(folder.at("hill.secret"));
  const auto open = seal::read_public_key(folder.at("hill.public"));
  REQUIRE((secret.key && open.key));
  CHECK(*open.key == key.public_key());
  CHECK(sealed(pack(), *secret.key) == sealed(pack(), key));
  CHECK(seal::words_of(key.public_key()) == hex.substr(0, 4) + " " + hex.substr(4, 4) + " " + hex.substr(8, 4) + " " + hex.substr(12, 4));
}

TEST_CASE("a key is never written over a file, and is written with both halves or not at all") {
  const Folder folder;
  const auto key = new_key();
  folder.put("old.secret", "mine");
  const std::string wrong = seal::write_key(key, folder.at("old.secret"), folder.at("old.public"));
  CHECK(wrong == "\"" + folder.at("old.secret") + "\" is there already, and a key is never written over a file");
  CHECK(folder.text("old.secret") == "mine");
  CHECK_FALSE(std::filesystem::exists(folder.at("old.public")));
  folder.put("half.public", "mine");
  CHECK(seal::write_key(key, folder.at("half.secret"), folder.at("half.public")).find("is there already") != std::string::npos);
  CHECK_FALSE(std::filesystem::exists(folder.at("half.secret")));
  CHECK(folder.text("half.public") == "mine");
  std::filesystem::create_symlink(folder.at("elsewhere"), folder.at("link.secret"));
  CHECK(seal::write_key(key, folder.at("link.secret"), folder.at("link.public")).find("is there already") != std::string::npos);
  CHECK_FALSE(std::filesystem::exists(folder.at("elsewhere")));
  CHECK(seal::write_key(key, folder.at("no/a.secret"), folder.at("no/a.public")) == "there is no folder for \"" + folder.at("no/a.secret") + "\"");
}

TEST_CASE("key files in capitals or with other line ends are read; all else is refused in words that hold nothing of them") {
  const Folder folder;
  const std::string digits = "9d61b19deffd5a60ba844af492ec2cc44449c5697b326919703bac031cae7f60";
  std::string capitals = digits;
  for (char& c : capitals) c = static_cast<char>(std::toupper(c));
  const auto wrong = [&](const std::string& text) {
    const auto read = seal::read_secret_key(folder.put("key", text));
    CHECK(read.key.has_value() == read.wrong.empty());
    CHECK(read.wrong.find(digits.substr(0, 6)) == std::string::npos);
    return read.wrong;
  };
  CHECK(wrong(secret_line + digits) == "");
  CHECK(wrong(secret_line + capitals + "\n") == "");
  CHECK(wrong("betony secret key: show it to nobody\r\n" + digits + "\r\n") == "");
  const std::string name = "\"" + folder.at("key") + "\"";
  const std::string not_whole = name + " is no whole key: its second and last line has to be 64 hexadecimal digits";
  const std::string no_key = name + " is no key: its first line is not \"betony secret key: show it to nobody\"";
  const std::vector<std::string> strange = {"", digits, "\n" + digits, " " + secret_line + digits, std::string("\0\0", 2), std::string(100000, '9')};
  for (const std::string& text : strange) CHECK(wrong(text) == no_key);
  const std::vector<std::string> broken = {"", digits.substr(1), digits + "0", digits + "\n\n", digits + "\nmore", " " + digits,
                                           digits.substr(0, 63) + "g", digits.substr(0, 62) + " 0", digits + std::string(1, '\0'),
                                           digits + std::string(1000, '\n')};
  for (const std::string& text : broken) CHECK(wrong(secret_line + text) == not_whole);
  CHECK(wrong(public_line + digits) == name + " holds a public key; the secret key is asked for");
  folder.put("key", secret_line + digits);
  CHECK(seal::read_public_key(folder.at("key")).wrong == name + " holds a secret key; the public key is asked for");
  CHECK(seal::read_public_key(folder.at("none")).wrong == "there is no file \"" + folder.at("none") + "\"");
  CHECK(seal::read_secret_key(folder.at("")).wrong == "\"" + folder.at("") + "\" is a folder; name the file of a key");
}
