#include "runtime/alone.h"

#include <algorithm>

#include "runtime/inputs.h"

namespace betony::runtime {

void Alone::verdicts(const Answers& answers, Scratch& scratch, std::uint32_t* sets) const {
  const PossibleCells possible = possible_cells(pack_, answers);
  if (!possible.anybody) return static_cast<void>(std::fill(sets, sets + practices(), 0));
  auto &yes = scratch.yes_, &no = scratch.no_;
  yes.assign(single_.words(), 0), no.assign(single_.words(), 0);
  std::size_t at = 0;
  bool is_whole = true;
  for (const Truth truth : inputs_of(pack_, possible.cells)) {
    yes[at / 64] |= std::uint64_t{may_be_yes(truth)} << (at % 64);
    no[at / 64] |= std::uint64_t{may_be_no(truth)} << (at % 64);
    is_whole = is_whole && truth != Truth::open;
    ++at;
  }
  if (!is_whole) return single_.possible(yes.data(), no.data(), scratch.single_, sets);
  scratch.codes_.resize(practices());
  single_.weigh(yes.data(), scratch.single_, scratch.codes_.data());
  std::transform(scratch.codes_.begin(), scratch.codes_.end(), sets, [](std::uint8_t code) { return std::uint32_t{1} << code; });
}

}  // namespace betony::runtime
