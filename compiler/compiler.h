// compiler/compiler.h: from a syntax tree to a checked ruleset.
//
//   tree -> typed ruleset -> condition form -> decision graph per practice -> checks
//   ruleset.h  ruleset.h      condition.h       graph.h, practice_graph.h      check/*.cpp, one file a check
//
// The front header of this room. May include: the standard library, GMP, grammar/. Never viz/.
#pragma once

#include <chrono>
#include <functional>

#include "compiler/problem.h"
#include "compiler/ruleset.h"
#include "grammar/grammar.h"

namespace betony {

// What a search may cost before it says `not settled`. Counted in steps, not seconds, so that a result
// is the same on any machine.
struct Budget {
  std::uint64_t nodes = 2'000'000;        // decision nodes alive in one practice's graphs
  std::uint64_t steps = 40'000'000;       // graph steps for one practice
  std::uint64_t total_steps = 200'000'000;  // for the ruleset
};

struct Report {
  std::vector<Problem> problems;          // errors, questions, notes; within each in source order
  std::vector<SourcesDisagree> sources_disagree;  // a view of what may stand among the problems, in the order of the sources
  std::vector<std::string> not_settled;   // practices and choices whose budget was met, or that ask for a measure and its inputs
  bool settled() const { return not_settled.empty(); }
  std::size_t count(Severity) const;
};

// Runs every check. Never throws but std::bad_alloc.
Report check(const Ruleset& ruleset, const Budget& budget = {});

// Text to typed ruleset in one call.
Outcome<Ruleset> read_ruleset(SourceFile file, const FileReader& others, const Limits& limits = {});

}  // namespace betony
