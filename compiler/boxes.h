// compiler/boxes.h: sentences that are boxes over ordered columns, and what can be asked of them by splitting.
//
// A grid has columns, at least one; column c has `widths[c]` cells. A box takes an inclusive range of cells in every column. A
// row is what a person wrote; it owns one box or several (a set of values with a hole in it), which may overlap.
// A row has a colour (its outcome, or its side); rows of different colours that share a point disagree.
//
//   which boxes meet         `meetings`, and of rows, sorted, bounded and counted: `overlaps`
//   what no box covers       how much, exactly: `uncovered_share`; where: `uncovered_boxes`; one point: `uncovered_point`
//   who adds nothing         `covered_rows`
//
// Splitting   A region of the grid and the boxes that touch it are cut in two where n log n summed over both sides is
//             least (n: boxes touching the side), which for rows grown from a tree is nearly the tree's own cut. Few boxes
//             are compared pair by pair; a pair is told only in the region that holds the lower corner of what it shares,
//             so once. The uncovered share is all - sum of |box minus its earlier neighbours|, in whole numbers: weights over
//             a common denominator a column, in 128 bits where the sum of everything fits in, by GMP where not.
// Cost        n boxes that are nearly a partition: O(n log n) steps; pairs cost what there is to tell. Independent boxes that
//             overlap in heaps split without end: use compiler/cover.h, which changes over to another method in time.
//             Memory: some 100 bytes a box and 8 a pair that meets; 100,000 rows of 7 columns stay below 64 MiB.
// Errors      Every search counts steps against `Spending`; past it, `BudgetMet` (compiler/graph.h), or a result that says
//             it is not complete, as told below. Nothing else is thrown. Any boxes are welcome, one grid a call.
// Tested by   tests/unit/boxes_test.cpp, tests/property/boxes_test.cpp, tests/published/scale_test.cpp
#pragma once

#include <cstdint>
#include <optional>
#include <span>
#include <utility>
#include <vector>

#include "compiler/graph.h"
#include "compiler/problem.h"

namespace betony {

using Coordinate = std::uint32_t;

// What a search may cost; several may share one.
struct Spending {
  std::uint64_t left = 400'000'000;
  void spend(std::uint64_t steps) {
    if (left < steps) left = 0, throw BudgetMet("steps over boxes");
    left -= steps;
  }
};

class Boxes {
 public:
  explicit Boxes(std::vector<std::uint32_t> widths) : widths_(std::move(widths)) {}

  // A box of the row last begun. low[c] <= high[c] < widths[c] (as everywhere in this file).
  void add(std::span<const Coordinate> low, std::span<const Coordinate> high);
  // Begins the next row: rows are numbered from 0 in this order. A row without a box covers nothing.
  void begin_row(Index colour = 0);
  // A row of one box.
  void add_row(std::span<const Coordinate> low, std::span<const Coordinate> high, Index colour = 0) { begin_row(colour), add(low, high); }
  void reserve(std::size_t rows);

  const std::vector<std::uint32_t>& widths() const { return widths_; }
  std::size_t columns() const { return widths_.size(); }
  std::size_t size() const { return rows_.size(); }
  std::size_t row_count() const { return first_.size(); }
  const Coordinate* low(std::size_t box) const { return corners_.data() + box * 2 * widths_.size(); }
  const Coordinate* high(std::size_t box) const { return low(box) + widths_.size(); }
  Index row(std::size_t box) const { return rows_[box]; }
  std::size_t first(Index row) const { return first_[row]; }  // its boxes: first(row) .. last(row) - 1
  std::size_t last(Index row) const { return row + 1 < first_.size() ? first_[row + 1] : rows_.size(); }
  Index colour(Index row) const { return colours_[row]; }

  bool meet(std::size_t a, std::size_t b) const;
  bool contains(std::size_t box, std::span<const Coordinate> point) const;

