#include "compiler/graph.h"

#include <catch2/catch.hpp>
#include <random>

using betony::BudgetMet;
using betony::Graph;
using betony::Rational;
using Node = Graph::Node;

namespace {

std::string level_name(std::uint32_t level) { return std::string(1, static_cast<char>('a' + level)); }

// The leaf number at one combination of cells.
std::int64_t at(const Graph& graph, Node node, const std::vector<std::size_t>& cells) {
  while (!graph.is_leaf(node)) node = graph.children(node)[cells[graph.level(node)]];
  return graph.number(node);
}

template <class Visit>
void for_each_combination(const std::vector<std::uint32_t>& widths, Visit&& visit) {
  std::vector<std::size_t> cells(widths.size(), 0);
  for (;;) {
    visit(cells);
    std::size_t level = 0;
    while (level < widths.size() && ++cells[level] == widths[level]) cells[level++] = 0;
    if (level == widths.size()) return;
  }
}

const std::vector<std::uint32_t> widths{2, 3, 2, 4};

// A random condition, with its value at every combination kept beside it.
struct Sample {
  Node node;
  std::vector<std::int64_t> values;
};

Sample random_condition(Graph& graph, std::mt19937& random, int depth) {
  if (depth == 0) {
    const std::uint32_t level = static_cast<std::uint32_t>(random() % widths.size());
    std::vector<bool> cells(widths[level]);
    for (std::size_t c = 0; c < cells.size(); ++c) cells[c] = random() % 2;
    Sample sample{graph.literal(level, cells), {}};
    for_each_combination(widths, [&](const auto& combination) { sample.values.push_back(cells[combination[level]]); });
    return sample;
  }
  const Sample a = random_condition(graph, random, depth - 1), b = random_condition(graph, random, depth - 1);
  const int operation = static_cast<int>(random() % 3);
  Sample sample{operation == 0 ? graph.both(a.node, b.node) : operation == 1 ? graph.either(a.node, b.node) : graph.without(a.node, b.node), {}};
  for (std::size_t i = 0; i < a.values.size(); ++i)
    sample.values.push_back(operation == 0 ? a.values[i] & b.values[i] : operation == 1 ? a.values[i] | b.values[i] : a.values[i] & ~b.values[i]);
  return sample;
}

}  // namespace

TEST_CASE("a graph asks the same question once and prints itself root first") {
  Graph graph({2, 3}, {});
  const Node a = graph.literal(0, {false, true}), b = graph.literal(1, {false, true, true});
  CHECK(print(graph, graph.both(a, b), level_name) == "0: a ? 0 -> leaf 0, 1 -> 1\n1: b ? 0 -> leaf 0, 1-2 -> leaf 1\n");
  CHECK(graph.both(a, a) == a);
  CHECK(graph.both(a, graph.negation(a)) == Graph::no);
  CHECK(graph.either(a, graph.negation(a)) == Graph::yes);
  CHECK(graph.literal(0, {true, true}) == Graph::yes);
}

TEST_CASE("equal conditions are the same node however they were put together") {
  std::mt19937 random(20261125);
  for (int round = 0; round < 300; ++round) {
    Graph graph(widths, {});
    const Sample a = random_condition(graph, random, 3), b = random_condition(graph, random, 3);
    CHECK(verify(graph, a.node).empty());
    CHECK((a.node == b.node) == (a.values == b.values));
    CHECK(graph.inside(graph.both(a.node, b.node), a.node));
    std::size_t i = 0;
    for_each_combination(widths, [&](const auto& cells) {
      if (at(graph, a.node, cells) != a.values[i++]) FAIL("a graph disagrees with what it was made of");
    });
  }
}

TEST_CASE("numbers add up, choose and map leaf by leaf") {
  std::mt19937 random(7);
  for (int round = 0; round < 100; ++round) {
    Graph graph(widths, {});
    const Sample a = random_condition(graph, random, 2), b = random_condition(graph, random, 2), c = random_condition(graph, random, 2);
    const Node threes = graph.map(a.node, [](std::int64_t n) { return n * 3; }), minus = graph.map(b.node, [](std::int64_t n) { return n * -5; });
    const Node sum = graph.plus(threes, minus), chosen = graph.choose(c.node, sum, threes), over = graph.where(sum, [](std::int64_t n) { return n > -1; });
    const Node differing = graph.differing(sum, chosen);
    for (Node node : {sum, chosen, over, differing}) CHECK(verify(graph, node).empty());
    std::size_t i = 0;
    for_each_combination(widths, [&](const auto& cells) {
      const std::int64_t total = a.values[i] * 3 - b.values[i] * 5, picked = c.values[i] ? total : a.values[i] * 3;
      const bool right = at(graph, sum, cells) == total && at(graph, chosen, cells) == picked &&
                         at(graph, over, cells) == (total > -1) && at(graph, differing, cells) == (total != picked);
      if (!right) FAIL("a sum or a choice disagrees with plain arithmetic");
      ++i;
    });
  }
}

