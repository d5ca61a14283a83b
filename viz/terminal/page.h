// viz/terminal/page.h: the layout of a page in a terminal: a book and its margin, in 80 columns.
//
//   ><  Error      foot soak: this can never be followed     saltmarsh.bty, line 41
//                                                                   problem 1 of 7
//
//     41  Indicated in cold hands and skin is broken, for "mending" [WN 9].
//                                     ==============
//
//     Every person whom line 41 speaks for is held back by raw skin ban.
//     Witness    cold hands, skin broken, age 40: foot soak is ]=[ withheld
//     Write      despite raw skin ban, in line 41; or take line 41 out.
//
// Everything is wrapped at words. Text from outside may be handed in as it is: letters.h shows it
// harmlessly and measures it.
#pragma once

#include <string>
#include <string_view>
#include <utility>
#include <vector>

#include "viz/terminal/marks.h"

namespace betony::terminal {

struct Surface {
  unsigned width = 80;
  bool colour = false;
};

// Text of which stretches stand in an ink. A stretch is not parted at a line's end.
struct Inked {
  struct Stretch {
    std::size_t begin, end;
    Ink ink;
  };
  std::string text;
  std::vector<Stretch> stretches;

  Inked() = default;
  Inked(std::string_view plain) : text(plain) {}
  Inked(const std::string& plain) : text(plain) {}
  Inked(const char* plain) : text(plain) {}
  Inked& add(std::string_view more, Ink ink = Ink::plain);
};

// The text with a stop at its end, where none stands there.
std::string with_stop(std::string text);

// A line of a source, as it is set on a page.
struct SourceLine {
  unsigned number = 0;                                   // 0: none is shown
  std::string text;                                      // without its indentation
  bool continues = false;                                // a later line of a sentence: set 2 further in
  std::vector<std::pair<std::size_t, std::size_t>> marked;  // bytes of `text` to underline
};

class Page {
 public:
  explicit Page(Surface surface) : surface_(surface) {}

  void blank();
  void rule();
  void paragraph(const Inked& text, unsigned indent = 0);
  // Two blanks, the label, and the text hung at `column`.
  void hung(std::string_view label, const Inked& text, unsigned column = 13);
  // The head of a block; the place stands at the right, or on a line of its own where there is no room. Which of all it is stands
  // at the right below.
  bool fits_beside(std::string_view matter, std::string_view place) const;
  void heading(const ProblemMark& mark, std::string_view matter, std::string_view place, std::string_view which = {});
  // A verdict and what it is of, and below it labels and texts.
  void verdict(const VerdictMark& mark, std::string_view name);
  void detail(std::string_view label, const Inked& text);
  // Lines with their numbers, all with the same text column; `underline` is repeated under marked words.
  void source(const std::vector<SourceLine>& lines, std::string_view underline);

  const std::string& text() const { return text_; }

 private:
  void line(std::string_view set);
  void set(const Inked& text, std::string first, const std::string& further);
  void source_line(const SourceLine& line, unsigned digits, std::string_view underline);

  Surface surface_;
  std::string text_;
};

}  // namespace betony::terminal
