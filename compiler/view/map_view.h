// compiler/view/map_view.h: the verdicts of one practice over two findings.
//
//   MapView map = map_view(ruleset, practice, reading, age, water, profile);
//   map.fields[row * map.across.parts.size() + column]
//
// All other findings are as a profile tells them, or, where it does not, of every kind: a field then holds each verdict that occurs in
// it with its share. Whom a red flag refers, or the teaching is not for, whatever the two findings are, is left out of this, unless it is
// everybody. Limits that change nothing are left out. Fields side by side that are alike and that the same sentences decide are
// a region; a person has one field, and so one region.
//
// Errors     NothingToDraw (axis.h); BudgetMet (graph.h).
// Cost       as Space of the practice, and O(fields · verdicts · size of its decision graph).
// Tested by  tests/drawing/views_test.cpp; tests/drawing/maps_test.cpp weighs random points
#pragma once

#include "compiler/view/axis.h"

namespace betony::view {

struct MapView {
  struct Part {
    tree::Verdict verdict = tree::Verdict::silent;
    bool with_care = false;
    double share = 0;                     // of the persons of the field
    std::vector<Index> sentences;         // that make it for some of them (where all get it, those that make it
                                          // for all, if any), ascending; of "with care" those that ask for care
  };
  struct Field {
    std::vector<Part> parts;              // gravest first; none where nobody is possible
    double share = 0;                     // of all who are looked at
    Index region = 0;
  };
  struct Box {
    std::size_t left = 0, right = 0, low = 0, high = 0;  // parts of the axes; all belong to it
    std::size_t fields() const { return (right - left + 1) * (high - low + 1); }
  };
  struct Region {
    std::vector<Part> parts;              // as of its fields; the sentences together
    std::vector<Box> boxes;               // apart from one another; the largest first
    std::vector<std::string> conditions;  // of each box, in the language; "everybody" where it is all
    double share = 0;                     // of all who are looked at
  };
  std::string practice, school;           // school: empty for the whole
  Axis across, up;
  std::vector<Field> fields;              // rows from below
  std::vector<Region> regions;            // in reading order: from above, then from the left
  std::vector<std::string> held, open;    // what the profile answers ("skin is sound"), and findings that stay open
  bool leaves_out = false;                // persons are left out who are referred or outside whatever the two say
  bool shares_known = true;
  const Field& at(std::size_t column, std::size_t row) const { return fields[row * across.parts.size() + column]; }
};

MapView map_view(const Ruleset& ruleset, Index practice, Reading reading, AxisName across, AxisName up, const Profile* held = nullptr,
                 const Budget& budget = {});

}  // namespace betony::view
