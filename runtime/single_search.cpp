// Completions of a half-known person, looked for until each verdict is found or shown not to come.
//
// At any time there is one completion: some inputs are kept as they are, all others that are open are as in the base, in which they are
// no, or in their first cell. Does an item hold in it that may not, since it is graver than what is wanted, then whoever gets the
// verdict has one of the inputs of the way in which it holds otherwise: each that is not kept yet is tried, one after another, and so are
// the ways of its sides. Does none, and nothing holds of what is wanted, then each way of each item that is wanted is tried. Every step
// keeps more, so there is an end to it; and as nobody is passed over, what is not found then cannot come.
//
// Which items hold is told by the rows of the inputs that the completion has more than the base, and for those that are more than
// their clauses by their ways. A verdict that comes is mostly found by the first completion, which then is extended to get it with care.
// What cannot come is mostly shown within few steps; the number of steps is bounded, and where they are used up, it is not known.
//
// Fits       "withheld if a, unless d"; of somebody with a: advised comes by d alone, allowed not, if d is advised.
// Does not   dozens of bans that are in force and have two exceptions each, which exclude one another.
// Source     the search by Davis, Logemann, Loveland, A machine program for theorem-proving, CACM 1962, with what is broken, not what is
//            open, telling where to go on.
#include "runtime/single_search.h"

#include <algorithm>

