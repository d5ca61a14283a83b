// grammar/rules_declaration.h: the sentences that declare: findings, sources, measures, terms, profiles, claims.
//
// Each rule begins after nothing: the opening word is its first part. Once that is read, the sentence
// is this one and no other, so what follows fails for good, with a message.
#pragma once

#include "grammar/rules_condition.h"

namespace betony::rules {

// A sentence: its opening word, then all of the rest, then nothing more.
template <Word W, typename... Rest>
struct form : seq<word<W>, must<Rest>..., must<finish>> {};

// ---------------------------------------------------------------- names

struct also_names : node<Part::also, seq<mark<'('>, word<Word::also>, must<fresh_words>,
                                         star<comma, must<fresh_words>>, must<close>>> {};
template <typename... Until>
struct named : node<Part::named, seq<fresh<Until...>, opt<also_names>>> {
  static constexpr Wanted wanted = Wanted::new_name;
};

// ---------------------------------------------------------------- types

struct type_opening : seq<word<Word::is>, sor<word<Word::yes_or_no>, word<Word::one_of>, word<Word::a_grade_of>,
                                              word<Word::any_of>, word<Word::a_whole_number>, word<Word::a_number>>> {};
struct value_end : sor<word<Word::usually>, word<Word::highest_prevails>, word<Word::lowest_prevails>> {};
struct new_value : fresh<value_end> {};
struct value_list : seq<must<new_value>, star<comma, not_at<value_end>, opt<either>, must<new_value>>> {};
struct highest : node<Part::highest, word<Word::highest_prevails>> {};
struct lowest : node<Part::lowest, word<Word::lowest_prevails>> {};
struct prevails : seq<opt<comma>, sor<highest, lowest>> {};

struct yes_no_type : node<Part::type_yes_no, word<Word::yes_or_no>> {};
struct one_of_type : node<Part::type_one_of, seq<word<Word::one_of>, value_list>> {};
struct grade_type : node<Part::type_grade, seq<word<Word::a_grade_of>, value_list, opt<prevails>>> {};
struct any_of_type : node<Part::type_any_of, seq<word<Word::any_of>, value_list>> {};
struct whole_mark : node<Part::whole, word<Word::a_whole_number>> {};
struct step : node<Part::step, seq<word<Word::in_steps_of>, must<number>>> {};
struct or_never : node<Part::or_never, seq<opt<comma>, word<Word::or_never>>> {};
struct number_type
    : node<Part::type_number,
           seq<sor<whole_mark, word<Word::a_number>>, opt<word<Word::of>, must<unit>>, opt<ago>, must<word<Word::from>>,
               must<number>, must<word<Word::to>>, must<number>, opt<step>, opt<or_never>>> {};
struct type : sor<yes_no_type, one_of_type, grade_type, any_of_type, number_type> {
  static constexpr Wanted wanted = Wanted::type;
};
using is = word<Word::is>;

// ---------------------------------------------------------------- the ruleset and its books

struct edition : node<Part::edition, seq<opt<comma>, word<Word::edition>, must<text>>> {
  static constexpr Wanted wanted = Wanted::word;
  static constexpr unsigned detail = static_cast<unsigned>(Word::edition);
};
struct ruleset_line : form<Word::ruleset, text, edition> {};
struct use_line : form<Word::use, text> {};
struct rank : node<Part::rank, seq<opt<comma>, word<Word::ranked>, must<whole_number>>> {};
struct year : seq<opt<comma>, whole_number> {
  static constexpr Wanted wanted = Wanted::year;
};
struct optional_rank : opt<rank> {
  static constexpr Wanted wanted = Wanted::ending;
};
struct source_line : form<Word::source, fresh<is>, is, text, year, optional_rank> {};

template <typename Item>
struct whole_list : list<Item> {
  static constexpr Wanted wanted = Item::wanted;
  static constexpr unsigned detail = wanted_detail<Item>;
};
using holds = word<Word::holds>;
struct school_line : form<Word::school, named<holds>, holds, whole_list<known<source_name>>> {};
struct group_line : form<Word::group, named<holds>, holds, whole_list<known<practice_names>>> {};
struct prevail_line : form<Word::prevail> {};

struct unit_amount : opt<is, must<number>, must<unit>> {
  static constexpr Wanted wanted = Wanted::ending;
};
struct new_unit : fresh<is> {};
struct unit_line : form<Word::unit, whole_list<new_unit>, unit_amount> {};

// ---------------------------------------------------------------- what is asked, and what is made of it

struct declared : token<reach::declared> {};
struct usually : node<Part::usually, seq<opt<comma>, word<Word::usually>, opt<declared>, must<answer>>> {};
struct optional_usually : opt<usually> {
  static constexpr Wanted wanted = Wanted::ending;
};
struct finding_line : form<Word::finding, named<type_opening>, is, type, optional_usually> {};
struct finding_head : seq<word<Word::finding>, must<named<type_opening>>, must<is>, must<type>> {};
struct choice_line : form<Word::choice, named<type_opening>, is, type> {};
struct ask_line : form<Word::ask, text> {};
struct note_line : form<Word::note, text> {};

struct optional_in_unit : opt<word<Word::in>, must<unit>> {
  static constexpr Wanted wanted = Wanted::ending;
};
struct measure_line : form<Word::measure, named<is>, is, sum, optional_in_unit> {};

using counts = word<Word::counts>;
struct each : node<Part::each, seq<word<Word::each_of>, joined<item>>> {};
struct tally_item : node<Part::tally_item, seq<sor<each, level>, must<word<Word::as>>, must<number>>> {
  static constexpr Wanted wanted = Wanted::condition;
};
struct tally_line : form<Word::tally, named<counts>, counts, whole_list<tally_item>> {};

struct lead : node<Part::lead, seq<opt<comma>, word<Word::by_at_least>, must<number>>> {};
struct otherwise_value
    : node<Part::otherwise_value, seq<opt<lead>, opt<comma>, word<Word::else_word>, must<fresh_words>>> {
  static constexpr Wanted wanted = Wanted::word;
  static constexpr unsigned detail = static_cast<unsigned>(Word::else_word);
};
struct leading_is : seq<is, word<Word::the_most_of>> {
  static constexpr Wanted wanted = Wanted::word;
  static constexpr unsigned detail = static_cast<unsigned>(Word::the_most_of);
};
struct leading_line
    : form<Word::leading, named<leading_is>, leading_is, whole_list<known<tally_name>>, otherwise_value> {};

using means = word<Word::means>;
struct term_line : form<Word::term, named<means>, means, condition> {};
struct background_line : form<Word::impossible, condition> {};
struct applies_line : form<Word::applies_to, condition> {};

// ---------------------------------------------------------------- samples and claims

struct rest : node<Part::rest, word<Word::the_rest_as_usual>> {};
struct item_not : node<Part::item_not, word<Word::not_word>> {};
struct profile_name : node<Part::name, token<reach::profile_subject>> {};
struct profile_finding : node<Part::item, seq<opt<item_not>, profile_name, opt<is>, opt<answer>>> {};
struct profile_item : sor<rest, profile_finding> {
  static constexpr Wanted wanted = Wanted::profile_item;
};
struct profile_line : form<Word::profile, text, colon, whole_list<profile_item>> {};

struct verdict
    : node<Part::verdict, sor<word<Word::outside>, word<Word::referred>, word<Word::withheld>, word<Word::discouraged>,
                              word<Word::advised>, word<Word::allowed>, word<Word::silent>, word<Word::unanswered>>> {
  static constexpr Wanted wanted = Wanted::verdict;
};
struct expected_name : node<Part::name, token<reach::expected>> {
  static constexpr Wanted wanted = Wanted::name;
  static constexpr unsigned detail = practice_name | choice_name;
};
struct choice_values : seq<value, star<sor<seq<comma, opt<either>, value>, seq<either, value>>>> {};
struct outcome : seq<opt<is>, sor<seq<verdict, opt<with_care>>, choice_values>> {
  static constexpr Wanted wanted = Wanted::verdict;
};
struct expect_line : form<Word::expect, expected_name, outcome> {};

struct enter_claim : token<reach::in_claim> {
  static constexpr Wanted wanted = Wanted::condition;
};
struct always : node<Part::always, word<Word::always>> {};
struct never : node<Part::never, word<Word::never>> {};
struct never_or_always : seq<opt<enter_claim>, sor<never, always>> {};
struct claim_where : opt<end_in> {
  static constexpr Wanted wanted = Wanted::ending;
};
struct claim_of_all : seq<never_or_always, must<condition>> {};

// `more age never raises the dose of cold plunge or steam room`
template <Word W>
struct change : node<Part::trend_change, word<W>> {};
template <Word W>
struct verb : node<Part::trend_verb, word<W>> {};
struct trend_finding : known<finding_name | item_name> {};
struct trend_dose : node<Part::trend_dose, word<Word::the_dose_of>> {};
struct trend_any : node<Part::trend_any, word<Word::any_practice>> {};
template <typename Item>
struct either_list : seq<must<Item>, star<sor<seq<either, must<Item>>, seq<comma, opt<either>, Item>>>> {};
struct trend_practices : sor<trend_any, either_list<known<practice_names>>> {
  static constexpr Wanted wanted = Wanted::name;
  static constexpr unsigned detail = practice_names;
};
struct trend_says : sor<seq<sor<verb<Word::raises>, verb<Word::lowers>>, opt<trend_dose>>,
                        seq<sor<verb<Word::lengthens>, verb<Word::shortens>>, must<trend_dose>>> {
  static constexpr Wanted wanted = Wanted::trend;
};
struct trend_never : word<Word::never> {};
struct claim_of_trend
    : seq<opt<enter_claim>, sor<change<Word::more>, change<Word::less>, change<Word::adding>>, must<trend_finding>,
          must<trend_never>, must<trend_says>, must<trend_practices>> {};
struct claimed : sor<claim_of_trend, claim_of_all> {
  static constexpr Wanted wanted = Wanted::word;
  static constexpr unsigned detail = static_cast<unsigned>(Word::never);
};
struct claim_line : form<Word::claim, text, colon, claimed, claim_where> {};

// ---------------------------------------------------------------- populations

struct population_test : sor<under, over, at_least, at_most, from_to,
                             node<Part::is_test, seq<opt<word<Word::is>>, or_values>>> {};
struct weight : node<Part::weight, must<number>> {};
struct population_part : node<Part::population_part, seq<population_test, must<word<Word::as>>, weight>> {
  static constexpr Wanted wanted = Wanted::answer;
};
struct population_finding
    : node<Part::population_finding,
           seq<profile_name, must<population_part>,
               star<sor<seq<and_joint, must<population_part>>, seq<comma, opt<and_joint>, must<population_part>>>>>> {
  static constexpr Wanted wanted = Wanted::profile_item;
};
struct further_findings : star<mark<';'>, must<population_finding>> {
  static constexpr Wanted wanted = Wanted::ending;
};
struct population_line : form<Word::population, text, colon, population_finding, further_findings> {};

}  // namespace betony::rules
