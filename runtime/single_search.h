// runtime/single_search.h: completions of a half-known person, looked for until each verdict is found or shown not to come. Inside
// runtime/single*.cpp only; single_search.cpp tells how.
#pragma once

#include "runtime/single.h"

namespace betony::runtime {

class SingleWeigher::Search {
 public:
  // scratch.may: the items that may hold of the person. What is told of everybody is found here.
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
    std::size_t changes, added, forbidden, turned;
  };
  static constexpr std::uint8_t may_be = 1, is_now = 2, is_kept = 4, is_all = 7, is_known = 8;

  void begin();
  void look_at_everybody();
  void gather(Span conditions);
  void find_any(Verdict verdict);
  bool forbid();
  void find_base();

  Mark mark() const { return {trial_.changes, trial_.added.size(), trial_.forbidden.size(), trial_.turned}; }
  void undo(const Mark& mark);
  void write(Index input, Scratch::State state);
  void begin_here();
  void turn(Index input, bool yes);
  bool keep(Index operand);
  bool keep_wide(Index operand);
  bool keep_all(const Condition& condition, std::uint32_t way);
  bool settle(Index variable);
  bool cell_may_be(const Variable& variable, Index cell) const;
  bool is_in_cell(const Variable& variable, Index input, Index cell) const;

  std::uint8_t state(Index operand) const { return states_[operand - 2]; }
  // The ways of which every input is what is asked.
  std::uint32_t ways_that(std::uint8_t are, const Condition& condition) const;
  std::uint64_t open_in(const Condition& condition, std::uint32_t way) const;
  const Asked* begin(const Condition& condition) const { return weigher_.asked_.data() + condition.inputs.begin; }
  const Asked* end(const Condition& condition) const { return weigher_.asked_.data() + condition.inputs.end; }
  void look_at_inputs();
  void look_at_base();
  void hold_on(const std::uint64_t* items, std::size_t begin, std::vector<std::uint64_t>& held);
  void stand_at_base();
  void stand_here();
  bool holds(const Condition& condition);
  bool surely_holds(const Condition& condition) const;
  void look();
  void put_together(const std::uint64_t* from, std::size_t stride, const Index* added, const Index* behind);
  void add_to(const std::uint64_t* from, std::size_t stride, const Index* added, const Index* behind);
  template <class Use>
  void from_rows(Use use);
  bool holds_now(std::size_t word, unsigned bit);
  bool any_held(unsigned rung);
  bool any_may(std::size_t begin, std::size_t end) const;
  static bool is_any(const std::uint64_t* items, std::size_t begin, std::size_t end);

  bool solve_anew();
  bool solve_from_stand();
  bool solve();
  bool choose(unsigned rung, bool& is_kept);
  bool choose(const Condition& condition, bool& all);
  bool take_away_any(std::size_t begin, std::size_t end, bool& are_none);
  bool take_away(const Condition& condition);
  bool take_away_all(const Condition& condition);
  bool is_barred(const Side& side) const;
  bool leave_behind();
  bool surely_holds(unsigned rung) const;
  void bar(unsigned rung);
  const std::uint64_t* alone(unsigned rung) const { return weigher_.alone_.data() + goal_.practice->alone + rung * weigher_.words(); }
  std::size_t begin_of(unsigned rung) const { return rung == 0 ? 0 : goal_.practice->ends[rung - 1]; }
  std::size_t end_of(unsigned rung) const { return goal_.practice->ends[rung]; }
  const Condition& condition(std::size_t word, unsigned bit) const { return weigher_.conditions_[(goal_.practice->items.first + word) * 64 + bit]; }
  void find_at_base(Codes& codes);
  void find(Codes& codes);
  std::uint32_t plain(unsigned rung) const { return std::uint32_t{1} << goal_.practice->codes[rung][0]; }
  std::uint32_t cared(unsigned rung) const { return std::uint32_t{1} << goal_.practice->codes[rung][1]; }
  bool is_more_below(const Codes& codes) const;

  const SingleWeigher& weigher_;
  const Rails& rails_;
  Scratch& scratch_;
  Scratch::Trial& trial_;
  const std::uint8_t* states_ = nullptr;    // as bytes, by operand from 2 on
  // Of the goal's practice: its words, and a few more where it is small; items that may hold in the completion; and, where others
  // begin, those that do, and the rows from which these came, layer after layer.
  std::size_t first_ = 0, words_ = 0, stride_ = 0;
  const std::uint64_t *items_ = nullptr, *held_ = nullptr, *rows_ = nullptr;
  bool is_stand_ = false;                   // the completion is one where others begin
  bool is_clean_ = false;                   // in those nothing graver holds
  bool is_looked_at_ = false;               // items_ are those of the completion that was found
  Goal goal_;
  // Of a practice: where its completions begin, and from where on something is taken for granted, so that nothing graver holds.
  Mark start_{}, stand_{};
  Codes everybody_;
  std::vector<Index>& listed_;              // conditions that everybody is asked for
  bool goes_on_ = true;                     // somebody may be neither outside nor referred
};

}  // namespace betony::runtime
