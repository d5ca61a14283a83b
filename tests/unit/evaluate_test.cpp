// The plain meaning of a ruleset for one person, form by form.
#include "compiler/evaluate.h"

#include <catch2/catch.hpp>
#include <stdexcept>

#include "compiler/compiler.h"

using namespace betony;
using tree::Verdict;

namespace {

Ruleset ruleset(const std::string& text) {
  auto out = read_ruleset({"test.bty", text}, [](const std::string&) { return std::nullopt; });
  for (const Message& message : out.messages) UNSCOPED_INFO(message.message);
  REQUIRE(out);
  return std::move(*out.value);
}

// The person of the first profile; findings without an answer get their lowest value.
Profile person(const Ruleset& r) {
  Profile profile = profile_of(r, r.profiles.at(0));
  for (std::size_t i = 0; i < profile.size(); ++i) {
    if (profile[i]) continue;
    const Finding& finding = r.findings[i];
    profile[i] = finding.values.empty() ? Value{Value::Kind::number, 0, finding.low} : Value{};
  }
  return profile;
}

struct Seen {
  Ruleset r;
  Weighing weighing;
  const PracticeVerdict& first() const { return weighing.practices.at(0); }
};

// Weighs "Profile WHO" written after the text.
Seen seen(const std::string& text, const std::string& who, Reading reading = {}) {
  Seen s{ruleset(text + "\nProfile \"x\": " + who + (who.empty() ? "" : ", ") + "the rest as usual.\n"), {}};
  s.weighing = evaluate(s.r, person(s.r), reading);
  return s;
}

const std::string findings = "Finding fever is yes or no.\nFinding chill is yes or no.\nFinding age is a whole number of years from 0 to 110, usually 40.\n"
                             "Finding last meal is a number of h ago from 0 to 48, or never, usually 5.\n";

Verdict verdict(const std::string& sentences, const std::string& who) {
  return seen(findings + "Practice dip.\n" + sentences, who).first().verdict;
}

std::vector<std::string> fits(const std::string& choice, const std::string& who) {
  const Seen s = seen(findings + choice, who);
  std::vector<std::string> out;
  for (Index value : s.weighing.choices.at(0).fits) out.push_back(s.r.choices[0].values[value]);
  return out;
}

using List = std::vector<std::string>;

}  // namespace

TEST_CASE("the first that holds decides: withheld, discouraged, advised, allowed, otherwise, silent") {
  const std::string all = "Contraindicated in fever.\nDiscouraged in chill.\nIndicated in age over 50.\nAllowed in age over 30.\n";
  CHECK(verdict(all, "fever, chill, age 60") == Verdict::withheld);
  CHECK(verdict(all, "chill, age 60") == Verdict::discouraged);
  CHECK(verdict(all, "age 60") == Verdict::advised);
  CHECK(verdict(all, "age 50") == Verdict::allowed);
  CHECK(verdict(all, "age 30") == Verdict::silent);
  CHECK(verdict(all + "Otherwise withheld.\n", "age 30") == Verdict::withheld);
}

TEST_CASE("outside goes before referred, and referred before every practice's own sentences") {
  const std::string text = findings + "Applies to age at least 18.\nRefer in fever: \"Seek care.\"\nPractice dip.\n  Indicated.\n";
  CHECK(seen(text, "age 17, fever").first().verdict == Verdict::outside);
  CHECK(seen(text, "fever").first().verdict == Verdict::referred);
  CHECK(seen(text, "fever").weighing.refers == std::vector<Index>{0});
  CHECK(seen(text, "age 18").first().verdict == Verdict::advised);
}

TEST_CASE("unless keeps a sentence from firing") {
  CHECK(verdict("Contraindicated in fever unless age over 50.\n", "fever") == Verdict::withheld);
  CHECK(verdict("Contraindicated in fever unless age over 50.\n", "fever, age 51") == Verdict::silent);
}

TEST_CASE("a ban named in a firing despite is not live, and both are remembered") {
  const std::string text = findings + "Practice dip.\n  Contraindicated in fever, called ban.\n  Discouraged in chill.\n  Indicated in age over 50, despite ban.\nPractice walk.\n  Contraindicated in fever.\n";
  const Seen lifted = seen(text, "fever, age 60");
  CHECK(lifted.first().verdict == Verdict::advised);
  CHECK(lifted.first().because == std::vector<Index>{2});
  CHECK(lifted.first().defeated == std::vector<Index>{0});
  CHECK(seen(text, "fever").first().verdict == Verdict::withheld);
  const Seen other = seen(text, "fever, chill, age 60");
  CHECK(other.first().verdict == Verdict::discouraged);
  CHECK(other.first().because == std::vector<Index>{1});
  CHECK(other.first().defeated == std::vector<Index>{0, 2});
}

