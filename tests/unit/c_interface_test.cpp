// The C interface, called as a C program calls it.
#include <catch2/catch.hpp>

#include <cstring>
#include <string>
#include <thread>

#include "compiler/ship/ship.h"
#include "runtime/betony.h"
#include "runtime/betony.hpp"
#include "tests/support.h"

using betony::testing::ruleset_of;

namespace {

std::vector<std::uint8_t> hill() {
  return betony::runtime::write_pack(betony::ship::pack_of(
      ruleset_of("Ruleset \"Hill\", edition \"2\".\nSource SB is \"Bath book\", 1911.\nSchool river holds SB.\nFinding fever is yes or no. Ask \"Is there fever?\".\nFinding chill is yes or no.\n"
                 "Finding weight is a number of kg from 2 to 350.\nChoice oil is any of seal oil, nut oil.\nTake seal oil in chill. Otherwise nut oil.\n"
                 "Refer in fever: \"See a physician.\".\n"
                 "Practice moss bed.\n  Indicated in chill [SB 2.4], called warming.\n  Contraindicated in weight over 100, called ban.\n  Caution in weight under 40: \"Slowly.\".\n"
                 "  Dose 5 to 10 min, twice a day in chill.\n  Otherwise allowed.\n"),
      {}, {"test", false}));
}

struct Loaded {
  Loaded() {
    const auto bytes = hill();
    char why[200];
    REQUIRE(betony_load(bytes.data(), bytes.size(), &pack, why, sizeof why) == BETONY_OK);
  }
  ~Loaded() { betony_pack_free(pack); }
  betony_pack* pack = nullptr;
};

}  // namespace

TEST_CASE("a pack is loaded, a person told and weighed, and every text is at hand, through C") {
  Loaded loaded;
  betony_pack* pack = loaded.pack;
  CHECK(std::string(betony_title(pack)) == "Hill");
  CHECK(std::string(betony_caution(pack)).find("not a diagnosis") != std::string::npos);
  CHECK(betony_even_so(pack) == 0);
  REQUIRE(betony_findings(pack) == 3);
  CHECK(std::string(betony_question(pack, 0)) == "Is there fever?");
  CHECK(betony_values(pack, 2) == 0);
  CHECK(std::string(betony_unit(pack, 2)) == "kg");
  REQUIRE(betony_schools(pack) == 1);
  CHECK(std::string(betony_school(pack, 0)) == "river");
  betony_person* person = betony_person_new(pack);
  CHECK(betony_tell(person, "fever", "no", nullptr) == BETONY_OK);
  CHECK(betony_tell(person, "Chill", "YES", nullptr) == BETONY_OK);
  CHECK(betony_tell_number(person, 2, 80, "lb") == BETONY_OK);
  betony_told* told = betony_weigh(person, nullptr);
  CHECK(betony_verdict_of(told, 0) == BETONY_ADVISED);
  CHECK(betony_with_care(told, 0) == 1);
  CHECK(betony_possible(told, 0) == 1);
  REQUIRE(betony_because(told, 0) == 2);
  const std::size_t sentence = betony_because_sentence(told, 0, 0);
  CHECK(std::string(betony_sentence(pack, sentence)) == "Indicated in chill [SB 2.4], called warming");
  CHECK(std::string(betony_sentence_label(pack, sentence)) == "warming");
  CHECK(betony_sentence_line(pack, sentence) == 11);
  REQUIRE(betony_citations(pack, sentence) == 1);
  CHECK(std::string(betony_citation(pack, sentence, 0)) + " " + betony_citation_locus(pack, sentence, 0) == "SB 2.4");
  REQUIRE(betony_cautions(told, 0) == 1);
  CHECK(std::string(betony_caution_text(told, 0, 0)) == "Slowly.");
  CHECK(std::string(betony_dose(told, 0)) == "5 to 10 min, twice a day");
  REQUIRE(betony_fits(told, 0) == 1);
  CHECK(std::string(betony_fit(told, 0, 0)) == "seal oil");
  betony_told_free(told);

  CHECK(betony_tell(person, "weight", "120", nullptr) == BETONY_OK);
  told = betony_weigh(person, "river");
  CHECK(betony_verdict_of(told, 0) == BETONY_WITHHELD);
  REQUIRE(betony_defeated(told, 0) == 1);
  CHECK(betony_defeated_sentence(told, 0, 0) == sentence);
  betony_told_free(told);
  betony_person_free(person);
}

