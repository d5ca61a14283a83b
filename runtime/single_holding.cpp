// Which ways hold in a completion: by the rows of the inputs that it has more than that from which others begin.
#include <algorithm>
#include <bit>

#include "runtime/single_search.h"

namespace betony::runtime {

template <std::size_t known_blocks>
bool SingleWeigher::Search<known_blocks>::operand_holds(Index operand) {
  ++steps_;
  const Literals* now = completion_.is_now();
  for (std::size_t w = 0; w < memory_.inputs.size(); ++w) memory_.inputs[w] = now[w / Literals::words].yes[w % Literals::words];
  weigher_.next_person(scratch_.whole);
  return weigher_.holds(operand, memory_.inputs.data(), scratch_);
}

template <std::size_t known_blocks>
typename SingleWeigher::Search<known_blocks>::Held SingleWeigher::Search<known_blocks>::held(const Condition& condition) {
  if (!condition.is_told) return {nullptr, {}, operand_holds(condition.operand)};
  const Ways of = ways(condition.ways);
  const std::size_t w = first_within(of, 0, completion_.is_now());
  if (w == of.count || any_side_holds(condition.sides)) return {};
  return {way(of, w), condition.sides, true};
}

template <std::size_t known_blocks>
bool SingleWeigher::Search<known_blocks>::any_side_holds(Span sides) const {
  for (std::uint32_t s = sides.begin; s < sides.end; ++s)
    if (is_any_within(ways(condition_of(s).ways), completion_.is_now())) return true;
  return false;
}

// By somebody.
template <std::size_t known_blocks>
bool SingleWeigher::Search<known_blocks>::may_be_taken_back(Span sides) const {
  for (std::uint32_t s = sides.begin; s < sides.end; ++s)
    if (is_any_within(ways(condition_of(s).ways), completion_.at(0))) return true;
  return false;
}

template <std::size_t known_blocks>
inline bool SingleWeigher::Search<known_blocks>::is_within(const Literals* way, const Literals* row) const {
  Four lacks{};
  for (std::size_t b = 0; b < completion_.blocks(); ++b) {
    Four yes, no, has_yes, has_no;
    load(way[b].yes, yes), load(way[b].no, no), load(row[b].yes, has_yes), load(row[b].no, has_no);
    lacks |= (yes & ~has_yes) | (no & ~has_no);
  }
  return !is_any(lacks);
}

// ---------------------------------------------------------------- pictures

// Two eights at a time, since who asks for the one mostly asks for the other.
template <std::size_t known_blocks>
inline void SingleWeigher::Search<known_blocks>::see(std::size_t eight) {
  if (picture_->seen <= 8 * eight) see_until(std::min<std::size_t>(8 * eight + 16, table().words));
}
template <std::size_t known_blocks>
void SingleWeigher::Search<known_blocks>::see_until(std::size_t behind) {
  const std::size_t from = picture_->seen;
  picture_->seen = behind;
  weigher_.row_path_->put_held(first_, rows_, count_rows_, table().words, weigher_.ways_of_more_.data() + table().more, from, behind,
                               picture_->held.data(), picture_->bytes.data());
}

// Whether any way is so, of those of the bytes that hold after their rows.
template <std::size_t known_blocks>
template <class Is>
inline bool SingleWeigher::Search<known_blocks>::any_of_bytes(std::size_t eight, std::uint64_t bytes, const Is& is) const {
  for (; bytes != 0; bytes &= bytes - 1) {
    const std::size_t at = eight * 512 + static_cast<std::size_t>(std::countr_zero(bytes)) * 8;
    for (std::uint64_t left = picture_->held[at / 64] >> (at % 64) & 0xff; left != 0; left &= left - 1)
      if (is(at + static_cast<std::size_t>(std::countr_zero(left)))) return true;
  }
  return false;
}

template <std::size_t known_blocks>
inline bool SingleWeigher::Search<known_blocks>::asks_for_more(std::size_t at) const {
  return weigher_.ways_of_more_[table().more + at / 64] >> (at % 64) & 1u;
}

// Whether a way that holds after its rows, and asks for more, holds after all of it.
template <std::size_t known_blocks>
inline bool SingleWeigher::Search<known_blocks>::has_more(std::size_t at) const {
  const bool has_all = *places_of(at) < way_layers || is_within(way(at), completion_.is_now());
  return has_all && !any_side_holds(sides_of(at));
}

template <std::size_t known_blocks>
bool SingleWeigher::Search<known_blocks>::any_untold_holds(unsigned first_rung, unsigned behind_rung) {
  for (std::uint32_t u = table().untold.begin; u < table().untold.end; ++u) {
    const Untold& untold = weigher_.untold_[u];
    if (untold.rung >= first_rung && untold.rung < behind_rung && operand_holds(untold.operand)) return true;
  }
  return false;
}

// Whether any way holds of those of a rung, or of all before it.
template <std::size_t known_blocks>
inline bool SingleWeigher::Search<known_blocks>::any_held(Rungs rungs) {
  for (std::size_t eight = table().begins[rungs.first()] / 512, behind = eights_behind(rungs.last()); eight < behind; ++eight) {
    see(eight);
    const std::uint64_t within = bytes_of(eight)[rungs.mask], *bytes = &picture_->bytes[2 * eight];
    if ((bytes[0] & within) != 0) return true;
    const auto is_so = [&](std::size_t at) { return asks_for_more(at) && has_more(at); };
    if ((bytes[1] & within) != 0 && any_of_bytes(eight, bytes[1] & within, is_so)) return true;
  }
  return has_untold() && any_untold_holds(rungs.first(), rungs.last() + 1);
}

// Rather one that asks for no more than its rows.
template <std::size_t known_blocks>
std::size_t SingleWeigher::Search<known_blocks>::first_held(Rungs rungs) {
  for (std::size_t eight = table().begins[rungs.first()] / 512, behind = eights_behind(rungs.last()); eight < behind; ++eight) {
    see(eight);
    const std::uint64_t within = bytes_of(eight)[rungs.mask], *bytes = &picture_->bytes[2 * eight];
    if (((bytes[0] | bytes[1]) & within) == 0) continue;
    std::size_t found = none;
    const auto is_plain = [&](std::size_t at) { return !asks_for_more(at) && (found = at, true); };
    const auto is_more = [&](std::size_t at) { return asks_for_more(at) && has_more(at) && (found = at, true); };
    if (any_of_bytes(eight, bytes[0] & within, is_plain) || any_of_bytes(eight, bytes[1] & within, is_more)) return found;
  }
  return has_untold() && any_untold_holds(rungs.first(), rungs.last() + 1) ? untold : none;
}

// The first of which something holds.
template <std::size_t known_blocks>
unsigned SingleWeigher::Search<known_blocks>::rung_held() {
  unsigned rung = 0;
  while (rung < 4 && !any_held(only(rung))) ++rung;
  return rung;
}

// What holds of a rung; is_sure: and something of it does so of everybody.
template <std::size_t known_blocks>
typename SingleWeigher::Search<known_blocks>::Held SingleWeigher::Search<known_blocks>::held_of(unsigned rung, bool& is_sure) {
  Held out;
  const auto take = [&](std::size_t at) {
    if (asks_for_more(at) && !has_more(at)) return false;
    if (!out.is_so) out = {way(at), sides_of(at), true};
    return is_sure = is_within(way(at), memory_.sure.data()) && !may_be_taken_back(sides_of(at));
  };
  for (std::size_t eight = table().begins[rung] / 512, behind = eights_behind(rung); eight < behind; ++eight) {
    see(eight);
    const std::uint64_t within = bytes_of(eight)[rung], *bytes = &picture_->bytes[2 * eight];
    if (any_of_bytes(eight, (bytes[0] | bytes[1]) & within, take)) return out;
  }
  if (!out.is_so) out.is_so = has_untold() && any_untold_holds(rung, rung + 1);
  return out;
}

template <std::size_t known_blocks>
void SingleWeigher::Search<known_blocks>::look_at_base() {
  const Literals* may = completion_.at(0);
  memory_.sure.resize(completion_.blocks());
  for (std::size_t b = 0; b < completion_.blocks(); ++b)
    for (std::size_t w = 0; w < Literals::words; ++w) {
      memory_.sure[b].yes[w] = may[b].yes[w] & ~may[b].no[w];
      memory_.sure[b].no[w] = may[b].no[w] & ~may[b].yes[w];
    }
  const Literals* base = completion_.is_at(0);
  memory_.base_inputs.clear();
  for (std::size_t b = 0; b < completion_.blocks(); ++b)
    for (std::size_t w = 0; w < Literals::words; ++w)
      for (std::uint64_t left = base[b].yes[w]; left != 0; left &= left - 1)
        memory_.base_inputs.push_back(static_cast<Index>(b * Literals::inputs + w * 64 + static_cast<std::size_t>(std::countr_zero(left))));
}

// Begins there, as it prefers unless that is forbidden, and puts together what holds of everybody then.
template <std::size_t known_blocks>
void SingleWeigher::Search<known_blocks>::look_at(const Practice& practice) {
  const std::size_t words = practice.ways.words;
  const std::uint64_t* rows = weigher_.way_rows_.data() + practice.ways.rows;
  const std::uint32_t* places = weigher_.way_places_.data() + practice.ways.places;
  prefers_ = true;
  begin_practice();
  const auto is_held = [&](Index c) { return held(weigher_.conditions_[c]).is_so; };
  if (std::any_of(forbidden_.begin(), forbidden_.end(), is_held)) {
    prefers_ = false;
    undo({0, forbidden_by_all_, 0});
    begin_practice();
  }
  const auto make_room = [&](AlignedWords& of) {
    if (of.size() < way_layers * words) of.resize(way_layers * words);
    return of.data();
  };
  begin_all();
  for (const Index input : memory_.base_inputs) add_to_all(rows + places[input]);
  for (const Index input : memory_.preferred_inputs) add_to_all(rows + places[input]);
  weigher_.row_path_->add_ways(rows, rows_, count_rows_, words, make_room(memory_.preferred_rows));
  has_base_rows_ = false, make_room(memory_.base_rows);
  for (Scratch::Picture* picture : {&memory_.of_stand, &memory_.of_other})
    if (picture->held.size() < words) picture->held.resize(words), picture->bytes.resize((words + 7) / 8 * 2);
  make_room_for_rows();
  is_nobody_ = false;
}

// The stand is where all begin, and is as the practice prefers where it is open.
template <std::size_t known_blocks>
void SingleWeigher::Search<known_blocks>::begin_practice() {
  completion_.go_deeper();
  completion_.prefer(prefers_ ? weigher_.literals_.data() + table().preferred : nullptr);
  stand_ = mark();
  clean_ = 0, is_advanced_ = is_stand_seen_ = false;
  memory_.preferred_inputs.clear();
  for (std::size_t b = 0; b < completion_.blocks(); ++b)
    for (std::size_t w = 0; w < Literals::words; ++w)
      for (std::uint64_t left = completion_.preferred()[b].yes[w]; left != 0; left &= left - 1)
        memory_.preferred_inputs.push_back(static_cast<Index>(b * Literals::inputs + w * 64 + static_cast<std::size_t>(std::countr_zero(left))));
}

// From here on the ways that hold in the completion are told.
template <std::size_t known_blocks>
void SingleWeigher::Search<known_blocks>::look() {
  put_rows();
  picture_ = &memory_.of_other, picture_->seen = 0;
}

// In the stand, where all of them are seen at once.
template <std::size_t known_blocks>
void SingleWeigher::Search<known_blocks>::look_at_stand() {
  picture_ = &memory_.of_stand;
  if (is_stand_seen_) return;
  put_rows();
  picture_->seen = 0;
  see_until(table().words);
  is_stand_seen_ = true;
}

// The completion that was looked at last is the stand now.
template <std::size_t known_blocks>
void SingleWeigher::Search<known_blocks>::keep_picture() {
  if (picture_->seen < table().words) see_until(table().words);
  if (picture_ == &memory_.of_other) std::swap(memory_.of_stand, memory_.of_other);
  is_stand_seen_ = true;
}

// By the rows of the base, and of what is kept besides.
template <std::size_t known_blocks>
void SingleWeigher::Search<known_blocks>::put_rows() {
  if (completion_.is_other()) return put_rows_of_all();
  const std::uint64_t* rows = weigher_.way_rows_.data() + table().rows;
  std::size_t count = kept_rows_;
  first_ = memory_.preferred_rows.data();
  if (!completion_.is_as_preferred()) {
    put_base_rows();
    first_ = memory_.base_rows.data();
    for (const Index input : memory_.preferred_inputs) {
      memory_.kept_rows[count] = rows + weigher_.way_places_[table().places + input];
      count += completion_.is_yes(input);
    }
  }
  rows_ = memory_.kept_rows.data(), count_rows_ = count;
}

// Without what is preferred: of most practices nobody asks for that.
template <std::size_t known_blocks>
void SingleWeigher::Search<known_blocks>::put_base_rows() {
  if (has_base_rows_) return;
  const std::uint64_t* rows = weigher_.way_rows_.data() + table().rows;
  begin_all();
  for (const Index input : memory_.base_inputs) add_to_all(rows + weigher_.way_places_[table().places + input]);
  weigher_.row_path_->add_ways(rows, rows_, count_rows_, table().words, memory_.base_rows.data());
  has_base_rows_ = true;
}

// By those of all inputs that are yes.
template <std::size_t known_blocks>
void SingleWeigher::Search<known_blocks>::put_rows_of_all() {
  const std::uint32_t* places = weigher_.way_places_.data() + table().places;
  const Literals* now = completion_.is_now();
  first_ = weigher_.way_rows_.data() + table().rows;
  begin_all();
  for (std::size_t b = 0; b < completion_.blocks(); ++b, places += Literals::inputs)
    for (std::size_t w = 0; w < Literals::words; ++w)
      for (std::uint64_t left = now[b].yes[w]; left != 0; left &= left - 1)
        add_to_all(first_ + places[w * 64 + static_cast<std::size_t>(std::countr_zero(left))]);
}

template <std::size_t known_blocks>
inline void SingleWeigher::Search<known_blocks>::begin_all() {
  count_rows_ = 0;
  if (memory_.all_rows.empty()) memory_.all_rows.resize(64);
  rows_ = memory_.all_rows.data();
}
template <std::size_t known_blocks>
inline void SingleWeigher::Search<known_blocks>::add_to_all(const std::uint64_t* row) {
  if (count_rows_ == memory_.all_rows.size()) memory_.all_rows.resize(2 * memory_.all_rows.size());
  memory_.all_rows[count_rows_++] = row;
  rows_ = memory_.all_rows.data();
}

template class SingleWeigher::Search<0>;
template class SingleWeigher::Search<1>;

}  // namespace betony::runtime
