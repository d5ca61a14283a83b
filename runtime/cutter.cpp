#include "runtime/cutter.h"

#include <algorithm>
#include <bit>
#include <cstring>

#if defined(__x86_64__) && (defined(__GNUC__) || defined(__clang__))
#define BETONY_WIDE_SIEVE 1
#include <immintrin.h>
#endif

namespace betony::runtime {
namespace {

std::size_t place_of(std::string_view bytes, char c) {
  const void* at = bytes.empty() ? nullptr : std::memchr(bytes.data(), c, bytes.size());
  return at ? static_cast<std::size_t>(static_cast<const char*>(at) - bytes.data()) : bytes.size();
}

// Four bytes as one number; in which order does not matter to what is asked of it.
std::uint32_t four_bytes(const char* text) {
  std::uint32_t out;
  std::memcpy(&out, text, 4);
  return out;
}

}  // namespace

// ---------------------------------------------------------------- rows

RowFinder::State RowFinder::after(char c) const {
  switch (state_) {
    case State::start:
      if (c == '"') return State::quoted;
      break;
    case State::quoted: return c == '"' ? State::closed : State::quoted;
    case State::closed:
      if (c == '"') return State::quoted;
      break;
    case State::plain: break;
    case State::skipping: return State::skipping;
  }
  return separates(c) ? State::start : State::plain;
}

RowFinder::Found RowFinder::end(std::size_t used) {
  ended_ = true;
  state_ = State::start;
  return {used, true};
}

// Bytes in which no quote stands.
RowFinder::Found RowFinder::find_plain(std::string_view bytes) {
  const std::size_t line = place_of(bytes, '\n');
  length_ += line;
  too_long_ = length_ > most_bytes_;
  if (line < bytes.size()) return end(line + 1);
  state_ = too_long_ ? State::skipping : separates(bytes.back()) ? State::start : State::plain;
  return {bytes.size(), false};
}

RowFinder::Found RowFinder::find(std::string_view bytes) {
  if (ended_) ended_ = false, length_ = 0, too_long_ = false;
  if (bytes.empty()) return {};
  const std::string_view line = bytes.substr(0, std::min(bytes.size(), place_of(bytes, '\n') + 1));
  const bool quotes_matter = state_ == State::quoted || state_ == State::closed || place_of(line, '"') < line.size();
  if (state_ == State::skipping || !quotes_matter) return find_plain(line);
  for (std::size_t i = 0; i < bytes.size(); ++i) {
    if (bytes[i] == '\n' && state_ != State::quoted) return end(i + 1);
    if (++length_ > most_bytes_) {
      too_long_ = true, state_ = State::skipping;
      Found rest = find_plain(bytes.substr(i));
      return {i + rest.used, rest.ended};
    }
    state_ = after(bytes[i]);
  }
  return {bytes.size(), false};
}

// ---------------------------------------------------------------- cells

namespace {

// Takes cells off the front of a row.
class Cutter {
 public:
  Cutter(std::string_view row, char separator, Cut& cut) : row_(row), separator_(separator), cut_(cut) {}

  // False behind the last.
  bool next() {
    const bool quoted = at_ < row_.size() && row_[at_] == '"';
    cut_.cells.push_back(quoted ? take_quoted() : take_plain());
    return at_++ < row_.size();
  }

 private:
  std::string_view take_plain() {
    const std::size_t begin = at_;
    at_ += place_of(row_.substr(begin), separator_);
    const std::string_view cell = row_.substr(begin, at_ - begin);
    if (place_of(cell, '"') < cell.size()) fault("a quote stands in a cell that does not begin with one");
    return cell;
  }

  std::string_view take_quoted() {
    const std::size_t begin = ++at_;
    bool doubled = false;
    for (;; at_ += 2, doubled = true) {
      at_ += place_of(row_.substr(at_), '"');
      if (at_ + 1 >= row_.size() || row_[at_ + 1] != '"') break;
    }
    const std::string_view cell = row_.substr(begin, at_ - begin);
    if (at_ == row_.size()) {
      fault("a quote is opened and not closed");
    } else if (++at_ < row_.size() && row_[at_] != separator_) {
      fault("something stands between a closed quote and the end of its cell");
      at_ += place_of(row_.substr(at_), separator_);
    }
    return doubled ? undone(cell) : cell;
  }