TEST_CASE("verdicts alone are told of one person after another, by the whole and by a school in turn, through C") {
  Loaded loaded;
  betony_weigher* whole = betony_weigher_new(loaded.pack, nullptr);
  betony_weigher* river = betony_weigher_new(loaded.pack, "river");
  REQUIRE(whole);
  REQUIRE(river);
  CHECK(betony_weigher_new(loaded.pack, "sea") == nullptr);
  betony_person* person = betony_person_new(loaded.pack);
  const auto set_of = [&](const betony_weigher* weigher) {
    std::uint32_t sets[2] = {7, 7};
    CHECK(betony_verdicts(weigher, person, sets) == BETONY_OK);
    CHECK(sets[1] == 7);                    // there is one practice
    return sets[0];
  };
  const auto all = BETONY_SET(BETONY_WITHHELD) | BETONY_SET(BETONY_ADVISED) | BETONY_SET_WITH_CARE(BETONY_ADVISED) | BETONY_SET(BETONY_ALLOWED) |
                   BETONY_SET_WITH_CARE(BETONY_ALLOWED);
  CHECK(set_of(whole) == (all | BETONY_SET(BETONY_REFERRED)));
  CHECK(betony_tell_value(person, 0, 0) == BETONY_OK);
  CHECK(set_of(whole) == all);
  CHECK(betony_tell_value(person, 1, 1) == BETONY_OK);
  CHECK(betony_tell(person, "weight", "36", nullptr) == BETONY_OK);
  CHECK(set_of(whole) == BETONY_SET_WITH_CARE(BETONY_ADVISED));
  CHECK(betony_tell(person, "weight", "120", nullptr) == BETONY_OK);
  CHECK(set_of(whole) == BETONY_SET(BETONY_WITHHELD));
  CHECK(set_of(river) == BETONY_SET(BETONY_WITHHELD));
  CHECK(betony_tell_value(person, 0, 1) == BETONY_OK);
  CHECK(set_of(river) == BETONY_SET(BETONY_REFERRED));
  CHECK(betony_tell_value(person, 0, 2) == BETONY_NO_SUCH_VALUE);
  CHECK(std::string(betony_why(person)) == "\"fever\" has no word of that number");
  CHECK(betony_tell_value(person, 2, 0) == BETONY_NO_SUCH_VALUE);
  CHECK(set_of(whole) == BETONY_SET(BETONY_REFERRED));
  CHECK(std::string(betony_why(person)).empty());
  betony_person_free(person);
  betony_weigher_free(whole);
  betony_weigher_free(river);
  betony_weigher_free(nullptr);
}

TEST_CASE("of verdicts alone there are none where a background fact stands against the person, through C") {
  const auto bytes = betony::runtime::write_pack(betony::ship::pack_of(
      ruleset_of("Ruleset \"Hill\", edition \"2\".\nFinding chill is yes or no.\nFinding fever is yes or no.\nIt cannot be that fever and not chill.\nPractice moss bed.\n  Indicated in chill.\n"),
      {}, {"test", false}));
  betony_pack* pack = nullptr;
  REQUIRE(betony_load(bytes.data(), bytes.size(), &pack, nullptr, 0) == BETONY_OK);
  betony_weigher* weigher = betony_weigher_new(pack, nullptr);
  betony_person* person = betony_person_new(pack);
  std::uint32_t set = 7;
  CHECK(betony_tell(person, "fever", "yes", nullptr) == BETONY_OK);
  CHECK(betony_verdicts(weigher, person, &set) == BETONY_OK);
  CHECK(set == BETONY_SET(BETONY_ADVISED));  // since whoever has fever has chill
  CHECK(betony_tell(person, "chill", "no", nullptr) == BETONY_OK);
  CHECK(betony_verdicts(weigher, person, &set) == BETONY_OK);
  CHECK(set == 0);
  betony_person_free(person);
  betony_weigher_free(weigher);
  betony_pack_free(pack);
}

TEST_CASE("a weigher of a school tells what that school says, through C") {
  const auto bytes = betony::runtime::write_pack(betony::ship::pack_of(
      ruleset_of("Ruleset \"Hill\", edition \"2\".\nSource SB is \"Bath book\", 1911.\nSource LB is \"Lake book\", 1920.\n"
                 "School river holds SB.\nSchool lake holds LB.\nFinding chill is yes or no.\n"
                 "Practice moss bed.\n  Indicated in chill [SB 1].\n  Contraindicated in chill [LB 2].\n  Otherwise allowed.\n"),
      {}, {"test", false}));
  betony_pack* pack = nullptr;
  REQUIRE(betony_load(bytes.data(), bytes.size(), &pack, nullptr, 0) == BETONY_OK);
  betony_person* person = betony_person_new(pack);
  CHECK(betony_tell(person, "chill", "yes", nullptr) == BETONY_OK);
  const std::pair<const char*, std::uint32_t> expected[] = {
      {nullptr, BETONY_SET(BETONY_WITHHELD)}, {"river", BETONY_SET(BETONY_ADVISED)}, {"lake", BETONY_SET(BETONY_WITHHELD)}};
  for (const auto& [school, wanted] : expected) {
    betony_weigher* weigher = betony_weigher_new(pack, school);
    std::uint32_t set = 0;
    CHECK(betony_verdicts(weigher, person, &set) == BETONY_OK);
    CHECK(set == wanted);
    betony_weigher_free(weigher);
  }
  betony_person_free(person);
  betony_pack_free(pack);
}

