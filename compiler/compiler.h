// compiler/compiler.h: from a syntax tree to a checked ruleset.
//
//   tree -> typed ruleset -> condition form -> decision graph per practice -> checks
//   ruleset.h  ruleset.h      condition.h       graph.h, practice_graph.h      check/*.cpp, one file a check
//
// The front header of this room. May include: the standard library, GMP, grammar/. Never viz/.
#pragma once

#include <functional>
#include <memory>

#include "compiler/graph.h"
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
  // Of so many sentences a choice is looked at as a table first, of fewer by graphs first; then the other way.
  std::size_t rows_of_a_table = 150;
  // No answer is begun or gone on with after this moment. What is settled then depends on the machine.
  std::optional<Account::Clock::time_point> until;
  Account account() const { return Account(total_steps, until); }
};

struct Report {
  std::vector<Problem> problems;          // errors, questions, notes; within each in source order
  std::vector<SourcesDisagree> sources_disagree;  // a view of what may stand among the problems, in the order of the sources
  std::vector<std::string> not_settled;   // practices and choices whose budget was met, or that ask for a measure and its inputs
  bool settled() const { return not_settled.empty(); }
  std::size_t count(Severity) const;
};

// What was found out about a ruleset, kept from one reading of it to the next: what an edit did not touch is not
// looked at again. The answer is the same as without it. Not for two checks at the same time.
class Memory {
 public:
  Memory();
  ~Memory();
  // How many practices, choices, claims and so on the last check had to look at.
  std::size_t looked_at_anew() const;
  struct Kept;
  Kept& kept() { return *kept_; }

 private:
  std::unique_ptr<Kept> kept_;
};

struct Checking {
  unsigned threads = 1;      // practices are looked at side by side; the answer is the same with any number
  Memory* memory = nullptr;  // borrowed
  // Told after each thing that is looked at: how many are done, of how many. From one thread at a time.
  std::function<void(std::size_t done, std::size_t of)> progress;
};

// Runs every check. Never throws but std::bad_alloc.
Report check(const Ruleset& ruleset, const Budget& budget = {}, const Checking& how = {});

// Text to typed ruleset in one call.
Outcome<Ruleset> read_ruleset(SourceFile file, const FileReader& others, const Limits& limits = {});

}  // namespace betony
