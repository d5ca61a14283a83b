// What is remembered from one reading to the next, and what is looked at side by side, changes no answer.
#include <fstream>
#include <sstream>

#include "tests/support.h"
#include "viz/terminal/read_json.h"

using namespace betony;
using namespace betony::testing;

namespace {

std::string answer(const std::string& source, const Checking& how = {}, const Budget& budget = {}) {
  const Ruleset ruleset = ruleset_of(source);
  return terminal::read_json(ruleset, check(ruleset, budget, how), true);
}

std::string demo(const std::string& name) {
  std::ifstream file(std::string(BETONY_SOURCE_DIR) + "/rulesets/" + name);
  std::stringstream text;
  text << file.rdbuf();
  return text.str();
}

// One ruleset, read again and again.
struct Watched {
  Memory memory;
  std::string first(const std::string& source) { return again(source); }
  std::string again(const std::string& source) { return answer(source, {1, &memory, {}}); }
};

const std::string small =
    "Ruleset \"T\", edition \"1\".\n"
    "Finding fever is yes or no. Finding chill is yes or no. Finding age is a whole number of years from 0 to 99.\n"
    "Source A is \"A\", 1900, ranked 1. Source B is \"B\", 1901, ranked 2.\n"
    "Practice soak. Indicated in fever. Contraindicated in age over 60 or fever [A 1]. Follows walk.\n"
    "Practice walk. Indicated in chill. Discouraged in age under 5 or (chill and fever), called ban. Needs soak. Follows soak.\n"
    "Choice oil is one of nut, seed. Take nut in fever. Take seed in age over 50.\n"
    "Claim \"c\": never walk is advised in age over 90.\n"
    "Profile \"p\": age 40. Expect walk silent.\n";

std::string with(std::string source, const std::string& from, const std::string& to) {
  const std::size_t at = source.find(from);
  REQUIRE(at != std::string::npos);
  return source.replace(at, from.size(), to);
}

}  // namespace

TEST_CASE("what is read again after an edit gets the answer of a first reading") {
  const char* const edits[][2] = {
      {"Finding fever", "\n\n-- moved down\n\nFinding fever"},        // every line moves
      {"over 60", "over 61"},                                         // a threshold
      {"Indicated in chill.", "Indicated in chill. Allowed in fever."},
      {"Take seed in age over 50.", ""},
      {"called ban", "called bar"},
      {"Practice walk.", "Practice rest. Otherwise allowed. Practice walk."},
      {"Discouraged in age under 5", "Discouraged\n in age under 5"},  // a sentence over two lines
      {"Practice soak. Indicated", "Practice soak.\nIndicated"},       // two sentences no longer on one line
      {"Finding chill is yes or no.", "Finding chill is yes or no, usually yes."},
      {"never walk", "always walk"},
      {"age 40", "age 4"},
      {"Source B", "Contraindications prevail. Source B"},
      {"Claim", "It cannot be that fever and chill. Claim"},
      {"Claim", "Refer in fever: \"Seek licensed care.\" Claim"},
      {"[A 1]", "[B 1]"},
      {"Needs soak", "Never with soak"},
      {"Follows soak", "Follows soak in fever"},
      {"Indicated in fever.", "Indicated in fever and (fever or chill)."},                    // a part that changes nothing comes
      {"age over 60 or fever", "age over 60 or age over 70 or fever"},
      {"Take nut in fever.", "Take nut in fever and age over 5, unless age under 3."},
      {"Source A is", "Source C is \"C\", 1899. Source A is"},                                  // sources move
      {"Indicated in chill.", "Indicated in chill [B 3]. Contraindicated in fever [A 2]."},  // two sources disagree
      {"Practice soak.", "Term hot means fever or (fever and chill).\nPractice soak."},
  };
  for (const auto& [from, to] : edits) {
    Watched watched;
    watched.first(small);
    const std::string edited = with(small, from, to);
    INFO(to);
    CHECK(watched.again(edited) == answer(edited));
    CHECK(watched.again(small) == answer(small));  // and back
  }
}

TEST_CASE("a fact that asks who leads is heard anew when the lead changes, though the practice asks nothing of it") {
  const std::string source =
      "Ruleset \"T\", edition \"1\".\nFinding fever is yes or no. Finding heat is yes or no, usually yes. Finding cold is yes or no.\n"
      "Tally warm counts heat as 2. Tally cool counts cold as 1. Leading humour is the most of warm, cool by at least 1, else even.\n"
      "It cannot be that humour is warm.\nPractice soak. Indicated in fever.\n";
  Watched watched;
  const std::string first = watched.first(source), edited = with(source, "by at least 1", "by at least 3");
  CHECK(watched.again(edited) == answer(edited));
  CHECK(answer(edited) != first);
}

