// runtime/single_completion.h: one completion of a half-known person, changed input by input and taken back. Inside runtime/single*.cpp only.
//
// It stands on levels. Each tells of every input what it may be and what it is; what may be one thing only is kept. Nobody changes a level
// that he wants to come back to: he goes deeper, which copies it, and undoes that. What is open on level 0 is no there, or in the first cell
// of its finding, until another base is set. Inputs of one finding go together: whoever is past an end is past those before it, is not
// never, and has one word only. So rows that are kept as a whole must tell whatever follows from each of their inputs (add_what_follows).
//
// Ownership  it lies in a Scratch, and is borrowed by a Search (single_search.h).
// Cost       going deeper O(inputs / 256), 128 bytes each; keeping O(1) for an input that is a whole finding, O(inputs of its finding) else.
// Tested by  tests/property/single_test.cpp
#pragma once

#include <bit>

#include "runtime/single.h"

namespace betony::runtime {

template <std::size_t known_blocks>
class SingleWeigher::Completion {
 public:
  // The person's plainest completion is level 0.
  Completion(const SingleWeigher& weigher, const Rails& rails, Scratch& scratch);

  const Literals* may_be() const { return may_; }
  const Literals* is_now() const { return may_ + blocks(); }
  const Literals* at(std::size_t level) const { return memory_.levels.data() + 2 * level * blocks(); }
  const Literals* is_at(std::size_t level) const { return at(level) + blocks(); }
  bool is_yes(Index input) const { return is_now()[input / Literals::inputs].yes[input / 64 % Literals::words] >> (input % 64) & 1u; }
  // Whether its finding has several.
  bool is_wide(Index input) const { return weigher_.of_wide_[input / Literals::inputs].yes[input / 64 % Literals::words] >> (input % 64) & 1u; }
  std::size_t blocks() const { return known_blocks != 0 ? known_blocks : weigher_.blocks_; }

  std::size_t level() const { return level_; }
  void go_deeper() {
    if (level_ + 1 == memory_.is_other.size()) add_levels();
    const Literals* from = at(level_);
    undo(level_ + 1);
    copy(from, 2 * blocks(), may_);
    memory_.is_other[level_] = memory_.is_other[level_ - 1];
  }
  void undo(std::size_t level) { level_ = level, may_ = memory_.levels.data() + 2 * blocks() * level; }
  // The level becomes what this one is.
  void go_back_with_all(std::size_t level) {
    const Literals* from = may_;
    memory_.is_other[level] = memory_.is_other[level_];
    undo(level);
    copy(from, 2 * blocks(), may_);
  }
  // Level 0 is from now on what this one is, but keeps what it kept.
  void begin_others() {
    const Literals* from = now();
    undo(0);
    copy(from, blocks(), now());
    memory_.is_other[0] = 0;
  }

  // The input is from now on as the operand says; false where it cannot be, and then this level is of no more use.
  bool keep(Index operand);
  // All of them, which may be so.
  bool keep_all(const Literals* row);
  // None of those that are yes in the row may be yes.
  bool keep_out(const Literals* row);
  // Where only one of the row's operands is open on a level, and not so, and all others are kept there, it is kept otherwise on that level, and
  // on those above until the first that keeps it. Of findings with several inputs nothing is kept.
  void keep_from(std::size_t level, const Literals* row);
  // All of them that are yes in the row and open here are yes from now on, but not kept; or none, where there is no row. preferred: which.
  void prefer(const Literals* row);
  const Literals* preferred() const { return memory_.preferred.data(); }
  // Whether all of these are yes still.
  bool is_as_preferred() const;
  // Whether what it is was changed by that.
  bool was_changed() const { return was_changed_; }
  // Whether it is otherwise than in the base by more than that what was kept is yes, and of what is preferred some no longer.
  bool is_other() const { return memory_.is_other[level_] != 0; }
  void be_other() { memory_.is_other[level_] = 1; }

  // The row's operands that are not kept here, one after another, until `each` is true; where it is not, it has kept the operand, and
  // maybe others. is_last: none is left behind.
  template <class Each>
  void any_open(const Literals* row, const Each& each) const;

 private:
  Literals* now() { return may_ + blocks(); }
  static void copy(const Literals* from, std::size_t count, Literals* to) {
    for (std::size_t b = 0; b < count; ++b) to[b] = from[b];
  }
  void add_levels();
  bool set(Index input, bool yes);
  bool keep_what_follows(Index input, bool yes);
  bool settle(Index variable);
  bool settle_all_words();
  void begin_wide(Index variable);

