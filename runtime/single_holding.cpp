// Which ways hold in a completion: by the rows of the inputs that it has more than that from which others begin.
#include <algorithm>

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

// The first way that is so, of those of the mask that hold in the completion, which are of rungs from one on, before another; as many as
// there are, if none is.
template <std::size_t known_blocks>
template <class Is>
inline std::size_t SingleWeigher::Search<known_blocks>::find_held(const std::uint64_t* mask, unsigned first_rung, unsigned behind_rung, const Is& is) {
  const std::size_t end = table().ends[behind_rung - 1], behind = (end + 63) / 64, words = table().words, together = words < 8 ? words : 8;
  std::uint64_t held[8];
  for (std::size_t w = begin_of(first_rung) / 64;; ++w) {
    w = weigher_.row_path_->next_held(first_, rows_, count_rows_, words, mask, w, behind, held);
    if (w >= behind) return end;
    do {
      for (std::uint64_t left = held[w % together]; left != 0; left &= left - 1) {
        const std::size_t at = w * 64 + static_cast<std::size_t>(std::countr_zero(left));
        const bool asks_for_more = ways_of_more()[w] >> (at % 64) & 1u;
        if (asks_for_more && !has_more(at)) continue;
        if (is(at)) return at;
      }
    } while (++w % together != 0);
    --w;
  }
}

// Whether a way that holds after its rows holds after all of it.
template <std::size_t known_blocks>
bool SingleWeigher::Search<known_blocks>::has_more(std::size_t at) const {
  return is_any_within({way(at), 1}, completion_.is_now()) && !any_side_holds(sides_of(at));
}

template <std::size_t known_blocks>
bool SingleWeigher::Search<known_blocks>::any_untold_holds(unsigned first_rung, unsigned behind_rung) {
  for (std::uint32_t u = table().untold.begin; u < table().untold.end; ++u) {
    const Untold& untold = weigher_.untold_[u];
    if (untold.rung >= first_rung && untold.rung < behind_rung && operand_holds(untold.operand)) return true;
  }
  return false;
}

// Of the ways of the mask, which are of rungs from one on, before another.
template <std::size_t known_blocks>
typename SingleWeigher::Search<known_blocks>::Held SingleWeigher::Search<known_blocks>::first_held(const std::uint64_t* mask, unsigned first_rung,
                                                                                                  unsigned behind_rung) {
  const std::size_t end = table().ends[behind_rung - 1], at = find_held(mask, first_rung, behind_rung, [](std::size_t) { return true; });
  if (at < end) return {way(at), sides_of(at), true};
  return {nullptr, {}, any_untold_holds(first_rung, behind_rung)};
}

// The first of which something holds.
template <std::size_t known_blocks>
unsigned SingleWeigher::Search<known_blocks>::rung_held() {
  const std::size_t at = find_held(ways_before(4), 0, 4, [](std::size_t) { return true; });
  unsigned rung = 0;
  while (rung < 4 && at >= table().ends[rung] && !any_untold_holds(rung, rung + 1)) ++rung;
  return rung;
}

// What holds of a rung; is_sure: and something of it does so of everybody.
template <std::size_t known_blocks>
typename SingleWeigher::Search<known_blocks>::Held SingleWeigher::Search<known_blocks>::held_of(unsigned rung, bool& is_sure) {
  Held out;
  find_held(ways_of(rung), rung, rung + 1, [&](std::size_t at) {
    if (!out.is_so) out = {way(at), sides_of(at), true};
    return is_sure = is_any_within({way(at), 1}, memory_.sure.data()) && !may_be_taken_back(sides_of(at));
  });
  if (!out.is_so) out.is_so = any_untold_holds(rung, rung + 1);
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

template <std::size_t known_blocks>
void SingleWeigher::Search<known_blocks>::look_at(const Practice& practice) {
  const std::size_t words = practice.ways.words;
  const std::uint64_t* rows = weigher_.way_rows_.data() + practice.ways.rows;
  const std::uint32_t* places = weigher_.way_places_.data() + practice.ways.places;
  memory_.all_rows.clear();
  for (const Index input : memory_.base_inputs) memory_.all_rows.push_back(rows + places[input]);
  while (memory_.all_rows.size() % rows_together != 0) memory_.all_rows.push_back(rows + way_layers * words);
  if (memory_.base_rows.size() < way_layers * words) memory_.base_rows.resize(way_layers * words);
  memory_.kept_rows.resize(std::max<std::size_t>(memory_.kept_rows.size(), 64));
  weigher_.row_path_->add_ways(rows, memory_.all_rows.data(), memory_.all_rows.size(), words, memory_.base_rows.data());
  completion_.go_deeper();
  stand_ = mark();
  clean_ = 0, is_advanced_ = is_nobody_ = false;
  look();
}

// From here on the ways that hold in the completion are told: by the rows of the base, and of what is kept besides.
template <std::size_t known_blocks>
void SingleWeigher::Search<known_blocks>::look() {
  if (completion_.is_other()) return look_at_all();
  first_ = memory_.base_rows.data();
  const std::uint64_t* zeros = weigher_.way_rows_.data() + table().rows + way_layers * table().words;
  for (std::size_t r = 0; r < rows_together; ++r) memory_.kept_rows[kept_rows_ + r] = zeros;
  rows_ = memory_.kept_rows.data(), count_rows_ = (kept_rows_ + rows_together - 1) / rows_together * rows_together;
}

// By those of all inputs that are yes.
template <std::size_t known_blocks>
void SingleWeigher::Search<known_blocks>::look_at_all() {
  const std::uint32_t* places = weigher_.way_places_.data() + table().places;
  const Literals* now = completion_.is_now();
  first_ = weigher_.way_rows_.data() + table().rows;
  memory_.all_rows.clear();
  for (std::size_t b = 0; b < completion_.blocks(); ++b, places += Literals::inputs)
    for (std::size_t w = 0; w < Literals::words; ++w)
      for (std::uint64_t left = now[b].yes[w]; left != 0; left &= left - 1)
        memory_.all_rows.push_back(first_ + places[w * 64 + static_cast<std::size_t>(std::countr_zero(left))]);
  while (memory_.all_rows.size() % rows_together != 0) memory_.all_rows.push_back(first_ + way_layers * table().words);
  rows_ = memory_.all_rows.data(), count_rows_ = memory_.all_rows.size();
}

template class SingleWeigher::Search<0>;
template class SingleWeigher::Search<1>;

}  // namespace betony::runtime
