// compiler/ship/ways.h: what of a pack is made of gates alone: its variables, and how each practice comes to its verdict.
//
// For the writer of packs (ship.h), and for whoever weighs many persons while the ruleset is still at hand (compiler/trial/).
#pragma once

#include "compiler/meaning.h"
#include "compiler/ship/gates.h"

namespace betony::ship {

// The number of a verdict in packs. Nobody of whom all is known is unanswered.
runtime::Verdict verdict_in_pack(tree::Verdict verdict);

runtime::Number number_in_pack(const Rational& number);

// The variables of a universe without bound findings, each with its inputs, which are added to the program.
std::vector<runtime::Variable> variables_in_pack(const Ruleset& ruleset, const Universe& universe, runtime::Program& program);

// The verdict of a practice, but for the sentence that speaks otherwise; `otherwise_sentence` is left open.
runtime::Reading::Ways ways_of(const Ruleset& ruleset, Meaning& meaning, Gates& gates, Index practice, Reading reading);

}  // namespace betony::ship
