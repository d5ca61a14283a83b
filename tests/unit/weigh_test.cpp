// A ruleset, packed, and what it tells persons of whom all or a part is known.
#include <catch2/catch.hpp>

#include <chrono>

#include "compiler/ship/ship.h"
#include "runtime/inputs.h"
#include "runtime/pack_verify.h"
#include "runtime/weigh.h"
#include "tests/support.h"

using namespace betony;
using betony::testing::ruleset_of;

namespace {

runtime::Pack pack_of(const std::string& source) {
  const auto bytes = runtime::write_pack(ship::pack_of(ruleset_of("Ruleset \"Hill\", edition \"2\".\n" + source), {}, {"test", false}));
  auto read = runtime::read_pack(bytes);
  INFO(read.wrong);
  REQUIRE(read.pack);
  return std::move(*read.pack);
}

runtime::Answers answers(const runtime::Pack& pack, const std::vector<std::pair<std::string, std::string>>& told) {
  const runtime::Names names(pack);
  runtime::Answers out(pack.findings.size());
  for (const auto& [name, text] : told) {
    const runtime::Index f = names.finding(name);
    REQUIRE(f != runtime::no_index);
    const auto reading = runtime::value_of_text(pack, f, text);
    INFO(reading.wrong);
    REQUIRE(reading.value);
    out[f] = reading.value;
  }
  return out;
}

const char* const words[] = {"outside", "referred", "withheld", "discouraged", "advised", "allowed", "silent"};

// "advised with care, withheld": what is possible of the first practice.
std::string told(const runtime::Pack& pack, const std::vector<std::pair<std::string, std::string>>& about) {
  std::string out;
  const auto weighing = runtime::weigh(pack, answers(pack, about));
  for (const auto& t : weighing.practices[0].possible)
    out += (out.empty() ? "" : ", ") + std::string(words[static_cast<int>(t.verdict)]) + (t.with_care ? " with care" : "");
  return out;
}

std::string because(const runtime::Pack& pack, const std::vector<std::pair<std::string, std::string>>& about) {
  std::string out;
  const auto weighing = runtime::weigh(pack, answers(pack, about));
  for (const auto s : weighing.practices[0].because) out += (out.empty() ? "" : " | ") + pack.sentences[s].words;
  return out;
}

const std::string hill =
    "Finding chill is yes or no. Finding frail is yes or no. Finding age is a whole number of years from 0 to 110.\n"
    "Finding cough is a grade of none, dry, wet.\n"
    "Practice moss bed.\n"
    "  Indicated in chill, called warming.\n"
    "  Discouraged in frail, called frailty ban.\n"
    "  Contraindicated in cough is wet.\n"
    "  Caution in age over 70: \"Not alone.\".\n"
    "  Dose 5 to 10 min, twice a day in chill. Dose half in age over 60.\n"
    "  Otherwise allowed.\n";

}  // namespace

TEST_CASE("a person of whom everything is told gets one verdict, and why") {
  const auto pack = pack_of(hill);
  CHECK(told(pack, {{"chill", "yes"}, {"frail", "no"}, {"age", "40"}, {"cough", "none"}}) == "advised");
  CHECK(told(pack, {{"chill", "yes"}, {"frail", "no"}, {"age", "71"}, {"cough", "none"}}) == "advised with care");
  CHECK(told(pack, {{"chill", "yes"}, {"frail", "yes"}, {"age", "71"}, {"cough", "none"}}) == "discouraged");
  CHECK(told(pack, {{"chill", "yes"}, {"frail", "yes"}, {"age", "71"}, {"cough", "wet"}}) == "withheld");
  CHECK(told(pack, {{"chill", "no"}, {"frail", "no"}, {"age", "40"}, {"cough", "dry"}}) == "allowed");
  CHECK(because(pack, {{"chill", "yes"}, {"frail", "no"}, {"age", "71"}, {"cough", "none"}}) ==
        "Indicated in chill, called warming | Caution in age over 70: \"Not alone.\"");
  CHECK(because(pack, {{"chill", "no"}, {"frail", "no"}, {"age", "40"}, {"cough", "dry"}}) == "Otherwise allowed");
}

