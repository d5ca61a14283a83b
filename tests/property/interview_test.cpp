// Interviews over random rulesets, every profile of each: how many questions they take against the fewest that any order of
// asking can take, found by going through all of them; and that nothing changes after the end.
#include <algorithm>
#include <catch2/catch.hpp>
#include <iostream>
#include <random>

#include "runtime/question.h"
#include "runtime/weigh.h"
#include "tests/property/packed.h"

namespace betony::referee {
namespace {

constexpr std::size_t most_known = 60'000;

// The fewest questions by plain dynamic programming over what is known: a digit a variable, its cell or, the highest, open.
class Fewest {
 public:
  explicit Fewest(World& world) : world_(world), u_(world.universe) {
    const Table& table = world.table(whole);
    for (const Variable& v : u_.variables()) strides_.push_back(known_), known_ *= v.cells.size() + 1;
    if (known_ > most_known) return;
    Region referred(u_.size());
    for (std::size_t at = 0; at < u_.size(); ++at) referred[at] = world.judge.referred(at, table);
    for (int v : u_.depends(referred)) flags_.push_back(v);
    outcome_.assign(known_, nobody), flagged_.assign(known_, nobody), mass_.assign(known_, 0);
    std::map<std::vector<int>, int> outcomes;
    for (std::size_t at = 0; at < u_.size(); ++at) {
      if (!world.judge.background()[at]) continue;
      std::size_t k = 0;
      Fraction mass = 1;
      for (std::size_t v = 0; v < strides_.size(); ++v) {
        k += strides_[v] * static_cast<std::size_t>(u_.cell_index(at, static_cast<int>(v)));
        mass *= u_.cell(at, static_cast<int>(v)).weight;
      }
      std::vector<int> what{referred[at]};
      for (const auto& of_practice : table.outcomes)
        if (!referred[at]) what.push_back(static_cast<int>(of_practice[at].verdict) * 2 + of_practice[at].care);
      outcome_[k] = outcomes.try_emplace(what, static_cast<int>(outcomes.size())).first->second;
      flagged_[k] = referred[at];
      mass_[k] = mass.get_d();
    }
  }
  bool is_small() const { return known_ <= most_known; }

  // To be expected of everybody; with red flags first, or in any order at all.
  double questions(bool flags_first) {
    std::vector<double> cost(known_);
    std::vector<int> outcome = outcome_, flagged = flagged_;
    std::vector<double> mass = mass_;
    for (std::size_t k = 0; k < known_; ++k) {
      std::vector<std::size_t> open;
      for (std::size_t v = 0; v < strides_.size(); ++v)
        if (digit(k, v) == cells(v)) open.push_back(v);
      if (open.empty()) continue;
      for (std::size_t c = 0; c < cells(open[0]); ++c) {
        const std::size_t more = k - (cells(open[0]) - c) * strides_[open[0]];
        mass[k] += mass[more], outcome[k] = joined(outcome[k], outcome[more]), flagged[k] = joined(flagged[k], flagged[more]);
      }
      if (outcome[k] != mixed) continue;
      double least = 1e300;
      for (std::size_t v : open) {
        if (flags_first && flagged[k] == mixed && std::find(flags_.begin(), flags_.end(), static_cast<int>(v)) == flags_.end()) continue;
        double sum = 1;
        for (std::size_t c = 0; c < cells(v); ++c) {
          const std::size_t more = k - (cells(v) - c) * strides_[v];
          if (mass[more] > 0) sum += mass[more] / mass[k] * cost[more];
        }
        least = std::min(least, sum);
      }
      cost[k] = mass[k] > 0 ? least : 0;
    }
    return cost.back();
  }

 private:
  static constexpr int nobody = -1, mixed = -2;
  static int joined(int a, int b) { return a == nobody ? b : b == nobody || a == b ? a : mixed; }
  std::size_t cells(std::size_t v) const { return u_.variables()[v].cells.size(); }
  std::size_t digit(std::size_t k, std::size_t v) const { return k / strides_[v] % (cells(v) + 1); }