// What was found out is kept in places that operations share; with so many pairs some of them meet there.
TEST_CASE("every operation on the same two has its own answer, in one graph that remembers") {
  std::mt19937 random(17);
  Graph graph(widths, {});
  std::vector<Sample> samples;
  for (int i = 0; i < 150; ++i) samples.push_back(random_condition(graph, random, 3));
  std::size_t wrong = 0;
  for (const Sample& a : samples)
    for (const Sample& b : samples) {
      const Node both = graph.both(a.node, b.node), either = graph.either(a.node, b.node), without = graph.without(a.node, b.node),
                 sum = graph.plus(a.node, b.node), differing = graph.differing(a.node, b.node);
      std::size_t i = 0;
      for_each_combination(widths, [&](const auto& cells) {
        const std::int64_t x = a.values[i], y = b.values[i];
        wrong += at(graph, both, cells) != (x & y) || at(graph, either, cells) != (x | y) || at(graph, without, cells) != (x & ~y) ||
                 at(graph, sum, cells) != x + y || at(graph, differing, cells) != (x != y);
        ++i;
      });
    }
  CHECK(wrong == 0);
}

TEST_CASE("a simplified graph agrees wherever it matters, and quantifying looks at every cell of a level") {
  std::mt19937 random(11);
  for (int round = 0; round < 100; ++round) {
    Graph graph(widths, {});
    const Sample a = random_condition(graph, random, 3), care = random_condition(graph, random, 3);
    const Node simple = graph.simplified(a.node, care.node), some = graph.exists(a.node, 1), every = graph.for_all(a.node, 1);
    CHECK(verify(graph, simple).empty());
    std::size_t i = 0;
    for_each_combination(widths, [&](auto cells) {
      if (care.values[i] && at(graph, simple, cells) != a.values[i]) FAIL("simplified changes an answer that matters");
      ++i;
      int held = 0;
      for (cells[1] = 0; cells[1] < widths[1]; ++cells[1]) held += static_cast<int>(at(graph, a.node, cells));
      cells[1] = 0;
      if (at(graph, some, cells) != (held > 0) || at(graph, every, cells) != (held == 3)) FAIL("a quantified graph is wrong");
    });
  }
}

TEST_CASE("a probability is the exact sum over all combinations") {
  std::mt19937 random(13);
  const std::vector<std::vector<Rational>> weights{{Rational(1, 3), Rational(2, 3)},
                                                   {Rational(1, 7), Rational(2, 7), Rational(4, 7)},
                                                   {0, 1},
                                                   {Rational(1, 4), Rational(1, 4), Rational(1, 4), Rational(1, 4)}};
  for (int round = 0; round < 100; ++round) {
    Graph graph(widths, {});
    const Sample a = random_condition(graph, random, 3);
    Rational total = 0;
    std::size_t i = 0;
    for_each_combination(widths, [&](const auto& cells) {
      if (a.values[i++]) total += weights[0][cells[0]] * weights[1][cells[1]] * weights[2][cells[2]] * weights[3][cells[3]];
    });
    CHECK(graph.probability(a.node, weights) == total);
  }
}

TEST_CASE("past its budget a graph says so and stays whole") {
  Graph graph(std::vector<std::uint32_t>(40, 2), {60, 1'000'000});
  Node odd = Graph::no;  // parity in pairs far apart grows without end
  try {
    for (std::uint32_t level = 0; level < 20; ++level) {
      const Node pair = graph.both(graph.literal(level, {false, true}), graph.literal(level + 20, {false, true}));
      odd = graph.either(odd, pair);
    }
    FAIL("the budget was never met");
  } catch (const BudgetMet& met) {
    CHECK(std::string(met.what()) == "nodes");
  }
  CHECK(verify(graph, odd).empty());
  CHECK_THROWS_AS(Graph(std::vector<std::uint32_t>(Graph::most_levels + 1, 2), {}), BudgetMet);
}
