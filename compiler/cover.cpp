#include "compiler/cover.h"

#include <algorithm>

namespace betony {

Cover::Cover(const Boxes& boxes, const Limit& limit) : boxes_(boxes), limit_(limit), spending_{limit.steps} {}

template <class Try>
bool Cover::attempt(std::uint64_t steps, Try&& work) {
  Spending part{std::min(steps, spending_.left)};
  const std::uint64_t given = part.left;
  bool done = false;
  try {
    done = work(part);
  } catch (const BudgetMet&) {}
  spending_.left -= given - part.left;
  return done;
}

// A partition costs some hundred steps a box and column, however many there are.
std::uint64_t Cover::small_part() const { return 1'000'000 + 300 * std::uint64_t{boxes_.size()} * (boxes_.columns() + 1); }

template <class Splitting, class Graphing>
bool Cover::change_over(Method method, bool splitting_first, Splitting&& splitting, Graphing&& graphing) {
  if (method == Method::graph) return attempt(spending_.left, graphing);
  if (method != Method::by_shape) return attempt(spending_.left, splitting);
  if (splitting_first)
    return attempt(small_part(), splitting) || attempt(spending_.left / 2, graphing) || attempt(spending_.left, splitting);
  return attempt(spending_.left / 2, graphing) || attempt(spending_.left, splitting);
}

const std::vector<Meeting>& Cover::meetings(Spending& spending) {
  if (!meetings_) meetings_ = betony::meetings(boxes_, spending, limit_.meetings);
  return *meetings_;
}

const CoverGraph& Cover::graph(Spending& spending) {
  if (!graph_) graph_ = std::make_unique<CoverGraph>(boxes_, order_for(boxes_, spending), spending, limit_.nodes);
  return *graph_;
}

bool Cover::nearly_a_partition() {
  constexpr std::size_t others = 8;
  return attempt(small_part(), [&](Spending& spending) { return 2 * meetings(spending).size() <= others * boxes_.size(); });
}

Overlaps Cover::overlaps(Between between, std::size_t most) {
  Overlaps found;
  const auto known = [&](Spending& spending) {
    if (!meetings_ && between == Between::unlike_colours) return false;  // those of one colour would not be needed
    return found = betony::overlaps(boxes_, meetings(spending), between, most, spending), found.complete;
  };
  const auto anew = [&](Spending& spending) { return found = betony::overlaps(boxes_, between, most, spending), found.complete; };
  if (!attempt(spending_.left / 2, known)) attempt(spending_.left, anew);
  return found;
}

Cover::Answer<std::pair<Index, Index>> Cover::one_overlap(Between between) {
  Answer<std::pair<Index, Index>> answer;
  answer.settled = attempt(spending_.left, [&](Spending& spending) { return answer.witness = betony::one_overlap(boxes_, between, spending), true; });
  return answer;
}

Share Cover::uncovered_share(const Weights& weights, Method method) {
  Share share{false, 0, 1};
  const auto splitting = [&](Spending& spending) {
    const Share found = betony::uncovered_share(boxes_, weights, meetings(spending), spending);
    share.low = std::max(share.low, found.low);
    share.high = std::min(share.high, found.high);
    return share.exact = found.exact;
  };
  const auto graphing = [&](Spending& spending) {
    share.low = share.high = weights.share(graph(spending).uncovered(weights));
    return share.exact = true;
  };
  change_over(method, graph_ == nullptr && nearly_a_partition(), splitting, graphing);
  return share;
}

Uncovered Cover::uncovered_boxes(Method method) {
  Uncovered found{Boxes(boxes_.widths()), false};
  const auto keep = [&](Uncovered made) {
    if (made.complete || made.boxes.size() > found.boxes.size()) found = std::move(made);
    return found.complete;
  };
  const auto splitting = [&](Spending& spending) { return keep(betony::uncovered_boxes(boxes_, limit_.pieces, spending)); };
  const auto graphing = [&](Spending& spending) {
    Uncovered made{Boxes(boxes_.widths()), true};
    graph(spending).for_each_open_box([&](const std::vector<Coordinate>& low, const std::vector<Coordinate>& high) {
      made.complete = made.boxes.size() < limit_.pieces && spending.left > boxes_.columns();
      if (made.complete) made.boxes.add_row(low, high), spending.spend(boxes_.columns());
      return made.complete;
    });
    made.boxes = in_few_boxes(std::move(made.boxes), spending);
    return keep(std::move(made));
  };
  change_over(method, nearly_a_partition(), splitting, graphing);
  return found;
}

Cover::Answer<std::vector<Coordinate>> Cover::uncovered_point(Method method) {
  Answer<std::vector<Coordinate>> answer;
  const auto search = [&](Spending& spending) { return answer.witness = betony::uncovered_point(boxes_, spending), true; };
  const auto graphing = [&](Spending& spending) { return answer.witness = graph(spending).uncovered_point(), true; };
  answer.settled = change_over(method, true, search, graphing);
  return answer;
}

std::optional<std::vector<bool>> Cover::covered_rows() {
  std::optional<std::vector<bool>> rows;
  attempt(spending_.left, [&](Spending& spending) { return rows = betony::covered_rows(boxes_, meetings(spending), spending), true; });
  return rows;
}

}  // namespace betony
