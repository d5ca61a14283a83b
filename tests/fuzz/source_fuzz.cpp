// tests/fuzz/source_fuzz.cpp: the fuzz target for source text. `sh tests/fuzz/run.sh` builds and runs it;
// trial.h tells what is looked at.
#include "tests/fuzz/trial.h"

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
  betony::trial::fuzz({reinterpret_cast<const char*>(data), size}, false);
  return 0;
}
