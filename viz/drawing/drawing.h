// viz/drawing/drawing.h: leaves for reviewers, as SVG, PNG and PDF.
//
//   const Scene scene = graph_leaf(view, folded, about);      // leaf_graph.h; each kind of leaf has a header of its own
//   std::string svg = svg_of(scene);
//   std::string png = png_of(svg), pdf = pdf_of(svg);         // PNG at twice the size in px
//
// The front header of this room. May include: the standard library, Pango, Cairo, librsvg, Graphviz, compiler/. Never viz/terminal/.
//
// Every leaf has a title, the words for whoever does not see it, a key in words, the edition and the digest of what was read, and
// the caution where it tells of persons. The same source gives the same bytes, run after run, on the same fonts.
//
// Ownership  plain values and bytes.
// Errors     DrawingTrouble, with words for people, where a library cannot do it.
// Cost       SVG O(shapes); PNG and PDF as librsvg.
// Tested by  tests/drawing/ (kept drawings, and laid out in a browser)
#pragma once

#include <stdexcept>

#include "viz/drawing/scene.h"

namespace betony::drawing {

struct DrawingTrouble : std::runtime_error {
  using std::runtime_error::runtime_error;
};

// What stands at the foot of every leaf.
struct About {
  std::string title, edition;             // of the ruleset
  std::string digest;                     // the first letters of that of the source
  std::string caution;
};

std::string svg_of(const Scene& scene);
std::string png_of(const std::string& svg);
std::string pdf_of(const std::string& svg);

}  // namespace betony::drawing
