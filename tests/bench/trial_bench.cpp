// tests/bench/trial_bench.cpp FILE [samples]: how many persons a second `betony try` draws, weighs and holds every property against, on
// one thread. Reading, exact checking and mutants are not counted. Prints Markdown; exit status 1 under a million a second.
#include <cstdio>

#include "compiler/trial/attack.h"
#include "tests/bench/clock.h"
#include "tests/bench/files.h"

namespace {

using namespace betony;
using bench::text_of;

}  // namespace

int main(int count, char** words) {
  const std::string file = count > 1 ? words[1] : BETONY_SOURCE_DIR "/rulesets/lantern-lakes/lantern-lakes.bty";
  const std::string folder = file.substr(0, file.rfind('/') + 1);
  const auto text = text_of(file);
  if (!text) return std::fprintf(stderr, "no file %s\n", file.c_str()), 1;
  const auto ruleset = read_ruleset({file.substr(folder.size()), *text}, [&](const std::string& other) { return text_of(folder + other); });
  if (!ruleset) return std::fprintf(stderr, "%s cannot be read\n", file.c_str()), 1;
  trial::Trying how;
  how.samples = count > 2 ? std::strtoull(words[2], nullptr, 10) : 2'000'000;
  const auto properties = trial::properties_of(*ruleset.value);
  std::uint64_t samples = 0, again = 0;
  std::optional<trial::Attack> attack;
  const auto time = bench::median_of(
      [&] {
        samples = attack->run();
        again = attack->seen().drawn_again;
      },
      [&] { attack.emplace(*ruleset.value, properties, how); });
  const double a_second = static_cast<double>(samples) / time.processor;
  std::printf("## Persons that are tried\n\n| ruleset | properties | persons | drawn again | seconds | persons a second and core |\n|---|---|---|---|---|---|\n"
              "| %s | %zu | %llu | %llu | %.3f | **%.2f million** |\n",
              ruleset.value->title.c_str(), properties.size(), static_cast<unsigned long long>(samples), static_cast<unsigned long long>(again), time.processor,
              a_second / 1e6);
  return a_second >= 1e6 ? 0 : 1;
}
