// Parts of sentences that change nothing, and sources that disagree: smallest examples, and near misses.
#include "tests/support.h"

using namespace betony;
using namespace betony::testing;
using Lines = std::vector<std::string>;

namespace {

const std::string findings =
    "Ruleset \"Reed house\", edition \"1\".\n"
    "Source SB is \"Salt book\", 1900.\nSource WN is \"Winter notes\", 1901.\n"
    "Finding fever is yes or no.\nFinding chill is yes or no.\nFinding ache is yes or no.\n"
    "Finding age is a whole number of years from 0 to 99.\n"
    "Finding skin is one of sound, chapped, broken.\n";

Lines told_of(const std::string& sentences) { return told(report_of(findings + sentences)); }

// Every part told: its sentence's words, the words under its marks, and what to write.
Lines parts_of(const std::string& sentences) {
  const std::string source = findings + sentences;
  Lines lines;
  for (const Problem& p : report_of(source).problems) {
    if (p.form != "part") continue;
    std::string line;
    for (const Mark& mark : p.sentences.at(0).marks)
      line += (line.empty() ? "" : " | ") + source.substr(mark.place.span.begin, mark.place.span.end - mark.place.span.begin);
    lines.push_back(line + " -> " + p.write.at(0));
  }
  return lines;
}

Problem only_part(const std::string& sentences) {
  std::vector<Problem> parts;
  for (const Problem& p : report_of(findings + sentences).problems)
    if (p.form == "part") parts.push_back(p);
  REQUIRE(parts.size() == 1);
  return parts[0];
}

}  // namespace

TEST_CASE("a part that the rest of the sentence implies may be struck, and the sentence without it is written out") {
  const Problem p = only_part("Practice soak. Indicated in fever, age at least 10, and age at least 18. Otherwise allowed.");
  CHECK(p.severity == Severity::question);
  CHECK(p.practice == "soak");
  CHECK(p.matter == "a part that changes nothing");
  CHECK(p.sense == "With or without \"age at least 10\" the sentence speaks for the same persons, where fever and age at least 18 years: 41 in 100 of all"
                   " possible persons. It keeps out nobody whom the rest lets in.");
  CHECK(p.write == Lines{"in fever and age at least 18, in line 9"});
  CHECK(p.share.low == Rational(41, 100));
  CHECK(p.replay == "soak is advised");
}

TEST_CASE("pieces of every kind may be struck") {
  const std::string otherwise = " Otherwise allowed.";
  CHECK(parts_of("Practice soak. Indicated in fever or (fever and chill)." + otherwise) == Lines{"(fever and chill) -> in fever, in line 9"});
  CHECK(parts_of("Practice soak. Indicated in fever and age under 60, unless age over 70." + otherwise) ==
        Lines{"age over 70 -> take \"unless age over 70\" out of line 9"});
  CHECK(parts_of("Practice soak. Indicated in age at most 99." + otherwise) == Lines{"age at most 99 -> take \"in age at most 99\" out of line 9"});
  CHECK(parts_of("It cannot be that skin is broken and fever. Practice soak. Indicated in (skin is broken or chapped) and fever." + otherwise) ==
        Lines{"broken -> in (skin is chapped) and fever, in line 9"});
  CHECK(parts_of("Practice soak. Indicated in fever and age from 18 to 60 and age under 50." + otherwise) ==
        Lines{"60 -> in fever, age at least 18, and age under 50, in line 9"});
  CHECK(parts_of("It cannot be that fever and chill and ache. Practice soak. Indicated in at least 2 of fever, chill, ache, age over 120." + otherwise) ==
        Lines{"age over 120 -> in at least 2 of fever, chill, ache, in line 9"});
  CHECK(parts_of("Practice soak. Indicated in none of fever, chill, age over 110." + otherwise) ==
        Lines{"age over 110 -> in none of fever, chill, in line 9"});
}

TEST_CASE("pieces that matter are not told, nor is the end of a range that is the end of all there is") {
  CHECK(parts_of("Practice soak. Indicated in age from 0 to 60 and fever. Otherwise allowed.") == Lines{});
  CHECK(parts_of("Practice soak. Indicated in age from 0 to 99 and fever. Allowed in age from 0 to 99.") == Lines{});
  CHECK(parts_of("Finding rest is a number of h ago from 0 to 9, or never. Practice soak. Indicated in rest from 0 to 9 and fever. Otherwise allowed.") == Lines{});
  CHECK(parts_of("Practice soak. Indicated in fever, age at least 18, and chill. Otherwise allowed.") == Lines{});
  CHECK(parts_of("Practice soak. Indicated in fever or (chill and ache), unless skin is broken or chapped. Otherwise allowed.") == Lines{});
}

