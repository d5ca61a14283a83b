#include "viz/terminal/letters.h"

#include <fmt/format.h>
#include <unicode/brkiter.h>
#include <unicode/uchar.h>
#include <unicode/utext.h>
#include <unicode/utf8.h>

#include <algorithm>
#include <memory>

namespace betony::terminal {
namespace {

constexpr unsigned tab_stop = 4;
constexpr UChar32 zero_width_non_joiner = 0x200c, zero_width_joiner = 0x200d;

bool is_blank(UChar32 c) { return c == ' ' || c == '\t' || c == '\n' || c == '\r'; }

bool is_joiner(UChar32 c) { return c == zero_width_non_joiner || c == zero_width_joiner; }

// Characters that steer a terminal or the reader's eye instead of being seen.
bool is_unseen(UChar32 c) {
  switch (u_charType(c)) {
    case U_CONTROL_CHAR:
    case U_LINE_SEPARATOR:
    case U_PARAGRAPH_SEPARATOR:
    case U_UNASSIGNED:
    case U_SURROGATE:
      return true;
    case U_FORMAT_CHAR:
      return !is_joiner(c) && !u_hasBinaryProperty(c, UCHAR_PREPENDED_CONCATENATION_MARK);
    default:
      return false;
  }
}

bool stands_over_the_last(UChar32 c) {
  const auto type = u_charType(c);
  if (type == U_NON_SPACING_MARK || type == U_ENCLOSING_MARK || is_joiner(c)) return true;
  const auto hangul = u_getIntPropertyValue(c, UCHAR_HANGUL_SYLLABLE_TYPE);
  return hangul == U_HST_VOWEL_JAMO || hangul == U_HST_TRAILING_JAMO;
}

unsigned columns(UChar32 c) {
  if (c < 0x300) return 1;
  const auto width = u_getIntPropertyValue(c, UCHAR_EAST_ASIAN_WIDTH);
  return width == U_EA_WIDE || width == U_EA_FULLWIDTH ? 2 : 1;
}

Cell cell_of(UChar32 c, std::string_view written, unsigned column) {
  Cell cell;
  if (is_blank(c)) {
    cell.blank = cell.break_after = true;
    cell.width = c == '\t' ? tab_stop - column % tab_stop : 1;
    cell.shown.assign(cell.width, ' ');
  } else if (c < 0) {
    cell.shown = "\xef\xbf\xbd";
  } else if (is_unseen(c)) {
    cell.shown = fmt::format("[U+{:04X}]", static_cast<unsigned>(c));
    cell.width = static_cast<unsigned>(cell.shown.size());
  } else {
    cell.shown = written;
    cell.width = columns(c);
  }
  return cell;
}

// Marks the cells after which a script without blanks lets a line end (UAX 14), as ICU tells them.
void mark_breaks(std::string_view text, std::vector<Cell>& cells) {
  UErrorCode status = U_ZERO_ERROR;
  static thread_local const std::unique_ptr<icu::BreakIterator> breaks(
      icu::BreakIterator::createLineInstance(icu::Locale::getRoot(), status));
  UText* utf8 = utext_openUTF8(nullptr, text.data(), static_cast<std::int64_t>(text.size()), &status);
  if (U_SUCCESS(status) && breaks) {
    breaks->setText(utf8, status);
    std::size_t i = 0;
    for (auto at = breaks->first(); at != icu::BreakIterator::DONE; at = breaks->next()) {
      while (i < cells.size() && cells[i].end < static_cast<std::uint32_t>(at)) ++i;
      if (i < cells.size() && cells[i].end == static_cast<std::uint32_t>(at) &&
          static_cast<unsigned char>(text[cells[i].begin]) >= 0x80)
        cells[i].break_after = true;
    }
  }
  utext_close(utf8);
}

}  // namespace

std::vector<Cell> cells(std::string_view text) {
  std::vector<Cell> out;
  unsigned column = 0;
  bool ascii = true;
  const auto length = static_cast<std::int32_t>(text.size());
  for (std::int32_t at = 0; at < length;) {
    const auto begin = at;
    UChar32 c = 0;
    U8_NEXT(text.data(), at, length, c);
    ascii = ascii && c >= 0 && c < 0x80;
    const auto written = text.substr(begin, at - begin);
    if (c >= 0x300 && !out.empty() && stands_over_the_last(c)) {
      out.back().shown += written;
      out.back().end = at;
      continue;
    }
    out.push_back(cell_of(c, written, column));
    out.back().begin = begin;
    out.back().end = at;
    column += out.back().width;
  }
  if (!ascii) mark_breaks(text, out);
  return out;
}

unsigned width(std::string_view text) {
  unsigned sum = 0;
  for (const auto& cell : cells(text)) sum += cell.width;
  return sum;
}

std::string harmless(std::string_view text) {
  std::string out;
  for (const auto& cell : cells(text)) out += cell.shown;
  return out;
}

std::vector<Row> wrap(const std::vector<Cell>& text, unsigned first, unsigned further) {
  std::vector<Row> rows;
  const auto without_blanks = [&](std::size_t begin, std::size_t end) {
    while (end > begin && text[end - 1].blank) --end;
    return Row{begin, end};
  };
  std::size_t begin = 0;
  do {
    const unsigned room = std::max(1u, rows.empty() ? first : further);
    unsigned used = 0;
    std::size_t at = begin, last_break = begin;
    while (at < text.size() && (used + text[at].width <= room || text[at].blank || at == begin)) {
      used += text[at].width;
      if (text[at++].break_after) last_break = at;
    }
    if (at < text.size() && last_break > begin) at = last_break;
    rows.push_back(without_blanks(begin, at));
    begin = at;
  } while (begin < text.size());
  return rows;
}

}  // namespace betony::terminal
