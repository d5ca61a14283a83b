// Random rulesets: reading, evaluation and every check against plain enumeration.
//
// The seed is fixed and printed. BETONY_PROPERTY_SEED sets another, BETONY_PROPERTY_TIMES makes as many times the cases,
// BETONY_PROPERTY_PLAIN=1 leaves a failing ruleset as large as it is.
#include <catch2/catch.hpp>

#include <algorithm>
#include <cstdlib>
#include <iostream>
#include <map>
#include <set>
#include <sstream>

#include "tests/property/compare.h"
#include "tests/property/enumerate.h"
#include "tests/property/generate.h"

namespace betony::referee {
namespace {

std::uint64_t from_environment(const char* name, std::uint64_t otherwise) {
  const char* text = std::getenv(name);
  return text && *text ? std::strtoull(text, nullptr, 10) : otherwise;
}

TEST_CASE("of random rulesets the compiler says what looking at every profile says") {
  rc::detail::TestParams params;
  params.seed = from_environment("BETONY_PROPERTY_SEED", 20260401);
  params.maxSuccess = static_cast<int>(2500 * from_environment("BETONY_PROPERTY_TIMES", 1));
  params.disableShrinking = from_environment("BETONY_PROPERTY_PLAIN", 0) != 0;
  std::size_t rulesets = 0, profiles = 0, problems = 0;
  const auto result = rc::detail::checkTestable(
      [&] {
        const Model model = *models();
        const Judgement judgement = judge(model);
        ++rulesets;
        profiles += judgement.profiles;
        problems += judgement.problems;
        if (!judgement.differences.empty()) RC_FAIL(report(model, judgement));
      },
      rc::detail::TestMetadata{"referee", "the compiler agrees with enumeration"}, params);
  std::cout << "random rulesets: seed " << params.seed << ", " << rulesets << " rulesets, " << profiles << " verdicts of profiles, "
            << problems << " problems\n";
  std::ostringstream text;
  rc::detail::printResultMessage(result, text);
  INFO(text.str());
  CHECK(result.is<rc::detail::SuccessResult>());
}

// " of a trend", " of a dose trend", where it is a claim of one.
std::string trend_words(const Model& model, const Expected& e) {
  if (e.kind != "claim-refuted") return "";
  const auto& trend = model.claims[static_cast<std::size_t>(e.sentences.begin()->index)].trend;
  return !trend ? "" : trend->dose ? " of a dose trend" : " of a trend";
}

// Sample persons are left out: what is expected of them along measures is judged by tests/oracle.
TEST_CASE("of trends along measures the compiler says what looking at every pair of profiles says") {
  int judged = 0;
  for (std::uint64_t seed = 0; seed < 300; ++seed) {
    Model model = random_model(seed * 0x9e3779b97f4a7c15u, Scale::measured);
    model.samples.clear();
    const auto tells = [](const Claim& claim) { return !claim.gone && claim.trend; };
    if (std::none_of(model.claims.begin(), model.claims.end(), tells)) continue;
    const Judgement judgement = judge(model);
    ++judged;
    INFO(report(model, judgement));
    REQUIRE(judgement.differences.empty());
  }
  CHECK(judged >= 100);
}

// Trends of findings that measures bind, some of which hold and some not.
TEST_CASE("random rulesets with measures meet trends along them many times") {
  int broken = 0, whole = 0;
  for (std::uint64_t seed = 0; seed < 400; ++seed) {
    const Model model = random_model(seed * 0x9e3779b97f4a7c15u, Scale::measured);
    const Universe universe(model);
    const Judge judge(model, universe);
    std::set<int> refuted;
    for (const Expected& e : problems(model, universe, judge))
      if (!trend_words(model, e).empty()) refuted.insert(e.sentences.begin()->index);
    for (int c = 0; c < static_cast<int>(model.claims.size()); ++c) {
      const Claim& claim = model.claims[static_cast<std::size_t>(c)];
      const auto bound = [&](const Measure& m) {
        const std::vector<int> of = inputs(m.is);
        return !m.gone && claim.trend && std::count(of.begin(), of.end(), claim.trend->of.finding) > 0;
      };
      if (claim.gone || std::none_of(model.measures.begin(), model.measures.end(), bound)) continue;
      ++(refuted.count(c) ? broken : whole);
    }
  }
  std::cout << "  trends along measures: " << broken << " broken, " << whole << " not\n";
  CHECK(broken >= 20);
  CHECK(whole >= 20);
}

// A generator that no longer makes crossings would let every mistake about them pass.
TEST_CASE("the random rulesets meet every kind and form of problem many times") {
  std::map<std::string, int> counts;
  static const char* const severities[] = {"error", "question", "note"};
  for (std::uint64_t seed = 0; seed < 2500; ++seed) {
    const Model model = random_model(seed * 0x9e3779b97f4a7c15u);
    const Universe universe(model);
    const Judge judge(model, universe);
    for (const Expected& e : problems(model, universe, judge))
      ++counts[e.kind + (e.form.empty() ? "" : "/" + e.form) + ' ' + severities[static_cast<int>(e.severity)] + trend_words(model, e)];
  }
  for (const auto& [what, count] : counts) std::cout << "  " << what << ": " << count << '\n';
  for (const char* what :
       {"contradiction/head-on error", "contradiction/head-on question", "contradiction/swallowed error",
        "contradiction/swallowed question", "contradiction/exception note", "contradiction/crossing question",
        "contradiction/crossing note", "dissent note", "silence question", "never-applies error", "never-applies/already-outside note",
        "never-applies/already-referred note", "idle/sentence question", "idle/twice-attested note", "idle/part question", "idle/part note", "choice-clash error",
        "choice-empty question", "dose-clash error", "dose-missing question", "broken-company/never-with error",
        "broken-company/needs error", "broken-company/needs question", "broken-company/leads-to error",
        "broken-company/leads-to question", "order-loop/order error", "order-loop/times error", "claim-refuted error",
        "claim-refuted error of a trend", "claim-refuted error of a dose trend", "expectation-failed error", "unused note", "uncited note", "unasked note"}) {
    INFO(what);
    CHECK(counts[what] >= 20);
  }
}

}  // namespace
}  // namespace betony::referee
