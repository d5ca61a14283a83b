// tests/fuzz/require.h: what a fuzz target promises. One that is broken stops the program, and so is found.
#pragma once

#include <cstdio>
#include <cstdlib>

namespace betony::fuzz {

inline void require(bool holds, const char* what) {
  if (holds) return;
  std::fprintf(stderr, "Broken promise: %s\n", what);
  std::abort();
}

}  // namespace betony::fuzz
