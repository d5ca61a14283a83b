// tests/rulesets/forms.h: which forms of the language a tree holds, by name.
#pragma once

#include <set>
#include <string>

#include "grammar/tree.h"

namespace betony::worlds {

// Every form that occurs in the tree: "Dose", "Dose, a factor", "NAME is never", "least of", ...
std::set<std::string> forms_in(const Tree& tree);

// Every form that there is. forms_in gives no name that does not stand here.
const std::set<std::string>& every_form();

}  // namespace betony::worlds
