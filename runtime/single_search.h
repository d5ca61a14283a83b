// runtime/single_search.h: completions of a half-known person, looked for until each verdict is found or shown not to come. Inside
// runtime/single*.cpp only; single_search.cpp tells how, single_holding.cpp what holds in a completion.
#pragma once

#include <bit>

#include "runtime/single_completion.h"

namespace betony::runtime {

class SingleWeigher::Search {
 public:
  // scratch.may: the items that may hold of the person; scratch.sure_inputs, sure_rows: what surely is. What is told of everybody is
  // found here.
  Search(const SingleWeigher& weigher, const Rails& rails, Scratch& scratch);
  Codes of(const Practice& practice);

 private:
  enum class Care : std::uint8_t { any, with, without };
  // Of the practice, items by their place in its area.
  struct Goal {
    const Practice* practice = nullptr;
    unsigned rung = 4;                      // one of these is to hold, if it is not the last, and none before them
    std::size_t graver = 0;                 // how many these are
    Care care = Care::any;
    bool has_item = false, has_care = false;  // it is kept by now
  };
  struct Mark {
    Completion::Mark completion;
    std::size_t forbidden = 0;
  };
  // Rows, layer after layer, and inputs of which those are to be added.
  struct Rows {
    const std::uint64_t* from = nullptr;
    std::size_t stride = 0;
    const Index *added = nullptr, *behind = nullptr;
  };

  void look_at_everybody();
  void gather(Span conditions);
  void find_any(Verdict verdict);
  bool forbid();
  void find_base();

  void find_at_base(Codes& codes);
  void find(Codes& codes);
  bool is_more_below(const Codes& codes) const;
  bool leave_behind();
  bool surely_holds(unsigned rung) const;
  std::uint32_t plain(unsigned rung) const { return std::uint32_t{1} << goal_.practice->codes[rung][0]; }
  std::uint32_t cared(unsigned rung) const { return std::uint32_t{1} << goal_.practice->codes[rung][1]; }
  const std::uint64_t* alone(unsigned rung) const { return weigher_.alone_.data() + goal_.practice->alone + rung * weigher_.words(); }
  std::size_t begin_of(unsigned rung) const { return rung == 0 ? 0 : goal_.practice->ends[rung - 1]; }
  std::size_t end_of(unsigned rung) const { return goal_.practice->ends[rung]; }

  bool solve_anew();
  bool solve_from_stand();
  bool solve();
  bool step();
  bool choose(unsigned rung, bool& is_chosen);
  bool choose(const Condition& condition, bool& all);
  bool take_away_any(std::size_t begin, std::size_t end, bool& are_none);
  bool take_away(const Condition& condition);
  bool take_away_all(const Condition& condition);
  bool is_barred(const Side& side) const;
  bool keep_all(const Condition& condition, std::uint32_t way) {
    for (std::uint64_t left = open_in(condition, way); left != 0; left &= left - 1)
      if (!completion_.keep(begin(condition)[std::countr_zero(left)].operand)) return false;
    return true;
  }
  Mark mark() const { return {completion_.mark(), forbidden_.size()}; }
  void undo(const Mark& mark) {
    completion_.undo(mark.completion);
    if (forbidden_.size() != mark.forbidden) forbidden_.resize(mark.forbidden);
  }

  // What holds: single_holding.cpp.
  void look_at_base();
  void stand_at_base();
  void stand_here();
  void look();
  Rows rows_of_completion();
  void put_together(const Rows& of);
  template <std::size_t layers>
  void put_few_together(const Rows& of);
  void hold_on(const std::uint64_t* items, std::size_t begin, std::vector<std::uint64_t>& held);
  bool holds(const Condition& condition);
  bool surely_holds(const Condition& condition) const;
  // Of an item that may hold.
  bool holds_now(std::size_t word, unsigned bit) {
    return is_stand_ || (weigher_.exact_[goal_.practice->items.first + word] >> bit & 1u) || holds(condition(word, bit));
  }
  bool any_held(unsigned rung);
  bool any_may(std::size_t begin, std::size_t end) const;
  static bool is_any(const std::uint64_t* items, std::size_t begin, std::size_t end);

  const Condition& condition(std::size_t word, unsigned bit) const { return weigher_.conditions_[(goal_.practice->items.first + word) * 64 + bit]; }
  const Needed* begin(const Condition& condition) const { return weigher_.needed_.data() + condition.inputs.begin; }
  const Needed* end(const Condition& condition) const { return weigher_.needed_.data() + condition.inputs.end; }

  // The ways of which every input is what is needed. Without branches: nobody could tell which way they go.
  std::uint32_t ways_that(std::uint8_t are, const Condition& condition) const {
    const auto unless_so = [&](const Needed& needed) { return needed.ways & (std::uint32_t{(completion_.state(needed.operand) & are) != 0} - 1); };
    std::uint32_t not_so = 0;
    for (const Needed *needed = begin(condition), *behind = end(condition); needed < behind; needed += needed_together)
      not_so |= unless_so(needed[0]) | unless_so(needed[1]) | unless_so(needed[2]) | unless_so(needed[3]);
    return condition.ways & ~not_so;
  }
  // The inputs of a way that are not kept yet; by their place.
  std::uint64_t open_in(const Condition& condition, std::uint32_t way) const {
    std::uint64_t out = 0, at = 1;
    for (const Needed *needed = begin(condition), *behind = end(condition); needed < behind; ++needed, at <<= 1) {
      const bool is_open = ((needed->ways & way) != 0) & ((completion_.state(needed->operand) & Completion::is_kept) == 0);
      out |= is_open ? at : 0;
    }
    return out;
  }
  // Of the bits of a word those that stand from begin to end.
  static std::uint64_t within(std::uint64_t bits, std::size_t word, std::size_t begin, std::size_t end) {
    if (word == begin / 64) bits &= ~std::uint64_t{0} << (begin % 64);
    return end - word * 64 < 64 ? bits & ((std::uint64_t{1} << (end - word * 64)) - 1) : bits;
  }

  static constexpr std::size_t most_layers = 4;
  const SingleWeigher& weigher_;
  const Rails& rails_;
  Scratch& scratch_;
  Scratch::Searched& memory_;
  std::vector<Index>&listed_, &forbidden_;  // conditions that everybody is asked for; that may not hold
  Completion completion_;
  Goal goal_;
  // Of a practice: where its completions begin, and from where on something is taken for granted, so that nothing graver holds.
  Mark start_, stand_;
  // Of the goal's practice: its words, and a few more where it is small; items that may hold in the completion; and, where others
  // begin, those that do, and the rows from which these came, layer after layer.
  std::size_t first_ = 0, words_ = 0, stride_ = 0;
  const std::uint64_t *items_ = nullptr, *held_ = nullptr, *rows_ = nullptr;
  bool is_stand_ = false;                   // the completion is one where others begin
  bool is_clean_ = false;                   // in those nothing graver holds
  bool is_looked_at_ = false;               // items_ are those of the completion that was found
  bool goes_on_ = true;                     // somebody may be neither outside nor referred
  bool gave_up_ = false;
  unsigned steps_ = 0, depth_ = 0;
  Codes everybody_;
};

}  // namespace betony::runtime
