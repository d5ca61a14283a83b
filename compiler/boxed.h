// compiler/boxed.h: what sentences ask, as boxes over the cells of a universe, for the work of boxes.h.
//
// A column is a variable of the universe: a finding, cut. A condition over single findings, with `and`, `or`, `not` and
// terms, becomes the boxes whose union it is; straight from the words, for in a table of a hundred thousand rows a
// column has tens of thousands of cells, and one flag a cell and row (condition.h) would be more than memory holds.
//
// Not boxed  conditions that ask for measures, or for findings that a measure binds, for tallies, Leading, choices, verdicts,
//            or for so many of a list; and those that would take more than `most_boxes`.
// Cost       O(log cells) a test.
// Tested by  tests/unit/boxed_test.cpp
#pragma once

#include "compiler/boxes.h"
#include "compiler/universe.h"

namespace betony {

class Boxing {
 public:
  static constexpr std::size_t most_boxes = 256;  // of one condition

  // Both are borrowed and outlive this.
  Boxing(const Ruleset& ruleset, const Universe& universe) : ruleset_(ruleset), universe_(universe) {}

  // The number of cells of each column.
  std::vector<std::uint32_t> widths() const;

  // Adds the boxes where `when` holds and `unless` does not to the row last begun; they may overlap. False, with
  // nothing added, if that cannot be boxed.
  bool add(Boxes& to, const Cond& when, const Cond* unless = nullptr);
  // Those where the condition does not hold.
  bool add_opposite(Boxes& to, const Cond& condition);

 private:
  using Ranges = std::vector<std::pair<Coordinate, Coordinate>>;  // of cells, both ends meant; ascending, none touches the next
  struct Part {
    Index column;
    Ranges cells;
  };
  using Product = std::vector<Part>;  // columns ascending; those that are not named are whole
  using Sum = std::vector<Product>;

  bool sum(const Cond& condition, bool opposite, Sum& out);
  bool test(const Test& test, bool opposite, Sum& out);
  bool joined(const std::vector<Cond>& parts, bool opposite, Sum& out);
  bool met(const std::vector<Cond>& parts, bool opposite, Sum& out);
  bool put(Boxes& to, const Sum& sum);

  const Ruleset& ruleset_;
  const Universe& universe_;
  std::size_t visited_ = 0;  // parts of the condition at hand, terms opened
};

}  // namespace betony