TEST_CASE("what is open leaves every verdict possible that may come of it, and settles what no answer can change") {
  const auto pack = pack_of(hill);
  CHECK(told(pack, {{"cough", "wet"}}) == "withheld");
  CHECK(told(pack, {{"cough", "none"}, {"frail", "yes"}}) == "discouraged");
  CHECK(told(pack, {{"chill", "yes"}, {"frail", "no"}, {"age", "40"}}) == "withheld, advised");
  CHECK(told(pack, {{"chill", "yes"}, {"frail", "no"}, {"cough", "dry"}}) == "advised, advised with care");
}

TEST_CASE("a dose is told where it is settled, and multiplied once") {
  const auto pack = pack_of(hill);
  const auto dose = [&](const std::string& age) {
    return runtime::dose_words(runtime::weigh(pack, answers(pack, {{"chill", "yes"}, {"frail", "no"}, {"age", age}, {"cough", "none"}})).practices[0].dose);
  };
  CHECK(dose("40") == "5 to 10 min, twice a day");
  CHECK(dose("61") == "2.5 to 5 min, twice a day");
  const auto open = runtime::weigh(pack, answers(pack, {{"chill", "yes"}, {"frail", "no"}, {"cough", "none"}})).practices[0].dose;
  CHECK(open.open);
}

TEST_CASE("values are read as people write them, in any unit that measures the same") {
  const auto pack = pack_of("Finding weight is a number of kg from 2 to 350. Finding day is a whole number of days ago from 0 to 90, or never.\n"
                            "Finding warmth is a number of Cel from 0 to 60 in steps of 0.5.\n"
                            "Practice dip. Indicated in weight over 70 kg and warmth over 30. Contraindicated in day under 3 days ago and time of day under 06:30. Discouraged in date from 1 November to 1 March.\n");
  const runtime::Names names(pack);
  const auto value = [&](const std::string& name, const std::string& text) {
    const auto f = names.finding(name);
    REQUIRE(f != runtime::no_index);
    const auto read = runtime::value_of_text(pack, f, text);
    return read.value ? runtime::value_words(pack.findings[f], *read.value) : "? " + read.wrong;
  };
  CHECK(value("weight", "154 lb") == "69.85322498 kg");
  CHECK(value("Weight ", "70") == "70 kg");
  CHECK(value("weight", "70kg") == "70 kg");
  CHECK(value("weight", "1") == "? 1 kg is out of the range of \"weight\", which goes from 2 kg to 350 kg");
  CHECK(value("weight", "70 cm") == "? \"cm\" is no unit of \"weight\", which is told in kg");
  const std::string longest = "199999999999999999999999999999/2999999999999999999999999999";
  CHECK(value("weight", longest) == longest + " kg");
  CHECK(value("weight", longest + " lb") ==
        "? 9071847399999999999999999999954640763/299999999999999999999999999900000000 kg has too many digits for \"weight\"");
  CHECK(value("warmth", "98.6 degF") == "37 Cel");
  CHECK(value("warmth", "37.2") == "? 37.2 Cel lies between two steps of \"warmth\", which goes in steps of 0.5");
  CHECK(value("day", "never") == "never");
  CHECK(value("day", "2 weeks") == "14 days ago");
  CHECK(value("date", "29 february") == "29 February");
  CHECK(value("date", "30 February") == "? \"30 February\" is no day of the year; write 1 November");
  CHECK(value("time of day", "06:30") == "06:30");
  CHECK(value("time of day", "24:00") == "? \"24:00\" is no time of day; write 06:30");
  CHECK(names.finding("wieght") == runtime::no_index);
  CHECK(pack.findings[names.near_finding("wieght")].name == "weight");
}

