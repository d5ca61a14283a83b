#include "compiler/compiler.h"

#include <algorithm>

#include "compiler/check/checks.h"

namespace betony {
namespace {

void check_practice(Study& study, Index practice, SentenceFacts& facts) {
  const Practice& named = study.ruleset.practices[practice];
  try {
    Space space(study.meaning, study.people, asked_by(study.meaning, practice, study.all_readings), study.limit());
    PracticeStudy checked{practice, space, {}};
    for (Reading reading : study.all_readings) checked.voices.emplace(reading.school, voices(space, practice, reading));
    if (space.has_undecided_measure()) study.not_settled(named.name);
    std::vector<Index> first_here;  // a group's sentence is looked at with the first practice it speaks of
    for (Index s : named.sentences)
      if (study.ruleset.sentences[s].practices[0] == practice) first_here.push_back(s);
    check_never_applies(study, space, first_here, facts);
    check_contradiction(study, checked, facts);
    check_silence(study, checked);
    check_dose(study, checked, facts);
    note_what_matters(study, checked, facts);
  } catch (const BudgetMet&) {
    for (Index s : named.sentences) facts.looked_at[s] = false;
    study.not_settled(named.name);
  }
}

std::pair<std::uint32_t, std::uint32_t> order_of(const Problem& problem) {
  if (problem.sentences.empty()) return {0, 0};
  return {problem.sentences[0].place.file, problem.sentences[0].place.span.begin};
}

}  // namespace

std::size_t Report::count(Severity severity) const {
  return static_cast<std::size_t>(std::count_if(problems.begin(), problems.end(), [&](const Problem& p) { return p.severity == severity; }));
}

namespace {

Report check_all(const Ruleset& ruleset, const Budget& budget) {
  Study study(ruleset, budget);
  const std::size_t count = ruleset.sentences.size();
  SentenceFacts facts{std::vector<bool>(count), std::vector<bool>(count), std::vector<bool>(count, true),
                      std::vector<std::uint64_t>(count)};
  try {
    if (!check_anybody(study)) return std::move(study.report);
  } catch (const BudgetMet&) {
    study.not_settled("who is possible");
  }
  check_red_flags(study, facts);
  for (Index choice = 0; choice < ruleset.choices.size(); ++choice) check_choice(study, choice, facts);
  for (Index practice = 0; practice < ruleset.practices.size(); ++practice) check_practice(study, practice, facts);
  check_company(study);
  check_order(study);
  check_idle(study, facts);
  check_claims(study);
  check_expectations(study);
  check_unused(study);
  std::stable_sort(study.report.problems.begin(), study.report.problems.end(), [](const Problem& a, const Problem& b) {
    return a.severity != b.severity ? a.severity < b.severity : order_of(a) < order_of(b);
  });
  return std::move(study.report);
}

}  // namespace

Report check(const Ruleset& ruleset, const Budget& budget) {
  try {
    return check_all(ruleset, budget);
  } catch (const BudgetMet&) {  // not even who is looked at could be told
    Report report;
    report.not_settled.push_back("who is possible");
    return report;
  }
}

}  // namespace betony
