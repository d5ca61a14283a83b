// Random rulesets, packed, written, read again: whatever the evaluator says of a person, the pack says.
//
// The seed is fixed. BETONY_PROPERTY_TIMES makes as many times the cases.
#include <catch2/catch.hpp>

#include <algorithm>
#include <cstdlib>
#include <iostream>
#include <random>

#include "compiler/dose.h"
#include "compiler/evaluate.h"
#include "compiler/ship/ship.h"
#include "runtime/weigh.h"
#include "tests/property/generate.h"
#include "tests/support.h"

namespace betony {
namespace {

using betony::testing::ruleset_of;

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

runtime::Pack packed(const Ruleset& ruleset) {
  const Report report;
  const auto bytes = runtime::write_pack(ship::pack_of(ruleset, report, {"test", false}));
  auto read = runtime::read_pack(bytes);
  INFO(read.wrong);
  REQUIRE(read.pack);
  CHECK(runtime::write_pack(*read.pack) == bytes);
  return std::move(*read.pack);
}

runtime::Answers answers_of(const Profile& profile) {
  runtime::Answers answers;
  for (const auto& v : profile)
    if (!v) answers.push_back(std::nullopt);
    else answers.push_back(runtime::Value{static_cast<runtime::Value::Kind>(v->kind), v->word, runtime::Number::read(v->number.get_str(), 4096).value()});
  return answers;
}

// The sentences of the ruleset by where they stand in the pack.
std::vector<Index> unpacked(const Ruleset& ruleset, const std::vector<runtime::Index>& in_pack) {
  std::vector<Index> of_pack;
  for (Index s = 0; s < ruleset.sentences.size(); ++s) {
    switch (ruleset.sentences[s].kind) {
      case Sentence::Kind::follows: case Sentence::Kind::precedes: case Sentence::Kind::needs: case Sentence::Kind::leads_to: case Sentence::Kind::never_with:
      case Sentence::Kind::apart: case Sentence::Kind::time: case Sentence::Kind::takes: case Sentence::Kind::uses: break;
      default: of_pack.push_back(s);
    }
  }
  std::vector<Index> out;
  for (runtime::Index s : in_pack) out.push_back(of_pack[s]);
  std::sort(out.begin(), out.end());
  return out;
}

std::vector<Index> sorted(std::vector<Index> list) {
  std::sort(list.begin(), list.end());
  return list;
}

bool same_range(const Interval& a, const runtime::Range& b) {
  const auto same = [](const std::optional<Rational>& x, const std::optional<runtime::Number>& y) {
    return x.has_value() == y.has_value() && (!x || runtime::Number::read(x->get_str(), 4096) == *y);
  };
  return same(a.low, b.low) && same(a.high, b.high);
}

bool same_dose(const SettledDose& a, const runtime::SettledDose& b) {
  if (b.open || a.amounts.size() != b.amounts.size() || a.often.has_value() != b.often.has_value() || a.length.has_value() != b.length.has_value()) return false;
  for (const SettledDose::Part& part : a.amounts)
    if (std::none_of(b.amounts.begin(), b.amounts.end(), [&](const auto& other) { return part.clash == other.clash && same_range(part.interval, other.range); })) return false;
  return (!a.often || same_range(a.often->interval, b.often->range)) && (!a.length || same_range(a.length->interval, b.length->range)) &&
         std::is_permutation(a.words.begin(), a.words.end(), b.words.begin(), b.words.end());
}

// What differs between the evaluator and the pack, in words; empty where nothing does.
std::string difference(const Ruleset& ruleset, const runtime::Pack& pack, const Profile& profile, Reading reading) {
  const Weighing wanted = evaluate(ruleset, profile, reading);
  const runtime::Index which = reading.school == no_index ? 0 : reading.school + 1;
  const runtime::Weighing got = runtime::weigh(pack, answers_of(profile), which);
  if (got.possible != !broken_background(ruleset, profile)) return "the background";
  for (Index p = 0; p < ruleset.practices.size(); ++p) {
    const PracticeVerdict& a = wanted.practices[p];
    const runtime::PracticeTold& b = got.practices[p];
    const std::string& name = ruleset.practices[p].name;
    if (!b.settled()) return name + " is not settled";
    if (static_cast<int>(a.verdict) != static_cast<int>(b.possible[0].verdict) || a.with_care != b.possible[0].with_care) return "the verdict of " + name;
    if (sorted(a.because) != unpacked(ruleset, b.because)) return "why " + name;
    if (sorted(a.defeated) != unpacked(ruleset, b.defeated)) return "what was defeated in " + name;
    if (a.cautions != b.cautions) return "the cautions of " + name;
    const bool done = a.verdict == tree::Verdict::advised || a.verdict == tree::Verdict::allowed;
    if (done && !same_dose(settle_dose(ruleset, p, profile, reading), b.dose)) return "the dose of " + name;
  }
  for (Index c = 0; c < ruleset.choices.size(); ++c)
    if (wanted.choices[c].fits != got.choices[c].fits || got.choices[c].possible != got.choices[c].fits) return "what fits of " + ruleset.choices[c].name;
  return {};
}

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
    const runtime::Pack pack = packed(ruleset);
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
