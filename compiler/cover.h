// compiler/cover.h: the questions on a table of boxes, each by the method that suits it.
//
//   splitting   compiler/boxes.h: quick where rows are nearly a partition; without end where boxes overlap in heaps
//   graph       compiler/cover_graph.h: the other way round
//   search      for one witness, where only yes or no is asked; stops at the first
//
// The likelier method begins, with a small part of the budget; then the other one, with half of what is left; then the first again
// with the rest. A table is taken for nearly a partition if a box meets no more than 8 others on the average. Overlaps need no second
// method: at the worst all pairs are compared.
// Where all that is spent, the answer carries what is known: pairs and boxes that are true, a lower and an upper bound of the share.
//
// One `Cover` a table; meetings and graph are made when they are first needed, and kept. It borrows the table. No exception leaves it.
// Tested by tests/unit/cover_test.cpp: all methods against one another and against a look at every point
#pragma once

#include <memory>

#include "compiler/boxes.h"
#include "compiler/cover_graph.h"

namespace betony {

class Cover {
 public:
  // A forced one has the whole budget, and nothing comes after it. Of a point, splitting is the search; else a search is splitting.
  enum class Method { by_shape, splitting, graph, search };

  struct Limit {
    std::uint64_t steps = 2'000'000'000;          // of all questions together; a step takes some nanoseconds
    std::size_t nodes = 2'000'000;                // of the graph in the making; some 150 bytes each at the worst
    std::size_t meetings = 4'000'000;             // pairs of boxes kept
    std::size_t pieces = 1'000'000;               // of what is uncovered, in the making
  };

  template <class T>
  struct Answer {
    std::optional<T> witness;  // there is one
    bool settled = true;       // false, with no witness: there may be one all the same
  };

  Cover(const Boxes& boxes, const Limit& limit);
  explicit Cover(const Boxes& boxes) : Cover(boxes, Limit{}) {}

  // The first `most` pairs of rows that share a point, and the count of all.
  Overlaps overlaps(Between between, std::size_t most);
  Answer<std::pair<Index, Index>> one_overlap(Between between);

  Share uncovered_share(const Weights& weights, Method method = Method::by_shape);
  Uncovered uncovered_boxes(Method method = Method::by_shape);
  Answer<std::vector<Coordinate>> uncovered_point(Method method = Method::by_shape);

  // For each row, whether other rows of its colour cover it wholly; nothing if the budget was met.
  std::optional<std::vector<bool>> covered_rows();

  std::uint64_t steps_left() const { return spending_.left; }

 private:
  // What a method does with the steps it is given; true if it is done.
  template <class Try>
  bool attempt(std::uint64_t steps, Try&& work);
  template <class Splitting, class Graphing>
  bool change_over(Method method, bool splitting_first, Splitting&& splitting, Graphing&& graphing);
  bool nearly_a_partition();
  const std::vector<Meeting>& meetings(Spending& spending);
  const CoverGraph& graph(Spending& spending);
  std::uint64_t small_part() const;

  const Boxes& boxes_;
  Limit limit_;
  Spending spending_;
  std::optional<std::vector<Meeting>> meetings_;
  std::unique_ptr<CoverGraph> graph_;
};

}  // namespace betony
