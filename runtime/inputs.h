// runtime/inputs.h: from what is told of a person to the inputs of a pack's program.
//
// What is not told is open. A measure is open until everything it is made of is told; a tally within a measure asks for
// conditions, which may ask for other measures, so what can be worked out is worked out again until nothing is added.
//
// Cost      O(variables · log thresholds) and the measures' formulas, each once; with tallies in formulas, all conditions as often as there
//           are measures.
// Tested by tests/unit/weigh_test.cpp
#pragma once

#include "runtime/answers.h"
#include "runtime/truth.h"

namespace betony::runtime {

std::vector<Truth> inputs_of(const Pack& pack, const Answers& answers);

// The measures, where they can be worked out; a division by 0 gives none.
std::vector<std::optional<Number>> measures_of(const Pack& pack, const Answers& answers);

}  // namespace betony::runtime
