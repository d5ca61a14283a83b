// grammar/rules_practice.h: the sentences about practices and choices.
#pragma once

#include "grammar/rules_declaration.h"

namespace betony::rules {

// `endings` may be none at all.
struct closing : endings {
  static constexpr Wanted wanted = Wanted::ending;
};
template <Word W, typename... Rest>
struct ended_form : form<W, Rest..., closing> {};

// ---------------------------------------------------------------- heads

struct practice_line : form<Word::practice, named<>> {};
struct practices_end : word<Word::and_word> {};
struct new_practice : node<Part::named, seq<sor<known<practice_name>, fresh<practices_end>>, opt<also_names>>> {
  static constexpr Wanted wanted = Wanted::new_name;
};
struct practices_line : form<Word::practices, whole_list<new_practice>> {};
struct in_group : opt<word<Word::in>, must<known<group_name>>> {
  static constexpr Wanted wanted = Wanted::ending;
};
struct every_line : form<Word::every_practice, in_group> {};

// ---------------------------------------------------------------- verdicts

template <Word W>
struct verdict_word : node<Part::verdict, word<W>> {};
struct given_verdict : sor<verdict_word<Word::advised>, verdict_word<Word::allowed>, verdict_word<Word::discouraged>,
                           verdict_word<Word::withheld>> {
  static constexpr Wanted wanted = Wanted::verdict;
};
struct optional_care : opt<with_care> {
  static constexpr Wanted wanted = Wanted::ending;
};
struct in_item
    : node<Part::in_item, seq<list<known<practice_names>>, must<is>, must<given_verdict>, opt<with_care>, endings>> {
  static constexpr Wanted wanted = Wanted::name;
  static constexpr unsigned detail = practice_names;
};
struct in_items : seq<in_item, star<mark<';'>, must<in_item>>> {
  static constexpr Wanted wanted = Wanted::name;
  static constexpr unsigned detail = practice_names;
};
struct in_line : form<Word::in_condition, condition, colon, in_items> {};

struct indicated_line : ended_form<Word::indicated> {};
struct allowed_line : ended_form<Word::allowed_in> {};
struct discouraged_line : ended_form<Word::discouraged_in> {};
struct contraindicated_line : ended_form<Word::contraindicated> {};
struct caution_line : ended_form<Word::caution> {};
struct refer_line : ended_form<Word::refer> {};

// ---------------------------------------------------------------- doses

struct once : node<Part::once, word<Word::once>> {};
struct twice : node<Part::twice, word<Word::twice>> {};
struct rate_at_most : node<Part::rate_at_most, word<Word::at_most>> {};
struct counted_times : seq<number, opt<word<Word::to>, number>, word<Word::times>> {};
struct per : seq<word<Word::a>, must<unit>> {};
struct every : node<Part::rate_every, seq<word<Word::every>, opt<number>, must<unit>>> {};
struct rate_period : sor<per, every> {
  static constexpr Wanted wanted = Wanted::dose;
};
struct rate : node<Part::rate, sor<seq<opt<rate_at_most>, sor<once, twice, counted_times>, must<rate_period>>, every>> {
};
template <Word W>
struct factor_word : node<Part::factor, word<W>> {};
struct dose_factor : sor<factor_word<Word::half>, factor_word<Word::third>, factor_word<Word::quarter>,
                         factor_word<Word::twice_as_much>> {};
struct plain_quantity : q_number {
  static constexpr Wanted wanted = Wanted::amount;
};
struct range_end : seq<word<Word::to>, must<plain_quantity>> {};
struct range : node<Part::range, seq<plain_quantity, opt<range_end>>> {
  static constexpr Wanted wanted = Wanted::amount;
};
struct dose_at_most : node<Part::dose_at_most, seq<word<Word::at_most>, must<plain_quantity>>> {};
struct dose_at_least : node<Part::dose_at_least, seq<word<Word::at_least>, must<plain_quantity>>> {};
struct length : node<Part::length, seq<word<Word::for_word>, range>> {};
struct dose_part : sor<rate, dose_factor, text, length, dose_at_most, dose_at_least, range> {};
struct dose_parts : seq<dose_part, star<opt<comma>, dose_part>> {
  static constexpr Wanted wanted = Wanted::dose;
};
struct dose_line : ended_form<Word::dose, dose_parts> {};

// ---------------------------------------------------------------- order, times, materials

using practice_list = whole_list<known<practice_names>>;
struct follows_line : ended_form<Word::follows, practice_list> {};
struct precedes_line : ended_form<Word::precedes, practice_list> {};
struct needs_line : ended_form<Word::needs, practice_list> {};
struct leads_to_line : ended_form<Word::leads_to, practice_list> {};
struct never_with_line : ended_form<Word::never_with, practice_list> {};
struct by : node<Part::by, seq<word<Word::by>, must<plain_quantity>>> {};
struct optional_by : opt<by> {
  static constexpr Wanted wanted = Wanted::ending;
};
struct apart_line : ended_form<Word::apart_from, practice_list, optional_by> {};

struct anchor : node<Part::anchor, token<reach::anchor>> {};
struct before : node<Part::before, word<Word::before>> {};
struct after : node<Part::after, word<Word::after>> {};
struct moved : seq<q_number, sor<before, after>> {};
struct moment : node<Part::moment, seq<opt<moved>, sor<clock, anchor, known<practice_name>>>> {
  static constexpr Wanted wanted = Wanted::moment;
};
struct forbidden : node<Part::forbidden, word<Word::not_word>> {};
struct optional_not : opt<forbidden> {
  static constexpr Wanted wanted = Wanted::ending;
};
struct until_moment : opt<word<Word::to>, must<moment>> {
  static constexpr Wanted wanted = Wanted::ending;
};
struct time_line : ended_form<Word::time, optional_not, word<Word::from>, moment, until_moment> {};
struct takes_line : ended_form<Word::takes, range> {};
struct uses_line : ended_form<Word::uses, whole_list<known<choice_name>>> {};

// ---------------------------------------------------------------- choices, and what holds otherwise

struct chosen : token<reach::chosen> {};
struct values_above : seq<opt<chosen>, choice_values> {
  static constexpr Wanted wanted = Wanted::value;
};
struct take_line : ended_form<Word::take, values_above> {};
struct refuse_line : ended_form<Word::refuse, values_above> {};
struct under_choice : token<reach::under_choice> {};
struct plain_verdict : seq<given_verdict, opt<with_care>> {};
struct fallback : sor<seq<at<under_choice>, values_above>, plain_verdict, values_above> {
  static constexpr Wanted wanted = Wanted::verdict;
};
struct otherwise_line : ended_form<Word::otherwise, fallback> {};

}  // namespace betony::rules
