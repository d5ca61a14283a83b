// tests/property/maker.h: the maker of one random ruleset, for generate.cpp alone. It is written in several files:
//
//   generate_findings.cpp       findings, and measures made from them
//   generate_declarations.cpp   sources and schools, practices and groups, choices, terms, tallies
//   generate_conditions.cpp     conditions, new ones and such as collide with those before
//   generate_sentences.cpp      sentences about choices and practices, and red flags
//   generate_samples.cpp        claims, and sample persons with what is expected of them
//   generate_day.cpp            doses, order, company, times and lengths (declared in dice.h)
//
// A seed stands for the same ruleset for as long as every draw keeps its place: one draw moved, added or left out
// changes all that come after it.
#pragma once

#include "tests/property/dice.h"
#include "tests/property/generate.h"

namespace betony::referee {

class Maker : private Dice {
 public:
  Maker(std::uint64_t seed, Scale scale) : Dice(seed), scale_(scale) {}

  Model make();  // for one use; what it makes may be too large, or make no sense before settle()

 private:
  void declare_findings();                                   // generate_findings.cpp
  void name(Finding& f);
  void number(Finding& f);
  void declare_measured();
  void formula(Measure& m);
  Fraction measured_threshold(const Measure& m);

  void declare_sources();                                    // generate_declarations.cpp
  void declare_practices();
  void declare_choices();
  void declare_terms();
  void declare_tallies();

  Cond plain_cond(int depth);                                // generate_conditions.cpp
  Cond small_fact();
  Cond cond(int depth);
  Cond atom();
  int terms_askable() const;
  Cond among(Cond c, Cond::Of of, int index, std::size_t words);
  Cond compare(Cond c, Cond::Of of, int index, Fraction a, Fraction b);
  Cond of_finding(Cond c, int index);
  Cond of_grade(Cond c, int index, int words);
  Cond of_day(Cond c, int index, int count);
  Fraction threshold(const Finding& f);
  Cond colliding();
  Cond remember(const Cond& c);

  void choice_sentences();                                   // generate_sentences.cpp
  Sentence about_choice(int choice, Sentence::Kind kind);
  void cite(Sentence& s);
  void head(Sentence& s);
  void sentences();
  Sentence sentence();
  void theme(Sentence::Kind kind, int low, int high);
  void judged(int practice);
  Sentence filled(Sentence s, int conditional);
  void in_line();
  Sentence refer();
  void defy();
  void otherwises();

  void claims();                                             // generate_samples.cpp
  void trends();
  Cond of_practice();
  void samples();
  void answer(Sample& sample, int index);
  Expectation expectation();

  Scale scale_;
  Model m_;
  std::vector<Cond> pool_;       // conditions so far, for later ones to collide with
  int choices_askable_ = 0;      // conditions may ask for so many of the choices
  int late_term_ = -1;           // the term that asks for choices; -1: there is none
  bool late_terms_ask_ = false;  // conditions may ask for it: all choices have their sentences
  bool plain_ = false;           // conditions may ask for findings and earlier terms only
  int lines_ = 0;                // `In` lines so far
};

}  // namespace betony::referee
