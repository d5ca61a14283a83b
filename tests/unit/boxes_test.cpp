// compiler/boxes.h against a look at every point of small grids, and at the sizes of published check 3.4 against
// decision graphs, which share no code with it.
#include "compiler/boxes.h"

#include <catch2/catch.hpp>

#include "tests/unit/small_boxes.h"

using namespace betony;
using namespace betony::testing;

namespace {

std::vector<RowPair> listed(const std::set<RowPair>& pairs) { return {pairs.begin(), pairs.end()}; }

Graph::Node node_of(Graph& graph, const Boxes& boxes, std::size_t box) {
  std::vector<Graph::Node> sides;
  for (std::size_t c = boxes.columns(); c-- > 0;) {
    std::vector<bool> cells(boxes.widths()[c]);
    for (Coordinate cell = boxes.low(box)[c]; cell <= boxes.high(box)[c]; ++cell) cells[cell] = true;
    sides.push_back(graph.literal(static_cast<std::uint32_t>(c), cells));
  }
  return graph.all(sides);
}

// The union of some boxes, those that begin alike combined first.
Graph::Node union_of(Graph& graph, const Boxes& boxes) {
  std::vector<std::size_t> order(boxes.size());
  for (std::size_t b = 0; b < order.size(); ++b) order[b] = b;
  std::sort(order.begin(), order.end(), [&](std::size_t a, std::size_t b) {
    return std::lexicographical_compare(boxes.low(a), boxes.low(a) + boxes.columns(), boxes.low(b), boxes.low(b) + boxes.columns());
  });
  std::vector<Graph::Node> nodes;
  for (const std::size_t b : order) nodes.push_back(node_of(graph, boxes, b));
  return graph.any(nodes);
}

// Nested steps: in no cut does either side lose more than one box.
Boxes staircase(std::uint32_t steps) {
  Boxes boxes({steps + 1, steps + 1});
  for (std::uint32_t i = 0; i < steps; ++i) {
    const Coordinate low[] = {0, 0}, high[] = {i, steps - 1 - i};
    boxes.add_row(low, high);
  }
  return boxes;
}

}  // namespace