namespace betony::runtime {
namespace {

constexpr unsigned most_steps = 4000, few_steps = 8, most_depth = 300;

}  // namespace

SingleWeigher::Search::Search(const SingleWeigher& weigher, const Rails& rails, Scratch& scratch)
    : weigher_(weigher),
      rails_(rails),
      scratch_(scratch),
      memory_(scratch.searched),
      listed_(scratch.searched.listed),
      forbidden_(scratch.searched.forbidden),
      completion_(weigher, rails, scratch) {
  forbidden_.clear();
  look_at_everybody();
}

// ---------------------------------------------------------------- everybody's verdicts

// Outside, and referred: all practices tell the same. Then whoever is left is looked at, and a base is found for those.
void SingleWeigher::Search::look_at_everybody() {
  gather(weigher_.nobody_);
  goes_on_ = forbid();
  gather(weigher_.not_meant_);
  if (goes_on_ && !listed_.empty()) find_any(Verdict::outside), goes_on_ = forbid();
  listed_.clear();
  for (std::uint32_t w = weigher_.flags_.first; w < weigher_.flags_.first + weigher_.flags_.count; ++w)
    for (std::uint64_t left = scratch_.may[w]; left != 0; left &= left - 1)
      listed_.push_back(w * 64 + static_cast<Index>(std::countr_zero(left)));
  if (goes_on_ && !listed_.empty()) find_any(Verdict::referred), goes_on_ = forbid();
  if (goes_on_) find_base();
}

void SingleWeigher::Search::gather(Span conditions) {
  listed_.clear();
  for (std::uint32_t c = conditions.begin; c < conditions.end; ++c) listed_.push_back(c);
}

void SingleWeigher::Search::find_any(Verdict verdict) {
  const Mark before = mark();
  steps_ = 0, gave_up_ = false;
  bool all = true, found = false;
  for (auto c = listed_.begin(); c < listed_.end() && !found && !gave_up_; ++c) found = choose(weigher_.conditions_[*c], all);
  undo(before);
  const std::uint32_t code = std::uint32_t{1} << static_cast<unsigned>(verdict);
  if (found) everybody_.found |= code;
  if (!found && (gave_up_ || !all)) everybody_.unknown |= code;
}

// From now on none of the listed conditions may hold; false where one of them surely does. Where only one input is left to it, that is kept.
bool SingleWeigher::Search::forbid() {
  for (const Index c : listed_) {
    const Condition& condition = weigher_.conditions_[c];
    if (condition.is_of_one) {
      for (const Needed* needed = begin(condition); needed < end(condition); ++needed)
        if (!completion_.keep(needed->operand ^ 1u)) return false;
      continue;
    }
    const bool has_sides = condition.sides.begin < condition.sides.end;
    bool is_left = !condition.is_told;
    for (std::uint32_t left = ways_that(Completion::may_be, condition); left != 0; left &= left - 1) {
      const std::uint32_t way = left & -left;
      const std::uint64_t open = open_in(condition, way);
      const bool is_one = !has_sides && (open & (open - 1)) == 0;
      is_left = is_left || !is_one;
      if (is_one && (open == 0 || !completion_.keep(begin(condition)[std::countr_zero(open)].operand ^ 1u))) return false;
    }
    if (is_left) forbidden_.push_back(c);
  }
  return true;
}

// A completion of whom the teaching says something is where others begin from here on, if there is one.
void SingleWeigher::Search::find_base() {
  const Mark before = mark();
  goal_ = {};
  const bool is_found = solve_anew();
  if (!is_found && !gave_up_) goes_on_ = false;
  if (!is_found) undo(before);
  completion_.begin_others(before.completion);
  if (completion_.base() == scratch_.sure_inputs)
    memory_.base_rows = scratch_.sure_rows;
  else
    weigher_.or_rows(completion_.base().data(), memory_.base_rows);
  weigher_.items_of(memory_.base_rows, memory_.base_rows, memory_.base_items);
}

// ---------------------------------------------------------------- one practice

SingleWeigher::Codes SingleWeigher::Search::of(const Practice& practice) {
  Codes out = everybody_;
  if (!goes_on_) return out;
  start_ = mark();
  goal_ = {&practice, 0, 0};
  completion_.bar_none();
  look_at_base();
  find_at_base(out);
  for (unsigned rung = 0; rung < 5; ++rung) {
    goal_ = {&practice, rung, begin_of(rung)};
    if (rung < 4 && !any_may(begin_of(rung), end_of(rung))) continue;
    find(out);
    if (!is_more_below(out) || !leave_behind()) break;
  }
  undo(start_);
  return out;
}

// What the base is told, and what it is told with care, where that is soon found.
void SingleWeigher::Search::find_at_base(Codes& codes) {
  for (const Index c : forbidden_)
    if (holds(weigher_.conditions_[c])) return;
  unsigned rung = 0;
  while (rung < 4 && !is_any(held_, begin_of(rung), end_of(rung))) completion_.bar(alone(rung++));
  const bool has_care = is_any(held_, begin_of(4), end_of(4));
  codes.found |= has_care ? cared(rung) : plain(rung);
  goal_ = {goal_.practice, rung, begin_of(rung), Care::with};
  steps_ = most_steps - few_steps, gave_up_ = false;
  if (!(codes.found & cared(rung)) && any_may(begin_of(4), end_of(4)) && choose(4, goal_.has_care)) codes.found |= cared(rung);
  undo(start_);
  completion_.bar_none();
}

// Codes of further rungs that are not found yet.
bool SingleWeigher::Search::is_more_below(const Codes& codes) const {
  std::uint32_t all = 0;
  for (unsigned rung = goal_.rung + 1; rung <= 4; ++rung)
    if (rung == 4 || any_may(begin_of(rung), end_of(rung))) all |= plain(rung) | cared(rung);
  return (all & ~codes.found) != 0;
}

// The codes of a rung: of somebody of whom nothing graver holds.
void SingleWeigher::Search::find(Codes& codes) {
  const std::uint32_t plain = this->plain(goal_.rung), cared = this->cared(goal_.rung);
  if (((plain | cared) & ~codes.found) == 0) return;
  const bool may_have_care = plain != cared && any_may(begin_of(4), end_of(4));
  const auto look_for = [&](Care care, std::uint32_t code) {
    if ((codes.found & code) != 0) return;
    goal_.care = care;
    if (solve_from_stand())
      codes.found |= code;
    else if (gave_up_)
      codes.unknown |= code;
    undo(stand_);
  };
  if (!may_have_care) return look_for(Care::any, plain);
  if (!solve_from_stand()) {
    if (gave_up_) codes.unknown |= plain | cared;
    return undo(stand_);
  }
  if (!is_looked_at_) look();
  const bool has_care = any_held(4);
  codes.found |= has_care ? cared : plain;
  goal_.care = Care::with;
  if (!(codes.found & cared) && choose(4, goal_.has_care)) codes.found |= cared;
  undo(stand_);
  look_for(Care::with, cared);
  if ((codes.found & plain) != 0 || surely_holds(4)) return;
  memory_.kept_barred = completion_.barred();
  completion_.bar(alone(4));
  look_for(Care::without, plain);
  completion_.barred() = memory_.kept_barred;
}

// From now on nothing of the rung may hold; false where that cannot be.
bool SingleWeigher::Search::leave_behind() {
  const unsigned rung = goal_.rung;
  if (surely_holds(rung)) return false;
  completion_.bar(alone(rung));
  look();
  if (!any_held(rung)) return true;
  goal_ = {goal_.practice, 4, end_of(rung)};
  is_clean_ = false;
  if (solve_from_stand()) {
    stand_here();
    return true;
  }
  undo(stand_);
  return gave_up_;
}

// Whether something of it does, whatever the completion.
bool SingleWeigher::Search::surely_holds(unsigned rung) const {
  const std::uint64_t* row = alone(rung);
  for (std::size_t w = 0; w < weigher_.words(); ++w)
    if ((row[w] & scratch_.sure_inputs[w]) != 0) return true;
  const std::size_t begin = begin_of(rung), end = end_of(rung);
  for (std::size_t w = begin / 64; w * 64 < end; ++w)
    for (std::uint64_t left = within(memory_.held[w], w, begin, end); left != 0; left &= left - 1)
      if (surely_holds(condition(w, static_cast<unsigned>(std::countr_zero(left))))) return true;
  return false;
}

bool SingleWeigher::Search::solve_anew() {
  steps_ = 0, gave_up_ = false;
  goal_.has_item = goal_.has_care = false;
  return solve();
}

// From what is taken for granted; and where that leads nowhere, without it.
bool SingleWeigher::Search::solve_from_stand() {
  if (solve_anew()) return true;
  if (stand_.completion.changes == start_.completion.changes) return false;
  undo(start_);
  stand_at_base();
  return solve_anew();
}

// Goes on from the completion until it is as wanted, and leaves it so; else false, and what was kept may be undone by whoever asked.
bool SingleWeigher::Search::solve() {
  steps_ += 1 + static_cast<unsigned>(words_ / 64);  // of a large practice each takes longer
  if (steps_ > most_steps || depth_ == most_depth) {
    gave_up_ = true;
    return false;
  }
  ++depth_;
  const bool found = step();
  --depth_;
  return found;
}

bool SingleWeigher::Search::step() {
  for (const Index c : forbidden_)
    if (holds(weigher_.conditions_[c])) return take_away(weigher_.conditions_[c]);
  if (!goal_.practice) return true;
  is_looked_at_ = !(goal_.has_item && goal_.graver == 0 && goal_.care == Care::any);
  if (!is_looked_at_) return true;
  look();
  bool are_none = true;
  if (!is_stand_ || !is_clean_) {
    const bool is_solved = take_away_any(0, goal_.graver, are_none);
    if (!are_none) return is_solved;
  }
  if (goal_.care == Care::without) {
    const bool is_solved = take_away_any(begin_of(4), end_of(4), are_none);
    if (!are_none) return is_solved;
  }
  if (goal_.rung < 4 && !goal_.has_item && !any_held(goal_.rung)) return choose(goal_.rung, goal_.has_item);
  if (goal_.care == Care::with && !goal_.has_care && !any_held(4)) return choose(4, goal_.has_care);
  return true;
}

// Tries each way of each item of the rung that may hold: inputs that are enough by themselves first.
bool SingleWeigher::Search::choose(unsigned rung, bool& is_chosen) {
  const Mark before = mark();
  const std::uint64_t *row = alone(rung), *may = scratch_.may.data() + goal_.practice->items.first;
  const std::size_t begin = begin_of(rung), end = end_of(rung);
  bool all = true, found = false;
  is_chosen = true;
  for (std::size_t w = 0; w < weigher_.words() && !found && !gave_up_; ++w)
    for (std::uint64_t left = row[w] & rails_.yes[w] & ~completion_.barred()[w]; left != 0 && !found && !gave_up_; left &= left - 1) {
      found = completion_.keep(2 * static_cast<Index>(w * 64 + static_cast<std::size_t>(std::countr_zero(left))) + 2) && solve();
      if (!found) undo(before);
    }
  for (std::size_t w = begin / 64; w * 64 < end && !found; ++w)
    for (std::uint64_t left = within(may[w], w, begin, end); left != 0 && !found && !gave_up_; left &= left - 1) {
      const Condition& one = condition(w, static_cast<unsigned>(std::countr_zero(left)));
      found = !one.is_of_one && choose(one, all);
    }
  is_chosen = found;
  if (!found && !all) gave_up_ = true;
  return found;
}

bool SingleWeigher::Search::choose(const Condition& condition, bool& all) {
  all = all && condition.is_told;
  const Mark before = mark();
  const auto are_enough = [&](const auto& keep_them) {
    for (std::uint32_t s = condition.sides.begin; s < condition.sides.end; ++s) forbidden_.push_back(weigher_.sides_[s].condition);
    if (keep_them() && solve()) return true;
    undo(before);
    return false;
  };
  if (condition.is_of_one) {
    for (const Needed* needed = begin(condition); needed < end(condition) && !gave_up_; ++needed)
      if (are_enough([&] { return completion_.keep(needed->operand); })) return true;
    return false;
  }
  for (std::uint32_t left = ways_that(Completion::may_be, condition); left != 0 && !gave_up_; left &= left - 1)
    if (are_enough([&] { return keep_all(condition, left & -left); })) return true;
  return false;
}

// What holds of some items that may not, one after another; none of them does where nothing is returned but that.
bool SingleWeigher::Search::take_away_any(std::size_t begin, std::size_t end, bool& are_none) {
  for (std::size_t w = begin / 64; w * 64 < end; ++w)
    for (std::uint64_t left = within(items_[w], w, begin, end); left != 0; left &= left - 1) {
      const auto at = static_cast<unsigned>(std::countr_zero(left));
      if (!holds_now(w, at)) continue;
      are_none = false;
      return take_away(condition(w, at));
    }
  return false;
}

// What holds and may not: whoever is to be found is otherwise than in the way in which it holds, or one of its sides holds.
bool SingleWeigher::Search::take_away(const Condition& condition) {
  if (!condition.is_told) {
    gave_up_ = true;
    return false;
  }
  if (condition.is_of_one) return take_away_all(condition);
  const std::uint32_t held = ways_that(Completion::is_now, condition), way = held & -held;
  const Mark before = mark();
  for (std::uint64_t left = open_in(condition, way); left != 0; left &= left - 1) {
    const Index o = begin(condition)[std::countr_zero(left)].operand;
    const Mark here = mark();
    if (completion_.keep(o ^ 1u) && solve()) return true;
    undo(here);
    if (gave_up_) return false;
    if (!completion_.keep(o)) {                         // from now on it is so
      undo(before);
      return false;
    }
  }
  for (std::uint32_t s = condition.sides.begin; s < condition.sides.end; ++s) {
    const Side& side = weigher_.sides_[s];
    bool all = true;
    if (!is_barred(side) && choose(weigher_.conditions_[side.condition], all)) return true;
    if (gave_up_) return false;
  }
  undo(before);
  return false;
}

// Where any input is enough, all of them are taken away.
bool SingleWeigher::Search::take_away_all(const Condition& condition) {
  const Mark before = mark();
  const auto is_kept_out = [&](const Needed& needed) { return completion_.keep(needed.operand ^ 1u); };
  if (std::all_of(begin(condition), end(condition), is_kept_out) && solve()) return true;
  undo(before);
  return false;
}

// It may not hold, since it is graver than what is wanted.
bool SingleWeigher::Search::is_barred(const Side& side) const {
  return goal_.practice && side.item != no_index && side.item - goal_.practice->items.first * std::size_t{64} < goal_.graver;
}

}  // namespace betony::runtime
