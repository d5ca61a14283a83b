#include "runtime/single.h"

#include <algorithm>
#include <bit>

namespace betony::runtime {
namespace {

constexpr std::size_t none = ~std::size_t{0};

bool bit(const std::uint64_t* words, Index at) { return words[at / 64] >> (at % 64) & 1u; }

}  // namespace

SingleWeigher::SingleWeigher(const Pack& pack, Index reading, Path path) : pack_(pack), program_(pack.program) {
  const RowPath *avx512 = avx512_rows(), *avx2 = avx2_rows();
  if ((path == Path::best || path == Path::avx512) && avx512)
    path_ = Path::avx512, row_path_ = avx512;
  else if (path != Path::plain && avx2)
    path_ = Path::avx2, row_path_ = avx2;
  make(pack.readings[reading]);
}

void SingleWeigher::or_rows(const std::uint64_t* inputs, std::vector<std::uint64_t>& rows) const {
  rows.resize(first_row_.size());
  if (rows_.empty()) return static_cast<void>(std::copy(first_row_.begin(), first_row_.end(), rows.begin()));
  const std::size_t row = first_row_.size();
  row_path_->or_rows(first_row_.data(), rows_.data(), rows_.data() + program_.inputs * row, row, inputs, words(), rows.data());
}

void SingleWeigher::items_of(const std::vector<std::uint64_t>& rows, const std::vector<std::uint64_t>& forbid,
                             std::vector<std::uint64_t>& items) const {
  items.resize(width_);
  for (std::size_t w = 0; w < width_; ++w) items[w] = rows[w];
  for (std::size_t layer = 1; layer < clauses_; ++layer)
    for (std::size_t w = 0; w < width_; ++w) items[w] &= rows[layer * width_ + w];
  if (layers_ > clauses_)
    for (std::size_t w = 0; w < width_; ++w) items[w] &= ~forbid[clauses_ * width_ + w];
}

void SingleWeigher::next_person(Scratch::Memory& memory) const {
  if (memory.known.size() < shared_count_) memory.known.resize(shared_count_), memory.truths.resize(shared_count_);
  if (++memory.person != 0) return;
  std::fill(memory.known.begin(), memory.known.end(), 0);
  memory.person = 1;
}

bool SingleWeigher::holds(Index operand, const std::uint64_t* inputs, Scratch& scratch) const {
  const Index slot = operand / 2;
  const bool opposite = operand & 1u;
  if (slot == 0) return opposite;
  if (slot <= program_.inputs) return bit(inputs, slot - 1) != opposite;
  const Index gate = slot - 1 - program_.inputs, shared = shared_[gate];
  if (shared == no_index) return gate_holds(gate, inputs, scratch) != opposite;
  Scratch::Memory& memory = scratch.whole;
  if (memory.known[shared] != memory.person) {
    const bool held = gate_holds(gate, inputs, scratch);
    memory.known[shared] = memory.person, memory.truths[shared] = held ? Truth::yes : Truth::no;
  }
  return (memory.truths[shared] == Truth::yes) != opposite;
}

// Whether any of the inputs is as wanted; without a branch for each, since nobody could tell which way it goes.
bool SingleWeigher::any_input(const Index* begin, const Index* end, bool wanted, const std::uint64_t* inputs) {
  unsigned any = 0;
  for (const Index* o = begin; o < end; ++o) {
    const Index at = *o / 2 - 1;
    any |= static_cast<unsigned>(inputs[at / 64] >> (at % 64)) ^ *o ^ unsigned { !wanted };
  }
  return any & 1u;
}

bool SingleWeigher::gate_holds(Index index, const std::uint64_t* inputs, Scratch& scratch) const {
  const OpenedGate& gate = gates_[index];
  const Index *begin = gate_operands_.data() + gate.begin, *end = gate_operands_.data() + gate.end;
  if (gate.of_inputs && gate.kind == Gate::Kind::any) return any_input(begin, end, true, inputs);
  if (gate.of_inputs && gate.kind == Gate::Kind::all) return !any_input(begin, end, false, inputs);
  switch (gate.kind) {
    case Gate::Kind::all:
      for (std::uint32_t i = gate.begin; i < gate.end; ++i)
        if (!holds(gate_operands_[i], inputs, scratch)) return false;
      return true;
    case Gate::Kind::any:
      for (std::uint32_t i = gate.begin; i < gate.end; ++i)
        if (holds(gate_operands_[i], inputs, scratch)) return true;
      return false;
    case Gate::Kind::parity: {
      bool odd = false;
      for (std::uint32_t i = gate.begin; i < gate.end; ++i) odd = odd != holds(gate_operands_[i], inputs, scratch);
      return odd;
    }
    case Gate::Kind::most: break;
  }
  unsigned yes = 0;
  for (std::uint32_t i = gate.begin; i < gate.end; ++i) yes += holds(gate_operands_[i], inputs, scratch);
  return yes > 1;
}

bool SingleWeigher::item_holds(std::size_t item, const std::uint64_t* inputs, Scratch& scratch) const {
  const Index *part = parts_.data() + items_[item].begin, *end = parts_.data() + items_[item].end;
  while (part < end) {
    const Index count = *part < any_of_these ? 0 : *part - any_of_these;
    if (count > 0 ? !any_input(part + 1, part + 1 + count, true, inputs) : !holds(*part, inputs, scratch)) return false;
    part += 1 + count;
  }
  return true;
}

// The first item of the area from `begin` on that holds, before `end`; else `none`.
std::size_t SingleWeigher::first_that_holds(const Area& area, std::size_t begin, std::size_t end, const std::uint64_t* items,
                                            const std::uint64_t* inputs, Scratch& scratch) const {
  const std::uint64_t *here = items + area.first, *exact = exact_.data() + area.first;
  for (std::size_t w = begin / 64; w * 64 < end; ++w) {
    std::uint64_t left = here[w];
    if (w == begin / 64) left &= ~std::uint64_t{0} << (begin % 64);
    for (; left != 0; left &= left - 1) {
      const auto at = static_cast<std::size_t>(std::countr_zero(left));
      if (w * 64 + at >= end) return none;
      if (exact[w] >> at & 1u || item_holds((area.first + w) * 64 + at, inputs, scratch)) return w * 64 + at;
    }
  }
  return none;
}

// Without branches: nobody could tell which way they go.
std::uint8_t SingleWeigher::code_of_exact(const Practice& practice, const std::uint64_t* here) {
  const auto& ends = practice.ends;
  std::size_t first = none;
  std::uint64_t care = 0;
  for (std::size_t w = practice.items.count; w-- > 0;) {
    first = here[w] != 0 ? w * 64 + static_cast<std::size_t>(std::countr_zero(here[w])) : first;
    const std::size_t from = ends[3] <= w * 64 ? 0 : ends[3] - w * 64;
    care |= from < 64 ? here[w] >> from : 0;
  }
  return practice.codes[(first >= ends[0]) + (first >= ends[1]) + (first >= ends[2]) + (first >= ends[3])][care != 0];
}

// Of somebody who is neither outside nor referred.
std::uint8_t SingleWeigher::code_of_practice(const Practice& practice, const std::uint64_t* items, const std::uint64_t* inputs,
                                             Scratch& scratch) const {
  if (practice.items.is_exact) return code_of_exact(practice, items + practice.items.first);
  const auto& ends = practice.ends;
  const std::size_t first = first_that_holds(practice.items, 0, ends[3], items, inputs, scratch);
  const unsigned rung = (first >= ends[0]) + (first >= ends[1]) + (first >= ends[2]) + (first >= ends[3]);
  const bool asks = practice.codes[rung][0] != practice.codes[rung][1];
  return practice.codes[rung][asks && first_that_holds(practice.items, ends[3], ends[4], items, inputs, scratch) != none];
}

void SingleWeigher::weigh(const std::uint64_t* inputs, Scratch& scratch, std::uint8_t* codes) const {
  const auto all = [&](Verdict verdict) { std::fill_n(codes, practices_.size(), static_cast<std::uint8_t>(verdict)); };
  next_person(scratch.whole);
  if (is_deep_) work_out(inputs, scratch);
  if (!holds(applies_, inputs, scratch)) return all(Verdict::outside);
  or_rows(inputs, scratch.rows);
  items_of(scratch.rows, scratch.rows, scratch.may);
  if (first_that_holds(flags_, 0, flags_.count * std::size_t{64}, scratch.may.data(), inputs, scratch) != none) return all(Verdict::referred);
  const std::uint64_t* items = scratch.may.data();
  for (std::size_t p = 0; p < practices_.size(); ++p) {
    const Practice& practice = practices_[p];
    codes[p] =
        practice.table != no_index ? tables_[practice.table + items[practice.items.first]] : code_of_practice(practice, items, inputs, scratch);
  }
}

// Every gate after those that it asks for, so that none is looked for within another.
void SingleWeigher::work_out(const std::uint64_t* inputs, Scratch& scratch) const {
  for (Index g = 0; g < program_.gates.size(); ++g) {
    const bool held = gate_holds(g, inputs, scratch);
    scratch.whole.known[g] = scratch.whole.person, scratch.whole.truths[g] = held ? Truth::yes : Truth::no;
  }
}

}  // namespace betony::runtime
