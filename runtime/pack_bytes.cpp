// Packs to bytes and back.
#include <algorithm>
#include <cstring>

#include "runtime/digest.h"
#include "runtime/pack_members.h"
#include "runtime/pack_verify.h"

namespace betony::runtime {
namespace {

constexpr char magic[] = "btnypack", seal_magic[] = "btnyseal";
constexpr std::uint32_t version = 1;
constexpr std::size_t header_size = 56, section_size = 24, digest_at = 24, magic_size = 8, public_key_size = 32, seal_size = 8 + 32 + 64;
constexpr std::size_t longest_number = 4096;  // characters

// ---------------------------------------------------------------- writing

class Writer {
 public:
  std::vector<std::uint8_t> bytes;

  void operator()(std::uint32_t n) {
    for (int shift = 0; shift < 32; shift += 8) bytes.push_back(static_cast<std::uint8_t>(n >> shift));
  }
  void wide(std::uint64_t n) { (*this)(static_cast<std::uint32_t>(n)), (*this)(static_cast<std::uint32_t>(n >> 32)); }
  void operator()(bool b) { bytes.push_back(b); }
  void operator()(const std::string& text) {
    (*this)(static_cast<std::uint32_t>(text.size()));
    bytes.insert(bytes.end(), text.begin(), text.end());
  }
  void operator()(const Number& number) { (*this)(number.words()); }
  void operator()(const std::array<std::uint8_t, 32>& digest) { bytes.insert(bytes.end(), digest.begin(), digest.end()); }
  template <class Enumerated>
  void operator()(Enumerated value, std::size_t) { bytes.push_back(static_cast<std::uint8_t>(value)); }
  template <class Item>
  void operator()(std::vector<Item>& list) {
    (*this)(static_cast<std::uint32_t>(list.size()));
    for (Item& item : list) (*this)(item);
  }
  template <class Item>
  void operator()(std::optional<Item>& item) {
    (*this)(item.has_value());
    if (item) (*this)(*item);
  }
  template <class Struct>
  void operator()(Struct& x) requires requires { members(*this, x); } { members(*this, x); }
};

// ---------------------------------------------------------------- reading

// Past the first thing that is wrong nothing more is read.
class Reader {
 public:
  explicit Reader(std::span<const std::uint8_t> bytes) : bytes_(bytes) {}
  bool sound() const { return sound_; }
  bool at_end() const { return sound_ && at_ == bytes_.size(); }

  std::uint32_t number() {
    const auto four = take(4);
    std::uint32_t n = 0;
    for (std::size_t i = 0; i < four.size(); ++i) n |= static_cast<std::uint32_t>(four[i]) << (8 * i);
    return n;
  }
  std::uint64_t wide() {
    const std::uint64_t low = number();
    return low | static_cast<std::uint64_t>(number()) << 32;
  }
  void operator()(std::uint32_t& n) { n = number(); }
  void operator()(bool& b) {
    const std::uint8_t byte = one();
    if (byte > 1) sound_ = false;
    b = byte == 1;
  }
  void operator()(std::string& text) {
    const auto letters = take(number());
    text.assign(letters.begin(), letters.end());
  }
  void operator()(Number& n) {
    std::string text;
    (*this)(text);
    const auto read = sound_ ? Number::read(text, longest_number) : std::nullopt;
    if (read && read->words() == text) n = *read;  // one way of writing each
    else sound_ = false;
  }
  void operator()(std::array<std::uint8_t, 32>& digest) {
    const auto all = take(digest.size());
    std::copy(all.begin(), all.end(), digest.begin());
  }
  template <class Enumerated>
  void operator()(Enumerated& value, std::size_t count) {
    const std::uint8_t byte = one();
    if (byte >= count) sound_ = false;
    else value = static_cast<Enumerated>(byte);
  }
  template <class Item>
  void operator()(std::vector<Item>& list) {
    const std::uint32_t count = number();
    // Every item takes a byte at least; room is made as items come, so that a false count costs nothing.
    for (std::uint32_t i = 0; i < count && sound_; ++i) (*this)(list.emplace_back());
  }
  template <class Item>
  void operator()(std::optional<Item>& item) {
    bool there = false;
    (*this)(there);
    if (there && sound_) (*this)(item.emplace());
  }
  template <class Struct>
  void operator()(Struct& x) requires requires { members(*this, x); } { members(*this, x); }

 private:
  std::span<const std::uint8_t> take(std::size_t count) {
    if (!sound_ || bytes_.size() - at_ < count) {
      sound_ = false;
      return {};
    }
    at_ += count;
    return bytes_.subspan(at_ - count, count);
  }
  std::uint8_t one() {
    const auto byte = take(1);
    return byte.empty() ? 0 : byte[0];
  }

