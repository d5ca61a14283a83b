#include "compiler/region.h"
#include "compiler/verdict_graph.h"
#include "compiler/witness.h"
#include "tests/support.h"

using namespace betony;
using namespace betony::testing;

namespace {

// Everything needed to look at one practice.
struct Looking {
  Ruleset ruleset;
  Universe universe;
  Meaning meaning;
  People people;
  Space space;
  explicit Looking(const std::string& source, Index practice = 0)
      : ruleset(ruleset_of(source)), universe(cut(ruleset)), meaning(ruleset, universe),
        people(meaning, Scoping(ruleset).everything().scope()),
        space(meaning, people, asked_by(meaning, practice, {Reading{}}), {}) {}
  Graph::Node fires(Index sentence) { return space.of(meaning.fires(sentence, {})); }
  std::vector<std::string> words(Index sentence) {
    return region_words(space, space.graph().both(fires(sentence), space.looked_at({})), space.looked_at({})).boxes;
  }
};

const std::string start = "Ruleset \"T\", edition \"1\".\n";

}  // namespace

TEST_CASE("a practice's decision graph asks in order, merges equal answers and takes in the background") {
  Looking at(start +
             "Finding fever is yes or no. Finding chill is yes or no. Finding age is a whole number of years from 0 to 99.\n"
             "It cannot be that fever and chill.\nRefer in fever and age under 2: \"Seek licensed care.\"\n"
             "Practice soak. Indicated in age from 18 to 60. Contraindicated in fever or chill. Caution in age over 50: \"Slowly.\" Otherwise allowed.");
  const Graph::Node graph = verdict_graph(at.space, 0, {});
  CHECK(verify(at.space.graph(), graph).empty());
  CHECK(print_verdict_graph(at.space, graph) ==
        "0: age ? 0 -> 1, 1 -> 2, 2 -> 3, 3 -> 4, 4 -> 5\n"
        "1: fever ? 0 -> 6, 1 -> referred\n"
        "2: fever ? 0 -> 6, 1 -> withheld\n"
        "3: fever ? 0 -> 7, 1 -> withheld\n"
        "4: fever ? 0 -> 8, 1 -> withheld\n"
        "5: fever ? 0 -> 9, 1 -> withheld\n"
        "6: chill ? 0 -> allowed, 1 -> withheld\n"
        "7: chill ? 0 -> advised, 1 -> withheld\n"
        "8: chill ? 0 -> advised with care, 1 -> withheld\n"
        "9: chill ? 0 -> allowed with care, 1 -> withheld\n");
}

TEST_CASE("shares are exact over those who are looked at, and what has nothing to do with them divides out") {
  Looking at(start +
             "Finding a is yes or no. Finding b is yes or no. Finding c is yes or no. Finding d is yes or no.\n"
             "It cannot be that a and b. It cannot be that c and d.\nPractice p. Indicated in a. Otherwise allowed.");
  CHECK(at.space.order().size() == 2);  // c and d are not asked
  const Share share = at.space.share(at.space.graph().both(at.fires(0), at.space.looked_at({})), at.space.looked_at({}));
  CHECK(share.exact);
  CHECK(share.low == Rational(1, 3));
}

TEST_CASE("a tally's sum, a leading constitution and a list by number come out exact") {
  Looking at(start +
             "Finding signs are any of pale, warm, slow, quick.\n"
             "Tally still counts pale as 2, and slow as 1. Tally moving counts warm as 1, and quick as 2.\n"
             "Leading make is the most of still, moving by at least 2, else even.\n"
             "Practice p. Indicated in make is still. Indicated in make is even. Indicated in at least 3 of pale, warm, slow, quick.\n"
             "Indicated in still over 1 and moving under 1. Otherwise allowed.");
  const auto share = [&](Index s) { return at.space.share(at.fires(s), Graph::yes).low; };
  CHECK(share(0) == Rational(3, 16));  // 2-0, 3-0, 3-1 of sixteen
  CHECK(share(1) == Rational(5, 8));
  CHECK(share(2) == Rational(5, 16));
  CHECK(share(3) == Rational(1, 8));
}

