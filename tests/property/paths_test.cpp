// One person and many, whole and half known, on every width of registers, from C++ and from C: all say the same.
//
// Random rulesets, packed and read again; random persons. The measure is runtime/weigh.h, which pack_test.cpp and open_test.cpp hold
// against the evaluator and against enumeration.
#include <catch2/catch.hpp>
#include <iostream>
#include <random>

#include "runtime/betony.h"
#include "runtime/blocks.h"
#include "runtime/change.h"
#include "runtime/question.h"
#include "runtime/reach.h"
#include "runtime/single.h"
#include "tests/packs.h"
#include "tests/property/packed.h"

namespace betony::referee {
namespace {

using runtime::Answers;
using runtime::BlockWeigher;
using runtime::SingleWeigher;
using Codes = std::vector<std::uint8_t>;

Answers any_person(const runtime::Pack& pack, std::mt19937_64& dice, unsigned open_in_8) {
  Answers out;
  for (const runtime::Finding& f : pack.findings) {
    auto& answer = out.emplace_back();
    if (dice() % 8 < open_in_8) continue;
    answer.emplace();
    if (f.has_words())
      answer->word = static_cast<runtime::Index>(dice() % f.values.size());
    else if (f.or_never && dice() % 4 == 0)
      answer->kind = runtime::Value::Kind::never;
    else {
      answer->kind = runtime::Value::Kind::number;
      const runtime::Number step = f.step.sign() == 0 ? *divided(f.high - f.low, 40) : f.step;
      const auto steps = static_cast<std::uint64_t>(divided(f.high - f.low, step)->near()) + 1;
      answer->number = f.low + step * runtime::Number(dice() % steps);
    }
  }
  return out;
}

struct Rows {
  std::vector<std::uint64_t> yes, no;
};
Rows rows_of(const std::vector<runtime::Truth>& inputs) {
  Rows out;
  out.yes.resize((inputs.size() + 63) / 64), out.no = out.yes;
  for (std::size_t i = 0; i < inputs.size(); ++i) {
    if (may_be_yes(inputs[i])) out.yes[i / 64] |= std::uint64_t{1} << (i % 64);
    if (may_be_no(inputs[i])) out.no[i / 64] |= std::uint64_t{1} << (i % 64);
  }
  return out;
}

std::uint8_t code_of(const runtime::Told& told) { return static_cast<std::uint8_t>(static_cast<unsigned>(told.verdict) + (told.with_care ? 8 : 0)); }

std::uint32_t set_of(const runtime::PracticeTold& practice) {
  std::uint32_t out = 0;
  for (const auto& told : practice.possible) out |= std::uint32_t{1} << code_of(told);
  return out;
}

struct Count {
  std::size_t whole = 0, half = 0, sets = 0, exact = 0, proven = 0, by_c = 0, alone = 0;
};

class Trial {
 public:
  Trial(const Ruleset& ruleset, std::uint64_t seed, Count& count)
      : pack_(betony::testing::packed(ruleset, Report{})), bytes_(write_pack(pack_)), dice_(seed), count_(count) {}

  std::string wrong() {
    for (runtime::Index reading = 0; reading < pack_.readings.size(); ++reading) {
      std::string wrong = whole_persons(reading);
      if (wrong.empty()) wrong = half_known(reading);
      if (!wrong.empty()) return wrong;
    }
    return by_c();
  }

