// tests/published/table.h: a published table written down as a ruleset of this folder, and the two ways its
// figures are asked for: the checks (shares, as whole numbers of persons) and the evaluator, person by person.
#pragma once

#include <map>
#include <memory>
#include <string>
#include <vector>

#include "compiler/compiler.h"
#include "compiler/evaluate.h"

namespace betony::published {

// What a person answers, as a practitioner writes it: {{"age", "34"}, {"fever", "yes"}}. Numbers are decimal
// and in the finding's unit. What is not named is as usual.
using Person = std::map<std::string, std::string>;

// A decimal number, exactly: "129.5", "-40".
Rational exactly(const std::string& decimal);
// As it is printed with so many places, a half going up: "94.597", "-19".
std::string rounded(const Rational& number, unsigned places);

class Table {
 public:
  // Reads `file` of this folder; a test that reads a ruleset with a message in it fails with the message.
  explicit Table(const std::string& file);

  Table with(const std::string& sentences) const;                          // the same, and these at its end
  Table changed(const std::string& words, const std::string& into) const;  // `words` stand in it exactly once
  Table without(const std::string& words) const { return changed(words, ""); }

  const Ruleset& ruleset() const { return kept_->ruleset; }
  const Report& report() const;  // made when first asked for

  // Everything that is told, a line each: "error choice-clash of class in School: 1920 of 26331". Each share is told
  // as so many of `all`, the number of persons looked at; "not a whole number" would show.
  std::vector<std::string> told(const Rational& all) const;
  // The only problem of this kind and form ("contradiction/crossing"); of one practice, choice or school where named.
  Problem only(const std::string& kind, const std::string& of = "", const std::string& school = "") const;

  // How many of `all` persons meet the condition: a claim is added that nobody does, and its share is taken.
  Rational count(const std::string& condition, const Rational& all) const;

  // ---- one person, by the evaluator
  Profile profile(const Person& person) const;
  std::string verdict(const std::string& practice, const Person& person, const std::string& school = "") const;
  std::string fits(const std::string& choice, const Person& person, const std::string& school = "") const;  // "stage 1, stage 2"
  Rational measure(const std::string& name, const Person& person) const;
  Rational tally(const std::string& name, const Person& person) const;
  // How much and how often: "150 to 300 min, once a wk", "nothing". One sentence says how often, and no amounts clash.
  std::string dose(const std::string& practice, const Person& person) const;
  // How many sentences of the choice (Take) or practice fire.
  std::size_t firing(const std::string& of, const Person& person, const std::string& school = "") const;

  // ---- the witness of a problem
  std::string answer(const Problem& problem, const std::string& finding) const;  // "129.5 mm[Hg]", "yes"
  Rational number(const Problem& problem, const std::string& finding) const;

 private:
  Table(std::string name, std::string text);
  Index finding(const std::string& name) const;
  Reading reading(const std::string& school) const;

  struct Kept {
    Ruleset ruleset;
    std::unique_ptr<Report> report;
  };
  std::string name_, text_;
  std::shared_ptr<Kept> kept_;
};

// What is told of a source of this folder that cannot be read: "line 7: heading: message" each.
std::vector<std::string> unreadable(const std::string& file);
std::vector<std::string> unreadable_text(const std::string& text);

}  // namespace betony::published
