// tests/unit/trial_faults.h: rulesets with one fault each, and what of `betony try` is to find it.
#pragma once

#include <string>
#include <vector>

#include "compiler/trial/property.h"
#include "tests/support.h"

namespace betony::testing {

struct PlantedFault {
  const char* what;
  trial::Property::Kind kind;
  const char* rules;                       // behind the findings
  std::optional<Trend> trend = std::nullopt;   // of the claim "trend"; findings and practices by their place
  const char* when = nullptr;              // a yes-or-no finding: of whom the trend is claimed
};

constexpr const char* findings_of_faults = R"(Ruleset "Planted", edition "1".
Source DB is "Day book", 1902.
Source HL is "Hill letters", 1927.
Finding age is a whole number of years from 0 to 110, usually 40.
Finding chill is yes or no.
Finding frail is yes or no.
Finding fever is yes or no.
Finding cough is a grade of none, dry, wet, usually none.
Finding humour is one of ember, brook, loam, usually loam.
Finding complaints are any of stiff knees, cold feet, poor sleep.
Finding pulse is a whole number of /min from 40 to 180, usually 64.
Finding last meal is a number of h ago from 0 to 24 in steps of 0.5, or never, usually 3.
Practices moss bed, humming, foot tub.
)";
constexpr Index age_of_faults = 0, fever_of_faults = 3, cough_of_faults = 4;

