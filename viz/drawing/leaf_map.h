// viz/drawing/leaf_map.h: the verdicts of a practice over two findings, as fields of their patterns between the limits that sentences draw.
//
// A region has its verdict and its sentences written in it where they fit, else a number that is told below. Where several verdicts
// occur, each takes the part of the field's width that its persons are of all in it, gravest first.
//
// Cost       O(fields).
// Tested by  tests/drawing/maps_test.cpp reads the fields back; tests/drawing/pictures_test.cpp
#pragma once

#include "compiler/view/map_view.h"
#include "viz/drawing/scales.h"

namespace betony::drawing {

using MapLeaf = FindingsLeaf<view::MapView>;
Scene map_leaf(Letters& letters, const MapLeaf& what, const About& about);

// Where the figure of a map leaf lies, for whoever reads it back.
struct MapPlaces {
  double left = 0, right = 0, top = 0, bottom = 0;
};
MapPlaces map_places(Letters& letters, const MapLeaf& what);

// "withheld 62 in 100; advised 38 in 100", or the verdicts alone.
std::string parts_words(const std::vector<view::MapView::Part>& parts, bool shares_known);

}  // namespace betony::drawing
