#include "grammar/explain.h"
#include "grammar/text.h"

namespace betony {

using namespace explaining;  // NOLINT

namespace {

// The first words of the text, as many as `words` has.
std::size_t end_of_words(std::string_view text, std::string_view words) {
  std::size_t end = letters::word_end(text, 0);
  for (std::size_t space = words.find(' '); space != std::string_view::npos; space = words.find(' ', space + 1)) {
    if (end >= text.size() || text[end] != ' ') break;
    end = letters::word_end(text, end + 1);
  }
  return end;
}

// `Never fever.`
std::optional<Message> never(const Reading& r) {
  const std::size_t bytes = std::max(word_at(r.text(), 0, Word::never), word_at(r.text(), 0, Word::not_word));
  if (bytes == 0) return std::nullopt;
  const Scene s{r, Word::contraindicated, 0};
  const bool practice = bytes < r.text().size() && r.names.longest(practice_names, r.text(), bytes + 1).entry;
  const bool in = bytes < r.text().size() && word_at(r.text(), bytes + 1, Word::in) != 0;
  return s.say(0, bytes, "no sentence begins so",
               practice ? "Practices that are not done together are named after `Never with`."
                        : "What a person must not do is said with `Contraindicated in`.",
               corrected(r, 0, bytes,
                         practice ? "Never with"
                         : in     ? "Contraindicated"
                                  : "Contraindicated in"));
}

std::optional<Message> near_opening(const Reading& r) {
  std::optional<Word> best;
  unsigned least = 3;
  std::size_t best_end = 0;
  for (auto w = static_cast<unsigned>(first_opening); w <= static_cast<unsigned>(last_opening); ++w) {
    const Word word = static_cast<Word>(w);
    const std::size_t end = end_of_words(r.text(), spelled(word));
    const auto written = letters::letters_of(r.text().substr(0, end)), meant = letters::letters_of(spelled(word));
    const unsigned slips = letters::distance(written, meant, least);
    if (slips >= least || 3 * slips > meant.size()) continue;
    least = slips;
    best = word;
    best_end = end;
  }
  if (!best) return std::nullopt;
  const Scene s{r, *best, 0};
  return s.say(0, best_end, "no sentence begins so",
               "No sentence begins with " + in_quotes(r.passage.neat(0, best_end)) + "; did you mean " +
                   in_quotes(capitalized(*best)) + "?",
               corrected(r, 0, best_end, capitalized(*best)));
}

}  // namespace

Message explain_opening(const Reading& r) {
  const Scene s{r, Word::finding, 0};
  if (r.text().empty())
    return s.say(0, 0, "a stop by itself", "A stop stands here with no sentence before it; it can be left out.", "");
  if (auto sign = strange_sign(s)) return *sign;
  if (auto hint = never(r)) return *hint;
  if (auto near = near_opening(r)) return *near;
  const std::string impossible(spelled(Word::impossible)), shorter = impossible.substr(0, impossible.rfind(' '));
  if (r.text().substr(0, shorter.size()) == shorter &&
      letters::word_end(r.text(), shorter.rfind(' ') + 1) == shorter.size()) {
    return s.say(0, shorter.size(), "no sentence begins so", "What nobody can have is said with `It cannot be that`.",
                 corrected(r, 0, shorter.size(), capitalized(Word::impossible)));
  }
  const std::size_t end = std::max<std::size_t>(letters::word_end(r.text(), 0), letters::letter_at(r.text(), 0).bytes);
  const bool condition = end + 1 < r.text().size() && word_at(r.text(), end + 1, Word::in) != 0;
  std::vector<std::string> remedies;
  if (condition) {
    for (const Word word : {Word::indicated, Word::allowed_in, Word::discouraged_in, Word::contraindicated})
      remedies.push_back(corrected(r, 0, end, capitalized(word)));
  } else {
    for (const Word word : {Word::finding, Word::practice, Word::indicated, Word::contraindicated, Word::otherwise})
      remedies.push_back(pattern(word));
  }
  return s.say(0, end, "no sentence begins so",
               "No sentence begins with " + in_quotes(r.passage.neat(0, end)) +
                   "; its first word says what it does, such as Finding, Practice or Indicated.",
               either_of(remedies));
}

}  // namespace betony
