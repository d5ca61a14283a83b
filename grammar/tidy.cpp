// grammar/tidy.cpp: a whole file in its one standard form.
//
// The file is a row of items, sentences and the comments between them, in the order in which they
// were written. Each keeps its place in the row; what is decided here is how far in it stands and
// whether a blank line comes before it. Comments inside a sentence are tidy_layout.cpp's work.
#include <algorithm>

#include "grammar/grammar.h"
#include "grammar/tidy_words.h"

namespace betony {

namespace tidying {
namespace {

struct Item {
  Span span;
  std::string text;               // its lines, without the last line break and without indentation for comments
  bool is_comment = false;
  bool ends_a_line = false;       // a comment behind a sentence, on its line
  bool heading = false;
  unsigned indent = 0;
  bool blank_before = false;
};

class File {
 public:
  File(const Tree& tree, std::uint32_t file) : source(tree.files.at(file).text) {
    std::vector<const tree::Comment*> comments;
    for (const tree::Comment& c : tree.comments)
      if (c.file == file) comments.push_back(&c);
    std::vector<const tree::Sentence*> sentences;
    for (const tree::Sentence& s : tree.sentences)
      if (s.place.file == file) sentences.push_back(&s);
    const auto earlier = [](const auto* a, const auto* b) { return where(*a).begin < where(*b).begin; };
    std::stable_sort(comments.begin(), comments.end(), earlier);
    std::stable_sort(sentences.begin(), sentences.end(), earlier);
    gather(sentences, comments);
  }

  std::string text() {
    find_blanks();
    indent_comments();
    for (std::size_t i = 1; i < items.size(); ++i)
      if (items[i].heading) part_from_above(i);
    return put_together();
  }

 private:
  static Span where(const tree::Comment& c) { return c.span; }
  static Span where(const tree::Sentence& s) { return s.place.span; }

  void gather(const std::vector<const tree::Sentence*>& sentences, const std::vector<const tree::Comment*>& comments) {
    auto next = comments.begin();
    for (const tree::Sentence* s : sentences) {
      for (; next != comments.end() && (*next)->span.begin < s->place.span.begin; ++next) add(**next);
      const auto first = next;
      while (next != comments.end() && (*next)->span.begin < s->place.span.end) ++next;
      add(*s, {first, next});
    }
    for (; next != comments.end(); ++next) add(**next);
  }

  void add(const tree::Comment& c) {
    const bool behind = !items.empty() && !items.back().is_comment && !line_breaks(items.back().span.end, c.span.begin);
    items.push_back({c.span, trimmed(c.text), true, behind, false, items.empty() ? 0 : items.back().indent});
  }

  void add(const tree::Sentence& s, const std::vector<const tree::Comment*>& inside) {
    const unsigned indent = indentation(s.form);
    const auto words = words_of(s, inside.empty() ? EndingOrder::standard : EndingOrder::as_written);
    std::vector<InnerComment> placed;
    if (!inside.empty()) placed = place_comments(written(s.place.span), s.place.span.begin, inside, words);
    items.push_back({s.place.span, lines_of(words, indent, placed), false, false, is_heading(s.form), indent});
    // Comments between the last word and the stop come to stand behind the stop.
    for (std::size_t i = placed.size(); i < inside.size(); ++i) {
      add(*inside[i]);
      items.back().ends_a_line = i == placed.size() && !on_own_line(inside[i]->span.begin);
      items.back().span.end = s.place.span.end;
    }
  }

  std::string_view written(Span span) const { return std::string_view(source).substr(span.begin, span.end - span.begin); }

  bool on_own_line(std::uint32_t at) const {
    const auto before = std::string_view(source).substr(0, at).find_last_not_of(" \t\r");
    return before == std::string_view::npos || source[before] == '\n';
  }

  std::ptrdiff_t line_breaks(std::uint32_t from, std::uint32_t to) const {
    return from < to ? std::count(source.begin() + from, source.begin() + to, '\n') : 0;
  }

  void find_blanks() {
    for (std::size_t i = 1; i < items.size(); ++i)
      items[i].blank_before = line_breaks(items[i - 1].span.end, items[i].span.begin) > 1;
  }

  // A comment stands as far in as the sentence it goes with: the next one, or, where a blank line
  // comes between, the one before.
  void indent_comments() {
    for (std::size_t i = 0; i < items.size(); ++i) {
      if (!items[i].is_comment || items[i].ends_a_line) continue;
      std::size_t end = i + 1;
      while (end < items.size() && items[end].is_comment && !items[end].blank_before) ++end;
      const bool with_next = end < items.size() && !items[end].blank_before;
      const bool with_last = !with_next && i > 0 && !items[i].blank_before;
      const unsigned indent = with_next ? items[end].indent : with_last ? items[i - 1].indent : next_indent(end);
      for (; i < end; ++i) items[i].indent = indent;
      --i;
    }
  }

  unsigned next_indent(std::size_t i) const {
    while (i < items.size() && items[i].is_comment) ++i;
    return i < items.size() ? items[i].indent : 0;
  }

  // One blank line before a heading and the comments that go with it, unless what stands above is a
  // heading too.
  void part_from_above(std::size_t heading) {
    std::size_t first = heading;
    while (first > 0 && items[first - 1].is_comment && !items[first - 1].ends_a_line && !items[first].blank_before) --first;
    if (first == 0) return;
    std::size_t above = first - 1;
    while (above > 0 && items[above].is_comment) --above;
    if (!items[above].heading) items[first].blank_before = true;
  }

  std::string put_together() const {
    std::string text;
    for (std::size_t i = 0; i < items.size(); ++i) {
      const Item& item = items[i];
      if (i > 0) text += item.ends_a_line ? "  " : item.blank_before ? "\n\n" : "\n";
      if (item.is_comment && !item.ends_a_line) text += std::string(item.indent, ' ');
      text += item.text;
    }
    if (!text.empty()) text += '\n';
    return text;
  }

  const std::string& source;
  std::vector<Item> items;
};

}  // namespace
}  // namespace tidying

std::string tidy(const Tree& tree, std::uint32_t file) { return tidying::File(tree, file).text(); }

std::string written_words(const tree::Condition& condition) {
  tidying::Words words;
  tidying::condition(words, condition);
  std::string text;
  for (const tidying::Piece& piece : words.all()) text += (text.empty() ? "" : " ") + piece.text;
  return text;
}

}  // namespace betony
