// tests/property/generate.h: random rulesets over small universes, and how a failing one is made smaller.
#pragma once

#include <rapidcheck.h>

#include <cstdint>

#include "tests/property/model.h"

namespace betony::referee {

constexpr double most_profiles = 3000;

// A ruleset that reads without a message: 2 to 6 findings, 1 to 3 practices, up to some 14 sentences whose
// conditions are often copied, narrowed, widened and turned round, so that they collide in every way.
Model random_model(std::uint64_t seed);

// Takes out whatever refers to what is gone. False: nothing sensible is left.
bool settle(Model& model);

// Rulesets a little smaller than this one, the greatest steps first.
std::vector<Model> smaller(const Model& model);

rc::Gen<Model> models();

// A failing ruleset is shown as its source.
std::ostream& operator<<(std::ostream& out, const Model& model);

}  // namespace betony::referee
