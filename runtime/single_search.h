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
    std::size_t begin = 0, end = 0;         // of these one is to hold, if there are any
    std::size_t graver = 0;                 // of those before this, none
    Care care = Care::any;
  };
  struct Mark {
    std::size_t undone, added, forbidden, turned;
  };
  static constexpr std::uint8_t may_be = 1, is_now = 2, is_kept = 4, is_all = 7;

  void begin();
  void look_at_everybody();
  void gather(Span conditions);
  void find_any(Verdict verdict);
  bool forbid();
  void find_base();

  Mark mark() const { return {trial_.undone.size(), trial_.added.size(), trial_.forbidden.size(), trial_.turned}; }
  void undo(const Mark& mark);
  void write(Index operand, std::uint8_t state);
  void turn(Index input, bool yes);
  bool keep(Index operand);
  bool keep_wide(Index operand);
  bool keep_all(std::uint32_t way);
  bool settle(Index variable);
  bool cell_may_be(const Variable& variable, Index cell) const;
  bool is_in_cell(const Variable& variable, Index input, Index cell) const;

  std::uint8_t state_of(std::uint32_t way) const;
  bool holds(const Condition& condition);
  bool surely_holds(const Condition& condition) const;
  void look();
  std::size_t first_held(std::size_t begin, std::size_t end);
  bool any_may(std::size_t begin, std::size_t end) const;

  bool solve_anew();
  bool solve();
  bool choose(std::size_t begin, std::size_t end);
  bool choose(const Condition& condition, bool& all);
  bool take_away(const Condition& condition);
  bool is_barred(const Side& side) const;
  bool leave_behind(unsigned rung);
  bool keep_alone_out(unsigned rung);
  void find(unsigned rung, Codes& codes);

  const SingleWeigher& weigher_;
  const Rails& rails_;
  Scratch& scratch_;
  Scratch::Trial& trial_;
  std::uint8_t* states_ = nullptr;
  const std::uint64_t* items_ = nullptr;    // of the goal's practice, those that may hold in the completion
  Goal goal_;
  Codes everybody_;
  std::vector<Index>& listed_;              // conditions that everybody is asked for
  bool goes_on_ = true;                     // somebody may be neither outside nor referred
};

}  // namespace betony::runtime
