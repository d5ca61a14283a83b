// tests/bench/embedded_bench.cpp [persons]: one person after another through the C interface, with reasons and without.
//
// The example teachings as packs; persons by chance, who answer every finding or each by one in two. What is told of verdicts alone is compared
// with what is told with reasons. Time of the processor on one thread; medians of five.
//
// Prints Markdown. Exit status 1 where a verdict differs.
#include <random>

#include "compiler/ship/ship.h"
#include "runtime/betony.h"
#include "tests/bench/clock.h"
#include "tests/rulesets/worlds.h"
#include "tests/soak/caller.h"

namespace {

using namespace betony;
using soak::Pack, soak::Person, soak::Told, soak::Weigher;

using Sets = std::vector<std::uint32_t>;

// What one finds by trying: a number within the range, in steps.
void tell_somehow(const betony_pack* pack, betony_person* person, std::size_t finding, std::mt19937_64& dice) {
  if (const std::size_t values = betony_values(pack, finding); values > 0) {
    betony_tell_value(person, finding, dice() % values);
    return;
  }
  for (unsigned tries = 0; tries < 40; ++tries)
    if (betony_tell_number(person, finding, static_cast<double>(dice() % 200), nullptr) == BETONY_OK) return;
}

Sets with_reasons(betony_person* person, std::size_t practices) {
  const Told told(betony_weigh(person, nullptr));
  Sets out(practices);
  for (std::size_t p = 0; p < practices; ++p)
    for (std::size_t i = 0, count = betony_possible(told.get(), p); i < count; ++i) {
      int care = 0;
      const betony_verdict verdict = betony_possible_verdict(told.get(), p, i, &care);
      out[p] |= care == 1 ? BETONY_SET_WITH_CARE(verdict) : BETONY_SET(verdict);
    }
  return out;
}

bool measure(const char* name, const std::vector<std::uint8_t>& bytes, bool is_whole, std::size_t persons) {
  betony_pack* loaded = nullptr;
  betony_load(bytes.data(), bytes.size(), &loaded, nullptr, 0);
  const Pack pack(loaded);
  const Weigher weigher(betony_weigher_new(pack.get(), nullptr));
  const std::size_t practices = betony_practices(pack.get());
  std::mt19937_64 dice(20261127);
  std::vector<Person> all;
  for (std::size_t i = 0; i < persons; ++i) {
    betony_person* person = all.emplace_back(betony_person_new(pack.get())).get();
    for (std::size_t f = 0; f < betony_findings(pack.get()); ++f)
      if (is_whole || dice() % 2 == 0) tell_somehow(pack.get(), person, f, dice);
  }
  std::vector<Sets> reasoned(persons), alone(persons, Sets(practices));
  const double slow = bench::median_of([&] {
                        for (std::size_t i = 0; i < persons; ++i) reasoned[i] = with_reasons(all[i].get(), practices);
                      }).processor;
  const double quick = bench::median_of([&] {
                         for (std::size_t i = 0; i < persons; ++i) betony_verdicts(weigher.get(), all[i].get(), alone[i].data());
                       }).processor;
  std::size_t sets = 0, different = 0, may_be_fewer = 0;
  for (std::size_t i = 0; i < persons; ++i)
    for (std::size_t p = 0; p < practices && alone[i][p] != 0; ++p) {
      const bool fewer = alone[i][p] & BETONY_SET_MAY_BE_FEWER;
      ++sets, may_be_fewer += fewer, different += !fewer && alone[i][p] != reasoned[i][p];
    }
  const double per = 1e9 / static_cast<double>(persons);
  std::printf("| %s, %s | %zu | %.0f | **%.0f** | %.1f | %zu | %zu | %zu |\n", name, is_whole ? "whole" : "half known", persons, slow * per,
              quick * per, slow / quick, sets, may_be_fewer, different);
  std::fflush(stdout);
  return different == 0;
}

}  // namespace

int main(int count, char** words) {
  const std::size_t persons = count > 1 ? std::strtoull(words[1], nullptr, 10) : 1000;
  std::printf(
      "## Through C, with reasons and without\n\nThe example teachings, `betony_weigh` beside `betony_verdicts`, nanoseconds a person for all practices; the "
      "persons are told before.\n\n"
      "| persons | how many | with reasons | verdicts alone | times as fast | sets | that may be fewer | differences |\n|---|---|---|---|---|---|---|---|\n");
  bool same = true;
  for (const auto& world : worlds::newest()) {
    const auto& [ruleset, report] = worlds::checked(world);
    const auto bytes = runtime::write_pack(ship::pack_of(ruleset, report, {"bench", false}));
    for (const bool is_whole : {true, false}) same = measure(ruleset.title.c_str(), bytes, is_whole, persons) && same;
  }
  return same ? 0 : 1;
}
