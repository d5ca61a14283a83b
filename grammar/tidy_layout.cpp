// grammar/tidy_layout.cpp: words -> lines, with the comments among them.
#include <unicode/uchar.h>
#include <unicode/utf8.h>

#include <algorithm>
#include <cctype>

#include "grammar/text.h"
#include "grammar/tidy_words.h"

namespace betony::tidying {

unsigned columns(std::string_view text) {
  unsigned sum = 0;
  const auto size = static_cast<std::int32_t>(text.size());
  for (std::int32_t i = 0; i < size;) {
    UChar32 c;
    U8_NEXT_OR_FFFD(text.data(), i, size, c);
    if (c < 0x80) {
      ++sum;
      continue;
    }
    const int type = u_charType(c);
    if (type == U_NON_SPACING_MARK || type == U_ENCLOSING_MARK || type == U_FORMAT_CHAR) continue;
    const int width = u_getIntPropertyValue(c, UCHAR_EAST_ASIAN_WIDTH);
    sum += width == U_EA_WIDE || width == U_EA_FULLWIDTH ? 2 : 1;
  }
  return sum;
}

// ---------------------------------------------------------------- which words a comment stands between
//
// A sentence with a comment inside is read once more, roughly: as a row of words and whole strings,
// without its commas, stops and brackets; connectives are left out. The standard words are read the same way, and the two rows
// are laid side by side. They differ little ("when" has become "in", an "and" has moved), so a look
// a few words ahead finds the way back. Both rows run forward only, so comments keep their order.

namespace {

struct Spotted {
  std::string key;         // its letters and digits, folded
  std::size_t end = 0;     // one past its last byte
  bool joint = false;      // "and", "or": where they stand is the standard form's affair
};

bool begins(std::string_view text, std::size_t at, std::string_view what) { return text.substr(at, what.size()) == what; }

// How many bytes of a mark that ends a word stand at `at`; 0 if none.
std::size_t parting(std::string_view text, std::size_t at) {
  constexpr std::u32string_view marks = U",;:()[]\"\u201c\u201d";
  if (std::isalnum(static_cast<unsigned char>(text[at]))) return 0;
  const letters::Letter letter = letters::letter_at(text, at);
  const char32_t code = letters::plain(letter.code);
  const bool parts = letters::is_white(code) || letters::is_comma(code) || letters::is_stop(code) ||
                     marks.find(code) != std::u32string_view::npos;
  return parts ? letter.bytes : 0;
}

bool is_ascii(std::string_view text) {
  return std::all_of(text.begin(), text.end(), [](char c) { return static_cast<unsigned char>(c) < 0x80; });
}

std::string key_of(std::string_view word) {
  std::string key(word);
  if (!is_ascii(word)) key = letters::fold(word);  // costly, and seldom needed
  std::erase_if(key, [](char c) {
    const auto byte = static_cast<unsigned char>(c);
    return byte < 0x80 && !std::isalnum(byte) && c != '+' && c != '*' && c != '/' && c != '-';
  });
  for (char& c : key)
    if (c >= 'A' && c <= 'Z') c = static_cast<char>(c + ('a' - 'A'));
  return key;
}

// The end of the string that opens at `at`, one past its closing quote.
std::size_t string_end(std::string_view text, std::size_t at) {
  const bool curly = text[at] != '"';
  const std::string_view close = curly ? "\u201d" : "\"";
  std::size_t i = at + (curly ? 3 : 1);
  while ((i = text.find(close, i)) != std::string_view::npos) {
    if (!begins(text, i + close.size(), close)) return i + close.size();
    i += 2 * close.size();  // a doubled quote stands for one
  }
  return text.size();
}

std::size_t word_end(std::string_view text, std::size_t at) {
  while (at < text.size() && parting(text, at) == 0 && !begins(text, at, "--")) at += letters::letter_at(text, at).bytes;
  return at;
}

std::size_t line_end(std::string_view text, std::size_t at) { return std::min(text.find('\n', at), text.size()); }

std::vector<Spotted> spot(std::string_view text) {
  std::vector<Spotted> row;
  bool cited = false;  // inside square brackets nothing is a comment
  for (std::size_t i = 0; i < text.size();) {
    if (text[i] == '[' || text[i] == ']') cited = text[i] == '[';
    if (begins(text, i, "--") && !cited) {
      i = line_end(text, i);
    } else if (!cited && (text[i] == '"' || begins(text, i, "\u201c"))) {
      const std::size_t end = string_end(text, i);
      row.push_back({'"' + key_of(text.substr(i, end - i)), end});
      i = end;
    } else if (const std::size_t skip = parting(text, i)) {
      i += skip;
    } else {
      const std::size_t end = std::max(word_end(text, i), i + 1);
      if (std::string key = key_of(text.substr(i, end - i)); !key.empty()) {
        const bool joint = key == spelled(Word::and_word) || key == spelled(Word::or_word);
        row.push_back({std::move(key), end, joint});
      }
      i = end;
    }
  }
  return row;
}

std::vector<Spotted> without_joints(std::vector<Spotted> row) {
  std::erase_if(row, [](const Spotted& word) { return word.joint; });
  return row;
}

// For each word of `from`, how many words of `to` are passed once it is.
std::vector<std::size_t> side_by_side(const std::vector<Spotted>& from, const std::vector<Spotted>& to) {
  constexpr std::size_t look_ahead = 12;
  std::vector<std::size_t> passed(from.size());
  std::size_t i = 0, j = 0;
  const auto same_at = [&](std::size_t a, std::size_t b) { return a < from.size() && b < to.size() && from[a].key == to[b].key; };
  const auto skip_to = [&]() -> std::pair<std::size_t, std::size_t> {
    for (std::size_t sum = 1; sum <= look_ahead; ++sum)
      for (std::size_t a = 0; a <= sum; ++a)
        if (same_at(i + a, j + sum - a)) return {a, sum - a};
    return {1, 1};
  };
  while (i < from.size()) {
    if (!same_at(i, j)) {
      const auto [a, b] = skip_to();
      const bool found = same_at(i + a, j + b);
      for (std::size_t k = 0; k < a && i < from.size(); ++k) passed[i++] = std::min(j + (found ? std::min(k + 1, b) : k + 1), to.size());
      j = std::min(j + b, to.size());
      continue;
    }
    passed[i++] = ++j;
  }
  return passed;
}

// For each spotted word, the index of the standard word (one line-breakable piece) it ends in.
std::vector<std::size_t> pieces_of(const std::vector<Spotted>& row, const std::vector<Piece>& standard) {
  std::vector<std::size_t> piece;
  std::size_t k = 0, end = standard.empty() ? 0 : standard[0].text.size();
  for (const Spotted& word : row) {
    while (end < word.end && k + 1 < standard.size()) end += 1 + standard[++k].text.size();
    piece.push_back(k);
  }
  return piece;
}

std::string together(const std::vector<Piece>& words) {
  std::string text;
  for (const Piece& word : words) {
    if (!text.empty()) text += ' ';
    text += word.text;
  }
  return text;
}

// Only white space stands between the comment and the beginning of its line.
bool on_own_line(std::string_view text, std::size_t at) {
  while (at > 0 && text[at - 1] != '\n') {
    --at;
    if (text[at] != ' ' && text[at] != '\t' && text[at] != '\r') return false;
  }
  return true;
}

}  // namespace

std::string trimmed(std::string_view comment) {
  return std::string(comment.substr(0, comment.find_last_not_of(" \t\r") + 1));
}

std::vector<InnerComment> place_comments(std::string_view written, std::uint32_t offset,
                                         const std::vector<const tree::Comment*>& comments,
                                         const std::vector<Piece>& standard) {
  const std::vector<Spotted> all = spot(written);
  const std::vector<Spotted> from = without_joints(all), to = without_joints(spot(together(standard)));
  const std::vector<std::size_t> passed = side_by_side(from, to);
  const std::vector<std::size_t> piece = pieces_of(to, standard);
  const auto words_before = [](const std::vector<Spotted>& row, std::size_t at) {
    const auto end = std::upper_bound(row.begin(), row.end(), at, [](std::size_t a, const Spotted& w) { return a < w.end; });
    return static_cast<std::size_t>(end - row.begin());
  };
  std::vector<InnerComment> placed;
  for (const tree::Comment* comment : comments) {
    const std::size_t at = comment->span.begin - offset;
    const std::size_t count = words_before(from, at), whole_count = words_before(all, at);
    const std::size_t reached = count == 0 ? 0 : passed[count - 1];
    std::size_t words = reached == 0 ? 1 : piece[reached - 1] + 1;
    if (count == from.size() || words >= standard.size()) break;
    if (whole_count > 0 && all[whole_count - 1].joint && all[whole_count - 1].key == key_of(standard[words].text)) ++words;
    if (!placed.empty()) words = std::max(words, placed.back().words_before);  // behind a joint the one before may have gone a word further
    placed.push_back({trimmed(comment->text), on_own_line(written, at), words});
  }
  return placed;
}

// ---------------------------------------------------------------- lines

namespace {

class Filler {
 public:
  explicit Filler(unsigned indent) : further(indent + further_in), text(indent, ' '), column(indent) {}

