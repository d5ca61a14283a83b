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
    case Word::ruleset:
      return "Ruleset \"…\", edition \"…\".";
    case Word::use:
      return "Use \"….bty\".";
    case Word::source:
      return "Source SB is \"…\", 1911, ranked 1.";
    case Word::school:
      return "School … holds …, ….";
    case Word::applies_to:
      return "Applies to ….";
    case Word::finding:
      return "Finding … is yes or no.";
    case Word::ask:
      return "Ask \"…\".";
    case Word::note:
      return "Note \"…\".";
    case Word::measure:
      return "Measure … is … / … in ….";
    case Word::tally:
      return "Tally … counts … as 2, and … as 1.";
    case Word::leading:
      return "Leading … is the most of …, …, else ….";
    case Word::choice:
      return "Choice … is one of …, ….";
    case Word::term:
      return "Term … means ….";
    case Word::impossible:
      return "It cannot be that ….";
    case Word::refer:
      return "Refer in …: \"…\".";
    case Word::group:
      return "Group … holds …, ….";
    case Word::prevail:
      return "Contraindications prevail.";
    case Word::unit:
      return "Unit …, ….";
    case Word::profile:
      return "Profile \"…\": … 34, …, the rest as usual.";
    case Word::expect:
      return "Expect … advised.";
    case Word::population:
      return "Population \"…\": … from … to … as 7, over … as 1; … no as 95, yes as 5.";
    case Word::claim:
      return "Claim \"…\": never … is advised in ….";
    case Word::practice:
      return "Practice ….";
    case Word::practices:
      return "Practices …, ….";
    case Word::every_practice:
      return "Every practice in ….";
    case Word::in_condition:
      return "In …: … and … are allowed; … is withheld.";
    case Word::caution:
      return "Caution in …: \"…\".";
    case Word::dose:
      return "Dose 1 to 3 min, once a day.";
    case Word::apart_from:
      return "Apart from … by 20 min.";
    case Word::time:
      return "Time from 45 min before sunrise to sunrise.";
    case Word::takes:
      return "Takes 5 to 15 min.";
    case Word::take:
      return "Take … in ….";
    case Word::refuse:
      return "Refuse … in ….";
    case Word::otherwise:
      return "Otherwise allowed.";
    case Word::indicated:
    case Word::allowed_in:
    case Word::discouraged_in:
    case Word::contraindicated:
      return capitalized(opening) + " in ….";
    default:
      return capitalized(opening) + " ….";
  }
}

// ---------------------------------------------------------------- signs

