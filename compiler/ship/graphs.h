// compiler/ship/graphs.h: the decision graphs of practices, as a pack holds them.
//
// Each is built on a universe of its own: the thresholds that the practice and the facts ask for, and measures bound to their
// findings. Its cells are then told in those of the pack's variables, which are cut finer. Red flags, `Applies to` and the
// background are taken in whole.
//
// Cost      as Space of each practice in each reading; a graph of more than `most_nodes` questions is left out, and so is all that
//           comes when the steps of the whole are spent.
// Tested by tests/property/pack_test.cpp, tests/property/open_test.cpp
#pragma once

#include "compiler/ruleset.h"
#include "runtime/pack.h"

namespace betony::ship {

constexpr std::size_t most_nodes = 50'000;

// Adds `graphs` to the pack, and to each of its readings which of them is whose. The pack has its variables and readings.
void add_graphs(const Ruleset& ruleset, runtime::Pack& pack);

}  // namespace betony::ship