  // `width` is that of the word and of those that are kept behind it.
  void word(const Piece& w, unsigned width) {
    if (begun && !w.kept && column + 1 + width > line_width) new_line();
    if (begun) {
      text += ' ';
      ++column;
    }
    text += w.text;
    column += columns(w.text);
    begun = true;
  }
  void comment(const InnerComment& c) {
    if (begun && !c.own_line) text += "  " + c.text;
    else {
      if (begun) new_line();
      text += c.text;
    }
    new_line();
  }
  std::string take() { return std::move(text); }

 private:
  void new_line() {
    text += '\n' + std::string(further, ' ');
    column = further;
    begun = false;
  }
  unsigned further;
  std::string text;
  unsigned column;
  bool begun = false;  // the line has a word
};

}  // namespace

namespace {

// A line that begins like a sentence is taken for one, unless the line before ends with a comma: such a word stays
// on the line of the word before.
std::vector<Piece> with_openings_kept(std::vector<Piece> words) {
  for (std::size_t i = words.size(); i-- > 1;) {
    if (words[i].spoken || words[i - 1].text.ends_with(',')) continue;
    std::string ahead = words[i].text;
    for (std::size_t k = i + 1; k < words.size() && ahead.size() < 64; ++k) ahead += ' ' + words[k].text;
    words[i].kept = words[i].kept || begins_like_a_sentence(ahead);
  }
  return words;
}

}  // namespace

std::string lines_of(const std::vector<Piece>& plain, unsigned indent, const std::vector<InnerComment>& comments) {
  const std::vector<Piece> words = with_openings_kept(plain);
  Filler filler(indent);
  auto comment = comments.begin();
  for (std::size_t i = 0; i < words.size(); ++i) {
    unsigned width = columns(words[i].text);
    for (std::size_t k = i + 1; k < words.size() && words[k].kept; ++k) width += 1 + columns(words[k].text);
    filler.word(words[i], width);
    for (; comment != comments.end() && comment->words_before == i + 1; ++comment) filler.comment(*comment);
  }
  return filler.take();
}

}  // namespace betony::tidying
