// grammar/lexical.h: the marks of raw source text, before any word is looked at.
//
// Rules over the bytes as written, shared by the splitting into sentences (sentences.cpp) and the
// normalised copy of one sentence (passage.cpp). Inside the grammar room only.
#pragma once

#include <tao/pegtl.hpp>

#include "grammar/text.h"

namespace betony::lexical {

namespace pegtl = tao::pegtl;

// One letter that a predicate of text.h accepts.
template <bool (*accepts)(char32_t)>
struct letter_that {
  using rule_t = letter_that;
  using subs_t = pegtl::type_list<>;
  template <typename Input>
  static bool match(Input& in) {
    const auto letter = letters::letter_at({in.current(), in.size(0)}, 0);
    if (letter.bytes == 0 || !accepts(letter.code)) return false;
    in.bump(letter.bytes);
    return true;
  }
};

struct white : letter_that<letters::is_white> {};
struct any_letter : pegtl::utf8::any {};
struct line_break : pegtl::sor<pegtl::one<'\n'>, pegtl::string<'\r', '\n'>> {};
struct white_in_line : pegtl::seq<pegtl::not_at<line_break>, white> {};

// An empty line, seen from the end of the line before it. Strings and brackets do not reach past it,
// so that one lost quote does not eat the file.
struct blank_line : pegtl::seq<line_break, pegtl::star<white_in_line>, pegtl::sor<line_break, pegtl::eof>> {};

struct comment
    : pegtl::seq<pegtl::string<'-', '-'>, pegtl::until<pegtl::at<pegtl::sor<line_break, pegtl::eof>>, any_letter>> {};

// Strings: a doubled quote inside stands for one.
using straight = pegtl::one<'"'>;
using open_curly = pegtl::utf8::one<0x201C>;
using close_curly = pegtl::utf8::one<0x201D>;

template <typename Close>
struct string_letter : pegtl::seq<pegtl::not_at<pegtl::sor<Close, blank_line>>, any_letter> {};
template <typename Close>
struct doubled : pegtl::seq<Close, Close> {};
template <typename Close>
struct string_content : pegtl::star<pegtl::sor<string_letter<Close>, doubled<Close>>> {};
template <typename Open, typename Close>
struct quoted : pegtl::seq<Open, string_content<Close>, Close> {};
struct string : pegtl::sor<quoted<straight, straight>, quoted<open_curly, close_curly>> {};
struct unclosed_string
    : pegtl::sor<pegtl::seq<straight, string_content<straight>>, pegtl::seq<open_curly, string_content<close_curly>>> {
};

// Square brackets hold citations, or belong to a unit; nothing in them is a string or a comment.
struct bracket_letter : pegtl::seq<pegtl::not_at<pegtl::sor<pegtl::one<']'>, blank_line>>, any_letter> {};
struct unclosed_bracket : pegtl::seq<pegtl::one<'['>, pegtl::star<bracket_letter>> {};
struct bracket : pegtl::seq<unclosed_bracket, pegtl::one<']'>> {};

}  // namespace betony::lexical
