// viz/drawing/placing.h: where Graphviz puts boxes of known sizes, and how it bends the edges between them.
//
//   Placing placing;
//   auto a = placing.box({{120, 20}, {{60, 18}, {60, 18}}}), b = placing.box({{80, 40}, {}}, true);
//   placing.edge(a, 1, b);                                // from the second answer of a
//   Placed placed = placing.place();
//
// Sizes and places in px, y downward. Boxes at the foot stand on one line. Only sizes are handed over, no words, so that a place
// does not hang on the fonts that Graphviz finds.
//
// Errors     DrawingTrouble where Graphviz gives up.
// Cost       that of dot. One placing at a time in a process (Graphviz is not for threads).
#pragma once

#include <memory>

#include "viz/drawing/drawing.h"

namespace betony::drawing {

struct Placed {
  double width = 0, height = 0;
  std::vector<Point> boxes;               // upper left corners
  std::vector<Stroke> edges;              // in the order in which they were given
};

class Placing {
 public:
  struct Size { double width = 0, height = 0; };
  struct Form {
    Size head;                            // the question
    std::vector<Size> answers;            // side by side below it; all of one height
  };
  std::size_t box(const Form& form, bool at_foot = false);
  void edge(std::size_t from, std::size_t answer, std::size_t to);
  Placed place() const;

 private:
  struct Edge { std::size_t from, answer, to; };
  std::vector<Form> forms_;
  std::vector<bool> at_foot_;
  std::vector<Edge> edges_;
};

// The same kind of graph as text, for other programs: written by cgraph, in the order in which it is told.
class DotWriter {
 public:
  explicit DotWriter(const std::string& name);
  ~DotWriter();
  DotWriter(const DotWriter&) = delete;
  // `label` is what Graphviz calls HTML-like.
  void node(const std::string& name, const std::string& kind, const std::string& label);
  void edge(const std::string& from, const std::string& port, const std::string& to, const std::string& answer);
  std::string take() const;

 private:
  struct Graph;
  std::unique_ptr<Graph> graph_;
};

}  // namespace betony::drawing
