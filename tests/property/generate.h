// tests/property/generate.h: random rulesets over small universes, and how a failing one is made smaller.
#pragma once

#include <rapidcheck.h>

#include <cstdint>

#include "tests/property/model.h"

namespace betony::referee {

constexpr double most_profiles = 3000;

// small     2 to 6 findings, 1 to 3 practices, up to some 14 sentences: at most `most_profiles` profiles
// measured  the same with a number of kg, one of m and one more, in steps, and 1 or 2 measures of them
// large     6 to 26 findings with wide ranges, 1 to 6 practices, 2 to 40 sentences; no profiles of the ruleset's own
enum class Scale { small, measured, large };

// A ruleset that reads without a message. Conditions are often copied, narrowed, widened and turned round, so that
// they collide in every way.
Model random_model(std::uint64_t seed, Scale scale = Scale::small);

// Takes out whatever refers to what is gone. False: nothing sensible is left.
bool settle(Model& model);

// Rulesets a little smaller than this one, the greatest steps first.
std::vector<Model> smaller(const Model& model);

rc::Gen<Model> models();

// A failing ruleset is shown as its source.
std::ostream& operator<<(std::ostream& out, const Model& model);

}  // namespace betony::referee