TEST_CASE("splitting of boxes agrees with a look at every point of 3,000 small grids") {
  std::size_t with_overlap = 0, with_gap = 0, covered_rows_seen = 0, wide = 0;
  for (std::uint64_t seed = 0; seed < 3'000; ++seed) {
    INFO("seed " << seed);
    const std::int64_t denominators[] = {1, 6, 1'000'000'007};  // the last is past 128 bits
    const Small table = small_table(seed, denominators[seed % 3]);
    const Known known = look_everywhere(table);
    const Weights weights(table.weights);
    wide += !weights.fits();
    Spending spending;

    const std::vector<Meeting> met = meetings(table.boxes, spending);
    for (const Between between : {Between::all_rows, Between::unlike_colours}) {
      const std::set<RowPair>& wanted = between == Between::all_rows ? known.all_rows : known.unlike_colours;
      const Overlaps found = overlaps(table.boxes, between, 1'000, spending);
      CHECK(found.rows == listed(wanted));
      CHECK(found.count == wanted.size());
      CHECK(found.complete);
      CHECK(overlaps(table.boxes, met, between, 1'000, spending).rows == listed(wanted));
      const auto one = one_overlap(table.boxes, between, spending);
      CHECK(one.has_value() == !wanted.empty());
      if (one) CHECK(wanted.count(*one) == 1);
    }

    const Share share = uncovered_share(table.boxes, weights, met, spending);
    CHECK(share.exact);
    CHECK(share.low == share.high);
    CHECK(share.low == (known.all == 0 ? Rational(0) : Rational(known.uncovered / known.all)));

    const Uncovered uncovered = uncovered_boxes(table.boxes, 10'000, spending);
    CHECK(uncovered.complete);
    CHECK(points_of(uncovered.boxes) == known.open);
    const auto point = uncovered_point(table.boxes, spending);
    CHECK(point.has_value() == !known.open.empty());
    if (point) CHECK(known.open.count(*point) == 1);

    CHECK(covered_rows(table.boxes, met, spending) == known.covered);
    with_overlap += !known.all_rows.empty();
    with_gap += !known.open.empty();
    for (std::size_t row = 0; row < known.covered.size(); ++row) covered_rows_seen += known.covered[row];
  }
  CHECK(with_overlap > 1'000);
  CHECK(with_gap > 1'000);
  CHECK(covered_rows_seen > 1'000);
  CHECK(wide > 500);
}

TEST_CASE("a gap that is one box is told as one box, whatever cut it") {
  for (std::uint64_t seed = 1; seed <= 5; ++seed) {
    const bench::Table table = bench::grown_table(5, 400, 0, 1, seed);
    Spending spending;
    const Uncovered uncovered = uncovered_boxes(table.boxes, 1'000, spending);
    CHECK(uncovered.boxes.size() == 1);
  }
}

TEST_CASE("what crosses is told in two boxes that overlap, not in three that do not") {
  Boxes corners({3, 3});  // the four corners of a square; what is left is a cross
  for (const Coordinate x : {0, 2})
    for (const Coordinate y : {0, 2}) {
      const Coordinate at[] = {x, y};
      corners.add_row(at, at);
    }
  Spending spending;
  const Uncovered cross = uncovered_boxes(corners, 100, spending);
  REQUIRE(cross.boxes.size() == 2);
  CHECK(points_of(cross.boxes).size() == 5);
}

TEST_CASE("splitting and the decision graph agree on tables of 200 to 1,500 rows") {
  struct Size { std::size_t columns, rows; };
  for (const auto& [columns, rows] : {Size{3, 200}, Size{5, 400}, Size{7, 200}, Size{3, 1500}}) {
    INFO(columns << " columns, " << rows << " rows");
    const bench::Table table = bench::grown_table(columns, rows, rows / 20, rows / 20, columns + rows);
    const Weights weights(table.weights);
    Spending spending;
    const auto met = meetings(table.boxes, spending);
    CHECK(overlaps(table.boxes, met, Between::all_rows, 1'000'000, spending).rows == bench::pairs_that_meet(table.rows));

    Graph graph(table.boxes.widths(), {20'000'000, 4'000'000'000, nullptr});
    const Graph::Node open = graph.negation(union_of(graph, table.boxes));
    std::vector<std::vector<Rational>> shares = table.weights;
    for (std::size_t c = 0; c < shares.size(); ++c)
      for (Rational& share : shares[c]) share /= static_cast<long>(table.whole[c].high - table.whole[c].low + 1);
    CHECK(uncovered_share(table.boxes, weights, met, spending).low == graph.probability(open, shares));
    const Uncovered uncovered = uncovered_boxes(table.boxes, 1'000'000, spending);
    CHECK(union_of(graph, uncovered.boxes) == open);
  }
}

TEST_CASE("a pair of rows with several boxes counts once, in the order of rows, and past the bound it is still counted") {
  Boxes boxes({10});
  for (Index row = 0; row < 4; ++row) {
    boxes.begin_row(row % 2);
    for (const Coordinate cell : {0, 4, 8}) boxes.add(std::vector<Coordinate>{cell}, std::vector<Coordinate>{cell + 1});
  }
  Spending spending;
  CHECK(meetings(boxes, spending).size() == 18);
  const Overlaps all = overlaps(boxes, Between::all_rows, 100, spending);
  CHECK(all.rows == std::vector<RowPair>{{0, 1}, {0, 2}, {0, 3}, {1, 2}, {1, 3}, {2, 3}});
  const Overlaps some = overlaps(boxes, Between::unlike_colours, 3, spending);
  CHECK(some.rows == std::vector<RowPair>{{0, 1}, {0, 3}, {1, 2}});
  CHECK(some.count == 4);
  CHECK(some.complete);
}

TEST_CASE("of very many pairs the first are kept") {
  Boxes boxes({2});
  for (Index row = 0; row < 100; ++row) boxes.add_row(std::vector<Coordinate>{0}, std::vector<Coordinate>{1});
  Spending spending;
  const Overlaps found = overlaps(boxes, Between::all_rows, 5, spending);
  CHECK(found.rows == std::vector<RowPair>{{0, 1}, {0, 2}, {0, 3}, {0, 4}, {0, 5}});
  CHECK(found.count == 4'950);
}

TEST_CASE("every ceiling over boxes is told") {
  const bench::Table table = bench::independent_table(60, 3);
  const Weights weights(table.weights);
  Spending plenty;
  const auto met = meetings(table.boxes, plenty);

  SECTION("steps, of overlaps: what was found is true, and it says that there may be more") {
    Spending little{500};
    const Overlaps found = overlaps(table.boxes, Between::all_rows, 10'000, little);
    CHECK_FALSE(found.complete);
    CHECK(found.count < bench::pairs_that_meet(table.rows).size());
  }
  SECTION("steps, of the uncovered share: it lies between two bounds, nearer with more steps") {
    Spending enough{4'000'000'000};
    const Share exact = uncovered_share(table.boxes, weights, met, enough);
    REQUIRE(exact.exact);
    Rational last = 2;
    for (const std::uint64_t steps : {0, 10'000, 30'000, 100'000}) {
      Spending little{steps};
      const Share share = uncovered_share(table.boxes, weights, met, little);
      CHECK_FALSE(share.exact);
      CHECK(share.low <= exact.low);
      CHECK(share.high >= exact.high);
      CHECK(share.high - share.low < last);
      last = share.high - share.low;
    }
  }
  SECTION("steps, of uncovered boxes: those found are uncovered") {
    Spending little{100'000};
    const Uncovered found = uncovered_boxes(table.boxes, 1'000'000, little);
    CHECK_FALSE(found.complete);
    REQUIRE(found.boxes.size() > 0);
    for (std::size_t a = 0; a < found.boxes.size(); ++a)
      for (std::size_t b = 0; b < table.boxes.size(); ++b)
        for (std::size_t c = 0, apart = 0; c <= 7; ++c) {
          if (c == 7) CHECK(apart > 0);
          else apart += found.boxes.low(a)[c] > table.boxes.high(b)[c] || found.boxes.high(a)[c] < table.boxes.low(b)[c];
        }
  }
  SECTION("uncovered boxes in the making") { CHECK_FALSE(uncovered_boxes(table.boxes, 100, plenty).complete); }
  SECTION("boxes that meet") { CHECK_THROWS_WITH(meetings(table.boxes, plenty, 10), "boxes that meet"); }
  SECTION("steps, of the others") {
    Spending little{10};
    CHECK_THROWS_WITH(meetings(table.boxes, little), "steps over boxes");
    CHECK_THROWS_WITH(uncovered_point(table.boxes, little), "steps over boxes");
    CHECK_THROWS_WITH(covered_rows(table.boxes, met, little), "steps over boxes");
    CHECK_THROWS_WITH(one_overlap(staircase(100), Between::all_rows, little), "steps over boxes");
  }
  SECTION("cuts within cuts") {
    Spending much{4'000'000'000};
    CHECK_FALSE(uncovered_boxes(staircase(700), 1'000'000, much).complete);
  }
}

TEST_CASE("tables of nothing are answered") {
  Spending spending;
  const Boxes no_rows({3, 2});
  CHECK(meetings(no_rows, spending).empty());
  CHECK(uncovered_share(no_rows, Weights::counting({3, 2}), {}, spending).low == 1);
  CHECK(uncovered_boxes(no_rows, 10, spending).boxes.size() == 1);
  CHECK(uncovered_point(no_rows, spending) == Point{0, 0});

  Boxes no_columns({});
  CHECK(uncovered_point(no_columns, spending) == Point{});
  no_columns.add_row({}, {});
  no_columns.add_row({}, {});
  CHECK(uncovered_point(no_columns, spending) == std::nullopt);
  CHECK(overlaps(no_columns, Between::all_rows, 10, spending).rows == std::vector<RowPair>{{0, 1}});
  CHECK(covered_rows(no_columns, meetings(no_columns, spending), spending) == std::vector<bool>{true, true});
}
