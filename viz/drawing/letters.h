// viz/drawing/letters.h: how wide words are, in the fonts that drawings are set in, and where they are parted.
//
//   Letters letters;
//   letters.width("How is the skin?", {13.6});                // px
//   letters.lines("a long name ...", {15}, 200);              // each at most 200 px wide; words are parted where they must
//
// Measured with Pango, which finds a font for every script; what is measured is set in the same families (`families`). Names in a
// script that runs from right to left are kept apart from what stands around them: "age 40" stays in this order, whatever age is called.
//
// Ownership  a value of its own; not for two threads at once.
// Errors     none: what no font has is shown as a box with its number, and measured so.
// Cost       a layout for each text, remembered.
#pragma once

#include <memory>
#include <string>
#include <unordered_map>
#include <vector>

#include "viz/drawing/scene.h"

namespace betony::drawing {

extern const char* const families;         // as CSS and Pango both read it

class Letters {
 public:
  Letters();
  ~Letters();
  Letters(const Letters&) = delete;
  double width(const std::string& text, const Face& face);
  double depth(const std::string& text, const Face& face);   // how far its ink reaches below the line it stands on
  // At most `most` lines; the last then ends in "…".
  std::vector<std::string> lines(const std::string& text, const Face& face, double most_width, std::size_t most = 1000);

 private:
  struct Layout;
  std::unique_ptr<Layout> layout_;
  std::unordered_map<std::string, double> known_;
};

// The text on one line, control letters out of it, and with marks around each run of words that go from right to left.
std::string one_line(const std::string& text);

}  // namespace betony::drawing
