// viz/drawing/leaf_crossing.h: sentences that meet: their words, their conditions side by side on a scale a finding, who shows it, what to write.
//
// The sentences of one side are full bars above a finding's rule, those of the other open bars below; hatched where both speak. A dotted
// thread goes through what the witness has of each.
//
// Tested by  tests/drawing/pictures_test.cpp
#pragma once

#include "compiler/view/crossing_view.h"
#include "viz/drawing/leaf.h"

namespace betony::drawing {

struct CrossingLeaf {
  const Ruleset* ruleset = nullptr;             // borrowed, as the next two
  const Problem* problem = nullptr;
  const view::CrossingView* view = nullptr;
  std::vector<std::string> lines;               // of each sentence: "41"; "41 of baths.bty" where they stand in several files
  std::vector<std::string> files;               // in which they stand, where the ruleset has several; else none
  std::string number;                           // "problem 3 of 7"
};
Scene crossing_leaf(Letters& letters, const CrossingLeaf& what, const About& about);

}  // namespace betony::drawing
