// tests/bench/once.h: which table, in words of a command: KIND COLUMNS ROWS SEED.
#pragma once

#include <cstdlib>
#include <string>
#include <vector>

#include "tests/bench/tables.h"

namespace betony::bench {

struct Spec {
  std::string kind;  // widened, narrowed: a tenth of the rows; independent
  std::size_t columns, rows;
  std::uint64_t seed;
  std::vector<std::string> words(const char* task) const {
    return {task, kind, std::to_string(columns), std::to_string(rows), std::to_string(seed)};
  }
};

inline Spec spec_of(char** words) {
  return {words[0], std::strtoul(words[1], nullptr, 10), std::strtoul(words[2], nullptr, 10), std::strtoull(words[3], nullptr, 10)};
}

inline Table table_of(const Spec& spec) {
  if (spec.kind == "independent") return independent_table(spec.rows, spec.seed);
  return grown_table(spec.columns, spec.rows, spec.kind == "widened" ? spec.rows / 10 : 0, spec.kind == "narrowed" ? spec.rows / 10 : 0, spec.seed);
}

}  // namespace betony::bench
