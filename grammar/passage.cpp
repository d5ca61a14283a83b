#include "grammar/passage.h"

#include <algorithm>

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
struct word : pegtl::plus<word_letter> {};

// Plain letters and digits, and the single spaces between them. The last letter before one that is not plain is left
// out, since the two may make one.
struct plain_words {
  using rule_t = plain_words;
  using subs_t = pegtl::type_list<>;
  static bool is_plain(char c) { return (c >= 'a' && c <= 'z') || (c >= 'A' && c <= 'Z') || (c >= '0' && c <= '9'); }
  template <typename Input>
  static bool match(Input& in) {
    const std::string_view text(in.current(), in.size(0));
    std::size_t end = 0;
    while (end < text.size()) {
      const bool space = text[end] == ' ' && end > 0;
      if (!is_plain(text[end]) && !space) break;
      if (end + 1 < text.size() && (space ? !is_plain(text[end + 1]) : static_cast<unsigned char>(text[end + 1]) >= 0x80)) break;
      if (space && end + 1 == text.size()) break;
      ++end;
    }
    if (end == 0) return false;
    in.bump(end);
    return true;
  }
};
struct body : pegtl::star<pegtl::sor<plain_words, gap, string, citation, word>> {};

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
struct PassageActions::on<passage_rules::plain_words> : PassageActions::take<&Passage::one_for_one> {};
template <>
struct PassageActions::on<passage_rules::word> : PassageActions::take<&Passage::letters> {};
template <>
struct PassageActions::on<passage_rules::citation_letters> : PassageActions::take<&Passage::letters> {};
template <>
struct PassageActions::on<passage_rules::string> : PassageActions::take<&Passage::quotation> {};

Passage::Passage(std::string_view source, std::uint32_t file, Span body) : source_(source), file_(file), body_(body) {
  const auto text = source.substr(body.begin, body.end - body.begin);
  text_.reserve(text.size());
  lexical::pegtl::memory_input<lexical::pegtl::tracking_mode::lazy> in(text.data(), text.data() + text.size(), "");
  lexical::pegtl::parse<passage_rules::body, PassageActions::on>(in, *this);
}

// The next bytes of the file, all plain, in small letters.
void Passage::one_for_one(std::size_t begin, std::size_t end) {
  const bool goes_on = !runs_.empty() && runs_.back().end == 0 && runs_.back().from(text_.size()) == begin;
  if (!goes_on) runs_.push_back({static_cast<std::uint32_t>(text_.size()), static_cast<std::uint32_t>(begin), 0});
  for (; begin < end; ++begin) {
    const char c = source_[begin];
    text_.push_back(c >= 'A' && c <= 'Z' ? static_cast<char>(c + ('a' - 'A')) : c);
  }
}

// Lets the last bytes that were appended stand together for one piece of the file.
void Passage::stands_for(std::size_t bytes, std::size_t begin, std::size_t end) {
  if (bytes == 0) return;
  runs_.push_back({static_cast<std::uint32_t>(text_.size() - bytes), static_cast<std::uint32_t>(begin), static_cast<std::uint32_t>(end)});
}

void Passage::gap(std::size_t begin, std::size_t end) {
  text_.push_back(' ');
  stands_for(1, begin, end);
}

void Passage::letters(std::size_t begin, std::size_t end) {
  const auto piece = source_.substr(0, end);
  const auto is_ascii = [&](std::size_t at) { return at >= end || static_cast<unsigned char>(piece[at]) < 0x80; };
  while (begin < end) {
    std::size_t plain = begin;  // by far the most: nothing composes with it
    while (plain < end && is_ascii(plain) && is_ascii(plain + 1)) ++plain;
    if (plain > begin) {
      one_for_one(begin, plain);
      begin = plain;
      continue;
    }
    const std::size_t before = text_.size(), bytes = letters::append_folded(text_, piece, begin);
    stands_for(text_.size() - before, begin, begin + bytes);
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
  const std::size_t before = text_.size();
  text_ += '"' + std::to_string(strings_.size()) + '"';
  stands_for(text_.size() - before, begin, end);
  strings_.push_back({content(source_.substr(begin, end - begin)),
                      {static_cast<std::uint32_t>(begin), static_cast<std::uint32_t>(end)}});
}

std::vector<Passage::Run>::const_iterator Passage::run_of(std::size_t byte) const {
  return std::prev(std::upper_bound(runs_.begin(), runs_.end(), byte, [](std::size_t at, const Run& run) { return at < run.at; }));
}

Span Passage::span(std::size_t begin, std::size_t end) const {
  if (begin >= text_.size()) return {body_.end, body_.end};
  const std::uint32_t from = run_of(begin)->from(begin);
  if (end <= begin) return {from, from};
  return {from, run_of(end - 1)->to(end - 1)};
}

std::string_view Passage::written(std::size_t begin, std::size_t end) const {
  const Span where = span(begin, end);
  return source_.substr(where.begin, where.end - where.begin);
}

std::string Passage::neat(std::size_t begin, std::size_t end) const {
  std::string out;
  if (begin >= end) return out;
  for (auto run = run_of(begin); begin < end; ++run) {
    const std::size_t stop = std::min(end, end_of(run));
    if (run->end == 0) {
      out += source_.substr(run->from(begin), stop - begin);
    } else if (text_[begin] == ' ') {
      out.push_back(' ');
    } else {
      const auto piece = source_.substr(run->begin, run->end - run->begin);
      if (text_[begin] == '"') out += piece;
      else letters::append_folded(out, piece, 0, false);
    }
    begin = stop;
  }
  return out;
}

std::string Passage::with(std::size_t begin, std::size_t end, std::string_view replacement) const {
  return neat(0, begin) + std::string(replacement) + neat(end, text_.size());
}

std::size_t Passage::first_from(std::uint32_t place) const {
  for (auto run = runs_.begin(); run != runs_.end(); ++run)
    if (run->from(end_of(run) - 1) >= place) return run->end != 0 || run->begin >= place ? run->at : run->at + (place - run->begin);
  return text_.size();
}

std::string Passage::with(Span piece, std::string_view replacement) const {
  return with(first_from(piece.begin), first_from(piece.end), replacement);
}

}  // namespace betony