 private:
  std::vector<std::uint32_t> widths_;
  std::vector<Coordinate> corners_;  // a box: its lows, then its highs
  std::vector<Index> rows_;    // of each box
  std::vector<std::uint32_t> first_;
  std::vector<Index> colours_;
};

// How much each cell weighs (0 or more): sums over a common denominator a column.
class Weights {
 public:
  __extension__ typedef unsigned __int128 Narrow;
  explicit Weights(const std::vector<std::vector<Rational>>& cells);
  static Weights counting(const std::vector<std::uint32_t>& widths);  // every cell 1

  // All points together weigh less than 2^126 (in units of the common denominators): use `narrow`, else `wide`.
  bool fits() const { return fits_; }
  Narrow narrow(const Coordinate* low, const Coordinate* high) const;
  mpz_class wide(const Coordinate* low, const Coordinate* high) const;
  const std::vector<std::uint64_t>& narrow_sums(std::size_t column) const { return narrow_[column]; }
  const std::vector<mpz_class>& wide_sums(std::size_t column) const { return wide_[column]; }
  const mpz_class& all() const { return all_; }
  Rational share(const mpz_class& part) const;  // of all; 0 where all weighs nothing

 private:
  Weights() = default;
  void settle(std::vector<std::vector<mpz_class>> sums);
  bool fits_ = false;
  std::vector<std::vector<std::uint64_t>> narrow_;  // [column][cell]: what lies before the cell
  std::vector<std::vector<mpz_class>> wide_;        // the same; empty where narrow_ is used
  mpz_class all_;
};

mpz_class to_mpz(Weights::Narrow number);

// ---------------------------------------------------------------- which meet

struct Meeting {
  std::uint32_t earlier, later;  // boxes that share a point, earlier < later
  friend auto operator<=>(const Meeting&, const Meeting&) = default;
};

// Every pair of boxes that share a point, of one row too, once, in no order to rely on. BudgetMet past `most`.
std::vector<Meeting> meetings(const Boxes& boxes, Spending& spending, std::size_t most = 4'000'000);

enum class Between { all_rows, unlike_colours };

struct Overlaps {
  std::vector<std::pair<Index, Index>> rows;  // the first `most` pairs, first < second, ascending
  std::uint64_t count = 0;                    // of all pairs
  bool complete = true;                       // false: the budget was met; these pairs are true, and there may be more
};

Overlaps overlaps(const Boxes& boxes, Between between, std::size_t most, Spending& spending);
// The same out of meetings that are known.
Overlaps overlaps(const Boxes& boxes, const std::vector<Meeting>& meetings, Between between, std::size_t most, Spending& spending);
// One pair, if there is any; BudgetMet.
std::optional<std::pair<Index, Index>> one_overlap(const Boxes& boxes, Between between, Spending& spending);

// ---------------------------------------------------------------- what is not covered

// Of all points, by weight. Not exact where the budget was met: the share then lies from `low` to `high`.
Share uncovered_share(const Boxes& boxes, const Weights& weights, const std::vector<Meeting>& meetings, Spending& spending);

struct Uncovered {
  Boxes boxes;            // each wholly uncovered, a row each; they may overlap
  bool complete = true;   // together all that is uncovered; false: the budget or `most` was met
};

// Few boxes: the pieces left over by splitting, merged; or greedily grown, if those are fewer. `most`: pieces in the making.
Uncovered uncovered_boxes(const Boxes& boxes, std::size_t most, Spending& spending);

// Disjoint boxes told in fewer: joined where two make one, and grown where that gives fewer. All of it, in any case.
Boxes in_few_boxes(Boxes disjoint, Spending& spending);

// A point that no box covers. Where the boxes' sizes do not add up to the region's there is one, and it is found
// without a way back; else by search. BudgetMet.
std::optional<std::vector<Coordinate>> uncovered_point(const Boxes& boxes, Spending& spending);

// For each row, whether other rows of its colour cover it wholly. Costs what the uncovered share costs, of the meetings of
// one colour; rows of unlike colours cost nothing. A row without a box is covered. BudgetMet.
std::vector<bool> covered_rows(const Boxes& boxes, const std::vector<Meeting>& meetings, Spending& spending);

}  // namespace betony
