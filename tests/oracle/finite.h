// tests/oracle/finite.h: sums of points and measures told by words, bounds, and/or/not alone.
//
// A sum is decided part by part: after each, what is still missing to the bound is all that matters. A measure is
// decided by trying every combination of the steps of its inputs, which must go in steps; runs of steps that lead
// to the same become one range. Nothing else is touched.
#pragma once

#include <optional>

#include "tests/oracle/statement.h"

namespace betony::oracle {

// False: some measure has an input without steps, or more than `most` combinations.
bool can_be_finite(const Statement& statement, double most = 300000);

struct Keep { bool sums = false; };  // leave the sums alone

// The same formulas without measures, and without sums unless they are kept.
std::vector<Formula> finite(Statement& statement, const std::vector<Formula>& formulas, Keep keep = {});

}  // namespace betony::oracle
