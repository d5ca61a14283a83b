// compiler/witness.h: a whole person who shows a region.
//
// Of all profiles in the region the one with the fewest unusual answers is taken (`usually`, else the
// first word, else the widest run of numbers); ties go to the more common answer, then to the first. What
// the region does not ask is filled with usual answers that the background and the red flags allow.
// Cost      O(size of the region's graph); once per group of facts for the rest.
// Tested by tests/unit/space_test.cpp; tests/property replays every witness.
#pragma once

#include "compiler/space.h"

namespace betony {

// The answers of an ordinary person: the usual ones, as far as the facts of the ruleset allow. Made once for a
// ruleset, in every reading; afterwards any number of threads may read it.
class UsualAnswers {
 public:
  // Each group of facts has `limit` to itself.
  UsualAnswers(const Facts& facts, const BoundFindings& bound, const std::vector<Reading>& readings, const Graph::Limit& limit);
  // A complete profile that keeps all facts of all groups that could be settled; where red flags (`Applies to`)
  // leave nobody, only the others.
  const Profile& of(Reading reading) const { return profiles_.at(reading.school); }
  // Findings of groups of facts that met their budget or that nobody keeps: what is said of them above is no more than usual.
  const std::set<Index>& unsettled() const { return unsettled_; }
  bool budget_met() const { return budget_met_; }
  // Whether the background excludes everybody; so with `Applies to`; so with the red flags of a reading.
  bool nobody_possible() const { return nobody_possible_; }
  bool nobody_within() const { return nobody_within_; }
  bool nobody_left(Reading reading) const { return nobody_left_.count(reading.school) != 0; }

 private:
  std::map<Index, Profile> profiles_;  // by school
  std::set<Index> unsettled_, nobody_left_;
  bool budget_met_ = false, nobody_possible_ = false, nobody_within_ = false;
};

class Witnesses {
 public:
  // Borrowed; they outlive this.
  Witnesses(Meaning& meaning, const UsualAnswers& usual) : meaning_(meaning), usual_(usual) {}
  // A complete profile in `region`, a condition of `space` that is not empty. Nothing if a measure that stands
  // apart from its inputs could not be met by any numbers that were tried, if it is not known whether the region's
  // numbers meet at all or the facts on other findings could not be settled, or if they meet at no fractions only; `no_fraction` tells the last from the others.
  std::optional<Profile> find(Space& space, Graph::Node region, Reading reading, bool* no_fraction = nullptr);
  // Gives the profile the values of a variable's cell, one that is shown by numbers.
  static void fill(const Universe& universe, Index variable, Index cell, Profile& profile);

 private:
  bool meet_measure(Index measure, const Extent& extent, Profile& profile);

  Meaning& meaning_;
  const UsualAnswers& usual_;
};

// The value that stands for an extent.
Value value_of(const Extent& extent);

}  // namespace betony
