// viz/terminal/try_page.h: what `betony try` says, on a page and as JSON (README.md, "For other programs", tells the shape).
//
// Lists are cut where they would fill pages, and say how much they leave out; the JSON has all.
#pragma once

#include <string>

#include "compiler/trial/trial.h"
#include "viz/terminal/page.h"

namespace betony::terminal {

std::string try_page(const Ruleset& ruleset, const trial::Trial& trial, Surface surface);

std::string try_json(const Ruleset& ruleset, const trial::Trial& trial, bool plain_letters = false);

}  // namespace betony::terminal
