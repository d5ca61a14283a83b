// compiler/space.h: decision graphs over the findings that one practice, choice or claim asks for.
//
// A `Space` orders the variables that some given conditions name, brings in the background, `Applies to`
// and red flags that bear on them, and turns conditions into graphs. What bears on them: the facts form
// groups that share variables (`People`); a fact that shares no variable, directly or around, with what is
// asked divides out of every share and is left out.
//
// Order of variables: that of first mention, then moved together by center of gravity (FORCE: Aloul,
// Markov, Sakallah, GLSVLSI 2003): each condition pulls its variables toward its middle, 12 rounds, the
// round with the least total span wins; ties keep the earlier order. Same input, same order.
// Tested by tests/unit/space_test.cpp
#pragma once

#include <memory>
#include <set>

#include "compiler/graph.h"
#include "compiler/meaning.h"
#include "compiler/problem.h"

namespace betony {

// The facts of a scope that say who is looked at, in groups that share no variable with one another.
class People {
 public:
  People(Meaning& meaning, const Scope& scope);
  enum class Kind { background, applies, flag };
  struct Fact {
    Kind kind;
    Form form;               // holds on those who are looked at
    Index sentence;          // flag: its sentence; background: index into Ruleset::backgrounds
    std::set<Index> schools; // flag: readings that hold it (no_index: the whole)
    Index group = 0;
  };
  const std::vector<Fact>& facts() const { return facts_; }
  std::size_t group_count() const { return groups_.size(); }
  const std::vector<Index>& variables_of(Index group) const { return groups_[group]; }
  Index group_of(Index variable) const { return group_of_[variable]; }  // no_index: no fact names it
  // Red flags of this reading leave nobody to look at, though no single space may see all of them.
  void nobody_in(Reading reading) { nobody_.insert(reading.school); }
  bool has_nobody(Reading reading) const { return nobody_.count(reading.school) != 0; }

 private:
  std::vector<Fact> facts_;
  std::vector<std::vector<Index>> groups_;
  std::vector<Index> group_of_;
  std::set<Index> nobody_;
};

class Space {
 public:
  using Node = Graph::Node;
  // Conditions outside `asked` (and their facts) may be used later only if they name no further variable.
  Space(Meaning& meaning, const People& people, const std::vector<Form>& asked, const Graph::Limit& limit);

  Graph& graph() { return graph_; }
  const Graph& graph() const { return graph_; }
  Meaning& meaning() { return meaning_; }
  const Universe& universe() const { return meaning_.universe(); }
  const std::vector<Index>& order() const { return order_; }     // variable of each level
  bool has_group(Index group) const { return groups_.count(group) != 0; }

  Node of(Form form);
  bool reaches(Form form) const;      // all its variables are here
  Node background();                  // who is possible
  Node applies();                     // possible, and within `Applies to`
  Node looked_at(Reading reading);    // R: and without a red flag

  // The share of `region` among `whole` (region lies inside it; whole is not empty).
  Share share(Node region, Node whole);
  // The findings a condition really depends on, ascending.
  std::vector<Index> findings(Node condition);
  // Of some measure it is not known how it goes together with its inputs or with other measures of theirs.
  bool has_undecided_measure() const { return has_undecided_measure_; }
  // Cells that agree with what the profile answers, as a condition.
  Node agrees(const Profile& profile);
  // Of each level's cells; where they lie between two ends, the middle.
  const std::vector<std::vector<Rational>>& weights() const { return weights_; }

 private:
  Node facts(People::Kind kind, Reading reading);
  Node build(Form form);
  Node build_score(const Conditions::Node& node);
  void arrange(const std::vector<Form>& asked);
  std::pair<Rational, Rational> probability(Node region);  // its least and its most

  Meaning& meaning_;
  const People& people_;
  std::set<Index> groups_;
  std::vector<Index> order_;
  std::vector<Index> level_of_;       // of each variable; no_index
  std::vector<std::vector<Rational>> weights_, least_weights_, slack_;  // the last two only where some slack is not 0
  bool has_undecided_measure_ = false;
  Graph graph_;
  std::map<Form, Node> built_;
  std::map<Index, Node> looked_at_;
};

}  // namespace betony