namespace {

bool digit_at(std::string_view text, std::size_t at) { return at < text.size() && text[at] >= '0' && text[at] <= '9'; }

// A sign between two words or numbers, with the spaces around it.
struct Between {
  std::size_t begin, end;
};
Between with_spaces(std::string_view text, std::size_t begin, std::size_t end) {
  if (begin > 0 && text[begin - 1] == ' ') --begin;
  if (end < text.size() && text[end] == ' ') ++end;
  return {begin, end};
}

bool between_numbers(const Scene& s, std::size_t end) {
  const auto [from, to] = with_spaces(s.text(), s.at, end);
  return from > 0 && digit_at(s.text(), from - 1) && digit_at(s.text(), to);
}

// `5 – 10`, `chill - frail`: what a dash may stand for.
std::string in_place_of_dash(const Scene& s, std::size_t end) {
  const Between dash = with_spaces(s.text(), s.at, end);
  const std::size_t from = dash.begin, to = dash.end;
  const auto joined = [&](Word word) { return corrected(s.r, from, to, " " + std::string(spelled(word)) + " "); };
  if (from == 0 || to >= s.text().size()) return corrected(s.r, from, to, "");
  if (!between_numbers(s, end)) return either_of({joined(Word::and_word), joined(Word::or_word)});
  const bool of_dose = s.opening == Word::dose || s.opening == Word::takes;
  const std::size_t number = s.word_before(from);
  const bool has_from = number > 0 && s.word(s.word_before(number), Word::from);
  if (of_dose || has_from) return joined(Word::to);
  const std::string range = "from " + s.r.passage.neat(number, from) + " to ";
  return corrected(s.r, number, to, range);
}

std::string in_place_of_stop(const Scene& s, std::size_t end) {
  if (digit_at(s.text(), end)) return corrected(s.r, s.at, end, "0.");
  if (s.at == 0) return {};
  if (end >= s.text().size() || letters::word_end(s.text(), end) == end) return without(s.r, s.at, s.text().size());
  return corrected(s.r, s.at, end, ". ");
}

// Where a sign stands for a word of the language: >, <=, =.
std::optional<Message> sign_of_a_word(const Scene& s, char32_t code, std::size_t end) {
  std::optional<Word> word;
  if (code == '<') word = Word::under;
  if (code == '>') word = Word::over;
  if (code == '=') word = Word::is;
  if (code == 0x2264) word = Word::at_most;
  if (code == 0x2265) word = Word::at_least;
  if (code == '&') word = Word::and_word;
  if (!word) return std::nullopt;
  if (s.text().substr(end, 1) == "=" && code != '&') {
    ++end;
    if (code != '=') word = code == '<' ? Word::at_most : Word::at_least;
  }
  const auto [from, to] = with_spaces(s.text(), s.at, end);
  return s.say(s.at, end, "a sign in place of a word",
               in_quotes(s.r.passage.neat(s.at, end)) + " is written as a word: " + std::string(spelled(*word)) + ".",
               corrected(s.r, from, to, " " + std::string(spelled(*word)) + " "));
}

}  // namespace

std::optional<Message> strange_sign(const Scene& s) {
  if (s.at_end()) return std::nullopt;
  const auto letter = letters::letter_at(s.text(), s.at);
  const bool usual = letters::is_in_word(letter.code) ||
                     (letter.code < 0x80 &&
                      std::string_view(" \",;:()[]+*/").find(static_cast<char>(letter.code)) != std::string_view::npos);
  if (usual) return std::nullopt;
  const std::size_t end = s.at + std::max<std::size_t>(letter.bytes, 1);
  if (auto word = sign_of_a_word(s, letter.code, end)) return word;
  const std::string dash = "A dash does not say what it joins; a range has words of its own.";
  switch (letter.code) {
    case 0x2013:
    case 0x2014:
      return s.say(s.at, end, "a dash in place of a word", dash, in_place_of_dash(s, end));
    case '.':
      return s.say(s.at, end, "a stop in the middle", "No space follows this stop, so the sentence does not end here.",
                   in_place_of_stop(s, end));
    case '-':
      if (between_numbers(s, end)) return s.say(s.at, end, "a dash in place of a word", dash, in_place_of_dash(s, end));
      return s.say(s.at, end, "a hyphen by itself",
                   "A hyphen joins two words, and a minus stands between two numbers; this one does neither.",
                   in_place_of_dash(s, end));
    default:
      if (letter.code < 0x20 || letter.code == 0x7F) {
        return s.say(s.at, end, "a sign that cannot be shown",
                     "A sign stands here that cannot be shown and has no meaning.", without(s.r, s.at, end));
      }
      if (s.opening == Word::population && letter.code == '%' && s.at > 0 && digit_at(s.text(), s.at - 1)) {
        return s.say(s.at, end, "a sign that says nothing", "Shares are counted together; percents are written as numbers alone.",
                     corrected(s.r, s.at, end, ""));
      }
      return s.say(s.at, end, "a sign that says nothing",
                   in_quotes(s.text().substr(s.at, end - s.at)) +
                       " has no meaning here; names are words of letters and digits, with hyphens and apostrophes "
                       "between them.",
                   without(s.r, s.at, end));
  }
}

