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
#include <cstring>

namespace betony::runtime {
namespace {

constexpr std::size_t together = 4;         // words of items that are looked at as one
typedef std::uint64_t Two __attribute__((vector_size(16)));
Two two_at(const std::uint64_t* words) {
  Two two;
  std::memcpy(&two, words, sizeof two);
  return two;
}
constexpr unsigned most_steps = 4000, few_steps = 8;

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
  const Index inputs = weigher_.program_.inputs;
  trial_.states.resize(inputs);
  states_ = reinterpret_cast<const std::uint8_t*>(trial_.states.data());
  trial_.forbidden.clear();
  trial_.barred.assign(weigher_.words(), 0);
  scratch_.base.assign(scratch_.sure_inputs.begin(), scratch_.sure_inputs.end());
  static constexpr Scratch::State of[4] = {{0, 0}, {is_all | is_known, 0}, {0, is_all | is_known}, {may_be, may_be | is_now}};
  for (Index i = 0; i < inputs; i += 64) {
    std::uint64_t yes = rails_.yes[i / 64], no = rails_.no[i / 64];
    for (Index k = i; k < std::min(i + 64, inputs); ++k, yes >>= 1, no >>= 1) trial_.states[k] = of[(yes & 1u) + 2 * (no & 1u)];
  }
  trial_.changes = 0, trial_.turned = 0;
  trial_.added.clear();
  for (const Index v : weigher_.wide_) settle(v);
  begin_here();
}

// The completion on trial is the base, and nothing is undone from here on.
void SingleWeigher::Search::begin_here() {
  if (trial_.turned > 0 || !trial_.added.empty()) look_at_inputs(), scratch_.base = trial_.inputs;
  trial_.changes = 0, trial_.turned = 0;
  trial_.added.clear();
}

void SingleWeigher::Search::look_at_inputs() {
  trial_.inputs.assign(weigher_.words(), 0);
  for (Index i = 0; i < weigher_.program_.inputs; ++i) trial_.inputs[i / 64] |= std::uint64_t{(trial_.states[i].yes & is_now) != 0} << (i % 64);
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
    if (condition.is_of_one) {
      for (const Asked* asked = begin(condition); asked < end(condition); ++asked)
        if (!keep(asked->operand ^ 1u)) return false;
      continue;
    }
    const bool has_sides = condition.sides.begin < condition.sides.end;
    bool is_left = !condition.is_told;
    for (std::uint32_t left = ways_that(may_be, condition); left != 0; left &= left - 1) {
      const std::uint32_t way = left & -left;
      const std::uint64_t open = open_in(condition, way);
      const bool is_one = !has_sides && (open & (open - 1)) == 0;
      is_left = is_left || !is_one;
      if (is_one && (open == 0 || !keep(begin(condition)[std::countr_zero(open)].operand ^ 1u))) return false;
    }
    if (is_left) trial_.forbidden.push_back(c);
  }
  return true;
}

// A completion of whom the teaching says something is where others begin from here on, if there is one.
void SingleWeigher::Search::find_base() {
  const Mark before = mark();
  goal_ = {};
  const bool is_found = solve_anew();
  if (!is_found && !trial_.gave_up) goes_on_ = false;
  if (is_found && trial_.changes > before.changes) {
    look_at_inputs();
    const std::vector<std::uint64_t> found = trial_.inputs;
    undo(before);
    for (Index i = 0; i < weigher_.program_.inputs; ++i)
      if (bit(found.data(), i) != ((trial_.states[i].yes & is_now) != 0)) turn(i, bit(found.data(), i));
  }
  undo(is_found ? mark() : before);
  begin_here();
  if (scratch_.base == scratch_.sure_inputs)
    scratch_.base_rows = scratch_.sure_rows;
  else
    weigher_.or_rows(scratch_.base.data(), scratch_.base_rows);
  weigher_.items_of(scratch_.base_rows, scratch_.base_rows, scratch_.base_items);
}

// ---------------------------------------------------------------- one practice

