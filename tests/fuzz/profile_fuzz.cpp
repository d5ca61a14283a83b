// tests/fuzz/profile_fuzz.cpp: the fuzz target for what is told of one person in JSON.
//
// The bytes are a profile, told to a small pack with findings of every kind. Whatever they are:
//
//   - they are taken, or it is said in words why not
//   - whoever was told is weighed, in every reading, with a next question that is open and with the changes of every verdict
//   - the profile that is kept of it, told again, is the same
//   - whether they are one person or a table is the same for a beginning that says so and for the whole, and nothing is lost in
//     finding out
//
// Every second change is made to a member of the object, so that most of what is tried stays JSON.
#include <cmath>
#include <cstdint>
#include <nlohmann/json.hpp>
#include <random>
#include <sstream>
#include <string>

#include "compiler/ship/ship.h"
#include "tests/fuzz/require.h"
#include "viz/terminal/profiles.h"
#include "viz/terminal/telling.h"
#include "viz/terminal/verb.h"
#include "viz/terminal/weigh_page.h"

extern "C" std::size_t LLVMFuzzerMutate(std::uint8_t* data, std::size_t size, std::size_t most);

namespace betony::fuzz {
namespace {

using namespace betony::terminal;

const char* const source = R"(
Ruleset "Hill", edition "1".
Source MB is "Mill book", 1911. Source RB is "River book", 1923.
School mill holds MB. School river holds RB.
Finding fever is yes or no.
Finding cough is a grade of none, very mild, wet, usually none.
Finding skin is one of sound, chapped, no.
Finding complaints are any of cold feet, poor sleep, sour stomach.
Finding age is a whole number of years from 0 to 110.
Finding weight (also heft) is a number of kg from 2 to 350 in steps of 0.1, usually 70.
Finding height is a number of m from 0.4 to 2.5.
Finding warmth is a number of Cel from 30 to 45.
Finding last meal is a number of h ago from 0 to 24 in steps of 0.25, or never.
Measure build is weight / (height * height) in kg/m2.
Tally frailty counts poor sleep as 2, and age over 75 as 1.
It cannot be that cold feet and fever.
Applies to age from 3 to 100.
Refer in fever and warmth over 39.5 Cel: "See a physician." [MB 1].
Choice oil is any of seal oil, nut oil.
  Take nut oil in skin is sound [MB 2]. Otherwise seal oil.
Practice swim.
  Indicated in cough is none and build under 25 [MB 3].
  Contraindicated in last meal under 1 h ago or frailty at least 2, called ban [RB 1].
  Allowed in cold feet, despite ban [MB 4].
  Caution in age over 60: "Slowly." [MB 5].
  Dose 5 to 10 min, twice a day. Dose half in age over 50.
  Uses oil.
Practice walk.
  Indicated in date from 1 November to 28 February and time of day from 06:30 to 09:00 [RB 2].
  Discouraged in warmth over 38 Cel or skin is chapped [RB 3].
  Otherwise allowed.
)";

runtime::Pack small_pack() {
  const auto read = read_ruleset({"hill.bty", source}, [](const std::string&) { return std::nullopt; });
  for (const Message& message : read.messages) std::fprintf(stderr, "%s: %s\n", message.matter.c_str(), message.message.c_str());
  require(read.value.has_value(), "the small ruleset is read");
  return ship::pack_of(*read.value, {}, {"fuzz", false});
}

std::optional<runtime::Answers> told(const runtime::Pack& pack, const runtime::Names& names, std::string_view text) {
  Telling telling(pack, names);
  try {
    tell_profile(text, "guest.json", telling);
  } catch (const Misuse& misuse) {
    require(*misuse.what() != '\0', "it is said why a profile cannot be taken");
    return std::nullopt;
  }
  return telling.answers();
}

// Of a sound pack every change can be told, and then makes the verdict that it names.
void check_changes(const Weighed& weighed) {
  for (std::size_t p = 0; p < weighed.changes.size(); ++p) {
    if (!weighed.changes[p]) continue;
    runtime::Answers then = weighed.answers;
    for (const auto& [f, value] : weighed.changes[p]->findings) {
      const auto read = runtime::value_of_text(weighed.pack, f, runtime::value_words(weighed.pack.findings[f], value));
      require(read.value == value, "what would be told otherwise can be told");
      then[f] = value;
    }
    const runtime::PracticeTold practice = runtime::weigh(weighed.pack, then, weighed.reading).practices[p];
    require(practice.verdict_settled() && practice.possible[0].verdict == weighed.changes[p]->verdict, "a change makes the verdict that it names");
  }
}

void check_person(const runtime::Pack& pack, const runtime::Names& names, const runtime::Answers& answers) {
  for (runtime::Index reading = 0; reading < pack.readings.size(); ++reading) {
    const Weighed weighed(pack, answers, reading);
    if (weighed.next) require(!answers[weighed.next->finding], "what is asked is open");
    for (const auto& practice : weighed.weighing.practices) require(!practice.possible.empty(), "some verdict is possible");
    check_changes(weighed);
    require(weigh_json(weighed, true).size() > 2 && !told_page(weighed, {}).empty(), "what is told has words");
  }
  const auto again = told(pack, names, profile_json(pack, answers));
  require(again && *again == answers, "a profile that was kept is told again as it was");
}

std::string read_on(Profiles& profiles) {
  if (profiles.kind() == ProfileKind::one) return profiles.person();
  std::string out;
  for (std::string_view piece = profiles.next(); !piece.empty(); piece = profiles.next()) out += piece;
  return out;
}

void check_kind(const std::string& text) {
  const auto kind = kind_by_text(text, true);
  require(kind.has_value(), "it is known what a whole text is");
  for (std::size_t size = 3; size < text.size(); size = size * 2 + 1) {
    const auto early = kind_by_text(std::string_view(text).substr(0, size), false);
    require(!early || *early == *kind, "what a beginning says, the whole says");
  }
  (void)kind_by_name(text);
  if (text.size() % 16 != 0) return;    // its pieces of 64 KB cost more than all the rest
  std::istringstream in(text);
  Profiles profiles("-", in, std::nullopt, false);
  require(profiles.kind() == *kind && read_on(profiles) == text, "nothing is lost in finding out what it is");
}

// ---------------------------------------------------------------- changes

using Json = nlohmann::ordered_json;

template <class Item, std::size_t count>
const Item& one_of(const Item (&items)[count], std::mt19937& dice) {
  return items[dice() % count];
}

Json some_value(std::mt19937& dice) {
  static const char* const texts[] = {"yes", "no", "none", "very mild", "VERY  mild", "wet", "sound", "chapped", "never",
                                      "1 November", "29 February", "06:30", "23:59"};
  static const char* const numbers[] = {"0", "1", "3", "45.5", "70", "1.7", "36.6", "38", "41", "0.25", "1/3", "110", "350", "97.7", "154",
                                        "1/7000000000000000000000000000", "15333333333333333333333333333/2999999999999999999999999999",
                                        "1.60000000000000000000000000000000000000000000000000001"};
  static const char* const units[] = {"", " kg", " lb", " g", " m", " cm", " ft", " Cel", " degF", " K", " h", " h ago", " min", " years"};
  switch (dice() % 5) {
    case 0: return dice() % 2 == 0;
    case 1: return static_cast<int>(dice() % 120);
    case 2: return std::ldexp(static_cast<double>(dice()), -static_cast<int>(dice() % 300));
    case 3: return one_of(texts, dice);
    default: return std::string(one_of(numbers, dice)) + one_of(units, dice);
  }
}

// Nothing where it is no object.
std::string with_another_member(std::string_view text, std::mt19937& dice) {
  static const char* const names[] = {"fever", "cough", "skin", "cold feet", "poor sleep", "sour stomach", "age", "weight", "heft", "height",
                                      "warmth", "last meal", "date", "time of day", "Weight"};
  Json json = Json::parse(text, nullptr, false);
  if (!json.is_object()) return {};
  if (json.empty() || dice() % 4 != 0) {
    json[one_of(names, dice)] = some_value(dice);
  } else {
    auto at = json.begin();
    std::advance(at, dice() % json.size());
    if (dice() % 2 == 0) json.erase(at);
    else at.value() = some_value(dice);
  }
  return json.dump(-1, ' ', false, Json::error_handler_t::replace);
}

}  // namespace
}  // namespace betony::fuzz

extern "C" std::size_t LLVMFuzzerCustomMutator(std::uint8_t* data, std::size_t size, std::size_t most, unsigned seed) {
  std::mt19937 dice(seed);
  std::string text;
  if (dice() % 2 == 0) text = betony::fuzz::with_another_member({reinterpret_cast<const char*>(data), size}, dice);
  if (text.empty() || text.size() > most) return LLVMFuzzerMutate(data, size, most);
  std::copy(text.begin(), text.end(), data);
  return text.size();
}

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
  using namespace betony;
  static const runtime::Pack pack = fuzz::small_pack();
  static const runtime::Names names(pack);
  const std::string text(reinterpret_cast<const char*>(data), size);
  fuzz::check_kind(text);
  if (const auto answers = fuzz::told(pack, names, text)) fuzz::check_person(pack, names, *answers);
  return 0;
}
