// Which items hold in a completion: by the rows of the inputs that it has more than that from which others begin, and by their ways.
#include "runtime/single_search.h"

#include <algorithm>
#include <cstring>

namespace betony::runtime {
namespace {

constexpr std::size_t together = 4;         // words of items that are looked at as one
typedef std::uint64_t Two __attribute__((vector_size(16)));
Two two_at(const std::uint64_t* words) {
  Two two;
  std::memcpy(&two, words, sizeof two);
  return two;
}

}  // namespace

bool SingleWeigher::Search::holds(const Condition& condition) {
  if (!condition.is_told) {
    ++steps_;
    weigher_.next_person(scratch_.whole);
    return weigher_.holds(condition.operand, completion_.inputs().data(), scratch_);
  }
  const auto is_now = [this](const Needed& needed) { return (completion_.state(needed.operand) & Completion::is_now) != 0; };
  if (condition.is_of_one) return std::any_of(begin(condition), end(condition), is_now);
  if (ways_that(Completion::is_now, condition) == 0) return false;
  for (std::uint32_t s = condition.sides.begin; s < condition.sides.end; ++s)
    if (holds(weigher_.conditions_[weigher_.sides_[s].condition])) return false;
  return true;
}

// Of an item that holds in the base.
bool SingleWeigher::Search::surely_holds(const Condition& condition) const {
  if (condition.is_of_one || ways_that(Completion::is_known, condition) == 0) return false;  // of inputs of which each is enough it is known already
  for (std::uint32_t s = condition.sides.begin; s < condition.sides.end; ++s) {
    const Condition& side = weigher_.conditions_[weigher_.sides_[s].condition];
    std::uint32_t out_of_reach = 0;
    for (const Needed* needed = begin(side); needed < end(side); ++needed)
      if (completion_.state(needed->operand ^ 1u) & Completion::is_known) out_of_reach |= needed->ways;
    if ((side.ways & ~out_of_reach) != 0) return false;
  }
  return true;
}

// Of the items from begin on that may hold, those that do.
void SingleWeigher::Search::hold_on(const std::uint64_t* items, std::size_t begin, std::vector<std::uint64_t>& held) {
  const Area& area = goal_.practice->items;
  held.resize(area.count);
  std::fill(held.begin(), held.begin() + static_cast<std::ptrdiff_t>(begin / 64), 0);
  for (std::size_t w = begin / 64; w < area.count; ++w) {
    held[w] = within(items[w], w, begin, area.count * std::size_t{64});
    for (std::uint64_t left = held[w] & ~weigher_.exact_[area.first + w]; left != 0; left &= left - 1)
      if (!holds(condition(w, static_cast<unsigned>(std::countr_zero(left))))) held[w] ^= left & -left;
  }
}

void SingleWeigher::Search::look_at_base() {
  const Area& area = goal_.practice->items;
  words_ = std::max<std::size_t>(area.count, together);
  first_ = std::min<std::size_t>(area.first, weigher_.width_ - words_);
  memory_.items.resize(words_);
  hold_on(memory_.base_items.data() + area.first, 0, memory_.held);
  stand_at_base();
}

void SingleWeigher::Search::stand_at_base() {
  stand_ = start_;
  is_clean_ = !is_any(memory_.held.data(), 0, goal_.graver);
  rows_ = memory_.base_rows.data() + first_, stride_ = weigher_.width_;
  held_ = memory_.held.data();
}

// What is kept in the completion is taken for granted, until it leads nowhere.
void SingleWeigher::Search::stand_here() {
  hold_on(items_, goal_.graver, memory_.stand_held);
  const Rows of = rows_of_completion();
  const std::size_t width = weigher_.width_, row = weigher_.layers_ * width;
  const std::uint64_t* rows = weigher_.rows_.data() + first_;
  memory_.stand_rows.resize(weigher_.layers_ * words_);
  for (std::size_t layer = 0; layer < weigher_.layers_; ++layer)
    for (std::size_t w = 0; w < words_; ++w) {
      std::uint64_t any = of.from[layer * of.stride + w];
      for (const Index* input = of.added; input < of.behind; ++input) any |= rows[*input * row + layer * width + w];
      memory_.stand_rows[layer * words_ + w] = any;
    }
  rows_ = memory_.stand_rows.data(), stride_ = words_;
  held_ = memory_.stand_held.data();
  is_clean_ = true;
  stand_ = mark();
}

// Of the goal's practice, the items that may hold in the completion.
void SingleWeigher::Search::look() {
  const Completion::Mark& stand = stand_.completion;
  is_stand_ = completion_.count_added() == stand.added && completion_.turned() == stand.turned;
  items_ = is_stand_ ? held_ : memory_.items.data() + (goal_.practice->items.first - first_);
  if (is_stand_) return;
  const Rows rows = rows_of_completion();
  if (words_ > together || weigher_.layers_ > most_layers) return put_together(rows);
  static constexpr decltype(&Search::put_few_together<1>) by_layers[most_layers] = {&Search::put_few_together<1>, &Search::put_few_together<2>,
                                                                                    &Search::put_few_together<3>, &Search::put_few_together<4>};
  (this->*by_layers[weigher_.layers_ - 1])(rows);
}

// Those where others begin, and of the inputs that were added; or of all, where some are no longer yes.
SingleWeigher::Search::Rows SingleWeigher::Search::rows_of_completion() {
  const Completion::Mark& stand = stand_.completion;
  Rows out{rows_, stride_, completion_.added() + stand.added, completion_.added() + completion_.count_added()};
  if (completion_.turned() != stand.turned) {
    const auto& all = completion_.all();
    out = {weigher_.first_row_.data() + first_, weigher_.width_, all.data(), all.data() + all.size()};
  }
  if (weigher_.rows_.empty()) out.behind = out.added;
  return out;
}

void SingleWeigher::Search::put_together(const Rows& of) {
  const std::size_t layers = weigher_.layers_, width = weigher_.width_, row = layers * width;
  const std::uint64_t *rows = weigher_.rows_.data() + first_, *from = of.from;
  std::fill(memory_.items.begin(), memory_.items.end(), ~std::uint64_t{0});
  for (std::size_t layer = 0; layer < layers; ++layer, rows += width, from += of.stride)
    for (std::size_t w = 0; w < words_; ++w) {
      std::uint64_t any = from[w];
      for (const Index* input = of.added; input < of.behind; ++input) any |= rows[*input * row + w];
      memory_.items[w] &= layer < weigher_.clauses_ ? any : ~any;
    }
}

// All words of a small practice at once.
template <std::size_t layers>
void SingleWeigher::Search::put_few_together(const Rows& of) {
  const std::size_t width = weigher_.width_;
  Two any[layers], others[layers];
#pragma GCC unroll 4
  for (std::size_t layer = 0; layer < layers; ++layer)
    any[layer] = two_at(of.from + layer * of.stride), others[layer] = two_at(of.from + layer * of.stride + 2);
  for (const Index* input = of.added; input < of.behind; ++input) {
    const std::uint64_t* row = weigher_.rows_.data() + *input * layers * width + first_;
#pragma GCC unroll 4
    for (std::size_t layer = 0; layer < layers; ++layer, row += width) any[layer] |= two_at(row), others[layer] |= two_at(row + 2);
  }
  if (weigher_.clauses_ < layers) any[layers - 1] = ~any[layers - 1], others[layers - 1] = ~others[layers - 1];
#pragma GCC unroll 4
  for (std::size_t layer = 1; layer < layers; ++layer) any[0] &= any[layer], others[0] &= others[layer];
  std::memcpy(memory_.items.data(), &any[0], sizeof any[0]), std::memcpy(memory_.items.data() + 2, &others[0], sizeof others[0]);
}

bool SingleWeigher::Search::any_held(unsigned rung) {
  const std::size_t begin = begin_of(rung), end = end_of(rung);
  for (std::size_t w = begin / 64; w * 64 < end; ++w)
    for (std::uint64_t left = within(items_[w], w, begin, end); left != 0; left &= left - 1)
      if (holds_now(w, static_cast<unsigned>(std::countr_zero(left)))) return true;
  return false;
}

bool SingleWeigher::Search::any_may(std::size_t begin, std::size_t end) const {
  return is_any(scratch_.may.data() + goal_.practice->items.first, begin, end);
}

bool SingleWeigher::Search::is_any(const std::uint64_t* items, std::size_t begin, std::size_t end) {
  for (std::size_t w = begin / 64; w * 64 < end; ++w)
    if (within(items[w], w, begin, end) != 0) return true;
  return false;
}

}  // namespace betony::runtime
