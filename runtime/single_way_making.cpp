#include "runtime/single_way_making.h"

#include <algorithm>
#include <bit>

namespace betony::runtime {
namespace {

// Where a rung is told of by itself, and among all before another.
template <class Each>
void for_masks(unsigned rung, const Each& each) {
  each(rung);
  for (unsigned behind = rung + 1; behind < 5; ++behind) each(5 + behind);
}

}  // namespace

SingleWeigher::WayMaker::WayMaker(SingleWeigher& made) : made_(made) {
  for (const Gate& gate : made.program_.gates) work_left_ += 32 * gate.operands.size();
}

// False where so many rows have no room any more.
bool SingleWeigher::WayMaker::take_room(std::size_t rows) {
  const bool has_room = rows <= (most_literals - taken_) / made_.blocks_;
  if (has_room) taken_ += rows * made_.blocks_;
  return has_room;
}

// The ways of what is asked for, behind those that were told before; false where they are too many.
bool SingleWeigher::WayMaker::tell(const Asked& asked, const Rungs& rungs, std::vector<Told>& told) {
  if (!asked.any_of.empty()) {
    if (!take_room(asked.any_of.size())) return false;
    for (const Index o : asked.any_of) told.push_back({{o}, {}, false});
    return true;
  }
  const auto found = told_in_ways(made_.program_, asked.parts, work_left_);
  if (!found || !take_room(found->ways.size() + found->sides.size() * most_ways)) return false;
  Span sides{static_cast<std::uint32_t>(made_.sides_.size()), 0};
  for (const Index side : found->sides) {
    const auto rung = rungs.find(side);
    made_.sides_.push_back({side, rung == rungs.end() ? 5 : rung->second});
  }
  sides.end = static_cast<std::uint32_t>(made_.sides_.size());
  for (const Way& way : found->ways) told.push_back({way, sides, false});
  return true;
}

// Puts the way, and whatever follows from it, into an empty row; false where nobody can be so.
bool SingleWeigher::WayMaker::has_row(const Way& way, Literals* row) const {
  return std::all_of(way.begin(), way.end(), [&](Index o) { return made_.add_what_follows(o, row); });
}

// ---------------------------------------------------------------- conditions

SingleWeigher::Span SingleWeigher::WayMaker::put_rows(const Ways& ways) {
  Span out{static_cast<std::uint32_t>(made_.literals_.size()), 0};
  for (const Way& way : ways) {
    const std::size_t row = made_.literals_.size();
    made_.literals_.resize(row + made_.blocks_);
    if (!has_row(way, &made_.literals_[row])) made_.literals_.resize(row);
  }
  out.end = static_cast<std::uint32_t>(made_.literals_.size());
  return out;
}

SingleWeigher::Span SingleWeigher::WayMaker::put_conditions(const std::vector<Asked>& conditions) {
  Span out{static_cast<std::uint32_t>(made_.conditions_.size()), 0};
  for (const Asked& asked : conditions) {
    Condition condition;
    condition.operand = asked.operand;
    std::vector<Told> told;
    condition.is_told = tell(asked, {}, told);
    Ways ways;
    for (Told& one : told) ways.push_back(std::move(one.way));
    condition.ways = put_rows(ways);
    if (!told.empty()) condition.sides = told[0].sides;
    made_.conditions_.push_back(condition);
  }
  out.end = static_cast<std::uint32_t>(made_.conditions_.size());
  return out;
}

void SingleWeigher::WayMaker::put_sides() {
  std::map<Index, Index> conditions;  // by operand
  for (Side& side : made_.sides_) {
    const auto [found, is_new] = conditions.emplace(side.condition, static_cast<Index>(made_.conditions_.size()));
    side.condition = found->second;
    if (!is_new) continue;
    std::uint64_t as_before = ~std::uint64_t{0};  // it could be told then, so it can be told now
    Condition condition;
    condition.operand = found->first;
    condition.ways = put_rows(*ways_of(made_.program_, found->first, as_before));
    made_.conditions_.push_back(condition);
  }
}

// ---------------------------------------------------------------- a practice

SingleWeigher::WayTable SingleWeigher::WayMaker::put_table(const std::vector<Asked> (&rungs)[5]) {
  WayTable out;
  Rungs rung_of;
  for (unsigned rung = 0; rung < 5; ++rung)
    for (const Asked& asked : rungs[rung]) rung_of.emplace(asked.operand, rung);
  std::vector<Told> told;
  out.untold.begin = static_cast<std::uint32_t>(made_.untold_.size());
  std::vector<Literals> row;
  for (unsigned rung = 0; rung < 5; ++rung) {
    const auto begin = static_cast<std::ptrdiff_t>(told.size());
    out.begins[rung] = static_cast<std::uint32_t>(told.size());
    for (const Asked& asked : rungs[rung])
      if (!tell(asked, rung_of, told)) made_.untold_.push_back({asked.operand, rung});
    const auto is_nobody = [&](const Told& one) {
      row.assign(made_.blocks_, {});
      return !has_row(one.way, row.data());
    };
    told.erase(std::remove_if(told.begin() + begin, told.end(), is_nobody), told.end());
    const auto costs = [](const Told& one) {
      return std::pair(std::count_if(one.way.begin(), one.way.end(), [](Index o) { return !(o & 1u); }), one.way.size());
    };
    std::stable_sort(told.begin() + begin, told.end(), [&](const Told& a, const Told& b) { return costs(a) < costs(b); });
    out.ends[rung] = static_cast<std::uint32_t>(told.size());
    while (told.size() % 8 != 0) told.push_back({{}, {}, true});
  }
  out.untold.end = static_cast<std::uint32_t>(made_.untold_.size());
  if (!take_room(10 * std::size(out.ends) + 1)) return out;
  out.literals = made_.literals_.size();
  for (const Told& one : told) {
    made_.literals_.resize(made_.literals_.size() + made_.blocks_);
    has_row(one.way, &made_.literals_[made_.literals_.size() - made_.blocks_]);
  }
  out.alone = made_.literals_.size();
  put_inputs(told, out);
  out.preferred = made_.literals_.size();
  made_.literals_.resize(out.preferred + made_.blocks_);
  out.sides = made_.way_sides_.size();
  for (const Told& one : told) made_.way_sides_.push_back(one.sides);
  out.words = told.size() <= 256 ? 4 : static_cast<std::uint32_t>((told.size() + 511) / 512 * 8);
  put_bits(told, out);
  if (out.is_told) put_more(told, out), put_bytes(out);
  return out;
}

// Of ways that are one input, which is to be yes, the inputs: of each rung, and of all before each.
void SingleWeigher::WayMaker::put_inputs(const std::vector<Told>& told, const WayTable& table) {
  made_.literals_.resize(table.alone + 10 * made_.blocks_);
  for (unsigned rung = 0; rung < 5; ++rung)
    for (std::size_t w = table.begins[rung]; w < table.ends[rung]; ++w) {
      const auto& [way, sides, is_gap] = told[w];
      if (way.size() != 1 || (way[0] & 1u) || sides.begin < sides.end) continue;
      const Index input = way[0] / 2 - 1;
      const auto mark = [&](unsigned row) {
        Literals& block = made_.literals_[table.alone + row * made_.blocks_ + input / Literals::inputs];
        block.yes[input / 64 % Literals::words] |= std::uint64_t{1} << (input % 64);
      };
      for_masks(rung, mark);
    }
}

// Rows of everybody, of an input that no way asks for, and of those that some do.
void SingleWeigher::WayMaker::put_bits(const std::vector<Told>& told, WayTable& table) {
  const std::size_t row = way_layers * table.words;
  std::map<Index, std::uint32_t> places;
  for (const Told& one : told)
    for (const Index o : one.way) places.emplace(o / 2 - 1, 0);
  const std::size_t place_words = (made_.program_.inputs + (WayTable::most_places + 1) * told.size()) / 2;
  if (made_.way_rows_.size() + made_.way_places_.size() / 2 + (places.size() + 2) * row + place_words > most_row_words) return;
  table.is_told = true;
  table.rows = made_.way_rows_.size(), table.places = made_.way_places_.size();
  std::uint32_t next = static_cast<std::uint32_t>(2 * row);
  for (auto& [input, place] : places) place = next, next += static_cast<std::uint32_t>(row);
  made_.way_rows_.resize(table.rows + next);
  made_.way_places_.resize(table.places + made_.program_.inputs, static_cast<std::uint32_t>(row));
  for (const auto& [input, place] : places) made_.way_places_[table.places + input] = place;
  table.way_places = made_.way_places_.size();
  for (std::size_t w = 0; w < told.size(); ++w) put_places(&made_.literals_[table.literals + w * made_.blocks_], table);
  for (std::size_t w = 0; w < told.size(); ++w) {
    if (told[w].is_gap) continue;           // nobody has a bit of it
    const auto mark = [&](std::size_t place, std::size_t layer) {
      made_.way_rows_[table.rows + place + layer * table.words + w / 64] |= std::uint64_t{1} << (w % 64);
    };
    std::size_t layer = 0;
    for (const Index o : told[w].way) {
      const std::uint32_t place = places[o / 2 - 1];
      if (o & 1u)
        mark(place, way_layers - 1);
      else if (layer < way_layers - 1)
        mark(place, layer++);
    }
    while (layer < way_layers - 1) mark(0, layer++);
  }
}

void SingleWeigher::WayMaker::put_places(const Literals* way, const WayTable& table) {
  std::vector<std::uint32_t> out{0};
  for (std::size_t b = 0; b < made_.blocks_; ++b)
    for (std::size_t w = 0; w < Literals::words; ++w)
      for (std::uint64_t left = way[b].yes[w]; left != 0; left &= left - 1)
        out.push_back(made_.way_places_[table.places + b * Literals::inputs + w * 64 + static_cast<std::size_t>(std::countr_zero(left))]);
  out[0] = out.size() > WayTable::most_places + 1 ? no_index : static_cast<std::uint32_t>(out.size() - 1);
  out.resize(WayTable::most_places + 1, static_cast<std::uint32_t>(way_layers * table.words));
  made_.way_places_.insert(made_.way_places_.end(), out.begin(), out.end());
}

void SingleWeigher::WayMaker::put_more(const std::vector<Told>& told, WayTable& table) {
  table.more = made_.ways_of_more_.size();
  made_.ways_of_more_.resize(table.more + (table.words + 7) / 8 * 8);  // each table begins at a register
  for (std::size_t w = 0; w < told.size(); ++w) {
    const auto& [way, sides, is_gap] = told[w];
    const auto yes = std::count_if(way.begin(), way.end(), [](Index o) { return !(o & 1u); });
    if (yes > static_cast<std::ptrdiff_t>(way_layers - 1) || sides.begin < sides.end)
      made_.ways_of_more_[table.more + w / 64] |= std::uint64_t{1} << (w % 64);
  }
}

void SingleWeigher::WayMaker::put_bytes(WayTable& table) {
  table.bytes = made_.way_bytes_.size();
  made_.way_bytes_.resize(table.bytes + (table.words + 7) / 8 * 10);
  unsigned rung = 0;
  for (std::size_t byte = 0; byte < (table.ends[4] + 7) / 8; ++byte) {
    while (8 * byte >= table.ends[rung]) ++rung;
    for_masks(rung, [&](unsigned mask) { made_.way_bytes_[table.bytes + byte / 64 * 10 + mask] |= std::uint64_t{1} << (byte % 64); });
  }
}

}  // namespace betony::runtime
