// compiler/check/study.h: what every check works with, and how a problem is put into words.
//
// One `Study` a ruleset: its universe, its meaning, the people looked at, and the report in the making. A
// check is one file in this folder with one function declared in checks.h; it makes `Problem`s with
// `Study::problem`, and `Study::show` adds share, region and witness.
#pragma once

#include "compiler/compiler.h"
#include "compiler/region.h"
#include "compiler/verdict_graph.h"
#include "compiler/witness.h"

namespace betony {

class Study {
 public:
  Study(const Ruleset& ruleset, const Budget& budget);

  const Ruleset& ruleset;
  const Universe universe;
  Meaning meaning;
  People people;
  Report report;
  // The readings that are checked each by itself: the whole, or every school's where schools are declared.
  std::vector<Reading> readings;
  // The whole first, then every school's.
  std::vector<Reading> all_readings;

  // ---- budget
  Graph::Limit limit();                 // what one more space may cost, out of what is left for all
  void spend(std::uint64_t steps);      // of work outside any space; past what is left BudgetMet
  void not_settled(const std::string& name);

  // ---- problems
  Problem problem(std::string kind, std::string form, Severity severity) const;
  // Share, region in words and witness of `region` (inside `whole`, both conditions of `space`).
  void show(Problem& problem, Space& space, Graph::Node region, Graph::Node whole, Reading reading);
  // The verdict of a practice on the problem's witness, in words ("cold plunge is withheld").
  void replay(Problem& problem, Index practice, Reading reading);

  Concerned concerned(Index sentence, bool mark_condition = true) const;
  Concerned declared(Index tree_sentence, Place name) const;  // a declaration, its name marked
  // Keeps the problem. One that has a region but nobody found in it rests on a measure of which not all is known:
  // it may not be so, and is `not settled` instead; unless only numbers that are no fractions show it.
  void tell(Problem problem);

  // ---- words
  std::string line_of(const Place& place) const;          // "line 41", "line 3 of baths.bty"
  std::string line_of(Index sentence) const { return line_of(ruleset.sentences[sentence].place); }
  std::string source_words(const Place& place) const;     // as written, white space folded
  std::string named(Index sentence) const;                // "frailty ban, line 30", or "line 30"
  std::string school_words(Reading reading) const;        // "", or "in the reading of the river school"
  std::string school_name(Reading reading) const;
  Witnesses& witnesses() { return witnesses_; }

 private:
  std::vector<LineIndex> lines_;
  Budget budget_;
  std::uint64_t steps_left_;
  std::set<std::string> not_settled_;
  Witnesses witnesses_;
};

// "1 in 6 of all possible persons", "19 in 999 of all possible persons (near 2 in 100)", "only single points among …".
std::string share_words(const Share& share);

// "a", "a and b", "a, b, and c".
std::string listed(const std::vector<std::string>& parts, const std::string& last = "and");

// Where a problem lies, with its share: "where fever and chill; or where age is 60 years: 1 in 6 of all possible persons".
std::string where_words(const Problem& problem);

}  // namespace betony
