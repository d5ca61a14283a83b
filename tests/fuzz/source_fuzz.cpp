// tests/fuzz/source_fuzz.cpp: the fuzz target for source text. `sh tests/fuzz/run.sh` builds and runs it;
// trial.h tells what is looked at.
#include <cstdio>
#include <cstdlib>

#include "tests/fuzz/trial.h"

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
  const betony::trial::Trial trial = betony::trial::run(std::string_view(reinterpret_cast<const char*>(data), size));
  for (const std::string& promise : trial.broken) std::fprintf(stderr, "Broken promise: %s\n", promise.c_str());
  if (!trial.broken.empty()) std::abort();
  return 0;
}
