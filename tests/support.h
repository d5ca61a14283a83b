// tests/support.h: what several test programs need to read a source and look at its report.
#pragma once

#include <catch2/catch.hpp>
#include <string>
#include <vector>

#include "compiler/compiler.h"

namespace betony::testing {

inline std::optional<std::string> no_other_files(const std::string&) { return std::nullopt; }

// The typed ruleset of a source that must read without a message.
inline Ruleset ruleset_of(const std::string& source) {
  Outcome<Ruleset> out = read_ruleset({"test.bty", source}, no_other_files);
  for (const Message& m : out.messages) UNSCOPED_INFO(m.matter + ": " + m.message);
  REQUIRE(out.value.has_value());
  return std::move(*out.value);
}

inline Report report_of(const std::string& source, const Budget& budget = {}) {
  const Ruleset ruleset = ruleset_of(source);
  return check(ruleset, budget);
}

// "kind/form practice" of each problem, in the order told; notes on use, sources and questions left out.
inline std::vector<std::string> told(const Report& report, bool with_housekeeping = false) {
  std::vector<std::string> lines;
  for (const Problem& p : report.problems) {
    if (!with_housekeeping && (p.kind == "unused" || p.kind == "uncited" || p.kind == "unasked")) continue;
    static const char* severity[] = {"error", "question", "note"};
    lines.push_back(std::string(severity[static_cast<int>(p.severity)]) + " " + p.kind + (p.form.empty() ? "" : "/" + p.form) +
                    (p.practice.empty() ? "" : " of " + p.practice) + (p.choice.empty() ? "" : " of " + p.choice) +
                    (p.school.empty() ? "" : " in " + p.school));
  }
  return lines;
}

}  // namespace betony::testing
