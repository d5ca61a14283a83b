// Persons of whom not everything is told, against plain enumeration of everybody they may yet turn out to be.
//
// Random rulesets, packed and read again; the referee lists every profile. What the runtime calls possible has to be
// what some completion gets, no more and no less.
// The seed is fixed. BETONY_PROPERTY_TIMES makes as many times the cases.
#include <catch2/catch.hpp>
#include <iostream>
#include <random>
#include <set>

#include "runtime/weigh.h"
#include "tests/property/packed.h"

namespace betony::referee {
namespace {

using Told = std::pair<int, bool>;

struct Count {
  std::size_t persons = 0, sets = 0, open = 0, exact = 0, impossible = 0;
};

class Trial {
 public:
  Trial(std::uint64_t seed, Scale scale) : world_(seed, scale), dice_(seed) {}

  // What is wrong with one half-known person, or nothing.
  std::string person(Count& count) {
    const Universe& u = world_.universe;
    const std::size_t base = dice_() % u.size();
    std::vector<char> told(u.variables().size());
    for (char& one : told) one = dice_() % 3 != 0;
    const runtime::Answers answers = world_.answers(base, told);
    const int school = static_cast<int>(dice_() % (world_.model.schools.size() + 1)) - 1;
    const auto weighing = runtime::weigh(world_.pack, answers, static_cast<runtime::Index>(school + 1));
    const Table& table = world_.table(school);
    std::vector<std::set<Told>> wanted(world_.model.practices.size());
    bool anybody = false;
    for (std::size_t at = 0; at < u.size(); ++at) {
      if (!world_.agrees(at, base, told) || !world_.judge.background()[at]) continue;
      anybody = true;
      for (std::size_t p = 0; p < wanted.size(); ++p) wanted[p].insert({static_cast<int>(table.outcomes[p][at].verdict), table.outcomes[p][at].care});
    }
    ++count.persons;
    if (!anybody) return ++count.impossible, "";
    if (!weighing.possible) return "somebody is as was told";
    for (std::size_t p = 0; p < wanted.size(); ++p) {
      const runtime::PracticeTold& got = weighing.practices[world_.names.practice(world_.model.practices[p].name)];
      std::set<Told> possible;
      for (const runtime::Told& t : got.possible) possible.insert({static_cast<int>(t.verdict), t.with_care});
      ++count.sets, count.open += wanted[p].size() > 1, count.exact += got.exact;
      if (got.exact ? possible != wanted[p] : !std::includes(possible.begin(), possible.end(), wanted[p].begin(), wanted[p].end()))
        return "what is possible of " + world_.model.practices[p].name + ": " + words(possible) + "; and not: " + words(wanted[p]);
      if (got.verdict_settled() && got.because.empty() && got.possible[0].verdict != runtime::Verdict::silent &&
          got.possible[0].verdict != runtime::Verdict::outside)
        return "why " + world_.model.practices[p].name + " is as it is";
    }
    return {};
  }
  const World& world() const { return world_; }

 private:
  static std::string words(const std::set<Told>& all) {
    std::string out;
    for (const auto& [verdict, care] : all) out += " " + std::to_string(verdict) + (care ? "+" : "");
    return out;
  }
  World world_;
  std::mt19937_64 dice_;
};

Count agree(Scale scale, std::uint64_t rulesets, int persons) {
  Count count;
  for (std::uint64_t seed = 0; seed < rulesets * times(); ++seed) {
    Trial trial((seed + 4021) * 0x9e3779b97f4a7c15u, scale);
    for (int i = 0; i < persons; ++i) {
      const std::string wrong = trial.person(count);
      if (wrong.empty()) continue;
      INFO(trial.world().text);
      INFO(wrong);
      FAIL_CHECK("the pack says something else");
      return count;
    }
  }
  std::cout << "half-known persons: " << count.persons << " (" << count.impossible << " impossible), " << count.sets << " verdict sets, "
            << count.open << " open, " << count.exact << " exact\n";
  return count;
}

TEST_CASE("what is possible of half-known persons is exactly what some completion gets") {
  const Count count = agree(Scale::small, 600, 20);
  CHECK(count.exact == count.sets);
  CHECK(count.open * 4 > count.sets);
}

TEST_CASE("with measures nothing that can come is missing in what is possible") {
  const Count count = agree(Scale::measured, 200, 20);
  CHECK(count.exact * 10 > count.sets * 8);
}

}  // namespace
}  // namespace betony::referee
