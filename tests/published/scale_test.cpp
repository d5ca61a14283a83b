// Published check: tables of 3, 5 and 7 mixed columns with about 500, 1,000 and 1,500 rows, made by turning a decision tree
// into a table and widening or narrowing a tenth of the rows in one column. Calvanese, Dumas, Laurson, Maggi, Montali, Teinemaa, BPM
// 2016, doi 10.1007/978-3-319-45348-4_13 (their tables were not seen: these are grown from a seed). Before it is disturbed such a table
// has no overlap and no gap, so what must overlap and the volume lost are known from its making, in whole numbers.
#include <catch2/catch.hpp>

#include "compiler/cover.h"
#include "tests/bench/tables.h"

using namespace betony;
using namespace betony::bench;

namespace {

struct Size {
  std::size_t columns, rows;
};
constexpr Size sizes[] = {{3, 499}, {3, 998}, {3, 1492}, {5, 500}, {5, 1000}, {5, 1500}, {7, 500}, {7, 1000}, {7, 1500}};

Rational covered_share(const Boxes& boxes, const Weights& weights) {
  Cover cover(boxes);
  const Share share = cover.uncovered_share(weights, Cover::Method::splitting);
  REQUIRE(share.exact);
  return 1 - share.low;
}

}  // namespace

TEST_CASE("a table as its tree left it has no overlap and no gap") {
  for (const auto& [columns, rows] : sizes) {
    INFO(columns << " columns, " << rows << " rows");
    const Table table = grown_table(columns, rows, 0, 0, 1);
    REQUIRE(table.boxes.row_count() == rows);
    Cover cover(table.boxes);
    CHECK(cover.overlaps(Between::all_rows, 10).count == 0);
    CHECK(cover.uncovered_share(Weights(table.weights)).high == 0);
    CHECK(cover.uncovered_boxes().boxes.size() == 0);
    CHECK_FALSE(cover.uncovered_point().witness);
  }
}

TEST_CASE("every planted overlap of a tenth of the rows widened is found, and no other, and nothing is lost") {
  for (const auto& [columns, rows] : sizes) {
    INFO(columns << " columns, " << rows << " rows");
    const Table table = grown_table(columns, rows, rows / 10, 0, 2);
    REQUIRE(table.added.size() == rows / 10);
    const auto planted = planted_pairs(table);
    REQUIRE(planted == pairs_that_meet(table.rows));
    REQUIRE(planted.size() >= rows / 10);
    Cover cover(table.boxes);
    const Overlaps found = cover.overlaps(Between::all_rows, 1'000'000);
    CHECK(found.complete);
    CHECK(found.rows == planted);
    CHECK(found.count == planted.size());
    std::size_t disagreeing = 0;
    for (const auto& [a, b] : planted) disagreeing += table.outcomes[a] != table.outcomes[b];
    CHECK(cover.overlaps(Between::unlike_colours, 1'000'000).count == disagreeing);
    CHECK(cover.uncovered_share(Weights(table.weights)).high == 0);
    CHECK(cover.uncovered_boxes().boxes.size() == 0);
  }
}

TEST_CASE("the volume lost by a tenth of the rows narrowed is told to the last unit, in no more boxes than rows were narrowed") {
  for (const auto& [columns, rows] : sizes) {
    INFO(columns << " columns, " << rows << " rows");
    const Table table = grown_table(columns, rows, 0, rows / 10, 3);
    const Weights weights(table.weights);
    REQUIRE(table.lost > 0);
    Cover cover(table.boxes);
    CHECK(cover.overlaps(Between::all_rows, 10).count == 0);
    for (const Cover::Method method : {Cover::Method::splitting, Cover::Method::graph}) {
      const Share share = cover.uncovered_share(weights, method);
      CHECK(share.exact);
      CHECK(share.low == table.share(table.lost));
    }
    const Uncovered uncovered = cover.uncovered_boxes();
    CHECK(uncovered.complete);
    CHECK(uncovered.boxes.size() <= rows / 10 + rows / 300);
    CHECK(covered_share(uncovered.boxes, weights) == table.share(table.lost));
    std::size_t outside = 0;  // together with the volume: exactly what was lost
    for (std::size_t a = 0; a < uncovered.boxes.size(); ++a) {
      bool meets = false;
      for (std::size_t b = 0; b < table.boxes.size() && !meets; ++b) {
        meets = true;
        for (std::size_t c = 0; c < columns; ++c)
          meets = meets && uncovered.boxes.low(a)[c] <= table.boxes.high(b)[c] && table.boxes.low(b)[c] <= uncovered.boxes.high(a)[c];
      }
      outside += !meets;
    }
    CHECK(outside == uncovered.boxes.size());
  }
}

TEST_CASE("widened and narrowed rows in one table are told apart, by splitting and by the graph alike") {
  for (const auto& [columns, rows] : sizes) {
    INFO(columns << " columns, " << rows << " rows");
    const Table table = grown_table(columns, rows, rows / 20, rows / 20, 4);
    const Weights weights(table.weights);
    Cover cover(table.boxes);
    CHECK(cover.overlaps(Between::all_rows, 1'000'000).rows == pairs_that_meet(table.rows));
    const Share split = cover.uncovered_share(weights, Cover::Method::splitting), graph = cover.uncovered_share(weights, Cover::Method::graph);
    CHECK(split.exact);
    CHECK(split.low == graph.low);
    CHECK(split.low <= table.share(table.lost));
    CHECK(covered_share(cover.uncovered_boxes().boxes, weights) == split.low);
  }
}