SingleWeigher::Codes SingleWeigher::Search::of(const Practice& practice) {
  Codes out = everybody_;
  if (!goes_on_) return out;
  start_ = mark();
  goal_ = {&practice, 0, 0};
  std::fill(trial_.barred.begin(), trial_.barred.end(), 0);
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
  for (const Index c : trial_.forbidden)
    if (holds(weigher_.conditions_[c])) return;
  unsigned rung = 0;
  while (rung < 4 && !is_any(held_, begin_of(rung), end_of(rung))) bar(rung++);
  const bool has_care = is_any(held_, begin_of(4), end_of(4));
  codes.found |= has_care ? cared(rung) : plain(rung);
  goal_ = {goal_.practice, rung, begin_of(rung), Care::with};
  trial_.steps = most_steps - few_steps, trial_.gave_up = false;
  if (!(codes.found & cared(rung)) && any_may(begin_of(4), end_of(4)) && choose(4, goal_.has_care)) codes.found |= cared(rung);
  undo(start_);
  std::fill(trial_.barred.begin(), trial_.barred.end(), 0);
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
    else if (trial_.gave_up)
      codes.unknown |= code;
    undo(stand_);
  };
  if (!may_have_care) return look_for(Care::any, plain);
  if (!solve_from_stand()) {
    if (trial_.gave_up) codes.unknown |= plain | cared;
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
  trial_.kept_barred = trial_.barred;
  bar(4);
  look_for(Care::without, plain);
  trial_.barred = trial_.kept_barred;
}

// From now on nothing of the rung may hold; false where that cannot be.
bool SingleWeigher::Search::leave_behind() {
  const unsigned rung = goal_.rung;
  if (surely_holds(rung)) return false;
  bar(rung);
  look();
  if (!any_held(rung)) return true;
  goal_ = {goal_.practice, 4, end_of(rung)};
  is_clean_ = false;
  if (solve_from_stand()) {
    stand_here();
    return true;
  }
  undo(stand_);
  return trial_.gave_up;
}

// Whether something of it does, whatever the completion.
bool SingleWeigher::Search::surely_holds(unsigned rung) const {
  const std::uint64_t* row = alone(rung);
  for (std::size_t w = 0; w < weigher_.words(); ++w)
    if ((row[w] & scratch_.sure_inputs[w]) != 0) return true;
  const std::size_t begin = begin_of(rung), end = end_of(rung);
  for (std::size_t w = begin / 64; w * 64 < end; ++w)
    for (std::uint64_t left = within(trial_.held[w], w, begin, end); left != 0; left &= left - 1)
      if (surely_holds(condition(w, static_cast<unsigned>(std::countr_zero(left))))) return true;
  return false;
}

// The inputs that alone make something of a rung hold.
void SingleWeigher::Search::bar(unsigned rung) {
  const std::uint64_t* row = alone(rung);
  for (std::size_t w = 0; w < weigher_.words(); ++w) trial_.barred[w] |= row[w];
}

bool SingleWeigher::Search::solve_anew() {
  trial_.steps = 0, trial_.gave_up = false;
  goal_.has_item = goal_.has_care = false;
  return solve();
}

