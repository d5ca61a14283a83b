// One smallest example, and a near miss, for every kind and form of problem.
#include "tests/support.h"

using namespace betony;
using namespace betony::testing;
using Lines = std::vector<std::string>;

namespace {

const std::string findings =
    "Ruleset \"Reed house\", edition \"1\".\n"
    "Finding fever is yes or no.\nFinding chill is yes or no.\nFinding ache is yes or no.\n"
    "Finding age is a whole number of years from 0 to 99.\n";

Lines told_of(const std::string& sentences) { return told(report_of(findings + sentences)); }
Problem only(const std::string& sentences) {
  const Report report = report_of(findings + sentences);
  std::vector<Problem> told;
  for (const Problem& p : report.problems)
    if (p.kind != "unused" && p.kind != "uncited" && p.kind != "unasked") told.push_back(p);
  REQUIRE(told.size() == 1);
  return told[0];
}

}  // namespace

TEST_CASE("an indication and a ban for exactly the same persons are told head-on") {
  const Problem p = only("Practice soak. Indicated in fever. Contraindicated in not (not fever). Otherwise allowed.");
  CHECK(p.kind == "contradiction");
  CHECK(p.form == "head-on");
  CHECK(p.severity == Severity::error);
  CHECK(p.share.low == Rational(1, 2));
  CHECK(p.region == Lines{"fever"});
  CHECK(p.replay == "soak is withheld");
  CHECK(told_of("Practice soak. Discouraged in fever. Indicated in fever. Otherwise allowed.") ==
        Lines{"question contradiction/head-on of soak"});
}

TEST_CASE("a sentence that is swallowed in every school's reading is told once, by what every reading holds") {
  CHECK(told_of("Source AA is \"A\", 1900. Source BB is \"B\", 1901. School upper holds AA. School lower holds BB.\n"
                "Practice soak. Discouraged [AA]. Allowed in age under 40. Discouraged.") ==
        Lines{"question idle/sentence of soak", "question contradiction/swallowed of soak"});
}

TEST_CASE("an indication that bans cover together is told swallowed, with a smallest set") {
  const Problem p = only(
      "Practice soak. Indicated in age from 20 to 59. Contraindicated in age from 10 to 39. Contraindicated in age from 55 to 75."
      " Contraindicated in age from 40 to 70. Otherwise allowed.");
  CHECK(p.form == "swallowed");
  CHECK(p.sentences.size() == 3);
  CHECK(p.pairs == std::vector<std::pair<unsigned, unsigned>>{{0, 1}, {0, 2}});
  CHECK(p.share.low == Rational(2, 5));
  CHECK(told_of("Practice soak. Indicated in age from 20 to 60. Contraindicated in age from 10 to 39."
                " Contraindicated in age from 40 to 59. Otherwise allowed.") ==
        Lines{"question contradiction/crossing of soak", "note contradiction/exception of soak"});
}

TEST_CASE("a ban strictly inside an indication is an exception, a note") {
  CHECK(told_of("Practice soak. Indicated in age over 20. Contraindicated in age over 60. Otherwise allowed.") ==
        Lines{"note contradiction/exception of soak"});
}

TEST_CASE("what is to be written quotes a condition without the comments that stand within it") {
  const Problem p = only("Practice soak. Indicated in age from 20 to 60 and fever. Contraindicated in age over 30 -- or so\n and fever -- both\n and chill. Otherwise allowed.");
  REQUIRE(p.write.size() > 0);
  CHECK(p.write[0].find("unless age over 30 and fever and chill, in ") == 0);
}