TEST_CASE("despite lifts a group's ban for the practice that names it, not for the others") {
  const std::string text = findings + "Group baths holds dip, walk.\nEvery practice in baths.\n  Contraindicated in fever, called ban.\n"
                                      "Practice dip.\n  Allowed in age over 50, despite ban.\nPractice walk.\n  Allowed.\n";
  const Seen s = seen(text, "fever, age 60");
  CHECK(s.weighing.practices[0].verdict == Verdict::allowed);
  CHECK(s.weighing.practices[1].verdict == Verdict::withheld);
}

TEST_CASE("a caution marks what is advised or allowed, and is only shown elsewhere") {
  const std::string text = findings + "Practice dip.\n  Contraindicated in fever.\n  Indicated in age over 50.\n  Caution in chill: \"Slowly.\"\n  Caution in age over 60: \"Slowly.\"\n";
  const Seen care = seen(text, "chill, age 70");
  CHECK(care.first().with_care);
  CHECK(care.first().cautions == List{"Slowly."});
  CHECK(care.first().because == std::vector<Index>{1, 2, 3});
  CHECK_FALSE(seen(text, "age 55").first().with_care);
  const Seen withheld = seen(text, "fever, chill");
  CHECK_FALSE(withheld.first().with_care);
  CHECK(withheld.first().cautions == List{"Slowly."});
}

TEST_CASE("allowed with care gives the mark without words, and so does Otherwise allowed with care") {
  const Seen in = seen(findings + "Practice dip.\nIn chill: dip is allowed with care.\n", "chill");
  CHECK(in.first().verdict == Verdict::allowed);
  CHECK(in.first().with_care);
  CHECK(in.first().cautions.empty());
  const Seen otherwise = seen(findings + "Practice dip.\n  Indicated in fever.\n  Otherwise allowed with care.\n", "chill");
  CHECK(otherwise.first().with_care);
  CHECK_FALSE(seen(findings + "Practice dip.\n  Indicated in fever.\n  Otherwise allowed with care.\n", "fever").first().with_care);
}

TEST_CASE("the practice's own Otherwise goes before its group's, and that before every practice's") {
  const std::string text = "Practice dip.\nPractice walk.\nPractice hum.\nGroup baths holds dip, walk.\nEvery practice.\n  Otherwise withheld.\n"
                           "Every practice in baths.\n  Otherwise discouraged.\nPractice dip.\n  Otherwise allowed.\n";
  const Seen s = seen(findings + text, "");
  CHECK(s.weighing.practices[0].verdict == Verdict::allowed);
  CHECK(s.weighing.practices[1].verdict == Verdict::discouraged);
  CHECK(s.weighing.practices[2].verdict == Verdict::withheld);
}

TEST_CASE("never makes every comparison of numbers false") {
  CHECK(verdict("Contraindicated in last meal under 1 h ago.\n", "last meal 30 min") == Verdict::withheld);
  CHECK(verdict("Contraindicated in last meal under 1 h ago.\n", "last meal 1") == Verdict::silent);
  CHECK(verdict("Contraindicated in last meal under 1 h ago.\nAllowed in last meal at least 1.\n", "last meal never") == Verdict::silent);
  CHECK(verdict("Allowed in last meal is not 3.\n", "last meal never") == Verdict::allowed);
  CHECK(verdict("Allowed in last meal is never.\n", "last meal never") == Verdict::allowed);
  CHECK(verdict("Allowed in last meal is not never.\n", "last meal never") == Verdict::silent);
}

TEST_CASE("both ends of a range are in, and dates wrap over the year's end") {
  CHECK(verdict("Allowed in age from 18 to 60.\n", "age 18") == Verdict::allowed);
  CHECK(verdict("Allowed in age from 18 to 60.\n", "age 60") == Verdict::allowed);
  CHECK(verdict("Allowed in age from 18 to 60.\n", "age 61") == Verdict::silent);
  for (const char* day : {"1 November", "31 December", "1 January", "29 February", "30 April"})
    CHECK(verdict("Allowed in date from 1 November to 30 April.\n", std::string("date ") + day) == Verdict::allowed);
  for (const char* day : {"1 May", "31 October"})
    CHECK(verdict("Allowed in date from 1 November to 30 April.\n", std::string("date ") + day) == Verdict::silent);
  CHECK(verdict("Allowed in time of day from 22:00 to 06:30.\n", "time of day 06:30") == Verdict::allowed);
  CHECK(verdict("Allowed in time of day from 22:00 to 06:30.\n", "time of day 06:31") == Verdict::silent);
}

TEST_CASE("lists count what holds") {
  const std::string three = "at least 2 of fever, chill, age over 50";
  CHECK(verdict("Allowed in " + three + ".\n", "fever, age 60") == Verdict::allowed);
  CHECK(verdict("Allowed in " + three + ".\n", "fever") == Verdict::silent);
  CHECK(verdict("Allowed in none of fever, chill.\n", "") == Verdict::allowed);
  CHECK(verdict("Allowed in none of fever, chill.\n", "chill") == Verdict::silent);
}

