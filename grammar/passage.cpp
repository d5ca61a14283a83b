#include "grammar/passage.h"

#include "grammar/lexical.h"

namespace betony {

namespace passage_rules {

using namespace lexical;  // NOLINT

struct gap : pegtl::plus<pegtl::sor<white, comment>> {};
struct string : pegtl::sor<lexical::string, unclosed_string> {};
struct citation_letter : pegtl::seq<pegtl::not_at<pegtl::sor<pegtl::one<']'>, white>>, any_letter> {};
struct citation_letters : pegtl::plus<citation_letter> {};
struct citation_gap : pegtl::plus<white> {};
struct citation : pegtl::seq<pegtl::at<unclosed_bracket>, pegtl::star<pegtl::sor<citation_gap, citation_letters>>> {};
struct word_letter
    : pegtl::seq<pegtl::not_at<pegtl::sor<white, comment, straight, open_curly, pegtl::one<'['>>>, any_letter> {};
struct word
    : pegtl::sor<
          pegtl::plus<pegtl::ranges<'a', 'z', 'A', 'Z', '0', '9'>, pegtl::not_at<pegtl::utf8::range<0x80, 0x10FFFF>>>,
          pegtl::plus<word_letter>> {};
struct body : pegtl::star<pegtl::sor<gap, string, citation, word>> {};

}  // namespace passage_rules

struct PassageActions {
  template <typename Rule>
  struct on : lexical::pegtl::nothing<Rule> {};

  template <void (Passage::*step)(std::size_t, std::size_t)>
  struct take {
    template <typename Input>
    static void apply(const Input& in, Passage& to) {
      const char* begin = to.source_.data();
      (to.*step)(static_cast<std::size_t>(in.begin() - begin), static_cast<std::size_t>(in.end() - begin));
    }
  };
};
template <>
struct PassageActions::on<passage_rules::gap> : PassageActions::take<&Passage::gap> {};
template <>
struct PassageActions::on<passage_rules::citation_gap> : PassageActions::take<&Passage::gap> {};
template <>
struct PassageActions::on<passage_rules::word> : PassageActions::take<&Passage::letters> {};
template <>
struct PassageActions::on<passage_rules::citation_letters> : PassageActions::take<&Passage::letters> {};
template <>
struct PassageActions::on<passage_rules::string> : PassageActions::take<&Passage::quotation> {};

Passage::Passage(std::string_view source, std::uint32_t file, Span body) : source_(source), file_(file), body_(body) {
  const auto text = source.substr(body.begin, body.end - body.begin);
  text_.reserve(text.size());
  from_.reserve(text.size());
  to_.reserve(text.size());
  lexical::pegtl::memory_input<lexical::pegtl::tracking_mode::lazy> in(text.data(), text.data() + text.size(), "");
  lexical::pegtl::parse<passage_rules::body, PassageActions::on>(in, *this);
}

// Lets every byte that was appended since the last call stand for the same piece of the file.
void Passage::bytes_from(std::size_t begin, std::size_t end) {
  from_.resize(text_.size(), static_cast<std::uint32_t>(begin));
  to_.resize(text_.size(), static_cast<std::uint32_t>(end));
}

void Passage::gap(std::size_t begin, std::size_t end) {
  text_.push_back(' ');
  bytes_from(begin, end);
}

void Passage::letters(std::size_t begin, std::size_t end) {
  const auto piece = source_.substr(0, end);
  const auto is_ascii = [&](std::size_t at) { return at >= end || static_cast<unsigned char>(piece[at]) < 0x80; };
  while (begin < end) {
    if (is_ascii(begin) && is_ascii(begin + 1)) {  // by far the most: nothing composes with it
      const char c = piece[begin];
      text_.push_back(c >= 'A' && c <= 'Z' ? static_cast<char>(c + ('a' - 'A')) : c);
      from_.push_back(static_cast<std::uint32_t>(begin));
      to_.push_back(static_cast<std::uint32_t>(++begin));
      continue;
    }
    const std::size_t bytes = letters::append_folded(text_, piece, begin);
    bytes_from(begin, begin + bytes);
    begin += bytes;
  }
}

namespace {

// What a quotation says: without its quotes, a doubled quote once, a line break one space.
std::string content(std::string_view quoted) {
  const bool curly = quoted[0] != '"';
  const std::string_view close = curly ? "\u201D" : "\"";
  std::string out;
  for (std::size_t at = curly ? 3 : 1; at < quoted.size();) {
    if (quoted.substr(at, close.size()) == close) {
      at += close.size();
      if (at >= quoted.size()) break;
      out += close;
      at += close.size();
    } else if (const auto gap = quoted.find_first_not_of(" \t\r\n", at); gap != at) {
      const auto white = quoted.substr(at, gap == std::string_view::npos ? gap : gap - at);
      out += white.find('\n') == std::string_view::npos ? white : std::string_view(" ");
      at += white.size();
    } else {
      out.push_back(quoted[at++]);
    }
  }
  return letters::nfc(out);
}

}  // namespace

void Passage::quotation(std::size_t begin, std::size_t end) {
  text_ += '"' + std::to_string(strings_.size()) + '"';
  bytes_from(begin, end);
  strings_.push_back({content(source_.substr(begin, end - begin)),
                      {static_cast<std::uint32_t>(begin), static_cast<std::uint32_t>(end)}});
}

Span Passage::span(std::size_t begin, std::size_t end) const {
  if (begin >= text_.size()) return {body_.end, body_.end};
  if (end <= begin) return {from_[begin], from_[begin]};
  return {from_[begin], to_[end - 1]};
}

std::string_view Passage::written(std::size_t begin, std::size_t end) const {
  const Span where = span(begin, end);
  return source_.substr(where.begin, where.end - where.begin);
}

std::string Passage::neat(std::size_t begin, std::size_t end) const {
  std::string out;
  while (begin < end) {
    std::size_t same = begin + 1;  // the bytes that stand for one piece of the file
    while (same < end && from_[same] == from_[begin]) ++same;
    const auto piece = written(begin, same);
    if (text_[begin] == ' ') {
      out.push_back(' ');
    } else if (text_[begin] == '"') {
      out += piece;
    } else {
      letters::append_folded(out, piece, 0, false);
    }
    begin = same;
  }
  return out;
}

std::string Passage::with(std::size_t begin, std::size_t end, std::string_view replacement) const {
  return neat(0, begin) + std::string(replacement) + neat(end, text_.size());
}

std::string Passage::with(Span piece, std::string_view replacement) const {
  const auto begin = std::lower_bound(from_.begin(), from_.end(), piece.begin) - from_.begin();
  const auto end = std::lower_bound(from_.begin(), from_.end(), piece.end) - from_.begin();
  return with(static_cast<std::size_t>(begin), static_cast<std::size_t>(end), replacement);
}

}  // namespace betony
