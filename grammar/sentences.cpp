#include "grammar/sentences.h"

#include <algorithm>

#include "grammar/lexical.h"
#include "grammar/words.h"

namespace betony {
namespace {

namespace rules {

using namespace lexical;  // NOLINT
using pegtl::at;
using pegtl::eof;
using pegtl::not_at;
using pegtl::one;
using pegtl::seq;
using pegtl::sor;
using pegtl::star;

struct stop_of_any_script : letter_that<letters::is_stop> {};
struct stop : sor<seq<one<'.'>, at<sor<white, eof, pegtl::string<'-', '-'>>>>, stop_of_any_script> {};

bool ends_speech(char32_t code) {
  return code == '.' || code == '!' || code == '?' || code == 0x061F || code == 0xFF01 || code == 0xFF1F ||
         letters::is_stop(code);
}

// True just after a string whose last letter is a stop, or a mark like one.
struct after_full_sentence {
  using rule_t = after_full_sentence;
  using subs_t = pegtl::type_list<>;
  template <typename Input>
  static bool match(Input& in) {
    const char* quote = back(in.current(), in.begin());
    const char* last = back(quote, in.begin());
    return ends_speech(letters::letter_at({last, static_cast<std::size_t>(quote - last)}, 0).code);
  }
  static const char* back(const char* at, const char* begin) {
    while (at > begin) {
      --at;
      if ((static_cast<unsigned char>(*at) & 0xC0) != 0x80) break;
    }
    return at;
  }
};

bool carries_on(char32_t code) {
  return code == ':' || code == ';' || code == '.' || code == '[' || code == 0xFF1A || code == 0x061B ||
         code == 0xFF1B || letters::is_comma(code) || letters::is_stop(code);
}
struct mark_that_goes_on : letter_that<carries_on> {};

// One of a few words, as written: in lower case.
struct word_that_goes_on {
  using rule_t = word_that_goes_on;
  using subs_t = pegtl::type_list<>;
  template <typename Input>
  static bool match(Input& in) {
    const std::string_view text(in.current(), std::min<std::size_t>(in.size(0), 64));
    return goes_on_after_speech(text);
  }
};

struct goes_on : seq<star<sor<white, comment>>, sor<mark_that_goes_on, word_that_goes_on>> {};
struct finish : seq<after_full_sentence, not_at<goes_on>> {};

// A capital that begins a word with which a sentence of the language opens.
struct opening_word {
  using rule_t = opening_word;
  using subs_t = pegtl::type_list<>;
  template <typename Input>
  static bool match(Input& in) {
    const std::string_view text(in.current(), std::min<std::size_t>(in.size(0), 64));
    return begins_like_a_sentence(text);
  }
};
struct line_that_opens : at<opening_word> {};
struct new_line : seq<line_break, star<white>, pegtl::opt<line_that_opens>> {};

struct plain_run : pegtl::plus<pegtl::ranges<'a', 'z', 'A', 'Z', '0', '9', ' '>> {};
struct other_letter : seq<not_at<sor<straight, open_curly, one<'['>>>, any_letter> {};
struct piece : sor<plain_run, new_line,
                   seq<not_at<stop>, sor<comment, seq<lexical::string, not_at<finish>>, bracket, other_letter>>> {};

struct finishing_string : seq<lexical::string, finish> {};
struct lost_quote : unclosed_string {};
struct lost_bracket : unclosed_bracket {};
struct ending : sor<stop, finishing_string, lost_quote, lost_bracket, eof> {};

struct sentence : seq<star<piece>, ending> {};
struct byte_order_mark : pegtl::opt<pegtl::utf8::one<0xFEFF>> {};
struct file : seq<byte_order_mark, star<sor<white, comment, seq<not_at<eof>, sentence>>>, eof> {};

}  // namespace rules

struct Splitter {
  SplitText out;
  std::string_view text;
  std::uint32_t file = 0;
  std::size_t most = 0;
  RawSentence now;
  std::uint32_t stop_bytes = 0;  // 0 where a string's own stop ended the sentence
  bool stopped = false;

  std::uint32_t offset(const char* at) const { return static_cast<std::uint32_t>(at - text.data()); }