  std::string_view undone(std::string_view cell) {
    std::string& out = cut_.undone.emplace_back();
    for (std::size_t i = 0; i < cell.size(); ++i) {
      out += cell[i];
      if (cell[i] == '"') ++i;
    }
    return out;
  }

  void fault(const char* words) {
    if (cut_.fault.empty()) cut_.fault = words, cut_.fault_cell = cut_.cells.size();
  }

  const std::string_view row_;
  const char separator_;
  Cut& cut_;
  std::size_t at_ = 0;
};

}  // namespace

void cut_row(std::string_view row, char separator, std::size_t most_cells, Cut& cut) {
  cut.cells.clear(), cut.undone.clear(), cut.fault.clear();
  if (row.ends_with('\r')) row.remove_suffix(1);
  Cutter cutter(row, separator, cut);
  while (cutter.next() && cut.cells.size() <= most_cells) {}
}

// ---------------------------------------------------------------- the sieve

namespace {

#ifdef BETONY_WIDE_SIEVE
// PEXT is quick but on the first two generations of Zen, where it is slower than going without.
bool has_wide() {
  static const bool has = __builtin_cpu_supports("avx2") && __builtin_cpu_supports("bmi2") && __builtin_cpu_supports("popcnt") &&
                          !__builtin_cpu_is("znver1") && !__builtin_cpu_is("znver2");
  return has;
}

#define BETONY_WIDE __attribute__((target("avx2,bmi,bmi2,popcnt")))

// What stands where in a stride of 64 bytes, a bit each.
struct Stride {
  std::uint64_t ends = 0, line = 0, quotes = 0;   // separators and line breaks; line breaks
  std::uint64_t yes = 0, told = 0;                // here begins what reads "yes", "yes" or "no", with an end behind it
};

BETONY_WIDE inline __m256i bytes_at(const char* text) { return _mm256_loadu_si256(reinterpret_cast<const __m256i*>(text)); }
BETONY_WIDE inline __m256i is(__m256i bytes, char c) { return _mm256_cmpeq_epi8(bytes, _mm256_set1_epi8(c)); }
BETONY_WIDE inline __m256i ends_cell(__m256i bytes, char separator) { return _mm256_or_si256(is(bytes, separator), is(bytes, '\n')); }
BETONY_WIDE inline __m256i small(__m256i bytes) { return _mm256_or_si256(bytes, _mm256_set1_epi8(0x20)); }
BETONY_WIDE inline std::uint64_t mask(__m256i bytes) { return static_cast<std::uint32_t>(_mm256_movemask_epi8(bytes)); }

BETONY_WIDE inline void look(const char* text, char separator, unsigned shift, Stride& out) {
  const __m256i a = bytes_at(text), b = bytes_at(text + 1), c = bytes_at(text + 2), d = bytes_at(text + 3);
  const __m256i small_a = small(a), small_b = small(b);
  const __m256i yes =
      _mm256_and_si256(_mm256_and_si256(is(small_a, 'y'), is(small_b, 'e')), _mm256_and_si256(is(small(c), 's'), ends_cell(d, separator)));
  const __m256i no = _mm256_and_si256(_mm256_and_si256(is(small_a, 'n'), is(small_b, 'o')), ends_cell(c, separator));
  out.ends |= mask(ends_cell(a, separator)) << shift;
  out.line |= mask(is(a, '\n')) << shift;
  out.quotes |= mask(is(a, '"')) << shift;
  out.yes |= mask(yes) << shift;
  out.told |= mask(_mm256_or_si256(yes, no)) << shift;
}

// For each bit, whether an odd number of bits stand up to it.
inline std::uint64_t parity_so_far(std::uint64_t bits) {
  for (unsigned shift = 1; shift < 64; shift *= 2) bits ^= bits << shift;
  return bits;
}

BETONY_WIDE inline std::uint64_t where(const char* text, char c) {
  return mask(is(bytes_at(text), c)) | mask(is(bytes_at(text + 32), c)) << 32;
}

// Of 64 bytes those whose bits are set, one behind the other. Eight bytes are written at a time; gives where the next ones go.
BETONY_WIDE inline char* kept(const char* text, std::uint64_t bits, char* out) {
  for (unsigned i = 0; i < 64; i += 8) {
    const std::uint64_t eight = bits >> i & 0xffu;
    std::uint64_t bytes;
    std::memcpy(&bytes, text + i, 8);
    bytes = _pext_u64(bytes, _pdep_u64(eight, 0x0101010101010101u) * 0xffu);
    std::memcpy(out, &bytes, 8);
    out += _mm_popcnt_u64(eight);
  }
  return out;
}

// Puts bits behind the first `count` of a row of them. The word behind may be lost.
inline void append(std::uint64_t* bits, std::size_t count, std::uint64_t more) {
  const std::size_t word = count / 64, shift = count % 64;
  bits[word] |= more << shift;
  bits[word + 1] = (more >> 1) >> (63 - shift);
}
#endif

}  // namespace

#ifdef BETONY_WIDE_SIEVE
BETONY_WIDE Sieve::Taken Sieve::take_wide(std::size_t readable) {
  yes_[0] = told_[0] = 0;    // the words behind are set as they are reached
  std::uint64_t carry = 1;
  std::size_t cells = 0;
  for (std::size_t s = 0; s < starts_.size() && s * 64 + 64 + 4 <= readable; ++s) {
    Stride stride;
    look(text_ + s * 64, separator_, 0, stride);
    look(text_ + s * 64 + 32, separator_, 32, stride);
    const std::uint64_t here = stride.line ? stride.line ^ (stride.line - 1) : ~std::uint64_t{0};   // up to the line break
    if (stride.quotes & here) return Taken::has_quotes;
    const std::uint64_t starts = ((stride.ends << 1) | carry) & here;
    carry = stride.ends >> 63;
    append(yes_.data(), cells, _pext_u64(stride.yes, starts));
    append(told_.data(), cells, _pext_u64(stride.told, starts));
    starts_[s] = starts, before_[s] = static_cast<std::uint32_t>(cells);
    cells += static_cast<std::size_t>(_mm_popcnt_u64(starts));
    if (cells > most_cells_) return Taken::no;
    if (stride.line) {
      cells_ = cells;
      end_row(s * 64 + static_cast<std::size_t>(std::countr_zero(stride.line)));
      return Taken::yes;
    }
  }
  return Taken::no;
}

BETONY_WIDE std::size_t Sieve::take_quotes_off(const char* text, std::size_t readable) {
  if (!wide_) return 0;
  if (bare_.empty()) bare_.resize(most_bytes + margin);
  std::uint64_t open = 0, may_open = 1, must_end = 0;   // all bits: the stride begins inside quotes; its first bit: behind an end, a closed quote
  char* out = bare_.data();
  for (std::size_t s = 0; s < most_bytes / 64 && s * 64 + margin <= readable; ++s) {
    const char* const stride = text + s * 64;
    const std::uint64_t line = where(stride, '\n'), quotes = where(stride, '"'), ends = where(stride, separator_) | line;
    const std::uint64_t here = line ? line ^ (line - 1) : ~std::uint64_t{0};
    // Opening quotes stand inside, closing ones do not.
    const std::uint64_t inside = parity_so_far(quotes) ^ open, opening = quotes & inside, closing = quotes & ~inside;
    const std::uint64_t returns = where(stride, '\r'), last_returns = returns & where(stride + 1, '\n');
    const std::uint64_t opens_within = opening & ~((ends << 1) | may_open);
    const std::uint64_t goes_on = ((closing << 1) | must_end) & ~(ends | last_returns);
    if ((opens_within | goes_on | (inside & (ends | returns))) & here) return 0;
    out = kept(stride, here & ~quotes, out);
    if (line) {
      text_ = bare_.data();
      return s * 64 + static_cast<std::size_t>(std::countr_zero(line)) + 1;
    }
    open = inside >> 63 ? ~std::uint64_t{0} : 0, may_open = ends >> 63, must_end = closing >> 63;
  }
  return 0;
}
#else
Sieve::Taken Sieve::take_wide(std::size_t readable) { return take_plain(readable); }
std::size_t Sieve::take_quotes_off(const char*, std::size_t) { return 0; }
namespace {
bool has_wide() { return false; }
}
#endif

// The words behind the last cell are lost in taking; a stride brings 64 cells at most.
Sieve::Sieve(char separator, std::size_t most_cells, bool may_be_wide)
    : separator_(separator),
      most_cells_(most_cells),
      wide_(may_be_wide && has_wide()),
      yes_(most_cells / 64 + 3),
      told_(most_cells / 64 + 3),
      starts_(most_bytes / 64),
      before_(most_bytes / 64) {}

bool Sieve::take(const char* text, std::size_t readable) {
  text_ = text;
  Taken taken = wide_ ? take_wide(readable) : take_plain(readable);
  std::size_t used = size_ + 1;
  if (taken == Taken::has_quotes) {
    used = take_quotes_off(text, readable);
    if (used == 0) return false;
    taken = take_wide(bare_.size());
  }
  if (taken != Taken::yes) return false;
  row_ = {text, used - 1};
  return true;
}

// Cell by cell.
Sieve::Taken Sieve::take_plain(std::size_t readable) {
  std::fill(yes_.begin(), yes_.end(), 0), std::fill(told_.begin(), told_.end(), 0);
  const std::size_t bound = std::min(readable < margin ? 0 : readable - margin, most_bytes);
  const auto ends = [&](char c) { return static_cast<bool>(unsigned{c == separator_} | unsigned{c == '\n'}); };
  std::size_t filled = 0;    // strides
  cells_ = 0;
  for (std::size_t at = 0; at < bound; ++at) {
    if (cells_ == most_cells_) return Taken::no;
    for (; filled <= at / 64; ++filled) starts_[filled] = 0, before_[filled] = static_cast<std::uint32_t>(cells_);
    starts_[at / 64] |= std::uint64_t{1} << (at % 64);
    const char* text = text_ + at;
    // Without branches, for nobody knows what comes.
    const std::uint32_t small = four_bytes(text) | four_bytes("    ");
    const unsigned yes = unsigned{(small & four_bytes("\xFF\xFF\xFF\0")) == four_bytes("yes\0")} & unsigned{ends(text[3])};
    const unsigned no = unsigned{(small & four_bytes("\xFF\xFF\0\0")) == four_bytes("no\0\0")} & unsigned{ends(text[2])};
    yes_[cells_ / 64] |= std::uint64_t{yes} << (cells_ % 64);
    told_[cells_ / 64] |= std::uint64_t{yes | no} << (cells_ % 64);
    ++cells_;
    at += yes * 3 + no * 2;
    for (; at < bound && !ends(text_[at]); ++at)
      if (text_[at] == '"') return Taken::has_quotes;
    if (at < bound && text_[at] == '\n') {
      for (; filled <= at / 64; ++filled) starts_[filled] = 0, before_[filled] = static_cast<std::uint32_t>(cells_);
      end_row(at);
      return Taken::yes;
    }
  }
  return Taken::no;
}

void Sieve::end_row(std::size_t size) {
  size_ = size;
  at_ = 0;
}

std::string_view Sieve::cell(std::size_t index) {
  const std::size_t strides = size_ / 64 + 1;
  while (at_ + 1 < strides && before_[at_ + 1] <= index) ++at_;
  std::uint64_t starts = starts_[at_];
  for (std::size_t skip = index - before_[at_]; skip > 0; --skip) starts &= starts - 1;
  const std::size_t begin = at_ * 64 + static_cast<std::size_t>(std::countr_zero(starts));
  starts &= starts - 1;
  std::size_t end = size_, stride = at_;
  if (index + 1 < cells_) {
    while (starts == 0) starts = starts_[++stride];
    end = stride * 64 + static_cast<std::size_t>(std::countr_zero(starts)) - 1;
  } else if (end > begin && text_[end - 1] == '\r') {
    --end;
  }
  return {text_ + begin, end - begin};
}

}  // namespace betony::runtime
