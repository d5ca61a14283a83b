// viz/terminal/packing.h: a pack of a ruleset, for the verbs that need one.
#pragma once

#include "compiler/ship/ship.h"

namespace betony::terminal {

// Throws Misuse where the ruleset has more conditions than a pack can hold.
runtime::Pack pack_within_bounds(const Ruleset& ruleset, const Report& report, const ship::Shipping& shipping);

}  // namespace betony::terminal