TEST_CASE("measures, tallies, leading tallies and terms are worked out from the findings") {
  const Ruleset r = ruleset("Finding weight is a number of kg from 2 to 350.\nFinding height is a number of m from 0.5 to 2.5.\nFinding fever is yes or no.\nFinding chill is yes or no.\n"
                            "Measure bulk is weight / (height * height) in kg/m2.\nTally hot counts fever as 2, and chill as -1.\nTally cold counts chill as 2.\n"
                            "Leading nature is the most of hot, cold by at least 2, else even.\nTerm heavy means bulk at least 30.\n"
                            "Practice dip.\n  Allowed in heavy.\nProfile \"x\": weight 91.875, height 1.75, fever, not chill.\nProfile \"y\": weight 76.5, height 1.75, fever, chill.\n");
  const Profile x = profile_of(r, r.profiles[0]);
  const Profile y = profile_of(r, r.profiles[1]);
  CHECK(measure_value(r, 0, x) == 30);
  CHECK(measure_value(r, 0, y) == Rational(1224, 49));  // 24.9796
  CHECK(tally_value(r, 0, x) == 2);
  CHECK(tally_value(r, 0, y) == 1);
  CHECK(leading_value(r, 0, x) == 0);
  CHECK(leading_value(r, 0, y) == 2);  // ahead by 1 only
  CHECK(evaluate(r, x).practices[0].verdict == Verdict::allowed);
  CHECK(evaluate(r, y).practices[0].verdict == Verdict::silent);
}

TEST_CASE("a leading tally must be ahead of all others, and alone must have points") {
  const std::string tallies = findings + "Tally hot counts fever as 1.\nTally cold counts chill as 1.\nTally lone counts fever as 1, and chill as -1.\n"
                                         "Leading nature is the most of hot, cold, else even.\nLeading single is the most of lone, else even.\nPractice dip.\n  Allowed.\n";
  const auto leads = [&](const std::string& who, Index leading) {
    const Ruleset r = ruleset(tallies + "Profile \"x\": " + who + "the rest as usual.\n");
    return r.leadings[leading].values[leading_value(r, leading, person(r))];
  };
  CHECK(leads("fever, ", 0) == "hot");
  CHECK(leads("chill, ", 0) == "cold");
  CHECK(leads("fever, chill, ", 0) == "even");
  CHECK(leads("", 0) == "even");
  CHECK(leads("fever, ", 1) == "lone");
  CHECK(leads("fever, chill, ", 1) == "even");
}

TEST_CASE("what fits a choice is taken minus refused, else otherwise unless refused") {
  const std::string any = "Choice oil is any of seal oil, nut oil.\n  Take seal oil in chill.\n  Take nut oil in age over 50.\n  Refuse nut oil in fever.\n  Otherwise nut oil.\n";
  CHECK(fits(any, "chill, age 60") == List{"seal oil", "nut oil"});
  CHECK(fits(any, "chill, age 60, fever") == List{"seal oil"});
  CHECK(fits(any, "") == List{"nut oil"});
  CHECK(fits(any, "fever") == List{});
}

TEST_CASE("of a graded choice the highest or the lowest prevails") {
  const auto graded = [](const char* which) {
    return std::string("Choice heat is a grade of mild, warm, hot, the ") + which + " prevails.\n  Take mild in chill.\n  Take hot in age over 50.\n  Refuse hot in fever.\n  Otherwise warm.\n";
  };
  CHECK(fits(graded("highest"), "chill, age 60") == List{"hot"});
  CHECK(fits(graded("lowest"), "chill, age 60") == List{"mild"});
  CHECK(fits(graded("highest"), "chill, age 60, fever") == List{"mild"});
  CHECK(fits(graded("highest"), "") == List{"warm"});
}

TEST_CASE("two values may fit a choice of one, and conditions see each of them") {
  const std::string text = findings + "Choice oil is one of seal oil, nut oil.\n  Take seal oil in chill.\n  Take nut oil in age over 50.\n"
                                      "Practice dip.\n  Allowed in oil is seal oil.\nPractice walk.\n  Allowed in oil is not seal oil.\n";
  const Seen both = seen(text, "chill, age 60");
  CHECK(both.weighing.choices[0].fits.size() == 2);
  CHECK(both.weighing.practices[0].verdict == Verdict::allowed);
  CHECK(both.weighing.practices[1].verdict == Verdict::silent);
  CHECK(seen(text, "").weighing.practices[1].verdict == Verdict::allowed);
}

