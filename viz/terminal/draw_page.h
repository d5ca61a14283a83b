// viz/terminal/draw_page.h: drawings in words, for a terminal and for whoever does not see them.
#pragma once

#include <string>

#include "compiler/view/dose_view.h"
#include "compiler/view/map_view.h"
#include "compiler/view/overview.h"
#include "viz/terminal/page.h"

namespace betony::terminal {

// The questions of a graph by number, all of them, each answer with where it leads:
//
//   2  How is the skin?
//        broken .............. ]=[ withheld
//        sound or chapped .... go on to 3
std::string graph_page(const view::GraphView& view, Surface surface);

// Groups, their practices with problems and shares of verdicts, and what precedes, leads to, needs and excludes what.
std::string overview_page(const view::Overview& overview, Surface surface);

// The regions of a map, each with its verdicts and the conditions of its boxes, which are conditions of the language:
//
//   ]=[ withheld ........... 18.2 in 100
//       age at least 75 years
//       frailty ban, line 30
std::string map_page(const view::MapView& map, const view::Namer& name_of, Surface surface);

// What the dose comes to in each part of the axis, and for how many.
std::string doses_page(const Ruleset& ruleset, const view::DoseView& doses, const view::Namer& name_of, Surface surface);

}  // namespace betony::terminal