 private:
  std::string whole_persons(runtime::Index reading) {
    runtime::Block block;
    block.clear(pack_.program.inputs);
    std::vector<Codes> wanted;
    const SingleWeigher singles[] = {SingleWeigher(pack_, reading, SingleWeigher::Path::plain),
                                     SingleWeigher(pack_, reading, SingleWeigher::Path::avx2),
                                     SingleWeigher(pack_, reading, SingleWeigher::Path::avx512)};
    SingleWeigher::Scratch scratch;
    for (block.persons = 0; block.persons < 24; ++block.persons) {
      const Answers person = any_person(pack_, dice_, 0);
      const auto inputs = runtime::inputs_of(pack_, person);
      if (std::find(inputs.begin(), inputs.end(), runtime::Truth::open) != inputs.end()) return {};  // it divides by nothing
      auto& codes = wanted.emplace_back();
      for (const auto& told : runtime::weigh(pack_, person, reading).practices) codes.push_back(code_of(told.possible[0]));
      for (std::size_t i = 0; i < inputs.size(); ++i)
        if (inputs[i] == runtime::Truth::yes) block.put(i, block.persons);
      for (const SingleWeigher& single : singles) {
        Codes got(codes.size());
        single.weigh(rows_of(inputs).yes.data(), scratch, got.data());
        if (got != codes) return "one whole person";
      }
      ++count_.whole;
    }
    for (const auto path : {BlockWeigher::Path::plain, BlockWeigher::Path::avx2, BlockWeigher::Path::avx512}) {
      const BlockWeigher weigher(pack_, reading, path);
      BlockWeigher::Scratch planes;
      Codes codes(weigher.practices() * runtime::block_persons);
      weigher.weigh(block, planes, codes.data());
      for (unsigned person = 0; person < block.persons; ++person)
        for (std::size_t p = 0; p < weigher.practices(); ++p)
          if (codes[p * runtime::block_persons + person] != wanted[person][p]) return "many whole persons";
    }
    return {};
  }

  std::string half_known(runtime::Index reading) {
    const SingleWeigher single(pack_, reading);
    runtime::Pack bare = pack_;  // without graphs, what is exact is proven by completions alone
    for (runtime::Reading& one : bare.readings) one.graphs.clear();
    const SingleWeigher by_completions(bare, reading);
    SingleWeigher::Scratch scratch;
    for (int i = 0; i < 24; ++i) {
      const Answers person = any_person(pack_, dice_, 1 + static_cast<unsigned>(i) % 7);
      const runtime::Reach reach(pack_, person);
      const auto weighing = runtime::weigh(pack_, person, reading);
      if (!weighing.possible) continue;
      const Rows rows = rows_of(runtime::inputs_of(pack_, reach.cells()));
      std::vector<std::uint32_t> sets(single.practices()), proven(single.practices());
      single.possible(rows.yes.data(), rows.no.data(), scratch, sets.data());
      by_completions.possible(rows.yes.data(), rows.no.data(), scratch, proven.data());
      ++count_.half;
      for (std::size_t p = 0; p < sets.size(); ++p) {
        const std::uint32_t wanted = set_of(weighing.practices[p]);
        const bool exact = !(sets[p] & SingleWeigher::not_exact), is_proven = !(proven[p] & SingleWeigher::not_exact);
        ++count_.sets, count_.exact += exact, count_.proven += is_proven;
        if (!weighing.practices[p].exact) continue;  // then some of what is wanted may never come
        if ((wanted & ~proven[p]) != 0) return "a verdict that is missing of a half-known person, without graphs";
        if (is_proven && proven[p] != wanted) return "a verdict that cannot come of a half-known person, without graphs";
        if ((wanted & ~sets[p]) != 0) return "a verdict that is missing of a half-known person";
        if (exact && sets[p] != wanted) return "a verdict that cannot come of a half-known person";
      }
      if (!all_are_within(sets, person, reading) || !all_are_within(proven, person, reading)) return "a verdict that comes, and is missing";
    }
    return {};
  }

  // The verdicts of some whole persons who are as is told of this one.
  bool all_are_within(const std::vector<std::uint32_t>& sets, const Answers& person, runtime::Index reading) {
    for (int i = 0; i < 8; ++i) {
      Answers whole = any_person(pack_, dice_, 0);
      for (std::size_t f = 0; f < person.size(); ++f)
        if (person[f]) whole[f] = person[f];
      const auto weighing = runtime::weigh(pack_, whole, reading);
      if (!weighing.possible) continue;
      for (std::size_t p = 0; p < sets.size(); ++p)
        if (const auto& told = weighing.practices[p].possible; told.size() == 1 && !(sets[p] >> code_of(told[0]) & 1u)) return false;
    }
    return true;
  }

  std::string by_c() {
    betony_pack* pack = nullptr;
    if (betony_load(bytes_.data(), bytes_.size(), &pack, nullptr, 0) != BETONY_OK) return "it does not load";
    std::string wrong;
    std::vector<betony_weigher*> weighers;     // of each reading
    for (const runtime::Reading& reading : pack_.readings)
      weighers.push_back(betony_weigher_new(pack, reading.school.empty() ? nullptr : reading.school.c_str()));
    for (int i = 0; i < 6 && wrong.empty(); ++i) wrong = by_c(pack, weighers, any_person(pack_, dice_, static_cast<unsigned>(i % 3)));
    for (betony_weigher* weigher : weighers) betony_weigher_free(weigher);
    betony_pack_free(pack);
    return wrong;
  }