TEST_CASE("a piece that keeps a sentence out of the way of another that would overrule it is not told") {
  CHECK(told_of("Practice soak. Indicated in chill and not fever. Contraindicated in fever. Otherwise allowed.") == Lines{});
  CHECK(told_of("Practice soak. Indicated in age under 60. Discouraged in age from 60 to 70. Contraindicated in age over 70.") == Lines{});
  CHECK(told_of("Choice oil is a grade of thin, even, thick, the highest prevails. Take even in age from 10 to 39. Take thick in age at least 40."
                " Otherwise thin.") == Lines{});
}

TEST_CASE("where others say the same, the persons concerned and the other sentence are shown") {
  const Problem p = only_part("Practice soak. Indicated in chill and fever. Indicated in chill and age under 60, unless fever. Otherwise allowed.");
  CHECK(p.severity == Severity::note);
  CHECK(p.sense == "Without \"unless fever\" the sentence would speak for more persons where fever, chill, and age at most 59 years: 3 in 20 of all"
                   " possible persons; they are told the same as now, the person shown by line 9. It may stay, to say whom the sentence is meant for.");
  CHECK(p.share.low == Rational(3, 20));
  CHECK(p.replay == "soak is advised");
  CHECK(p.write == Lines{"take \"unless fever\" out of line 9"});
}

TEST_CASE("a piece that brings in whom another sentence speaks for anyway is asked about") {
  const Problem p = only_part("Practice soak. Indicated in chill or fever. Indicated in fever and age at most 99 [SB]. Allowed.");
  CHECK(p.severity == Severity::question);
  CHECK(p.sense == "Without \"fever\" the sentence would speak for fewer persons where fever and not chill: 1 in 4 of all possible persons; they would"
                   " still be told the same, the person shown by line 9.");
  CHECK(p.replay == "soak is advised");
  CHECK(p.write == Lines{"in chill, in line 9"});
}

TEST_CASE("of several pieces of one sentence that may go one that says nothing is enough to ask") {
  CHECK(only_part("Practice soak. Indicated in chill and fever. Indicated in chill and age over 20 and age over 10, unless fever. Otherwise allowed.").severity ==
        Severity::question);
}

TEST_CASE("what a row of a table could leave out is told as the words of its cell") {
  const std::string table =
      "\"fever is yes or no\",\"age is a whole number of years from 0 to 99\",Practice soak\n"
      "yes,,advised\nno,>=60,withheld\nno,<60,withheld\n";
  Outcome<Ruleset> read = read_ruleset({"soak.csv", table, true}, no_other_files);
  REQUIRE(read);
  std::vector<Problem> parts;
  for (const Problem& p : check(*read.value).problems)
    if (p.form == "part") parts.push_back(p);
  REQUIRE(parts.size() == 2);
  CHECK(parts[0].severity == Severity::note);
  CHECK(parts[0].sense == "Without \"age at least 60\" the sentence would speak for more persons where not fever and age at most 59 years: 3 in 10 of all"
                          " possible persons; they are told the same as now, the person shown by row 4. It may stay, to say whom the sentence is meant for.");
  CHECK(parts[0].write == Lines{"leave the cell of age empty, in row 3"});
}

TEST_CASE("pieces of one sentence are told together, with a word if they cannot all go") {
  const Problem either = only_part("Practice soak. Indicated in fever, age at least 18, and age over 17. Otherwise allowed.");
  CHECK(either.matter == "parts that change nothing");
  CHECK(either.sense == "Nothing would change without \"age at least 18\" or without \"age over 17\"; but not all of them can go at once. The sentence speaks"
                        " where fever and age at least 18 years: 41 in 100 of all possible persons.");
  CHECK(either.write == Lines{"in fever and age at least 18, in line 9"});
  const Problem both = only_part("Practice soak. Indicated in fever, age at least 18, age at least 10, and age at least 5. Otherwise allowed.");
  CHECK(both.sense == "Nothing would change without \"age at least 10\" or without \"age at least 5\", or without all of them. The sentence speaks where fever"
                      " and age at least 18 years: 41 in 100 of all possible persons.");
  CHECK(both.write == Lines{"in fever and age at least 18, in line 9"});
}

