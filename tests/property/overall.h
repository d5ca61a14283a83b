// tests/property/overall.h: the checks that look at the ruleset as a whole, not at one reading of it.
#pragma once

#include "tests/property/reading.h"

namespace betony::referee {

// `readings` are the whole and each school's; `told` what they have told already.
std::vector<Expected> idle(const Model&, const Universe&, const Judge&, const std::vector<const Reading*>& readings,
                           const std::vector<Expected>& told);
std::vector<Expected> unused(const Model&);
std::vector<Expected> uncited(const Model&);
std::vector<Expected> unasked(const Model&);

}  // namespace betony::referee