  // Verdicts alone are those that are told with reasons, in each reading.
  std::string alone_by_c(const betony_weigher* weigher, betony_person* person, const runtime::Weighing& weighing) {
    std::vector<std::uint32_t> sets(weighing.practices.size());
    if (betony_verdicts(weigher, person, sets.data()) != BETONY_OK) return "no verdicts alone, from C";
    if (!weighing.possible) return {};
    for (std::size_t p = 0; p < sets.size(); ++p) {
      const std::uint32_t wanted = set_of(weighing.practices[p]);
      const bool is_exact = !(sets[p] & BETONY_SET_MAY_BE_FEWER);
      count_.alone += is_exact;
      if (weighing.practices[p].exact && ((wanted & ~sets[p]) != 0 || (is_exact && sets[p] != wanted))) return "verdicts alone, from C";
    }
    return {};
  }

  std::string by_c(const betony_pack* pack, const std::vector<betony_weigher*>& weighers, const Answers& answers) {
    betony_person* person = betony_person_new(pack);
    std::string wrong;
    for (runtime::Index f = 0; f < answers.size() && wrong.empty(); ++f)
      if (answers[f] &&
          betony_tell(person, pack_.findings[f].name.c_str(), value_words(pack_.findings[f], *answers[f]).c_str(), nullptr) != BETONY_OK)
        wrong = betony_why(person);
    betony_told* told = betony_weigh(person, nullptr);
    const auto weighing = runtime::weigh(pack_, answers);
    for (runtime::Index r = 0; r < weighers.size() && wrong.empty(); ++r) wrong = alone_by_c(weighers[r], person, runtime::weigh(pack_, answers, r));
    runtime::Changes changes(pack_, answers);
    const auto next = runtime::next_question(pack_, answers);
    ++count_.by_c;
    if (wrong.empty() && betony_next(told) != (next ? next->finding : BETONY_NONE)) wrong = "the next question, from C";
    for (runtime::Index p = 0; p < weighing.practices.size() && wrong.empty(); ++p) {
      const auto& possible = weighing.practices[p].possible;
      if (betony_possible(told, p) != possible.size()) wrong = "how many are possible, from C";
      for (std::size_t i = 0; i < possible.size() && wrong.empty(); ++i)
        if (static_cast<unsigned>(betony_possible_verdict(told, p, i, nullptr)) != static_cast<unsigned>(possible[i].verdict))
          wrong = "what is possible, from C";
      const auto change = changes.of(p);
      if (wrong.empty() && betony_change(told, p) != (change ? change->findings.size() : 0)) wrong = "the smallest change, from C";
      for (std::size_t i = 0; change && i < change->findings.size() && wrong.empty(); ++i)
        if (betony_change_finding(told, p, i) != change->findings[i].first) wrong = "what is changed, from C";
    }
    betony_told_free(told);
    betony_person_free(person);
    return wrong;
  }

  const runtime::Pack pack_;
  const std::vector<std::uint8_t> bytes_;
  std::mt19937_64 dice_;
  Count& count_;
};

TEST_CASE("one and many, whole and half known, on all paths, from C++ and from C, say the same") {
  Count count;
  const std::pair<Scale, std::uint64_t> scales[] = {{Scale::small, 200}, {Scale::measured, 80}, {Scale::large, 60}};
  for (const auto& [scale, rulesets] : scales)
    for (std::uint64_t seed = 0; seed < rulesets * times(); ++seed) {
      const std::string text = print(random_model((seed + 5501) * 0x9e3779b97f4a7c15u, scale)).text;
      const std::string wrong = Trial(betony::testing::ruleset_of(text), seed, count).wrong();
      if (wrong.empty()) continue;
      INFO(text);
      INFO(wrong);
      FAIL("what is said differs");
    }
  std::cout << "all paths: " << count.whole << " whole persons, " << count.half << " half known, " << count.sets << " sets, " << count.exact
            << " exact (" << count.proven << " without graphs), " << count.by_c << " from C, with " << count.alone
            << " exact sets of verdicts alone\n";
  CHECK(count.exact * 10 > count.sets * 8);
}

}  // namespace
}  // namespace betony::referee
