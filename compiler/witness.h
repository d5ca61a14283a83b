// compiler/witness.h: a whole person who shows a region.
//
// Of all profiles in the region the one with the fewest unusual answers is taken (`usually`, else the
// first word, else the widest run of numbers); ties go to the more common answer, then to the first. What
// the region does not ask is filled with usual answers that the background and the red flags allow.
// Cost      O(size of the region's graph); once per group of facts for the rest.
// Tested by tests/unit/witness_test.cpp; tests/property replays every witness.
#pragma once

#include "compiler/space.h"

namespace betony {

class Witnesses {
 public:
  Witnesses(Meaning& meaning, const People& people, const Graph::Limit& limit)
      : meaning_(meaning), people_(people), limit_(limit) {}
  // A complete profile in `region`, a condition of `space` that is not empty. Nothing if a measure that stands
  // apart from its inputs could not be met by any numbers that were tried, if it is not known whether the region's
  // numbers meet at all, or if they meet at no fractions only; `no_fraction` tells the last from the others.
  std::optional<Profile> find(Space& space, Graph::Node region, Reading reading, bool* no_fraction = nullptr);
  // Gives the profile the values of a variable's cell, one that is shown by numbers.
  static void fill(const Universe& universe, Index variable, Index cell, Profile& profile);
  // Whether some facts of the background (with `applies`, with the red flags) exclude everybody.
  bool nobody(Reading reading, bool with_applies, bool with_flags);

 private:
  // The cheapest cell of each level on a way to `yes`.
  std::vector<Index> cells(Space& space, Graph::Node region);
  bool fill_group(Index group, Reading reading, Profile& profile, bool& no_fraction);
  bool meet_measure(Index measure, const Extent& extent, Profile& profile);

  Meaning& meaning_;
  const People& people_;
  Graph::Limit limit_;
  std::map<std::pair<Index, Index>, std::vector<std::pair<Index, Index>>> groups_;  // {group, school} -> {variable, cell}
};

// The value that stands for an extent.
Value value_of(const Extent& extent);

}  // namespace betony