TEST_CASE("a piece inside one that is told is not told again, nor are those of a sentence that is idle itself") {
  CHECK(parts_of("Practice soak. Indicated in age over 60 and (fever or age over 50). Otherwise allowed.") ==
        Lines{"(fever or age over 50) -> in age over 60, in line 9"});
  CHECK(told_of("Practice soak. Indicated in fever. Indicated in fever, age over 20, and age over 30. Otherwise allowed.") ==
        Lines{"question idle/sentence of soak"});
}

TEST_CASE("what makes a difference for referred persons only is a note") {
  const Problem p = only_part("Refer in fever: \"Call for care.\". Practice soak. Indicated in chill or (fever and ache). Otherwise allowed.");
  CHECK(p.severity == Severity::note);
  CHECK(p.sense == "\"(fever and ache)\" makes a difference only for persons whom a red flag has referred, or whom the ruleset is not about. The sentence is"
                   " heard where chill: 1 in 2 of all possible persons.");
}

TEST_CASE("a condition in front loses a piece only if none of its sentences needs it") {
  const std::string practices = "Practices soak, walk. Otherwise allowed.\nPractice walk. Indicated in fever.\n";
  CHECK(parts_of(practices + "In chill or fever: walk is advised; soak is advised.") == Lines{});
  CHECK(parts_of(practices + "In chill or fever: walk is advised.") == Lines{"fever -> in chill, in line 11"});
  CHECK(parts_of(practices + "In chill and age over 20 and age over 30: walk is advised; soak is allowed with care.") ==
        Lines{"age over 20 -> in chill and age over 30, in line 11"});
}

TEST_CASE("a sentence of several practices loses a piece only if none of them needs it") {
  const std::string practices = "Practices soak, walk. Otherwise allowed. Indicated in chill or fever.\n";
  CHECK(parts_of(practices + "Practice walk. Indicated in fever.") == Lines{});
  CHECK(parts_of(practices + "Practice walk. Indicated in fever and ache. Practice soak. Indicated in fever.") == Lines{});
}

TEST_CASE("pieces of cautions, doses, choices, terms and red flags are looked at") {
  CHECK(parts_of("Practice soak. Indicated in chill. Otherwise withheld. Caution in fever and chill: \"Slowly.\".") ==
        Lines{"chill -> in fever, in line 9"});
  CHECK(parts_of("Practice soak. Allowed. Dose 5 min. Dose 3 min in fever and age over 10 and age over 20.") ==
        Lines{"age over 10 -> in fever and age over 20, in line 9"});
  CHECK(parts_of("Choice oil is one of thin, thick. Take thin in chill or fever. Take thin in fever and ache. Take thin in fever and not ache. Otherwise thick.") ==
        Lines{"fever -> in chill, in line 9"});
  CHECK(parts_of("Term hot means fever or (fever and chill). Practice soak. Indicated in hot. Otherwise allowed.") ==
        Lines{"(fever and chill) -> means fever, in line 9"});
  CHECK(parts_of("Refer in fever and age under 200: \"Call for care.\". Practice soak. Allowed.") == Lines{"age under 200 -> in fever, in line 9"});
}

TEST_CASE("each school's reading is looked at: a piece that only one of them needs is not told") {
  const std::string schools = "School salt house holds SB. School snow house holds WN.\n";
  CHECK(parts_of("Practice soak. Indicated in chill or fever. Indicated in fever [SB]. Otherwise allowed.") == Lines{"fever -> in chill, in line 9"});
  CHECK(parts_of(schools + "Practice soak. Indicated in chill or fever. Indicated in fever [SB]. Otherwise allowed.") == Lines{});
}

TEST_CASE("a term loses a piece only if it means the same of everyone who is possible, unless who is possible hangs on terms") {
  const std::string fact = "It cannot be that fever and ache. ";
  CHECK(parts_of(fact + "Term hot means fever and not ache. Practice soak. Indicated in hot. Otherwise allowed.") == Lines{"not ache -> means fever, in line 9"});
  CHECK(parts_of("Term sore means ache. It cannot be that fever and sore. Term hot means fever and not ache. Practice soak. Indicated in hot. Otherwise allowed.") ==
        Lines{});
  CHECK(parts_of("Refer in ache: \"Call for care.\". Term hot means fever and not ache. Practice soak. Indicated in hot. Otherwise allowed.") == Lines{});
}

