// What is drawn, as data, on small teachings whose answers are counted by hand.
#include <regex>

#include "compiler/region.h"
#include "compiler/verdict_graph.h"
#include "compiler/view/dose_view.h"
#include "compiler/view/map_view.h"
#include "compiler/view/overview.h"
#include "tests/rulesets/worlds.h"
#include "tests/support.h"

namespace betony::view {
namespace {

using testing::ruleset_of;
using tree::Verdict;

constexpr const char* baths =
    "Ruleset \"Baths\", edition \"1\".\n"
    "Applies to age from 10 to 100.\n"
    "Finding age is a whole number of years from 0 to 110.\n"
    "Finding water is a number of Cel from 2 to 44.\n"
    "Finding fever is yes or no.\n"
    "Finding skin is one of sound, chapped, broken.\n"
    "Refer in fever: \"Ask licensed care today.\".\n"
    "Practice cold plunge.\n"
    "  Indicated in age from 18 to 74 years and water from 8 to 15 Cel.\n"
    "  Contraindicated in water under 6 Cel, called ice ban.\n"
    "  Contraindicated in age at least 75 years, called frailty ban.\n"
    "  Discouraged in skin is chapped.\n"
    "  Dose 2 to 4 min, once a day.\n"
    "  Dose 1 to 3 min in age over 60 years.\n"
    "  Dose 5 min in age over 70 years and skin is broken.\n"
    "  Otherwise allowed.\n"
    "Practice warm tub.\n"
    "  Follows cold plunge.\n"
    "  Otherwise allowed.\n"
    "Group waters holds cold plunge, warm tub.\n";

AxisName axis(const Ruleset& ruleset, const std::string& name) { return named_axis(ruleset, name).value(); }

// "withheld (ice ban): water under 6 Cel" of each region, in their order.
std::vector<std::string> told(const Ruleset& ruleset, const MapView& map) {
  std::vector<std::string> out;
  for (const auto& region : map.regions) {
    std::string line;
    for (const auto& part : region.parts) {
      line += line.empty() ? "" : ", ";
      line += verdict_word(part.verdict);
      if (region.parts.size() > 1) line += " " + std::to_string(static_cast<int>(part.share * 300 + 0.5)) + "/300";
      for (const Index s : part.sentences) line += ruleset.sentences[s].label.empty() ? "" : " (" + ruleset.sentences[s].label + ")";
    }
    line += ":";
    for (const auto& condition : region.conditions) line += " [" + condition + "]";
    out.push_back(line);
  }
  return out;
}

std::vector<std::string> limits(const Ruleset& ruleset, const Axis& axis) {
  std::vector<std::string> out;
  for (std::size_t p = 0; p < axis.limits.size(); ++p)
    for (const auto& side : axis.limits[p].sides) {
      const std::string who = side.sentence == no_index ? "Applies to" : ruleset.sentences[side.sentence].label;
      out.push_back(limit_words(ruleset, axis, p, side) + (who.empty() ? "" : ", " + who));
    }
  return out;
}

TEST_CASE("a map has its regions between the limits that sentences draw, each limit on the side that it takes in") {
  const Ruleset ruleset = ruleset_of(baths);
  Profile held(ruleset.findings.size());
  held[axis(ruleset, "fever").index] = Value{Value::Kind::word, 0, 0};
  held[axis(ruleset, "skin").index] = Value{Value::Kind::word, 0, 0};
  const MapView map = map_view(ruleset, 0, {}, axis(ruleset, "Age"), axis(ruleset, "water"), &held);
  CHECK(map.held == std::vector<std::string>{"not fever", "skin sound"});
  CHECK(map.open.empty());
  CHECK(told(ruleset, map) ==
        std::vector<std::string>{"outside: [age at most 9 years]",
                                 "allowed: [age from 10 to 17 years and water at least 6 Cel] [age from 18 to 74 years and (water at least 6 Cel "
                                 "and water under 8 Cel)] [age from 18 to 74 years and water over 15 Cel]",
                                 "withheld (frailty ban): [age from 75 to 100 years]", "outside: [age at least 101 years]",
                                 "advised: [age from 18 to 74 years and water from 8 to 15 Cel]",
                                 "withheld (ice ban): [age from 10 to 74 years and water under 6 Cel]"});
  CHECK(limits(ruleset, map.across) == std::vector<std::string>{"from 10 years, Applies to", "from 18 years", "up to 74 years",
                                                                "from 75 years, frailty ban", "up to 100 years, Applies to"});
  CHECK(limits(ruleset, map.up) == std::vector<std::string>{"under 6 Cel, ice ban", "from 8 Cel", "up to 15 Cel"});
}

TEST_CASE("a map for everybody leaves out whom a red flag refers, and holds the others with their shares") {
  const Ruleset ruleset = ruleset_of(baths);
  const MapView map = map_view(ruleset, 0, {}, axis(ruleset, "age"), axis(ruleset, "water"));
  CHECK(map.leaves_out);
  CHECK(map.open == std::vector<std::string>{"fever", "skin"});
  const auto all = told(ruleset, map);
  CHECK(std::find(all.begin(), all.end(), "discouraged 100/300, advised 200/300: [age from 18 to 74 years and water from 8 to 15 Cel]") != all.end());
  // Where the flag is one of the two, nobody is left out.
  const MapView by_flag = map_view(ruleset, 0, {}, axis(ruleset, "age"), axis(ruleset, "fever"));
  CHECK_FALSE(by_flag.leaves_out);
  CHECK(by_flag.at(1, 1).parts[0].verdict == Verdict::referred);
}

TEST_CASE("what cannot be mapped is told in words") {
  const Ruleset ruleset = ruleset_of(baths);
  const auto why = [&](const auto& draw) -> std::string {
    try {
      draw();
    } catch (const NothingToDraw& said) {
      return said.what();
    }
    return "";
  };
  CHECK(why([&] { map_view(ruleset, 0, {}, axis(ruleset, "age"), axis(ruleset, "age")); }) == "a map is of two different findings");
  CHECK(why([&] { map_view(ruleset, 1, {}, axis(ruleset, "age"), axis(ruleset, "water")); }) ==
        "no sentence of warm tub asks for water; they ask for: age, fever");
  CHECK(why([&] { dose_view(ruleset, 1, {}, axis(ruleset, "age")); }) == "no sentence says how much or how often of warm tub");
  Profile nobody(ruleset.findings.size());
  nobody[axis(ruleset, "fever").index] = Value{Value::Kind::word, 1, 0};
  CHECK(why([&] { dose_view(ruleset, 0, {}, axis(ruleset, "age"), &nobody); }) ==
        "cold plunge is advised or allowed for nobody here, so that nobody has a dose of it");
  CHECK_FALSE(named_axis(ruleset, "depth").has_value());
}

TEST_CASE("doses have what is said to whom, what clashes, and those who take nothing") {
  const Ruleset ruleset = ruleset_of(baths);
  const DoseView doses = dose_view(ruleset, 0, {}, axis(ruleset, "age"));
  REQUIRE(doses.panels.size() == 2);
  CHECK(doses.panels[0].title() == "how much, in min");
  CHECK(doses.panels[1].title() == "how often");
  std::vector<std::string> all;
  for (std::size_t p = 0; p < doses.across.parts.size(); ++p) {
    std::string line = extents_words(ruleset, doses.across.dimension, doses.across.extents(p, p)) + ":";
    for (const auto& outcome : doses.panels[0].outcomes[p])
      line += " " + std::to_string(static_cast<int>(outcome.share * 100 + 0.5)) + " " +
              (!outcome.is_said ? "nothing" : outcome.clash ? "clash over " + doses.panels[0].words(outcome.interval) : doses.panels[0].words(outcome.interval));
    all.push_back(line);
  }
  // Of sound and broken skin alike, since chapped skin takes none.
  CHECK(all == std::vector<std::string>{"age at most 9 years:", "age from 10 to 60 years: 100 2 to 4 min", "age from 61 to 70 years: 100 1 to 3 min",
                                        "age from 71 to 74 years: 50 1 to 3 min 50 clash over 1 to 5 min", "age at least 75 years:"});
}

TEST_CASE("of sentences that multiply a dose the least does, and it is named with those that say the amount") {
  const Ruleset ruleset = ruleset_of(
      "Ruleset \"Steam\", edition \"1\".\n"
      "Finding age is a whole number of years from 0 to 110.\n"
      "Practice steam.\n"
      "  Dose 8 to 20 min, called plain.\n"
      "  Dose double in age under 10 years, called young.\n"
      "  Dose half in age over 40 years, called grey.\n"
      "  Dose a quarter in age over 60 years, called old.\n"
      "  Otherwise allowed.\n");
  const DoseView doses = dose_view(ruleset, 0, {}, axis(ruleset, "age"));
  REQUIRE(doses.panels.size() == 1);
  std::vector<std::string> all;
  for (std::size_t p = 0; p < doses.across.parts.size(); ++p) {
    REQUIRE(doses.panels[0].outcomes[p].size() == 1);
    const auto& outcome = doses.panels[0].outcomes[p][0];
    std::string line = extents_words(ruleset, doses.across.dimension, doses.across.extents(p, p)) + ": " + doses.panels[0].words(outcome.interval);
    for (const Index s : outcome.from) line += " " + ruleset.sentences[s].label;
    all.push_back(line);
  }
  CHECK(all == std::vector<std::string>{"age at most 9 years: 16 to 40 min plain young", "age from 10 to 40 years: 8 to 20 min plain",
                                        "age from 41 to 60 years: 4 to 10 min plain grey", "age at least 61 years: 2 to 5 min plain old"});
}

TEST_CASE("the overview has groups, problems, shares of verdicts and what comes before what") {
  const Ruleset ruleset = ruleset_of(baths);
  const Overview seen = overview(ruleset, check(ruleset));
  REQUIRE(seen.groups.size() == 1);
  CHECK(seen.groups[0].name == "waters");
  REQUIRE(seen.groups[0].rows.size() == 2);
  const Overview::Row& plunge = seen.groups[0].rows[0];
  CHECK(plunge.name == "cold plunge");
  CHECK(plunge.errors == 1);                // two amounts at once
  double all = 0;
  for (const auto& part : plunge.parts) all += part.share;
  CHECK(all == Approx(1));
  REQUIRE(seen.relations.size() == 1);
  CHECK(seen.relations[0].kind == Overview::Relation::Kind::before);
  CHECK((seen.relations[0].from == 0 && seen.relations[0].to == 1));
}

TEST_CASE("every test that a header names is there") {
  std::size_t named = 0;
  const std::regex test(R"(tests/[a-z_/]+\.(cpp|sh|h))");
  for (const char* room : {"grammar", "compiler", "runtime", "viz"})
    for (const auto& entry : std::filesystem::recursive_directory_iterator(worlds::path_of(room))) {
      if (entry.path().extension() != ".h") continue;
      const std::string text = worlds::bytes_of(entry.path()).value_or("");
      for (auto at = std::sregex_iterator(text.begin(), text.end(), test); at != std::sregex_iterator(); ++at, ++named) {
        INFO(entry.path() << " names " << at->str());
        CHECK(std::filesystem::exists(worlds::path_of(at->str())));
      }
    }
  CHECK(named > 40);
}

}  // namespace
}  // namespace betony::view
