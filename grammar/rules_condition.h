// grammar/rules_condition.h: conditions, arithmetic, and the ends of sentences.
//
// A level is read from left to right without going back: which connective stands between its items,
// and whether they are mixed, is looked at when the tree is built (build_condition.cpp). Only a plain
// comma may turn out not to belong to the level, and what follows it is then read once more at most.
#pragma once

#include "grammar/tokens.h"

namespace betony::rules {

// ---------------------------------------------------------------- values

struct ago : node<Part::ago, word<Word::ago>> {};
struct q_number : node<Part::q_number, seq<number, opt<unit>, opt<ago>>> {};
struct q_never : node<Part::q_never, word<Word::never>> {};
struct q_yes : node<Part::q_yes, word<Word::yes>> {};
struct q_no : node<Part::q_no, word<Word::no>> {};
struct value : node<Part::q_word, token<reach::value>> {};
struct another_value : node<Part::q_word, token<reach::another_value>> {};
struct told : sor<day, clock, q_number> {};

struct quantity : sor<value, told> {
  static constexpr Wanted wanted = Wanted::value;
};
struct tested : sor<value, told, q_never, q_yes, q_no> {
  static constexpr Wanted wanted = Wanted::value;
};
struct another : sor<another_value, told> {};
struct answer : sor<value, told, q_never, q_yes, q_no> {
  static constexpr Wanted wanted = Wanted::answer;
};

// ---------------------------------------------------------------- conditions

struct level;
struct condition : seq<level> {
  static constexpr Wanted wanted = Wanted::condition;
};

struct subject : node<Part::name, token<reach::subject>> {};
struct is_not : node<Part::is_not, word<Word::not_word>> {};
struct is_one_of : node<Part::is_one_of, word<Word::one_of>> {};
struct with_care : node<Part::with_care, word<Word::with_care>> {};
struct either : sor<word<Word::and_word>, word<Word::or_word>> {};
struct value_run : seq<must<tested>, star<sor<seq<comma, opt<either>, another>, seq<either, another>>>> {};
struct or_values : seq<must<tested>, star<word<Word::or_word>, another>> {};
struct is_test
    : node<Part::is_test, seq<word<Word::is>, opt<is_not>, sor<with_care, seq<is_one_of, value_run>, or_values>>> {};
struct under : node<Part::under, seq<word<Word::under>, must<quantity>>> {};
struct over : node<Part::over, seq<word<Word::over>, must<quantity>>> {};
struct at_least : node<Part::at_least, seq<word<Word::at_least>, must<quantity>>> {};
struct at_most : node<Part::at_most, seq<word<Word::at_most>, must<quantity>>> {};
struct from_to : node<Part::from_to, seq<word<Word::from>, must<quantity>, must<word<Word::to>>, must<quantity>>> {};
struct atom : node<Part::atom, seq<subject, opt<sor<is_test, under, over, at_least, at_most, from_to>>>> {};

struct close : mark<')'> {};
struct bracket : node<Part::bracket, seq<mark<'('>, nested<must<condition>, must<close>>>> {};
struct positive : sor<bracket, atom> {
  static constexpr Wanted wanted = Wanted::condition;
};
struct negation : node<Part::negation, seq<word<Word::not_word>, must<positive>>> {};
struct item : sor<negation, positive> {
  static constexpr Wanted wanted = Wanted::condition;
};

struct comma_mark : node<Part::comma_mark, comma> {};
struct and_mark : node<Part::and_mark, word<Word::and_word>> {};
struct or_mark : node<Part::or_mark, word<Word::or_word>> {};
struct hard_joint : node<Part::joint, seq<opt<comma_mark>, sor<and_mark, or_mark>>> {};
struct soft_joint : node<Part::joint, comma_mark> {};
template <typename Item>
struct joined : seq<must<Item>, star<sor<seq<hard_joint, must<Item>>, seq<soft_joint, Item>>>> {};

struct any_list : node<Part::any_list, seq<word<Word::any_of>, joined<item>>> {};
struct all_list : node<Part::all_list, seq<word<Word::all_of>, joined<item>>> {};
struct none_list : node<Part::none_list, seq<word<Word::none_of>, joined<item>>> {};
struct count_opening : seq<word<Word::at_least>, whole_number, word<Word::of>> {};
struct at_least_list : node<Part::at_least_list, seq<count_opening, joined<item>>> {};
struct element : sor<any_list, all_list, none_list, at_least_list, item> {
  static constexpr Wanted wanted = Wanted::condition;
};
struct level : node<Part::level, seq<element, star<sor<seq<hard_joint, must<element>>, seq<soft_joint, element>>>>> {
  static constexpr Wanted wanted = Wanted::condition;
};

// ---------------------------------------------------------------- arithmetic

struct sum;
struct minus_mark : token<reach::spaced_minus> {};
struct add : node<Part::plus, mark<'+'>> {};
struct subtract : node<Part::minus, minus_mark> {};
struct multiply : node<Part::times, mark<'*'>> {};
struct divide : node<Part::divided, mark<'/'>> {};
struct amount : node<Part::amount, seq<number, opt<unit>>> {};
struct number_of : node<Part::number_of, seq<known<number_names>>> {};
struct sum_bracket : node<Part::sum_bracket, seq<mark<'('>, nested<must<sum>, must<close>>>> {};
struct sum_list : seq<must<sum>, star<sor<seq<and_joint, must<sum>>, seq<comma, opt<and_joint>, sum>>>> {};
struct least : node<Part::least, seq<word<Word::least_of>, nested<sum_list>>> {};
struct most : node<Part::most, seq<word<Word::most_of>, nested<sum_list>>> {};
struct factor;
struct negative : node<Part::negative, seq<mark<'-'>, nested<must<factor>>>> {};
struct factor : sor<sum_bracket, least, most, amount, number_of, negative> {
  static constexpr Wanted wanted = Wanted::arithmetic;
};
struct product : node<Part::product, seq<factor, star<sor<multiply, divide>, must<factor>>>> {
  static constexpr Wanted wanted = Wanted::arithmetic;
};
struct sum : node<Part::sum, seq<product, star<sor<add, subtract>, must<product>>>> {
  static constexpr Wanted wanted = Wanted::arithmetic;
};

// ---------------------------------------------------------------- the ends of a sentence

struct label_end : sor<word<Word::in>, word<Word::unless>, word<Word::despite>, word<Word::called>,
                       seq<word<Word::for_word>, text>> {};
struct label : fresh<label_end> {
  static constexpr Wanted wanted = Wanted::label;
};
struct locus : node<Part::locus, token<reach::locus>> {};
struct citation : node<Part::citation, seq<known<source_name>, opt<locus>>> {
  static constexpr Wanted wanted = Wanted::citation;
};
struct close_square : mark<']'> {};

struct end_in : node<Part::end_in, seq<word<Word::in>, must<condition>>> {};
struct end_unless : node<Part::end_unless, seq<word<Word::unless>, must<condition>>> {};
struct end_for : node<Part::end_for, seq<word<Word::for_word>, must<text>>> {};
struct end_called : node<Part::end_called, seq<word<Word::called>, must<label>>> {};
struct end_text : node<Part::end_text, seq<colon, must<text>>> {};
struct end_cite
    : node<Part::end_cite, seq<mark<'['>, must<citation>, star<mark<';'>, must<citation>>, must<close_square>>> {};
struct end_despite : node<Part::end_despite, seq<word<Word::despite>, list<known<label_name>>>> {};
struct endings : star<opt<comma>, sor<end_in, end_unless, end_for, end_called, end_text, end_cite, end_despite>> {};

// Nothing may follow.
struct finish : seq<opt<one<' '>>, eof> {
  static constexpr Wanted wanted = Wanted::ending;
};

}  // namespace betony::rules
