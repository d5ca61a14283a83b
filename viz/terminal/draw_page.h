// viz/terminal/draw_page.h: drawings in words, for a terminal and for whoever does not see them.
#pragma once

#include <string>

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

}  // namespace betony::terminal
