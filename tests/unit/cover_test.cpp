// compiler/cover.h and compiler/cover_graph.h: every method against the others, and against a look at every point.
#include "compiler/cover.h"

#include <catch2/catch.hpp>

#include "tests/unit/small_boxes.h"

using namespace betony;
using namespace betony::testing;
using Method = Cover::Method;

namespace {

std::vector<std::uint32_t> shuffled_order(std::size_t columns, std::uint64_t seed) {
  bench::Chance chance(seed);
  std::vector<std::uint32_t> order(columns);
  for (std::uint32_t c = 0; c < columns; ++c) order[c] = c;
  for (std::size_t c = columns; c > 1; --c)
    std::swap(order[c - 1], order[static_cast<std::size_t>(chance.from(0, static_cast<std::int64_t>(c) - 1))]);
  return order;
}

bool is_open(const Boxes& boxes, const Point& point) {
  for (std::size_t b = 0; b < boxes.size(); ++b)
    if (boxes.contains(b, point)) return false;
  return true;
}

}  // namespace

TEST_CASE("every method of a cover agrees with a look at every point of 2,000 small grids") {
  std::size_t with_gap = 0;
  for (std::uint64_t seed = 0; seed < 2'000; ++seed) {
    INFO("seed " << seed);
    const Small table = small_table(seed + 50'000, seed % 2 ? 6 : 1'000'000'007);
    const Known known = look_everywhere(table);
    const Weights weights(table.weights);
    const Rational share = known.all == 0 ? Rational(0) : Rational(known.uncovered / known.all);
    with_gap += !known.open.empty();
    for (const Method method : {Method::by_shape, Method::splitting, Method::graph, Method::search}) {
      INFO("method " << static_cast<int>(method));
      Cover cover(table.boxes);
      const Share found = cover.uncovered_share(weights, method);
      CHECK(found.exact);
      CHECK(found.low == share);
      CHECK(found.high == share);
      const Uncovered uncovered = cover.uncovered_boxes(method);
      CHECK(uncovered.complete);
      CHECK(points_of(uncovered.boxes) == known.open);
      const auto point = cover.uncovered_point(method);
      CHECK(point.settled);
      CHECK(point.witness.has_value() == !known.open.empty());
      if (point.witness) CHECK(known.open.count(*point.witness) == 1);
    }
    Cover cover(table.boxes);
    const Overlaps overlaps = cover.overlaps(Between::unlike_colours, 1'000);
    CHECK(std::set<std::pair<Index, Index>>(overlaps.rows.begin(), overlaps.rows.end()) == known.unlike_colours);
    CHECK(cover.overlaps(Between::all_rows, 1'000).count == known.all_rows.size());
    CHECK(cover.one_overlap(Between::unlike_colours).witness.has_value() == !known.unlike_colours.empty());
    CHECK(cover.covered_rows() == known.covered);

    Spending spending;
    const CoverGraph graph(table.boxes, shuffled_order(table.boxes.columns(), seed), spending);
    CHECK(graph.verify() == "");
    CHECK(weights.share(graph.uncovered(weights)) == share);
  }
  CHECK(with_gap > 1'000);
}

TEST_CASE("splitting and the graph agree on independent boxes, to the last digit, in any order of columns") {
  const bench::Table table = bench::independent_table(40, 11);
  const Weights weights(table.weights);
  Cover split(table.boxes);
  const Share share = split.uncovered_share(weights, Method::splitting);
  REQUIRE(share.exact);
  for (std::uint64_t seed = 0; seed < 6; ++seed) {
    Spending spending;
    const CoverGraph graph(table.boxes, shuffled_order(7, seed), spending);
    CHECK(graph.verify() == "");
    CHECK(weights.share(graph.uncovered(weights)) == share.low);
  }
}

TEST_CASE("the graph of a table forgets what it does not need, and keeps what it does") {
  const bench::Table table = bench::grown_table(7, 1'500, 0, 150, 4);
  const Weights weights(table.weights);
  Spending spending;
  const CoverGraph graph(table.boxes, order_for(table.boxes, spending), spending);
  CHECK(graph.verify() == "");
  CHECK(weights.share(graph.uncovered(weights)) == table.share(table.lost));
  Boxes open(table.boxes.widths());
  graph.for_each_open_box([&](const Point& low, const Point& high) { return open.add_row(low, high), true; });
  CHECK(meetings(open, spending).empty());
  Rational sum = 0;
  for (std::size_t b = 0; b < open.size(); ++b)
    sum += weights.share(weights.fits() ? to_mpz(weights.narrow(open.low(b), open.high(b))) : weights.wide(open.low(b), open.high(b)));
  CHECK(sum == table.share(table.lost));
}

TEST_CASE("a graph prints itself, root first") {
  Boxes boxes({3, 4});
  const Coordinate low[] = {1, 0}, high[] = {2, 1}, corner[] = {0, 3};
  boxes.add_row(low, high);
  boxes.add_row(corner, corner);
  Spending spending;
  CHECK(CoverGraph(boxes, {0, 1}, spending).print() ==
        "4: column 0 ? 0 -> 2, 1-2 -> 3\n"
        "3: column 1 ? 0-1 -> covered, 2-3 -> open\n"
        "2: column 1 ? 0-2 -> open, 3 -> covered\n");
  CHECK(CoverGraph(Boxes({2}), {0}, spending).print() == "open\n");
}

TEST_CASE("where splitting meets its part of the budget the graph takes over, and the answer is exact") {
  const bench::Table table = bench::independent_table(120, 5);
  const Weights weights(table.weights);
  Cover forced(table.boxes, {.steps = 10'000'000});
  const Share half = forced.uncovered_share(weights, Method::splitting);
  CHECK_FALSE(half.exact);
  Cover cover(table.boxes, {.steps = 10'000'000});
  const Share share = cover.uncovered_share(weights);
  CHECK(share.exact);
  CHECK(half.low <= share.low);
  CHECK(share.low <= half.high);
  CHECK(cover.steps_left() > 0);
  const auto point = cover.uncovered_point();
  REQUIRE(point.witness);
  CHECK(is_open(table.boxes, *point.witness));
}

TEST_CASE("where every budget of a cover is met the answer says what is known") {
  const bench::Table table = bench::independent_table(100, 6);
  const Weights weights(table.weights);
  Cover::Limit limit;
  SECTION("steps") { limit.steps = 200'000; }
  SECTION("nodes, and pairs that meet") { limit.nodes = 1'000, limit.meetings = 100, limit.steps = 4'000'000; }
  SECTION("nodes, and steps") { limit.nodes = 1'000, limit.steps = 2'000'000; }
  SECTION("nodes, and pieces") { limit.nodes = 1'000, limit.pieces = 500, limit.steps = 3'000'000; }
  const Rational truth = Cover(table.boxes).uncovered_share(weights).low;
  Cover cover(table.boxes, limit);
  const Share share = cover.uncovered_share(weights);
  CHECK_FALSE(share.exact);
  CHECK(share.low <= truth);
  CHECK(truth <= share.high);
  const Uncovered uncovered = Cover(table.boxes, limit).uncovered_boxes();
  CHECK_FALSE(uncovered.complete);
  for (std::size_t b = 0; b < uncovered.boxes.size(); ++b) {
    CHECK(is_open(table.boxes, Point(uncovered.boxes.low(b), uncovered.boxes.low(b) + 7)));
    CHECK(is_open(table.boxes, Point(uncovered.boxes.high(b), uncovered.boxes.high(b) + 7)));
  }
}

TEST_CASE("not settled is said of a point, of an overlap and of rows that others cover") {
  const bench::Table table = bench::independent_table(100, 6);
  Cover::Limit limit;
  limit.steps = 100;
  Cover cover(table.boxes, limit);
  CHECK_FALSE(cover.uncovered_point().settled);
  CHECK_FALSE(cover.one_overlap(Between::all_rows).settled);
  CHECK(cover.covered_rows() == std::nullopt);
  CHECK_FALSE(cover.overlaps(Between::all_rows, 10).complete);
  Boxes wide(std::vector<std::uint32_t>(CoverGraph::most_columns + 1, 1));
  Spending spending;
  CHECK_THROWS_WITH(CoverGraph(wide, std::vector<std::uint32_t>(wide.columns()), spending), "more columns than one graph may ask for");
}

TEST_CASE("as many columns as a graph may ask for are asked, one below the other") {
  const std::size_t columns = CoverGraph::most_columns;
  Boxes boxes(std::vector<std::uint32_t>(columns, 2));
  boxes.add_row(std::vector<Coordinate>(columns, 0), std::vector<Coordinate>(columns, 0));
  boxes.add_row(std::vector<Coordinate>(columns, 1), std::vector<Coordinate>(columns, 1));
  Spending spending;
  std::vector<std::uint32_t> order(columns);
  for (std::uint32_t c = 0; c < columns; ++c) order[c] = c;
  const CoverGraph graph(boxes, order, spending);
  CHECK(graph.size() == 2 * columns - 1);
  CHECK(graph.verify() == "");
  const Weights points = Weights::counting(boxes.widths());
  CHECK(points.all() - graph.uncovered(points) == 2);
  REQUIRE(graph.uncovered_point());
  CHECK(is_open(boxes, *graph.uncovered_point()));
  Cover cover(boxes);
  CHECK(cover.uncovered_share(points).high == points.share(points.all() - 2));
  CHECK(cover.uncovered_point().witness);
}

TEST_CASE("of the six orders the one that is chosen gives a graph no more than twice the smallest") {
  for (std::uint64_t seed = 1; seed <= 6; ++seed) {
    for (const bench::Table& table :
         {bench::grown_table(7, 600, 0, 60, seed), bench::grown_table(5, 500, 25, 25, seed), bench::independent_table(60, seed)}) {
      Spending spending{4'000'000'000};
      std::size_t least = ~std::size_t{0};
      for (const auto& order : orders_to_try(table.boxes)) least = std::min(least, CoverGraph(table.boxes, order, spending).size());
      const std::size_t chosen = CoverGraph(table.boxes, order_for(table.boxes, spending), spending).size();
      INFO("seed " << seed << ", " << table.rows.size() << " rows: " << chosen << " nodes, the smallest has " << least);
      CHECK(chosen <= 2 * least);
    }
  }
}
