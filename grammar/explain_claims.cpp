#include "grammar/explain.h"
#include "grammar/text.h"

// Trends, which begin with `more`, `less` or `adding`, and the parts of a population.

namespace betony::explaining {
namespace {

constexpr Word changes[] = {Word::more, Word::less, Word::adding};
constexpr Word verbs[] = {Word::raises, Word::lowers, Word::lengthens, Word::shortens};

bool stands(const Scene& s, std::size_t at, std::span<const Word> words) {
  for (const Word word : words) {
    if (s.word(at, word)) return true;
  }
  return false;
}

// Where the claim begins, behind its title and the colon.
std::size_t claim_begin(const Scene& s) {
  const std::size_t colon = s.text().find(": ");
  return colon == std::string_view::npos ? s.text().size() : colon + 2;
}

Word opposite(Word verb) {
  switch (verb) {
    case Word::raises: return Word::lowers;
    case Word::lowers: return Word::raises;
    case Word::lengthens: return Word::shortens;
    default: return Word::lengthens;
  }
}

// `more age always raises …`: it never lowers it.
std::optional<Message> always_for_never(const Scene& s) {
  const std::size_t always = word_at(s.text(), s.at, Word::always), verb = s.at + always + 1;
  if (always == 0 || verb >= s.text().size()) return std::nullopt;
  for (const Word word : verbs) {
    const std::size_t bytes = word_at(s.text(), verb, word);
    if (bytes == 0) continue;
    return s.say(s.at, verb + bytes, "`never` is missing", "A trend says what never happens.",
                 corrected(s.r, s.at, verb + bytes, std::string(spelled(Word::never)) + " " + std::string(spelled(opposite(word)))));
  }
  return std::nullopt;
}

}  // namespace

bool tells_a_trend(const Scene& s) {
  const std::size_t at = claim_begin(s);
  return s.opening == Word::claim && at < s.text().size() && stands(s, at, changes);
}

bool begins_a_claim(const Scene& s) {
  return s.word(s.at, Word::never) || s.word(s.at, Word::always) || stands(s, s.at, changes);
}

std::size_t trend_name_end(const Scene& s) {
  for (std::size_t space = s.text().find(' ', s.at); space != std::string_view::npos; space = s.text().find(' ', space + 1)) {
    if (s.word(space + 1, Word::never) || s.word(space + 1, Word::always)) return space;
  }
  return phrase_end(s.text(), s.at);
}

Message missing_never(const Scene& s) {
  if (auto always = always_for_never(s)) return *always;
  const std::string said(spelled(Word::never));
  return s.say_here("`" + said + "` is missing", "The word `" + said + "` belongs here.", with_word(s, said));
}

// `age never raises …`, `higher age never raises …`: which way does it change?
std::optional<Message> change_missing(const Scene& s) {
  for (std::size_t space = s.text().find(' ', s.at); space != std::string_view::npos; space = s.text().find(' ', space + 1)) {
    const std::size_t never = word_at(s.text(), space + 1, Word::never), verb = space + 1 + never + 1;
    if (never == 0 || verb >= s.text().size() || !stands(s, verb, verbs)) continue;
    std::size_t name = s.at;
    auto known = s.r.names.longest(finding_name | item_name, s.text(), name);
    if (known.end != space && letters::word_end(s.text(), name) < space) {
      name = letters::word_end(s.text(), name) + 1;
      known = s.r.names.longest(finding_name | item_name, s.text(), name);
    }
    const bool whole = known.end == space;
    const Word change = whole && known.entry->shape == Shape::yes_no ? Word::adding : Word::more;
    return s.say(s.at, space, "more, less, or added?", "A trend begins with `more` or `less` of a finding, or with `adding` one.",
                 corrected(s.r, s.at, whole ? name : s.at, std::string(spelled(change)) + " "));
  }
  return std::nullopt;
}

Message missing_trend(const Scene& s) {
  if (auto sign = strange_sign(s)) return *sign;
  std::vector<std::string> words;
  for (const Word word : verbs) words.emplace_back(spelled(word));
  const std::size_t end = s.at_end() ? s.at : letters::word_end(s.text(), s.at);
  const auto near = end > s.at ? nearest(s.text().substr(s.at, end - s.at), words) : std::nullopt;
  const std::string dose(spelled(Word::the_dose_of));
  const std::string remedy = s.at_end() ? with_gap(s, words[0] + " …") : end > s.at ? corrected(s.r, s.at, end, near ? *near : words[0]) : form(s);
  const std::string message =
      "After `never` stands what does not happen: `" + words[0] + "` or `" + words[1] + "`; of a dose also `" + words[2] + "` or `" + words[3] + "`.";
  if (end <= s.at) return s.say_here("what never happens?", message, remedy);
  return s.say(s.at, end, "what never happens?", message, remedy);
}

Message missing_words(const Scene& s, Word word) {
  const std::string said(spelled(word));
  return s.say_here("`" + said + "` is missing", "The words `" + said + "` belong here.", with_word(s, said));
}

std::optional<Message> next_finding(const Scene& s) {
  if (s.opening != Word::population || s.at_end() || s.at < 2 || s.text()[s.at - 2] != ',') return std::nullopt;
  const auto name = s.r.names.longest(condition_names, s.text(), s.at);
  if (!name.entry) return std::nullopt;
  return s.say(s.at - 2, s.at - 1, "a comma between two findings",
               "Commas part the shares of one finding; before " + in_quotes(s.r.passage.neat(s.at, name.end)) + " belongs a semicolon.",
               corrected(s.r, s.at - 2, s.at - 1, ";"));
}

Message missing_share(const Scene& s) {
  if (auto sign = strange_sign(s)) return *sign;
  if (auto next = next_finding(s)) return *next;
  const Entry* entry = s.r.subject;
  if (entry && entry->shape == Shape::yes_no) {
    std::size_t end = s.text().find(';', s.at);
    if (end == std::string_view::npos) end = s.text().size();
    while (end > s.at && s.text()[end - 1] == ' ') --end;
    return s.say_here("yes or no", in_quotes(entry->text) + " is yes or no, and each of these may have a share.",
                      corrected(s.r, std::min(s.r.subject_end, end), end, " no as 9, yes as 1"));
  }
  if (entry && entry->shape == Shape::number && s.at_end() && s.r.subject_end + 1 >= s.at)
    return s.say_here("a number is missing", in_quotes(entry->text) + " is told as a number; shares of it belong here.",
                      with_gap(s, "from … to … as 3, over … as 1"));
  return unknown_value(s);
}

}  // namespace betony::explaining
