// The verb ask, line by line.
#include <catch2/catch.hpp>

#include <stdlib.h>

#include <filesystem>
#include <fstream>
#include <nlohmann/json.hpp>
#include <sstream>

#include "tests/unit/terminal_run.h"

namespace {

using betony::testing::Folder;

struct Answer : betony::testing::Answer {
  bool says(const std::string& words) const { return out.find(words) != std::string::npos; }
  std::size_t times(const std::string& words) const {
    std::size_t count = 0;
    for (std::size_t at = out.find(words); at != std::string::npos; at = out.find(words, at + 1)) ++count;
    return count;
  }
};

const std::string hill =
    "Ruleset \"Hill\", edition \"2\".\n"
    "Finding chill is yes or no. Ask \"Is the person cold?\".\n"
    "Finding fever is yes or no. Ask \"Is there a fever?\".\n"
    "Finding age is a whole number of years from 0 to 110. Ask \"How old is the person?\".\n"
    "Finding purse is one of back, front. Ask \"Where is the purse?\".\n"
    "It cannot be that chill and fever.\n"
    "Refer in fever: \"See a physician.\".\n"
    "Practice moss bed.\n  Indicated in chill and age under 60, called warming.\n  Dose 5 min in purse is front. Dose 9 min.\n  Otherwise allowed.\n"
    "Practice long walk.\n  Contraindicated in age over 80.\n  Otherwise allowed.\n";

class Asked {
 public:
  Answer ask(const std::string& lines, std::vector<std::string> further = {}) const {
    std::vector<std::string> words{"ask", source_};
    words.insert(words.end(), further.begin(), further.end());
    return {betony::testing::run(words, lines)};
  }
  const Folder folder;

 private:
  const std::string source_ = folder.put("hill.bty", hill);
};

}  // namespace

TEST_CASE("a red flag is asked for first, ends the interview, and leaves the referral alone") {
  const Answer told = Asked().ask("yes\n");
  CHECK(told.status == 0);
  CHECK(told.out.find("Caution.") < told.out.find("Is there a fever?"));
  CHECK(told.says("|#< REFER        every practice is withheld\n"));
  CHECK(told.says("See a physician."));
  CHECK_FALSE(told.says("cold?"));
  CHECK_FALSE(told.says("moss bed"));
}

TEST_CASE("only what still matters is asked") {
  const Answer told = Asked().ask("no\n85\n");  // of somebody of 85 the cold decides nothing any more
  CHECK(told.says("How old is the person?"));
  CHECK_FALSE(told.says("cold?"));
  CHECK(told.says("]=[ withheld     long walk"));
  CHECK(told.says("{ } allowed      moss bed"));
}

TEST_CASE("what only a dose depends on is asked last") {
  const Answer told = Asked().ask("no\n30\nyes\nfront\n");
  CHECK(told.out.find("cold?") < told.out.find("purse?"));
  CHECK(told.says("dose          5 min"));
  CHECK(told.says("Next question  none: nothing more can change"));
}

TEST_CASE("why tells the sentences, and the question stands") {
  const Answer told = Asked().ask("why\nno\nwhy\n");
  CHECK(told.says("Red flags come first"));
  CHECK(told.says("asked in   Refer in fever"));
  CHECK(told.says("It bears on moss bed, long walk."));
  CHECK(told.times("How old is the person?") == 2);  // asked, and in what is told at the end
}

TEST_CASE("answers are corrected, taken back, and shown") {
  const Answer told = Asked().ask("no\n30\nage = 55\nso far\nback\nstop\n");
  CHECK(told.says("Told: not fever, age 55 years."));
  CHECK(told.says("Told           not fever."));
  const Answer fever = Asked().ask("no\nfever = yes\n");
  CHECK(fever.says("|#< REFER"));
  CHECK(Asked().ask("back\nstop\n").says("There is no answer to take back."));
  CHECK(Asked().ask("fevr = no\nstop\n").says("did you mean \"fever\"?"));
}

TEST_CASE("not known is an answer, and the question does not come again") {
  const Answer told = Asked().ask("not known\nnot known\nno\n");
  CHECK(told.times("Is there a fever?") == 2);
  CHECK(told.says("{?} unanswered   long walk"));
  CHECK(told.says("may yet be    |#< REFERRED, ]=[ withheld or { } allowed"));
}

TEST_CASE("what is no answer is told, and what nobody can be is not taken") {
  const Answer told = Asked().ask("perhaps\n\nno\nthirty\n200\n40\nno\nchill = yes\nfever = yes\nstop\n");
  CHECK(told.says("\"perhaps\" is no answer for \"fever\""));
  CHECK(told.says("Please answer: yes or no."));
  CHECK(told.says("\"thirty\" is no number"));
  CHECK(told.says("200 years is out of the range"));
  const Answer both = Asked().ask("chill = yes\nfever = yes\nstop\n");
  CHECK(both.says("a fact of the ruleset stands"));
  CHECK(both.says("Told           chill."));
}

TEST_CASE("a value that is called like a word of the interview is the value") {
  const Answer told = Asked().ask("no\n30\nyes\nback\n");
  CHECK(told.says("dose          9 min"));
  CHECK(told.says("purse back"));
}

TEST_CASE("what was told is kept for its owner, and gone on from") {
  const Asked asked;
  REQUIRE(asked.ask("no\n30\nstop\n", {"--save", asked.folder.at("guest.json")}).status == 0);
  CHECK(asked.folder.text("guest.json") == "{\"fever\":\"no\",\"age\":30}\n");
  const auto may = std::filesystem::status(asked.folder.at("guest.json")).permissions();
  CHECK((may & (std::filesystem::perms::group_all | std::filesystem::perms::others_all)) == std::filesystem::perms::none);
  const Answer further = asked.ask("yes\nfront\n", {"--from", asked.folder.at("guest.json"), "--json"});
  const auto json = nlohmann::json::parse(further.out);
  CHECK(json["practices"]["moss bed"]["verdict"] == "advised");
  CHECK(json["next"].is_null());
  CHECK(further.err.find("Is the person cold?") != std::string::npos);
  CHECK(further.err.find("How old") == std::string::npos);
}

TEST_CASE("an interview ends with its input, and a line without end is no answer") {
  CHECK(Asked().ask("").status == 0);
  const Answer told = Asked().ask(std::string(3'000'000, 'x') + "\nno\n");
  CHECK(told.says("That is too long for an answer."));
  CHECK(told.says("How old is the person?"));
  CHECK(told.out.size() < 10'000);
}