TEST_CASE("tallies, what leads, measures and at least so many are weighed as the evaluator weighs them") {
  const auto pack = pack_of(
      "Finding a is yes or no. Finding b is yes or no. Finding c is yes or no. Finding weight is a number of kg from 2 to 350. Finding height is a number of m from 0.5 to 2.5.\n"
      "Measure bulk is weight / (height * height) in kg/m2.\n"
      "Tally hot counts a as 2.5, b as 1, and c as -1.5.\n"
      "Practice p. Indicated in hot at least 2. Contraindicated in bulk at least 30 kg/m2. Discouraged in at least 2 of a, b, c.\n");
  const std::pair<std::string, std::string> tall{"height", "1.75"}, light{"weight", "70"}, heavy{"weight", "91.875"}, not_quite{"weight", "91.874999"};
  CHECK(told(pack, {{"a", "yes"}, {"b", "no"}, {"c", "no"}, tall, light}) == "advised");
  CHECK(told(pack, {{"a", "yes"}, {"b", "no"}, {"c", "yes"}, tall, light}) == "discouraged");
  CHECK(told(pack, {{"a", "no"}, {"b", "yes"}, {"c", "no"}, tall, light}) == "silent");
  CHECK(told(pack, {{"a", "no"}, {"b", "yes"}, {"c", "no"}, tall, heavy}) == "withheld");
  CHECK(told(pack, {{"a", "no"}, {"b", "yes"}, {"c", "no"}, tall, not_quite}) == "silent");
  CHECK(told(pack, {{"a", "no"}, {"b", "yes"}, {"c", "no"}, light}) == "withheld, silent");
}

namespace {

// Each measure is a quotient of long numbers and the tally of the one before it, which counts where that one is past 5.
runtime::Pack chain_of_measures(runtime::Index length) {
  using Op = runtime::Step::Kind;
  const auto digits = [](const std::string& text) { return runtime::Step{Op::number, 0, *runtime::Number::read(text, text.size())}; };
  const auto seven = digits(std::string(4000, '7')), three = digits(std::string(3999, '3') + '1');
  runtime::Pack pack;
  pack.readings.emplace_back();
  pack.measures = {{"m", "", {seven, seven, {Op::multiply}}}, {"n", "", {three, three, {Op::multiply}}}};
  for (runtime::Index i = 0; i < length; ++i) {
    pack.measures.push_back({"k", "", {{Op::measure, 0}, {Op::measure, 1}, {Op::divide}, {Op::tally, i}, {Op::add}}});
    pack.tallies.push_back({"t", {{i == 0 ? 1 : i * 2, 1}}});
    pack.variables.push_back({true, 2 + i, {{5, true}}, 2, i, 1});
  }
  pack.program.inputs = length;
  return pack;
}

}  // namespace

TEST_CASE("a measure is reckoned once, however often tallies are counted again") {
  // 7...7 squared over 3...31 squared is somewhat over 5.4, so each is past 5, and the next gets a point.
  const runtime::Pack pack = chain_of_measures(300);
  REQUIRE(runtime::what_is_wrong(pack) == "");
  const auto begin = std::chrono::steady_clock::now();
  const auto inputs = runtime::inputs_of(pack, runtime::Answers());
  CHECK(inputs == std::vector<runtime::Truth>(300, runtime::Truth::yes));
  CHECK(std::chrono::steady_clock::now() - begin < std::chrono::seconds(6));  // a fraction of one; it was over twenty
}

TEST_CASE("a red flag goes before all else, and whom the ruleset is not about is outside") {
  const auto pack = pack_of("Finding fever is yes or no. Finding age is a whole number of years from 0 to 110.\nApplies to age at least 18.\n"
                            "Refer in fever: \"See a physician today.\".\nPractice dip. Indicated in age under 60. Caution in age over 50: \"Slowly.\".\n");
  CHECK(told(pack, {{"fever", "yes"}, {"age", "30"}}) == "referred");
  CHECK(told(pack, {{"fever", "yes"}, {"age", "17"}}) == "outside");
  CHECK(told(pack, {{"fever", "no"}, {"age", "30"}}) == "advised");
  CHECK(told(pack, {{"age", "30"}}) == "referred, advised");
  const auto weighing = runtime::weigh(pack, answers(pack, {{"fever", "yes"}, {"age", "55"}}));
  REQUIRE(weighing.refers.size() == 1);
  CHECK(pack.sentences[weighing.refers[0]].text == "See a physician today.");
  CHECK(weighing.practices[0].cautions == std::vector<std::string>{"Slowly."});
}
