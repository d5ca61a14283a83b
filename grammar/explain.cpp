#include "grammar/explain.h"

#include <algorithm>

#include "grammar/text.h"

namespace betony {
namespace explaining {

// ---------------------------------------------------------------- the scene

Message Scene::say(std::size_t begin, std::size_t end, std::string matter, std::string message,
                   std::string remedy) const {
  return {std::move(matter), r.passage.place(begin, end), std::move(message), std::move(remedy)};
}

Message Scene::say_here(std::string matter, std::string message, std::string remedy) const {
  const std::size_t begin = at_end() ? word_before(at) : at, end = at_end() ? text().size() : phrase_end(text(), at);
  return say(begin, end, std::move(matter), std::move(message), std::move(remedy));
}

std::size_t Scene::word_before(std::size_t where) const {
  std::size_t end = std::min(where, text().size());
  while (end > 0 && text()[end - 1] == ' ') --end;
  const std::size_t space = end == 0 ? std::string_view::npos : text().rfind(' ', end - 1);
  return space == std::string_view::npos ? 0 : space + 1;
}

std::string Scene::phrase() const { return r.passage.neat(at, phrase_end(text(), at)); }

// ---------------------------------------------------------------- the table of patterns

std::string pattern(Word opening) {
  switch (opening) {
    case Word::ruleset: return "Ruleset \"…\", edition \"…\".";
    case Word::use: return "Use \"….bty\".";
    case Word::source: return "Source SB is \"…\", 1911, ranked 1.";
    case Word::school: return "School … holds …, ….";
    case Word::applies_to: return "Applies to ….";
    case Word::finding: return "Finding … is yes or no.";
    case Word::ask: return "Ask \"…\".";
    case Word::note: return "Note \"…\".";
    case Word::measure: return "Measure … is … / … in ….";
    case Word::tally: return "Tally … counts … as 2, and … as 1.";
    case Word::leading: return "Leading … is the most of …, …, else ….";
    case Word::choice: return "Choice … is one of …, ….";
    case Word::term: return "Term … means ….";
    case Word::impossible: return "It cannot be that ….";
    case Word::refer: return "Refer in …: \"…\".";
    case Word::group: return "Group … holds …, ….";
    case Word::prevail: return "Contraindications prevail.";
    case Word::unit: return "Unit …, ….";
    case Word::profile: return "Profile \"…\": … 34, …, the rest as usual.";
    case Word::expect: return "Expect … advised.";
    case Word::claim: return "Claim \"…\": never … is advised in ….";
    case Word::practice: return "Practice ….";
    case Word::practices: return "Practices …, ….";
    case Word::every_practice: return "Every practice in ….";
    case Word::in_condition: return "In …: … and … are allowed; … is withheld.";
    case Word::caution: return "Caution in …: \"…\".";
    case Word::dose: return "Dose 1 to 3 min, once a day.";
    case Word::apart_from: return "Apart from … by 20 min.";
    case Word::time: return "Time from 45 min before sunrise to sunrise.";
    case Word::takes: return "Takes 5 to 15 min.";
    case Word::take: return "Take … in ….";
    case Word::refuse: return "Refuse … in ….";
    case Word::otherwise: return "Otherwise allowed.";
    case Word::indicated:
    case Word::allowed_in:
    case Word::discouraged_in:
    case Word::contraindicated: return capitalized(opening) + " in ….";
    default: return capitalized(opening) + " ….";
  }
}

// ---------------------------------------------------------------- signs

std::optional<Message> strange_sign(const Scene& s) {
  if (s.at_end()) return std::nullopt;
  const auto letter = letters::letter_at(s.text(), s.at);
  const bool usual = letters::is_in_word(letter.code) ||
                     (letter.code < 0x80 &&
                      std::string_view(" \",;:()[]+*/").find(static_cast<char>(letter.code)) != std::string_view::npos);
  if (usual) return std::nullopt;
  const std::size_t end = s.at + std::max<std::size_t>(letter.bytes, 1);
  const std::string sign(s.text().substr(s.at, end - s.at));
  switch (letter.code) {
    case 0x2013: case 0x2014:
      return s.say(s.at, end, "a dash in place of a word",
                   "A dash does not say what it joins; a range has words of its own.",
                   "from … to …, or as in 1 to 3 min");
    case '<': return s.say(s.at, end, "a sign in place of a word", in_quotes(sign) + " is written as a word.", "under");
    case '>': return s.say(s.at, end, "a sign in place of a word", in_quotes(sign) + " is written as a word.", "over");
    case '=': return s.say(s.at, end, "a sign in place of a word", in_quotes(sign) + " is written as a word.", "is");
    case 0x2264:
      return s.say(s.at, end, "a sign in place of a word", in_quotes(sign) + " is written in words.", "at most");
    case 0x2265:
      return s.say(s.at, end, "a sign in place of a word", in_quotes(sign) + " is written in words.", "at least");
    case '.':
      return s.say(s.at, end, "a stop in the middle", "No space follows this stop, so the sentence does not end here.",
                   "A space after it; or, for a decimal, a 0 before it: 0.5.");
    case '-':
      return s.say(s.at, end, "a hyphen by itself",
                   "A hyphen joins two words, and a minus stands between two numbers; this one does neither.", "");
    default:
      if (letter.code < 0x20 || letter.code == 0x7F) {
        return s.say(s.at, end, "a sign that cannot be shown",
                     "A sign stands here that cannot be shown and has no meaning.", "Take it out.");
      }
      return s.say(s.at, end, "a sign that says nothing", in_quotes(sign) + " has no meaning here.",
                   "Names are words of letters and digits, with hyphens and apostrophes between them.");
  }
}

std::optional<Message> inch(const Scene& s) {
  const std::size_t in = s.word(s.at, Word::in) ? s.at : s.word_before(s.at);
  if (s.text().substr(in, 2) != "in" || !s.word(in, Word::in) || in < 2) return std::nullopt;
  const std::size_t number = s.word_before(in);
  const bool after_number = s.text()[number] >= '0' && s.text()[number] <= '9';
  const bool after_of = s.word(number, Word::of);
  if (!after_number && !after_of) return std::nullopt;
  return s.say(in, in + 2, "an inch is not `in`", "`in` begins a condition; as a unit it is written inch.",
               corrected(s.r, in, in + 2, "inch"));
}

// ---------------------------------------------------------------- what was waited for

namespace {

Message missing_name(const Scene& s) {
  if (auto sign = strange_sign(s)) return *sign;
  if (!s.at_end() && s.text()[s.at] == '"') {
    return s.say_here("a name in quotes", "Names stand without quotes; quotes are for what people are told.",
                      "The name without its quotes.");
  }
  return s.say_here("a name is missing", "A name belongs here.", pattern(s.opening));
}

// A declaration whose name ran on since the words that end it could not be read.
Message run_on_declaration(const Scene& s) {
  const auto is = [&](std::size_t at) { return s.word(at, Word::is); };
  std::size_t at = word_at(s.text(), 0, s.opening) + 1;
  if (is(at)) return missing_name(s.moved(at));
  for (at = s.text().find(' ', at); at != std::string_view::npos; at = s.text().find(' ', at + 1)) {
    if (is(at + 1)) break;
  }
  if (at == std::string_view::npos) {
    return s.say_here("`is` is missing", "This sentence does not say what it declares.", pattern(s.opening));
  }
  const std::size_t type = std::min(at + 2 + word_at(s.text(), at + 1, Word::is), s.text().size());
  const std::string kinds = s.opening == Word::choice
                                ? "one of …, …; any of …, …; or a grade of …, …, the highest prevails"
                                : "yes or no; one of …, …; a grade of …, …; any of …, …; or a number of … from … to …";
  return s.say(
      std::min(type, s.word_before(s.text().size())), s.text().size(), "what is told of it is not clear",
      "After `is` stands what may be told of " + std::string(s.opening == Word::choice ? "a choice." : "a finding."),
      kinds);
}

Message missing_word(const Scene& s, Word word) {
  if (auto sign = strange_sign(s)) return *sign;
  const bool typed = (s.opening == Word::finding || s.opening == Word::choice) && word == Word::is;
  if (typed) return run_on_declaration(s);
  const std::string said(spelled(word));
  if (word == Word::to && !s.at_end() && s.at > 1 && s.text()[s.at - 2] >= '0' && s.text()[s.at - 2] <= '9') {
    return s.say_here("`to` is missing", "A range is two numbers with `to` between them; its unit stands after `of`.",
                      "a number of kg from 2 to 350");
  }
  if (word == Word::else_word) {
    return s.say_here("`else` is missing", "Where no tally has the most, a leading must still say something.",
                      pattern(s.opening));
  }
  return s.say_here("`" + said + "` is missing", "The word `" + said + "` belongs here.", pattern(s.opening));
}

Message missing_mark(const Scene& s, char mark) {
  if (auto sign = strange_sign(s)) return *sign;
  if (mark == ')') {
    return s.say_here(
        "a bracket is not closed", "A round bracket opens before this, and does not close.",
        s.at_end() ? corrected(s.r, s.at, s.at, ")") : "A closing bracket, or `and`, `or` or a comma, before this.");
  }
  if (mark == ']')
    return s.say_here("a bracket is not closed", "Sources stand in square brackets, with semicolons between them.",
                      "[SB 2.4; WN 5]");
  return s.say_here("a colon is missing", "A colon belongs here.", pattern(s.opening));
}

Message missing_number(const Scene& s) {
  if (auto sign = strange_sign(s)) return *sign;
  return s.say_here("a number is missing", "A number belongs here, in digits.", pattern(s.opening));
}

Message missing_unit(const Scene& s) {
  if (auto found = inch(s)) return *found;
  if (auto sign = strange_sign(s)) return *sign;
  return s.say_here("a unit is missing", "A unit belongs here, such as min, kg or day.", pattern(s.opening));
}

Message missing_moment(const Scene& s) {
  if (auto sign = strange_sign(s)) return *sign;
  std::vector<std::string> anchors;
  for (auto w = static_cast<unsigned>(Word::sunrise); w <= static_cast<unsigned>(Word::sleep); ++w) {
    anchors.emplace_back(spelled(static_cast<Word>(w)));
  }
  const std::string known = "A clock time such as 06:30, " + listed(anchors, "or") +
                            ", or a practice; before it perhaps 45 min before, or 1 h after.";
  if (s.at_end()) return s.say_here("a time is missing", "A time of the day belongs here.", known);
  std::size_t end = s.at;  // to the end, or to the `to` of a range
  while (end < s.text().size() && !(s.text()[end] == ' ' && s.word(end + 1, Word::to))) ++end;
  end = std::min(end, phrase_end(s.text(), s.at));
  const std::string phrase = s.r.passage.neat(s.at, end), none = in_quotes(phrase) + " is no time of the day";
  if (const auto near = nearest(phrase, anchors)) {
    return s.say(s.at, end, "no such time of the day", none + "; did you mean " + in_quotes(*near) + "?",
                 corrected(s.r, s.at, end, *near));
  }
  return s.say(s.at, end, "no such time of the day", none + ".", known);
}

Message missing_dose(const Scene& s) {
  if (auto sign = strange_sign(s)) return *sign;
  return s.say_here("how much, or how often?", "A dose says how much, how often, or for how long.",
                    "1 to 3 min; once a day; 2 times a wk; for 5 d; half; or words in quotes");
}

Message missing_arithmetic(const Scene& s) {
  if (s.at_end())
    return s.say_here("a number is missing", "A number, or the name of one, belongs here.", pattern(s.opening));
  return unknown_name(s, number_names);
}

Message missing_year(const Scene& s) {
  if (auto sign = strange_sign(s)) return *sign;
  return s.say_here("a year is missing", "After the title of a source stands the year it is from, in digits.",
                    pattern(Word::source));
}

}  // namespace
}  // namespace explaining

Message explain(const Reading& r, Word opening, const Failure& failure) {
  using namespace explaining;  // NOLINT
  const Scene s{r, opening, std::min(failure.at, r.text().size())};
  switch (failure.wanted) {
    case Wanted::ending: return left_over(s);
    case Wanted::word: return missing_word(s, static_cast<Word>(failure.detail));
    case Wanted::mark: return missing_mark(s, static_cast<char>(failure.detail));
    case Wanted::name: return unknown_name(s, failure.detail);
    case Wanted::citation: return unknown_name(s, source_name);
    case Wanted::profile_item: return unknown_name(s, finding_name | item_name);
    case Wanted::new_name:
    case Wanted::label: return missing_name(s);
    case Wanted::value:
    case Wanted::answer: return unknown_value(s);
    case Wanted::text:
      return s.say_here("words in quotes are missing", "Words in quotes belong here.", pattern(opening));
    case Wanted::number:
    case Wanted::whole_number:
    case Wanted::amount: return missing_number(s);
    case Wanted::unit: return missing_unit(s);
    case Wanted::condition: return unknown_condition(s);
    case Wanted::type: return run_on_declaration(s);
    case Wanted::dose: return missing_dose(s);
    case Wanted::moment: return missing_moment(s);
    case Wanted::verdict: return unknown_verdict(s);
    case Wanted::year: return missing_year(s);
    case Wanted::arithmetic: return missing_arithmetic(s);
  }
  return left_over(s);
}

}  // namespace betony
