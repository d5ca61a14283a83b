// compiler/trial/shrink.h: from a person who breaks something to the fewest and most usual answers that still do.
//
// The persons near one person are a tree of rapidcheck's (rc::Shrinkable): below each stand those that are plainer, the plainest first, and
// rapidcheck goes down where something still breaks. Plainer is who has fewer unusual answers; of as many, answers nearer to the usual
// ones, then more frequent ones. So that the way down does not end beside a plainer person, the persons with one and two unusual answers among
// the findings that matter stand first of all, as far as `most_tries` reaches, and steps that take two answers back and change a third last.
//
// Cost      at most `most_tries` calls of `breaks`.
// Tested by tests/unit/trial_test.cpp: at most one answer more than the least there is, which is searched for exhaustively
#pragma once

#include <functional>

#include "compiler/trial/sampler.h"

namespace betony::trial {

struct Shrinking {
  std::size_t most_tries = 30'000;
};

// `matter` are groups of the sampler; what lies outside them is only ever taken back to the usual. `breaks` holds of the person.
Outcomes shrunk(const Sampler& sampler, const Outcomes& person, const std::vector<Index>& matter, const std::function<bool(const Outcomes&)>& breaks,
                const Shrinking& how = {});

}  // namespace betony::trial
