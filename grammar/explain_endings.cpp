#include "grammar/explain.h"
#include "grammar/text.h"

// Words that are left over: the sentence was read as far as it can go, and more stands there. Most
// often a name in a list is not known, or a joining word or a stop is missing.

namespace betony::explaining {

std::size_t past_joint(const Scene& s) {
  std::size_t at = s.at;
  const auto skip = [&](std::size_t bytes) {
    at += bytes;
    if (at < s.text().size() && s.text()[at] == ' ') ++at;
  };
  if (s.at_end() || s.text()[at] != ',') return at;
  skip(1);
  for (const Word word : {Word::and_word, Word::or_word}) {
    if (const std::size_t bytes = word_at(s.text(), at, word)) {
      skip(bytes);
      break;
    }
  }
  return at;
}

Message unit_after_range(const Scene& s) {
  return s.say(s.at, marked_end(s), "a unit in the wrong place",
               "The unit of a range stands after `of`, before its two numbers.", form(s));
}

namespace {

bool digit_at(std::string_view text, std::size_t at) { return at < text.size() && text[at] >= '0' && text[at] <= '9'; }

bool may_have_a_text(Word opening) { return opening >= Word::indicated || opening == Word::refer; }

std::optional<Message> ending_that_cannot_stand(const Scene& s) {
  const std::size_t size = s.text().size();
  const auto say = [&](std::size_t end, std::size_t whole, const std::string& said) {
    return s.say(s.at, end, "this has no place here",
                 said + " cannot stand in a sentence that begins with " + capitalized(s.opening) + ".",
                 without(s.r, s.at, whole));
  };
  const char first = s.text()[s.at];
  if (first == '[') return say(size, std::min(s.text().find(']', s.at), size - 1) + 1, "A source");
  if (first == ':') return say(size, size, "A colon");
  if (first == '"' && may_have_a_text(s.opening)) {
    const std::size_t before = s.at - 1 - (s.at > 1 && s.text()[s.at - 2] == ',');
    return s.say(s.at, phrase_end(s.text(), s.at), "a colon is missing", "A colon stands before what people are told.",
                 corrected(s.r, before, s.at, ": "));
  }
  if (first == '"') return say(phrase_end(s.text(), s.at), s.text().find('"', s.at + 1) + 1, "A quotation");
  for (const Word word :
       {Word::in, Word::unless, Word::for_word, Word::called, Word::despite, Word::with_care, Word::usually}) {
    if (const std::size_t bytes = word_at(s.text(), s.at, word))
      return say(s.at + bytes, word == Word::with_care ? s.at + bytes : size, "`" + std::string(spelled(word)) + "`");
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
               corrected(s.r, comma - (s.text()[comma - 1] == ' '), s.at, " or "));
}

// Two conditions side by side.
std::optional<Message> joint_missing(const Scene& s) {
  const auto name = s.r.names.longest(condition_names, s.text(), s.at);
  if (!name.entry || !s.r.subject || name.end != phrase_end(s.text(), s.at)) return std::nullopt;
  return s.say(s.at, name.end, "how do these go together?",
               "No `and` and no `or` stands before " + in_quotes(s.r.passage.neat(s.at, name.end)) + ".",
               either_of({corrected(s.r, s.at, s.at, "and "), corrected(s.r, s.at, s.at, "or ")}));
}

// `5 to 10`, `5–10`: where the second number begins.
std::optional<std::size_t> second_of_range(const Scene& s) {
  std::size_t at = s.at;
  while (digit_at(s.text(), at) || (s.text().substr(at, 1) == "." && digit_at(s.text(), at + 1))) ++at;
  if (s.text().substr(at, 1) == " ") ++at;
  const auto sign = letters::letter_at(s.text(), at);
  const bool dash = sign.code == '-' || sign.code == 0x2013 || sign.code == 0x2014;
  at += dash ? sign.bytes : word_at(s.text(), at, Word::to);
  if (!dash && !s.word(s.word_before(at), Word::to)) return std::nullopt;
  if (s.text().substr(at, 1) == " ") ++at;
  return digit_at(s.text(), at) ? std::optional(at) : std::nullopt;
}

std::string range_from(const Scene& s) {
  std::size_t end = s.at;
  while (digit_at(s.text(), end) || (s.text().substr(end, 1) == "." && digit_at(s.text(), end + 1))) ++end;
  return "from " + s.r.passage.neat(s.at, end) + " to ";
}

// `age 5`.
std::optional<Message> comparison_missing(const Scene& s) {
  const bool after_number_name =
      s.r.subject && s.r.subject->shape == Shape::number && s.r.subject_end + 1 == s.at && digit_at(s.text(), s.at);
  if (!after_number_name) return std::nullopt;
  const std::size_t begin = s.r.subject_end - std::min(s.r.subject_end, s.r.subject->key.size());
  const std::size_t end = phrase_end(s.text(), s.at);
  const std::string name = s.r.passage.neat(begin, s.r.subject_end), number = s.r.passage.neat(s.at, end);
  if (const auto second = second_of_range(s)) {
    return s.say(s.at, phrase_end(s.text(), *second), "more, less, or just so much?",
                 "A range of " + in_quotes(s.r.subject->text) + " is told with `from` and `to`.",
                 corrected(s.r, s.at, *second, range_from(s)));
  }
  if (s.text().substr(std::min(s.at + number.size(), s.text().size()), 1) == "+") {
    const std::string at_least = std::string(spelled(Word::at_least)) + " " + number;
    return s.say(s.at, s.at + number.size() + 1, "a comparison in other words",
                 in_quotes(number + "+") + " is written " + in_quotes(at_least) + ".",
                 corrected(s.r, s.at, s.at + number.size() + 1, at_least));
  }
  if (end < s.text().size() && s.word(end + 1, Word::or_word)) {
    const std::size_t more = std::min(end + 2 + word_at(s.text(), end + 1, Word::or_word), s.text().size());
    if (auto at_least = or_more(s.moved(more))) return at_least;
  }
  std::vector<std::string> remedies;
  for (const Word word : {Word::is, Word::under, Word::over, Word::at_least, Word::at_most})
    remedies.push_back(name + " " + std::string(spelled(word)) + " " + number);
  return s.say(s.at, end, "more, less, or just so much?",
               "No word says how " + in_quotes(s.r.subject->text) + " compares with this number.",
               listed(remedies, "or"));
}

// A profile's finding with a value that it does not have.
std::optional<Message> value_of_profile(const Scene& s) {
  if (s.opening != Word::profile || !s.r.subject || s.r.subject_end + 1 != s.at) return std::nullopt;
  if (s.r.subject->shape == Shape::yes_no || letters::word_end(s.text(), s.at) == s.at) return std::nullopt;
  return unknown_value(s);
}

// `Refer in chill to a physician`: words for the person, without colon and quotes.
std::string told_to_the_person(const Scene& s, std::size_t end) {
  const bool told = s.opening == Word::refer || s.opening == Word::caution;
  if (!told || end != s.text().size()) return {};
  return corrected(s.r, s.at - 1, end, ": " + in_quotes(s.r.passage.neat(s.at, end)));
}

// `chill very much` where `chill` is declared.
std::optional<Message> longer_name(const Scene& s) {
  if (!s.r.subject || s.r.subject_end + 1 != s.at || letters::word_end(s.text(), s.at) == s.at) return std::nullopt;
  const std::string& key = s.r.subject->key;
  const std::size_t begin = s.r.subject_end - std::min(s.r.subject_end, key.size());
  if (s.text().substr(begin, key.size()) != key) return std::nullopt;
  const std::size_t end = phrase_end(s.text(), s.at);
  if (nearest(s.text().substr(begin, end - begin), s.r.names, condition_names & ~s.r.subject->kind))
    return unknown_name(s.moved(begin), condition_names);
  const std::string text = told_to_the_person(s, end);
  const std::string words = s.r.passage.neat(s.at, end), whole = s.r.passage.neat(begin, end);
  const std::string line =
      s.r.subject->built_in ? std::string() : " (" + s.r.book.line_words(s.r.subject->place, s.file()) + ")";
  return s.say(s.at, end, "words that are left over",
               in_quotes(s.r.subject->text) + " is " + std::string(kind_words(s.r.subject->kind)) + line + ", and " +
                   in_quotes(words) + " does not belong to its name.",
               (text.empty() ? without(s.r, s.at, end) : text) + " Or, for a name of its own: Finding " + whole +
                   " is yes or no.");
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

// `Apart from chill 20 min`, where `by` is missing.
std::optional<Message> by_missing(const Scene& s) {
  if (s.opening != Word::apart_from || !digit_at(s.text(), s.at)) return std::nullopt;
  const std::string by(spelled(Word::by));
  return s.say_here("`" + by + "` is missing", "The word `" + by + "` belongs here.",
                    corrected(s.r, s.at, s.at, by + " "));
}

// `Follows humming by 20 min`: two sentences in one.
std::optional<Message> apart_too(const Scene& s) {
  if ((s.opening != Word::follows && s.opening != Word::precedes) || !s.word(s.at, Word::by)) return std::nullopt;
  const std::size_t practice = word_at(s.text(), 0, s.opening) + 1;
  return s.say(s.at, marked_end(s), "words that are left over",
               "How long lies between two practices is said in a sentence of its own.",
               without(s.r, s.at, s.text().size()) + " " + capitalized(Word::apart_from) + " " +
                   s.r.passage.neat(practice, s.text().size()) + ".");
}

// `Finding water is a number from 5 to 45 Cel.`
std::optional<Message> unit_of_a_finding(const Scene& s) {
  if (s.opening != Word::finding || s.at < 2 || !digit_at(s.text(), s.at - 2)) return std::nullopt;
  const bool unit = letters::word_end(s.text(), s.at) != s.at || s.text()[s.at] == '[' || s.text()[s.at] == '/';
  return unit ? std::optional(unit_after_range(s)) : std::nullopt;
}

bool lists_practices(Word opening) {
  return (opening >= Word::follows && opening <= Word::apart_from) || opening == Word::group;
}

unsigned kinds_listed(const Scene& s) {
  const Word opening = s.opening;
  if (lists_practices(opening) || tells_a_trend(s)) return practice_names;
  if (opening == Word::school) return source_name;
  if (opening == Word::uses) return choice_name;
  if (opening == Word::profile) return finding_name | item_name;
  return condition_names;
}

// What stands right behind the part that could be read.
std::optional<Message> right_behind(const Scene& s) {
  if (auto by = by_missing(s)) return by;
  if (auto apart = apart_too(s)) return apart;
  if (auto otherwise = said_otherwise(s)) return otherwise;
  if (auto in = in_missing(s)) return in;
  if (auto comparison = compared_otherwise(s)) return comparison;
  if (auto value = value_of_profile(s)) return value;
  if (auto number = comparison_missing(s)) return number;
  if (auto joint = joint_missing(s)) return joint;
  return longer_name(s);
}

}  // namespace

std::optional<Message> compared_otherwise(const Scene& s) {
  if (!s.r.subject || s.at < 1) return std::nullopt;
  const auto said = comparison_meant(s.text(), s.at);
  const std::size_t is = s.word_before(s.at);
  const bool after_is = s.word(is, Word::is);
  std::optional<Word> meant;
  std::size_t end = s.at;
  if (said) meant = said->meant, end += said->bytes;
  for (const Word word : {Word::under, Word::over, Word::at_least, Word::at_most, Word::from}) {
    if (!meant && after_is && s.word(s.at, word)) meant = word, end += word_at(s.text(), s.at, word);
  }
  if (!meant) return std::nullopt;
  const std::string word(spelled(*meant)), written = s.r.passage.neat(after_is ? is : s.at, end);
  std::string remedy = corrected(s.r, after_is ? is : s.at, end, word);
  const std::string joint = " " + std::string(spelled(Word::and_word)) + " ";
  if (const std::size_t both = s.text().find(joint, end);
      said && *meant == Word::from && both != std::string_view::npos) {
    remedy = corrected(s.r, after_is ? is : s.at, both + joint.size(),
                       word + s.r.passage.neat(end, both) + " " + std::string(spelled(Word::to)) + " ");
  }
  return s.say(after_is ? is : s.at, end, "a comparison in other words",
               in_quotes(written) + " is written " + in_quotes(word + (*meant == Word::from ? " … to …" : "")) + ".",
               remedy);
}

Message left_over(const Scene& s) {
  if (s.at_end()) return s.say_here("the sentence breaks off", "More belongs here.", with_gap(s));
  if (s.text()[s.at] == ')') {
    return s.say(s.at, s.at + 1, "a bracket too many", "This bracket closes none that is open.",
                 corrected(s.r, s.at, s.at + 1, ""));
  }
  if (auto several = several_practices(s)) return *several;
  const Scene here = s.moved(past_joint(s));
  if (here.at_end()) {
    return s.say(s.at, s.at + 1, "a comma at the end", "Nothing follows this comma.",
                 without(s.r, s.at, s.text().size()));
  }
  if (auto sign = strange_sign(here)) return *sign;
  if (auto stop = stop_missing(here)) return *stop;
  if (auto value = value_after_comma(here, s.at)) return *value;
  if (here.at == s.at) {
    if (auto found = year(here); found && s.opening != Word::finding) return *found;
    if (auto unit = unit_of_a_finding(here)) return *unit;
    if (auto unit = bracketed_unit(here)) return *unit;
  }
  if (auto ending = ending_that_cannot_stand(here)) return *ending;
  if (here.at == s.at) {
    if (auto behind = right_behind(here)) return *behind;
  }
  if (here.at != s.at) {
    if (auto source = said_otherwise(here)) return *source;
  }
  const bool after_comma = here.at != s.at && letters::word_end(s.text(), here.at) != here.at;
  const bool lists = s.r.subject || kinds_listed(s) != condition_names;
  if (after_comma && lists) {
    return kinds_listed(s) == condition_names ? unknown_condition(here) : unknown_name(here, kinds_listed(s));
  }
  const std::size_t end = marked_end(here);
  // Without these words a sentence that was meant for some would speak for everyone.
  const bool bare = may_have_a_text(s.opening) && here.at == word_at(s.text(), 0, s.opening) + 1;
  return here.say(
      here.at, end, "words that are left over",
      "The sentence is whole before this, and " + in_quotes(s.r.passage.neat(here.at, end)) + " adds nothing to it.",
      bare || s.opening == Word::finding ? form(s) : without(s.r, here.at, end));
}

}  // namespace betony::explaining
