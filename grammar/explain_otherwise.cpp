#include <algorithm>

#include "grammar/explain.h"
#include "grammar/text.h"

// Words and signs that people use in place of those of the language: `if` for `in`, `but` for `and`,
// `60 or more` for `at least 60`, `daily`, `(DB 3)`. What is to be written must keep all that was said.

namespace betony::explaining {
namespace {

bool digit_at(std::string_view text, std::size_t at) { return at < text.size() && text[at] >= '0' && text[at] <= '9'; }

std::size_t word_end(const Scene& s, std::size_t at) { return letters::word_end(s.text(), at); }

std::string_view word_from(const Scene& s, std::size_t at) {
  return at < s.text().size() ? s.text().substr(at, word_end(s, at) - at) : std::string_view();
}

bool begins_a_condition(const Scene& s, std::size_t at) {
  return at < s.text().size() &&
         (s.word(at, Word::not_word) || s.text()[at] == '(' || s.r.names.longest(condition_names, s.text(), at).entry);
}

bool has_endings(Word opening) { return opening >= Word::indicated || opening == Word::refer; }

Message in_is_missing(const Scene& s, std::size_t begin, std::size_t end, std::size_t condition) {
  const std::string said = s.r.passage.neat(begin, end);
  return s.say(begin, end, "`in` is missing", "A condition stands after `in`, not after " + in_quotes(said) + ".",
               corrected(s.r, begin, condition, std::string(spelled(Word::in)) + " "));
}

// A joining word that is none of the language: `but`, `nor`; or a sign between two conditions.
std::optional<Message> joined_otherwise(const Scene& s) {
  const bool sign = s.text()[s.at] == ';' || s.text()[s.at] == '/' || s.text()[s.at] == '+';
  const std::size_t end = sign ? s.at + 1 : word_end(s, s.at), next = std::min(end + 1, s.text().size());
  const auto word = sign ? std::nullopt : joint_meant(word_from(s, s.at));
  if (!s.r.subject || (!sign && !word) || (sign && !begins_a_condition(s, next))) return std::nullopt;
  const std::size_t begin = s.at > 0 && s.text()[s.at - 1] == ' ' ? s.at - 1 : s.at;
  const auto joined = [&](Word joint) { return corrected(s.r, begin, next, " " + std::string(spelled(joint)) + " "); };
  const std::string said = in_quotes(s.r.passage.neat(s.at, end));
  return s.say(s.at, end, "how do these go together?", said + " does not say how these go together.",
               word ? joined(*word) : either_of({joined(Word::and_word), joined(Word::or_word)}));
}

// `humour ember`: the finding and its value, and nothing between them.
std::optional<Message> is_missing_before_value(const Scene& s) {
  if (!s.r.subject || s.r.subject_end + 1 != s.at || s.opening == Word::profile) return std::nullopt;
  const auto value = s.r.subject->value_words.longest(s.text(), s.at);
  if (!value || s.r.subject->shape == Shape::any_of) return std::nullopt;
  const std::string is(spelled(Word::is));
  return s.say(s.at, value.end, "`is` is missing",
               "The word `" + is + "` belongs between " + in_quotes(s.r.subject->text) + " and its value.",
               with_word(s, is));
}

// `(DB 3)`, `DB 3`: a source without its square brackets.
std::optional<Message> source_without_brackets(const Scene& s) {
  const bool round = s.text()[s.at] == '(';
  const std::size_t begin = s.at + round;
  const auto source = s.r.names.longest(source_name, s.text(), begin);
  if (!source.entry || s.r.names.longest(condition_names, s.text(), begin).end >= source.end) return std::nullopt;
  std::size_t end = std::min(s.text().find(round ? ')' : ',', begin), s.text().size());
  const std::string cited = "[" + s.r.passage.neat(begin, end) + "]";
  if (round && end < s.text().size()) ++end;
  const std::size_t from = s.at > 1 && s.text()[s.at - 2] == ',' ? s.at - 2 : s.at;
  return s.say(s.at, end, "a source without its brackets", "Sources stand in square brackets.",
               corrected(s.r, from, end, (from == s.at ? "" : " ") + cited));
}

// `10 min daily`, `twice daily`, `per day`, `3x a day`.
std::optional<Message> often_otherwise(const Scene& s) {
  if (s.opening != Word::dose) return std::nullopt;
  const std::size_t before = s.word_before(s.at), end = word_end(s, s.at);
  const auto say = [&](std::size_t begin, std::size_t past, const std::string& instead) {
    return s.say(begin, past, "how often, in other words",
                 in_quotes(s.r.passage.neat(begin, past)) + " is written " + in_quotes(instead) + ".",
                 corrected(s.r, begin, past, instead));
  };
  const bool counted = s.word(before, Word::once) || s.word(before, Word::twice) || s.word(before, Word::times);
  const std::string once = counted ? "" : std::string(spelled(Word::once)) + " ", a(spelled(Word::a));
  if (const auto unit = period_meant(word_from(s, s.at))) return say(s.at, end, once + a + " " + std::string(*unit));
  if (word_from(s, s.at) == "per" && end + 1 < s.text().size()) return say(s.at, end, once + a);
  const auto times = s.text().substr(before, s.at - before);
  const bool as_x = times.size() > 2 && digit_at(times, 0) && times.substr(times.size() - 2) == "x ";
  if (as_x && s.word(s.at, Word::a))
    return say(before, s.at - 1,
               std::string(times.substr(0, times.size() - 2)) + " " + std::string(spelled(Word::times)));
  return std::nullopt;
}

}  // namespace

std::optional<Message> number_in_words(const Scene& s) {
  if (s.at_end()) return std::nullopt;
  const std::size_t end = word_end(s, s.at);
  const auto digits = number_said(word_from(s, s.at));
  if (!digits) return std::nullopt;
  return s.say(s.at, end, "a number is missing", "Numbers are written in digits.", corrected(s.r, s.at, end, *digits));
}

std::optional<Message> words_for_in(const Scene& s) {
  if (s.at_end() || !has_endings(s.opening)) return std::nullopt;
  const std::size_t end = word_end(s, s.at);
  if (end != s.at && said_for_in(word_from(s, s.at)) && begins_a_condition(s, end + 1))
    return in_is_missing(s, s.at, end, end + 1);
  // `Indicated for chill`, `Contraindicated: chill`: words in quotes were waited for
  const std::size_t before = s.at > 1 && s.text()[s.at - 2] == ':' ? s.at - 2 : s.word_before(s.at);
  const bool colon = before < s.text().size() && s.text()[before] == ':';
  if ((!colon && !s.word(before, Word::for_word)) || !begins_a_condition(s, s.at)) return std::nullopt;
  Message out = in_is_missing(s, before, before + (colon ? 1 : spelled(Word::for_word).size()), s.at);
  if (colon) out.remedy = corrected(s.r, before, s.at, " " + std::string(spelled(Word::in)) + " ");
  return out;
}

std::optional<Message> said_otherwise(const Scene& s) {
  if (auto often = often_otherwise(s)) return often;
  if (auto in = words_for_in(s)) return in;
  if (auto value = is_missing_before_value(s)) return value;
  if (auto source = source_without_brackets(s)) return source;
  return joined_otherwise(s);
}

// `age is 60 or more`.
std::optional<Message> or_more(const Scene& s) {
  const auto meant = s.at_end() ? std::nullopt : or_more_meant(word_from(s, s.at));
  const std::size_t joint = s.word_before(s.at);
  const Entry* subject = s.r.subject;
  if (!meant || !subject || subject->shape != Shape::number || !s.word(joint, Word::or_word)) return std::nullopt;
  std::size_t number = s.r.subject_end + 1;
  if (const std::size_t is = word_at(s.text(), number, Word::is)) number += is + 1;
  if (!digit_at(s.text(), number) || number >= joint) return std::nullopt;
  const std::size_t end = word_end(s, s.at);
  const std::string said = s.r.passage.neat(number, end),
                    instead = std::string(spelled(*meant)) + " " + s.r.passage.neat(number, joint - 1);
  return s.say(number, end, "a comparison in other words", in_quotes(said) + " is written " + in_quotes(instead) + ".",
               corrected(s.r, s.r.subject_end + 1, end, instead));
}

// ---------------------------------------------------------------- times of the day

namespace {

// "06:00" for `6` and `6am`, "18:00" for `6pm`.
std::optional<std::string> clock_said(std::string_view word) {
  std::size_t digits = 0;
  unsigned hour = 0;
  while (digits < word.size() && digits < 2 && digit_at(word, digits))
    hour = hour * 10 + static_cast<unsigned>(word[digits++] - '0');
  const auto rest = word.substr(digits);
  if (digits == 0 || hour > 24 || (!rest.empty() && rest != "am" && rest != "pm" && rest != "h")) return std::nullopt;
  if (rest == "pm" && hour < 12) hour += 12;
  if ((rest == "am" && hour == 12) || hour == 24) hour = 0;
  return (hour < 10 ? "0" : "") + std::to_string(hour) + ":00";
}

}  // namespace

std::optional<Message> clock_otherwise(const Scene& s) {
  const std::size_t end = word_end(s, s.at);
  const auto first = clock_said(word_from(s, s.at));
  const auto goes_on = [&](Word word) { return s.word(end + 1, word); };
  const bool whole =
      end >= s.text().size() || s.text()[end] != ' ' || goes_on(Word::to) || goes_on(Word::in) || goes_on(Word::unless);
  if (!first || !whole) return std::nullopt;
  const std::string to = " " + std::string(spelled(Word::to)) + " ";
  const std::size_t second = s.text().substr(end, to.size()) == to ? end + to.size() : s.text().size();
  const auto last = clock_said(word_from(s, second));
  return s.say(
      s.at, end, "no such time of the day",
      in_quotes(s.r.passage.neat(s.at, end)) + " is no time of the day; times are written with their minutes.",
      last ? corrected(s.r, s.at, word_end(s, second), *first + to + *last) : corrected(s.r, s.at, end, *first));
}

}  // namespace betony::explaining