inline std::vector<PlantedFault> planted_faults() {
  using Kind = trial::Property::Kind;
  using Change = Trend::Change;
  using Of = Trend::Of;
  return {
      {"two sentences overlap where the claim forbids it", Kind::claim,
       "Practice moss bed. Indicated in chill. Otherwise allowed.\nClaim \"c\": never moss bed is advised in age under 12."},
      {"a ban ends one year too early", Kind::claim,
       "Practice moss bed. Contraindicated in age under 12. Indicated in chill.\nClaim \"c\": never moss bed is advised in age at most 12."},
      {"a single number is left out between two ranges", Kind::claim,
       "Practice moss bed. Contraindicated in pulse under 100 or pulse over 100. Otherwise allowed.\nClaim \"c\": always moss bed is withheld."},
      {"three conditions come together", Kind::claim,
       "Practice moss bed. Indicated in chill, frail, and cough is wet. Otherwise allowed.\nClaim \"c\": never moss bed is advised in frail."},
      {"a ban forgets the old", Kind::claim,
       "Practice moss bed. Contraindicated in fever and age under 60. Otherwise allowed.\nClaim \"c\": always moss bed is withheld in fever."},
      {"an exception lets in whom the claim keeps out", Kind::claim,
       "Practice moss bed. Contraindicated in frail, called b. Indicated in chill, despite b.\nClaim \"c\": never moss bed is advised in frail."},
      {"an unless goes too far", Kind::claim,
       "Practice moss bed. Contraindicated in fever, unless cold feet. Otherwise allowed.\nClaim \"c\": always moss bed is withheld in fever."},
      {"a count is one too low", Kind::claim,
       "Practice moss bed. Indicated in at least 2 of stiff knees, cold feet, poor sleep. Otherwise allowed.\n"
       "Claim \"c\": never moss bed is advised in not poor sleep."},
      {"what leads is not what was thought", Kind::claim,
       "Tally warm counts chill as 2 and humour is ember as 1.\nTally cold counts frail as 2 and cold feet as 1.\nLeading trim is the most of warm, cold, else even.\n"
       "Practice moss bed. Indicated in trim is warm. Otherwise allowed.\nClaim \"c\": never moss bed is advised in frail."},
      {"a measure over two findings passes its limit", Kind::claim,
       "Finding weight is a whole number of kg from 40 to 150, usually 70.\nFinding load is a whole number of kg from 0 to 40, usually 0.\n"
       "Measure share is load / weight in %.\nPractice moss bed. Contraindicated in share over 30 %. Otherwise allowed.\n"
       "Claim \"c\": always moss bed is withheld in share at least 25 %."},
      {"a caution begins a year too late", Kind::claim,
       "Practice moss bed. Indicated. Caution in age over 70: \"Slow.\".\nClaim \"c\": always moss bed is with care in age at least 70."},
      {"a grade is asked for exactly", Kind::claim,
       "Practice moss bed. Contraindicated in cough is dry. Otherwise allowed.\nClaim \"c\": always moss bed is withheld in cough at least dry."},
      {"a red flag sends away whom the claim keeps", Kind::claim,
       "Refer in fever and pulse over 120: \"Go.\".\nPractice moss bed. Otherwise allowed.\nClaim \"c\": never moss bed is referred in chill."},
      {"the background leaves the one case that fails", Kind::claim,
       "It cannot be that chill and age under 30.\nIt cannot be that chill and fever.\nPractice moss bed. Indicated in chill and frail. Otherwise allowed.\n"
       "Claim \"c\": never moss bed is advised in age under 50."},
      {"a term means more than it should", Kind::claim,
       "Term weak means frail or cough at least dry.\nPractice moss bed. Contraindicated in weak. Otherwise allowed.\n"
       "Claim \"c\": always moss bed is allowed in not frail."},
      {"never is forgotten", Kind::claim,
       "Practice moss bed. Indicated in last meal is not 3. Otherwise allowed.\nClaim \"c\": never moss bed is advised in last meal is never."},
      {"one day of the year is let in", Kind::claim,
       "Practice moss bed. Contraindicated in date from 2 May to 30 April. Otherwise allowed.\nClaim \"c\": always moss bed is withheld."},
      {"a school's reading breaks what the whole keeps", Kind::claim,
       "School day house holds DB.\nSchool hill house holds HL.\nPractice moss bed. Indicated in chill [DB 1]. Contraindicated in fever [HL 2]. Otherwise allowed.\n"
       "Claim \"c\": never moss bed is advised in fever."},
      {"an open sample is told otherwise by one of its answers", Kind::expectation,
       "Practice moss bed. Indicated in chill. Contraindicated in cough is wet and fever.\nProfile \"p\": chill, age 30.\n  Expect moss bed advised."},
      {"a choice fits otherwise for some who are so", Kind::expectation,
       "Choice oil is one of nut, seal. Take nut in chill and not fever. Otherwise seal.\nPractice moss bed. Uses oil. Otherwise allowed.\n"
       "Profile \"p\": chill.\n  Expect oil nut."},
      {"two doses meet with nothing in common", Kind::dose_clash,
       "Practice moss bed. Indicated. Dose 5 to 10 min in chill. Dose 12 to 15 min in frail. Dose 20 min."},
      {"no dose for some who are advised", Kind::dose_missing, "Practice moss bed. Indicated in age over 20. Dose 5 min in chill. Dose 7 min in age under 70."},
      {"advised together, and never together", Kind::company,
       "Practice moss bed. Indicated in chill. Never with humming.\nPractice humming. Indicated in frail and age over 60."},
      {"what it needs is withheld", Kind::company,
       "Practice moss bed. Indicated in chill. Needs humming.\nPractice humming. Contraindicated in cough is wet. Otherwise allowed."},
      {"what it leads to is withheld", Kind::company,
       "Practice moss bed. Indicated in chill. Leads to humming in frail.\nPractice humming. Contraindicated in age under 15. Otherwise allowed."},
      {"three would each come before the next", Kind::order,
       "Practice moss bed. Indicated in chill. Follows humming.\nPractice humming. Indicated in frail. Follows foot tub.\n"
       "Practice foot tub. Indicated in poor sleep. Follows moss bed."},
      {"a ban is lifted by what only allows", Kind::borrowed,
       "Practice moss bed. Contraindicated in frail, called b. Allowed in frail and poor sleep, despite b. Indicated in chill."},
      {"more age raises where a ban ends", Kind::trend,
       "Practice moss bed. Contraindicated in age under 12. Indicated in age from 30 to 40 and chill. Discouraged in age over 70. Otherwise allowed.\n"
       "Claim \"trend\": never moss bed is advised in age under 0.",
       Trend{Change::more, age_of_faults, Of::verdict, true, {0}}, "chill"},
      {"a worse cough brings it back", Kind::trend,
       "Practice moss bed. Discouraged in cough is dry. Contraindicated in cough is wet and not fever. Otherwise allowed.\n"
       "Claim \"trend\": never moss bed is advised in age under 0.",
       Trend{Change::more, cough_of_faults, Of::verdict, true, {0}}},
      {"fever lifts a ban", Kind::trend,
       "Practice moss bed. Contraindicated in chill, unless fever. Otherwise allowed.\nClaim \"trend\": never moss bed is advised in age under 0.",
       Trend{Change::adding, fever_of_faults, Of::verdict, true, {0, 1}}},
      {"less age lengthens a dose", Kind::trend,
       "Practice moss bed. Indicated. Dose 5 to 10 min in age under 20. Dose 3 to 4 min.\nClaim \"trend\": never moss bed is withheld in age under 0.",
       Trend{Change::less, age_of_faults, Of::amount, true, {0}}},
  };
}

inline Ruleset ruleset_of(const PlantedFault& fault) {
  Ruleset ruleset = ruleset_of(std::string(findings_of_faults) + fault.rules);
  if (!fault.trend) return ruleset;
  for (Claim& claim : ruleset.claims) {
    claim.trend = fault.trend;
    claim.condition = {}, claim.when = {};
    if (!fault.when) continue;
    claim.when.kind = Cond::Kind::test;
    for (Index f = 0; f < ruleset.findings.size(); ++f)
      if (ruleset.findings[f].name == fault.when) claim.when.test.index = f, claim.when.test.words = {1};
  }
  return ruleset;
}

}  // namespace betony::testing