// From what is taken for granted; and where that leads nowhere, without it.
bool SingleWeigher::Search::solve_from_stand() {
  if (solve_anew()) return true;
  if (stand_.changes == start_.changes) return false;
  undo(start_);
  stand_at_base();
  return solve_anew();
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
bool SingleWeigher::Search::choose(unsigned rung, bool& is_kept) {
  const Mark before = mark();
  const std::uint64_t *row = alone(rung), *may = scratch_.may.data() + goal_.practice->items.first;
  const std::size_t begin = begin_of(rung), end = end_of(rung);
  bool all = true, found = false;
  is_kept = true;
  for (std::size_t w = 0; w < weigher_.words() && !found && !trial_.gave_up; ++w)
    for (std::uint64_t left = row[w] & rails_.yes[w] & ~trial_.barred[w]; left != 0 && !found && !trial_.gave_up; left &= left - 1) {
      found = keep(2 * static_cast<Index>(w * 64 + static_cast<std::size_t>(std::countr_zero(left))) + 2) && solve();
      if (!found) undo(before);
    }
  for (std::size_t w = begin / 64; w * 64 < end && !found; ++w)
    for (std::uint64_t left = within(may[w], w, begin, end); left != 0 && !found && !trial_.gave_up; left &= left - 1) {
      const Condition& one = condition(w, static_cast<unsigned>(std::countr_zero(left)));
      found = !one.is_of_one && choose(one, all);
    }
  is_kept = found;
  if (!found && !all) trial_.gave_up = true;
  return found;
}

bool SingleWeigher::Search::choose(const Condition& condition, bool& all) {
  all = all && condition.is_told;
  const Mark before = mark();
  const auto are_enough = [&](const auto& keep_them) {
    for (std::uint32_t s = condition.sides.begin; s < condition.sides.end; ++s) trial_.forbidden.push_back(weigher_.sides_[s].condition);
    if (keep_them() && solve()) return true;
    undo(before);
    return false;
  };
  if (condition.is_of_one) {
    for (const Asked* asked = begin(condition); asked < end(condition) && !trial_.gave_up; ++asked)
      if (are_enough([&] { return keep(asked->operand); })) return true;
    return false;
  }
  for (std::uint32_t left = ways_that(may_be, condition); left != 0 && !trial_.gave_up; left &= left - 1)
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
    trial_.gave_up = true;
    return false;
  }
  if (condition.is_of_one) return take_away_all(condition);
  const std::uint32_t held = ways_that(is_now, condition), way = held & -held;
  const Mark before = mark();
  for (std::uint64_t left = open_in(condition, way); left != 0; left &= left - 1) {
    const Index o = begin(condition)[std::countr_zero(left)].operand;
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

// Where any input is enough, all of them are taken away.
bool SingleWeigher::Search::take_away_all(const Condition& condition) {
  const Mark before = mark();
  const auto is_kept_out = [&](const Asked& asked) { return keep(asked.operand ^ 1u); };
  if (std::all_of(begin(condition), end(condition), is_kept_out) && solve()) return true;
  undo(before);
  return false;
}

// It may not hold, since it is graver than what is wanted.
bool SingleWeigher::Search::is_barred(const Side& side) const {
  return goal_.practice && side.item != no_index && side.item - goal_.practice->items.first * std::size_t{64} < goal_.graver;
}

// ---------------------------------------------------------------- what holds

// Without branches: nobody could tell which way they go.
inline std::uint32_t SingleWeigher::Search::ways_that(std::uint8_t are, const Condition& condition) const {
  const auto unless_so = [&](const Asked& asked) { return asked.ways & (std::uint32_t{(state(asked.operand) & are) != 0} - 1); };
  std::uint32_t not_so = 0;
  for (const Asked *asked = begin(condition), *behind = end(condition); asked < behind; asked += asked_together)
    not_so |= unless_so(asked[0]) | unless_so(asked[1]) | unless_so(asked[2]) | unless_so(asked[3]);
  return condition.ways & ~not_so;
}

// The inputs of a way that are not kept yet; by their place.
inline std::uint64_t SingleWeigher::Search::open_in(const Condition& condition, std::uint32_t way) const {
  std::uint64_t out = 0, at = 1;
  for (const Asked *asked = begin(condition), *behind = end(condition); asked < behind; ++asked, at <<= 1)
    out |= at & (0 - std::uint64_t{(asked->ways & way) != 0}) & (0 - std::uint64_t{(state(asked->operand) & is_kept) == 0});
  return out;
}

bool SingleWeigher::Search::holds(const Condition& condition) {
  if (!condition.is_told) {
    look_at_inputs();
    weigher_.next_person(scratch_.whole);
    return weigher_.holds(condition.operand, trial_.inputs.data(), scratch_);
  }
  if (condition.is_of_one) return std::any_of(begin(condition), end(condition), [&](const Asked& asked) { return state(asked.operand) & is_now; });
  if (ways_that(is_now, condition) == 0) return false;
  for (std::uint32_t s = condition.sides.begin; s < condition.sides.end; ++s)
    if (holds(weigher_.conditions_[weigher_.sides_[s].condition])) return false;
  return true;
}

// Of an item that holds in the base.
bool SingleWeigher::Search::surely_holds(const Condition& condition) const {
  if (condition.is_of_one || ways_that(is_known, condition) == 0) return false;  // of inputs of which each is enough it is known already
  for (std::uint32_t s = condition.sides.begin; s < condition.sides.end; ++s) {
    const Condition& side = weigher_.conditions_[weigher_.sides_[s].condition];
    std::uint32_t out_of_reach = 0;
    for (const Asked* asked = begin(side); asked < end(side); ++asked)
      if (state(asked->operand ^ 1u) & is_known) out_of_reach |= asked->ways;
    if ((side.ways & ~out_of_reach) != 0) return false;
  }
  return true;
}

// Of the items from begin on that may hold, those that do.
void SingleWeigher::Search::hold_on(const std::uint64_t* items, std::size_t begin, std::vector<std::uint64_t>& held) {
  const Area& area = goal_.practice->items;
  held.resize(area.count);
  std::fill(held.begin(), held.begin() + static_cast<std::ptrdiff_t>(begin / 64), 0);
  for (std::size_t w = begin / 64; w < area.count; ++w) {
    held[w] = within(items[w], w, begin, area.count * std::size_t{64});
    for (std::uint64_t left = held[w] & ~weigher_.exact_[area.first + w]; left != 0; left &= left - 1)
      if (!holds(condition(w, static_cast<unsigned>(std::countr_zero(left))))) held[w] ^= left & -left;
  }
}

void SingleWeigher::Search::look_at_base() {
  const Area& area = goal_.practice->items;
  words_ = std::max<std::size_t>(area.count, together);
  first_ = std::min<std::size_t>(area.first, weigher_.width_ - words_);
  trial_.items.resize(words_);
  hold_on(scratch_.base_items.data() + area.first, 0, trial_.held);
  stand_at_base();
}

void SingleWeigher::Search::stand_at_base() {
  stand_ = start_;
  is_clean_ = !is_any(trial_.held.data(), 0, goal_.graver);
  rows_ = scratch_.base_rows.data() + first_, stride_ = weigher_.width_;
  held_ = trial_.held.data();
}

// What is kept in the completion is taken for granted, until it leads nowhere.
void SingleWeigher::Search::stand_here() {
  hold_on(items_, goal_.graver, trial_.stand_held);
  from_rows([this](auto... rows) { add_to(rows...); });
  rows_ = trial_.stand_rows.data(), stride_ = words_;
  held_ = trial_.stand_held.data();
  is_clean_ = true;
  stand_ = mark();
}

// Of the goal's practice, the items that may hold in the completion.
void SingleWeigher::Search::look() {
  is_stand_ = trial_.added.size() == stand_.added && trial_.turned == stand_.turned;
  items_ = is_stand_ ? held_ : trial_.items.data() + (goal_.practice->items.first - first_);
  if (!is_stand_) from_rows([this](auto... rows) { put_together(rows...); });
}

// The rows of the completion are those where others begin, and of the inputs that were added; or of all, where some are no longer yes.
template <class Use>
void SingleWeigher::Search::from_rows(Use use) {
  const auto& added = trial_.added;
  if (trial_.turned == stand_.turned) return use(rows_, stride_, added.data() + stand_.added, added.data() + added.size());
  trial_.all.clear();
  for (Index i = 0; i < weigher_.program_.inputs; ++i)
    if (trial_.states[i].yes & is_now) trial_.all.push_back(i);
  use(weigher_.first_row_.data() + first_, weigher_.width_, trial_.all.data(), trial_.all.data() + trial_.all.size());
}

void SingleWeigher::Search::add_to(const std::uint64_t* from, std::size_t stride, const Index* added, const Index* behind) {
  const std::size_t width = weigher_.width_, row = weigher_.layers_ * width;
  const std::uint64_t* rows = weigher_.rows_.data() + first_;
  if (weigher_.rows_.empty()) behind = added;
  trial_.stand_rows.resize(weigher_.layers_ * words_);
  for (std::size_t layer = 0; layer < weigher_.layers_; ++layer)
    for (std::size_t w = 0; w < words_; ++w) {
      std::uint64_t any = from[layer * stride + w];
      for (const Index* input = added; input < behind; ++input) any |= rows[*input * row + layer * width + w];
      trial_.stand_rows[layer * words_ + w] = any;
    }
}

void SingleWeigher::Search::put_together(const std::uint64_t* from, std::size_t stride, const Index* added, const Index* behind) {
  const std::size_t layers = weigher_.layers_, width = weigher_.width_, row = layers * width;
  const std::uint64_t* rows = weigher_.rows_.data() + first_;
  if (weigher_.rows_.empty()) behind = added;
  if (words_ == together) {
    Two items = ~Two{}, others = ~Two{};
    for (std::size_t layer = 0; layer < layers; ++layer, rows += width, from += stride) {
      const Two turned = Two{} - static_cast<std::uint64_t>(layer >= weigher_.clauses_);
      Two one = two_at(from), other = two_at(from + 2);
      for (const Index* input = added; input < behind; ++input) one |= two_at(rows + *input * row), other |= two_at(rows + *input * row + 2);
      items &= one ^ turned, others &= other ^ turned;
    }
    std::memcpy(trial_.items.data(), &items, sizeof items), std::memcpy(trial_.items.data() + 2, &others, sizeof others);
    return;
  }
  std::fill(trial_.items.begin(), trial_.items.end(), ~std::uint64_t{0});
  for (std::size_t layer = 0; layer < layers; ++layer, rows += width, from += stride)
    for (std::size_t w = 0; w < words_; ++w) {
      std::uint64_t any = from[w];
      for (const Index* input = added; input < behind; ++input) any |= rows[*input * row + w];
      trial_.items[w] &= layer < weigher_.clauses_ ? any : ~any;
    }
}

// Of an item that may hold.
inline bool SingleWeigher::Search::holds_now(std::size_t word, unsigned bit) {
  return is_stand_ || (weigher_.exact_[goal_.practice->items.first + word] >> bit & 1u) || holds(condition(word, bit));
}

bool SingleWeigher::Search::any_held(unsigned rung) {
  const std::size_t begin = begin_of(rung), end = end_of(rung);
  for (std::size_t w = begin / 64; w * 64 < end; ++w)
    for (std::uint64_t left = within(items_[w], w, begin, end); left != 0; left &= left - 1)
      if (holds_now(w, static_cast<unsigned>(std::countr_zero(left)))) return true;
  return false;
}

bool SingleWeigher::Search::any_may(std::size_t begin, std::size_t end) const {
  return is_any(scratch_.may.data() + goal_.practice->items.first, begin, end);
}

bool SingleWeigher::Search::is_any(const std::uint64_t* items, std::size_t begin, std::size_t end) {
  for (std::size_t w = begin / 64; w * 64 < end; ++w)
    if (within(items[w], w, begin, end) != 0) return true;
  return false;
}

// ---------------------------------------------------------------- the completion

void SingleWeigher::Search::undo(const Mark& mark) {
  while (trial_.changes > mark.changes) {
    const Scratch::Undone& last = trial_.undone[--trial_.changes];
    trial_.states[last.input] = last.state;
  }
  trial_.added.resize(mark.added);
  trial_.forbidden.resize(mark.forbidden);
  trial_.turned = mark.turned;
}

inline void SingleWeigher::Search::write(Index input, Scratch::State state) {
  if (trial_.changes == trial_.undone.size()) trial_.undone.resize(2 * trial_.changes + 64);
  trial_.undone[trial_.changes++] = {input, trial_.states[input]};
  trial_.states[input] = state;
}

void SingleWeigher::Search::turn(Index input, bool yes) {
  const Scratch::State state = trial_.states[input];
  const auto with = [](std::uint8_t s) { return static_cast<std::uint8_t>(s | is_now); };
  const auto without = [](std::uint8_t s) { return static_cast<std::uint8_t>(s & ~is_now); };
  write(input, yes ? Scratch::State{with(state.yes), without(state.no)} : Scratch::State{without(state.yes), with(state.no)});
  if (yes && !bit(scratch_.base.data(), input))
    trial_.added.push_back(input);
  else
    ++trial_.turned;
}

// The input stays as the operand says from now on; false where it cannot.
bool SingleWeigher::Search::keep(Index operand) {
  const std::uint8_t so = state(operand);
  if (so & is_kept) return true;
  const Index input = operand / 2 - 1;
  const bool yes = !(operand & 1u);
  if (!(so & may_be) || (yes && bit(trial_.barred.data(), input))) return false;
  if (!bit(weigher_.yes_no_.data(), input)) return keep_wide(operand);
  write(input, yes ? Scratch::State{is_all, 0} : Scratch::State{0, is_all});
  if (so & is_now) return true;
  if (yes && !bit(scratch_.base.data(), input))
    trial_.added.push_back(input);
  else
    ++trial_.turned;
  return true;
}

bool SingleWeigher::Search::keep_all(const Condition& condition, std::uint32_t way) {
  for (std::uint64_t left = open_in(condition, way); left != 0; left &= left - 1)
    if (!keep(begin(condition)[std::countr_zero(left)].operand)) return false;
  return true;
}

// And with it whatever of the variable follows from it.
bool SingleWeigher::Search::keep_wide(Index operand) {
  const Index input = operand / 2 - 1, variable = weigher_.variable_of_[input];
  const Variable& v = weigher_.pack_.variables[variable];
  const Index i = input - v.first_input, behind = static_cast<Index>(v.ends.size());
  const bool yes = !(operand & 1u), words = !v.is_measure && weigher_.pack_.findings[v.index].has_words();
  const auto narrow = [&](Index at, bool to) {
    const Index one = v.first_input + at;
    Scratch::State state = trial_.states[one];
    std::uint8_t &so = to ? state.yes : state.no, &otherwise = to ? state.no : state.yes;
    if (!(so & may_be)) return false;
    if (so & is_kept) return true;
    so |= is_kept, otherwise &= is_now;
    write(one, state);
    return true;
  };
  bool can = narrow(i, yes);
  for (Index at = 0; at < v.inputs && can; ++at) {
    if (at == i) continue;
    if (words) can = !yes || narrow(at, false);                                // it is one word only
    else if (i == behind || at == behind) can = !yes || narrow(at, false);     // never, or somewhere
    else if (yes ? at < i : at > i) can = narrow(at, yes);                     // past all ends before it, or past none behind it
  }
  return can && settle(variable);
}

bool SingleWeigher::Search::is_in_cell(const Variable& v, Index i, Index cell) const {
  const Index behind = static_cast<Index>(v.ends.size());
  const bool words = !v.is_measure && weigher_.pack_.findings[v.index].has_words();
  return words ? cell == i : i == behind ? cell > behind : cell <= behind && cell > i;
}

bool SingleWeigher::Search::cell_may_be(const Variable& v, Index cell) const {
  const auto may = [&](Index i, bool yes) { return ((yes ? trial_.states[v.first_input + i].yes : trial_.states[v.first_input + i].no) & may_be) != 0; };
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
    if (const bool yes = is_in_cell(v, i, cell); ((trial_.states[v.first_input + i].yes & is_now) != 0) != yes) turn(v.first_input + i, yes);
  return true;
}

}  // namespace betony::runtime
