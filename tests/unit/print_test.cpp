#include <catch2/catch.hpp>

#include "grammar/grammar.h"

namespace {

using namespace betony;

std::string printed(const std::string& text) {
  const auto out = read_source({"test.bty", text}, [](const std::string&) { return std::optional<std::string>(); });
  std::string told;
  for (const Message& m : out.messages) told += m.matter + ": " + m.message + "\n";
  INFO(text << told);
  REQUIRE(out);
  return print(*out.value);
}

const std::string findings =
    "Finding age is a whole number of years from 0 to 110. Finding chill is yes or no. Finding frail is yes or no. "
    "Finding skin is one of sound, chapped, broken. Practices humming, moss bed. ";

std::string part(const std::string& text) { return printed(findings + text).substr(printed(findings).size()); }

}  // namespace

TEST_CASE("a tree prints a sentence or a part of one on each line") {
  CHECK(part("Practice moss bed. Contraindicated in chill and (age under 12 years or skin is not sound or chapped), unless frail, "
             "called ban, for \"rest\": \"Not now.\" [DB 1.2; HL]. Source DB is \"Day book\", 1902, ranked 1. Source HL is \"L\", 1927.") ==
        "practice moss bed\n"
        "contraindicated\n"
        "  in\n"
        "    all\n"
        "      chill\n"
        "      any\n"
        "        age under 12 years\n"
        "        skin is not: sound | chapped\n"
        "  unless\n"
        "    frail\n"
        "  for \"rest\"\n"
        "  called \"ban\"\n"
        "  text \"Not now.\"\n"
        "  cited DB \"1.2\"\n"
        "  cited HL \"\"\n"
        "source DB \"Day book\" 1902 rank 1\n"
        "source HL \"L\" 1927\n");
}

TEST_CASE("declarations print their names, types and parts") {
  CHECK(printed("Ruleset \"A \"\"b\"\"\", edition \"1\". Finding rest (also nap, doze) is a number of h ago from 0 to 24 in steps of 0.5, "
                "or never, usually 3. Measure double is -rest * 2 + 1 h in h. Unit palm is 30 g.") ==
        "ruleset \"A \\\"b\\\"\" edition \"1\"\n"
        "finding rest\n"
        "  also nap\n"
        "  also doze\n"
        "  number h ago from 0 to 24 by 0.5 or never\n"
        "  usually 3\n"
        "measure double\n"
        "  in h\n"
        "  sum\n"
        "    product\n"
        "      minus\n"
        "        rest\n"
        "      2\n"
        "    1 h\n"
        "unit palm is 30 g\n");
}

TEST_CASE("sources that differ in layout, brackets or wording alone print the same") {
  CHECK(part("Practice moss bed. Indicated in chill, frail, and age over 3.") ==
        part("-- bed\nPRACTICE moss bed.\n\nindicated\n  when (chill) and frail and (age over 3)."));
}

TEST_CASE("sources that say something else print otherwise") {
  CHECK(part("Practice moss bed. Indicated in chill.") != part("Practice moss bed. Allowed in chill."));
  CHECK(part("Practice moss bed. Indicated in age over 3.") != part("Practice moss bed. Indicated in age at least 3."));
  CHECK(part("Practice moss bed. Caution: \"a  b\".") != part("Practice moss bed. Caution: \"a b\"."));
}