  const SingleWeigher& weigher_;
  Scratch::Completed& memory_;
  std::size_t level_ = 0;
  Literals* may_ = nullptr;                 // of this level
  bool was_changed_ = false;
};

// False where it cannot be.
template <std::size_t known_blocks>
inline bool SingleWeigher::Completion<known_blocks>::set(Index input, bool yes) {
  const std::size_t b = input / Literals::inputs, w = input / 64 % Literals::words;
  const std::uint64_t bit = std::uint64_t{1} << (input % 64);
  Literals &may = may_[b], &is = now()[b];
  std::uint64_t &so = (yes ? may.yes : may.no)[w], &otherwise = (yes ? may.no : may.yes)[w];
  if ((so & bit) == 0) return false;
  otherwise &= ~bit;
  const bool is_changed = ((yes ? is.yes : is.no)[w] & bit) == 0;
  was_changed_ |= is_changed;
  memory_.is_other[level_] |= static_cast<std::uint8_t>(is_changed & !yes & ((memory_.preferred[b].yes[w] & bit) == 0));
  (yes ? is.yes : is.no)[w] |= bit, (yes ? is.no : is.yes)[w] &= ~bit;
  return true;
}

template <std::size_t known_blocks>
inline bool SingleWeigher::Completion<known_blocks>::keep(Index operand) {
  const Index input = operand / 2 - 1;
  const bool yes = !(operand & 1u);
  if (!set(input, yes)) return false;
  return !is_wide(input) || keep_what_follows(input, yes);
}

template <std::size_t known_blocks>
inline bool SingleWeigher::Completion<known_blocks>::keep_all(const Literals* row) {
  Four turned{}, of_words_turned{};
  for (std::size_t b = 0; b < blocks(); ++b) {
    Four preferred;
    load(memory_.preferred[b].yes, preferred);
    Four yes, no, of_words, may_yes, may_no, is_yes, is_no;
    load(row[b].yes, yes), load(row[b].no, no), load(weigher_.of_words_[b].yes, of_words);
    load(may_[b].yes, may_yes), load(may_[b].no, may_no), load(now()[b].yes, is_yes), load(now()[b].no, is_no);
    turned |= no & is_yes & ~preferred, of_words_turned |= no & is_yes & of_words;
    store(may_yes & ~no, may_[b].yes), store(may_no & ~yes, may_[b].no);
    store((is_yes & ~no) | yes, now()[b].yes), store((is_no & ~yes) | no, now()[b].no);
  }
  if (!is_any(turned)) return true;
  memory_.is_other[level_] = 1;
  return !is_any(of_words_turned) || settle_all_words();
}

template <std::size_t known_blocks>
inline bool SingleWeigher::Completion<known_blocks>::keep_out(const Literals* row) {
  was_changed_ = false;
  for (std::size_t b = 0; b < blocks(); ++b) {
    Four out, wide, may_yes, may_no, is_yes, is_no;
    load(row[b].yes, out), load(weigher_.of_wide_[b].yes, wide);
    load(may_[b].yes, may_yes), load(may_[b].no, may_no), load(now()[b].yes, is_yes), load(now()[b].no, is_no);
    wide &= out, out &= ~wide;
    if (is_any(out & ~may_no)) return false;
    Four preferred;
    load(memory_.preferred[b].yes, preferred);
    if (is_any(is_yes & out)) was_changed_ = true;
    if (is_any(is_yes & out & ~preferred)) memory_.is_other[level_] = 1;
    store(may_yes & ~out, may_[b].yes), store(is_yes & ~out, now()[b].yes), store(is_no | out, now()[b].no);
    for (std::size_t w = 0; w < Literals::words && is_any(wide); ++w)
      for (std::uint64_t left = wide[w]; left != 0; left &= left - 1)
        if (!keep(2 * static_cast<Index>(b * Literals::inputs + w * 64 + static_cast<std::size_t>(std::countr_zero(left))) + 3)) return false;
  }
  return true;
}

template <std::size_t known_blocks>
inline void SingleWeigher::Completion<known_blocks>::prefer(const Literals* row) {
  for (std::size_t b = 0; b < blocks(); ++b) {
    Four yes{}, may_yes, may_no, is_yes, is_no;
    if (row) load(row[b].yes, yes);
    load(may_[b].yes, may_yes), load(may_[b].no, may_no), load(now()[b].yes, is_yes), load(now()[b].no, is_no);
    yes &= may_yes & may_no & ~is_yes;
    store(yes, memory_.preferred[b].yes);
    store(is_yes | yes, now()[b].yes), store(is_no & ~yes, now()[b].no);
  }
}

template <std::size_t known_blocks>
inline bool SingleWeigher::Completion<known_blocks>::is_as_preferred() const {
  Four lacks{};
  for (std::size_t b = 0; b < blocks(); ++b) {
    Four yes, is_yes;
    load(memory_.preferred[b].yes, yes), load(is_now()[b].yes, is_yes);
    lacks |= yes & ~is_yes;
  }
  return !is_any(lacks);
}

template <std::size_t known_blocks>
template <class Each>
inline void SingleWeigher::Completion<known_blocks>::any_open(const Literals* row, const Each& each) const {
  const std::size_t here = level_;
  std::uint64_t open[Literals::words];
  const auto put_open = [&](std::size_t block) {
    Four yes, no, may_yes, may_no;
    load(row[block].yes, yes), load(row[block].no, no), load(at(here)[block].yes, may_yes), load(at(here)[block].no, may_no);
    store((yes | no) & may_yes & may_no, open);
    unsigned words = 0;
    for (std::size_t w = 0; w < Literals::words; ++w) words |= static_cast<unsigned>(open[w] != 0) << w;
    return words;
  };
  const auto any_behind = [&](std::size_t block) {
    while (++block < blocks())
      if (put_open(block) != 0) return true;
    return false;
  };
  for (std::size_t b = 0; b < blocks(); ++b)
    for (unsigned words = put_open(b); words != 0; words = put_open(b)) {
      const auto w = static_cast<std::size_t>(std::countr_zero(words));
      const auto bit = static_cast<std::size_t>(std::countr_zero(open[w]));
      const bool is_last = (words & (words - 1)) == 0 && (open[w] & (open[w] - 1)) == 0 && !any_behind(b);
      if (each(2 * static_cast<Index>(b * Literals::inputs + w * 64 + bit) + 2 + static_cast<Index>(row[b].no[w] >> bit & 1u), is_last)) return;
    }
}

}  // namespace betony::runtime
