// tests/bench/tables.h: tables of boxes from a seed, for benchmarks and tests, with what is in them known beforehand.
//
// A table "grown from a tree" is what published check 3.4 describes: a random decision tree over mixed columns, numbers cut
// in two and choices split value by value, one row a leaf. Such a table has no overlap and no gap. Then some rows are
// widened (overlaps) or narrowed (gaps) in one column. Everything is kept twice: in whole numbers as they would be written
// down (`rows`), where what to expect is worked out, and in cells between the numbers in use (`boxes`), which the engines get.
#pragma once

#include <algorithm>
#include <array>
#include <cstdint>
#include <random>
#include <string>
#include <vector>

#include "compiler/boxes.h"

namespace betony::bench {

struct Range {
  std::int64_t low, high;  // inclusive
};
using Row = std::vector<Range>;

inline bool meet(const Row& a, const Row& b) {
  for (std::size_t c = 0; c < a.size(); ++c)
    if (a[c].low > b[c].high || b[c].low > a[c].high) return false;
  return true;
}

inline mpz_class volume(const Row& row) {
  mpz_class product = 1;
  for (const Range& range : row) product *= static_cast<long>(range.high - range.low + 1);
  return product;
}

struct Table {
  Row whole;              // the grid as written
  std::vector<Row> rows;
  std::vector<Index> outcomes;
  mpz_class lost = 0;     // in whole numbers: what narrowing took away (of rows that did not overlap)
  std::vector<std::pair<Index, Row>> added;  // row and slab: what widening added (in a column, beside what the row had)
  Boxes boxes{{}};
  std::vector<std::vector<Rational>> weights;

  Rational share(const mpz_class& part) const {
    Rational share(part, volume(whole));
    share.canonicalize();
    return share;
  }
};

// Cuts each column at the numbers in use; colours are the outcomes.
inline void settle(Table& table) {
  std::vector<std::uint32_t> widths;
  std::vector<std::vector<std::int64_t>> begins;  // of each cell
  table.weights.clear();
  for (std::size_t c = 0; c < table.whole.size(); ++c) {
    std::vector<std::int64_t> at{table.whole[c].low};
    for (const Row& row : table.rows) {
      at.push_back(row[c].low);
      if (row[c].high < table.whole[c].high) at.push_back(row[c].high + 1);
    }
    std::sort(at.begin(), at.end());
    at.erase(std::unique(at.begin(), at.end()), at.end());
    table.weights.emplace_back();
    for (std::size_t i = 0; i < at.size(); ++i)
      table.weights.back().emplace_back(static_cast<long>((i + 1 < at.size() ? at[i + 1] : table.whole[c].high + 1) - at[i]));
    widths.push_back(static_cast<std::uint32_t>(at.size()));
    begins.push_back(std::move(at));
  }
  table.boxes = Boxes(widths);
  table.boxes.reserve(table.rows.size());
  std::vector<Coordinate> low(widths.size()), high(widths.size());
  for (std::size_t i = 0; i < table.rows.size(); ++i) {
    for (std::size_t c = 0; c < widths.size(); ++c) {
      const auto cell = [&](std::int64_t x) {
        return static_cast<Coordinate>(std::upper_bound(begins[c].begin(), begins[c].end(), x) - begins[c].begin() - 1);
      };
      low[c] = cell(table.rows[i][c].low);
      high[c] = cell(table.rows[i][c].high);
    }
    table.boxes.add_row(low, high, table.outcomes[i]);
  }
}

class Chance {
 public:
  explicit Chance(std::uint64_t seed) : engine_(seed) {}
  std::int64_t from(std::int64_t low, std::int64_t high) {
    return low + static_cast<std::int64_t>(engine_() % static_cast<std::uint64_t>(high - low + 1));
  }

