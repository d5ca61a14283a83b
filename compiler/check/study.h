// compiler/check/study.h: what every check works with, and how a problem is put into words.
//
// `Common` is made once a ruleset: who is usual, which facts bear on which findings, where lines begin. It is
// only read afterwards, by any number of threads.
//
// A `Study` is made for one thing that is checked (a practice, a choice, a claim) over its scope: its own
// universe and meaning, the people looked at, and what was found. What a study finds depends on its scope and
// on nothing else: not on what else is in the book, not on what was checked before. So studies may run side by
// side, and what one found may be kept until its scope says something else (memory.h).
//
// A check is one file in this folder with one function declared in checks.h; it makes `Problem`s with
// `Study::problem`, and `Study::show` adds share, region and witness.
#pragma once

#include <set>

#include "compiler/compiler.h"
#include "compiler/region.h"
#include "compiler/verdict_graph.h"
#include "compiler/witness.h"

namespace betony {

class Common {
 public:
  // The ruleset is borrowed and outlives this.
  Common(const Ruleset& ruleset, const Budget& budget);

  const Ruleset& ruleset;
  const Budget budget;
  const BoundFindings bound;
  const Facts facts;
  // The whole first, then every school's.
  const std::vector<Reading> all_readings;
  // The readings that are checked each by itself: the whole, or every school's where schools are declared.
  const std::vector<Reading> readings;
  const UsualAnswers usual;
  // Facts ask for nothing but findings and measures: who is possible hangs on no term, tally or choice.
  const bool facts_are_plain;
  std::vector<std::vector<Index>> users_of;   // of each choice: the practices that use it, ascending

  std::uint32_t line(const Place& place) const { return lines_[place.file].number(place.span.begin); }
  // A place as it stands in a text that is not finished: what is found may be kept while lines move.
  static std::string line_mark(const Place& place);
  // Puts "line 41", "row 3 of baths.csv" where a place was marked.
  void put_lines(Problem& problem) const;
  void put_lines(std::string& text, bool begins_a_sentence = false) const;
  // Calls `place(Place&)` for every place that is marked in the text, and writes it back.
  static void for_each_mark(std::string& text, const std::function<void(Place&)>& place);

 private:
  std::vector<LineIndex> lines_;
};

// Why a part of a condition may be struck out, the weakest reason last.
enum class Reach {
  same_words,     // the sentence then speaks for the same persons, whoever they are
  same_possible,  // the same of those who are possible
  same_people,    // the same of those whom the ruleset is about and no red flag has referred
  same_told,      // others, and all are told the same
  matters         // it may not be struck
};

// What the checks of one thing found out about a sentence that a check over all of them needs.
struct SentenceFact {
  bool told = false;        // as never applies, head-on or swallowed: not told as idle
  bool matters = false;     // taking it out changes something somewhere
  bool looked_at = true;    // its effect was settled
  std::uint64_t alike = 0;  // equal for sentences that fire on the same profiles of R (within one study)
  unsigned parts_seen = 0;    // in so many practices (choices, red flags) each of its parts was looked at
  std::vector<Reach> parts;   // of every part of its condition, by number (parts.h)
  IndexSet struck;            // of the parts that may be struck, some that may be struck all at once
};
using SentenceFacts = std::map<Index, SentenceFact>;
using AllFacts = std::vector<std::optional<SentenceFact>>;  // of every sentence of the ruleset, none where no check had to look

// Where sentences of two sources speak against each other in one practice.
struct Disagreement {
  struct Pair {
    Index indication, ban;
    bool first_indicates;     // the earlier declared source stands behind the indication
  };
  Index practice;
  SourcesDisagree seen;       // here alone, without its words
  std::vector<Pair> pairs;
};

struct Found {
  std::vector<Problem> problems;
  std::vector<std::string> not_settled;  // names, each once
  std::vector<std::pair<Index, SentenceFact>> facts;  // ascending
  std::vector<Disagreement> disagreements;        // of a practice
  std::vector<SourcesDisagree> sources_disagree;  // of the ruleset
};

class Study {
 public:
  // Numbers are cut at `further` thresholds too.
  Study(const Common& common, Scope scope, Account& account, const std::vector<Threshold>& further = {});
  Account& account() { return account_; }

  const Common& common;
  const Ruleset& ruleset;
  const std::vector<Reading>&readings, &all_readings;
  const Scope scope;
  const Universe universe;
  Meaning meaning;
  People people;
  SentenceFacts facts;
  Found found;                // all but the facts

  // ---- budget
  Graph::Limit limit() const { return {common.budget.nodes, common.budget.steps, &account_}; }  // what one more space may cost
  void spend(std::uint64_t steps) { account_.spend(steps); }                                    // of work outside any space
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
  // Calls tell(reading, school): once and without a school's name where every reading that is checked shows the
  // same, else for each that does.
  template <class Tell>
  void once_or_each(const std::vector<Reading>& showing, const Tell& tell) const {
    if (showing.size() == readings.size()) tell(showing[0], std::string());
    else
      for (Reading reading : showing) tell(reading, school_name(reading));
  }

  // ---- words
  std::string line_of(const Place& place) const { return Common::line_mark(place); }  // "line 41", "row 3", in the end
  std::string line_of(Index sentence) const { return line_of(ruleset.sentences[sentence].place); }
  // The lines of sentences, two on one line once.
  std::vector<std::string> lines_of(const std::vector<Index>& sentences) const;
  std::string named(Index sentence) const;                // "frailty ban, line 30", or "line 30"
  std::string school_name(Reading reading) const;
  // A person of the region, or none.
  std::shared_ptr<const Profile> witness(Space& space, Graph::Node region, Reading reading, bool* no_fraction);

 private:
  Account& account_;
  Witnesses witnesses_;
};

// Brings typed sentences into a problem, each once.
class Bringing {
 public:
  Bringing(const Study& study, Problem& problem, bool mark_condition = true) : study_(study), problem_(problem), mark_condition_(mark_condition) {}
  // Its number among the problem's sentences.
  unsigned operator()(Index sentence) {
    const auto [at, is_new] = number_.try_emplace(sentence, static_cast<unsigned>(problem_.sentences.size()));
    if (is_new) problem_.sentences.push_back(study_.concerned(sentence, mark_condition_));
    return at->second;
  }
  void pair(Index a, Index b) {
    const unsigned first = (*this)(a);
    problem_.pairs.emplace_back(first, (*this)(b));
  }
  std::vector<Index> sentences() const;  // ascending

 private:
  const Study& study_;
  Problem& problem_;
  bool mark_condition_;
  std::map<Index, unsigned> number_;
};

// " In the reading of the river school.", or nothing.
std::string school_sentence(const std::string& school);

// "1 in 6 of all possible persons", "19 in 999 of all possible persons (near 2 in 100)", "only single points among …".
std::string share_words(const Share& share);

// "a", "a and b", "a, b, and c".
std::string listed(const std::vector<std::string>& parts, const std::string& last = "and");

// Where a problem lies, with its share: "where fever and chill; or where age is 60 years: 1 in 6 of all possible persons".
std::string where_words(const Problem& problem);

}  // namespace betony