TEST_CASE("parts that change nothing and sources that disagree are told again where they stand after an edit") {
  const std::string source = with(with(small, "Indicated in chill. Discouraged", "Indicated in chill and (chill or fever) [B 1]. Discouraged"), "called ban.", "called ban [A 3].");
  const std::string term = "Term hot means age over 60 or age over 70.\nPractice soak.";
  const std::string whole = with(with(source, "Indicated in fever. Contra", "Indicated in fever [B 5]. Contra"), "Practice soak.", term);
  const auto parts = [](const std::string& text) {
    std::size_t count = 0;
    for (std::size_t at = 0; (at = text.find("\"form\": \"part\"", at)) != std::string::npos; ++at) ++count;
    return count;
  };
  CHECK(parts(answer(whole)) == 2);
  CHECK(answer(whole).find("\"places\": 2") != std::string::npos);  // in two practices, so that these are put together
  const char* const edits[][2] = {
      {"Finding fever", "-- moved\n\nFinding fever"},
      {"Practice soak. Ind", "Practice rest. Otherwise allowed [B 9].\nPractice soak. Ind"},  // practices and sentences are numbered anew
      {"Term hot", "Term cold means chill. Term hot"},
      {"or age over 70", "or age over 50"},
      {"Source B is \"B\"", "Source B is \"Bee\""},
      {"Source A is", "Source C is \"C\", 1899. Source A is"},
      {"[B 1]", "[B 1; A 1]"},
      {"Discouraged in age under 5", "Discouraged in age under 6"},
  };
  for (const auto& [from, to] : edits) {
    Watched watched;
    watched.first(whole);
    const std::string edited = with(whole, from, to);
    INFO(to);
    CHECK(watched.again(edited) == answer(edited));
    CHECK(answer(edited, {2, nullptr, {}}) == answer(edited));
    CHECK(watched.again(whole) == answer(whole));
  }
}

TEST_CASE("the demo rulesets read again, with a word changed anywhere, get the answer of a first reading") {
  for (const char* name : {"tamberlow/earlier/tamberlow.bty"}) {
    const std::string source = demo(name);
    Watched watched;
    CHECK(watched.first(source) == answer(source));
    CHECK(watched.again(source) == answer(source));
    for (const char* from : {"Indicated in", "Contraindicated in", "Caution in", "Otherwise", "Dose"}) {
      const std::size_t at = source.find(std::string("\n  ") + from);
      if (at == std::string::npos) continue;
      const std::size_t end = source.find("\n", at + 1);
      const std::string edited = source.substr(0, at) + source.substr(end);  // that line is gone
      const Outcome<Ruleset> read = read_ruleset({"test.bty", edited}, no_other_files);
      if (!read) continue;
      INFO(source.substr(at, end - at));
      CHECK(watched.again(edited) == answer(edited));
    }
  }
}

TEST_CASE("an edit to one practice leaves the others alone") {
  std::string source = "Ruleset \"T\", edition \"1\".\nFinding fever is yes or no. Finding chill is yes or no.\n";
  for (int p = 0; p < 40; ++p) {
    const std::string name = std::string("soak ") + static_cast<char>('a' + p / 26) + static_cast<char>('a' + p % 26);
    source += "Practice " + name + ". Indicated in fever. Contraindicated in chill. Otherwise allowed.\n";
  }
  Memory memory;
  const Ruleset before = ruleset_of(source);
  check(before, {}, {1, &memory, {}});
  const Ruleset after = ruleset_of(with(source, "Practice soak ac. Indicated in fever", "Practice soak ac. Discouraged in fever"));
  std::size_t told = 0;
  const Report report = check(after, {}, {1, &memory, [&](std::size_t, std::size_t) { ++told; }});
  CHECK(told == 40);
  CHECK(memory.looked_at_anew() == 1);
  CHECK(report.settled());
}

TEST_CASE("on one core and on two the answer is the same") {
  for (const std::string& source : {small, demo("tamberlow/earlier/tamberlow.bty")})
    for (unsigned threads : {2u, 3u}) CHECK(answer(source, {threads, nullptr, {}}) == answer(source));
}

TEST_CASE("where the steps for all run out, they run out at the same place on one core and on two") {
  const std::string source = demo("tamberlow/earlier/tamberlow.bty");
  for (std::uint64_t steps : {1'000u, 5'000u, 20'000u, 60'000u, 200'000u}) {
    Budget budget;
    budget.total_steps = steps;
    CHECK(answer(source, {2, nullptr, {}}, budget) == answer(source, {}, budget));
  }
}

TEST_CASE("with no time left nothing is settled, and that is said") {
  Budget budget;
  budget.until = Account::Clock::now();
  const Ruleset ruleset = ruleset_of(demo("tamberlow/earlier/tamberlow.bty"));
  const Report report = check(ruleset, budget);
  CHECK_FALSE(report.settled());
}
