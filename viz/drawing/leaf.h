// viz/drawing/leaf.h: what all leaves share: head, figure, ground, notes and foot.
//
//   Cold plunge                                    lines 26-38
//   its questions, in the order ...         2 questions folded
//   __________________________________________________________
//                        the figure
//   ══════════════════════════════════════════════ the ground
//   Folded      what stands under the zigzag
//   Saltmarsh bath-house, edition 4, source 5f1c2e
//
// Words are measured as they are put down and parted where they would reach too far, so that none leaves its place.
#pragma once

#include "viz/drawing/drawing.h"
#include "viz/drawing/letters.h"

namespace betony::drawing {

constexpr double margin = 14, label_room = 124;   // label_room: of the labels of notes, at the left

// "cold plunge" as a heading: "Cold plunge".
std::string as_heading(const std::string& name);

class Leaf {
 public:
  // What stands at the right of the head.
  struct Aside {
    std::string text;
    Ink ink = Ink::soft;
    std::optional<Mark::Kind> mark;
  };
  Leaf(Letters& letters, double width, const std::string& title, const std::string& sub, const std::vector<Aside>& asides = {});

  Scene& scene() { return scene_; }
  Letters& letters() { return letters_; }
  double width() const { return scene_.width; }
  double y() const { return y_; }           // where what comes next begins
  void go_to(double y) { y_ = y; }

  // ---- words, measured
  double width_of(const std::string& text, const Face& face) { return letters_.width(one_line(text), face); }
  // Puts a line of words; gives its width.
  double put(double x, double y, const std::string& text, const Face& face = {}, Ink ink = Ink::ink, Words::Anchor anchor = Words::Anchor::begin,
             bool on_patch = false);
  // As many lines as it takes, `step` px apart; gives how many.
  std::size_t put_lines(double x, double y, const std::string& text, const Face& face, Ink ink, double most_width, double step, std::size_t most = 1000);
  void mark(Mark::Kind kind, Ink ink, double x, double y, double size = 17);
  // A verdict's mark and its word, in its ink; gives the width of both.
  double verdict(double x, double y, tree::Verdict verdict, bool with_care, double size = 15, bool on_patch = false, Ink* other = nullptr);
  double verdict_width(tree::Verdict verdict, bool with_care, double size = 15);

  // ---- below the figure
  void ground();
  void note(const std::string& label, const std::string& text, Ink ink = Ink::ink);
  void soft_note(const std::string& text);
  struct Key {                              // of the key in words
    std::optional<Mark::Kind> mark;
    std::optional<Fill> fill;
    std::optional<Line> line;
    bool has_arrow = false;
    Ink ink = Ink::ink;
    std::string words;
  };
  void key(const std::string& label, const std::vector<Key>& keys);

  Scene finish(const About& about, const std::string& description);

 private:
  Letters& letters_;
  Scene scene_;
  double y_ = 0;
};

std::string in_100(double share);                                    // "62 in 100", "under 1 in 100"
std::string verdict_words(tree::Verdict verdict, bool with_care);   // "advised", "advised, with care"

}  // namespace betony::drawing
