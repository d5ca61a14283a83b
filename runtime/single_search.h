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
  // Puts the inputs that are yes in a completion of which nothing of the practice holds, or as little as soon can be.
  void prefer(const Practice& practice, Literals* row);

 private:
  static constexpr unsigned most_steps = 4000, few_steps = 8, steps_to_prefer = 64, most_depth = 300;

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

  // One of them, or all before one, by the number of their masks in the table.
  struct Rungs {
    unsigned mask = 0;
    unsigned first() const { return mask < 5 ? mask : 0; }
    unsigned last() const { return mask < 5 ? mask : mask - 6; }
  };
  static Rungs only(unsigned rung) { return {rung}; }
  static Rungs before(unsigned rung) { return {5 + rung}; }

  void look_at_everybody();
  void find_any(Span conditions, Verdict verdict);
  bool forbid(Span conditions);
  void find_base();

  void find_at_stand(Codes& codes);
  void find(Codes& codes);
  bool is_more_below(const Codes& codes) const;
  bool leave_behind(Codes& codes);
  bool stand_at_base(unsigned rungs);
  std::uint32_t plain(unsigned rung) const { return std::uint32_t{1} << goal_.practice->codes[rung][0]; }
  std::uint32_t cared(unsigned rung) const { return std::uint32_t{1} << goal_.practice->codes[rung][1]; }
  // Of the goal's practice.
  const WayTable& table() const { return goal_.practice->ways; }
  bool has_any(unsigned rung) const { return table().begins[rung] < table().ends[rung] || table().untold.begin < table().untold.end; }
  const Literals* way(std::size_t at) const { return weigher_.literals_.data() + table().literals + at * completion_.blocks(); }
  const Literals* way(const Ways& of, std::size_t at) const { return of.first + at * completion_.blocks(); }
  Ways ways(Span of) const { return {weigher_.literals_.data() + of.begin, (of.end - of.begin) / completion_.blocks()}; }
  Span sides_of(std::size_t way) const { return weigher_.way_sides_[table().sides + way]; }
  const Literals* alone(Rungs rungs) const { return weigher_.literals_.data() + table().alone + rungs.mask * completion_.blocks(); }

  bool solve_anew(const Held* held = nullptr);
  bool solve_from_stand(const Held* held = nullptr);
  bool solve();
  bool step();
  bool choose(unsigned rung, bool& is_chosen);
  bool choose(const Condition& condition, bool& all);
  bool choose_any(const Ways& of, Span sides, const std::uint32_t* first);
  bool take_away(const Held& held);
  void learn(const Literals* way);
  bool keep(Index operand);
  void add_row(std::uint32_t place);
  void make_room_for_rows();
  const std::uint32_t* places_of(std::size_t way) const {
    return weigher_.way_places_.data() + table().way_places + way * (WayTable::most_places + 1);
  }
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
  void begin_practice();
  void look();
  void look_at_stand();
  void keep_picture();
  void put_rows();
  void put_base_rows();
  void put_rows_of_all();
  void begin_all();
  void add_to_all(const std::uint64_t* row);
  void see(std::size_t eight);
  void see_until(std::size_t behind);
  // Of eight words of ways those bytes that belong to each rung, and to all before each.
  const std::uint64_t* bytes_of(std::size_t eight) const { return weigher_.way_bytes_.data() + table().bytes + eight * 10; }
  std::size_t eights_behind(unsigned rung) const { return (table().ends[rung] + 511) / 512; }
  template <class Is>
  bool any_of_bytes(std::size_t eight, std::uint64_t bytes, const Is& is) const;
  bool asks_for_more(std::size_t way) const;
  bool has_more(std::size_t way) const;
  bool has_untold() const { return table().untold.begin < table().untold.end; }
  bool any_untold_holds(unsigned first_rung, unsigned behind_rung);
  bool any_held(Rungs rungs);
  // The number of the first way that holds of these, if any does; or that something of them holds of which there is no way.
  static constexpr std::size_t none = ~std::size_t{0}, untold = none - 1;
  std::size_t first_held(Rungs rungs);
  Held held_by(std::size_t way) const { return way == untold ? Held{nullptr, {}, true} : Held{this->way(way), sides_of(way), true}; }
  Held held_of(unsigned rung, bool& is_sure);
  unsigned rung_held();
  Held held(const Condition& condition);
  bool any_side_holds(Span sides) const;
  bool operand_holds(Index operand);
  bool may_be_taken_back(Span sides) const;
  // The first of them, from one on, that has no literal which the row lacks; as many as they are, where there is none.
  std::size_t first_within(const Ways& of, std::size_t from, const Literals* row) const {
    return weigher_.row_path_->first_within(of.first, from, of.count, completion_.blocks(), row);
  }
  bool is_any_within(const Ways& of, const Literals* row) const { return first_within(of, 0, row) < of.count; }
  bool is_within(const Literals* way, const Literals* row) const;
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
  bool prefers_ = false;                    // what the practice prefers is yes in it, where it is open
  bool is_advanced_ = false;
  bool is_nobody_ = false;                  // there is no such completion
  std::size_t learned_level_ = 0;           // what is learned is kept from this one on
  bool is_on_stand_ = false;                // the level above the stand is as it is
  bool is_looked_at_ = false;               // rows are those of the completion that was found
  std::size_t kept_rows_ = 0;               // of what is kept, so many of the memory's
  // Which ways hold in the completion that is looked at; what was not seen yet of it is told by the first row, to which so many are added.
  Scratch::Picture* picture_ = nullptr;
  bool is_stand_seen_ = false;              // its picture is of the stand as it is
  const std::uint64_t* first_ = nullptr;
  bool has_base_rows_ = false;              // those without what is preferred are put together
  const std::uint64_t* const* rows_ = nullptr;
  std::size_t count_rows_ = 0;
  bool goes_on_ = true;                     // somebody may be neither outside nor referred
  bool gave_up_ = false;
  unsigned steps_ = 0, depth_ = 0;
  unsigned most_steps_ = most_steps;        // for each goal
  Codes everybody_;
};

}  // namespace betony::runtime