TEST_CASE("of a pack without practices nothing is told alone, through C") {
  const auto bytes = betony::runtime::write_pack(betony::ship::pack_of(
      ruleset_of("Ruleset \"Hill\", edition \"2\".\nFinding chill is yes or no.\nRefer in chill: \"See a physician.\".\n"), {}, {"test", false}));
  betony_pack* pack = nullptr;
  REQUIRE(betony_load(bytes.data(), bytes.size(), &pack, nullptr, 0) == BETONY_OK);
  REQUIRE(betony_practices(pack) == 0);
  betony_weigher* weigher = betony_weigher_new(pack, nullptr);
  betony_person* person = betony_person_new(pack);
  CHECK(betony_verdicts(weigher, person, nullptr) == BETONY_OK);
  for (std::size_t value = 0; value < 2; ++value) {
    CHECK(betony_tell_value(person, 0, value) == BETONY_OK);
    CHECK(betony_verdicts(weigher, person, nullptr) == BETONY_OK);
  }
  betony_person_free(person);
  betony_weigher_free(weigher);
  betony_pack_free(pack);
}

TEST_CASE("what cannot be taken is told in words and changes nothing, through C") {
  Loaded loaded;
  betony_person* person = betony_person_new(loaded.pack);
  CHECK(betony_tell(person, "wieght", "80", nullptr) == BETONY_NO_SUCH_NAME);
  CHECK(std::string(betony_why(person)) == "no finding is called \"wieght\"; did you mean \"weight\"?");
  CHECK(betony_tell(person, "weight", "1", nullptr) == BETONY_NO_SUCH_VALUE);
  CHECK(betony_tell(person, "weight", "80", "cm") == BETONY_NO_SUCH_VALUE);
  CHECK(betony_tell_number(person, 2, 1.0 / 0.0, nullptr) == BETONY_NO_SUCH_VALUE);
  CHECK(betony_weigh(person, "sea") == nullptr);
  CHECK(std::string(betony_why(person)) == "no school is called \"sea\"");
  CHECK(betony_tell(person, "fever", "no", nullptr) == BETONY_OK);
  betony_told* told = betony_weigh(person, nullptr);
  CHECK(betony_verdict_of(told, 0) == BETONY_UNANSWERED);
  int care = 7;
  REQUIRE(betony_possible(told, 0) == 5);
  CHECK(betony_possible_verdict(told, 0, 0, &care) == BETONY_WITHHELD);
  CHECK(care == -1);
  betony_told_free(told);
  CHECK(betony_forget(person, nullptr) == BETONY_OK);
  CHECK(betony_tell(person, "fever", "yes", nullptr) == BETONY_OK);
  told = betony_weigh(person, nullptr);
  CHECK(betony_verdict_of(told, 0) == BETONY_REFERRED);
  REQUIRE(betony_refers(told) == 1);
  CHECK(std::string(betony_refer(told, 0)) == "See a physician.");
  betony_told_free(told);
  betony_person_free(person);
}

TEST_CASE("what to ask next and what would change a verdict is told through C") {
  Loaded loaded;
  betony_person* person = betony_person_new(loaded.pack);
  betony_told* told = betony_weigh(person, nullptr);
  CHECK(betony_next(told) == 0);  // the red flag
  CHECK(betony_next_for(told) == BETONY_FOR_RED_FLAGS);
  CHECK(betony_change(told, 0) == 0);
  CHECK(betony_change_verdict(told, 0) == BETONY_UNANSWERED);
  betony_told_free(told);
  CHECK(betony_tell(person, "fever", "no", nullptr) == BETONY_OK);
  CHECK(betony_tell(person, "weight", "120", nullptr) == BETONY_OK);
  told = betony_weigh(person, nullptr);
  CHECK(betony_verdict_of(told, 0) == BETONY_WITHHELD);
  CHECK(betony_next(told) == BETONY_NONE);
  CHECK(betony_next_for(told) == BETONY_FOR_NOTHING);
  REQUIRE(betony_change(told, 0) == 1);
  CHECK(betony_change_finding(told, 0, 0) == 0);
  CHECK(std::string(betony_change_value(told, 0, 0)) == "yes");
  CHECK(betony_change_verdict(told, 0) == BETONY_REFERRED);
  betony_told_free(told);
  betony_person_free(person);
}

