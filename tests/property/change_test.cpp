// The smallest change, against every profile of random rulesets: with it the verdict is another, and with fewer answers told
// otherwise, or as many that were declared earlier, there is none.
#include "runtime/change.h"

#include <algorithm>
#include <catch2/catch.hpp>
#include <iostream>
#include <random>

#include "runtime/weigh.h"
#include "tests/property/packed.h"

namespace betony::referee {
namespace {

struct Count {
  std::size_t asked = 0, changed = 0, fewest = 0;
};

// The findings in which two profiles differ, ascending, of those that are told.
std::vector<runtime::Index> differing(const World& world, std::size_t a, std::size_t b, const std::vector<char>& told) {
  std::vector<runtime::Index> out;
  for (std::size_t v = 0; v < told.size(); ++v)
    if (told[v] && world.universe.cell_index(a, static_cast<int>(v)) != world.universe.cell_index(b, static_cast<int>(v)))
      out.push_back(world.finding_of(v));
  std::sort(out.begin(), out.end());
  return out;
}

bool shorter(const std::vector<runtime::Index>& a, const std::vector<runtime::Index>& b) {
  return a.size() != b.size() ? a.size() < b.size() : a < b;
}

class Trial {
 public:
  Trial(std::uint64_t seed, Scale scale) : world_(seed, scale), dice_(seed) {}
  const World& world() const { return world_; }

  std::string person(bool whole_person, Count& count, bool fewest) {
    const Universe& u = world_.universe;
    const std::size_t base = dice_() % u.size();
    if (!world_.judge.background()[base]) return {};
    std::vector<char> told(u.variables().size(), true);
    for (char& one : told) one = whole_person || dice_() % 4 != 0;
    const runtime::Answers answers = world_.answers(base, told);
    const auto weighing = runtime::weigh(world_.pack, answers);
    runtime::Changes changes(world_.pack, answers);
    for (const Practice& practice : world_.model.practices) {
      const auto p = world_.names.practice(practice.name);
      const std::size_t own = static_cast<std::size_t>(&practice - world_.model.practices.data());
      const auto change = changes.of(p);
      const bool settled = weighing.practices[p].verdict_settled();
      if (!settled && change) return "a change of what is open";
      if (!settled) continue;
      const int now = static_cast<int>(weighing.practices[p].possible[0].verdict);
      std::vector<runtime::Index> wanted;
      bool any = false;
      for (std::size_t at = 0; at < u.size(); ++at) {
        if (!world_.judge.background()[at] || static_cast<int>(world_.table(whole).outcomes[own][at].verdict) == now) continue;
        const auto otherwise = differing(world_, base, at, told);
        if (!any || shorter(otherwise, wanted)) wanted = otherwise;
        any = true;
      }
      ++count.asked;
      if (!change && !any) continue;
      if (change && !any) return practice.name + " can never change";
      if (!change && fewest) return practice.name + " can change";
      if (!change) continue;
      ++count.changed;
      std::vector<runtime::Index> otherwise;
      runtime::Answers then = answers;
      for (const auto& [f, value] : change->findings) {
        if (answers[f]) otherwise.push_back(f);
        const auto again = runtime::value_of_text(world_.pack, f, runtime::value_words(world_.pack.findings[f], value));
        if (!again.value || *again.value != value) return "the value of " + world_.pack.findings[f].name + " cannot be told: " + again.wrong;
        then[f] = value;
      }
      const auto told_then = runtime::weigh(world_.pack, then);
      if (!told_then.possible || !told_then.practices[p].verdict_settled() || told_then.practices[p].possible[0].verdict != change->verdict)
        return "the change of " + practice.name + " does not make it so";
      if (static_cast<int>(change->verdict) == now) return "the change of " + practice.name + " is none";
      count.fewest += otherwise == wanted;
      if (fewest && otherwise != wanted) return "the change of " + practice.name + " is not the smallest";
      if (shorter(otherwise, wanted)) return "the change of " + practice.name + " is smaller than any";
    }
    return {};
  }

 private:
  World world_;
  std::mt19937_64 dice_;
};

Count agree(Scale scale, std::uint64_t rulesets, bool fewest) {
  Count count;
  for (std::uint64_t seed = 0; seed < rulesets * times(); ++seed) {
    Trial trial((seed + 977) * 0x9e3779b97f4a7c15u, scale);
    for (int i = 0; i < 12; ++i) {
      const std::string wrong = trial.person(i % 2 == 0, count, fewest);
      if (wrong.empty()) continue;
      INFO(trial.world().text);
      INFO(wrong);
      FAIL_CHECK("the smallest change is not so");
      return count;
    }
  }
  std::cout << "verdicts: " << count.asked << ", that can change: " << count.changed << ", in the fewest findings: " << count.fewest << '\n';
  return count;
}

TEST_CASE("the smallest change is true, and none smaller exists") {
  const Count count = agree(Scale::small, 400, true);
  CHECK(count.changed * 2 > count.asked);
}

TEST_CASE("with measures the smallest change is true, and hardly ever one smaller exists") {
  const Count count = agree(Scale::measured, 150, false);
  CHECK(count.fewest * 100 >= count.changed * 95);
}

}  // namespace
}  // namespace betony::referee