 private:
  std::mt19937_64 engine_;
};

// Columns: numbers 0 .. numbers_to and choices of 5 values, mixed.
inline Row mixed_columns(std::size_t numbers, std::size_t choices, std::int64_t numbers_to) {
  Row whole;
  for (std::size_t i = 0; i < std::max(numbers, choices); ++i) {
    if (i < numbers) whole.push_back({0, numbers_to});
    if (i < choices) whole.push_back({0, 4});
  }
  return whole;
}

// Rows that part the grid: leaves of a random tree, exactly `count`, of 4 outcomes.
inline Table partition_table(const Row& whole, std::size_t count, Chance& chance) {
  Table table;
  table.whole = whole;
  table.rows = {whole};
  while (table.rows.size() < count) {
    const std::size_t leaf = static_cast<std::size_t>(chance.from(0, static_cast<std::int64_t>(table.rows.size()) - 1));
    const std::size_t c = static_cast<std::size_t>(chance.from(0, static_cast<std::int64_t>(whole.size()) - 1));
    const Range range = table.rows[leaf][c];
    if (range.low == range.high) continue;
    const bool choice = whole[c].high == 4;
    if (choice && table.rows.size() + 4 > count) continue;
    std::vector<std::int64_t> cuts;  // where a new leaf begins
    if (!choice) cuts.push_back(chance.from(range.low + 1, range.high));
    for (std::int64_t x = range.low + 1; choice && x <= range.high; ++x) cuts.push_back(x);
    for (std::size_t i = 0; i < cuts.size(); ++i) {
      table.rows.push_back(table.rows[leaf]);
      table.rows.back()[c] = {cuts[i], i + 1 < cuts.size() ? cuts[i + 1] - 1 : range.high};
    }
    table.rows[leaf][c].high = cuts[0] - 1;
  }
  for (std::size_t i = 0; i < count; ++i) table.outcomes.push_back(static_cast<Index>(chance.from(0, 3)));
  return table;
}

// Widens and narrows so many rows, each in one column; no row both.
inline void disturb(Table& table, std::size_t widened, std::size_t narrowed, Chance& chance) {
  std::vector<bool> touched(table.rows.size());
  const auto pick = [&](auto usable) {
    while (true) {
      const std::size_t i = static_cast<std::size_t>(chance.from(0, static_cast<std::int64_t>(table.rows.size()) - 1));
      const std::size_t c = static_cast<std::size_t>(chance.from(0, static_cast<std::int64_t>(table.whole.size()) - 1));
      if (touched[i] || !usable(table.rows[i][c], table.whole[c])) continue;
      touched[i] = true;
      return std::pair{i, c};
    }
  };
  for (; narrowed > 0; --narrowed) {
    const auto [i, c] = pick([](const Range& range, const Range&) { return range.low < range.high; });
    Range& range = table.rows[i][c];
    Row gap = table.rows[i];
    const std::int64_t length = chance.from(1, std::max<std::int64_t>(1, (range.high - range.low) / 2));
    if (chance.from(0, 1)) gap[c].high = range.low + length - 1, range.low += length;
    else gap[c].low = range.high - length + 1, range.high -= length;
    table.lost += volume(gap);
  }
  for (; widened > 0; --widened) {
    const auto [i, c] = pick([](const Range& range, const Range& whole) { return range.low > whole.low || range.high < whole.high; });
    Range& range = table.rows[i][c];
    Row slab = table.rows[i];
    const std::int64_t length = chance.from(1, range.high - range.low + 1);
    if (range.high == table.whole[c].high || (range.low > table.whole[c].low && chance.from(0, 1))) {
      slab[c] = {std::max(table.whole[c].low, range.low - length), range.low - 1};
      range.low = slab[c].low;
    } else {
      slab[c] = {range.high + 1, std::min(table.whole[c].high, range.high + length)};
      range.high = slab[c].high;
    }
    table.added.emplace_back(static_cast<Index>(i), std::move(slab));
  }
}

inline Table grown_table(std::size_t columns, std::size_t count, std::size_t widened, std::size_t narrowed, std::uint64_t seed) {
  Chance chance(seed);
  const std::size_t choices = columns / 3;  // 3: 2 numbers and a choice; 5: 4 and 1; 7: 5 and 2
  Table table = partition_table(mixed_columns(columns - choices, choices, count > 10'000 ? 999'999 : 9'999), count, chance);
  disturb(table, widened, narrowed, chance);
  settle(table);
  return table;
}

// Boxes that know nothing of one another: 2 choices (a value, or any of them) and 5 numbers (a range of a tenth to nine tenths).
// From 50 rows on splitting takes hundreds of thousands of pieces.
inline Table independent_table(std::size_t count, std::uint64_t seed) {
  Chance chance(seed);
  Table table;
  table.whole = mixed_columns(5, 2, 9'999);
  for (std::size_t i = 0; i < count; ++i) {
    Row row = table.whole;
    for (Range& range : row) {
      if (range.high == 4 && chance.from(0, 1)) continue;
      const std::int64_t length = range.high == 4 ? 0 : chance.from(1'000, 8'999), low = chance.from(0, range.high - length);
      range = {low, low + length};
    }
    table.rows.push_back(std::move(row));
    table.outcomes.push_back(static_cast<Index>(chance.from(0, 3)));
  }
  settle(table);
  return table;
}

// What must overlap, by how the table was made: rows that met nobody meet only where one of them was widened.
inline std::vector<std::pair<Index, Index>> planted_pairs(const Table& table) {
  std::vector<std::pair<Index, Index>> pairs;
  for (const auto& [row, slab] : table.added)
    for (Index other = 0; other < table.rows.size(); ++other)
      if (other != row && meet(slab, table.rows[other])) pairs.emplace_back(std::min(row, other), std::max(row, other));
  std::sort(pairs.begin(), pairs.end());
  pairs.erase(std::unique(pairs.begin(), pairs.end()), pairs.end());
  return pairs;
}

// Worked out on the rows as written: all pairs that meet, ascending.
inline std::vector<std::pair<Index, Index>> pairs_that_meet(const std::vector<Row>& rows) {
  std::vector<std::pair<Index, Index>> pairs;
  for (Index i = 0; i < rows.size(); ++i)
    for (Index j = i + 1; j < rows.size(); ++j)
      if (meet(rows[i], rows[j])) pairs.emplace_back(i, j);
  return pairs;
}

}  // namespace betony::bench