std::optional<Message> inch(const Scene& s) {
  const std::size_t in = s.word(s.at, Word::in) ? s.at : s.word_before(s.at);
  if (s.text().substr(in, 2) != "in" || !s.word(in, Word::in) || in < 2) return std::nullopt;
  const std::size_t number = s.word_before(in);
  const bool after_number = s.text()[number] >= '0' && s.text()[number] <= '9';
  const bool after_of = s.word(number, Word::of);
  if (!after_number && !after_of) return std::nullopt;
  // `rule 2 in feever`: a condition follows, and what is wrong is in there.
  const auto goes_on = {Word::and_word, Word::or_word, Word::to, Word::unless, Word::despite, Word::for_word, Word::called};
  const bool name_follows = in != s.at && letters::word_end(s.text(), s.at) > s.at &&
                            std::none_of(goes_on.begin(), goes_on.end(), [&](Word word) { return s.word(s.at, word); });
  if (name_follows) return std::nullopt;
  return s.say(in, in + 2, "an inch is not `in`", "`in` begins a condition; as a unit it is written inch.",
               corrected(s.r, in, in + 2, "inch"));
}

// ---------------------------------------------------------------- units

std::optional<Message> year(const Scene& s) {
  if (!s.word(s.at, Word::a) || s.at < 2) return std::nullopt;
  if (!digit_at(s.text(), s.at - 2) && !s.word(s.word_before(s.at), Word::of)) return std::nullopt;
  const bool typed = s.opening == Word::finding;
  return s.say(s.at, s.at + 1, "a year is not `a`", "`a` is a word of sentences here; as a unit it is written years.",
               typed ? form(s) : corrected(s.r, s.at, s.at + 1, "years"));
}

std::optional<Message> bracketed_unit(const Scene& s) {
  const auto text = s.text();
  const std::size_t open = s.at < text.size() && text[s.at] == '[' ? s.at : s.at - std::min<std::size_t>(s.at, 1);
  if (open >= text.size() || text[open] != '[') return std::nullopt;
  const std::size_t close = text.find(']', open);
  if (close == std::string_view::npos) return std::nullopt;
  const auto everyday = unit_without_brackets(text.substr(open, close + 1 - open));
  const bool amount =
      open > 1 && text[open - 1] == ' ' && (digit_at(text, open - 2) || s.word(s.word_before(open), Word::of));
  if (!everyday || !amount) return std::nullopt;
  const std::string code = s.r.passage.neat(open, close + 1);
  if (everyday->empty()) {
    return s.say(open, close + 1, "a unit in brackets",
                 "A bracket after a space opens a citation; the unit " + code + " touches its number.",
                 corrected(s.r, open - 1, open, ""));
  }
  return s.say(
      open, close + 1, "a unit in brackets",
      "A bracket after a space opens a citation; the unit " + code + " is written " + std::string(*everyday) + " here.",
      corrected(s.r, open, close + 1, *everyday));
}

// ---------------------------------------------------------------- what was waited for

