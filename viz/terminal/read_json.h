// viz/terminal/read_json.h: what `betony read --json` gives. README.md, "For other programs", tells the shape.
#pragma once

#include <string>
#include <vector>

#include "compiler/compiler.h"
#include "grammar/message.h"

namespace betony::terminal {

// One JSON object and a line break, UTF-8. With `plain_letters` all letters beyond ASCII are escaped,
// so that nothing in it can steer a terminal.
std::string read_json(const Ruleset& ruleset, const Report& report, bool plain_letters = false);

std::string unreadable_json(const std::vector<SourceFile>& files, const std::vector<Message>& messages,
                            bool plain_letters = false);

}  // namespace betony::terminal
