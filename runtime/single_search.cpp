// Completions of a half-known person, looked for until each verdict is found or shown not to come.
//
// At any time there is one completion: some inputs are kept as they are, all others that are open are as in the base, in which they are
// no, or in their first cell; but for a few that are yes, since of whoever has them little of the practice holds. Does an item hold in it
// that may not, since it is graver than what is wanted, then whoever gets the verdict has one of the inputs of the way in which it holds
// otherwise: each that is not kept yet is tried, one after another, and so are the ways of its sides. Does none, and nothing holds of what
// is wanted, then each way of each item that is wanted is tried. Every step keeps more, so there is an end to it; and as nobody is passed
// over, what is not found then cannot come.
//
// Which ways hold is told by rows of bits: those of the base, and of the inputs that the completion has besides. A verdict that comes is mostly
// found by the first completion, which then is extended to get it with care. Where all that is graver had to be taken out of the way, others
// begin there from then on (the stand). Where a way holds that may not, and all of it is kept, what it asks for besides the stand is learned, if
// that is one input: nobody who begins there may have it. What cannot come is mostly shown within few steps; their number is bounded, and
// where they are used up, it is not known.
//
// Fits       "withheld if a, unless d"; of somebody with a: advised comes by d alone, allowed not, if d is advised.
// Does not   dozens of bans that are in force and have two exceptions each, which exclude one another.
// Source     the search by Davis, Logemann, Loveland, A machine program for theorem-proving, CACM 1962, with what is broken, not what is
//            open, telling where to go on.
#include "runtime/single_search.h"

#include <algorithm>

