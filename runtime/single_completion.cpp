#include "runtime/single_completion.h"

#include <algorithm>

namespace betony::runtime {
namespace {

struct Place {
  std::size_t block, word;
  std::uint64_t bit;
  explicit Place(Index input) : block(input / Literals::inputs), word(input / 64 % Literals::words), bit(std::uint64_t{1} << (input % 64)) {}
};

// What follows from an input of a finding with several: each other, and whether it is yes.
template <class Then>
void follow(const Variable& variable, bool has_words, Index input, bool yes, const Then& then) {
  const Index i = input - variable.first_input, behind = static_cast<Index>(variable.ends.size());
  for (Index at = 0; at < variable.inputs; ++at) {
    if (at == i) continue;
    const Index other = variable.first_input + at;
    if (has_words || i == behind || at == behind) {
      if (yes) then(other, false);                      // it is one word only; never, or past an end
    } else if (yes ? at < i : at > i) {
      then(other, yes);                                 // past all ends before it, or past none behind it
    }
  }
}

}  // namespace

template <std::size_t known_blocks>
SingleWeigher::Completion<known_blocks>::Completion(const SingleWeigher& weigher, const Rails& rails, Scratch& scratch)
    : weigher_(weigher), memory_(scratch.completed) {
  memory_.levels.resize(std::max(memory_.levels.size(), 2 * blocks()));
  memory_.is_other.assign(memory_.levels.size() / (2 * blocks()), 0);
  memory_.preferred.assign(blocks(), {});
  undo(0);
  std::fill(may_, may_ + 2 * blocks(), Literals{});
  for (std::size_t w = 0; w < weigher.words(); ++w) {
    Literals &may = may_[w / Literals::words], &now = this->now()[w / Literals::words];
    const std::size_t at = w % Literals::words;
    may.yes[at] = rails.yes[w], may.no[at] = rails.no[w];
    now.yes[at] = rails.yes[w] & ~rails.no[w], now.no[at] = rails.no[w];
  }
  for (const Index v : weigher.wide_) begin_wide(v);
}

// It may be, of each input, what it is in some cell that can be; and is in the first of these.
template <std::size_t known_blocks>
void SingleWeigher::Completion<known_blocks>::begin_wide(Index variable) {
  const Variable& v = weigher_.pack_.variables[variable];
  const Index behind = static_cast<Index>(v.ends.size());
  const bool words = weigher_.has_words(v);
  const auto may = [&](Index i, bool yes) {
    const Place at(v.first_input + i);
    return ((yes ? may_[at.block].yes : may_[at.block].no)[at.word] & at.bit) != 0;
  };
  const auto cell_may_be = [&](Index cell) {
    if (words) return may(cell, true);
    if (cell > behind) return may(behind, true);
    if (v.inputs > behind && !may(behind, false)) return false;  // it is never
    return (cell == 0 || may(cell - 1, true)) && (cell == behind || may(cell, false));
  };
  Index first = no_index, last = no_index, count = 0;
  for (Index cell = 0; cell < v.cells; ++cell)
    if (cell_may_be(cell)) first = std::min(first, cell), last = cell, ++count;
  if (count == 0) return;
  const bool may_be_never = !words && last > behind;
  Index last_somewhere = last;
  if (may_be_never)
    for (last_somewhere = behind + 1; last_somewhere > 0 && !cell_may_be(last_somewhere - 1);) --last_somewhere;  // and one more
  for (Index i = 0; i < v.inputs; ++i) {
    const Place at(v.first_input + i);
    bool yes = false, no = false, is = false;
    if (words)
      yes = cell_may_be(i), no = count > 1 || !yes, is = first == i;
    else if (i == behind)
      yes = may_be_never, no = first <= behind, is = first > behind;
    else
      yes = may_be_never ? last_somewhere > i + 1 : last > i, no = first <= i || may_be_never, is = first > i && first <= behind;
    const auto set = [&](std::uint64_t* words, bool so) { words[at.word] = so ? words[at.word] | at.bit : words[at.word] & ~at.bit; };
    set(may_[at.block].yes, yes), set(may_[at.block].no, no);
    set(now()[at.block].yes, is), set(now()[at.block].no, !is);
  }
}

template <std::size_t known_blocks>
void SingleWeigher::Completion<known_blocks>::add_levels() {
  memory_.is_other.resize(2 * memory_.is_other.size() + 16);
  memory_.levels.resize(2 * blocks() * memory_.is_other.size());
}

// Of a finding with several inputs.
template <std::size_t known_blocks>
bool SingleWeigher::Completion<known_blocks>::keep_what_follows(Index input, bool yes) {
  const Index variable = weigher_.variable_of_[input];
  const Variable& v = weigher_.pack_.variables[variable];
  bool can = true;
  follow(v, weigher_.has_words(v), input, yes, [&](Index other, bool so) { can = can && set(other, so); });
  return can && (!weigher_.has_words(v) || settle(variable));
}

// A finding of words is its first word that can be, where it was one that it no longer is.
template <std::size_t known_blocks>
bool SingleWeigher::Completion<known_blocks>::settle(Index variable) {
  const Variable& v = weigher_.pack_.variables[variable];
  Index first = no_index;
  for (Index i = v.first_input; i < v.first_input + v.inputs; ++i) {
    const Place at(i);
    if (now()[at.block].yes[at.word] & at.bit) return true;
    if (first == no_index && (may_[at.block].yes[at.word] & at.bit)) first = i;
  }
  if (first == no_index) return false;
  const Place at(first);
  now()[at.block].yes[at.word] |= at.bit, now()[at.block].no[at.word] &= ~at.bit;
  return true;
}

template <std::size_t known_blocks>
bool SingleWeigher::Completion<known_blocks>::settle_all_words() {
  return std::all_of(weigher_.wide_.begin(), weigher_.wide_.end(),
                     [this](Index v) { return !weigher_.has_words(weigher_.pack_.variables[v]) || settle(v); });
}

template <std::size_t known_blocks>
void SingleWeigher::Completion<known_blocks>::keep_from(std::size_t level, const Literals* row) {
  const auto open_at = [&](std::size_t l, std::size_t b, std::size_t w) {
    const Literals& may = at(l)[b];
    return (row[b].yes[w] | row[b].no[w]) & may.yes[w] & may.no[w];
  };
  std::size_t block = 0, word = 0;
  std::uint64_t bit = 0;
  for (std::size_t b = 0; b < blocks(); ++b)
    for (std::size_t w = 0; w < Literals::words; ++w) {
      const Literals& may = at(level)[b];
      if (((row[b].yes[w] & ~may.yes[w]) | (row[b].no[w] & ~may.no[w])) != 0) return;  // learned meanwhile: nobody there is so
      const std::uint64_t open = open_at(level, b, w);
      if (open == 0) continue;
      if (bit != 0 || (open & (open - 1)) != 0) return;
      bit = open, block = b, word = w;
    }
  if (bit == 0 || (weigher_.of_wide_[block].yes[word] & bit) != 0) return;
  const bool yes = (row[block].yes[word] & bit) != 0;
  const Literals& is = is_at(level)[block];
  if (((yes ? is.yes : is.no)[word] & bit) != 0) return;
  for (; level <= level_ && (open_at(level, block, word) & bit) != 0; ++level) {
    Literals& may = memory_.levels[2 * level * blocks() + block];
    (yes ? may.yes : may.no)[word] &= ~bit;
  }
}

bool SingleWeigher::add_what_follows(Index operand, Literals* row) const {
  if (operand < 2) return operand == 1;
  bool can = true;
  const auto add = [&](Index input, bool yes) {
    const Place at(input);
    Literals& of = row[at.block];
    (yes ? of.yes : of.no)[at.word] |= at.bit;
    can = can && ((yes ? of.no : of.yes)[at.word] & at.bit) == 0;
  };
  const Index input = operand / 2 - 1;
  const bool yes = !(operand & 1u);
  add(input, yes);
  const Variable& v = pack_.variables[variable_of_[input]];
  if (v.inputs > 1) follow(v, has_words(v), input, yes, add);
  return can;
}

template class SingleWeigher::Completion<0>;
template class SingleWeigher::Completion<1>;

}  // namespace betony::runtime
