// viz/drawing/leaf_overview.h: the contents page of a teaching: groups in braces, practices with dotted leaders to their line, problems, verdicts
// as bars, order and company as arcs. Over `most_rows` practices each group is one line, and arcs join groups.
//
// Tested by  tests/drawing/pictures_test.cpp
#pragma once

#include "compiler/view/overview.h"
#include "viz/drawing/leaf.h"

namespace betony::drawing {

constexpr std::size_t most_rows = 40, most_arcs = 60;

struct OverviewLeaf {
  const view::Overview* overview = nullptr;   // borrowed
  std::vector<std::string> lines;             // of each practice: "41"
  std::vector<std::string> files;             // of each practice: "evening"; empty words where the ruleset is one file
  std::size_t errors = 0, questions = 0, notes = 0;
  std::vector<std::string> not_settled;
};
Scene overview_leaf(Letters& letters, const OverviewLeaf& what, const About& about);

}  // namespace betony::drawing
