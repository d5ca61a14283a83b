// compiler/view/axis.h: one finding or measure as the scale of a drawing: the parts that a practice tells apart, and who drew each limit.
//
//   Axis axis = axis_of(here, *named_axis(ruleset, "age"));      // a part for each extent
//   axis.join({true, false, ...});                               // neighbours that are alike become one part
//   find_limits(here, axis, among);
//
// Errors     NothingToDraw, with words for people; BudgetMet (graph.h).
// Tested by  tests/drawing/views_test.cpp
#pragma once

#include <stdexcept>

#include "compiler/view/practice_space.h"

namespace betony::view {

// Why something cannot be drawn, for people.
struct NothingToDraw : std::runtime_error {
  using std::runtime_error::runtime_error;
};

// What stands on a scale: a finding or a measure of the ruleset.
struct AxisName {
  bool is_measure = false;
  Index index = 0;
  friend bool operator==(const AxisName&, const AxisName&) = default;
};
// By its name, or one it is also called by.
std::optional<AxisName> named_axis(const Ruleset& ruleset, const std::string& name);

// Who a sentence is for people: "ice ban, line 31". no_index: `Applies to`.
using Namer = std::function<std::string(Index sentence)>;
// Each name once, with ";" between.
std::string named(const std::vector<Index>& sentences, const Namer& name_of);

struct Axis {
  struct Part {
    Index first = 0, last = 0;              // extents
  };
  // Between a part and the next one, where both are numbers.
  struct Limit {
    struct Side {
      Index sentence = no_index;            // no_index: `Applies to`
      bool begins = false, ends = false;    // going up it begins to speak for some, or no longer speaks for some
    };
    std::vector<Side> sides;                // in source order
  };
  std::string name, unit;                   // unit: empty where there is none
  Index level = 0, in_variable = 0;         // of the space; the dimension in its variable
  Dimension dimension;
  std::vector<Part> parts;                  // in order
  std::vector<Limit> limits;                // one less than parts; empty where it is told in words

  bool is_numbers(std::size_t part) const { return dimension.extents[parts[part].first].kind == Extent::Kind::numbers; }
  std::size_t numbers() const;              // how many parts are numbers: all but `never`, or none
  // The part that holds the value; none where it is out of range.
  std::optional<std::size_t> part_of(const Value& value) const;
  std::vector<bool> extents(std::size_t first, std::size_t last) const;  // of these parts
  // joined[i]: part i + 1 becomes one with part i.
  void join(const std::vector<bool>& joined);
};

constexpr std::size_t most_parts = 60;      // of an axis that is drawn
// Nothing where the practice does not ask for it.
std::optional<Axis> axis_of(const PracticeSpace& here, AxisName name);
// The same; NothingToDraw where there is none, or it has too many parts.
Axis drawn_axis(const PracticeSpace& here, AxisName name);
// Who is looked at: those who agree with the profile in all but these axes and what they are made of, and who are possible and not
// referred or outside, were it not for the axes. NothingToDraw where nobody can be so.
struct LookedAt {
  Graph::Node who;
  std::vector<std::string> held, open;      // in words: of the findings that the conditions hang on, what is held, and which stay open
  bool leaves_out = false;                  // some are left out who are referred or outside whatever the axes say
};
LookedAt looked_at(PracticeSpace& here, const Profile* profile, const std::vector<AxisName>& axes, const std::vector<Graph::Node>& conditions);
// Whose value lies in the part.
Graph::Node in_part(PracticeSpace& here, const Axis& axis, std::size_t part);
// Those of `condition` whose value lies in the part, whatever its value: nothing hangs on the axis any more, where it stands alone
// in its variable.
Graph::Node seen_at(PracticeSpace& here, const Axis& axis, std::size_t part, Graph::Node condition);
// Who of the practice's sentences (with those of its doses, or without), of the red flags and of `Applies to` begins or ends at each
// limit, for somebody of `among`.
void find_limits(PracticeSpace& here, Axis& axis, Graph::Node among, bool with_doses);
// "under 18", "from 18", "up to 18", "over 18", "at 18": how a side speaks of the limit behind a part.
std::string limit_words(const Ruleset& ruleset, const Axis& axis, std::size_t part, const Axis::Limit::Side& side);

}  // namespace betony::view
