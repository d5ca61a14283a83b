// Random rulesets, tried: nothing is reported that exact checking denies, what is reported shows, the mutants that nobody would notice are those
// that a whole check of them does not tell from the ruleset.
//
// The seed is fixed. BETONY_PROPERTY_TIMES makes as many times the cases.
#include <catch2/catch.hpp>

#include <algorithm>
#include <iostream>
#include <map>

#include "compiler/trend.h"
#include "compiler/trial/mutation.h"
#include "tests/property/packed.h"

namespace betony {
namespace {

using testing::ruleset_of;
using trial::Failure;
using trial::Property;
using trial::Settled;
using trial::Trial;

Ruleset random_ruleset(std::uint64_t seed, referee::Scale scale) {
  return ruleset_of(referee::print(referee::random_model((seed + 5) * 0x9e3779b97f4a7c15u, scale)).text);
}

// ---------------------------------------------------------------- exact checking

struct Counts {
  std::size_t rulesets = 0, failures = 0, held = 0;
};

// Without the report, so that everything is attacked; then what was found is held against it.
void look(const Ruleset& ruleset, std::uint64_t seed, Counts& counts) {
  const Report report = check(ruleset);
  trial::Trying how;
  how.samples = 4'096, how.seed = seed, how.mutants = false;
  const Trial trial = trial::try_out(ruleset, nullptr, how);
  REQUIRE(trial.disagreements.empty());
  const auto properties = trial::properties_of(ruleset);
  for (const Failure& failure : trial.failures) {
    const auto of = [&](const Property& p) { return p.kind == failure.kind && p.name == failure.name && p.reading.school == failure.reading.school; };
    INFO(trial::word_of(failure.kind) << " " << failure.name << "\n" << failure.paste);
    REQUIRE_FALSE(broken_background(ruleset, failure.person));
    bool shows = false, is_denied = true;
    for (const Property& p : properties) {
      if (!of(p)) continue;
      if (p.kind == Property::Kind::trend) {
        const Claim& claim = ruleset.claims[p.index];
        REQUIRE(failure.second.has_value());
        for (const Index practice : claim.trend->practices)
          shows = shows || broken_trend(ruleset, claim, practice, failure.person, *failure.second, p.reading).has_value();
      } else {
        shows = shows || trial::is_broken(ruleset, p, failure.person);
      }
      is_denied = is_denied && trial::settled(ruleset, p, report) == Settled::holds;
    }
    REQUIRE(shows);
    REQUIRE_FALSE(is_denied);
    ++counts.failures;
  }
  // With the report nothing of it is denied either; two threads say what one does.
  how.samples = 2'048;
  const Trial settled = trial::try_out(ruleset, &report, how);
  REQUIRE(settled.disagreements.empty());
  how.threads = 2;
  const Trial again = trial::try_out(ruleset, &report, how);
  REQUIRE(again.failures.size() == settled.failures.size());
  for (std::size_t f = 0; f < again.failures.size(); ++f) REQUIRE(again.failures[f].paste == settled.failures[f].paste);
  REQUIRE(again.unreached.size() == settled.unreached.size());
  for (std::size_t u = 0; u < again.unreached.size(); ++u) REQUIRE(again.unreached[u].name == settled.unreached[u].name);
  counts.held += settled.held.size();
  ++counts.rulesets;
}

void tried(referee::Scale scale, std::uint64_t count) {
  Counts counts;
  for (std::uint64_t seed = 0; seed < count * referee::times(); ++seed) {
    INFO("seed " << seed);
    look(random_ruleset(seed, scale), seed + 1, counts);
  }
  std::cout << "tried: " << counts.rulesets << " rulesets, " << counts.failures << " failures by samples, " << counts.held << " held\n";
  CHECK(counts.failures > count / 2);
  CHECK(counts.held > count / 2);
}

TEST_CASE("random rulesets: no sample breaks what exact checking says to hold, and what is told of a person shows") { tried(referee::Scale::small, 150); }
TEST_CASE("random rulesets with measures: no sample breaks what exact checking says to hold") { tried(referee::Scale::measured, 60); }

// ---------------------------------------------------------------- mutants

// Claims and expectations that fail, and for whom.
std::vector<std::string> told(const Ruleset& ruleset) {
  std::vector<std::string> out;
  for (const Problem& p : check(ruleset).problems)
    if (p.kind == "claim-refuted" || p.kind == "expectation-failed")
      out.push_back(p.kind + " " + std::to_string(p.sentences[0].tree_sentence) + " " + p.practice + " " + p.school);
  std::sort(out.begin(), out.end());
  return out;
}

TEST_CASE("random rulesets: mutants that nobody would notice are those whose whole check tells the same of claims and expectations") {
  std::size_t mutants = 0, unnoticed = 0, with_claims = 0;
  for (std::uint64_t seed = 0; seed < 60 * referee::times(); ++seed) {
    INFO("seed " << seed);
    const Ruleset ruleset = random_ruleset(seed + 1000, referee::Scale::small);
    if (ruleset.claims.empty() && ruleset.profiles.empty()) continue;
    ++with_claims;
    const auto before = told(ruleset);
    const trial::Mutants found = trial::mutants_of(ruleset, {2, {}});
    REQUIRE(found.undecided == 0);
    std::map<Index, std::vector<std::string>> by_sentence;
    for (const auto& one : found.untested) by_sentence[one.sentence] = one.how;
    std::size_t count = 0;
    for (Index s : trial::changed_sentences(ruleset)) {
      std::vector<std::string> how;
      for (const trial::Mutant& mutant : trial::changes_of(ruleset, s)) {
        Ruleset copy = ruleset;
        trial::change(copy, mutant);
        if (told(copy) == before) how.push_back(mutant.how);
        ++count;
      }
      INFO(words_of(ruleset, ruleset.sentences[s]));
      REQUIRE(by_sentence[s] == how);
      unnoticed += how.size();
    }
    REQUIRE(found.mutants == count);
    mutants += count;
  }
  std::cout << "mutants: " << mutants << " of " << with_claims << " rulesets, " << unnoticed << " unnoticed\n";
  CHECK(mutants > 300);
  CHECK(unnoticed > 0);
  CHECK(unnoticed < mutants);
}

}  // namespace
}  // namespace betony
