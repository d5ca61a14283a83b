// The verbs ship and weigh, as they are run.
#include <catch2/catch.hpp>

#include <stdlib.h>
#include <sys/stat.h>

#include <filesystem>
#include <fstream>
#include <sstream>
#include <thread>

#include "tests/unit/terminal_run.h"

namespace {

using betony::testing::Folder;
using betony::testing::Answer;
using betony::testing::run;

const std::string hill =
    "Ruleset \"Hill\", edition \"2\".\nFinding fever is yes or no.\nFinding chill is yes or no.\nRefer in fever: \"See a physician.\".\n"
    "Practice moss bed.\n  Indicated in chill.\n  Otherwise allowed.\n";

}  // namespace

TEST_CASE("a pack weighs as its source does but for the line of its seal, and the caution stands before any verdict") {
  const Folder folder;
  const std::string source = folder.put("hill.bty", hill), pack = folder.at("hill.pack");
  REQUIRE(run({"ship", source, "-o", pack}).status == 0);
  const Answer of_source = run({"weigh", source, "--set", "fever=no", "--set", "chill=yes"});
  const Answer of_pack = run({"weigh", pack, "-"}, "{\"fever\": false, \"chill\": true}");
  const std::string line = "Not sealed.\n";
  const std::size_t at = of_pack.out.find(line);
  REQUIRE(at != std::string::npos);
  CHECK(of_source.out == of_pack.out.substr(0, at) + of_pack.out.substr(at + line.size()));
  CHECK(of_pack.out.find("Caution.") < of_pack.out.find("{#} advised      moss bed\n"));
  CHECK(of_pack.out.find("because       Indicated in chill, line 6\n") != std::string::npos);
}

TEST_CASE("a pack is known by its first bytes, from standard input and from a pipe too") {
  const Folder folder;
  const std::string source = folder.put("hill.bty", hill), pack = folder.at("hill.pack"), pipe = folder.at("pipe");
  REQUIRE(run({"ship", source, "-o", pack}).status == 0);
  std::ostringstream bytes;
  bytes << std::ifstream(pack, std::ios::binary).rdbuf();
  const std::string told = run({"weigh", pack, "--set", "chill=yes"}).out;
  CHECK(run({"weigh", "-", "--set", "chill=yes"}, bytes.str()).out == told);
  CHECK(run({"weigh", "-", folder.put("guest.json", "{\"chill\": \"yes\"}")}, bytes.str()).out == told);
  CHECK(run({"weigh", "-", "--set", "chill=yes"}, hill).out == run({"weigh", source, "--set", "chill=yes"}).out);
  REQUIRE(::mkfifo(pipe.c_str(), 0600) == 0);
  std::thread writer([&] { std::ofstream(pipe, std::ios::binary) << bytes.str(); });
  CHECK(run({"weigh", pipe, "--set", "chill=yes"}).out == told);
  writer.join();
  CHECK(run({"weigh", "-", "-"}, bytes.str()).err.find("cannot both come from standard input") != std::string::npos);
}

TEST_CASE("a pack from standard input that is cut off is refused in words") {
  const Folder folder;
  const std::string pack = folder.at("hill.pack");
  REQUIRE(run({"ship", folder.put("hill.bty", hill), "-o", pack}).status == 0);
  std::ostringstream bytes;
  bytes << std::ifstream(pack, std::ios::binary).rdbuf();
  const Answer cut = run({"weigh", "-"}, bytes.str().substr(0, 200));
  CHECK(cut.status == 3);
  CHECK(cut.err.find("\"-\" cannot be used: the pack is cut off: 200 of") != std::string::npos);
  CHECK(run({"weigh", "-"}, "btnypack").err.find("\"-\" cannot be used: this is no pack") != std::string::npos);
  CHECK(run({"weigh", "-"}, "btnypac").status == 2);
}

TEST_CASE("where a red flag fires the leaf holds the referral and no practice") {
  const Folder folder;
  const std::string source = folder.put("hill.bty", hill);
  const Answer told = run({"weigh", source, "--set", "fever=yes"});
  CHECK(told.out.find("|#< REFER        every practice is withheld\n") != std::string::npos);
  CHECK(told.out.find("See a physician.") != std::string::npos);
  CHECK(told.out.find("moss bed") == std::string::npos);
}

TEST_CASE("what is told of a person twice, or is none of its findings, is refused in words") {
  const Folder folder;
  const std::string source = folder.put("hill.bty", hill);
  const Answer twice = run({"weigh", source, "-"}, "{\"chill\": true, \"chill\": false}");
  CHECK(twice.status == 3);
  CHECK(twice.err.find("\"chill\" is told twice") != std::string::npos);
  CHECK(run({"weigh", source, "--set", "chil=yes"}).err.find("did you mean \"chill\"?") != std::string::npos);
  CHECK(run({"weigh", source, "-"}, "[1]").status == 3);
  CHECK(run({"weigh", source, "-"}, "{\"chill\": [1]}").status == 3);
}

TEST_CASE("a ruleset with an error is not shipped, and if it is even so, says so for ever") {
  const Folder folder;
  const std::string source = folder.put("hill.bty", hill + "  Contraindicated in chill.\n"), pack = folder.at("hill.pack");
  const Answer refused = run({"ship", source, "-o", pack});
  CHECK(refused.status == 1);
  CHECK_FALSE(std::filesystem::exists(pack));
  CHECK(refused.out.find("1 error has to be mended") != std::string::npos);
  CHECK(run({"ship", source, "-o", pack, "--even-so"}).status == 0);
  CHECK(run({"weigh", pack}).out.find("was shipped though it has errors") != std::string::npos);
  std::ofstream(pack, std::ios::app) << "x";
  const Answer changed = run({"weigh", pack});
  CHECK(changed.status == 3);
  CHECK(changed.err.find("no seal") != std::string::npos);
}
