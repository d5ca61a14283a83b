#include "grammar/csv.h"

#include <optional>

namespace betony::csv {
namespace {

constexpr std::string_view byte_order_mark = "\xEF\xBB\xBF";

bool is_blank(char c) { return c == ' ' || c == '\t'; }
bool breaks_line(char c) { return c == '\n' || c == '\r'; }

// Goes through a text cell by cell.
class Scanner {
 public:
  Scanner(std::string_view text, std::size_t at) : text_(text), at_(at) {
    if (at == 0 && text.substr(0, byte_order_mark.size()) == byte_order_mark) at_ = byte_order_mark.size();
  }

  std::uint32_t at() const { return static_cast<std::uint32_t>(at_); }
  bool done() const { return at_ >= text_.size(); }

  // The next cell, and what ends it: a comma, a line break, or the end of the text.
  Cell cell() {
    Cell out;
    while (!done() && is_blank(text_[at_])) ++at_;
    out.span.begin = at();
    if (!done() && text_[at_] == '"') {
      quotation(out);
    } else {
      while (!done() && text_[at_] != ',' && !breaks_line(text_[at_])) ++at_;
      out.span.end = trimmed(out.span.begin);
    }
    ends_row_ = true;
    if (!done() && text_[at_] == ',') {
      ends_row_ = false;
      ++at_;
    } else if (!done()) {
      at_ += text_.substr(at_, 2) == "\r\n" ? 2 : 1;
    }
    return out;
  }

  bool ends_row() const { return ends_row_; }
  bool closed() const { return closed_; }        // the quotation that was read last
  std::optional<std::uint32_t> further() const { return further_; }  // where words stand behind it that are none of it

 private:
  std::uint32_t trimmed(std::uint32_t begin) const {
    std::size_t end = at_;
    while (end > begin && is_blank(text_[end - 1])) --end;
    return static_cast<std::uint32_t>(end);
  }

  void quotation(Cell& out) {
    out.quoted = true;
    closed_ = false;
    for (++at_; !done(); ++at_) {
      if (breaks_line(text_[at_])) out.plain = false;
      if (text_[at_] != '"') continue;
      if (at_ + 1 >= text_.size() || text_[at_ + 1] != '"') {
        closed_ = true;
        ++at_;
        break;
      }
      out.plain = false;
      ++at_;
    }
    out.span.end = at();
    while (!done() && is_blank(text_[at_])) ++at_;
    further_.reset();
    for (; !done() && text_[at_] != ',' && !breaks_line(text_[at_]); ++at_)
      if (!further_) further_ = at();
  }

  std::string_view text_;
  std::size_t at_;
  bool ends_row_ = false, closed_ = true;
  std::optional<std::uint32_t> further_;
};

bool stands_empty(std::string_view text, const Cell& cell) {
  const Span words = cell.words();
  return text.substr(words.begin, words.end - words.begin).find_first_not_of(" \t\r\n") == std::string_view::npos;
}

}  // namespace

Rows split(std::string_view text) {
  Rows out;
  Scanner scanner(text, 0);
  unsigned number = 0;
  while (!scanner.done()) {
    Row row;
    row.number = ++number;
    row.span = {scanner.at(), scanner.at()};
    row.first = out.cells.size();
    for (std::uint32_t column = 0;; ++column) {
      Cell cell = scanner.cell();
      cell.column = column;
      if (cell.quoted && !scanner.closed()) {
        out.faults.push_back({Fault::Kind::not_closed, cell.span});
      } else if (cell.quoted && scanner.further()) {
        out.faults.push_back({Fault::Kind::goes_on_after_quote, {cell.span.begin, *scanner.further() + 1}});
      } else if (!stands_empty(text, cell)) {
        out.cells.push_back(cell);
      }
      if (cell.span.end > cell.span.begin) row.span.end = cell.span.end;
      if (scanner.ends_row() || scanner.done()) break;
    }
    row.count = out.cells.size() - row.first;
    if (row.count > 0) out.rows.push_back(row);
  }
  return out;
}

std::string content(std::string_view text, const Cell& cell) {
  const Span words = cell.words();
  const std::string_view written = text.substr(words.begin, words.end - words.begin);
  if (cell.plain) return std::string(written);
  std::string out;
  for (std::size_t i = 0; i < written.size(); ++i) {
    out.push_back(breaks_line(written[i]) ? ' ' : written[i]);
    if (written[i] == '"') ++i;  // a doubled one
  }
  return out;
}

std::vector<std::uint32_t> row_begins(std::string_view text) {
  std::vector<std::uint32_t> out{0};
  Scanner scanner(text, 0);
  while (!scanner.done()) {
    scanner.cell();
    if (scanner.ends_row() && !scanner.done()) out.push_back(scanner.at());
  }
  return out;
}

std::uint32_t column_at(std::string_view text, std::uint32_t row, std::uint32_t at) {
  Scanner scanner(text, row);
  std::uint32_t column = 0;
  while (!scanner.done()) {
    scanner.cell();
    if (scanner.at() > at || scanner.ends_row()) break;
    ++column;
  }
  return column;
}

}  // namespace betony::csv
