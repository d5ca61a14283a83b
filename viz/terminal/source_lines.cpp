#include "viz/terminal/source_lines.h"

#include <fmt/format.h>

#include <algorithm>
#include <map>

namespace betony::terminal {
namespace {

constexpr std::size_t longest_line = 600;    // bytes; a longer line is cut
constexpr std::size_t before_mark = 150;     // bytes kept before its first mark
constexpr unsigned longest_sentence = 12;    // lines; of a longer one some are left out
constexpr unsigned opening_lines = 3;        // those that are always shown
constexpr std::size_t most_marked_lines = 12;
constexpr unsigned near_lines = 6;           // of a table's row, above and below the words spoken of

// A line while it is put together: of its file's text, however long.
struct Line {
  unsigned number = 0;
  std::string_view text;
  std::vector<std::pair<std::size_t, std::size_t>> marked;
  bool continues = false;
};

bool is_blank(char c) { return c == ' ' || c == '\t' || c == '\r'; }
bool is_inside_letter(char c) { return (static_cast<unsigned char>(c) & 0xc0) == 0x80; }

std::string base_name(const std::string& name) {
  const auto slash = name.find_last_of('/');
  return slash == std::string::npos || slash + 1 == name.size() ? name : name.substr(slash + 1);
}

std::size_t letter_begin(std::string_view text, std::size_t at) {
  while (at > 0 && at < text.size() && is_inside_letter(text[at])) --at;
  return std::min(at, text.size());
}

std::size_t letter_end(std::string_view text, std::size_t at) {
  if (at < text.size()) ++at;
  while (at < text.size() && is_inside_letter(text[at])) ++at;
  return at;
}

// Marks one letter, or the place after the last one: here something is missing.
void add_mark_at(Line& line, std::size_t at) {
  const bool at_end = at == line.text.size();
  line.marked.push_back({at, at_end ? at + 1 : letter_end(line.text, at)});
}

// The part of a mark that lies in the line, which begins at byte `line_begin` of its file.
void add_mark(Line& line, std::size_t line_begin, const Span& span) {
  const std::size_t line_end = line_begin + line.text.size();
  const std::size_t begin = std::max<std::size_t>(span.begin, line_begin);
  const std::size_t end = std::min<std::size_t>(span.end, line_end);
  if (begin < end)
    line.marked.push_back({begin - line_begin, end - line_begin});
  else if (span.begin >= span.end && span.begin == begin && begin <= line_end)
    add_mark_at(line, begin - line_begin);
}

// The line for the page; a very long one is cut to the neighbourhood of its first mark.
SourceLine cut(Line line) {
  const bool whole = line.text.size() <= longest_line;
  const std::size_t first = whole || line.marked.empty() ? 0 : line.marked.front().first;
  const std::size_t begin = letter_begin(line.text, first > before_mark ? first - before_mark : 0);
  const std::size_t end = whole ? line.text.size() : letter_begin(line.text, std::min(line.text.size(), begin + longest_line));
  const std::string lead = begin > 0 ? "... " : "";
  SourceLine result;
  result.number = line.number;
  result.continues = line.continues;
  result.text = lead + std::string(line.text.substr(begin, end - begin)) + (end < line.text.size() ? " ..." : "");
  if (whole) {
    result.marked = std::move(line.marked);
    return result;
  }
  for (const auto& [from, to] : line.marked)
    if (from < end && to > begin)
      result.marked.push_back({std::max(from, begin) - begin + lead.size(), std::min(to, end) - begin + lead.size()});
  return result;
}

Line read_line(const LineIndex& index, unsigned number, const Shown& shown) {
  Line line;
  line.number = index.has_rows() ? index.row_of_line(number).value_or(0) : number;
  const std::string_view written = index.line(number);
  std::size_t lead = 0;
  while (lead < written.size() && is_blank(written[lead])) ++lead;
  line.text = written.substr(lead);
  while (!line.text.empty() && is_blank(line.text.back())) line.text.remove_suffix(1);
  for (const Place& mark : shown.marks)
    if (mark.file == shown.place.file) add_mark(line, index.line_begin(number) + lead, index.given(mark.span));
  return line;
}

using Lines = std::map<unsigned, Line>;

void merge(Lines& lines, unsigned number, Line line) {
  const auto [at, is_new] = lines.try_emplace(number, line);
  if (is_new) return;
  at->second.continues = at->second.continues && line.continues;
  at->second.marked.insert(at->second.marked.end(), line.marked.begin(), line.marked.end());
}

// The first and the last line that the words touch; of a table also the lines of their row that are near.
std::pair<unsigned, unsigned> lines_of(const LineIndex& index, Span words) {
  unsigned first = index.at(words.begin).line, last = index.at(words.end > words.begin ? words.end - 1 : words.begin).line;
  if (!index.has_rows()) return {first, last};
  for (unsigned i = 0; i < near_lines && first > 1 && !index.row_of_line(first); ++i) --first;
  for (unsigned i = 0; i < near_lines && last < index.count() && !index.row_of_line(last + 1); ++i) ++last;
  return {first, last};
}

// Adds the lines of one sentence; returns how many were left out.
unsigned add_lines(Lines& lines, const Sources& sources, const Shown& shown) {
  const auto& index = sources.lines(shown.place.file);
  const auto [first, last] = lines_of(index, shown.place.span);
  const bool too_long = last - first >= longest_sentence;
  unsigned left_out = 0;
  std::size_t marked_lines = 0;
  for (unsigned number = first; number <= last; ++number) {
    Line line = read_line(index, number, shown);
    line.continues = number > first;
    const bool wanted = number < first + opening_lines || (!line.marked.empty() && marked_lines++ < most_marked_lines);
    if (too_long && !wanted)
      ++left_out;
    else if (!line.text.empty() || !line.marked.empty())
      merge(lines, number, std::move(line));
  }
  return left_out;
}

}  // namespace

Sources::Sources(const std::vector<SourceFile>& files) : files_(files), lines_(files.size()) {
  std::map<std::string, unsigned> uses;
  for (const auto& file : files) ++uses[base_name(file.name)];
  for (const auto& file : files) {
    const auto base = base_name(file.name);
    short_names_.push_back(uses[base] == 1 ? base : file.name);
  }
}

const std::string& Sources::name(std::uint32_t file) const { return files_.at(file).name; }

const std::string& Sources::short_name(std::uint32_t file) const { return short_names_.at(file); }

const LineIndex& Sources::lines(std::uint32_t file) const {
  auto& index = lines_.at(file);
  if (!index) index.emplace(files_.at(file));
  return *index;
}

LineColumn Sources::at(std::uint32_t file, std::uint32_t offset) const { return lines(file).at(offset); }

unsigned Sources::letters(const Place& place) const {
  const std::string_view text = lines(place.file).text();
  const Span span = lines(place.file).given(place.span);
  const std::size_t end = std::min<std::size_t>(span.end, text.size());
  unsigned count = 0;
  for (std::size_t i = span.begin; i < end; ++i) count += !is_inside_letter(text[i]);
  return count;
}

std::string Sources::words(const Place& place) const {
  return short_name(place.file) + ", " + line_words(place);
}

std::string Sources::line_words(const Place& place) const {
  const LineIndex& index = lines(place.file);
  return index.words(place.span.begin) + (is_in_a_cell(place) ? ", column " + index.column_letters(place.span.begin) : "");
}

// Whether the words stand in one cell of a table that has several.
bool Sources::is_in_a_cell(const Place& place) const {
  const LineIndex& index = lines(place.file);
  if (!index.has_rows()) return false;
  const Span span = index.given(place.span);
  return span.end > span.begin && index.column_letters(span.begin) == index.column_letters(span.end - 1);
}

bool Sources::shares_its_lines(const Place& place) const {
  if (lines(place.file).has_rows()) return false;
  const std::string& text = files_.at(place.file).text;
  std::size_t before = std::min<std::size_t>(place.span.begin, text.size());
  while (before > 0 && is_blank(text[before - 1])) --before;
  std::size_t after = std::min<std::size_t>(place.span.end, text.size());
  while (after < text.size() && is_blank(text[after])) ++after;
  const bool opens_line = before == 0 || text[before - 1] == '\n';
  const bool ends_line = after == text.size() || text[after] == '\n' || text.compare(after, 2, "--") == 0;
  return !opens_line || !ends_line;
}

std::vector<Excerpt> excerpts(const Sources& sources, const std::vector<Shown>& shown) {
  std::vector<Excerpt> out;
  std::vector<Lines> lines;
  for (const Shown& one : shown) {
    auto at = std::find_if(out.begin(), out.end(), [&](const Excerpt& e) { return e.file == one.place.file; });
    if (at == out.end()) {
      at = out.insert(out.end(), Excerpt{one.place.file, {}, 0});
      lines.emplace_back();
    }
    at->left_out += add_lines(lines[at - out.begin()], sources, one);
  }
  for (std::size_t i = 0; i < out.size(); ++i)
    for (auto& [number, line] : lines[i]) {
      std::sort(line.marked.begin(), line.marked.end());
      out[i].lines.push_back(cut(std::move(line)));
    }
  return out;
}

}  // namespace betony::terminal