namespace {

Message missing_name(const Scene& s) {
  if (auto sign = strange_sign(s)) return *sign;
  if (!s.at_end() && s.text()[s.at] == '"') {
    const std::size_t close = s.text().find('"', s.at + 1), end = close + 1;
    const std::string digits(s.text().substr(s.at + 1, close - s.at - 1));
    return s.say(s.at, end, "a name in quotes", "Names stand without quotes; quotes are for what people are told.",
                 corrected(s.r, s.at, end, s.r.passage.string(std::stoul(digits)).text));
  }
  return s.say_here("a name is missing", "A name belongs here.", s.at_end() ? with_gap(s) : form(s));
}

// A declaration whose name ran on since the words that end it could not be read.
Message run_on_declaration(const Scene& s) {
  if (auto unit = bracketed_unit(s)) return *unit;
  const auto is = [&](std::size_t at) { return s.word(at, Word::is); };
  std::size_t at = word_at(s.text(), 0, s.opening) + 1;
  if (is(at)) {
    const Scene here = s.moved(at);
    return here.say_here("a name is missing", "A name belongs here.", corrected(s.r, at, at, "… "));
  }
  for (at = s.text().find(' ', at); at != std::string_view::npos; at = s.text().find(' ', at + 1)) {
    if (is(at + 1)) break;
  }
  if (at == std::string_view::npos) {
    return s.moved(type_begin(s).value_or(s.at))
        .say_here("`is` is missing", "This sentence does not say what it declares.", form(s));
  }
  const std::size_t type = std::min(at + 2 + word_at(s.text(), at + 1, Word::is), s.text().size());
  const auto told = s.text().substr(type);
  const bool reckoned = told.find(" / ") != std::string_view::npos || told.find(" * ") != std::string_view::npos;
  if (reckoned && s.opening == Word::finding) {
    return s.say(0, word_at(s.text(), 0, Word::finding), "what is told of it is not clear",
                 "A finding is asked; what is reckoned from findings is a measure.",
                 corrected(s.r, 0, word_at(s.text(), 0, Word::finding), capitalized(Word::measure)));
  }
  return s.say(
      std::min(type, s.word_before(s.text().size())), s.text().size(), "what is told of it is not clear",
      "After `is` stands what may be told of " + std::string(s.opening == Word::choice ? "a choice." : "a finding."),
      form(s));
}

// Whether two words differ by a slip.
bool nearly_alike(std::string_view word, std::string_view meant) {
  return letters::distance(letters::letters_of(word), letters::letters_of(meant), 2) <= (meant.size() > 5 ? 2u : 1u);
}

// The word that stands where `wanted` belongs, since the name before it ran on over it: `Group baths
// contains steam room`, `Term hardy is not frail`, `Term hardy mean not frail`.
std::optional<Message> word_in_its_place(const Scene& s, Word wanted) {
  if (wanted != Word::holds && wanted != Word::means && wanted != Word::counts) return std::nullopt;
  const std::string said(spelled(wanted));
  const unsigned kinds = wanted == Word::holds ? (s.opening == Word::school ? source_name : practice_names) : 0u;
  const std::size_t name = word_at(s.text(), 0, s.opening) + 1;
  for (std::size_t space = s.text().find(' ', name); space != std::string_view::npos;
       space = s.text().find(' ', space + 1)) {
    const std::size_t word = letters::word_end(s.text(), space + 1), before = s.word_before(space);
    const auto written = s.text().substr(space + 1, word - space - 1);
    const bool here = s.word(space + 1, Word::is) || (written != said && nearly_alike(written, said));
    const bool known = kinds != 0 && before > name && s.r.names.longest(kinds, s.text(), space + 1).entry;
    if (!here && !known) continue;
    const std::size_t begin = here ? space + 1 : before, end = here ? word : space;
    return s.say(begin, end, "`" + said + "` is missing",
                 "The word `" + said + "` belongs here, in place of " + in_quotes(s.r.passage.neat(begin, end)) + ".",
                 corrected(s.r, begin, end, said));
  }
  return std::nullopt;
}

// `Leading temper is the greatest of …`, and a list of tallies that goes on with something else.
Message missing_in_leading(const Scene& s, Word wanted) {
  if (wanted == Word::else_word) {
    const std::size_t item = past_joint(s);
    const bool after_comma = item != s.at || (s.at >= 2 && s.text()[s.at - 2] == ',');
    if (item < s.text().size() && after_comma && !s.word(item, Word::else_word) && !s.word(item, Word::by_at_least))
      return unknown_name(s.moved(item), tally_name);
    return s.say_here("`else` is missing", "Where no tally has the most, a leading must still say something.",
                      s.at_end() ? corrected(s.r, s.text().size(), s.text().size(), ", else …") : form(s));
  }
  const std::string said(spelled(wanted)), of(spelled(Word::of));
  for (std::size_t space = s.text().find(' '); space != std::string_view::npos; space = s.text().find(' ', space + 1)) {
    const std::size_t is = word_at(s.text(), space + 1, Word::is);
    if (is == 0) continue;
    const std::size_t begin = std::min(space + is + 2, s.text().size()), last = s.text().find(" " + of + " ", begin);
    if (last == std::string_view::npos) {
      return s.moved(begin).say_here("`" + said + "` is missing", "The words `" + said + "` belong here.",
                                     with_word(s.moved(begin), said));
    }
    const std::size_t end = last + 1 + of.size();
    return s.say(begin, end, "`" + said + "` is missing",
                 in_quotes(s.r.passage.neat(begin, end)) + " stands where `" + said + "` belongs.",
                 corrected(s.r, begin, end, said));
  }
  return s.say_here("`" + said + "` is missing", "The words `" + said + "` belong here.", form(s));
}

// `rubbing is never advised`, `no rubbing in chill`: the claim with its word in front.
std::string claim_about(const Scene& s, const std::string& said) {
  if (const std::size_t no = word_at(s.text(), s.at, Word::no)) return corrected(s.r, s.at, s.at + no, said);
  for (const Word word : {Word::never, Word::always}) {
    for (std::size_t space = s.text().find(' ', s.at); space != std::string_view::npos;
         space = s.text().find(' ', space + 1)) {
      const std::size_t bytes = word_at(s.text(), space + 1, word);
      if (bytes == 0) continue;
      return corrected(s.r, s.at, space + 1 + bytes, std::string(spelled(word)) + " " + s.r.passage.neat(s.at, space));
    }
  }
  return with_word(s, said);
}

bool begins_a_moment(const Scene& s) {
  bool anchor = s.word(s.at, Word::to) || s.r.names.longest(practice_name, s.text(), s.at).entry != nullptr;
  for (auto w = static_cast<unsigned>(Word::sunrise); w <= static_cast<unsigned>(Word::sleep); ++w) {
    anchor |= s.word(s.at, static_cast<Word>(w));
  }
  return anchor || digit_at(s.text(), s.at);
}

Message missing_word(const Scene& s, Word word) {
  if (auto sign = strange_sign(s)) return *sign;
  const bool typed = s.opening == Word::finding || s.opening == Word::choice;
  if (typed && word == Word::is) return run_on_declaration(s);
  if (s.opening == Word::leading && (word == Word::else_word || word == Word::the_most_of))
    return missing_in_leading(s, word);
  if (word == Word::never && s.opening == Word::claim) {
    if (tells_a_trend(s)) return missing_never(s);
    if (auto trend = change_missing(s)) return *trend;
  }
  if (word == Word::the_dose_of) return missing_words(s, word);
  const std::string said(spelled(word));
  if (typed && word == Word::to && !s.at_end() && s.at > 1 && s.text()[s.at - 2] >= '0' && s.text()[s.at - 2] <= '9')
    return unit_after_range(s);
  if (auto instead = word_in_its_place(s, word)) return *instead;
  std::string remedy = form(s);
  if (!typed && s.at_end()) remedy = with_gap(s, said + (word == Word::as ? " 1" : " …"));
  const bool at_mark = !s.at_end() && (s.text()[s.at] == ',' || s.text()[s.at] == ';');
  if (!typed && !s.at_end()) remedy = with_word(s, said + (s.word(s.at, Word::to) ? " …" : word == Word::as && at_mark ? " 1" : ""));
  if (s.opening == Word::claim) remedy = claim_about(s, said);
  if (s.opening == Word::time && letters::word_end(s.text(), s.at) != s.at && !begins_a_moment(s))
    remedy = capitalized(Word::time) + " " + said + " … to ….";
  return s.say_here("`" + said + "` is missing", "The word `" + said + "` belongs here.", remedy);
}

Message missing_mark(const Scene& s, char mark) {
  if (auto sign = strange_sign(s)) return *sign;
  const std::string sign(1, mark);
  const std::size_t touching = s.at > 0 && s.text()[s.at - 1] == ' ' ? s.at - 1 : s.at;
  if (mark == ')') {
    return s.say_here("a bracket is not closed", "A round bracket opens before this, and does not close.",
                      s.at_end() ? corrected(s.r, s.at, s.at, sign)
                                 : either_of({corrected(s.r, touching, touching, sign),
                                              corrected(s.r, s.at, s.at, std::string(spelled(Word::and_word)) + " ")}));
  }
  if (mark == ']') {
    return s.say_here("a bracket is not closed", "Sources stand in square brackets, with semicolons between them.",
                      corrected(s.r, touching, touching, sign));
  }
  std::string remedy = corrected(s.r, touching, touching, sign);
  if (s.at_end()) remedy = corrected(s.r, s.at, s.at, s.opening == Word::in_condition ? ": … is allowed" : ": …");
  return s.say_here("a colon is missing", "A colon belongs here.", remedy);
}

Message missing_number(const Scene& s) {
  if (auto sign = strange_sign(s)) return *sign;
  if (auto words = number_in_words(s)) return *words;
  std::string remedy = corrected(s.r, s.at, phrase_end(s.text(), s.at), s.opening == Word::apart_from ? "20 min" : "…");
  if (s.at_end()) remedy = with_gap(s);
  if (s.opening == Word::finding || s.opening == Word::takes) remedy = form(s);
  return s.say_here("a number is missing", "A number belongs here, in digits.", remedy);
}

Message missing_unit(const Scene& s) {
  if (auto unit = bracketed_unit(s)) return *unit;
  if (auto found = year(s)) return *found;
  if (auto found = inch(s)) return *found;
  if (auto sign = strange_sign(s)) return *sign;
  const bool typed = s.opening == Word::finding || s.opening == Word::choice;
  const bool rate = s.opening == Word::dose && s.at > 1 && s.word(s.word_before(s.at), Word::a);
  return s.say_here("a unit is missing", "A unit belongs here, such as min, kg or day.",
                    typed ? form(s) : with_word(s, rate ? "day" : "…"));
}

// The words of a moment: to the end, or to the `to` of a range.
std::size_t moment_end(const Scene& s) {
  std::size_t end = s.at;
  while (end < s.text().size() && !(s.text()[end] == ' ' && s.word(end + 1, Word::to))) ++end;
  return std::min(end, phrase_end(s.text(), s.at));
}

Message missing_moment(const Scene& s) {
  if (auto sign = strange_sign(s)) return *sign;
  std::vector<std::string> anchors;
  for (auto w = static_cast<unsigned>(Word::sunrise); w <= static_cast<unsigned>(Word::sleep); ++w) {
    anchors.emplace_back(spelled(static_cast<Word>(w)));
  }
  const std::string or_else = " Or, in place of 06:30: " + listed(anchors, "or") + ", or a practice.";
  if (s.at_end())
    return s.say_here("a time is missing", "A time of the day belongs here.", with_gap(s, "06:30") + or_else);
  if (auto clock = clock_otherwise(s)) return *clock;
  const std::size_t end = moment_end(s);
  const std::string phrase = s.r.passage.neat(s.at, end), none = in_quotes(phrase) + " is no time of the day";
  const std::size_t anchor = s.word_before(end);
  const bool known = std::find(anchors.begin(), anchors.end(), s.text().substr(anchor, end - anchor)) != anchors.end();
  if (known && anchor > s.at && digit_at(s.text(), s.at)) {  // `5 min sunrise`
    return s.say(s.at, end, "no such time of the day",
                 none + "; is it before " + phrase.substr(anchor - s.at) + ", or after?",
                 either_of({corrected(s.r, anchor, anchor, std::string(spelled(Word::before)) + " "),
                            corrected(s.r, anchor, anchor, std::string(spelled(Word::after)) + " ")}));
  }
  if (const auto near = nearest(phrase, anchors)) {
    return s.say(s.at, end, "no such time of the day", none + "; did you mean " + in_quotes(*near) + "?",
                 corrected(s.r, s.at, end, *near));
  }
  return s.say(s.at, end, "no such time of the day", none + ".", corrected(s.r, s.at, end, "06:30") + or_else);
}

Message missing_dose(const Scene& s) {
  if (auto sign = strange_sign(s)) return *sign;
  if (auto number = number_in_words(s)) return *number;
  if (!s.at_end()) {
    if (auto otherwise = said_otherwise(s)) return *otherwise;
  }
  return s.say_here("how much, or how often?", "A dose says how much, how often, or for how long.",
                    "Dose 1 to 3 min, once a day. Or: Dose 2 times a wk, for 5 d. Or: Dose half. Or: Dose \"…\".");
}

Message missing_arithmetic(const Scene& s) {
  if (s.at_end()) return s.say_here("a number is missing", "A number, or the name of one, belongs here.", with_gap(s));
  return unknown_name(s, number_names);
}

Message missing_year(const Scene& s) {
  if (auto sign = strange_sign(s)) return *sign;
  const std::size_t end = s.text().size();
  return s.say_here("a year is missing", "After the title of a source stands the year it is from, in digits.",
                    s.at_end() ? corrected(s.r, end, end, ", …") : corrected(s.r, s.at, s.at, "…, "));
}

Message missing_text(const Scene& s) {
  if (auto in = words_for_in(s)) return *in;
  if (s.opening == Word::claim && begins_a_claim(s))
    return s.say_here("words in quotes are missing", "Words in quotes belong here.",
                      corrected(s.r, s.at, s.at, "\"…\": "));
  const std::size_t colon = s.text().find(':', s.at), comma = s.text().find(", ", s.at);
  const bool year = comma != std::string_view::npos && digit_at(s.text(), comma + 2);
  const std::size_t end = std::min(colon, year ? comma : s.text().size());
  const bool goes_on =
      s.at_end() || letters::word_end(s.text(), s.at) == s.at || s.text().find('"', s.at) != std::string_view::npos;
  return s.say_here("words in quotes are missing", "Words in quotes belong here.",
                    s.at_end() ? with_gap(s, "\"…\"")
                    : goes_on  ? form(s)
                               : corrected(s.r, s.at, end, in_quotes(s.r.passage.neat(s.at, end))));
}

}  // namespace
}  // namespace explaining

