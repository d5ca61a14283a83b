// runtime/single_search.h: completions of a half-known person, looked for until each verdict is found or shown not to come. Inside
// runtime/single*.cpp only; single_search.cpp tells how, single_holding.cpp what holds in a completion.
#pragma once

#include <bit>

#include "runtime/single_completion.h"

namespace betony::runtime {

template <std::size_t known_blocks>
class SingleWeigher::Search {
 public:
  // What is told of everybody is found here.
  Search(const SingleWeigher& weigher, const Rails& rails, Scratch& scratch);
  Codes of(const Practice& practice);

 private:
  enum class Care : std::uint8_t { any, with, without };
  struct Goal {
    const Practice* practice = nullptr;
    unsigned rung = 4;                      // one of these is to hold, if it is not the last,
    unsigned graver = 0;                    // and none of so many rungs before
    Care care = Care::any;
    bool has_item = false, has_care = false;  // it is kept by now
  };
  struct Mark {
    std::size_t level = 0, forbidden = 0, rows = 0;
  };
  struct Ways {
    const Literals* first = nullptr;        // a row each
    std::size_t count = 0;
  };
  // What makes something hold: inputs that together are enough, unless a side holds.
  struct Held {
    const Literals* way = nullptr;          // nothing where it cannot be told
    Span sides;
    bool is_so = false;
  };

  void look_at_everybody();
  void find_any(Span conditions, Verdict verdict);
  bool forbid(Span conditions);
  void find_base();

  void find_at_stand(Codes& codes);
  void find(Codes& codes);
  bool is_more_below(const Codes& codes) const;
  bool leave_behind(Codes& codes);
  bool stand_at_base(unsigned rungs);
  bool keep_out_before(unsigned rung);
  std::uint32_t plain(unsigned rung) const { return std::uint32_t{1} << goal_.practice->codes[rung][0]; }
  std::uint32_t cared(unsigned rung) const { return std::uint32_t{1} << goal_.practice->codes[rung][1]; }
  // Of the goal's practice.
  const WayTable& table() const { return goal_.practice->ways; }
  std::uint32_t begin_of(unsigned rung) const { return rung == 0 ? 0 : table().ends[rung - 1]; }
  bool has_any(unsigned rung) const { return begin_of(rung) < table().ends[rung] || table().untold.begin < table().untold.end; }
  const Literals* way(std::size_t at) const { return weigher_.literals_.data() + table().literals + at * completion_.blocks(); }
  const Literals* way(const Ways& of, std::size_t at) const { return of.first + at * completion_.blocks(); }
  Ways ways(Span of) const { return {weigher_.literals_.data() + of.begin, (of.end - of.begin) / completion_.blocks()}; }
  Span sides_of(std::size_t way) const { return weigher_.way_sides_[table().sides + way]; }
  const Literals* alone(unsigned rung) const { return weigher_.literals_.data() + table().alone + rung * completion_.blocks(); }
  const std::uint64_t* mask(unsigned mask) const { return weigher_.way_masks_.data() + table().masks + mask * table().words; }
  const std::uint64_t* ways_of(unsigned rung) const { return mask(rung); }
  const std::uint64_t* ways_before(unsigned rung) const { return mask(5 + rung); }
  const std::uint64_t* ways_of_more() const { return mask(10); }

  bool solve_anew(const Held* held = nullptr);
  bool solve_from_stand(const Held* held = nullptr);
  bool solve();
  bool step();
  bool choose(unsigned rung, bool& is_chosen);
  bool choose(const Condition& condition, bool& all);
  bool choose_any(const Ways& of, Span sides, const std::uint32_t* first);
  bool take_away(const Held& held);
  bool keep(Index operand);
  void add_rows(const std::uint32_t* places, std::size_t count);
  void add_rows_of(std::size_t way);
  Mark mark() const { return {completion_.level(), forbidden_.size(), kept_rows_}; }
  void undo(const Mark& mark) {
    completion_.undo(mark.level);
    kept_rows_ = mark.rows;
    if (forbidden_.size() != mark.forbidden) forbidden_.resize(mark.forbidden);
  }

  // What holds: single_holding.cpp.
  void look_at_base();
  void look_at(const Practice& practice);
  void look();
  void look_at_all();
  template <class Is>
  std::size_t find_held(const std::uint64_t* mask, unsigned first_rung, unsigned behind_rung, const Is& is);
  bool has_more(std::size_t way) const;
  bool any_untold_holds(unsigned first_rung, unsigned behind_rung);
  Held first_held(const std::uint64_t* mask, unsigned first_rung, unsigned behind_rung);
  Held held_of(unsigned rung, bool& is_sure);
  unsigned rung_held();
  bool any_held(unsigned rung) { return first_held(ways_of(rung), rung, rung + 1).is_so; }
  Held held(const Condition& condition);
  bool any_side_holds(Span sides) const;
  bool operand_holds(Index operand);
  bool may_be_taken_back(Span sides) const;
  // The first of them, from one on, that has no literal which the row lacks; as many as they are, where there is none.
  std::size_t first_within(const Ways& of, std::size_t from, const Literals* row) const {
    return weigher_.row_path_->first_within(of.first, from, of.count, completion_.blocks(), row);
  }
  bool is_any_within(const Ways& of, const Literals* row) const { return first_within(of, 0, row) < of.count; }
  const Condition& condition_of(std::uint32_t side) const { return weigher_.conditions_[weigher_.sides_[side].condition]; }

  const SingleWeigher& weigher_;
  Scratch& scratch_;
  Scratch::Searched& memory_;
  std::vector<Index>& forbidden_;           // conditions that may not hold
  Completion<known_blocks> completion_;     // level 0: where all begin, level 1: where those of a practice do
  Goal goal_;
  std::size_t forbidden_by_all_ = 0;        // so many of forbidden_ stay
  bool is_base_sound_ = false;              // nothing forbidden holds in it
  // On level 1: where completions begin. Of so many rungs nothing holds there; and whether something is taken for granted.
  Mark stand_;
  unsigned clean_ = 0;
  bool is_advanced_ = false;
  bool is_nobody_ = false;                  // there is no such completion
  bool is_on_stand_ = false;                // the level above the stand is as it is
  bool is_looked_at_ = false;               // rows are those of the completion that was found
  std::size_t kept_rows_ = 0;               // of what is kept, so many of the memory's
  const std::uint64_t* first_ = nullptr;    // the ways that hold are told by this, to which so many rows are added
  const std::uint64_t* const* rows_ = nullptr;
  std::size_t count_rows_ = 0;
  bool goes_on_ = true;                     // somebody may be neither outside nor referred
  bool gave_up_ = false;
  unsigned steps_ = 0, depth_ = 0;
  Codes everybody_;
};

}  // namespace betony::runtime
