// viz/drawing/leaf_doses.h: the dose of a practice over one finding: a panel a part of the dose, a column a part of the finding.
//
// In a column each outcome has the part of the width that its persons are of all who take the practice there, and a bar from its least to
// its most. Where sentences have nothing in common the bar is hatched over all they say; where nothing is said the column is dotted.
//
// Tested by  tests/drawing/pictures_test.cpp; browser.sh
#pragma once

#include "compiler/view/dose_view.h"
#include "viz/drawing/scales.h"

namespace betony::drawing {

using DosesLeaf = FindingsLeaf<view::DoseView>;
Scene doses_leaf(Letters& letters, const DosesLeaf& what, const About& about);

}  // namespace betony::drawing
