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
#include <bit>

namespace betony::runtime {
namespace {

constexpr std::size_t none = ~std::size_t{0};
constexpr unsigned most_steps = 400;

bool bit(const std::uint64_t* words, Index at) { return words[at / 64] >> (at % 64) & 1u; }

// Of the bits of a word those that stand from begin to end.
std::uint64_t within(std::uint64_t bits, std::size_t word, std::size_t begin, std::size_t end) {
  if (word == begin / 64) bits &= ~std::uint64_t{0} << (begin % 64);
  return end - word * 64 < 64 ? bits & ((std::uint64_t{1} << (end - word * 64)) - 1) : bits;
}

}  // namespace

SingleWeigher::Search::Search(const SingleWeigher& weigher, const Rails& rails, Scratch& scratch)
    : weigher_(weigher), rails_(rails), scratch_(scratch), trial_(scratch.trial), listed_(scratch.rest) {
  begin();
  look_at_everybody();
}

// ---------------------------------------------------------------- the person, and everybody's verdicts

void SingleWeigher::Search::begin() {
  const std::size_t words = weigher_.words();
  const Index inputs = weigher_.program_.inputs;
  scratch_.base.resize(words), trial_.inputs.resize(words);
  trial_.states.resize(inputs * std::size_t{2} + 2);
  states_ = trial_.states.data();
  trial_.undone.clear(), trial_.added.clear(), trial_.forbidden.clear();
  trial_.turned = 0;
  for (std::size_t w = 0; w < words; ++w) scratch_.base[w] = trial_.inputs[w] = rails_.yes[w] & ~rails_.no[w];
  states_[0] = 0, states_[1] = is_all;
  static constexpr std::uint8_t of[4][2] = {{0, 0}, {is_all, 0}, {0, is_all}, {may_be, may_be | is_now}};
  for (Index i = 0; i < inputs; ++i) {
    const unsigned known = bit(rails_.yes, i) + 2u * bit(rails_.no, i);
    states_[2 * i + 2] = of[known][0], states_[2 * i + 3] = of[known][1];
  }
  for (const Index v : weigher_.wide_) settle(v);
  scratch_.base = trial_.inputs;
  trial_.undone.clear(), trial_.added.clear();
  trial_.turned = 0;
}

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
  trial_.steps = 0, trial_.gave_up = false;
  bool all = true, found = false;
  for (auto c = listed_.begin(); c < listed_.end() && !found && !trial_.gave_up; ++c) found = choose(weigher_.conditions_[*c], all);
  undo(before);
  const std::uint32_t code = std::uint32_t{1} << static_cast<unsigned>(verdict);
  if (found) everybody_.found |= code;
  if (!found && (trial_.gave_up || !all)) everybody_.unknown |= code;
}

// From now on none of the listed conditions may hold; false where one of them surely does. Where only one input is left to it, that is kept.
bool SingleWeigher::Search::forbid() {
  for (const Index c : listed_) {
    const Condition& condition = weigher_.conditions_[c];
    const bool has_sides = condition.sides.begin < condition.sides.end;
    bool is_left = !condition.is_told;
    for (std::uint32_t way = condition.ways.begin; way < condition.ways.end; ++way) {
      if (!(state_of(way) & may_be)) continue;
      unsigned open = 0;
      Index last = 0;
      for (std::uint32_t l = weigher_.way_ends_[way]; l < weigher_.way_ends_[way + 1]; ++l)
        if (const Index o = weigher_.literals_[l]; !(states_[o] & is_kept)) ++open, last = o;
      is_left = is_left || has_sides || open > 1;
      if (has_sides || open > 1) continue;
      if (open == 0 || !keep(last ^ 1u)) return false;
    }
    if (is_left) trial_.forbidden.push_back(c);
  }
  return true;
}

// From here on a completion of whom the teaching says something is where others begin, if there is one.
void SingleWeigher::Search::find_base() {
  const Mark before = mark();
  goal_ = {};
  const bool is_found = solve_anew();
  if (!is_found && !trial_.gave_up) goes_on_ = false;
  if (is_found) scratch_.base = trial_.inputs;
  undo(before);
  for (Index i = 0; i < weigher_.program_.inputs && is_found; ++i)
    if (bit(scratch_.base.data(), i) != bit(trial_.inputs.data(), i)) turn(i, bit(scratch_.base.data(), i));
  scratch_.base = trial_.inputs;
  trial_.undone.clear(), trial_.added.clear();
  trial_.turned = 0;
  weigher_.or_rows(scratch_.base.data(), scratch_.base_rows);
  weigher_.items_of(scratch_.base_rows, scratch_.base_rows, scratch_.base_items);
}