namespace betony::runtime {
namespace {

constexpr std::uint32_t every_code = 0xffff;

}  // namespace

template <std::size_t known_blocks>
SingleWeigher::Search<known_blocks>::Search(const SingleWeigher& weigher, const Rails& rails, Scratch& scratch)
    : weigher_(weigher),
      scratch_(scratch),
      memory_(scratch.searched),
      forbidden_(scratch.searched.forbidden),
      completion_(weigher, rails, scratch) {
  forbidden_.clear();
  look_at_everybody();
}

// ---------------------------------------------------------------- everybody's verdicts

// Outside, and referred: all practices tell the same. Then whoever is left is looked at, and a base is found for those.
template <std::size_t known_blocks>
void SingleWeigher::Search<known_blocks>::look_at_everybody() {
  memory_.inputs.resize(weigher_.words());
  goes_on_ = forbid(weigher_.nobody_);
  if (goes_on_) find_any(weigher_.not_meant_, Verdict::outside), goes_on_ = forbid(weigher_.not_meant_);
  if (goes_on_) find_any(weigher_.referred_, Verdict::referred), goes_on_ = forbid(weigher_.referred_);
  if (goes_on_) find_base();
}

template <std::size_t known_blocks>
void SingleWeigher::Search<known_blocks>::find_any(Span conditions, Verdict verdict) {
  const Mark before = mark();
  steps_ = 0, gave_up_ = false;
  bool all = true, found = false;
  for (std::uint32_t c = conditions.begin; c < conditions.end && !found && !gave_up_; ++c) found = choose(weigher_.conditions_[c], all);
  undo(before);
  const std::uint32_t code = std::uint32_t{1} << static_cast<unsigned>(verdict);
  if (found) everybody_.found |= code;
  if (!found && (gave_up_ || !all)) everybody_.unknown |= code;
}

// From now on none of the conditions may hold; false where one of them surely does. Where only one input is left to it, that is kept.
template <std::size_t known_blocks>
bool SingleWeigher::Search<known_blocks>::forbid(Span conditions) {
  for (std::uint32_t c = conditions.begin; c < conditions.end; ++c) {
    const Condition& condition = weigher_.conditions_[c];
    const bool has_sides = condition.sides.begin < condition.sides.end;
    const Ways of = ways(condition.ways);
    bool is_left = !condition.is_told;
    for (std::size_t w = 0; (w = first_within(of, w, completion_.may_be())) < of.count; ++w) {
      unsigned open = 0;
      Index last = 0;
      completion_.any_open(way(of, w), [&](Index operand, bool is_last) { return last = operand, open = is_last ? 1 : 2, true; });
      const bool is_one = !has_sides && open < 2;
      is_left = is_left || !is_one;
      if (is_one && (open == 0 || !completion_.keep(last ^ 1u))) return false;
    }
    if (is_left) forbidden_.push_back(c);
  }
  return true;
}

// A completion of whom the teaching says something is where others begin from here on, if there is one.
template <std::size_t known_blocks>
void SingleWeigher::Search<known_blocks>::find_base() {
  forbidden_by_all_ = forbidden_.size();
  goal_ = {};
  is_base_sound_ = forbidden_.empty() || solve_anew();
  if (is_base_sound_)
    completion_.begin_others();
  else if (!gave_up_)
    goes_on_ = false;
  undo({0, forbidden_by_all_, 0});
  look_at_base();
}

// ---------------------------------------------------------------- one practice

template <std::size_t known_blocks>
SingleWeigher::Codes SingleWeigher::Search<known_blocks>::of(const Practice& practice) {
  Codes out = everybody_;
  if (!goes_on_) return out;
  if (!practice.ways.is_told) return {out.found, out.unknown | every_code};
  goal_ = {&practice, 0, 0};
  look_at(practice);
  if (is_base_sound_) find_at_stand(out);
  for (unsigned rung = 0; rung < 5; ++rung) {
    goal_ = {&practice, rung, rung};
    if (rung < 4 && !has_any(rung)) continue;
    find(out);
    if (!is_more_below(out) || !leave_behind(out)) break;
  }
  undo({0, forbidden_by_all_, 0});
  return out;
}

template <std::size_t known_blocks>
void SingleWeigher::Search<known_blocks>::prefer(const Practice& practice, Literals* row) {
  if (!goes_on_) return;
  bool found = false;
  most_steps_ = steps_to_prefer;
  for (unsigned tries = 0; tries < 8 && !found; ++tries) {
    goal_ = {&practice, 4, 4 - tries / 2, tries % 2 == 0 ? Care::without : Care::any};
    look_at(practice);
    found = solve_anew();
    for (std::size_t b = 0; b < completion_.blocks() && found; ++b)
      for (std::size_t w = 0; w < Literals::words; ++w)
        row[b].yes[w] = completion_.is_now()[b].yes[w] & ~completion_.is_at(0)[b].yes[w] & ~weigher_.of_wide_[b].yes[w];
    undo({0, forbidden_by_all_, 0});
  }
}

// What the stand is told, in which nothing forbidden holds; and what it is told with care, where that is soon found.
template <std::size_t known_blocks>
void SingleWeigher::Search<known_blocks>::find_at_stand(Codes& codes) {
  look_at_stand();
  const unsigned rung = rung_held();
  clean_ = rung;
  codes.found |= any_held(only(4)) ? cared(rung) : plain(rung);
  if ((codes.found & cared(rung)) != 0 || !has_any(4)) return;
  goal_ = {goal_.practice, rung, rung, Care::with};
  steps_ = most_steps - few_steps, gave_up_ = is_on_stand_ = false;
  completion_.go_deeper();
  learned_level_ = stand_.level + 1;        // what may not be of this goal may be of those to come
  if (completion_.keep_out(alone(before(rung))) && choose(4, goal_.has_care)) codes.found |= cared(rung);
  undo(stand_);
}

// Codes of further rungs that are not found yet.
template <std::size_t known_blocks>
bool SingleWeigher::Search<known_blocks>::is_more_below(const Codes& codes) const {
  return (goal_.practice->codes_behind[goal_.rung] & ~codes.found) != 0;
}

// The codes of a rung: of somebody of whom nothing graver holds.
template <std::size_t known_blocks>
void SingleWeigher::Search<known_blocks>::find(Codes& codes) {
  const std::uint32_t plain = this->plain(goal_.rung), cared = this->cared(goal_.rung);
  if (((plain | cared) & ~codes.found) == 0) return;
  const auto look_for = [&](Care care, std::uint32_t code) {
    if ((codes.found & code) != 0) return;
    goal_.care = care;
    if (solve_from_stand())
      codes.found |= code;
    else if (gave_up_)
      codes.unknown |= code;
    undo(stand_);
  };
  if (plain == cared || !has_any(4)) return look_for(Care::any, plain);
  if (((plain | cared) & codes.found) == 0) {
    if (!solve_from_stand()) {
      if (gave_up_) codes.unknown |= plain | cared;
      return undo(stand_);
    }
    if (!is_looked_at_) look();
    codes.found |= any_held(only(4)) ? cared : plain;
    goal_.care = Care::with;
    if (!(codes.found & cared) && choose(4, goal_.has_care)) codes.found |= cared;
    undo(stand_);
  }
  look_for(Care::with, cared);
  if ((codes.found & plain) != 0) return;
  look_at_stand();
  bool is_sure = false;
  held_of(4, is_sure);
  if (!is_sure) look_for(Care::without, plain);
}

// From now on nothing of the rung may hold; false where that cannot be. What is found with it is told.
template <std::size_t known_blocks>
bool SingleWeigher::Search<known_blocks>::leave_behind(Codes& codes) {
  const unsigned rung = goal_.rung;
  if (is_nobody_) return false;
  if (!completion_.keep_out(alone(only(rung)))) {
    if (!is_advanced_ || !stand_at_base(rung + 1)) return false;
  } else if (completion_.was_changed()) {
    clean_ = 0, is_stand_seen_ = false;
  }
  if (clean_ > rung) return true;
  look_at_stand();
  bool is_sure = false;
  const Held held = held_of(rung, is_sure);
  if (clean_ == rung && !held.is_so) {
    clean_ = rung + 1;
    return true;
  }
  if (is_sure) return false;
  goal_ = {goal_.practice, 4, rung + 1};
  if (!solve_from_stand(clean_ == rung ? &held : nullptr)) {
    undo(stand_);
    return gave_up_;
  }
  // What is kept in the completion is taken for granted, until it leads nowhere.
  completion_.go_back_with_all(stand_.level);
  stand_ = mark();
  is_advanced_ = true;
  keep_picture();
  find_at_stand(codes);
  return true;
}

// Where nothing is taken for granted but that nothing of so many rungs holds; false where that cannot be.
template <std::size_t known_blocks>
bool SingleWeigher::Search<known_blocks>::stand_at_base(unsigned rungs) {
  undo({0, forbidden_by_all_, 0});
  begin_practice();
  is_nobody_ = !completion_.keep_out(alone(before(rungs)));
  return !is_nobody_;
}

// held: nothing but this is known of the stand, and it may not hold.
template <std::size_t known_blocks>
bool SingleWeigher::Search<known_blocks>::solve_anew(const Held* held) {
  steps_ = 0, gave_up_ = false;
  goal_.has_item = goal_.has_care = is_on_stand_ = false;
  learned_level_ = stand_.level;
  if (clean_ > goal_.rung && goal_.care == Care::any) return choose(goal_.rung, goal_.has_item);  // in the stand nothing is as wanted
  completion_.go_deeper();
  is_on_stand_ = true;
  if (goal_.care == Care::without) {
    if (!completion_.keep_out(alone(only(4)))) return false;
    is_on_stand_ = !completion_.was_changed();
  }
  return held ? take_away(*held) : solve();
}

// From what is taken for granted; and where that leads nowhere, without it.
template <std::size_t known_blocks>
bool SingleWeigher::Search<known_blocks>::solve_from_stand(const Held* held) {
  if (is_nobody_) return gave_up_ = false;
  if (solve_anew(held)) return true;
  if (!is_advanced_) return false;
  gave_up_ = false;
  return stand_at_base(goal_.graver) && solve_anew();
}

// Goes on from the completion until it is as wanted, and leaves it so; else false, and what was kept is undone by whoever asked.
template <std::size_t known_blocks>
bool SingleWeigher::Search<known_blocks>::solve() {
  steps_ += 1 + (goal_.practice ? static_cast<unsigned>(table().ends[4] * completion_.blocks() / 4096) : 0);  // of a large practice each takes longer
  if (steps_ > most_steps_ || depth_ == most_depth) {
    gave_up_ = true;
    return false;
  }
  ++depth_;
  const bool found = step();
  --depth_;
  return found;
}

template <std::size_t known_blocks>
bool SingleWeigher::Search<known_blocks>::step() {
  for (const Index c : forbidden_)
    if (const Held it = held(weigher_.conditions_[c]); it.is_so) return take_away(it);
  if (!goal_.practice) return true;
  is_looked_at_ = !(goal_.has_item && goal_.graver == 0 && goal_.care == Care::any);
  if (!is_looked_at_) return true;
  const bool is_stand = is_on_stand_;
  is_on_stand_ = false;
  is_stand ? look_at_stand() : look();
  if (goal_.graver > 0 && !(is_stand && clean_ >= goal_.graver))
    if (const std::size_t it = first_held(before(goal_.graver)); it != none) return take_away(held_by(it));
  if (goal_.care == Care::without)
    if (const std::size_t it = first_held(only(4)); it != none) return take_away(held_by(it));
  if (goal_.care == Care::with && !goal_.has_care && !any_held(only(4))) return choose(4, goal_.has_care);
  if (goal_.rung < 4 && !goal_.has_item && !any_held(only(goal_.rung))) return choose(goal_.rung, goal_.has_item);
  return true;
}

// Tries each way of the rung that may be.
template <std::size_t known_blocks>
bool SingleWeigher::Search<known_blocks>::choose(unsigned rung, bool& is_chosen) {
  const std::uint32_t begin = table().begins[rung];
  is_chosen = true;
  const bool found = choose_any({way(begin), table().ends[rung] - begin}, {}, &begin);
  is_chosen = found;
  for (std::uint32_t u = table().untold.begin; u < table().untold.end && !found; ++u) gave_up_ = gave_up_ || weigher_.untold_[u].rung == rung;
  return found;
}

template <std::size_t known_blocks>
bool SingleWeigher::Search<known_blocks>::choose(const Condition& condition, bool& all) {
  all = all && condition.is_told;
  return choose_any(ways(condition.ways), condition.sides, nullptr);
}

// first: the number of the first of them, if they are ways of the goal's practice; then each has sides of its own.
template <std::size_t known_blocks>
bool SingleWeigher::Search<known_blocks>::choose_any(const Ways& of, Span sides, const std::uint32_t* first) {
  const Mark before = mark();
  for (std::size_t w = 0; !gave_up_ && (w = first_within(of, w, completion_.may_be())) < of.count; ++w) {
    completion_.go_deeper();
    if (first) {
      sides = sides_of(*first + w);
      add_rows_of(*first + w);
    } else if (goal_.practice) {
      completion_.be_other();
    }
    for (std::uint32_t s = sides.begin; s < sides.end; ++s) forbidden_.push_back(weigher_.sides_[s].condition);
    if (completion_.keep_all(way(of, w)) && solve()) return true;
    undo(before);
  }
  return false;
}

// What holds and may not: whoever is to be found is otherwise than in the way in which it holds, or one of its sides holds.
template <std::size_t known_blocks>
bool SingleWeigher::Search<known_blocks>::take_away(const Held& held) {
  if (!held.way) {
    gave_up_ = true;
    return false;
  }
  bool found = false, is_over = false;
  is_on_stand_ = false;
  const bool has_sides = held.sides.begin < held.sides.end;
  completion_.any_open(held.way, [&](Index operand, bool is_last) {
    if (is_last && !has_sides) {            // nobody comes back to this level
      found = keep(operand ^ 1u) && solve();
      return is_over = true;
    }
    const Mark here = mark();
    completion_.go_deeper();
    found = keep(operand ^ 1u) && solve();
    if (found) return true;
    undo(here);
    is_over = gave_up_ || !keep(operand);  // from now on it is so
    return is_over;
  });
  if (found || is_over) return found;
  if (!has_sides) learn(held.way);          // then nothing of it was open
  for (std::uint32_t s = held.sides.begin; s < held.sides.end && !found && !gave_up_; ++s) {
    const Side& side = weigher_.sides_[s];
    bool all = true;
    const bool is_barred = goal_.practice && side.rung < goal_.graver;  // it may not hold either
    found = !is_barred && choose(weigher_.conditions_[side.condition], all);
  }
  return found;
}

// A way may not hold and does, and all of it is kept. Where it is one input only that it asks for besides what is kept in the stand, whoever
// goes on from there may not have that.
template <std::size_t known_blocks>
void SingleWeigher::Search<known_blocks>::learn(const Literals* way) {
  if (!goal_.practice || goal_.graver == 0 || way < this->way(0) || way >= this->way(table().ends[goal_.graver - 1])) return;
  completion_.keep_from(learned_level_, way);
}

template <std::size_t known_blocks>
bool SingleWeigher::Search<known_blocks>::keep(Index operand) {
  if (!completion_.keep(operand)) return false;
  if (!goal_.practice || (operand & 1u)) return true;
  const Index input = operand / 2 - 1;
  const std::uint32_t* places = weigher_.way_places_.data() + table().places;
  if (!completion_.is_wide(input)) return add_row(places[input]), true;
  const Variable& v = weigher_.pack_.variables[weigher_.variable_of_[input]];
  for (Index i = v.first_input; i < v.first_input + v.inputs; ++i)  // all that follow from it, too
    if (completion_.is_yes(i)) add_row(places[i]);
  return true;
}

// Of what is kept from here on, which is yes.
template <std::size_t known_blocks>
inline void SingleWeigher::Search<known_blocks>::add_row(std::uint32_t place) {
  memory_.kept_rows[kept_rows_++] = weigher_.way_rows_.data() + table().rows + place;
  make_room_for_rows();
}

template <std::size_t known_blocks>
inline void SingleWeigher::Search<known_blocks>::add_rows_of(std::size_t at) {
  const std::uint32_t* its = places_of(at);
  if (*its == no_index) return completion_.be_other();
  const std::uint64_t* rows = weigher_.way_rows_.data() + table().rows;
  for (std::size_t r = 0; r < WayTable::most_places; ++r) memory_.kept_rows[kept_rows_ + r] = rows + its[1 + r];
  kept_rows_ += *its;
  make_room_for_rows();
}

// For those that are added next, and for as many as a practice prefers.
template <std::size_t known_blocks>
inline void SingleWeigher::Search<known_blocks>::make_room_for_rows() {
  const std::size_t most = kept_rows_ + memory_.preferred_inputs.size() + 2 * WayTable::most_places;
  if (most > memory_.kept_rows.size()) memory_.kept_rows.resize(2 * most);
}

template class SingleWeigher::Search<0>;
template class SingleWeigher::Search<1>;

}  // namespace betony::runtime