TEST_CASE("a school's reading hears its own sources and what cites no school's source") {
  const std::string text = findings + "Source SB is \"Shore\", 1900, ranked 1.\nSource HB is \"Hill\", 1901, ranked 2.\nSource AB is \"All\", 1902, ranked 3.\n"
                                      "School shore holds SB.\nSchool hill holds HB.\nPractice dip.\n  Indicated in chill [SB 1].\n  Contraindicated in chill [HB 2].\n"
                                      "  Discouraged in fever [AB 3].\n  Allowed in fever [SB 1; HB 4].\n  Otherwise allowed.\n";
  CHECK(seen(text, "chill").first().verdict == Verdict::withheld);
  CHECK(seen(text, "chill", Reading{0}).first().verdict == Verdict::advised);
  CHECK(seen(text, "chill", Reading{1}).first().verdict == Verdict::withheld);
  CHECK(seen(text, "fever", Reading{0}).first().verdict == Verdict::discouraged);
  const Ruleset r = ruleset(text);
  CHECK(in_reading(r, r.sentences[3], Reading{0}));
  CHECK(in_reading(r, r.sentences[3], Reading{1}));
  CHECK(in_reading(r, r.sentences[2], Reading{1}));
  CHECK_FALSE(in_reading(r, r.sentences[0], Reading{1}));
}

TEST_CASE("a broken background fact is found, the first one") {
  const Ruleset r = ruleset(findings + "It cannot be that chill.\nIt cannot be that fever and age under 10.\nPractice dip.\n  Allowed.\nProfile \"x\": age 40, the rest as usual.\n");
  Profile profile = person(r);
  CHECK_FALSE(broken_background(r, profile));
  profile[0]->word = 1;
  profile[2]->number = 9;
  CHECK(broken_background(r, profile) == Index{1});
  profile[1]->word = 1;
  CHECK(broken_background(r, profile) == Index{0});
}

TEST_CASE("claims ask for verdicts of a weighing") {
  const Seen s = seen(findings + "Practice dip.\n  Allowed in fever.\n  Caution in chill: \"Slowly.\"\nClaim \"c\": never dip is allowed in dip is with care.\n", "fever, chill");
  const Profile profile = person(s.r);
  CHECK(holds(s.r, s.r.claims[0].condition, profile, &s.weighing));
  CHECK(holds(s.r, s.r.claims[0].when, profile, &s.weighing));
  CHECK_THROWS_AS(holds(s.r, s.r.claims[0].condition, profile), std::invalid_argument);
}

TEST_CASE("a profile that is incomplete or out of range is no profile to evaluate") {
  const Ruleset r = ruleset(findings + "Practice dip.\n  Allowed.\nProfile \"x\": age 40, the rest as usual.\n");
  Profile profile = person(r);
  profile[0].reset();
  CHECK_THROWS_AS(evaluate(r, profile), std::invalid_argument);
  profile = person(r);
  profile[2]->number = 111;
  CHECK_THROWS_AS(evaluate(r, profile), std::invalid_argument);
  profile[2]->number = Rational(1, 2);
  CHECK_THROWS_AS(evaluate(r, profile), std::invalid_argument);
  profile[2] = Value{Value::Kind::never, 0, {}};
  CHECK_THROWS_AS(evaluate(r, profile), std::invalid_argument);
  profile.pop_back();
  CHECK_THROWS_AS(evaluate(r, profile), std::invalid_argument);
}

TEST_CASE("terms that ask terms twice are worked out once each") {
  std::string text = "Finding fever is yes or no.\nTerm t0 means fever.\n";
  for (int i = 1; i < 240; ++i) text += "Term t" + std::to_string(i) + " means t" + std::to_string(i - 1) + " and not (not t" + std::to_string(i - 1) + ").\n";
  const Ruleset r = ruleset(text + "It cannot be that not t239.\nPractice dip.\n  Allowed in t239.\nProfile \"x\": fever.\n");
  CHECK(evaluate(r, profile_of(r, r.profiles[0])).practices[0].verdict == Verdict::allowed);
  CHECK_FALSE(broken_background(r, profile_of(r, r.profiles[0])));
}

TEST_CASE("the bath-house refutes its own claim about children with a child that is frail") {
  const Seen s = seen(findings + "Finding stiff joints is yes or no.\nFinding weight is a number of kg from 2 to 350.\nFinding height is a number of m from 0.4 to 2.5.\n"
                                 "Measure body mass index is weight / (height * height) in kg/m2.\nTerm frail means age at least 75 or body mass index under 18.5.\n"
                                 "Practice cold plunge.\n  Contraindicated in frail, called frailty ban.\n  Indicated in stiff joints and frail, despite frailty ban.\n  Otherwise withheld.\n",
                      "age 11, stiff joints, weight 30, height 1.45");
  CHECK(s.first().verdict == Verdict::advised);
  CHECK(s.first().defeated == std::vector<Index>{0});
}