  World& world_;
  const Universe& u_;
  std::vector<std::size_t> strides_;
  std::size_t known_ = 1;
  std::vector<int> flags_, outcome_, flagged_;
  std::vector<double> mass_;
};

// The interview, all answers of every question followed.
class Interview {
 public:
  explicit Interview(World& world) : world_(world), u_(world.universe) {
    for (std::size_t at = 0; at < u_.size(); ++at) {
      if (!world.judge.background()[at]) continue;
      everybody_.push_back(at);
      Fraction mass = 1;
      for (std::size_t v = 0; v < u_.variables().size(); ++v) mass *= u_.cell(at, static_cast<int>(v)).weight;
      mass_.push_back(mass.get_d()), all_ += mass_.back();
    }
    for (std::size_t v = 0; v < u_.variables().size(); ++v) variable_of_[world.finding_of(v)] = static_cast<int>(v);
  }
  bool has_anybody() const { return all_ > 0; }

  double questions() {
    std::vector<std::size_t> people(everybody_.size());
    for (std::size_t i = 0; i < people.size(); ++i) people[i] = i;
    ask(people, std::vector<char>(u_.variables().size()), 0);
    return sum_ / all_;
  }
  std::string wrong;
  std::size_t ends = 0, details = 0;

 private:
  void ask(const std::vector<std::size_t>& people, std::vector<char> told, int asked) {
    if (!wrong.empty()) return;
    const runtime::Answers answers = world_.answers(everybody_[people[0]], told);
    const auto next = runtime::next_question(world_.pack, answers);
    const bool is_over = !next || next->what == runtime::NextQuestion::For::details;
    details += next && is_over;
    if (is_over) return end(people, answers, asked);
    const auto at = variable_of_.find(next->finding);
    if (at == variable_of_.end() || told[static_cast<std::size_t>(at->second)]) {
      wrong = "it asks again";
      return;
    }
    told[static_cast<std::size_t>(at->second)] = true;
    std::map<int, std::vector<std::size_t>> parted;
    for (std::size_t i : people) parted[u_.cell_index(everybody_[i], at->second)].push_back(i);
    for (const auto& [cell, some] : parted) ask(some, told, asked + 1);
  }

  // Everybody who comes here gets the same, and this was told.
  void end(const std::vector<std::size_t>& people, const runtime::Answers& answers, int asked) {
    ++ends;
    const auto weighing = runtime::weigh(world_.pack, answers);
    const Table& table = world_.table(whole);
    for (std::size_t i : people) {
      sum_ += mass_[i] * asked;
      const bool referred = world_.judge.referred(everybody_[i], table);
      if (referred != !weighing.refers.empty()) wrong = "a red flag";
      if (referred) continue;
      for (std::size_t p = 0; p < world_.model.practices.size(); ++p) {
        const auto& got = weighing.practices[world_.names.practice(world_.model.practices[p].name)];
        const Outcome& real = table.outcomes[p][everybody_[i]];
        if (!got.settled() || static_cast<int>(got.possible[0].verdict) != static_cast<int>(real.verdict) || got.possible[0].with_care != real.care)
          wrong = "at the end " + world_.model.practices[p].name + " is not settled, or another";
      }
    }
  }

  World& world_;
  const Universe& u_;
  std::vector<std::size_t> everybody_;
  std::vector<double> mass_;
  std::map<runtime::Index, int> variable_of_;
  double all_ = 0, sum_ = 0;
};

TEST_CASE("an interview takes no more than 1.1 times the fewest questions, and nothing changes after its end") {
  double ours = 0, fewest = 0, in_any_order = 0, worst = 1;
  std::size_t rulesets = 0, ends = 0, details = 0;
  for (std::uint64_t seed = 0; rulesets < 150 * times(); ++seed) {
    World world(random_model((seed + 313) * 0x9e3779b97f4a7c15u, Scale::small));
    if (world.universe.variables().size() > 8) continue;
    Fewest least(world);
    Interview interview(world);
    if (!least.is_small() || !interview.has_anybody()) continue;
    ++rulesets;
    const double own = interview.questions(), best = least.questions(true);
    INFO(world.text);
    INFO(interview.wrong);
    REQUIRE(interview.wrong.empty());
    INFO(own << " questions, and " << best << " at best");
    CHECK(own <= best * 1.1 + 1e-6);
    ours += own, fewest += best, in_any_order += least.questions(false), ends += interview.ends, details += interview.details;
    if (best > 0) worst = std::max(worst, own / best);
  }
  std::cout << "interviews: " << rulesets << " rulesets, " << ends << " ends; " << ours / fewest
            << " times the fewest questions with red flags first (the worst " << worst << "), " << ours / in_any_order
            << " times the fewest in any order; after " << details << " ends questions about details are left\n";
}

}  // namespace
}  // namespace betony::referee
