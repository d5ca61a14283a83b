// grammar/explain.h: from "this rule waited for that, here" to what a practitioner is told.
//
//   explain.cpp           what each rule waits for
//   explain_names.cpp     names, values and verdicts that nobody declared
//   explain_endings.cpp   words that are left over when a sentence could end
//   explain_opening.cpp   first words that open no sentence
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

// A sign that can stand nowhere: a dash, <, a stray stop.
std::optional<Message> strange_sign(const Scene& scene);
// `60 in`: an inch, or the beginning of a condition?
std::optional<Message> inch(const Scene& scene);

Message unknown_name(const Scene& scene, unsigned kinds);
Message unknown_condition(const Scene& scene);
Message unknown_value(const Scene& scene);
Message unknown_verdict(const Scene& scene);
Message left_over(const Scene& scene);

}  // namespace betony::explaining
