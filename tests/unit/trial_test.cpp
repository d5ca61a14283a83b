#include <catch2/catch.hpp>

#include <cstring>
#include <iostream>
#include <set>

#include "compiler/trial/attack.h"
#include "compiler/trial/mutation.h"
#include "compiler/trial/shrink.h"
#include "tests/unit/trial_faults.h"

namespace betony {
namespace {

using namespace trial;
using testing::planted_faults;
using testing::PlantedFault;
using testing::ruleset_of;
using runtime::block_persons;

const char* const hill = R"(Ruleset "Quillow", edition "2".
Finding age is a whole number of years from 0 to 110, usually 40.
Finding chill is yes or no.
Finding frail is yes or no.
Finding cough is a grade of none, dry, wet, usually none.
Finding weight is a whole number of kg from 40 to 150, usually 70.
Finding load is a number of kg from 0 to 40 in steps of 0.5, usually 2.
Finding last meal is a number of h ago from 0 to 24 in steps of 0.5, or never, usually 3.
Measure share is load / weight in %.
It cannot be that chill and age under 10.
Applies to age at least 6.
Refer in cough is wet and frail: "Go.".
Practice moss bed.
  Indicated in chill and age at least 12.
  Contraindicated in cough is wet, called ban.
  Allowed in frail and share under 10 %, despite ban.
  Discouraged in last meal under 1 h ago or share over 30 %.
  Caution in frail: "Not alone.".
  Otherwise withheld.
Practice humming.
  Contraindicated in last meal is never.
  Otherwise allowed.
)";

// ---------------------------------------------------------------- drawing

TEST_CASE("of doses those are changed of which a claim speaks, and what no claim would notice is told") {
  const char* const source =
      "Finding age is a whole number of years from 0 to 110.\nPractice soak. Dose 5 min. Dose 10 min in age over 60 years. Otherwise allowed.\n"
      "Practice walk. Dose 20 min. Otherwise allowed.\n";
  const auto untested = [&](const std::string& claim) {
    const Ruleset ruleset = ruleset_of(source + claim);
    std::vector<std::string> out;
    for (const auto& one : mutants_of(ruleset).untested)
      for (const std::string& how : one.how) out.push_back(words_of(ruleset, ruleset.sentences[one.sentence]) + " " + how);
    return out;
  };
  const std::vector<std::string> verdicts = {"Otherwise allowed. struck", "Otherwise allowed. turned", "Otherwise allowed. struck",
                                             "Otherwise allowed. turned"};
  // No claim of a dose: no dose is changed.
  CHECK(untested("") == verdicts);
  // The claim fails as long as both doses stand, wherever the second begins.
  const std::vector<std::string> with_claim = untested("Claim \"c\": more age never raises the dose of soak.\n");
  CHECK(with_claim == std::vector<std::string>{"Dose 10 min in age over 60 years. age 60 years as 59 years",
                                               "Dose 10 min in age over 60 years. age 60 years as 61 years", "Otherwise allowed. struck",
                                               "Otherwise allowed. turned"});
}

TEST_CASE("64 words of bits are turned over") {
  std::uint64_t words[64], turned[64];
  Stream stream(3, 0, 0);
  for (auto& word : words) word = stream.next();
  std::memcpy(turned, words, sizeof words);
  turn(turned);
  for (unsigned i = 0; i < 64; ++i)
    for (unsigned j = 0; j < 64; ++j) REQUIRE((turned[i] >> j & 1u) == (words[j] >> i & 1u));
}

TEST_CASE("lots are drawn by weight, and what has no weight never") {
  const Lot lot({1, 0, 3, 0, 4});
  std::vector<unsigned> drawn(5);
  Stream stream(1, 0, 0);
  for (unsigned i = 0; i < 80'000; ++i) ++drawn[lot.draw(static_cast<std::uint32_t>(stream.next() >> 32))];
  CHECK(drawn[1] == 0);
  CHECK(drawn[3] == 0);
  CHECK(std::abs(static_cast<int>(drawn[0]) - 10'000) < 500);
  CHECK(std::abs(static_cast<int>(drawn[2]) - 30'000) < 700);
  CHECK(std::abs(static_cast<int>(drawn[4]) - 40'000) < 700);
}

TEST_CASE("every sample of a block is drawn again by its name, and its verdicts are those of the evaluator") {
  const Ruleset ruleset = ruleset_of(hill);
  Bulk bulk(ruleset);
  const Index over = bulk.watch(bulk.meaning().verdict(0, tree::Verdict::withheld, {}));
  bulk.finish();
  const Sampler sampler(bulk, {7});
  Sampler::Drawn drawn;
  Bulk::Scratch scratch;
  Outcomes person;
  std::size_t possible = 0;
  for (std::uint64_t block = 0; block < 3; ++block) {
    sampler.block(block, drawn, scratch);
    bulk.weigh(drawn.block, scratch);
    for (unsigned i = 0; i < block_persons; ++i) {
      sampler.person({block * block_persons + i, drawn.attempts[i]}, person);
      runtime::Block alone;
      alone.clear(bulk.inputs());
      sampler.put(person, alone, 0);
      for (std::size_t input = 0; input < bulk.inputs(); ++input)
        REQUIRE((alone.planes[input * runtime::block_words] & 1u) == (drawn.block.planes[input * runtime::block_words + i / 64] >> (i % 64) & 1u));
      for (const bool at_edges : {false, true}) {
        const Profile profile = sampler.profile(person, at_edges);
        const bool is_possible = drawn.possible[i / 64] >> (i % 64) & 1u;
        REQUIRE(is_possible == !broken_background(ruleset, profile));
        if (!is_possible) continue;
        ++possible;
        const Weighing weighing = evaluate(ruleset, profile);
        for (Index p = 0; p < 2; ++p) {
          const auto code = static_cast<unsigned>(ship::verdict_in_pack(weighing.practices[p].verdict)) + (weighing.practices[p].with_care ? 8u : 0u);
          REQUIRE(scratch.codes[p * block_persons + i] == code);
        }
        const bool in = !weighing.outside && weighing.refers.empty();
        if (in) REQUIRE((scratch.watched(over)[i / 64] >> (i % 64) & 1u) == (weighing.practices[0].verdict == tree::Verdict::withheld));
      }
    }
  }
  CHECK(possible > 2 * 3 * 500);
}

TEST_CASE("every outcome of a group is drawn, single numbers and never among them") {
  const Ruleset ruleset = ruleset_of(std::string(hill) + "Claim \"c\": never moss bed is advised in age is 33.\n");
  Bulk bulk(ruleset);
  bulk.finish();
  const Sampler sampler(bulk, {1});
  std::vector<std::set<std::uint16_t>> drawn(sampler.groups().size());
  Outcomes person;
  for (std::uint64_t number = 0; number < 4'000; ++number) {
    sampler.person({number, 0}, person);
    for (std::size_t g = 0; g < person.size(); ++g) drawn[g].insert(person[g]);
  }
  for (std::size_t g = 0; g < drawn.size(); ++g) {
    INFO(ruleset.findings[sampler.groups()[g].findings[0]].name);
    CHECK(drawn[g].size() == sampler.groups()[g].outcomes.size());
  }
}

TEST_CASE("a population is drawn as it says") {
  Ruleset ruleset = ruleset_of(hill);
  Population& spring = ruleset.populations.emplace_back();
  spring.title = "spring";
  Population::Part young, old, yes, no;
  young.intervals = {{20, 35}}, young.weight = 3;
  old.intervals = {{61, 110}}, old.weight = 1;
  no.words = {0}, no.weight = 9;
  yes.words = {1}, yes.weight = 1;
  spring.shares = {{0, {young, old}, {}}, {1, {no, yes}, {}}};
  Bulk bulk(ruleset);
  bulk.finish();
  const Sampler sampler(bulk, {1, &spring});
  std::size_t all = 0, is_young = 0, chilled = 0;
  Outcomes person;
  for (std::uint64_t number = 0; number < 40'000; ++number) {
    if (sampler.manner(number) != Manner::population) continue;
    sampler.person({number, 0}, person);
    const Profile profile = sampler.profile(person);
    const Rational& age = profile[0]->number;
    REQUIRE(((age >= 20 && age <= 35) || age >= 61));
    ++all;
    is_young += age <= 35;
    chilled += profile[1]->word;
  }
  CHECK(all == 20'000);
  CHECK(std::abs(static_cast<double>(is_young) / static_cast<double>(all) - 0.75) < 0.02);
  CHECK(std::abs(static_cast<double>(chilled) / static_cast<double>(all) - 0.1) < 0.01);
}

TEST_CASE("persons of a table are drawn as they are told, each as often, and what they leave open by chance") {
  const Ruleset ruleset = ruleset_of(hill);
  Bulk bulk(ruleset);
  bulk.finish();
  Persons persons(2, Profile(ruleset.findings.size()));
  persons[0][0] = Value{Value::Kind::number, 0, 77};
  persons[0][4] = Value{Value::Kind::number, 0, 55};
  persons[0][5] = Value{Value::Kind::number, 0, 11};
  persons[1][0] = Value{Value::Kind::number, 0, 8};
  persons[1][2] = Value{Value::Kind::word, 1, {}};
  const Sampler sampler(bulk, {1, nullptr, &persons});
  std::size_t first = 0, all = 0, frail_first = 0;
  Outcomes person;
  for (std::uint64_t number = 0; number < 8'000; ++number) {
    if (sampler.manner(number) != Manner::population) continue;
    sampler.person({number, 0}, person);
    const Profile profile = sampler.profile(person);
    ++all;
    if (profile[0]->number >= 12) {   // the cell of 77
      ++first;
      frail_first += profile[2]->word;
      const Rational share = measure_value(ruleset, 0, profile);
      REQUIRE(share >= 10);
      REQUIRE(share <= 30);
    } else {
      REQUIRE(profile[2]->word == 1);
      REQUIRE(profile[0]->number >= 6);
    }
  }
  CHECK(all == 4'000);
  CHECK(std::abs(static_cast<double>(first) / static_cast<double>(all) - 0.5) < 0.05);
  CHECK(std::abs(static_cast<double>(frail_first) / static_cast<double>(first) - 0.5) < 0.05);
}

// ---------------------------------------------------------------- planted faults

// The fewest unusual answers of anybody who breaks the property, by looking at everybody.
unsigned least_unusual(const Attack& attack, const Property& property, const std::vector<Index>& matter) {
  const Sampler& sampler = attack.sampler();
  Outcomes person = sampler.usual();
  unsigned best = 1'000;
  const std::function<void(std::size_t, unsigned)> go = [&](std::size_t at, unsigned unusual) {
    if (unusual >= best) return;
    if (at == matter.size()) {
      if (attack.is_broken_by(property, person)) best = unusual;
      return;
    }
    const trial::Group& group = sampler.groups()[matter[at]];
    const std::uint16_t before = person[matter[at]];
    for (std::uint16_t o = 0; o < group.outcomes.size(); ++o) {
      person[matter[at]] = o;
      go(at + 1, unusual + group.outcomes[o].unusual);
    }
    person[matter[at]] = before;
  };
  go(0, 0);
  return best;
}

TEST_CASE("each planted fault is found within 1,000 samples on average over 50 seeds, and shrunk to the least but for one answer") {
  const auto faults = planted_faults();
  REQUIRE(faults.size() >= 20);
  for (const PlantedFault& fault : faults) {
    INFO(fault.what);
    const Ruleset ruleset = ruleset_of(fault);
    const std::vector<Property> properties = properties_of(ruleset);
    double samples = 0;
    unsigned least = 0, worst = 0;
    for (std::uint64_t seed = 1; seed <= 50; ++seed) {
      std::optional<std::uint64_t> found;
      for (std::uint64_t so_many = 1024; !found && so_many <= 16'384; so_many *= 4) {
        Trying how;
        how.samples = so_many, how.seed = seed;
        Attack attack(ruleset, properties, how);
        attack.run();
        std::vector<bool> singly;
        for (std::size_t p = 0; p < properties.size(); ++p) singly.push_back(attack.is_single(p));
        attack.run_singly(singly, so_many);
        for (std::size_t p = 0; p < properties.size(); ++p) {
          const auto& first = attack.seen().first[p];
          if (!first || found || properties[p].kind != fault.kind) continue;
          if (fault.kind == Property::Kind::dose_missing && !attack.seen().heard[p]) continue;
          found = first->number;
          Outcomes person;
          attack.sampler().person(*first, person);
          const auto breaks = [&](const Outcomes& tried) { return attack.is_broken_by(properties[p], tried); };
          REQUIRE(breaks(person));
          const auto matter = attack.groups_of(properties[p]);
          const Outcomes small = shrunk(attack.sampler(), person, matter, breaks);
          REQUIRE(breaks(small));
          if (seed == 1) least = least_unusual(attack, properties[p], matter);
          worst = std::max(worst, attack.sampler().unusual(small));
        }
      }
      REQUIRE(found);
      samples += static_cast<double>(*found + 1) / 50;
    }
    INFO("found after " << samples << " samples, shrunk to " << worst << " unusual answers, the least are " << least);
    CHECK(samples <= 1'000);
    CHECK(worst <= least + 1);
    std::cout << fault.what << ": after " << samples << " samples; " << worst << " unusual answers, least " << least << "\n";
  }
}

TEST_CASE("the ruleset without its fault is broken by no sample") {
  const Ruleset ruleset = ruleset_of(std::string(testing::findings_of_faults) +
                                     "Practice moss bed. Indicated in chill. Contraindicated in age under 12. Otherwise allowed. Dose 5 min.\n"
                                     "Claim \"c\": never moss bed is advised in age under 12.\n");
  Trying how;
  how.samples = 50'000;
  const Trial trial = try_out(ruleset, nullptr, how);
  CHECK(trial.failures.empty());
  CHECK(trial.disagreements.empty());
}

}  // namespace
}  // namespace betony
