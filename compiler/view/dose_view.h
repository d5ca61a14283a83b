// compiler/view/dose_view.h: the dose of one practice over one finding: what is said to whom, where sentences clash, where nobody says anything.
//
//   DoseView doses = dose_view(ruleset, practice, reading, age, profile);
//
// Looked at are those who take the practice: for whom it is advised or allowed, with care or without. Everything else is as a profile
// tells it or of every kind. A panel is a part of the dose (minutes, bowls, how often, how long); what it comes to for some persons in a
// part of the axis is an outcome.
//
// Errors     NothingToDraw (axis.h), also where no dose is said; BudgetMet (graph.h).
// Cost       as Space of the practice, and O(parts of the axis · outcomes · size of their graph).
// Tested by  tests/drawing/views_test.cpp; tests/drawing/maps_test.cpp weighs random persons
#pragma once

#include "compiler/dose.h"
#include "compiler/view/axis.h"

namespace betony::view {

struct DoseView {
  struct Outcome {
    bool is_said = true;                    // false: nobody says anything of this part of the dose
    bool clash = false;                     // what is said has nothing in common; `interval` then reaches over all of it
    Interval interval;                      // in base units, multiplied; ends belong to it
    std::vector<Index> from;                // sentences, with those that multiply; ascending
    double share = 0;                       // of those in the part of the axis who take the practice
  };
  struct Panel {
    Dose::Part what = Dose::Part::amount;
    Unit unit;                              // of an amount
    std::string unit_text;
    std::vector<std::vector<Outcome>> outcomes;  // of each part of the axis, the most common first; none where nobody takes it
    std::string words(const Interval& interval) const;  // "5 to 10 min"
    std::string title() const;                          // "how much, in min", "how often", "how long"
  };
  std::string practice, school;
  Axis across;
  std::vector<Panel> panels;
  std::vector<std::string> held, open;
  bool shares_known = true;
};

bool same_outcome(const DoseView::Outcome& a, const DoseView::Outcome& b);  // from whomever, for however many
// The same outcomes from the same sentences, with shares that are no further apart.
bool alike(const std::vector<DoseView::Outcome>& a, const std::vector<DoseView::Outcome>& b, double most_apart);

DoseView dose_view(const Ruleset& ruleset, Index practice, Reading reading, AxisName across, const Profile* held = nullptr, const Budget& budget = {});

}  // namespace betony::view