TEST_CASE("sentences that cross are a question where they ask for something in common, else one note") {
  CHECK(told_of("Practice soak. Indicated in age over 20. Contraindicated in age from 10 to 40. Otherwise allowed.") ==
        Lines{"question contradiction/crossing of soak"});
  CHECK(told_of("Practice soak. Indicated in chill. Contraindicated in fever. Indicated in ache. Otherwise allowed.") ==
        Lines{"note contradiction/crossing of soak"});
  CHECK(told_of("Contraindications prevail. Practice soak. Indicated in age over 20. Contraindicated in age from 10 to 40. Otherwise allowed.") ==
        Lines{"note contradiction/crossing of soak"});
  const Problem p = only("Practice soak. Indicated in age over 20 and chill. Indicated in age over 30 and fever."
                         " Contraindicated in age from 10 to 40, called youth ban. Otherwise allowed.");
  CHECK(p.sentences.size() == 3);  // one ban, two that cross it
  CHECK(p.pairs == std::vector<std::pair<unsigned, unsigned>>{{1, 0}, {2, 0}});
}

TEST_CASE("despite takes an indication out of reach of the ban it names") {
  CHECK(told_of("Practice soak. Indicated in age over 20, despite youth ban. Contraindicated in age from 10 to 40, called youth ban."
                " Otherwise allowed.").empty());
}

TEST_CASE("whom no sentence speaks for is told as silence, to the single year") {
  const Problem p = only("Practice soak. Indicated in age under 60. Contraindicated in age over 60.");
  CHECK(p.kind == "silence");
  CHECK(p.region == Lines{"age is 60 years"});
  CHECK(p.share.low == Rational(1, 100));
  CHECK(p.replay == "soak is silent");
  CHECK(p.sentences.size() == 2);
  CHECK(told_of("Practice soak. Indicated in age under 60. Contraindicated in age at least 60.").empty());
  CHECK(told_of("Practice soak.") == Lines{"question silence of soak"});
}

TEST_CASE("a sentence nobody can meet never applies, and the parts that collide are named") {
  const Problem p = only("It cannot be that fever and chill. Practice soak. Indicated in ache, fever, and chill. Otherwise allowed.");
  CHECK(p.kind == "never-applies");
  CHECK(p.sentences.size() == 2);  // the sentence and the background fact
  CHECK(told_of("Refer in fever: \"Seek licensed care.\" Practice soak. Indicated in fever and chill. Otherwise allowed.") ==
        Lines{"note never-applies/already-referred of soak"});
  CHECK(told_of("Applies to age at least 18. Practice soak. Indicated in age under 12. Otherwise allowed.") ==
        Lines{"note never-applies/already-outside of soak"});
  CHECK(told_of("It cannot be that fever or not fever. Practice soak. Indicated in chill.") == Lines{"error never-applies"});
}

TEST_CASE("a sentence without which nothing changes is idle") {
  CHECK(told_of("Practice soak. Indicated in fever. Indicated in fever and chill. Otherwise allowed.") == Lines{"question idle/sentence of soak"});
  CHECK(told_of("Practice soak. Allowed in fever. Otherwise withheld.").empty());
  CHECK(told_of("Practice soak. Allowed in fever. Otherwise allowed.") == Lines{"question idle/sentence of soak"});
  CHECK(told_of("Practice soak. Indicated. Otherwise allowed.") == Lines{"question idle/sentence of soak"});
  CHECK(told_of("Practice soak. Indicated in chill. Caution in fever: \"Slowly.\" Otherwise withheld.").empty());
  CHECK(told_of("Practice soak. Indicated in not fever. Caution in fever: \"Slowly.\" Otherwise withheld.") ==
        Lines{"question idle/sentence of soak"});
}

TEST_CASE("the same from two sources is a note, the same from one source a question") {
  const std::string sources = "Source AB is \"Almanac of baths\", 1901. Source CD is \"Count of days\", 1902.\n";
  CHECK(told_of(sources + "Practice soak. Indicated in fever [AB 1]. Indicated in fever [CD 2]. Otherwise allowed.") ==
        Lines{"note idle/twice-attested of soak"});
  CHECK(told_of(sources + "Practice soak. Indicated in fever [AB 1]. Indicated in fever [AB 2]. Otherwise allowed.") ==
        Lines{"question idle/sentence of soak"});
}