  std::span<const std::uint8_t> bytes_;
  std::size_t at_ = 0;
  bool sound_ = true;
};

struct Stretch {
  std::uint32_t kind = 0;
  std::uint64_t offset = 0, size = 0;
};

const char* name_of(Section section) {
  static const char* const names[] = {"", "about", "units", "findings", "measures", "tallies", "variables", "program", "sources", "sentences", "doses",
                                      "practices", "choices", "readings", "graphs"};
  return names[static_cast<std::uint32_t>(section)];
}

}  // namespace

std::vector<std::uint8_t> write_pack(const Pack& given) {
  Pack pack = given;  // the members are listed once, for reading, and so are not const
  std::vector<Stretch> table;
  Writer body;
  sections(pack, [&](Section section, auto&... parts) {
    const std::size_t begin = body.bytes.size();
    (body(parts), ...);
    table.push_back({static_cast<std::uint32_t>(section), begin, body.bytes.size() - begin});
  });
  const std::size_t body_at = header_size + table.size() * section_size;
  Writer out;
  out.bytes.assign(magic, magic + magic_size);
  out(version);
  out(static_cast<std::uint32_t>(table.size()));
  out.wide(body_at + body.bytes.size());
  out(std::array<std::uint8_t, 32>{});
  for (const Stretch& stretch : table) out(stretch.kind), out(std::uint32_t{0}), out.wide(body_at + stretch.offset), out.wide(stretch.size);
  out.bytes.insert(out.bytes.end(), body.bytes.begin(), body.bytes.end());
  const auto digest = sha256(std::span(out.bytes).subspan(header_size));
  std::copy(digest.begin(), digest.end(), out.bytes.begin() + digest_at);
  return std::move(out.bytes);
}

namespace {

PackReading wrong(std::string words) {
  PackReading out;
  out.wrong = std::move(words);
  return out;
}

}  // namespace

PackFrame frame_of(std::span<const std::uint8_t> bytes) {
  PackFrame out;
  const auto wrong = [&](std::string words) { return out.wrong = std::move(words), out; };
  if (bytes.size() < header_size || std::memcmp(bytes.data(), magic, magic_size) != 0) return wrong("this is no pack");
  Reader header(bytes.subspan(magic_size));
  if (const std::uint32_t told = header.number(); told != version)
    return wrong("the pack is of version " + std::to_string(told) + "; this program reads version " + std::to_string(version));
  out.begins_as_pack = true;
  out.sections = header.number();
  const std::uint64_t size = header.wide();
  if (size > bytes.size()) return wrong("the pack is cut off: " + std::to_string(bytes.size()) + " of " + std::to_string(size) + " bytes");
  if (size < header_size) return wrong("the pack's size is wrong");
  header(out.digest);
  out.header = bytes.first(header_size);
  out.body = bytes.subspan(header_size, size - header_size);
  const auto rest = bytes.subspan(size);
  const bool sealed = rest.size() == seal_size && std::memcmp(rest.data(), seal_magic, magic_size) == 0;
  if (!rest.empty() && !sealed) return wrong("bytes stand behind the pack that are no seal");
  if (sealed) out.public_key = rest.subspan(magic_size, public_key_size), out.signature = rest.subspan(magic_size + public_key_size);
  if (sha256(out.body) != out.digest) return wrong("the pack has been changed since it was written");
  return out;
}

PackReading read_pack(std::span<const std::uint8_t> bytes) {
  PackFrame frame = frame_of(bytes);
  if (!frame.wrong.empty()) return wrong(std::move(frame.wrong));
  PackReading out;
  out.sealed = !frame.signature.empty();
  out.digest = frame.digest;

  Pack pack;
  const std::uint64_t size = header_size + frame.body.size();
  std::uint64_t next = header_size + std::uint64_t{frame.sections} * section_size;
  std::uint32_t read = 0;
  Reader table(frame.body);
  std::string trouble;
  sections(pack, [&](Section section, auto&... parts) {
    if (!trouble.empty()) return;
    const std::uint32_t kind = table.number(), zero = table.number();
    const std::uint64_t offset = table.wide(), length = table.wide();
    const bool fits = table.sound() && read++ < frame.sections && kind == static_cast<std::uint32_t>(section) && zero == 0 && offset == next && offset <= size && length <= size - offset;
    Reader reader(fits ? bytes.subspan(offset, length) : bytes.subspan(0, 0));
    if (fits) (reader(parts), ...);
    if (!fits || !reader.at_end()) trouble = std::string("the pack's section of ") + name_of(section) + " cannot be read";
    next = offset + length;
  });
  if (trouble.empty() && (read != frame.sections || next != size)) trouble = "the pack's sections do not fill it";
  if (trouble.empty()) trouble = what_is_wrong(pack);
  if (!trouble.empty()) return wrong(trouble);
  out.pack = std::move(pack);
  return out;
}

}  // namespace betony::runtime