Message explain(const Reading& r, Word opening, const Failure& failure) {
  using namespace explaining;  // NOLINT
  const Scene s{r, opening, std::min(failure.at, r.text().size())};
  switch (failure.wanted) {
    case Wanted::ending:
      return left_over(s);
    case Wanted::word:
      return missing_word(s, static_cast<Word>(failure.detail));
    case Wanted::mark:
      return missing_mark(s, static_cast<char>(failure.detail));
    case Wanted::name:
      return unknown_name(s, failure.detail);
    case Wanted::citation:
      return unknown_name(s, source_name);
    case Wanted::profile_item:
      return unknown_name(s, finding_name | item_name);
    case Wanted::new_name:
    case Wanted::label:
      return missing_name(s);
    case Wanted::value:
    case Wanted::answer:
      return opening == Word::population ? missing_share(s) : unknown_value(s);
    case Wanted::text:
      return missing_text(s);
    case Wanted::number:
    case Wanted::whole_number:
    case Wanted::amount:
      return missing_number(s);
    case Wanted::unit:
      return missing_unit(s);
    case Wanted::condition:
      return unknown_condition(s);
    case Wanted::type:
      return run_on_declaration(s);
    case Wanted::dose:
      return missing_dose(s);
    case Wanted::moment:
      return missing_moment(s);
    case Wanted::verdict:
      return unknown_verdict(s);
    case Wanted::year:
      return missing_year(s);
    case Wanted::arithmetic:
      return missing_arithmetic(s);
    case Wanted::trend:
      return missing_trend(s);
  }
  return left_over(s);
}

}  // namespace betony
