// viz/terminal/read_page.h: what `betony read` says, set on a page.
#pragma once

#include <string>
#include <vector>

#include "compiler/compiler.h"
#include "grammar/message.h"
#include "viz/terminal/page.h"

namespace betony::terminal {

// The problems of a ruleset: its title and size, a block for each problem with its number in the report, the counts.
//
// Nothing is hidden silently. A problem with very many sentences shows the first of them and tells the
// line numbers of the rest. Where more than three notes say the same of different names ("nothing asks
// for it"), they stand together in one block, a line each.
std::string read_page(const Ruleset& ruleset, const Report& report, Surface surface);

// One of them by itself: report.problems[at].
std::string problem_page(const Ruleset& ruleset, const Report& report, std::size_t at, Surface surface);

// The messages about a source that could not be read. `files` are the files of the ruleset in the order
// in which messages number them.
std::string unreadable_page(const std::vector<SourceFile>& files, const std::vector<Message>& messages, Surface surface);

}  // namespace betony::terminal
