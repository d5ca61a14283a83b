// tests/property/overall.h: the checks that look at the ruleset as a whole, not at one reading of it.
#pragma once

#include "tests/property/reading.h"

namespace betony::referee {

// `readings` are the whole and each school's; `told` what they have told already.
std::vector<Expected> idle(const Model&, const Universe&, const Judge&, const std::vector<const Reading*>& readings,
                           const std::vector<Expected>& told);
bool told_already(const Model&, int sentence, const std::vector<Expected>& told);
// `told` holds the idle sentences too.
std::vector<Expected> idle_parts(const Model&, const Universe&, const Judge&, const std::vector<const Reading*>& readings,
                                 const std::vector<Expected>& told);
std::string bare(const std::string& words);  // a number without its unit, other words as they are
Verdict asked_for(const Sentence&);          // what an indication or a ban says
// Sources that speak against each other, a line for two: "SB WN: 3 on 1/12; 2 on 1/20; 1 on 1/90".
std::vector<std::string> disagreements(const Model&, const Universe&, const Judge&, const Reading& all);
std::vector<Expected> unused(const Model&);
std::vector<Expected> uncited(const Model&);
std::vector<Expected> unasked(const Model&);

}  // namespace betony::referee