// ---------------------------------------------------------------- one practice

SingleWeigher::Codes SingleWeigher::Search::of(const Practice& practice) {
  Codes out = everybody_;
  if (!goes_on_) return out;
  const Mark before = mark();
  goal_.practice = &practice;
  for (unsigned rung = 0; rung < 5; ++rung) {
    const std::size_t begin = rung == 0 ? 0 : practice.ends[rung - 1], end = practice.ends[rung];
    if (rung < 4 && !any_may(begin, end)) continue;
    find(rung, out);
    if (rung < 4 && !leave_behind(rung)) break;
  }
  undo(before);
  return out;
}

// The codes of a rung: of somebody whom nothing graver holds of.
void SingleWeigher::Search::find(unsigned rung, Codes& codes) {
  const Practice& practice = *goal_.practice;
  const std::uint32_t plain = std::uint32_t{1} << practice.codes[rung][0], cared = std::uint32_t{1} << practice.codes[rung][1];
  if (((plain | cared) & ~codes.found) == 0) return;
  const bool may_have_care = plain != cared && any_may(practice.ends[3], practice.ends[4]);
  goal_.begin = rung == 0 ? 0 : practice.ends[rung - 1];
  goal_.end = rung < 4 ? practice.ends[rung] : goal_.begin;
  goal_.graver = goal_.begin;
  goal_.care = Care::any;
  const Mark before = mark();
  const auto found = [&](bool is_found, std::uint32_t code) {
    if (is_found) codes.found |= code;
    if (!is_found && trial_.gave_up) codes.unknown |= code;
  };
  if (!solve_anew()) {
    found(false, may_have_care ? plain | cared : plain);
    return undo(before);
  }
  if (!may_have_care) {
    found(true, plain);
    return undo(before);
  }
  const bool has_care = first_held(practice.ends[3], practice.ends[4]) != none;
  found(true, has_care ? cared : plain);
  goal_.care = Care::with;
  if (!(codes.found & cared) && solve_anew()) found(true, cared);
  undo(before);
  if (!(codes.found & cared)) found(solve_anew(), cared), undo(before);
  if (codes.found & plain) return;
  goal_.care = Care::without;
  const bool without = keep_alone_out(4);
  trial_.gave_up = false;
  found(without && solve_anew(), plain);
  undo(before);
}

// From now on nothing of the rung may hold; false where something surely does.
bool SingleWeigher::Search::leave_behind(unsigned rung) {
  const Practice& practice = *goal_.practice;
  if (!keep_alone_out(rung)) return false;
  const std::size_t begin = rung == 0 ? 0 : practice.ends[rung - 1], end = practice.ends[rung];
  const std::uint64_t* items = scratch_.base_items.data() + practice.items.first;
  for (std::size_t w = begin / 64; w * 64 < end; ++w)
    for (std::uint64_t left = within(items[w], w, begin, end); left != 0; left &= left - 1)
      if (surely_holds(weigher_.conditions_[(practice.items.first + w) * 64 + static_cast<std::size_t>(std::countr_zero(left))])) return false;
  return true;
}

// The inputs that alone make something of a rung hold.
bool SingleWeigher::Search::keep_alone_out(unsigned rung) {
  const std::uint64_t* row = weigher_.alone_.data() + goal_.practice->alone + rung * weigher_.words();
  for (std::size_t w = 0; w < weigher_.words(); ++w)
    for (std::uint64_t left = row[w] & rails_.yes[w]; left != 0; left &= left - 1) {
      const auto input = static_cast<Index>(w * 64 + static_cast<std::size_t>(std::countr_zero(left)));
      if (!keep(2 * input + 3)) return false;
    }
  return true;
}

bool SingleWeigher::Search::solve_anew() {
  trial_.steps = 0, trial_.gave_up = false;
  return solve();
}

