#include "grammar/explain.h"
#include "grammar/text.h"

// Names, values and verdicts that nobody declared, or that are of another kind than what belongs there.

namespace betony::explaining {
namespace {

constexpr unsigned expected_names = practice_name | choice_name;

std::string_view kinds_word(unsigned kinds) {
  if (kinds == source_name) return "source";
  if (kinds == school_name) return "school";
  if (kinds == label_name) return "sentence";
  if (kinds == group_name) return "group";
  if (kinds == choice_name) return "choice";
  if (kinds == tally_name) return "tally";
  if (kinds == number_names) return "number";
  if (kinds == expected_names) return "practice or choice";
  if ((kinds & practice_names) != 0 && (kinds & condition_names) == 0) return "practice";
  return "finding";
}

// A finding that could be asked as the words behind its name ask: `age over 5`, `skin is broken`.
std::string finding_asked_so(const Scene& s, std::size_t end, const std::string& name) {
  const std::string head = "Finding " + name + " is ";
  if (end >= s.text().size()) return head + "yes or no.";
  const std::size_t at = end + 1;
  for (const Word word : {Word::is, Word::under, Word::over, Word::at_least, Word::at_most, Word::from}) {
    const std::size_t bytes = word_at(s.text(), at, word), value = at + bytes + 1;
    if (bytes == 0 || value >= s.text().size()) continue;
    const bool number = s.text()[value] >= '0' && s.text()[value] <= '9';
    if (number) return head + "a number of … from … to ….";
    if (s.word(value, Word::yes) || s.word(value, Word::no) || s.word(value, Word::not_word)) break;
    const std::string word_of_it = s.r.passage.neat(value, phrase_end(s.text(), value));
    return head + (word == Word::is ? "one of " + word_of_it + ", …." : "a grade of …, " + word_of_it + ".");
  }
  return head + "yes or no.";
}

bool is_practice(unsigned kinds) {
  return (kinds & practice_names) != 0 && (kinds & condition_names & ~choice_name) == 0;
}

std::string how_to_declare(const Scene& s, std::size_t end, unsigned kinds, const std::string& name) {
  if (s.text()[s.at] >= '0' && s.text()[s.at] <= '9') return corrected(s.r, s.at, s.at, "… ");
  if (kinds == source_name) return "Source " + name + " is \"…\", ….";
  if (kinds == label_name) return "Contraindicated in …, called " + name + ".";
  if (kinds == school_name) return "School " + name + " holds ….";
  if (kinds == group_name) return "Group " + name + " holds …, ….";
  if (kinds == choice_name) return "Choice " + name + " is one of …, ….";
  if (kinds == tally_name) return "Tally " + name + " counts … as 1.";
  if (kinds == number_names) return "Finding " + name + " is a number of … from … to ….";
  if (kinds == (finding_name | item_name) && tells_a_trend(s) && !s.word(s.word_before(s.at), Word::adding))
    return "Finding " + name + " is a number of … from … to ….";
  return is_practice(kinds) ? "Practice " + name + "." : finding_asked_so(s, end, name);
}

bool verdict_at(const Scene& s, std::size_t at) {
  for (auto w = static_cast<unsigned>(Word::outside); w <= static_cast<unsigned>(Word::unanswered); ++w) {
    if (s.word(at, static_cast<Word>(w))) return true;
  }
  return false;
}

// `Expect cold plung advised`: the words before the verdict.
std::size_t before_verdict(const Scene& s) {
  const std::size_t end = phrase_end(s.text(), s.at);
  for (std::size_t at = s.text().find(' ', s.at); at < end; at = s.text().find(' ', at + 1)) {
    if (verdict_at(s, at + 1)) return at;
  }
  return end;
}

std::string shown(const NearName& near) { return near.key == near.entry->key ? near.entry->text : near.key; }

// The sentence with each thing of the wanted kind in turn, where they are few; else with a gap.
std::string with_one_of(const Scene& s, std::size_t end, unsigned kinds) {
  constexpr std::size_t few = 3;
  if (s.text().size() > readable) return "…";
  std::vector<std::string> remedies;
  for (const Entry& entry : s.r.names.all()) {
    const bool named_already = s.text().find(entry.key) != std::string_view::npos;
    if ((entry.kind & kinds) == 0 || entry.built_in || named_already) continue;
    if (remedies.size() == few) return corrected(s.r, s.at, end, "…");
    remedies.push_back(corrected(s.r, s.at, end, entry.text));
  }
  return remedies.empty() ? corrected(s.r, s.at, end, "…") : either_of(remedies);
}

// A practice, or its verdict, where a condition belongs: what would say the like.
std::string in_place_of_verdict(const Scene& s, const Names::Match& match) {
  const std::string name = s.r.passage.neat(s.at, match.end);
  if (match.entry->kind == group_name) return corrected(s.r, s.at, match.end, "…");
  const std::size_t is = match.end + 1 < s.text().size() ? word_at(s.text(), match.end + 1, Word::is) : 0;
  const std::size_t verdict = is == 0 ? match.end : phrase_end(s.text(), std::min(match.end + is + 2, s.text().size()));
  const std::string asked = is == 0 ? name + " is advised" : s.r.passage.neat(s.at, verdict);
  const std::string claim = "Claim \"…\": never … in " + asked + ".";
  switch (s.opening) {
    case Word::indicated:
    case Word::allowed_in:
      return either_of({"Needs " + name + ".", "Claim \"…\": always … is allowed in " + asked + "."});
    case Word::discouraged_in:
    case Word::contraindicated:
      return either_of({"Never with " + name + ".", "Claim \"…\": never … is allowed in " + asked + "."});
    default:
      return either_of({corrected(s.r, s.at, verdict, "…"), claim});
  }
}

Message another_kind(const Scene& s, const Names::Match& match, unsigned kinds) {
  const std::string name = s.r.passage.neat(s.at, match.end), where = s.r.book.line_words(match.entry->place, s.file());
  const std::string is = in_quotes(name) + " is " + std::string(kind_words(match.entry->kind)) +
                         (match.entry->built_in ? "" : " (" + where + ")");
  const bool practice = match.entry->kind == practice_name, choices = kinds == choice_name;
  std::string message = is + "; a " + std::string(kinds_word(kinds)) + " belongs here.", remedy;
  if (!choices && (kinds & condition_names) != 0 && (match.entry->kind & practice_names) != 0) {
    if (practice && !s.r.claim)
      message = is + "; a finding belongs here, and what is said of a practice can be asked in a claim only.";
    remedy = in_place_of_verdict(s, match);
  } else if (choices && practice) {
    remedy = either_of({with_one_of(s, match.end, kinds), "Needs " + name + "."});
  } else if (kinds == tally_name) {
    remedy = "Tally … counts " + asked_simply(*match.entry, name) + " as 1.";
  } else if (kinds == practice_names && s.opening >= Word::follows && s.opening <= Word::apart_from &&
             s.at == word_at(s.text(), 0, s.opening) + 1) {
    remedy = corrected(s.r, s.at, match.end, "… in " + asked_simply(*match.entry, name));
  } else {
    remedy = with_one_of(s, match.end, kinds);
  }
  return s.say(s.at, match.end, "a name of another kind", message, remedy);
}

Message near_miss(const Scene& s, std::size_t end, unsigned kinds, const NearName& near) {
  const std::string line = near.entry->built_in ? "" : " (" + s.r.book.line_words(near.entry->place, s.file()) + ")";
  return s.say(s.at, end, "nothing goes by this name",
               "No " + std::string(kinds_word(kinds)) + " is called " + in_quotes(s.r.passage.neat(s.at, end)) +
                   "; did you mean " + in_quotes(shown(near)) + line + "?",
               corrected(s.r, s.at, end, shown(near)));
}

// The phrase without its last word, where that may be no part of the name: a number, or in a profile any value.
std::size_t shorter(const Scene& s, std::size_t end) {
  const std::size_t space = s.text().rfind(' ', end - 1);
  if (space == std::string_view::npos || space <= s.at) return s.at;
  const char first = s.text()[space + 1];
  const bool valued = s.opening == Word::profile || s.opening == Word::population;
  return valued || (first >= '0' && first <= '9') ? space : s.at;
}

// A value that stands without the finding it belongs to.
std::optional<Message> value_alone(const Scene& s) {
  for (const Entry& entry : s.r.names.all()) {
    const auto match = entry.value_words.longest(s.text(), s.at);
    const std::size_t end = phrase_end(s.text(), s.at);
    const bool before_its_name = match && s.text().substr(match.end, end - match.end) == " " + entry.key;
    if (!match || (match.end < end && !before_its_name)) continue;
    if (before_its_name) {
      return s.say(s.at, end, "a value by itself",
                   "A value stands behind its finding, with `" + std::string(spelled(Word::is)) + "` between them.",
                   corrected(s.r, s.at, end, entry.text + " is " + s.r.passage.neat(s.at, match.end)));
    }
    const std::string value = s.r.passage.neat(s.at, match.end), whole = entry.text + " is " + value;
    return s.say(s.at, match.end, "a value by itself",
                 in_quotes(value) + " is a value of " + in_quotes(entry.text) + ", which is not named here.",
                 corrected(s.r, s.at, match.end, whole));
  }
  return std::nullopt;
}

}  // namespace

namespace {

std::optional<Message> not_for_no(const Scene& s) {
  const std::size_t no = word_at(s.text(), s.at, Word::no);
  if (no == 0) return std::nullopt;
  return s.say(s.at, s.at + no, "`not`, in place of `no`", "A condition is denied by `not`.",
               corrected(s.r, s.at, s.at + no, "not"));
}

// `[see DB 3]`: a source that is not the first word.
std::optional<Message> source_behind(const Scene& s) {
  const std::size_t close = std::min(s.text().find_first_of(";]", s.at), s.text().size());
  for (std::size_t space = s.text().find(' ', s.at); space < close; space = s.text().find(' ', space + 1)) {
    const auto source = s.r.names.longest(source_name, s.text(), space + 1);
    if (!source.entry || source.end > close) continue;
    return s.say(s.at, space, "words that are left over", "In a citation the source stands first.",
                 corrected(s.r, s.at, space + 1, ""));
  }
  return std::nullopt;
}

// `Uses tallow`, where tallow is a value of an oil that is chosen.
std::optional<Message> value_of_a_choice(const Scene& s) {
  for (const Entry& entry : s.r.names.all()) {
    const auto match = entry.kind == choice_name ? entry.value_words.longest(s.text(), s.at) : WordTrie::Match{};
    if (!match || match.end < phrase_end(s.text(), s.at)) continue;
    return s.say(s.at, match.end, "a value by itself",
                 in_quotes(s.r.passage.neat(s.at, match.end)) + " is a value of " + in_quotes(entry.text) +
                     "; a practice uses the whole choice.",
                 corrected(s.r, s.at, match.end, entry.text));
  }
  return std::nullopt;
}

// What can be said better of a name that is not known, where one of these kinds belongs.
std::optional<Message> better_said(const Scene& s, unsigned kinds) {
  if (kinds == source_name) {
    if (auto unit = bracketed_unit(s)) return unit;
    return source_behind(s);
  }
  if (kinds == choice_name) return value_of_a_choice(s);
  if (s.opening == Word::profile) return not_for_no(s);
  return std::nullopt;
}

}  // namespace

Message unknown_name(const Scene& s, unsigned kinds) {
  const auto missing = [&] {
    return s.say_here("a name is missing", "The name of a " + std::string(kinds_word(kinds)) + " belongs here.",
                      s.at_end() ? with_gap(s) : form(s));
  };
  if (s.at_end()) return missing();
  if (auto sign = strange_sign(s)) return *sign;
  if (auto better = better_said(s, kinds)) return *better;
  const std::size_t first_word = letters::word_end(s.text(), s.at);
  if (first_word == s.at) return missing();
  if (kinds == expected_names && verdict_at(s, s.at)) {
    return s.say(s.at, first_word, "a name is missing", "The name of a practice or choice belongs before the verdict.",
                 with_word(s, "…"));
  }
  const bool of_trend = kinds == (finding_name | item_name) && tells_a_trend(s);
  const std::size_t end = kinds == source_name      ? first_word
                          : kinds == expected_names ? before_verdict(s)
                          : of_trend                ? trend_name_end(s)
                                                    : phrase_end(s.text(), s.at);
  const auto other = s.r.names.longest(condition_names | practice_names, s.text(), s.at);
  const bool one_space = (kinds & (condition_names | practice_names)) != 0;
  const bool of_another_kind = one_space && other.entry && !(other.entry->kind & kinds);
  for (std::size_t part = end; part > s.at; part = shorter(s, part)) {
    if (of_another_kind && other.end == part) return another_kind(s, other, kinds);
    const auto near = nearest(s.text().substr(s.at, part - s.at), s.r.names, kinds);
    if (near) return near_miss(s, part, kinds, *near);
  }
  const std::string phrase = s.r.passage.neat(s.at, end);
  return s.say(s.at, end, "nothing goes by this name",
               "No " + std::string(kinds_word(kinds)) + " is called " + in_quotes(phrase) + ".",
               how_to_declare(s, end, kinds, phrase));
}

Message unknown_condition(const Scene& s) {
  if (auto found = inch(s)) return *found;
  if (auto more = or_more(s)) return *more;
  if (s.at_end())
    return s.say_here("a condition is missing", "The sentence ends where a condition belongs.", with_gap(s));
  if (auto no = not_for_no(s)) return *no;
  const bool names_practice = s.r.names.longest(condition_names | practice_names, s.text(), s.at).entry != nullptr;
  if (!names_practice) {
    if (auto value = value_alone(s)) return *value;
  }
  return unknown_name(s, condition_names);
}

// ---------------------------------------------------------------- values

namespace {

bool month_at(const Scene& s) {
  for (auto w = static_cast<unsigned>(Word::january); w <= static_cast<unsigned>(Word::december); ++w) {
    if (s.word(s.at, static_cast<Word>(w))) return true;
  }
  return false;
}

Message value_of_words(const Scene& s, const Entry& entry) {
  const std::string values = listed(entry.values, "or");
  if (s.at_end() || letters::word_end(s.text(), s.at) == s.at) {
    return s.say_here("a value is missing", "A value of " + in_quotes(entry.text) + " belongs here.",
                      values.empty() ? with_gap(s) : values);
  }
  const std::size_t end = phrase_end(s.text(), s.at);
  const std::string no_value = in_quotes(s.phrase()) + " is not a value of " + in_quotes(entry.text);
  if (const auto near = nearest(s.text().substr(s.at, end - s.at), entry.values)) {
    return s.say(s.at, end, "no such value", no_value + "; did you mean " + in_quotes(*near) + "?",
                 corrected(s.r, s.at, end, *near));
  }
  return s.say(s.at, end, "no such value", no_value + ".", values);
}

}  // namespace

Message unknown_value(const Scene& s) {
  if (auto sign = strange_sign(s)) return *sign;
  const Entry* entry = s.r.subject;
  if (!entry) {
    return s.say_here("a value is missing", "A number or a value belongs here.", s.at_end() ? with_gap(s) : form(s));
  }
  if (entry->shape == Shape::number || entry->shape == Shape::grade) {
    if (auto comparison = compared_otherwise(s)) return *comparison;
  }
  const std::string name = in_quotes(entry->text);
  switch (entry->shape) {
    case Shape::verdict:
      return unknown_verdict(s);
    case Shape::yes_no: {
      const std::size_t begin = s.r.subject_end - std::min(s.r.subject_end, entry->key.size());
      return s.say_here("yes or no", name + " is yes or no: there is no more or less of it, and no value.",
                        s.r.subject_end == 0 ? "yes, or no"
                                             : s.r.passage.neat(begin, s.r.subject_end) + ", or not " +
                                                   s.r.passage.neat(begin, s.r.subject_end));
    }
    case Shape::number:
      if (auto words = number_in_words(s)) return *words;
      return s.say_here("a number is missing", name + " is told as a number; one belongs here, in digits.",
                        entry->text + " at least …; " + entry->text + " under …; or " + entry->text + " from … to …");
    case Shape::date:
      return s.say_here("a day is missing", "A day of the year belongs here.",
                        month_at(s) ? corrected(s.r, s.at, s.at, "1 ") : "1 November");
    case Shape::time_of_day:
      return s.say_here("a time is missing", "A time of day belongs here.", "06:30");
    default:
      return value_of_words(s, *entry);
  }
}

Message unknown_verdict(const Scene& s) {
  if (auto sign = strange_sign(s)) return *sign;
  std::vector<std::string> verdicts;
  const bool given = s.opening == Word::in_condition || s.opening == Word::otherwise;
  for (auto w = static_cast<unsigned>(Word::outside); w <= static_cast<unsigned>(Word::unanswered); ++w) {
    const Word word = static_cast<Word>(w);
    const bool can_be_given =
        word == Word::advised || word == Word::allowed || word == Word::discouraged || word == Word::withheld;
    if (!given || can_be_given) verdicts.emplace_back(spelled(word));
  }
  if (s.opening == Word::otherwise && s.r.above.choice_is_last) return value_of_words(s, *s.r.above.choice);
  if (s.opening == Word::expect && s.r.subject) return value_of_words(s, *s.r.subject);
  if (s.at_end()) return s.say_here("a verdict is missing", "A verdict belongs here.", listed(verdicts, "or"));
  const std::size_t end = phrase_end(s.text(), s.at), verdict = before_verdict(s) + 1;
  if (verdict < end) {  // `to be advised`
    return s.say(s.at, verdict - 1, "no such verdict", "These words add nothing to the verdict.",
                 corrected(s.r, s.at, verdict, ""));
  }
  if (const auto near = nearest(s.text().substr(s.at, end - s.at), verdicts)) {
    return s.say(s.at, end, "no such verdict",
                 in_quotes(s.phrase()) + " is no verdict; did you mean " + in_quotes(*near) + "?",
                 corrected(s.r, s.at, end, *near));
  }
  return s.say(s.at, end, "no such verdict", in_quotes(s.phrase()) + " is no verdict.", listed(verdicts, "or"));
}

}  // namespace betony::explaining
