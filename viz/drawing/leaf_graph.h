// viz/drawing/leaf_graph.h: the decision graph of one practice: as a leaf, as DOT, and as numbered words.
//
// A question stands over its rule; its answers hang below, each at the head of its own edge. A question whose answers all settle the matter
// lists them with their verdicts, at the foot with all other verdicts. What is folded has a zigzag in place of its rule and is told below.
// Graphviz places the questions and bends the edges (dot: Gansner, Koutsofios, North, Vo, IEEE Trans. Software Eng. 19(3), 1993).
//
// Cost       the view and its folding; Graphviz for at most `most_places` places.
// Tested by  tests/drawing/reading_back_test.cpp walks DOT and words; tests/drawing/pictures_test.cpp
#pragma once

#include "compiler/view/graph_view.h"
#include "viz/drawing/leaf.h"

namespace betony::drawing {

constexpr std::size_t most_places = 12;          // on a page
constexpr double widest_leaf = 960;

struct GraphLeaf {
  const view::GraphView* view = nullptr;        // borrowed
  std::string lines;                            // where the practice stands: "lines 26-38"
  std::optional<Profile> person;                // whose way is shown thick
  std::string person_words;                     // "Ada, 34: withheld"
};
Scene graph_leaf(Letters& letters, const GraphLeaf& what, const About& about);

// The whole graph, or one page of it, for other programs of drawing: nodes "q1", "v1", labels in the same words; the tooltip of an edge is
// its answer as a condition of the language.
std::string graph_dot(const view::GraphView& view, const view::FoldedView& shown);

}  // namespace betony::drawing