// Goes on from the completion until it is as wanted, and leaves it so; else false, and what was kept may be undone by whoever asked.
bool SingleWeigher::Search::solve() {
  if (++trial_.steps > most_steps) {
    trial_.gave_up = true;
    return false;
  }
  for (const Index c : trial_.forbidden)
    if (holds(weigher_.conditions_[c])) return take_away(weigher_.conditions_[c]);
  if (!goal_.practice) return true;
  look();
  const std::size_t first = goal_.practice->items.first * std::size_t{64};
  const auto& ends = goal_.practice->ends;
  if (const std::size_t held = first_held(0, goal_.graver); held != none) return take_away(weigher_.conditions_[first + held]);
  if (goal_.care == Care::without)
    if (const std::size_t held = first_held(ends[3], ends[4]); held != none) return take_away(weigher_.conditions_[first + held]);
  if (goal_.begin < goal_.end && first_held(goal_.begin, goal_.end) == none) return choose(goal_.begin, goal_.end);
  if (goal_.care == Care::with && first_held(ends[3], ends[4]) == none) return choose(ends[3], ends[4]);
  return true;
}

// Tries each way of each item that may hold.
bool SingleWeigher::Search::choose(std::size_t begin, std::size_t end) {
  const std::size_t first = goal_.practice->items.first;
  const Mark before = mark();
  bool all = true;
  for (std::size_t w = begin / 64; w * 64 < end; ++w)
    for (std::uint64_t left = within(scratch_.may[first + w], w, begin, end); left != 0; left &= left - 1) {
      if (choose(weigher_.conditions_[(first + w) * 64 + static_cast<std::size_t>(std::countr_zero(left))], all)) return true;
      if (trial_.gave_up) return false;
    }
  undo(before);
  trial_.gave_up = !all;
  return false;
}

bool SingleWeigher::Search::choose(const Condition& condition, bool& all) {
  all = all && condition.is_told;
  for (std::uint32_t way = condition.ways.begin; way < condition.ways.end; ++way) {
    if (!(state_of(way) & may_be)) continue;
    const Mark before = mark();
    for (std::uint32_t s = condition.sides.begin; s < condition.sides.end; ++s) trial_.forbidden.push_back(weigher_.sides_[s].condition);
    if (keep_all(way) && solve()) return true;
    undo(before);
    if (trial_.gave_up) return false;
  }
  return false;
}

// What holds and may not: whoever is to be found is otherwise than in the way in which it holds, or one of its sides holds.
bool SingleWeigher::Search::take_away(const Condition& condition) {
  if (!condition.is_told) {
    trial_.gave_up = true;
    return false;
  }
  std::uint32_t way = condition.ways.begin;
  while (!(state_of(way) & is_now)) ++way;
  const Mark before = mark();
  for (std::uint32_t l = weigher_.way_ends_[way]; l < weigher_.way_ends_[way + 1]; ++l) {
    const Index o = weigher_.literals_[l];
    if (states_[o] & is_kept) continue;
    const Mark here = mark();
    if (keep(o ^ 1u) && solve()) return true;
    undo(here);
    if (trial_.gave_up) return false;
    if (!keep(o)) {                         // from now on it is so
      undo(before);
      return false;
    }
  }
  for (std::uint32_t s = condition.sides.begin; s < condition.sides.end; ++s) {
    const Side& side = weigher_.sides_[s];
    bool all = true;
    if (!is_barred(side) && choose(weigher_.conditions_[side.condition], all)) return true;
    if (trial_.gave_up) return false;
  }
  undo(before);
  return false;
}

// It may not hold, since it is graver than what is wanted.
bool SingleWeigher::Search::is_barred(const Side& side) const {
  if (!goal_.practice || side.item == no_index) return false;
  return side.item - goal_.practice->items.first * std::size_t{64} < goal_.graver;
}

// ---------------------------------------------------------------- what holds

// Of all inputs of the way together.
std::uint8_t SingleWeigher::Search::state_of(std::uint32_t way) const {
  std::uint8_t out = is_all;
  const Index *l = weigher_.literals_.data() + weigher_.way_ends_[way], *end = weigher_.literals_.data() + weigher_.way_ends_[way + 1];
  for (; l < end; ++l) out &= states_[*l];
  return out;
}