TEST_CASE("what was told stays as it was when the person is told something else or is freed, through C") {
  Loaded loaded;
  betony_person* person = betony_person_new(loaded.pack);
  betony_tell(person, "fever", "no", nullptr);
  betony_tell(person, "chill", "yes", nullptr);
  betony_tell(person, "weight", "70", nullptr);
  betony_told* told = betony_weigh(person, nullptr);
  CHECK(betony_tell(person, "weight", "120", nullptr) == BETONY_OK);
  CHECK(betony_verdict_of(told, 0) == BETONY_ADVISED);
  betony_person_free(person);
  CHECK(betony_verdict_of(told, 0) == BETONY_ADVISED);
  CHECK(std::string(betony_dose(told, 0)) == "5 to 10 min, twice a day");
  CHECK(betony_next(told) == BETONY_NONE);
  REQUIRE(betony_change(told, 0) == 1);
  CHECK(betony_change_finding(told, 0, 0) == 0);
  CHECK(std::string(betony_change_value(told, 0, 0)) == "yes");
  CHECK(betony_change_verdict(told, 0) == BETONY_REFERRED);
  betony_told_free(told);
}

TEST_CASE("no pack is told why, in as much room as there is") {
  auto bytes = hill();
  bytes[100] ^= 1;
  betony_pack* pack = nullptr;
  char why[30];
  CHECK(betony_load(bytes.data(), bytes.size(), &pack, why, sizeof why) == BETONY_NO_PACK);
  CHECK(pack == nullptr);
  CHECK(std::string(why) == "the pack has been changed sin");
  CHECK(betony_load(bytes.data(), 3, &pack, nullptr, 0) == BETONY_NO_PACK);
}

TEST_CASE("eight threads share a pack") {
  Loaded loaded;
  std::vector<std::thread> threads;
  std::vector<int> wrong(8);
  for (int t = 0; t < 8; ++t)
    threads.emplace_back([&, t] {
      for (int i = 0; i < 50; ++i) {
        betony_person* person = betony_person_new(loaded.pack);
        const int weight = 30 + (i * 7 + t) % 120;
        betony_tell(person, "chill", i % 2 ? "yes" : "no", nullptr);
        betony_tell(person, "fever", "no", nullptr);
        betony_tell_number(person, 2, weight, nullptr);
        betony_told* told = betony_weigh(person, nullptr);
        const betony_verdict wanted = weight > 100 ? BETONY_WITHHELD : i % 2 ? BETONY_ADVISED : BETONY_ALLOWED;
        wrong[t] += betony_verdict_of(told, 0) != wanted;
        betony_told_free(told);
        betony_person_free(person);
      }
    });
  for (auto& thread : threads) thread.join();
  CHECK(wrong == std::vector<int>(8));
}

TEST_CASE("the C++ face frees what it owns and tells the same") {
  const auto bytes = hill();
  const auto loaded = betony::embedded::Pack::load(bytes);
  REQUIRE(loaded.pack);
  auto person = loaded.pack->person();
  CHECK(person.tell("chill", "yes"));
  CHECK(person.tell("weight", "154", "lb"));
  CHECK_FALSE(person.tell("weight", "154", "cm"));
  CHECK(person.why() == "\"cm\" is no unit of \"weight\", which is told in kg");
  CHECK(person.tell("fever", "no"));
  const auto told = person.weigh();
  REQUIRE(told);
  CHECK(told->verdict(0) == BETONY_ADVISED);
  CHECK(told->dose(0) == "5 to 10 min, twice a day");
  CHECK_FALSE(person.weigh("sea"));
  const auto weigher = loaded.pack->weigher("river");
  REQUIRE(weigher);
  std::vector<std::uint32_t> sets;
  weigher->verdicts(person, sets);
  CHECK(sets == std::vector<std::uint32_t>{BETONY_SET(BETONY_ADVISED)});
  CHECK(person.tell(1, 0));
  CHECK_FALSE(person.tell(1, 2));
  weigher->verdicts(person, sets);
  CHECK(sets == std::vector<std::uint32_t>{BETONY_SET(BETONY_ALLOWED)});
  CHECK_FALSE(loaded.pack->weigher("sea"));
  CHECK_FALSE(betony::embedded::Pack::load({}).pack);
}
