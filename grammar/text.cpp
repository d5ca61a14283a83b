#include "grammar/text.h"

#include <unicode/normalizer2.h>
#include <unicode/uchar.h>
#include <unicode/unistr.h>
#include <unicode/utf8.h>

#include <algorithm>
#include <stdexcept>
#include <vector>

namespace betony::letters {
namespace {

const icu::Normalizer2& normalizer() {
  static const icu::Normalizer2* const instance = [] {
    UErrorCode status = U_ZERO_ERROR;
    const icu::Normalizer2* found = icu::Normalizer2::getNFCInstance(status);
    if (U_FAILURE(status)) throw std::runtime_error("the Unicode tables of ICU are missing");
    return found;
  }();
  return *instance;
}

icu::UnicodeString composed(const icu::UnicodeString& text) {
  UErrorCode status = U_ZERO_ERROR;
  icu::UnicodeString out = normalizer().normalize(text, status);
  return U_FAILURE(status) ? text : out;
}

icu::UnicodeString unicode(std::string_view text) {
  return icu::UnicodeString::fromUTF8(icu::StringPiece(text.data(), static_cast<std::int32_t>(text.size())));
}

void append_plain(std::string& out, char32_t code) {
  char buffer[4];
  std::int32_t length = 0;
  UBool failed = false;
  U8_APPEND(reinterpret_cast<std::uint8_t*>(buffer), length, 4, static_cast<UChar32>(plain(code)), failed);
  if (!failed) out.append(buffer, static_cast<std::size_t>(length));
}

bool is_plain_ascii(char32_t code) { return code < 0x80; }
bool ascii_in_word(char c) { return (c >= 'a' && c <= 'z') || (c >= 'A' && c <= 'Z') || (c >= '0' && c <= '9'); }

// Commas, stops, brackets and the like, with which nothing composes: they part words, so a mark behind one is of the next word.
bool parts_words(char32_t code) {
  const char32_t sign = plain(code);
  return is_plain_ascii(sign) && !is_in_word(sign) && sign != '<' && sign != '=' && sign != '>';
}

// The end of the piece that begins at `at`: up to the next letter with which nothing before it composes.
std::size_t piece_end(std::string_view text, std::size_t at) {
  const Letter first = letter_at(text, at);
  std::size_t end = at + first.bytes;
  if (parts_words(first.code)) return end;
  while (end < text.size()) {
    const Letter next = letter_at(text, end);
    if (is_plain_ascii(next.code) || normalizer().hasBoundaryBefore(static_cast<UChar32>(next.code))) break;
    end += next.bytes;
  }
  return end;
}

}  // namespace

std::optional<std::size_t> first_invalid(std::string_view text) {
  const auto* bytes = reinterpret_cast<const std::uint8_t*>(text.data());
  std::size_t at = 0;
  while (at < text.size()) {
    if (bytes[at] < 0x80) {
      ++at;
      continue;
    }
    std::int32_t step = 0;
    const auto left = static_cast<std::int32_t>(std::min<std::size_t>(text.size() - at, 4));
    UChar32 code = 0;
    U8_NEXT(bytes + at, step, left, code);
    if (code < 0) return at;
    at += static_cast<std::size_t>(step);
  }
  return std::nullopt;
}

Letter letter_at(std::string_view text, std::size_t at) {
  if (at >= text.size()) return {};
  const auto* bytes = reinterpret_cast<const std::uint8_t*>(text.data()) + at;
  if (*bytes < 0x80) return {*bytes, 1};
  std::int32_t step = 0;
  const auto left = static_cast<std::int32_t>(std::min<std::size_t>(text.size() - at, 4));
  UChar32 code = 0;
  U8_NEXT(bytes, step, left, code);
  if (code < 0) return {0xFFFD, 1};
  return {static_cast<char32_t>(code), static_cast<std::size_t>(step)};
}

std::u32string letters_of(std::string_view text) {
  std::u32string out;
  for (std::size_t at = 0; at < text.size();) {
    const Letter letter = letter_at(text, at);
    out.push_back(letter.code);
    at += letter.bytes;
  }
  return out;
}

bool is_white(char32_t code) {
  if (code < 0x80) return code == ' ' || (code >= '\t' && code <= '\r');
  return code == 0x85 || code == 0xA0 || code == 0x1680 || (code >= 0x2000 && code <= 0x200A) || code == 0x2028 ||
         code == 0x2029 || code == 0x202F || code == 0x205F || code == 0x3000;
}

bool is_bidi_control(char32_t code) {
  return code == 0x061C || code == 0x200E || code == 0x200F || (code >= 0x202A && code <= 0x202E) ||
         (code >= 0x2066 && code <= 0x2069);
}

bool is_letter(char32_t code) {
  if (code < 0x80) return (code >= 'a' && code <= 'z') || (code >= 'A' && code <= 'Z');
  return u_isalpha(static_cast<UChar32>(code));
}

bool is_in_word(char32_t code) {
  if (code < 0x80) return is_letter(code) || (code >= '0' && code <= '9');
  if (code == 0x200C || code == 0x200D) return true;
  return (U_GET_GC_MASK(static_cast<UChar32>(code)) & (U_GC_L_MASK | U_GC_M_MASK | U_GC_ND_MASK)) != 0;
}

bool links_words(char32_t code) {
  switch (plain(code)) {
    case '-': case '\'':
    case 0x00B7: case 0x2027: case 0x30FB:  // middle dots
    case 0x0F0B:                            // between Tibetan syllables
    case 0x05F3: case 0x05F4:               // Hebrew geresh, gershayim
      return true;
    default:
      return false;
  }
}

bool is_comma(char32_t code) { return code == ',' || code == 0x060C || code == 0x3001 || code == 0xFF0C; }

bool is_stop(char32_t code) { return code == 0x0964 || code == 0x3002 || code == 0x06D4; }

std::size_t word_end(std::string_view text, std::size_t at) {
  const std::size_t begin = at;
  while (at < text.size() && ascii_in_word(text[at])) ++at;  // by far the most
  if (at < text.size() && text[at] == ' ') return at;
  bool after_letter = at > begin && is_letter(static_cast<unsigned char>(text[at - 1]));
  for (Letter letter = letter_at(text, at); letter.bytes != 0; letter = letter_at(text, at)) {
    if (!is_in_word(letter.code)) {
      const std::size_t next = at + letter.bytes;
      if (at == begin || !links_words(letter.code)) break;
      if (!is_in_word(letter_at(text, next).code)) {  // "the dyers' bench"
        if (after_letter && plain(letter.code) == '\'') at = next;
        break;
      }
      at = next;
      continue;
    }
    after_letter = is_letter(letter.code);
    at += letter.bytes;
  }
  return at;
}

char32_t plain(char32_t code) {
  if (code < 0x80) return code;
  switch (code) {
    case 0x2019: return '\'';
    case 0x2010: case 0x2011: case 0x2212: return '-';
    case 0x060C: case 0x3001: case 0xFF0C: return ',';
    case 0xFF1A: return ':';
    case 0x061B: case 0xFF1B: return ';';
    case 0xFF08: return '(';
    case 0xFF09: return ')';
    case 0x00D7: return '*';
    case 0x00F7: return '/';
    default: return code;
  }
}

std::size_t append_folded(std::string& out, std::string_view text, std::size_t at, bool fold_case) {
  const std::size_t end = piece_end(text, at);
  const Letter first = letter_at(text, at);
  if (end == at + 1) {
    const bool capital = fold_case && first.code >= 'A' && first.code <= 'Z';
    out.push_back(static_cast<char>(capital ? first.code + ('a' - 'A') : first.code));
  } else if (end == at + first.bytes && plain(first.code) != first.code) {
    append_plain(out, first.code);
  } else {
    icu::UnicodeString piece = composed(unicode(text.substr(at, end - at)));
    if (fold_case) piece = composed(piece.foldCase());
    piece.toUTF8String(out);
  }
  return end - at;
}

std::string nfc(std::string_view text) {
  std::string out;
  composed(unicode(text)).toUTF8String(out);
  return out;
}

std::string fold(std::string_view text) {
  std::string out;
  for (std::size_t at = 0; at < text.size();) at += append_folded(out, text, at);
  return out;
}

std::string neat(std::string_view text) {
  std::string out;
  bool gap = false;
  for (std::size_t at = 0; at < text.size();) {
    const Letter letter = letter_at(text, at);
    if (is_white(letter.code)) {
      gap = !out.empty();
      at += letter.bytes;
      continue;
    }
    if (gap) out.push_back(' ');
    gap = false;
    at += append_folded(out, text, at, false);
  }
  return out;
}

unsigned distance(std::u32string_view a, std::u32string_view b, unsigned limit) {
  const std::size_t longer = std::max(a.size(), b.size()), shorter = std::min(a.size(), b.size());
  if (longer - shorter > limit) return limit + 1;
  std::vector<unsigned> before, last(b.size() + 1), now(b.size() + 1);
  for (std::size_t j = 0; j <= b.size(); ++j) last[j] = static_cast<unsigned>(j);
  for (std::size_t i = 1; i <= a.size(); ++i) {
    now[0] = static_cast<unsigned>(i);
    unsigned least = now[0];
    for (std::size_t j = 1; j <= b.size(); ++j) {
      now[j] = std::min({last[j] + 1, now[j - 1] + 1, last[j - 1] + (a[i - 1] == b[j - 1] ? 0u : 1u)});
      const bool swapped = i > 1 && j > 1 && a[i - 1] == b[j - 2] && a[i - 2] == b[j - 1];
      if (swapped) now[j] = std::min(now[j], before[j - 2] + 1);
      least = std::min(least, now[j]);
    }
    if (least > limit) return limit + 1;
    before = last;
    last.swap(now);
  }
  return std::min(last[b.size()], limit + 1);
}

}  // namespace betony::letters
