#include "compiler/boxed.h"

#include "tests/support.h"

using namespace betony;
using namespace betony::testing;

namespace {

const std::string findings =
    "Ruleset \"Reed house\", edition \"1\".\n"
    "Finding fever is yes or no.\nFinding skin is one of sound, chapped, broken, raw.\n"
    "Finding age is a whole number of years from 0 to 99.\nFinding last meal is a whole number of h ago from 0 to 24, or never.\n"
    "Finding height is a whole number of cm from 1 to 300.\nMeasure double is height * 2 in cm.\nTerm hot means fever.\n";

// The boxes of the condition of the last sentence, cells counted from 0: "fever 0..0, age 1..2; …"; "not boxed" where it is not.
std::string boxes(const std::string& condition, bool opposite = false, const std::string& before = "") {
  const Ruleset ruleset = ruleset_of(findings + "Practice soak. " + before + "Indicated in " + condition + ".");
  const Universe universe = cut(ruleset);
  const Sentence& sentence = ruleset.sentences.back();
  Boxing boxing(ruleset, universe);
  Boxes made(boxing.widths());
  made.begin_row();
  const bool is_boxed = opposite ? boxing.add_opposite(made, sentence.when) : boxing.add(made, sentence.when, sentence.unless ? &*sentence.unless : nullptr);
  if (!is_boxed) {
    CHECK(made.size() == 0);
    return "not boxed";
  }
  std::string out;
  for (std::size_t box = 0; box < made.size(); ++box) {
    std::string one;
    for (std::size_t c = 0; c < made.columns(); ++c) {
      if (made.low(box)[c] == 0 && made.high(box)[c] + 1 == made.widths()[c]) continue;
      one += (one.empty() ? "" : ", ") + ruleset.findings[universe.variables[c].dimensions[0].index].name + " " +
             std::to_string(made.low(box)[c]) + ".." + std::to_string(made.high(box)[c]);
    }
    out += (out.empty() ? "" : "; ") + (one.empty() ? "all" : one);
  }
  return out.empty() ? "none" : out;
}

}  // namespace

TEST_CASE("a condition over single findings becomes the boxes whose union it is") {
  CHECK(boxes("fever") == "fever 1..1");
  CHECK(boxes("not fever") == "fever 0..0");
  CHECK(boxes("skin is chapped or raw") == "skin 1..1; skin 3..3");
  CHECK(boxes("skin is not sound") == "skin 1..3");
  CHECK(boxes("age from 20 to 60 and fever") == "fever 1..1, age 1..1");
  CHECK(boxes("age under 20 or age over 60") == "age 0..0; age 2..2");
  CHECK(boxes("age under 20 or fever") == "age 0..0; fever 1..1");
  CHECK(boxes("fever and (age under 20 or skin is raw)") == "fever 1..1, age 0..0; fever 1..1, skin 3..3");
  CHECK(boxes("not (fever and age under 20)") == "fever 0..0; age 1..1");
  CHECK(boxes("not (fever or age under 20)") == "fever 0..0, age 1..1");
  CHECK(boxes("hot and age under 20") == "fever 1..1, age 0..0");
  CHECK(boxes("last meal is never or last meal under 3 h ago") == "last meal 0..0; last meal 2..2");
}

TEST_CASE("what cannot be met has no box, and what everybody meets is one") {
  CHECK(boxes("fever and not fever") == "none");
  CHECK(boxes("age under 20 and age over 60") == "none");
  CHECK(boxes("fever or not fever") == "all");
  CHECK(boxes("age at least 0") == "all");
}

TEST_CASE("unless takes its boxes out, and the opposite of a condition is boxed too") {
  CHECK(boxes("fever unless age under 20") == "fever 1..1, age 1..1");
  CHECK(boxes("fever and age under 20", true) == "fever 0..0; age 1..1");
  CHECK(boxes("fever or age under 20", true) == "fever 0..0, age 1..1");
}

TEST_CASE("measures, lists that are counted and conditions of too many boxes are not boxed") {
  CHECK(boxes("double over 100") == "not boxed");
  CHECK(boxes("height over 100 and double over 300") == "not boxed");
  CHECK(boxes("at least 2 of fever, age under 20, skin is raw") == "not boxed");
  std::string ages, meals;
  for (int i = 0; i < 40; i += 2) ages += (i == 0 ? "" : " or ") + std::to_string(i);
  for (int i = 0; i < 24; i += 2) meals += (i == 0 ? "" : " or ") + std::to_string(i) + " h ago";
  CHECK(boxes("age is " + ages + " and last meal is " + meals).size() > 1000);  // 20 * 12 boxes
  CHECK(boxes("age is " + ages + " and last meal is " + meals + " and skin is sound or broken") == "not boxed");
}