bool SingleWeigher::Search::holds(const Condition& condition) {
  if (!condition.is_told) {
    weigher_.next_person(scratch_.whole);
    return weigher_.holds(condition.operand, trial_.inputs.data(), scratch_);
  }
  std::uint32_t way = condition.ways.begin;
  while (way < condition.ways.end && !(state_of(way) & is_now)) ++way;
  if (way == condition.ways.end) return false;
  for (std::uint32_t s = condition.sides.begin; s < condition.sides.end; ++s)
    if (holds(weigher_.conditions_[weigher_.sides_[s].condition])) return false;
  return true;
}

bool SingleWeigher::Search::surely_holds(const Condition& condition) const {
  std::uint32_t way = condition.ways.begin;
  while (way < condition.ways.end && !(state_of(way) & is_kept)) ++way;
  if (way == condition.ways.end) return false;
  for (std::uint32_t s = condition.sides.begin; s < condition.sides.end; ++s) {
    const Span ways = weigher_.conditions_[weigher_.sides_[s].condition].ways;
    for (std::uint32_t other = ways.begin; other < ways.end; ++other)
      if (state_of(other) & may_be) return false;
  }
  return true;
}

// Of the goal's practice, the items that may hold in the completion.
void SingleWeigher::Search::look() {
  const Area& area = goal_.practice->items;
  if (trial_.added.empty() && trial_.turned == 0) {
    items_ = scratch_.base_items.data() + area.first;
    return;
  }
  const std::size_t row = weigher_.first_row_.size(), width = weigher_.width_;
  const bool is_added_to = trial_.turned == 0, has_rows = !weigher_.rows_.empty();
  const std::uint64_t* rows = weigher_.rows_.data();
  trial_.items.resize(area.count);
  for (std::uint32_t w = 0; w < area.count; ++w) {
    std::uint64_t items = ~std::uint64_t{0};
    for (std::size_t layer = 0; layer < weigher_.layers_; ++layer) {
      const std::size_t at = layer * width + area.first + w;
      std::uint64_t any = is_added_to ? scratch_.base_rows[at] : weigher_.first_row_[at];
      if (is_added_to && has_rows)
        for (const Index input : trial_.added) any |= rows[input * row + at];
      if (!is_added_to && has_rows)
        for (std::size_t i = 0; i < trial_.inputs.size(); ++i)
          for (std::uint64_t left = trial_.inputs[i]; left != 0; left &= left - 1)
            any |= rows[(i * 64 + static_cast<std::size_t>(std::countr_zero(left))) * row + at];
      items &= layer < weigher_.clauses_ ? any : ~any;
    }
    trial_.items[w] = items;
  }
  items_ = trial_.items.data();
}

// The first item of the goal's practice that holds.
std::size_t SingleWeigher::Search::first_held(std::size_t begin, std::size_t end) {
  const std::size_t first = goal_.practice->items.first;
  for (std::size_t w = begin / 64; w * 64 < end; ++w)
    for (std::uint64_t left = within(items_[w], w, begin, end); left != 0; left &= left - 1) {
      const auto at = static_cast<std::size_t>(std::countr_zero(left));
      if ((weigher_.exact_[first + w] >> at & 1u) || holds(weigher_.conditions_[(first + w) * 64 + at])) return w * 64 + at;
    }
  return none;
}

bool SingleWeigher::Search::any_may(std::size_t begin, std::size_t end) const {
  const std::uint64_t* items = scratch_.may.data() + goal_.practice->items.first;
  for (std::size_t w = begin / 64; w * 64 < end; ++w)
    if (within(items[w], w, begin, end) != 0) return true;
  return false;
}

// ---------------------------------------------------------------- the completion

void SingleWeigher::Search::undo(const Mark& mark) {
  while (trial_.undone.size() > mark.undone) {
    const auto [operand, state] = trial_.undone.back();
    trial_.undone.pop_back();
    states_[operand] = state;
    if (operand & 1u) continue;
    const Index input = operand / 2 - 1;
    const std::uint64_t one = std::uint64_t{1} << (input % 64);
    trial_.inputs[input / 64] = state & is_now ? trial_.inputs[input / 64] | one : trial_.inputs[input / 64] & ~one;
  }
  trial_.added.resize(mark.added);
  trial_.forbidden.resize(mark.forbidden);
  trial_.turned = mark.turned;
}

