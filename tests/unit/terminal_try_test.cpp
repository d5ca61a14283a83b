// The verb try, as it is run.
#include <nlohmann/json.hpp>

#include "tests/unit/terminal_run.h"

namespace {

using betony::testing::Answer;
using betony::testing::Folder;
using betony::testing::run;
using nlohmann::json;

const std::string hill = R"(Ruleset "Hill", edition "2".
Finding age is a whole number of years from 0 to 110, usually 40.
Finding chill is yes or no.
Finding frail is yes or no.
Finding last meal is a number of h ago from 0 to 24 in steps of 0.5, or never, usually 3.
Finding humour is one of ember, brook.
Practice moss bed.
  Contraindicated in frail, called frailty ban.
  Allowed in frail and humour is ember, despite frailty ban.
  Indicated in chill and last meal over 2 h ago.
  Otherwise allowed.
Claim "the frail ""rest""": always moss bed is withheld in frail and age over 60.
Claim "nobody fasting is sent": never moss bed is advised in last meal under 1.
Profile "shepherd": age 50, chill, the rest as usual.
  Expect moss bed advised.
)";

}  // namespace

TEST_CASE("what fails is told with a Profile sentence that reads again and fails too") {
  const Folder folder;
  const Answer answer = run({"try", folder.put("hill.bty", hill), "--json"});
  REQUIRE(answer.status == 1);
  const json told = json::parse(answer.out);
  CHECK(told["betony"] == 1);
  CHECK(told["seed"] == 1);
  CHECK(told["samples"] == 100'352);
  CHECK(told["faults_of_betony"].empty());
  REQUIRE(told["failures"].size() == 2);
  const json& claim = told["failures"][0];
  CHECK(claim["what"] == "claim");
  CHECK(claim["name"] == "the frail \"rest\"");
  CHECK(claim["exactly"] == true);
  CHECK(claim["write"] == "Profile \"the frail \"\"rest\"\"\": age 90, frail, humour ember, the rest as usual.\n  Expect moss bed withheld.");
  const json& borrowed = told["failures"][1];
  CHECK(borrowed["what"] == "advised-though-contraindicated");
  CHECK(borrowed["exactly"] == false);
  CHECK(borrowed["sample"].is_number());
  CHECK(borrowed["profile"]["frail"] == "yes");
  CHECK(borrowed["profile"]["chill"] == "yes");
  CHECK(borrowed["profile"]["age"] == 40);
  CHECK(borrowed["sentences"].size() == 3);
  const Answer again = run({"read", folder.put("pasted.bty", hill + claim["write"].get<std::string>() + "\n" + borrowed["write"].get<std::string>() + "\n"), "--json"});
  const json read = json::parse(again.out);
  REQUIRE_FALSE(read.contains("unreadable"));
  std::size_t failed = 0;
  for (const json& problem : read["problems"]) failed += problem["kind"] == "expectation-failed";
  CHECK(failed == 1);
}

TEST_CASE("a trend that the checks refute is told of two persons, in the words of trends") {
  const Folder folder;
  const std::string source =
      "Ruleset \"Hill\", edition \"2\".\nFinding age is a whole number of years from 0 to 110, usually 60.\nFinding chill is yes or no.\n"
      "Practice moss bed.\n  Indicated in age from 10 to 40.\n  Contraindicated in chill.\n  Dose 5 to 10 min. Dose 20 min in age under 15.\n  Otherwise allowed.\n"
      "Claim \"young\": less age never raises moss bed.\nClaim \"short\": less age never lengthens the dose of moss bed.\n";
  const json told = json::parse(run({"try", folder.put("hill.bty", source), "--json", "--no-mutants", "--samples", "512"}).out);
  REQUIRE(told["failures"].size() == 2);
  const json &young = told["failures"][0], &brief = told["failures"][1];
  for (const json& failure : {young, brief}) {
    CHECK(failure["what"] == "trend");
    CHECK(failure["exactly"] == true);
    CHECK(failure["profile"]["age"].get<int>() > failure["then"]["age"].get<int>());
    CHECK(failure["profile"]["chill"] == failure["then"]["chill"]);
    CHECK(failure["write"].get<std::string>().find(", then\": age " + failure["then"]["age"].dump()) != std::string::npos);
  }
  const auto years = [](const json& failure, const char* of) { return failure[of]["age"].dump() + " years"; };
  CHECK(young["sense"] == "With age " + years(young, "then") + " in place of " + years(young, "profile") +
                              ", moss bed is advised, where it was allowed. The claim says that this is never so.");
  CHECK(young["told"]["moss bed"]["verdict"] == "allowed");
  CHECK(young["told"]["moss bed"]["then"]["verdict"] == "advised");
  CHECK(brief["sense"] == "With age " + years(brief, "then") + " in place of " + years(brief, "profile") +
                              ", the dose of moss bed is 20 min, where it was 5 to 10 min. The claim says that this is never so.");
}

TEST_CASE("where no person is possible nothing holds exactly, and nothing is told to hold") {
  const Folder folder;
  const std::string source =
      "Ruleset \"Hill\", edition \"2\".\nFinding age is a whole number of years from 0 to 110, usually 60.\n"
      "It cannot be that age over 5.\nIt cannot be that age under 6.\nPractice moss bed.\n  Allowed.\nClaim \"all\": always moss bed is allowed.\n";
  const json told = json::parse(run({"try", folder.put("hill.bty", source), "--json", "--no-mutants", "--samples", "512"}).out);
  CHECK(told["failures"].empty());
  for (const json& held : told["held"]) CHECK(held["exactly"] == false);
  CHECK_FALSE(told["held"].empty());
}

TEST_CASE("two cores say what one does, a seed says the same again, another seed is told") {
  const Folder folder;
  const std::string file = folder.put("hill.bty", hill);
  const Answer one = run({"try", file, "--cores", "1", "--samples", "20000"}), two = run({"try", file, "--cores", "2", "--samples", "20000"});
  CHECK(one.out == two.out);
  CHECK(run({"try", file, "--cores", "2", "--samples", "20000"}).out == one.out);
  const Answer other = run({"try", file, "--samples", "20000", "--seed", "9"});
  CHECK(other.out.find("tried with 20480 persons, seed 9") != std::string::npos);
  CHECK(run({"try", file, "--time", "1s", "--no-mutants"}).status == 1);
}

TEST_CASE("the page tells what fails before all else, after the caution") {
  const Folder folder;
  const Answer answer = run({"try", folder.put("hill.bty", hill)});
  CHECK(answer.status == 1);
  CHECK(answer.out.find("Caution. This reports") < answer.out.find("><  Error      a claim does not hold"));
  CHECK(answer.out.find("  Told       moss bed is { } allowed\n  Found      by exact checking") != std::string::npos);
  CHECK(answer.out.find("moss bed: advised though contraindicated") != std::string::npos);
  CHECK(answer.out.find("2 things failed.\n") != std::string::npos);
  for (std::size_t at = 0; at < answer.out.size();) {
    const std::size_t end = answer.out.find('\n', at);
    CHECK(end - at <= 80);
    at = end + 1;
  }
}

TEST_CASE("sentences that nobody would miss are told with what could be done to them") {
  const Folder folder;
  const Answer answer = run({"try", folder.put("hill.bty", hill), "--json"});
  const json untested = json::parse(answer.out)["untested"];
  REQUIRE(untested["sentences"].size() == 3);
  CHECK(untested["sentences"][0]["text"] == "Contraindicated in frail, called frailty ban.");
  CHECK(untested["sentences"][0]["line"] == 8);
  CHECK(untested["changes"]["unnoticed"].get<int>() < untested["changes"]["made"].get<int>());
  for (const json& one : untested["sentences"])
    if (one["line"] == 10) CHECK(one["unnoticed"] == json({"last meal 2 h ago as 1.5 h ago", "last meal 2 h ago as 2.5 h ago"}));
  CHECK(untested["sentences"][0]["unnoticed"] == json({"struck"}));
  CHECK(untested["sentences"][2]["all"] == true);
  CHECK(untested["share"]["exact"] == "3/4");
}

TEST_CASE("a table of persons can be the population; a name that is neither is refused") {
  const Folder folder;
  const std::string file = folder.put("hill.bty", hill);
  const std::string guests = folder.put("guests.csv", "age,chill\n34,yes\nold,no\n71,no\n");
  const Answer answer = run({"try", file, "--population", guests, "--no-mutants"});
  CHECK(answer.status == 1);
  CHECK(answer.err.find("row 3, column \"age\"") != std::string::npos);
  const Answer refused = run({"try", file, "--population", "spring intake"});
  CHECK(refused.status == 3);
  CHECK(refused.err.find("no Population is called \"spring intake\"") != std::string::npos);
  CHECK(run({"try", file, "--population", folder.at("nobody.csv")}).status == 3);
  CHECK(run({"try", file, "--samples", "5", "--time", "3s"}).status == 3);
  CHECK(run({"try", file, "--time", "soon"}).status == 3);
  CHECK(run({"try", folder.put("broken.bty", "Practice.")}).status == 2);
}

TEST_CASE("what no sample reached is told with its share") {
  const Folder folder;
  const std::string rare = "Ruleset \"Rare\", edition \"1\".\nFinding a is one of p, q, r, s, t, u, v, w, x, y.\nFinding b is one of p, q, r, s, t, u, v, w, x, y.\n"
      "Finding c is one of p, q, r, s, t, u, v, w, x, y.\nFinding d is one of p, q, r, s, t, u, v, w, x, y.\nFinding e is one of p, q, r, s, t, u, v, w, x, y.\n"
      "Practice humming.\n  Contraindicated in all of a is y, b is y, c is y, d is y, e is y.\n  Otherwise allowed.\n";
  const Answer answer = run({"try", folder.put("rare.bty", rare), "--samples", "512", "--json"});
  CHECK(answer.status == 0);
  const json unreached = json::parse(answer.out)["unreached"];
  std::map<std::string, json> by_what;
  for (const json& one : unreached) by_what.emplace(one["what"], one);
  REQUIRE(by_what.count("sentence"));
  CHECK(by_what["sentence"]["share"]["exact"] == "1/100000");
  CHECK(by_what["sentence"]["line"] == 8);
  REQUIRE(by_what.count("verdict"));
  CHECK(by_what["verdict"]["name"] == "humming withheld");
  CHECK(by_what["verdict"]["share"]["exact"] == "1/100000");
  CHECK(by_what.count("edge"));
  CHECK(json::parse(run({"try", folder.at("rare.bty"), "--json", "--samples", "512"}).out)["faults_of_betony"].empty());
}
