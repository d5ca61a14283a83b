// viz/drawing/scene.h: what stands on a leaf: words, lines, boxes and marks, in px from the upper left corner.
//
// A leaf is put together as a Scene, once; SVG, PNG and PDF are made of it (drawing.h). Whatever stands on it has a role (Ink, Line,
// Fill), never a colour; look.cpp knows what a role looks like by day, by night and on paper.
//
// Ownership  plain values.
// Errors     none.
// Tested by  tests/drawing/look_test.cpp
#pragma once

#include <optional>
#include <string>
#include <variant>
#include <vector>

#include "compiler/problem.h"
#include "grammar/tree.h"

namespace betony::drawing {

enum class Ink { ink, soft, betony, water, ochre, slate, paper };
Ink ink_of(tree::Verdict verdict, bool with_care);

struct Face {
  double size = 15;
  bool italic = false;
  unsigned weight = 400;                  // 400, 500, 600
  friend bool operator==(const Face&, const Face&) = default;
};

struct Words {
  enum class Anchor { begin, middle, end };
  double x = 0, y = 0;                    // y: the line that letters stand on
  std::string text;
  Face face;
  Ink ink = Ink::ink;
  Anchor anchor = Anchor::begin;
  double width = 0;                       // as measured with the leaf's own fonts
  bool on_patch = false;                  // on a patch of paper
  double turned = 0;                      // degrees, about x, y
};

// hair: parts, never carries; line: 1.2; edge: of graphs; thick: an edge of the way that is shown; ground: what verdicts stand on
enum class Line { hair, line, edge, thick, ground, dotted, dashed, twofold, ban };
struct Point { double x = 0, y = 0; };
struct Stroke {
  Line line = Line::line;
  Point from;
  struct Piece { Point first, second, to; };  // of a Bezier curve; a straight piece has first == its beginning and second == to
  std::vector<Piece> pieces;
  bool has_arrow = false;                 // at its end
  void straight(Point to) {
    const Point begin = pieces.empty() ? from : pieces.back().to;
    pieces.push_back({begin, to, to});
  }
  void curve(Point first, Point second, Point to) { pieces.push_back({first, second, to}); }
};

// Of verdicts their pattern; both: where two sentences meet; full and open: the bars of two sentences.
enum class Fill { none, paper, advised, care, allowed, silent, discouraged, withheld, referred, outside, both, full, open };
Fill fill_of(tree::Verdict verdict, bool with_care);
struct Box {
  double x = 0, y = 0, width = 0, height = 0;
  Fill fill = Fill::none;
  bool outlined = true;
};

// A verdict's or a problem's mark, in a square of `size`; x, y: its upper left corner.
struct Mark {
  enum class Kind { advised, care, allowed, silent, discouraged, withheld, outside, referred, error, question, note, witness };
  Kind kind = Kind::allowed;
  double x = 0, y = 0, size = 17;
  Ink ink = Ink::ink;
};
Mark::Kind mark_of(tree::Verdict verdict, bool with_care);
Mark::Kind mark_of(Severity severity);

using Shape = std::variant<Words, Stroke, Box, Mark>;

struct Scene {
  double width = 720, height = 0;
  std::string title, description;         // told to whoever does not see it
  std::vector<Shape> shapes;              // what comes later lies above
  template <class Kind>
  void add(Kind shape) {
    shapes.emplace_back(std::in_place_type<Kind>, std::move(shape));
  }
};

}  // namespace betony::drawing
