// viz/drawing/scales.h: the scale of a drawing over a finding: where its parts lie, the numbers along it, and whose each limit is.
//
//   const Stretched across(axis, 82, 596);                 // from, to: px; to may lie before from
//   across.of(2).begin, across.at(17.5);
//   put_ticks_below(leaf, ruleset, axis, across, y);
//
// A scale is stretched between its limits: each part has a room of its own beside that of its length, so that none is too narrow
// for a mark. Words have equal rooms.
//
// Tested by  tests/drawing/maps_test.cpp, pictures_test.cpp
#pragma once

#include "compiler/view/axis.h"
#include "viz/drawing/leaf.h"

namespace betony::drawing {

// What a leaf over findings is made of: view::MapView, view::DoseView.
template <class View>
struct FindingsLeaf {
  const Ruleset* ruleset = nullptr;             // borrowed, as the next
  const View* view = nullptr;
  view::Namer name_of;
  std::string person;                           // whose answers hold; empty for everybody
};

class Stretched {
 public:
  static constexpr double least_part = 20;      // px
  Stretched(const view::Axis& axis, double from, double to);
  struct Run {
    double begin = 0, end = 0;                  // begin lies toward `from`
    double low() const { return std::min(begin, end); }
    double size() const { return std::max(begin, end) - low(); }
    double middle() const { return (begin + end) / 2; }
  };
  Run of(std::size_t part) const { return runs_[part]; }
  Run of(std::size_t first, std::size_t last) const { return {runs_[first].begin, runs_[last].end}; }
  // Where a value lies that the part holds.
  double at(std::size_t part, const Value& value) const;

 private:
  const view::Axis& axis_;                      // borrowed
  std::vector<Run> runs_;
};

// A number as it stands on a scale whose title names the unit.
std::string scale_words(const Ruleset& ruleset, const Dimension& dimension, const std::string& unit, const Rational& number);
std::string near_words(const Rational& number);   // "0.25"; "near 0.3333": a fraction is exact in the words of a leaf, and near on its scales
std::string unit_words(const Ruleset& ruleset, const Dimension& dimension, const std::string& unit);  // "in h, how long ago"

// How much room the words along a scale take: below it their height, at its left their width.
double room_below(Leaf& leaf, const Ruleset& ruleset, const view::Axis& axis, const Stretched& places);
double room_at_left(Letters& letters, const Ruleset& ruleset, const view::Axis& axis);
void put_below(Leaf& leaf, const Ruleset& ruleset, const view::Axis& axis, const Stretched& places, double y);
void put_at_left(Leaf& leaf, const Ruleset& ruleset, const view::Axis& axis, const Stretched& places, double x);

// Limits with the words of the sentence that made them, at the end of a hairline: above the figure in as many rows as they need, or at
// its right one under the other. Those that there is no room for get a letter, and are told by `rest`.
class Limits {
 public:
  Limits(Leaf& leaf, const Ruleset& ruleset, const view::Namer& namer) : leaf_(leaf), ruleset_(ruleset), namer_(namer) {}
  static constexpr double right_room = 128;     // px beside the figure
  // The height above the figure that they need.
  double room_above(const view::Axis& axis, const Stretched& places, double left, double right);
  void put_above(const view::Axis& axis, const Stretched& places, double left, double right, double y);
  void put_at_right(const view::Axis& axis, const Stretched& places, double x, double top, double bottom);
  // "a: under 14 Cel, line 12; from 16 Cel, line 13"
  const std::vector<std::string>& rest() const { return rest_; }

 private:
  struct Above {
    double x = 0, middle = 0;                   // of the limit, of its words
    std::size_t row = 0;
    std::string words, of;
    bool is_letter = false;
  };
  std::vector<Above> above(const view::Axis& axis, const Stretched& places, double left, double right);
  std::vector<std::string> words_of(const view::Axis& axis, std::size_t part) const;
  std::string letter();

  Leaf& leaf_;
  const Ruleset& ruleset_;
  const view::Namer& namer_;
  std::vector<std::string> rest_;
};

}  // namespace betony::drawing
