#include <bdd.h>

#include <algorithm>
#include <bit>
#include <map>
#include <numeric>

#include "tests/bench/peers.h"

namespace betony::bench::peers {

namespace {

// A column as a code of whole bits; `first` is the variable of its highest one.
struct Code {
  int first, bits;
  // Codes from `number` on (or, upside down, up to it).
  bdd beyond(Coordinate number, bool upside_down) const {
    bdd result = bddtrue;
    for (int bit = 0; bit < bits; ++bit) {
      const int variable = first + bits - 1 - bit;
      const bool set = (number >> bit & 1) != 0;
      const bdd further = upside_down ? bdd_nithvar(variable) : bdd_ithvar(variable);
      result = set != upside_down ? bdd_and(further, result) : bdd_or(further, result);
    }
    return result;
  }
};

}  // namespace

Buddy::Buddy() {
  bdd_init(2'000'000, 500'000);
  bdd_setmaxincrease(4'000'000);
  bdd_setcacheratio(4);
  bdd_gbc_hook(nullptr);  // it would print
}
Buddy::~Buddy() { bdd_done(); }

bool Buddy::cover(const Boxes& boxes, const std::vector<std::uint32_t>& order) {
  std::vector<Code> codes(order.size());
  int variables = 0;
  for (const std::uint32_t c : order) {
    codes[c] = {variables, static_cast<int>(std::bit_width(boxes.widths()[c] - 1))};
    variables += codes[c].bits;
  }
  bdd_setvarnum(std::max(variables, 1));
  std::map<std::pair<std::uint32_t, Coordinate>, bdd> from, up_to;
  const auto side = [&](auto& known, std::uint32_t c, Coordinate cell, bool upside_down) {
    const auto [at, is_new] = known.try_emplace({c, cell});
    if (is_new) at->second = codes[c].beyond(cell, upside_down);
    return at->second;
  };
  std::vector<std::uint32_t> sorted(boxes.size());
  std::iota(sorted.begin(), sorted.end(), 0u);
  std::sort(sorted.begin(), sorted.end(), [&](std::uint32_t a, std::uint32_t b) {
    for (const std::uint32_t c : order)
      if (boxes.low(a)[c] != boxes.low(b)[c]) return boxes.low(a)[c] < boxes.low(b)[c];
    return a < b;
  });
  std::vector<bdd> parts;
  for (const std::uint32_t box : sorted) {
    bdd row = bddtrue;
    for (std::size_t level = order.size(); level-- > 0;) {
      const std::uint32_t c = order[level];
      if (boxes.high(box)[c] + 1 < boxes.widths()[c]) row = bdd_and(side(up_to, c, boxes.high(box)[c], true), row);
      if (boxes.low(box)[c] > 0) row = bdd_and(side(from, c, boxes.low(box)[c], false), row);
    }
    parts.push_back(row);
  }
  while (parts.size() > 1) {
    std::vector<bdd> next;
    for (std::size_t i = 0; i + 1 < parts.size(); i += 2) next.push_back(bdd_or(parts[i], parts[i + 1]));
    if (parts.size() % 2) next.push_back(parts.back());
    parts = std::move(next);
  }
  bdd grid = bddtrue;  // codes that are cells
  for (std::size_t level = order.size(); level-- > 0;) grid = bdd_and(codes[order[level]].beyond(boxes.widths()[order[level]] - 1, true), grid);
  const bdd open = bdd_apply(grid, parts.empty() ? bddfalse : parts[0], bddop_diff);
  nodes_ = bdd_nodecount(bdd_and(grid, parts.empty() ? bddfalse : parts[0]));
  share_ = bdd_satcount(open) / bdd_satcount(grid);
  return open == bddfalse;
}

}  // namespace betony::bench::peers
