// viz/drawing/look.h: what roles look like: inks, lines, patterns and marks, as a style sheet and symbols of SVG.
//
// By day, by night (where the reader's screen asks for it), and on paper in black and white, where patterns alone tell fills apart.
// The figures of contrast, and how far verdicts stay apart for the colour-blind, are tested in tests/drawing/look_test.cpp.
#pragma once

#include <string>
#include <string_view>
#include <vector>

#include "viz/drawing/scene.h"

namespace betony::drawing {

struct Colour {
  std::string_view role;                  // "ink"
  std::string_view day, night, paper;     // "#261d29"
};
const std::vector<Colour>& colours();

std::string style_sheet();
std::string_view class_of(Ink ink);       // of words, and of what has a mark's colour
std::string_view class_of(Line line);
std::string fill_class(Fill fill);        // of boxes
std::string_view symbol_name(Mark::Kind kind);
std::string_view symbol_of(Mark::Kind kind);   // its drawing, in a square of 20
std::string patterns();                   // of fills that have one

}  // namespace betony::drawing
