// tests/fuzz/table_fuzz.cpp: the fuzz target for tables. `sh tests/fuzz/run.sh --table` builds and runs it;
// trial.h tells what is looked at.
#include "tests/fuzz/trial.h"

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
  betony::trial::fuzz({reinterpret_cast<const char*>(data), size}, true);
  return 0;
}