TEST_CASE("regions are told as the language tells conditions") {
  Looking at(start +
             "Finding skin is one of sound, chapped, raw. Finding pain is a grade of none, mild, strong, fierce.\n"
             "Finding age is a whole number of years from 0 to 99. Finding warmth is a number of Cel from 30 to 45.\n"
             "Finding weight is a number of kg from 2 to 350 in steps of 0.1. Finding meal is a number of h ago from 0 to 48, or never.\n"
             "Finding signs are any of cough, thirst.\n"
             "Practice p. Indicated in skin is not raw. Indicated in pain at least strong and cough. Indicated in age under 18 or age over 60.\n"
             "Indicated in warmth over 38 and warmth under 40. Indicated in weight under 40 and not thirst. Indicated in meal is never.\n"
             "Indicated in meal under 1 h ago. Indicated in date from 1 November to 30 April. Indicated in pain from mild to strong.\n"
             "Indicated in weight at least 40, age from 18 to 60, and skin is raw. Otherwise allowed.");
  const auto one = [&](Index s) { return at.words(s).at(0); };
  CHECK(one(0) == "skin is not raw");
  CHECK(one(1) == "pain at least strong and cough");
  CHECK(one(2) == "(age at most 17 years or age at least 61 years)");
  CHECK(one(3) == "warmth over 38 Cel and under 40 Cel");
  CHECK(one(4) == "weight under 40 kg and not thirst");
  CHECK(one(5) == "meal is never");
  CHECK(one(6) == "meal under 1 h ago");
  CHECK(one(7) == "date from 1 November to 30 April");
  CHECK(one(8) == "pain from mild to strong");
  CHECK(one(9) == "skin is raw, age from 18 to 60 years, and weight at least 40 kg");
}

TEST_CASE("findings that a measure binds are told by the sides that matter, and numbers that nobody has are told along") {
  Looking at(start +
             "Finding air is a whole number from 0 to 9. Finding sun is a grade of none, part, full.\n"
             "Tally sunny counts sun is part as 2, and sun is full as 4. Measure felt is air + sunny.\n"
             "Practice p. Indicated in felt at most 1 or felt at least 12. Indicated in felt is 5 or 6 or 7. Indicated in sun is full.\n"
             "Indicated in felt at least 5 and sun is none. Indicated in (felt under 2 and air is 0) or (felt is 13 and sun is full). Otherwise allowed.");
  CHECK(at.words(0) == std::vector<std::string>{"(felt at most 1 or felt at least 12)"});
  CHECK(at.words(1) == std::vector<std::string>{"felt from 5 to 7"});
  CHECK(at.words(2) == std::vector<std::string>{"sun is full"});
  CHECK(at.words(3) == std::vector<std::string>{"sun is none and felt at least 5"});
  CHECK(at.words(4) == std::vector<std::string>{"((air is 0 and sun is none) or felt at least 13)"});
}

TEST_CASE("a witness leaves a bound finding as it usually is where only the other matters") {
  Looking at(start +
             "Finding air is a whole number from 0 to 9, usually 2. Finding wind is a whole number from 0 to 9, usually 7.\n"
             "Measure felt is air + wind. Practice p. Indicated in air at least 8. Indicated in felt under 5. Discouraged in wind over 8 or wind under 7.\n"
             "Otherwise allowed.");
  const BoundFindings bound(at.ruleset);
  const UsualAnswers usual(Facts(at.ruleset, bound), bound, {Reading{}}, {});
  Witnesses witnesses(at.meaning, usual);
  const std::optional<Profile> person = witnesses.find(at.space, at.fires(0), {});
  REQUIRE(person);
  CHECK((*person)[0]->number >= 8);
  CHECK((*person)[1]->number == 7);
}

TEST_CASE("a witness keeps to the usual, to round numbers, and to what the background allows") {
  Looking at(start +
             "Finding age is a whole number of years from 0 to 99. Finding skin is one of sound, raw, usually sound.\n"
             "Finding fever is yes or no. Finding chill is yes or no. Finding ache is yes or no, usually yes.\n"
             "It cannot be that not chill and not fever. Practice p. Indicated in age from 21 to 60 and skin is raw. Otherwise allowed.");
  const BoundFindings bound(at.ruleset);
  const UsualAnswers usual(Facts(at.ruleset, bound), bound, {Reading{}}, {});
  Witnesses witnesses(at.meaning, usual);
  const std::optional<Profile> person = witnesses.find(at.space, at.fires(0), {});
  REQUIRE(person);
  CHECK((*person)[0]->number == 40);
  CHECK((*person)[1]->word == 1);
  CHECK((*person)[4]->word == 1);
  CHECK_FALSE(broken_background(at.ruleset, *person));
  CHECK(fires(at.ruleset, at.ruleset.sentences[0], *person));
}
