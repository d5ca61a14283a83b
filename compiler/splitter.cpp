#include "compiler/splitter.h"

#include <algorithm>

namespace betony {

void Splitter::by_sorting(List list, std::uint32_t c, std::uint64_t& least, Cut& best) {
  begins_.clear();
  ends_.clear();
  for (std::size_t i = list.begin; i < list.end; ++i) {
    const Coordinate begin = boxes_.low(stack_[i])[c], end = boxes_.high(stack_[i])[c];
    if (begin > low_[c]) begins_.push_back(begin);
    if (end < high_[c]) ends_.push_back(end + 1);
  }
  std::sort(begins_.begin(), begins_.end());
  std::sort(ends_.begin(), ends_.end());
  std::size_t b = 0, e = 0;
  while (b < begins_.size() || e < ends_.size()) {
    const Coordinate at = std::min(b < begins_.size() ? begins_[b] : high_[c] + 1, e < ends_.size() ? ends_[e] : high_[c] + 1);
    while (e < ends_.size() && ends_[e] == at) ++e;
    weigh(c, at, list.size() - (begins_.size() - b), list.size() - e, least, best);
    while (b < begins_.size() && begins_[b] == at) ++b;
  }
}

}  // namespace betony