TEST_CASE("schools are read each alone, and where they differ it is dissent") {
  const std::string schools =
      "Source AB is \"Almanac of baths\", 1901. Source CD is \"Count of days\", 1902.\n"
      "School river holds AB. School hill holds CD.\n";
  CHECK(told_of(schools + "Practice soak. Indicated in fever [AB 1]. Contraindicated in fever [CD 2]. Otherwise allowed.") ==
        Lines{"note dissent of soak"});
  CHECK(told_of(schools + "Practice soak. Indicated in age under 60 [AB 1]. Contraindicated in age at least 60 [AB 2]. Indicated in age under 50 [CD 1]."
                          " Contraindicated in age at least 50 [CD 2].") == Lines{"note dissent of soak"});
  CHECK(told_of(schools + "Practice soak. Indicated [AB 1]. Contraindicated in age at least 50 [CD 2].") ==
        Lines{"question silence of soak in hill", "note dissent of soak"});
}

TEST_CASE("two values of a one-of choice that fit together clash, and none that fit is a question") {
  const std::string oils = "Choice oil is one of reed oil, nut oil. ";
  const Problem p = only(oils + "Take reed oil in fever. Take nut oil in chill. Otherwise reed oil.");
  CHECK(p.kind == "choice-clash");
  CHECK(p.pairs == std::vector<std::pair<unsigned, unsigned>>{{0, 1}});
  CHECK(p.region == Lines{"fever and chill"});
  CHECK(told_of(oils + "Take reed oil in fever. Take nut oil in chill and not fever.") == Lines{"question choice-empty of oil"});
  CHECK(told_of(oils + "Take reed oil in fever. Take nut oil in not fever. Practice soak. Contraindicated in ache. Otherwise allowed. Uses oil.").empty());
  CHECK(told_of("Choice oil is a grade of thin, middling, thick, the highest prevails. Take thin in fever. Take thick in chill. Otherwise middling.").empty());
}

TEST_CASE("a claim that fails and an expectation that fails are told with a person") {
  CHECK(only("Practice soak. Indicated in age over 20. Otherwise withheld. Claim \"no child\": never soak is advised in age under 30.").kind ==
        "claim-refuted");
  CHECK(told_of("Practice soak. Indicated in age over 20. Otherwise withheld. Claim \"no child\": never soak is advised in age under 21.").empty());
  CHECK(told_of("Refer in fever: \"Seek licensed care.\" Practice soak. Contraindicated in chill. Otherwise allowed."
                " Claim \"kept away\": always soak is withheld or referred in chill or fever.").empty());
  CHECK(told_of("Practice soak. Indicated in age over 20. Otherwise withheld. Profile \"a child\": age 12, the rest as usual. Expect soak advised.") ==
        Lines{"error expectation-failed of soak"});
  CHECK(told_of("Practice soak. Indicated in age over 20. Otherwise withheld. Profile \"somebody\": fever. Expect soak unanswered.").empty());
}

TEST_CASE("what is unused, uncited and unasked is noted once") {
  const Report report = report_of(
      "Ruleset \"Reed house\", edition \"1\". Source AB is \"Almanac\", 1901.\n"
      "Finding fever is yes or no. Ask \"Is there a fever?\"\nFinding chill is yes or no.\n"
      "Finding skin is one of sound, raw, burnt, usually sound. Ask \"How is the skin?\"\n"
      "Practice soak. Indicated in fever. Contraindicated in skin is raw [AB 1]. Otherwise allowed.");
  CHECK(told(report, true) == Lines{"note unused", "note unasked", "note unused", "note contradiction/crossing of soak", "note uncited of soak"});
}

TEST_CASE("the red flag of one school is not heard in the reading of another") {
  const Problem p = only(
      "Source AA is \"A\", 1900. Source BB is \"B\", 1901. School upper holds AA. School lower holds BB.\n"
      "Refer in fever: \"Ask a healer.\" [AA 1].\nPractice soak. Otherwise allowed.\nClaim \"c\": always soak is referred in fever.\n");
  CHECK(p.kind == "claim-refuted");
  CHECK(p.school == "lower");
  CHECK(p.share.low == Rational(1, 2));
  CHECK(p.replay == "soak is allowed");
}
