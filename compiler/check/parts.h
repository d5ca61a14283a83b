// compiler/check/parts.h: the parts of a condition that could be struck out, and what striking does.
//
// A part is what an editor can take away so that a readable condition is left: an item of a list, a whole
// `unless`, the whole of `in …`, one value of `is V or W`, one end of `from N to M`. The written condition
// (grammar/tree.h) and the typed one (ruleset.h) are walked in step: the first says what can be struck and how
// it then reads, the second what it means.
// Source    LANGUAGE.md, "Idle".
// Tested by tests/property, whose referee strikes every part on every profile.
#pragma once

#include <set>

#include "compiler/space.h"

namespace betony {

struct Part {
  enum class Kind { item, value, low_end, high_end, whole_in, whole_unless };
  Kind kind = Kind::item;
  Place place;               // the words to strike
  bool widens = true;        // the sentence then speaks for more persons, else for fewer
  bool in_unless = false;
  Index inside = no_index;   // the part that holds this one
  const tree::Condition* item = nullptr;  // of an item
};

// One written condition in step with its typed form.
struct Shape {
  enum class Kind { atom, negation, all, any, at_least };
  Kind kind = Kind::atom;
  const tree::Condition* written = nullptr;
  const Cond* typed = nullptr;
  std::vector<Shape> below;
  std::vector<Index> parts;  // of a list: its items; of an atom: its values or its two ends; no_index: cannot be struck
  // Of an atom with values: which of them name each word that the typed form asks for, in its order.
  std::vector<std::vector<Index>> named_by;
};

using Struck = IndexSet;  // parts, by number

// All parts of a sentence, a term or another condition, the outer before the inner.
class Dissection {
 public:
  // A sentence of the ruleset; one without a condition has no parts.
  Dissection(const Ruleset& ruleset, Index sentence);
  // A condition that stands by itself, and how it was written.
  Dissection(const Ruleset& ruleset, const Cond& typed, const tree::Condition& written);

  const std::vector<Part>& parts() const { return parts_; }
  // Steps that it takes to put all parts together: a list of many values is copied for each of them.
  std::uint64_t cost() const { return cost_; }
  // Where it holds without these parts; all conditions that are needed for it.
  Form without(Meaning& meaning, Reading reading, const Struck& struck) const;
  std::vector<Form> asked(Meaning& meaning, Reading reading) const;
  // For every part: where the whole holds without it. One pass over the condition, not one a part: what the rest of
  // a list does is put together from both its ends. The space reaches everything asked.
  std::vector<Graph::Node> each_struck(Space& space, Reading reading) const;
  // Whether something readable is left: no list without an item, no range without an end.
  bool leaves_something(const Struck& struck) const;
  // Whether it is one of the conditions that stand side by side in `in …`, as the cells of a table's row do.
  bool is_cell(Index part) const;
  // What to write: how each condition that holds struck parts reads then ("in chill and age over 60, in line 9").
  std::string remedy(const Struck& struck, const std::string& line) const;

 private:
  class Walk;
  Shape shape(const tree::Condition& written, const Cond& typed, bool widens, bool in_unless, Index inside);
  void lists(Shape& shape, bool widens, bool in_unless, Index inside);
  void values(Shape& shape, bool widens, bool in_unless, Index inside);
  Index add(Part part);
  Place place(Span span) const { return {file_, span}; }

  const Ruleset& ruleset_;
  std::uint32_t file_ = 0;
  bool stands_alone_ = false;
  std::optional<Shape> when_, unless_;
  Index whole_in_ = no_index, whole_unless_ = no_index;
  std::vector<Part> parts_;
  std::uint64_t cost_ = 0;
};

}  // namespace betony