TEST_CASE("a practice whose budget is met has no parts told, and is not settled") {
  const std::string source = findings + "Practice soak. Indicated in fever, age at least 10, and age at least 18. Otherwise allowed.";
  Budget small;
  small.steps = 8;
  const Report report = report_of(source, small);
  CHECK(report.not_settled == Lines{"soak"});
}

// ---------------------------------------------------------------- sources that disagree

TEST_CASE("two sources whose sentences speak against each other are seen, with which of them prevails") {
  const Report report = report_of(findings +
      "Practice soak. Indicated in chill [WN]. Contraindicated in fever, called hot ban [SB 2]. Otherwise allowed.\n"
      "Practice walk. Contraindicated in chill and age under 50, called young ban [SB]. Indicated in chill, despite young ban [WN]. Otherwise allowed.");
  REQUIRE(report.sources_disagree.size() == 1);
  const SourcesDisagree& seen = report.sources_disagree[0];
  CHECK(seen.places == 2);
  CHECK(seen.share.low == Rational(3, 8));   // chill, with fever or under 50
  CHECK(seen.first.places == 1);             // the salt book forbids the soak
  CHECK(seen.first.share.low == Rational(1, 4));
  CHECK(seen.second.places == 1);            // the winter notes get their walk
  CHECK(seen.second.share.low == Rational(1, 4));
  CHECK(seen.sense == "Salt book against Winter notes: 2 places, 3 in 8 of all possible persons.");
  CHECK(seen.prevails == "Salt book in 1, 1 in 4 of all possible persons; Winter notes in 1, 1 in 4 of all possible persons");
}

TEST_CASE("where a graver ban decides, neither source prevails") {
  const Report report = report_of(findings + "Practice soak. Indicated in chill [SB]. Discouraged in chill [WN]. Contraindicated in chill. Otherwise allowed.");
  REQUIRE(report.sources_disagree.size() == 1);
  CHECK(report.sources_disagree[0].prevails == "neither");
  CHECK(report.sources_disagree[0].share.low == Rational(1, 2));
}

TEST_CASE("of persons whom two sources part over in several practices each is counted once") {
  const std::string sentences = "Indicated in chill [SB]. Contraindicated in fever [WN]. Otherwise allowed.\n";
  const Report report = report_of(findings + "Practice soak. " + sentences + "Practice walk. " + sentences);
  REQUIRE(report.sources_disagree.size() == 1);
  CHECK(report.sources_disagree[0].places == 2);
  CHECK(report.sources_disagree[0].share.low == Rational(1, 4));
  CHECK(report.sources_disagree[0].prevails == "Winter notes in 2, 1 in 4 of all possible persons");
  CHECK(report.settled());
}

TEST_CASE("where putting the persons of many practices together would grow too large, the share lies between bounds") {
  std::string source = findings;
  for (int i = 0; i < 60; ++i) source += "Finding f" + std::to_string(i) + " is yes or no.\n";
  auto finding = [seed = 1u]() mutable { return "f" + std::to_string((seed = seed * 1103515245u + 12345u) / 65536u % 60u); };
  for (int i = 0; i < 300; ++i)  // each practice is small; whom the sources part over in any of them hangs on everything
    source += "Practice p" + std::to_string(i) + ". Indicated in " + finding() + " and " + finding() + " [SB]. Contraindicated in " + finding() + " and " + finding() +
              " [WN]. Otherwise allowed.\n";
  const Report report = report_of(source);
  REQUIRE(report.sources_disagree.size() == 1);
  const SourcesDisagree& seen = report.sources_disagree[0];
  CHECK(report.settled());
  CHECK(seen.places == 300);
  CHECK_FALSE(seen.share.exact);
  CHECK(seen.share.low == Rational(1, 4));  // of a practice in which two of the findings are one
  CHECK(seen.share.high == 1);
  CHECK(seen.sense == "Salt book against Winter notes: 300 places, between 250 and 1000 in 1000 of all possible persons.");
}

TEST_CASE("a source does not disagree with itself, nor where nobody is spoken for by both") {
  CHECK(report_of(findings + "Practice soak. Indicated in chill [SB 1]. Contraindicated in chill [SB 2; WN]. Otherwise allowed.").sources_disagree.empty());
  CHECK(report_of(findings + "Practice soak. Indicated in chill [SB]. Contraindicated in not chill [WN]. Otherwise allowed.").sources_disagree.empty());
}
