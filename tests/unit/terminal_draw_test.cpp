// betony draw at the terminal: the words of maps and doses, and what is told where nothing can be drawn. What is written is tested in
// tests/drawing/.
#include "tests/unit/terminal_run.h"

namespace betony {
namespace {

using testing::Answer;
using testing::Folder;
using testing::run;

constexpr const char* baths =
    "Ruleset \"Baths\", edition \"1\".\n"
    "Finding age is a whole number of years from 10 to 89.\n"
    "Finding water is a number of Cel from 2 to 44.\n"
    "Finding skin is one of sound, broken.\n"
    "Practice cold plunge.\n"
    "  Indicated in water at most 15 Cel.\n"
    "  Contraindicated in age at least 70 years, called frailty ban.\n"
    "  Discouraged in skin is broken and water over 15 Cel.\n"
    "  Dose 2 to 4 min.\n"
    "  Dose 5 min in age over 50 years and skin is broken.\n"
    "  Dose 1 min in age over 60 years.\n"
    "  Otherwise allowed.\n"
    "Profile \"Ada\": age 34, skin broken.\n";

TEST_CASE("a map in words names regions, shares, sentences and what stays open") {
  const Folder folder;
  const std::string file = folder.put("baths.bty", baths);
  const Answer answer = run({"draw", file, "map", "cold plunge", "age", "Water"});
  CHECK(answer.status == 0);
  CHECK(answer.err.empty());
  CHECK(answer.out == R"(Cold plunge
its verdicts, by age and water
Of every kind: skin.

    of several verdicts (51.8 in 100)
  ]-[ discouraged 50.0 in 100: line 8
  { } allowed 50.0 in 100: line 12
      age at most 69 years and water over 15 Cel

]=[ withheld (25.0 in 100): frailty ban, line 7
      age at least 70 years

{#} advised (23.2 in 100): line 6
      age at most 69 years and water at most 15 Cel

________________________________________________________________________________
Shares are of all these persons; those of several verdicts, of their own field.
)");
  const Answer held = run({"draw", file, "map", "cold plunge", "age", "water", "--for", "ada"});
  CHECK(held.out == R"(Cold plunge
its verdicts, by age and water
Held: skin broken.

]-[ discouraged (51.8 in 100): line 8
      age at most 69 years and water over 15 Cel

]=[ withheld (25.0 in 100): frailty ban, line 7
      age at least 70 years

{#} advised (23.2 in 100): line 6
      age at most 69 years and water at most 15 Cel

________________________________________________________________________________
Shares are of all who answer so; those of several verdicts, of their own field.
)");
}

TEST_CASE("doses in words name what is said to how many, and what has nothing in common") {
  const Folder folder;
  const Answer answer = run({"draw", folder.put("baths.bty", baths), "doses", "cold plunge", "age"});
  CHECK(answer.status == 0);
  CHECK(answer.out == R"(Cold plunge
its dose, by age
Of every kind: water and skin.

How much, in min
  age at most 50 years
      2 to 4 min: line 9
  age from 51 to 60 years
      2 to 4 min (76.4 in 100): line 9
      5 min (23.6 in 100): line 10
  age from 61 to 69 years
      1 min (76.4 in 100): line 11
      >< nothing in common (23.6 in 100): line 10; line 11
  age at least 70 years
      nobody takes it

________________________________________________________________________________
Of those who take it: for whom it is advised or allowed, with care or without.
)");
}

TEST_CASE("what cannot be drawn is told in one line, with what there is instead") {
  const Folder folder;
  const std::string file = folder.put("baths.bty", baths);
  const auto told = [&](std::vector<std::string> words) {
    words.insert(words.begin(), {"draw", file});
    const Answer answer = run(words);
    CHECK(answer.status != 0);
    CHECK(answer.out.empty());
    std::string line = answer.err.substr(0, answer.err.rfind("betony draw --help"));
    for (std::size_t at; (at = line.find('\n')) != std::string::npos;) line.replace(at, 1, at + 1 == line.size() ? "" : " ");
    return line;
  };
  CHECK(told({"map", "cold plunge", "age", "age"}) == "betony draw: a map is of two different findings.");
  CHECK(told({"map", "cold plunge", "age", "depth"}) == "betony draw: no finding or measure is called \"depth\".");
  CHECK(told({"map", "cold plunge", "age"}) ==
        "betony draw: draw map takes a practice and two findings: betony draw FILE map \"warm tub\" age \"water warmth\".");
  CHECK(told({"doses", "cold plunge"}) == "betony draw: draw doses takes a practice and a finding: betony draw FILE doses \"warm tub\" age.");
  CHECK(told({"doses", "warm tub", "age"}) == "betony draw: no practice is called \"warm tub\".");
  CHECK(told({"map", "cold plunge", "age", "water", "-o", folder.at("one.dot")}) ==
        "betony draw: only a graph can be written as DOT; -o names a file that ends in .svg, .png or .pdf.");
  CHECK(told({"map", "cold plunge", "age", "water", "--for", "Bea"}) ==
        "betony draw: no profile is called \"Bea\"; --for takes the title of a Profile sentence.");
  CHECK(told({"tree", "cold plunge"}).find("betony draw: \"tree\" is nothing that can be drawn; there are: graph PRACTICE") == 0);
}

}  // namespace
}  // namespace betony
