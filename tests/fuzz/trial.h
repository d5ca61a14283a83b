// tests/fuzz/trial.h: what must hold of any bytes at all that are handed in as a ruleset.
//
//   bytes (of sentences, or of a table) -> files -> tree -> typed ruleset -> report -> pages, and tree -> standard form -> the same tree
//
// The fuzz target runs it on bytes that a fuzzer makes up, the hostile tests on truncations, changes,
// huge and deep sources, and on the corpus that the fuzzer kept.
//
// Bytes hold several files where 0x1C stands in them: behind it comes the next file's name, a line
// break, its text. The part before the first 0x1C is "main.bty".
#pragma once

#include <string>
#include <string_view>
#include <vector>

#include "compiler/compiler.h"

namespace betony::trial {

struct Plan {
  bool tidies = true;  // prints, tidies and reads what was tidied
  bool checks = true;  // runs the checks, within `budget`
  bool pages = true;   // sets the answer as a page and as JSON
  bool unreadable_pages = true;  // likewise the messages of a source that cannot be read
  Budget budget = {20'000, 200'000, 1'000'000};
  Limits limits = {};
};

struct Trial {
  enum class Reached { nothing, tree, ruleset, report } reached = Reached::nothing;
  std::size_t messages = 0, problems = 0;
  std::string first_matter;         // of the messages
  std::vector<std::string> broken;  // promises that were not kept, a line each; empty if all is well
};

// Errors: what the code on trial throws is caught and told in `broken`, but for std::bad_alloc.
Trial run(std::string_view bytes, const Plan& plan = {});
Trial run(const std::vector<SourceFile>& files, const Plan& plan = {});

// What a fuzz target does with its bytes, whose first file is a ruleset or a table: stops the program where a promise
// was broken.
void fuzz(std::string_view bytes, bool is_table);

std::vector<SourceFile> files_of(std::string_view bytes);
std::string bytes_of(const std::vector<SourceFile>& files);

}  // namespace betony::trial
