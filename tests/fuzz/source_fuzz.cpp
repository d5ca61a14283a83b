// tests/fuzz/source_fuzz.cpp: the fuzz target for source text. `sh tests/fuzz/run.sh` builds and runs it;
// trial.h tells what is looked at.
//
// Setting messages on pages takes longer than reading, so only every eighth source that cannot be read is
// set on one, chosen by its bytes: the same source is always tried in the same way.
#include <cstdio>
#include <cstdlib>

#include "tests/fuzz/trial.h"

namespace {

bool sets_unreadable_pages(std::string_view bytes) {
  std::uint32_t sum = 2166136261u;  // FNV-1a
  for (const unsigned char byte : bytes) sum = (sum ^ byte) * 16777619u;
  return (sum >> 16) % 8 == 0;
}

}  // namespace

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
  const std::string_view bytes(reinterpret_cast<const char*>(data), size);
  betony::trial::Plan plan;
  plan.unreadable_pages = sets_unreadable_pages(bytes);
  const betony::trial::Trial trial = betony::trial::run(bytes, plan);
  for (const std::string& promise : trial.broken) std::fprintf(stderr, "Broken promise: %s\n", promise.c_str());
  if (!trial.broken.empty()) std::abort();
  return 0;
}