  void lost(Span where, std::string message, std::string matter, std::string remedy) {
    now.broken = true;
    out.messages.push_back({std::move(matter), {file, where}, std::move(message), std::move(remedy)});
  }
};

template <typename Rule>
struct action : lexical::pegtl::nothing<Rule> {};

template <>
struct action<lexical::comment> {
  template <typename Input>
  static void apply(const Input& in, Splitter& s) {
    s.out.comments.push_back({s.file, {s.offset(in.begin()), s.offset(in.end())}, std::string(in.begin(), in.end())});
  }
};

template <>
struct action<rules::line_that_opens> {
  template <typename Input>
  static void apply(const Input& in, Splitter& s) {
    s.now.starts.push_back(s.offset(in.begin()));
  }
};

template <>
struct action<rules::stop> {
  template <typename Input>
  static void apply(const Input& in, Splitter& s) {
    s.stop_bytes = s.offset(in.end()) - s.offset(in.begin());
    s.stopped = true;
  }
};

// The first line of what was lost, without its end.
Span first_line(std::string_view text, Span span) {
  const auto line = text.substr(span.begin, span.end - span.begin).find_first_of("\r\n");
  if (line != std::string_view::npos) span.end = span.begin + static_cast<std::uint32_t>(line);
  return span;
}

constexpr std::size_t readable = 240;  // bytes of a line that is still shown whole

// A quotation that was not closed, with its quote, and the stop of its sentence.
std::string closed(std::string_view quotation) {
  if (quotation.size() > readable) return "\"…\".";
  const bool stopped = !quotation.empty() && std::string_view(".!?").find(quotation.back()) != std::string_view::npos;
  return std::string(quotation) + (stopped ? "\"" : "\".");
}

template <>
struct action<rules::lost_quote> {
  template <typename Input>
  static void apply(const Input& in, Splitter& s) {
    const Span span{s.offset(in.begin()), s.offset(in.end())};
    const Span line = first_line(s.text, span);
    s.lost(line, "A quotation opens here, and no quote closes it before the next empty line.", "a quote is not closed",
           closed(s.text.substr(line.begin, line.end - line.begin)));
  }
};

template <>
struct action<rules::lost_bracket> {
  template <typename Input>
  static void apply(const Input& in, Splitter& s) {
    const Span span{s.offset(in.begin()), s.offset(in.end())};
    const Span line = first_line(s.text, span);
    std::string_view citation = s.text.substr(line.begin, line.end - line.begin);
    if (citation.ends_with('.')) citation.remove_suffix(1);
    if (citation.size() > readable) citation = "[…";
    s.lost(line, "A square bracket opens here, and none closes it before the next empty line.",
           "a bracket is not closed", std::string(citation) + "].");
  }
};

template <>
struct action<rules::finishing_string> {
  template <typename Input>
  static void apply(const Input&, Splitter& s) {
    s.stopped = true;
  }
};

// The sentence without the white space and comments that may stand before a missing stop.
void trim(std::string_view text, const std::vector<tree::Comment>& comments, Span& span) {
  auto comment = comments.rbegin();
  for (;;) {
    while (span.end > span.begin && letters::is_white(static_cast<unsigned char>(text[span.end - 1]))) --span.end;
    while (comment != comments.rend() && comment->span.begin >= span.end) ++comment;
    if (comment == comments.rend() || comment->span.end != span.end || comment->span.begin < span.begin) return;
    span.end = comment->span.begin;
  }
}

template <>
struct action<rules::sentence> {
  template <typename Input>
  static void apply(const Input& in, Splitter& s) {
    RawSentence now = std::move(s.now);
    s.now = {};
    now.file = s.file;
    now.whole = {s.offset(in.begin()), s.offset(in.end())};
    now.body = {now.whole.begin, now.whole.end - s.stop_bytes};
    now.stopped = s.stopped;
    if (!now.stopped || now.broken) trim(s.text, s.out.comments, now.whole);
    trim(s.text, s.out.comments, now.body);
    s.stop_bytes = 0;
    s.stopped = false;
    if (s.out.sentences.size() < s.most) s.out.sentences.push_back(std::move(now));
  }
};

}  // namespace

SplitText split_sentences(std::string_view text, std::uint32_t file, std::size_t most) {
  Splitter splitter;
  splitter.text = text;
  splitter.file = file;
  splitter.most = most;
  lexical::pegtl::memory_input<lexical::pegtl::tracking_mode::lazy> in(text.data(), text.data() + text.size(), "");
  lexical::pegtl::parse<rules::file, action>(in, splitter);
  return std::move(splitter.out);
}

}  // namespace betony
