// compiler/ship/ship.h: from a checked ruleset to a pack.
//
//   auto pack = betony::ship::pack_of(ruleset, report, {"betony 0.1.0", false});
//   auto bytes = betony::runtime::write_pack(pack);
//
// Takes conditions apart into gates (gates.h), for the whole and for each school; cuts numbers at the thresholds that
// some condition asks for; takes along every text that is shown with a verdict. Order, company and claims stay behind: they
// say nothing of one person's verdicts.
//
// Errors    BudgetMet (graph.h) where the conditions are too many to be held.
// Cost      as Meaning of the whole ruleset.
// Tested by tests/unit/weigh_test.cpp; tests/property/pack_test.cpp weighs random rulesets through packs
#pragma once

#include "compiler/compiler.h"
#include "runtime/pack.h"

namespace betony::ship {

struct Shipping {
  std::string compiler;   // who ships
  bool even_so = false;   // though it is unsettled or has errors; the pack says so
};

runtime::Pack pack_of(const Ruleset& ruleset, const Report& report, const Shipping& shipping);

// The words that go with whatever is said of a person.
extern const char* const caution;

}  // namespace betony::ship
