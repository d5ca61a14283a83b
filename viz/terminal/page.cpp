#include "viz/terminal/page.h"

#include <fmt/format.h>

#include <algorithm>

#include "viz/terminal/letters.h"

namespace betony::terminal {
namespace {

constexpr unsigned body = 2;          // the column of the sense, of labels and of line numbers
constexpr unsigned mark_column = 4;   // the column of a problem's kind
constexpr unsigned head_column = 15;  // the column of a problem's matter
constexpr unsigned name_column = 17;  // the column of a practice behind its verdict
constexpr unsigned detail_column = 31;  // the column of what is told of it
constexpr unsigned further_in = 2;
constexpr unsigned place_margin = 1;  // columns free at the right of a place
constexpr unsigned longest_citation = 24;  // letters; a longer one may be parted
constexpr unsigned least_room = 20;   // a narrower column than this is not worth setting

// What is set in leaves the same room free at the right, up to that of the body.
unsigned room(unsigned width, unsigned indent) {
  const unsigned taken = indent + std::min(indent, body);
  return std::max(least_room, width > taken ? width - taken : 0);
}

std::string spaces(std::size_t count) { return std::string(count, ' '); }

// The ink of the letter that begins at byte `at`.
Ink ink_at(const Inked& text, std::size_t at) {
  for (const auto& s : text.stretches)
    if (s.begin <= at && at < s.end) return s.ink;
  return Ink::plain;
}

std::string set_row(const Inked& text, const std::vector<Cell>& cells, Row row, bool colour) {
  std::string out;
  Ink now = Ink::plain;
  for (std::size_t i = row.begin; i < row.end; ++i) {
    const Ink ink = colour ? ink_at(text, cells[i].begin) : Ink::plain;
    if (ink != now && now != Ink::plain) out += escape(Ink::plain);
    if (ink != now && ink != Ink::plain) out += escape(ink);
    now = ink;
    out += cells[i].shown;
  }
  if (now != Ink::plain) out += escape(Ink::plain);
  return out;
}

bool is_marked(const SourceLine& line, const Cell& cell) {
  return std::any_of(line.marked.begin(), line.marked.end(),
                     [&](const auto& m) { return cell.begin < m.second && m.first < cell.end; });
}

// What stands under one row: the underline, begun afresh at each stretch of marked letters.
std::string underlined(const SourceLine& line, const std::vector<Cell>& cells, Row row, std::string_view underline) {
  std::string out;
  std::size_t run = 0;
  for (std::size_t i = row.begin; i < row.end; ++i) {
    const bool marked = is_marked(line, cells[i]);
    if (!marked) run = 0;
    for (unsigned column = 0; column < cells[i].width; ++column)
      out += marked ? underline[run++ % underline.size()] : ' ';
  }
  while (!out.empty() && out.back() == ' ') out.pop_back();
  return out;
}

// A mark past the end of a line ("here something is missing") gets a column of its own.
bool has_mark_at_end(const SourceLine& line) {
  return std::any_of(line.marked.begin(), line.marked.end(), [&](const auto& m) { return m.first >= line.text.size(); });
}

Cell place_past(const std::string& text) {
  const auto end = static_cast<std::uint32_t>(text.size());
  Cell cell;
  cell.begin = end;
  cell.end = end + 1;
  cell.shown = " ";
  return cell;
}

void keep_stretches_whole(const Inked& text, std::vector<Cell>& cells) {
  for (Cell& cell : cells)
    for (const auto& s : text.stretches)
      if (s.begin <= cell.begin && cell.end < s.end) cell.break_after = false;
}

// A citation is not parted where its line ends: "[SB 2.4]".
void keep_citations_whole(std::vector<Cell>& cells) {
  for (std::size_t i = 0; i < cells.size(); ++i) {
    if (cells[i].shown != "[") continue;
    std::size_t end = i;
    while (end < cells.size() && end - i <= longest_citation && cells[end].shown != "]") ++end;
    if (end == cells.size() || cells[end].shown != "]") continue;
    for (; i < end; ++i) cells[i].break_after = false;
  }
}

}  // namespace

Inked& Inked::add(std::string_view more, Ink ink) {
  if (ink != Ink::plain && !more.empty()) stretches.push_back({text.size(), text.size() + more.size(), ink});
  text += more;
  return *this;
}

std::string with_stop(std::string text) {
  if (!text.empty() && std::string_view(".!?:;").find(text.back()) == std::string_view::npos) text += '.';
  return text;
}

void Page::line(std::string_view set) {
  const auto end = set.find_last_not_of(' ');
  text_ += set.substr(0, end == std::string_view::npos ? 0 : end + 1);
  text_ += '\n';
}

void Page::blank() { text_ += '\n'; }

void Page::rule() { line(std::string(surface_.width, '_')); }

// Sets text in rows: `first` stands before the first row, `further` before the others.
void Page::set(const Inked& text, std::string first, const std::string& further) {
  auto all = cells(text.text);
  keep_stretches_whole(text, all);
  for (const Row row : wrap(all, room(surface_.width, width(first)), room(surface_.width, width(further)))) {
    line(first + set_row(text, all, row, surface_.colour));
    first = further;
  }
}

void Page::paragraph(const Inked& text, unsigned indent) { set(text, spaces(indent), spaces(indent)); }

void Page::hung(std::string_view label, const Inked& text, unsigned column) {
  const unsigned used = body + width(label);
  set(text, spaces(body) + harmless(label) + spaces(column > used ? column - used : 1), spaces(column));
}

bool Page::fits_beside(std::string_view matter, std::string_view place) const {
  return head_column + width(matter) + further_in + width(place) + place_margin <= surface_.width;
}

void Page::heading(const ProblemMark& mark, std::string_view matter, std::string_view place, std::string_view which) {
  const auto place_width = width(place), which_width = width(which);
  const auto all = cells(matter);
  const unsigned whole = std::max(least_room, surface_.width - std::min(surface_.width, head_column + place_margin));
  const bool beside = place_width > 0 && whole >= least_room + place_width + further_in;
  const unsigned first = beside ? whole - place_width - further_in : whole;
  std::string begin = fmt::format("{:<{}}{:<{}}", mark.letters, mark_column, mark.word, head_column - mark_column);
  if (surface_.colour)
    begin = fmt::format("{}{}{}{}{}{}{}{}", escape(Ink::problem), mark.letters, escape(Ink::plain),
                        spaces(mark_column - mark.letters.size()), escape(Ink::problem), mark.word,
                        escape(Ink::plain), spaces(head_column - mark_column - mark.word.size()));
  bool place_is_set = place_width == 0, which_is_set = which_width == 0;
  for (const Row row : wrap(all, first, first - std::min(first / 2, further_in))) {
    std::string out = begin;
    const unsigned indent = row.begin == 0 ? 0 : further_in;
    unsigned used = 0;
    for (std::size_t i = row.begin; i < row.end; ++i) out += all[i].shown, used += all[i].width;
    if (beside && !place_is_set) {
      out += spaces(whole - used - place_width) + harmless(place);
      place_is_set = true;
    } else if (place_is_set && !which_is_set && indent + used + further_in + which_width <= whole) {
      out += spaces(whole - indent - used - which_width) + harmless(which);
      which_is_set = true;
    }
    line(out);
    begin = spaces(head_column + further_in);
  }
  if (!place_is_set) paragraph(place, head_column);
  if (!which_is_set) line(spaces(head_column + whole - std::min(head_column + whole, which_width)) + harmless(which));
}

void Page::verdict(const VerdictMark& mark, std::string_view name) {
  std::string first = fmt::format("{:<{}}", mark.letters, mark_column);
  const std::string word = fmt::format("{:<{}}", mark.word, name_column - mark_column - 1);
  first += surface_.colour && mark.ink != Ink::plain ? fmt::format("{}{}{} ", escape(mark.ink), word, escape(Ink::plain)) : word + " ";
  Page rest({surface_.width > name_column ? surface_.width - name_column : least_room, surface_.colour});
  rest.set(std::string(name), "", "");
  for (std::size_t begin = 0; begin < rest.text_.size(); first = spaces(name_column)) {
    const std::size_t end = rest.text_.find('\n', begin);
    line(first + rest.text_.substr(begin, end - begin));
    begin = end + 1;
  }
}

void Page::detail(std::string_view label, const Inked& text) {
  const unsigned used = name_column + width(label);
  set(text, spaces(name_column) + harmless(label) + spaces(detail_column > used ? detail_column - used : 1), spaces(detail_column));
}

void Page::source(const std::vector<SourceLine>& lines, std::string_view underline) {
  unsigned digits = 2;
  for (const auto& l : lines) digits = std::max<unsigned>(digits, std::to_string(l.number).size());
  for (const auto& l : lines) source_line(l, digits, underline);
}

void Page::source_line(const SourceLine& l, unsigned digits, std::string_view underline) {
  const unsigned column = body + digits + 2 + (l.continues ? further_in : 0);
  std::string first = spaces(body) + (l.number == 0 ? spaces(digits) : fmt::format("{:>{}}", l.number, digits));
  first += spaces(column - first.size());
  const std::string further = spaces(body + digits + 2 + further_in);
  auto all = cells(l.text);
  keep_citations_whole(all);
  if (has_mark_at_end(l)) all.push_back(place_past(l.text));
  for (const Row row : wrap(all, room(surface_.width, first.size()), room(surface_.width, further.size()))) {
    line(first + set_row(l.text, all, row, false));
    if (const auto under = underlined(l, all, row, underline); !under.empty()) line(spaces(first.size()) + under);
    first = further;
  }
}

}  // namespace betony::terminal