void SingleWeigher::Search::write(Index operand, std::uint8_t state) {
  trial_.undone.push_back({operand, states_[operand]});
  states_[operand] = state;
}

void SingleWeigher::Search::turn(Index input, bool yes) {
  const Index so = 2 * input + (yes ? 2 : 3);
  write(so, states_[so] | is_now), write(so ^ 1u, states_[so ^ 1u] & static_cast<std::uint8_t>(~is_now));
  trial_.inputs[input / 64] ^= std::uint64_t{1} << (input % 64);
  if (yes && !bit(scratch_.base.data(), input))
    trial_.added.push_back(input);
  else
    ++trial_.turned;
}

// The input stays as the operand says from now on; false where it cannot.
bool SingleWeigher::Search::keep(Index operand) {
  const std::uint8_t state = states_[operand];
  if (state & is_kept) return true;
  if (!(state & may_be)) return false;
  const Index input = operand / 2 - 1;
  if (!bit(weigher_.yes_no_.data(), input)) return keep_wide(operand);
  if (!(state & is_now)) turn(input, !(operand & 1u));
  write(operand, is_all), write(operand ^ 1u, 0);
  return true;
}

bool SingleWeigher::Search::keep_all(std::uint32_t way) {
  for (std::uint32_t l = weigher_.way_ends_[way]; l < weigher_.way_ends_[way + 1]; ++l)
    if (!keep(weigher_.literals_[l])) return false;
  return true;
}

// And with it whatever of the variable follows from it.
bool SingleWeigher::Search::keep_wide(Index operand) {
  const Index input = operand / 2 - 1, variable = weigher_.variable_of_[input];
  const Variable& v = weigher_.pack_.variables[variable];
  const Index i = input - v.first_input, behind = static_cast<Index>(v.ends.size());
  const bool yes = !(operand & 1u), words = !v.is_measure && weigher_.pack_.findings[v.index].has_words();
  const auto narrow = [&](Index at, bool to) {
    const Index o = 2 * (v.first_input + at) + (to ? 2 : 3);
    if (!(states_[o] & may_be)) return false;
    if (!(states_[o] & is_kept)) write(o, states_[o] | is_kept), write(o ^ 1u, states_[o ^ 1u] & is_now);
    return true;
  };
  bool can = narrow(i, yes);
  for (Index at = 0; at < v.inputs && can; ++at) {
    if (at == i) continue;
    if (words && yes) can = narrow(at, false);                                 // it is one word only
    if (words || (i == behind ? !yes : at == behind ? !yes : false)) continue;
    if (i == behind || at == behind) can = narrow(at, false);                  // never, or somewhere
    else if (yes ? at < i : at > i) can = narrow(at, yes);                     // before an end it is past, behind one it is not
  }
  return can && settle(variable);
}

bool SingleWeigher::Search::is_in_cell(const Variable& v, Index i, Index cell) const {
  const Index behind = static_cast<Index>(v.ends.size());
  const bool words = !v.is_measure && weigher_.pack_.findings[v.index].has_words();
  return words ? cell == i : i == behind ? cell > behind : cell <= behind && cell > i;
}

bool SingleWeigher::Search::cell_may_be(const Variable& v, Index cell) const {
  const auto may = [&](Index i, bool yes) { return (states_[2 * (v.first_input + i) + (yes ? 2 : 3)] & may_be) != 0; };
  const Index behind = static_cast<Index>(v.ends.size());
  if (!v.is_measure && weigher_.pack_.findings[v.index].has_words()) return may(cell, true);
  if (cell > behind) return may(behind, true);
  if (v.inputs > behind && !may(behind, false)) return false;
  return (cell == 0 || may(cell - 1, true)) && (cell == behind || may(cell, false));
}

// In its first cell that can be.
bool SingleWeigher::Search::settle(Index variable) {
  const Variable& v = weigher_.pack_.variables[variable];
  Index cell = 0;
  while (cell < v.cells && !cell_may_be(v, cell)) ++cell;
  if (cell == v.cells) return false;
  for (Index i = 0; i < v.inputs; ++i)
    if (const bool yes = is_in_cell(v, i, cell); bit(trial_.inputs.data(), v.first_input + i) != yes) turn(v.first_input + i, yes);
  return true;
}

}  // namespace betony::runtime
