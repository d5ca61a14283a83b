// grammar/words.h: every word of the language, in one table.
//
// The rules name words by what they mean (`Word::in`), never by their letters, so that a second
// language is a second column of `words.cpp`. A word may have several spellings ("is", "are"), and a
// spelling several words parted by single spaces ("at least"). Spellings are in lower case; texts are
// compared with them after folding.
#pragma once

#include <optional>
#include <span>
#include <string>
#include <string_view>

#include "grammar/tree.h"

namespace betony {

enum class Word : unsigned char {
  // that open a sentence; `first_opening` to `last_opening`
  ruleset, use, source, school, applies_to, finding, ask, note, measure, tally, leading, choice, term, impossible,
  refer, group, prevail, unit, profile, expect, population, claim, practice, practices, every_practice, in_condition, indicated,
  allowed_in, discouraged_in, contraindicated, caution, dose, follows, precedes, needs, leads_to, never_with,
  apart_from, time, takes, uses, take, refuse, otherwise,
  // that declare
  edition, is, ranked, holds, also, usually, yes_or_no, one_of, a_grade_of, any_of, a_whole_number, a_number, of, ago,
  from, to, in_steps_of, or_never, least_of, most_of, counts, each_of, as, the_most_of, by_at_least, else_word,
  highest_prevails, lowest_prevails, means, the_rest_as_usual,
  // of conditions
  and_word, or_word, not_word, under, over, at_least, at_most, all_of, none_of, never, always, with_care,
  // of endings
  in, unless, for_word, called, despite,
  // of doses and times
  half, third, quarter, twice_as_much, once, twice, times, a, every, by, before, after,
  sunrise, sunset, dawn, dusk, noon, midnight, waking, sleep,
  // verdicts
  outside, referred, withheld, discouraged, advised, allowed, silent, unanswered,
  // answers
  yes, no,
  // of claims that tell a trend
  more, less, adding, raises, lowers, lengthens, shortens, the_dose_of, any_practice,
  // months
  january, february, march, april, may, june, july, august, september, october, november, december,
  // built-in findings
  date, time_of_day,
  count
};

constexpr Word first_opening = Word::ruleset, last_opening = Word::otherwise;

// How a word is written; the first spelling is the one that is shown.
std::span<const std::string_view> spellings(Word word);
std::string_view spelled(Word word);

// As it opens a sentence: "Contraindicated".
std::string capitalized(Word word);

// The bytes of `word` at `at` in folded text, whole words only; 0 if it does not stand there.
std::size_t word_at(std::string_view text, std::size_t at, Word word);

// The opening word at the beginning of a folded sentence; the longest one.
std::optional<Word> opening_of(std::string_view sentence);
// Whether the text begins with such a word in capitals, as a sentence does: 64 bytes are enough to tell.
bool begins_like_a_sentence(std::string_view text);

// Whether a name may not begin with this word, since a sentence would then read two ways.
bool cannot_begin_a_name(std::string_view folded_word);

// Whether a number may be followed by this word, which then is no unit.
bool may_follow_a_number(std::string_view folded_word);

// Whether the words of a name stop here when an unknown name is told: "feever" of "feever and cough".
bool ends_an_unknown_name(std::string_view text, std::size_t at);

// Whether the text begins with a word that carries a sentence on after a string that ends in . ! or ?
bool goes_on_after_speech(std::string_view text);

// A comparison said in other words: `above` is over, `no more than` at most. Its word, and its bytes.
struct SaidOtherwise {
  Word meant;
  std::size_t bytes;
};
std::optional<SaidOtherwise> comparison_meant(std::string_view text, std::size_t at);

// Words that people use in place of those of the language, each as it is folded: `if` for `in`, `but` for
// `and`, `more` (60 or more) for at least, `daily` for a day; `sixty`, in digits.
bool said_for_in(std::string_view word);
std::optional<Word> joint_meant(std::string_view word);
std::optional<Word> or_more_meant(std::string_view word);
std::optional<std::string_view> period_meant(std::string_view word);
std::optional<std::string> number_said(std::string_view word);

// For a code in square brackets ("[degF]") the everyday name of the unit, or "" where it has none;
// nothing where no unit is written so. In small letters or not.
std::optional<std::string_view> unit_without_brackets(std::string_view code);

std::optional<tree::Verdict> verdict_of(Word word);
Word word_of(tree::Verdict verdict);

}  // namespace betony
