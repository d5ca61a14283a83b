// grammar/explain.h: from "this rule waited for that, here" to what a practitioner is told.
//
//   explain.cpp           what each rule waits for
//   explain_names.cpp     names, values and verdicts that nobody declared
//   explain_endings.cpp   words that are left over when a sentence could end
//   explain_opening.cpp   first words that open no sentence
//   explain_claims.cpp    trends, and the shares of a population
//   explain_otherwise.cpp words and signs in place of those of the language
//   explain_forms.cpp     the form that a sentence was meant to have, as far as it is written
//
// Each looks first at what stands at the place: people know better what they wrote than what was
// waited for. Inside the grammar room only; refusals.h has the entrances.
#pragma once

#include <optional>
#include <string>

#include "grammar/nearness.h"
#include "grammar/refusals.h"

namespace betony::explaining {

struct Scene {
  const Reading& r;
  Word opening;
  std::size_t at;  // the place, past a leading space

  std::string_view text() const { return r.text(); }
  bool at_end() const { return at >= text().size(); }
  bool word(std::size_t where, Word word) const { return word_at(text(), where, word) != 0; }
  std::uint32_t file() const { return r.passage.place(0, 0).file; }
  Scene moved(std::size_t where) const { return {r, opening, where}; }

  Message say(std::size_t begin, std::size_t end, std::string matter, std::string message, std::string remedy) const;
  // Marks what stands at the place, or the last word where nothing does.
  Message say_here(std::string matter, std::string message, std::string remedy) const;
  std::size_t word_before(std::size_t where) const;  // its begin
  std::string phrase() const;                        // the words at the place, as written
};

// The sentence's pattern: "Term … means ….".
std::string pattern(Word opening);

// The same with what is written already: "Finding age is a whole number of years from 0 to ….".
std::string form(const Scene& scene);
// The sentence as it stands, with a gap at its end: "Indicated in chill and ….".
std::string with_gap(const Scene& scene, std::string_view piece = "…");
// The sentence with a word put in at the place.
std::string with_word(const Scene& scene, const std::string& word);
// Where a finding's type begins that can be told by its words, though no `is` may stand before it.
std::optional<std::size_t> type_begin(const Scene& scene);
// The end of what is marked at the place: words, and what touches them ("g.m-1").
std::size_t marked_end(const Scene& scene);

// A sign that can stand nowhere: a dash, <, a stray stop.
std::optional<Message> strange_sign(const Scene& scene);
// `60 in`: an inch, or the beginning of a condition?
std::optional<Message> inch(const Scene& scene);

// The place past a comma and the `and` or `or` after it, where another item of a list would stand.
std::size_t past_joint(const Scene& scene);

// `from 5 to 45 Cel`: the unit of a finding stands before its range.
Message unit_after_range(const Scene& scene);
// `12 a`: years, or a word of sentences?
std::optional<Message> year(const Scene& scene);
// `40 [degF]`: a unit that would be read as a citation.
std::optional<Message> bracketed_unit(const Scene& scene);

Message unknown_name(const Scene& scene, unsigned kinds);
Message unknown_condition(const Scene& scene);
Message unknown_value(const Scene& scene);
Message unknown_verdict(const Scene& scene);
// `sixty`, `ten minutes`.
std::optional<Message> number_in_words(const Scene& scene);
// `Indicated if chill`, `Indicated for chill`.
std::optional<Message> words_for_in(const Scene& scene);
// `but`, `daily`, `(DB 3)`, `humour ember`: what is left over was meant, and is only said in other words.
std::optional<Message> said_otherwise(const Scene& scene);
// `60 or more`.
std::optional<Message> or_more(const Scene& scene);
// `from 6am to 9am`.
std::optional<Message> clock_otherwise(const Scene& scene);
// `age is above 12`, `age above 12`: a comparison in other words than those of the language.
std::optional<Message> compared_otherwise(const Scene& scene);
Message left_over(const Scene& scene);

// Whether a claim begins at the place: `never`, `more`; whether it is one that tells a trend; where the finding's name ends in it.
bool begins_a_claim(const Scene& scene);
bool tells_a_trend(const Scene& scene);
std::size_t trend_name_end(const Scene& scene);
// `more age always raises`, `more age raises`.
Message missing_never(const Scene& scene);
// `age never raises cold plunge`.
std::optional<Message> change_missing(const Scene& scene);
// What a trend never does.
Message missing_trend(const Scene& scene);
// Several words of the language that belong at the place.
Message missing_words(const Scene& scene, Word word);
// A part of a population's finding.
Message missing_share(const Scene& scene);

}  // namespace betony::explaining
