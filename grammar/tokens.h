// grammar/tokens.h: the smallest rules over a passage: words of the language, declared and new names,
// numbers, units, days, clock times, quotations. Each takes a leading space along.
//
// Inside the grammar room only.
#pragma once

#include "grammar/reading.h"
#include "grammar/text.h"

namespace betony::rules {

using pegtl::at;
using pegtl::eof;
using pegtl::must;
using pegtl::not_at;
using pegtl::one;
using pegtl::opt;
using pegtl::plus;
using pegtl::seq;
using pegtl::sor;
using pegtl::star;
using pegtl::success;

// A rule that leaves a Part.
template <Part P, typename Rule>
struct node : Rule {
  static constexpr Part part = P;
};

// A rule made by a function of the passage: from where to look to where the match ends; 0 is no match.
template <std::size_t (*ends)(Reading&, std::size_t)>
struct token {
  using rule_t = token;
  using subs_t = pegtl::type_list<>;
  template <pegtl::apply_mode, pegtl::rewind_mode, template <typename...> class, template <typename...> class,
            typename Input>
  static bool match(Input& in, Reading& r) {
    const auto here = static_cast<std::size_t>(in.current() - r.text().data());
    const bool space = here < r.text().size() && r.text()[here] == ' ';
    const std::size_t end = ends(r, here + space);
    if (end == 0) return false;
    in.bump(end - here);
    return true;
  }
};

// The functions behind the tokens (tokens.cpp).
namespace reach {
std::size_t word(const Reading& r, std::size_t at, Word word);
std::size_t any_word(Reading& r, std::size_t at);
std::size_t known(const Reading& r, std::size_t at, unsigned kinds);
std::size_t subject(Reading& r, std::size_t at);          // a name of a condition; becomes r.subject
std::size_t profile_subject(Reading& r, std::size_t at);  // a name of a profile; becomes r.subject
std::size_t chosen(Reading& r, std::size_t at);           // nothing; the choice above becomes r.subject
std::size_t expected(Reading& r, std::size_t at);         // a practice or choice; becomes r.subject
std::size_t value(Reading& r, std::size_t at);            // a value word of r.subject
std::size_t another_value(Reading& r, std::size_t at);    // likewise, where a name could stand too
std::size_t quotation(Reading& r, std::size_t at);
std::size_t number(Reading& r, std::size_t at);
std::size_t whole_number(Reading& r, std::size_t at);
std::size_t unit(Reading& r, std::size_t at);
std::size_t clock(Reading& r, std::size_t at);
std::size_t day(Reading& r, std::size_t at);
std::size_t spaced_minus(Reading& r, std::size_t at);
std::size_t locus(Reading& r, std::size_t at);
std::size_t anchor(Reading& r, std::size_t at);  // sunrise, noon, ...; not where a longer practice stands
std::size_t declared(Reading& r, std::size_t at);        // nothing; the name that is declared becomes r.subject
std::size_t in_claim(Reading& r, std::size_t at);        // nothing; the rest is a claim
std::size_t under_choice(Reading& r, std::size_t at);
}  // namespace reach

template <Word W>
std::size_t reach_word(Reading& r, std::size_t at) {
  return reach::word(r, at, W);
}
template <Word W>
struct word : token<reach_word<W>> {
  static constexpr Wanted wanted = Wanted::word;
  static constexpr unsigned detail = static_cast<unsigned>(W);
  static constexpr Word as_word = W;
};

template <unsigned Kinds>
std::size_t reach_known(Reading& r, std::size_t at) {
  return reach::known(r, at, Kinds);
}
template <unsigned Kinds>
struct known : node<Part::name, token<reach_known<Kinds>>> {
  static constexpr Wanted wanted = Wanted::name;
  static constexpr unsigned detail = Kinds;
};

template <char C>
std::size_t reach_mark(Reading& r, std::size_t at) {
  return at < r.text().size() && r.text()[at] == C ? at + 1 : 0;
}
template <char C>
struct mark : token<reach_mark<C>> {
  static constexpr Wanted wanted = Wanted::mark;
  static constexpr unsigned detail = static_cast<unsigned char>(C);
};
using comma = mark<','>;
using colon = mark<':'>;

struct text : node<Part::text, token<reach::quotation>> {
  static constexpr Wanted wanted = Wanted::text;
};
struct number : node<Part::number, token<reach::number>> {
  static constexpr Wanted wanted = Wanted::number;
};
struct whole_number : node<Part::number, token<reach::whole_number>> {
  static constexpr Wanted wanted = Wanted::whole_number;
};
struct unit : node<Part::unit, token<reach::unit>> {
  static constexpr Wanted wanted = Wanted::unit;
};
struct clock : node<Part::q_clock, token<reach::clock>> {};
struct day : node<Part::q_date, token<reach::day>> {};

// A name that is being declared: words, up to where `Until` can be read (it is not taken along).
struct any_word : token<reach::any_word> {};
template <typename... Until>
struct fresh : node<Part::name, seq<any_word, star<not_at<sor<Until...>>, any_word>>> {
  static constexpr Wanted wanted = Wanted::new_name;
};
using fresh_words = fresh<>;

// A, B and C; a comma that no item follows is left.
struct and_joint : word<Word::and_word> {};
template <typename Item>
struct list : seq<must<Item>, star<sor<seq<and_joint, must<Item>>, seq<comma, opt<and_joint>, Item>>>> {};

// One level of brackets: past the limit a message, before the stack is at risk.
void enter_level(Reading& r, std::size_t at);
template <typename... Rules>
struct nested {
  using rule_t = nested;
  using subs_t = pegtl::type_list<seq<Rules...>>;
  template <pegtl::apply_mode A, pegtl::rewind_mode M, template <typename...> class Action,
            template <typename...> class Control, typename Input>
  static bool match(Input& in, Reading& r) {
    enter_level(r, static_cast<std::size_t>(in.current() - r.text().data()));
    const bool matched = Control<seq<Rules...>>::template match<A, M, Action, Control>(in, r);
    --r.depth;
    return matched;
  }
};

}  // namespace betony::rules
