// tests/unit/small_boxes.h: small grids at random, and what there is to know of them by a look at every point.
#pragma once

#include <functional>
#include <set>

#include "compiler/boxes.h"
#include "tests/bench/tables.h"

namespace betony::testing {

using Point = std::vector<Coordinate>;
using RowPair = std::pair<Index, Index>;

inline void for_each_point(const std::vector<std::uint32_t>& widths, const std::function<void(const Point&)>& look) {
  Point point(widths.size(), 0);
  for (std::size_t c = 0; c < widths.size();) {
    look(point);
    for (c = 0; c < widths.size() && ++point[c] == widths[c]; ++c) point[c] = 0;
  }
}

struct Small {
  Boxes boxes{{}};
  std::vector<std::vector<Rational>> weights;
};

// Up to four columns of up to six cells, up to fourteen rows of up to three boxes, two colours, weights of n/d and 0.
inline Small small_table(std::uint64_t seed, std::int64_t denominators) {
  bench::Chance chance(seed);
  Small made;
  std::vector<std::uint32_t> widths;
  for (std::int64_t c = chance.from(1, 4); c > 0; --c) widths.push_back(static_cast<std::uint32_t>(chance.from(1, 6)));
  for (const std::uint32_t width : widths) {
    made.weights.emplace_back();
    for (std::uint32_t cell = 0; cell < width; ++cell) {
      Rational weight(static_cast<long>(chance.from(0, 4)), static_cast<long>(chance.from(1, denominators)));
      weight.canonicalize();
      made.weights.back().push_back(weight);
    }
  }
  made.boxes = Boxes(widths);
  Point low(widths.size()), high(widths.size());
  for (std::int64_t rows = chance.from(0, 14); rows > 0; --rows) {
    made.boxes.begin_row(static_cast<Index>(chance.from(0, 1)));
    const std::int64_t several = chance.from(0, 6);
    for (std::int64_t b = several < 5 ? 1 : several == 5 ? 3 : 0; b > 0; --b) {
      for (std::size_t c = 0; c < widths.size(); ++c) {
        low[c] = static_cast<Coordinate>(chance.from(0, widths[c] - 1));
        high[c] = static_cast<Coordinate>(chance.from(low[c], chance.from(0, 2) ? widths[c] - 1 : low[c]));
      }
      made.boxes.add(low, high);
    }
  }
  return made;
}

// What there is to know of a small table, by a look at every point.
struct Known {
  std::set<RowPair> all_rows, unlike_colours;
  Rational uncovered = 0, all = 0;
  std::set<Point> open;
  std::vector<bool> covered;
};

inline Known look_everywhere(const Small& table) {
  Known known;
  known.covered.assign(table.boxes.row_count(), true);
  for_each_point(table.boxes.widths(), [&](const Point& point) {
    std::set<Index> rows;
    for (std::size_t b = 0; b < table.boxes.size(); ++b)
      if (table.boxes.contains(b, point)) rows.insert(table.boxes.row(b));
    Rational weight = 1;
    for (std::size_t c = 0; c < point.size(); ++c) weight *= table.weights[c][point[c]];
    known.all += weight;
    if (rows.empty()) known.open.insert(point), known.uncovered += weight;
    for (const Index a : rows) {
      bool alone = true;
      for (const Index b : rows) {
        if (a != b && table.boxes.colour(a) == table.boxes.colour(b)) alone = false;
        if (a >= b) continue;
        known.all_rows.insert({a, b});
        if (table.boxes.colour(a) != table.boxes.colour(b)) known.unlike_colours.insert({a, b});
      }
      if (alone) known.covered[a] = false;
    }
  });
  return known;
}

inline std::set<Point> points_of(const Boxes& boxes) {
  std::set<Point> points;
  for_each_point(boxes.widths(), [&](const Point& point) {
    for (std::size_t b = 0; b < boxes.size(); ++b)
      if (boxes.contains(b, point)) points.insert(point);
  });
  return points;
}

}  // namespace betony::testing
