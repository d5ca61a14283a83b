// tests/oracle/meaning.h: what a model says, as formulas: who is allowed, referred, where a sentence fires, which verdict.
//
// Written from the language's description, like the referee's judge, but for all profiles at once: no profile is looked
// at, so that rulesets may be large. A View is one reading (a school's, or the whole), perhaps with one sentence taken out.
#pragma once

#include <functional>

#include "tests/oracle/statement.h"
#include "tests/property/verdicts.h"

namespace betony::oracle {

using referee::Cond;
using referee::Model;
using referee::Sentence;
using referee::Verdict;

class View;

class Meaning {
 public:
  explicit Meaning(const Model& model);
  Meaning(const Meaning&) = delete;

  Statement statement;
  const Model& model;
  std::vector<std::vector<int>> of_practice;         // sentences that speak of it
  int variable(int finding, int item = -1) const;    // no such: -1
  std::vector<std::string> texts(int practice) const;  // of its cautions, each once

 private:
  std::map<std::pair<int, int>, int> variables_;
};

class View {
 public:
  View(Meaning& meaning, int school, int without = referee::nothing);

  Formula holds(const Cond& cond);
  Formula background();           // allowed by every `It cannot be that`
  Formula applies();              // and within `Applies to`
  Formula referred();             // a red flag fires
  Formula r() { return s_.all({applies(), s_.no(referred())}); }
  Formula fires(int sentence);
  Formula live(int ban, int practice);
  Formula verdict(int practice, Verdict verdict);
  Formula care(int practice);
  Formula text(int practice, const std::string& text);  // a caution of these words is shown with it
  Formula fits(int choice, int value);
  Formula taken(int choice, int value);
  Formula refused(int choice, int value);
  Formula otherwise_speaks(int choice);  // nothing taken is left
  int school() const { return school_; }

 private:
  struct Number { Formula known; std::function<Formula(bool, const Fraction&)> under; };
  Number number(const Cond& cond);
  Formula compare(const Cond& cond);
  Formula words(const Cond& cond);
  Formula leads(int leading, const std::string& word);
  Formula over_all(int first, int second, bool inclusive, const Fraction& bound);  // points of one less those of another
  Formula before_order(int choice, int value);
  bool stands(int sentence) const;
  const Sentence* otherwise(int practice) const;
  Formula some(int practice, Sentence::Kind kind, bool live_only);
  std::vector<Formula> cares(int practice);

  Meaning& m_;
  Statement& s_;
  int school_, without_;
  std::map<int, Formula> fires_;
  std::map<std::pair<int, int>, Formula> fits_;
};

}  // namespace betony::oracle
