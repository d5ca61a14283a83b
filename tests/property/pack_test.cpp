// Random rulesets, packed, written, read again: whatever the evaluator says of a person, the pack says.
//
// The seed is fixed. BETONY_PROPERTY_TIMES makes as many times the cases.
#include <catch2/catch.hpp>

#include <algorithm>
#include <cstdlib>
#include <iostream>
#include <random>

#include "tests/packs.h"
#include "tests/property/generate.h"
#include "tests/support.h"

namespace betony {
namespace {

using testing::answers_of;
using testing::difference;
using testing::packed;
using testing::ruleset_of;

std::size_t times() {
  const char* text = std::getenv("BETONY_PROPERTY_TIMES");
  return text && *text ? std::strtoull(text, nullptr, 10) : 1;
}

class Persons {
 public:
  explicit Persons(const Ruleset& ruleset, std::uint64_t seed) : ruleset_(ruleset), dice_(seed) {}

  Profile any() {
    Profile profile;
    for (const Finding& f : ruleset_.findings) profile.push_back(value(f));
    return profile;
  }
  std::size_t below(std::size_t bound) { return static_cast<std::size_t>(dice_() % bound); }

 private:
  Value value(const Finding& f) {
    if (!f.values.empty()) return {Value::Kind::word, static_cast<Index>(below(f.values.size())), {}};
    if (f.or_never && below(4) == 0) return {Value::Kind::never, 0, {}};
    const Rational span = f.high - f.low;
    if (f.step == 0) return {Value::Kind::number, 0, f.low + span * Rational(static_cast<long>(below(41)), 40)};
    const mpz_class steps = Rational(span / f.step).get_num() / Rational(span / f.step).get_den();
    const mpz_class at = steps == 0 ? mpz_class(0) : mpz_class(mpz_class(std::to_string(dice_())) % (steps + 1));
    return {Value::Kind::number, 0, f.low + f.step * Rational(at)};
  }

  const Ruleset& ruleset_;
  std::mt19937_64 dice_;
};

// Of somebody of whom not all is told nothing is called settled that is not so.
std::string unsound(const Ruleset& ruleset, const runtime::Pack& pack, const Profile& whole, Persons& persons) {
  if (broken_background(ruleset, whole)) return {};  // nobody is so
  runtime::Answers some = answers_of(whole);
  for (auto& answer : some)
    if (persons.below(3) == 0) answer.reset();
  const runtime::Weighing told = runtime::weigh(pack, some);
  const Weighing real = evaluate(ruleset, whole);
  for (Index p = 0; p < ruleset.practices.size(); ++p) {
    const runtime::Told is{static_cast<runtime::Verdict>(real.practices[p].verdict), real.practices[p].with_care};
    const auto& possible = told.practices[p].possible;
    if (std::find(possible.begin(), possible.end(), is) == possible.end()) return "what is possible of " + ruleset.practices[p].name;
  }
  return {};
}

void agree(referee::Scale scale, std::uint64_t count) {
  std::size_t weighed = 0;
  for (std::uint64_t seed = 0; seed < count * times(); ++seed) {
    const referee::Model model = referee::random_model((seed + 77) * 0x9e3779b97f4a7c15u, scale);
    const Ruleset ruleset = ruleset_of(referee::print(model).text);
    const runtime::Pack pack = packed(ruleset, {});
    Persons persons(ruleset, seed);
    for (int i = 0; i < 12; ++i) {
      const Profile profile = persons.any();
      std::string differs = difference(ruleset, pack, profile, {});
      for (Index school = 0; school < ruleset.schools.size() && differs.empty(); ++school) differs = difference(ruleset, pack, profile, {school});
      if (differs.empty()) differs = unsound(ruleset, pack, profile, persons);
      ++weighed;
      if (differs.empty()) continue;
      INFO(referee::print(model).text);
      INFO(differs);
      FAIL_CHECK("the pack says something else");
      return;
    }
  }
  std::cout << "weighed through packs: " << weighed << " persons\n";
}

TEST_CASE("packs of random rulesets say what the evaluator says") { agree(referee::Scale::small, 600); }
TEST_CASE("packs of random rulesets with measures say what the evaluator says") { agree(referee::Scale::measured, 300); }
TEST_CASE("packs of large random rulesets say what the evaluator says") { agree(referee::Scale::large, 150); }

}  // namespace
}  // namespace betony
