#include "grammar/explain.h"
#include "grammar/text.h"

// Words that are left over: the sentence was read as far as it can go, and more stands there. Most
// often a name in a list is not known, or a joining word or a stop is missing.

namespace betony::explaining {
namespace {

// Past a comma and the `and` or `or` after it, to what could not be read.
std::size_t past_joint(const Scene& s) {
  std::size_t at = s.at;
  const auto skip = [&](std::size_t bytes) {
    at += bytes;
    if (at < s.text().size() && s.text()[at] == ' ') ++at;
  };
  if (s.text()[at] != ',') return at;
  skip(1);
  for (const Word word : {Word::and_word, Word::or_word}) {
    if (const std::size_t bytes = word_at(s.text(), at, word)) {
      skip(bytes);
      break;
    }
  }
  return at;
}

std::optional<Message> ending_that_cannot_stand(const Scene& s) {
  const auto say = [&](std::size_t end, const std::string& said) {
    return s.say(s.at, end, "this has no place here",
                 said + " cannot stand in a sentence that begins with " + capitalized(s.opening) + ".",
                 "Take it out, or write it into a sentence of its own.");
  };
  const char first = s.text()[s.at];
  if (first == '[') return say(s.text().size(), "A source");
  if (first == ':') return say(s.text().size(), "A colon");
  if (first == '"') return say(phrase_end(s.text(), s.at), "A quotation");
  for (const Word word :
       {Word::in, Word::unless, Word::for_word, Word::called, Word::despite, Word::with_care, Word::usually}) {
    if (const std::size_t bytes = word_at(s.text(), s.at, word))
      return say(s.at + bytes, "`" + std::string(spelled(word)) + "`");
  }
  return std::nullopt;
}

std::optional<Message> stop_missing(const Scene& s) {
  const char capital = s.r.passage.written(s.at, s.at + 1)[0];
  if (capital < 'A' || capital > 'Z' || !opening_of(s.text().substr(s.at))) return std::nullopt;
  const std::size_t before = s.word_before(s.at);
  return s.say(before, s.at - 1, "a stop is missing",
               "A new sentence begins after this word, with no stop between them.",
               s.r.passage.neat(before, s.at - 1) + ". " + s.r.passage.neat(s.at, s.text().size()) + ".");
}

// `skin is chapped, broken`: a comma never joins values.
std::optional<Message> value_after_comma(const Scene& s, std::size_t comma) {
  const Entry* subject = s.r.subject;
  if (comma == s.at || !subject) return std::nullopt;
  const auto value = subject->value_words.longest(s.text(), s.at);
  if (!value) return std::nullopt;
  return s.say(s.at, value.end, "a comma between two values",
               "A comma does not join values, and " + in_quotes(s.r.passage.neat(s.at, value.end)) + " is a value of " +
                   in_quotes(subject->text) + ".",
               corrected(s.r, comma, s.at, " or "));
}

// Two conditions side by side.
std::optional<Message> joint_missing(const Scene& s) {
  const auto name = s.r.names.longest(condition_names, s.text(), s.at);
  if (!name.entry || !s.r.subject || name.end != phrase_end(s.text(), s.at)) return std::nullopt;
  return s.say(s.at, name.end, "how do these go together?",
               "No `and` and no `or` stands before " + in_quotes(s.r.passage.neat(s.at, name.end)) + ".",
               corrected(s.r, s.at, s.at, "and ") + " Or: " + corrected(s.r, s.at, s.at, "or "));
}

// `age 5`.
std::optional<Message> comparison_missing(const Scene& s) {
  const char first = s.text()[s.at];
  if (!s.r.subject || s.r.subject->shape != Shape::number || s.r.subject_end + 1 != s.at || first < '0' || first > '9')
    return std::nullopt;
  const std::string number = s.r.passage.neat(s.at, phrase_end(s.text(), s.at));
  return s.say(s.at, phrase_end(s.text(), s.at), "more, less, or just so much?",
               "No word says how " + in_quotes(s.r.subject->text) + " compares with this number.",
               "is " + number + ", under " + number + ", over " + number + ", at least " + number + ", at most " +
                   number + ", or from … to …");
}

// A profile's finding with a value that it does not have.
std::optional<Message> value_of_profile(const Scene& s) {
  if (s.opening != Word::profile || !s.r.subject || s.r.subject_end + 1 != s.at) return std::nullopt;
  if (s.r.subject->shape == Shape::yes_no || letters::word_end(s.text(), s.at) == s.at) return std::nullopt;
  return unknown_value(s);
}

// `fever dreams` where only `fever` is declared.
std::optional<Message> longer_name(const Scene& s) {
  if (!s.r.subject || s.r.subject_end + 1 != s.at || letters::word_end(s.text(), s.at) == s.at) return std::nullopt;
  const std::size_t begin = s.r.subject_end - s.r.subject->key.size();
  if (s.r.subject_end < s.r.subject->key.size() || s.text().substr(begin, s.r.subject->key.size()) != s.r.subject->key)
    return std::nullopt;
  return unknown_name(s.moved(begin), condition_names);
}

// `Indicated fever.`
std::optional<Message> in_missing(const Scene& s) {
  const bool may_begin = s.opening == Word::refer || (s.opening >= Word::indicated && s.opening <= Word::caution);
  const bool condition = s.r.names.longest(condition_names, s.text(), s.at).entry || s.word(s.at, Word::not_word);
  if (!may_begin || !condition || s.at != word_at(s.text(), 0, s.opening) + 1) return std::nullopt;
  return s.say(s.at, phrase_end(s.text(), s.at), "`in` is missing", "A condition stands after `in`.",
               corrected(s.r, s.at, s.at, "in "));
}

// `Practice walking, swimming.`
std::optional<Message> several_practices(const Scene& s) {
  if (s.opening != Word::practice || s.text()[s.at] != ',') return std::nullopt;
  const std::size_t end = word_at(s.text(), 0, Word::practice);
  return s.say(0, end, "one practice or several?",
               "Several practices that share their sentences are named after `Practices`.",
               corrected(s.r, 0, end, capitalized(Word::practices)));
}

bool lists_practices(Word opening) {
  return (opening >= Word::follows && opening <= Word::apart_from) || opening == Word::group;
}

unsigned kinds_listed(Word opening) {
  if (lists_practices(opening)) return practice_names;
  if (opening == Word::school) return source_name;
  if (opening == Word::uses) return choice_name;
  if (opening == Word::profile) return finding_name | item_name;
  return condition_names;
}

}  // namespace

Message left_over(const Scene& s) {
  if (s.at_end()) return s.say_here("the sentence breaks off", "More belongs here.", pattern(s.opening));
  if (s.text()[s.at] == ')') {
    return s.say(s.at, s.at + 1, "a bracket too many", "This bracket closes none that is open.",
                 corrected(s.r, s.at, s.at + 1, ""));
  }
  if (auto several = several_practices(s)) return *several;
  const Scene here = s.moved(past_joint(s));
  if (here.at_end()) {
    return s.say(s.at, s.at + 1, "a comma at the end", "Nothing follows this comma.",
                 corrected(s.r, s.at, s.text().size(), ""));
  }
  if (auto sign = strange_sign(here)) return *sign;
  if (auto stop = stop_missing(here)) return *stop;
  if (auto value = value_after_comma(here, s.at)) return *value;
  if (auto ending = ending_that_cannot_stand(here)) return *ending;
  if (here.at == s.at) {
    if (auto in = in_missing(here)) return *in;
    if (auto value = value_of_profile(here)) return *value;
    if (auto number = comparison_missing(here)) return *number;
    if (auto joint = joint_missing(here)) return *joint;
    if (auto name = longer_name(here)) return *name;
  }
  const bool after_comma = here.at != s.at && letters::word_end(s.text(), here.at) != here.at;
  const bool lists = s.r.subject || kinds_listed(s.opening) != condition_names;
  if (after_comma && lists) {
    return kinds_listed(s.opening) == condition_names ? unknown_condition(here)
                                                      : unknown_name(here, kinds_listed(s.opening));
  }
  return here.say_here("words that are left over",
                       "The sentence is whole before this, and " + in_quotes(here.phrase()) + " adds nothing to it.",
                       pattern(s.opening));
}

}  // namespace betony::explaining
