// Every problem told of the example teachings and of the gallery's sources shows at its witness through a pack as well.
#include <catch2/catch.hpp>

#include <algorithm>
#include <set>

#include "tests/pack_replay.h"
#include "worlds.h"

using namespace betony;
using namespace betony::worlds;
using testing::PackReplays;
namespace fs = std::filesystem;

namespace {

// Files below a folder of the source, sorted: "rulesets/tamberlow/tamberlow.bty".
std::vector<std::string> sources_below(const std::string& folder) {
  std::vector<std::string> out;
  for (const auto& entry : fs::recursive_directory_iterator(path_of(folder)))
    if (entry.path().extension() == ".bty") out.push_back(fs::relative(entry.path(), BETONY_SOURCE_DIR).generic_string());
  std::sort(out.begin(), out.end());
  return out;
}

}  // namespace

TEST_CASE("every source of the example teachings belongs to an edition whose witnesses are replayed") {
  std::set<std::string> known;
  for (const Edition& edition : every_edition()) {
    const std::string folder = fs::path(edition.file).parent_path().generic_string() + "/";
    for (const SourceFile& file : checked(edition).ruleset.tree.files) known.insert(folder + file.name);
  }
  for (const std::string& source : sources_below("rulesets")) {
    CAPTURE(source);
    CHECK(known.count(source) == 1);
  }
}

TEST_CASE("every problem told of the example teachings shows at its witness through a pack") {
  PackReplays replays;
  for (const Edition& edition : every_edition()) {
    const auto& [ruleset, report] = checked(edition);
    replays.add(edition.name, ruleset, report);
  }
  replays.print("example teachings");
  CHECK(replays.wrong == "");
  CHECK(replays.never_applying > 0);
  for (const char* kind : {"contradiction/head-on", "contradiction/swallowed", "contradiction/exception", "contradiction/crossing",
                           "dissent", "silence", "never-applies/already-outside", "never-applies/already-referred",
                           "idle/sentence", "idle/twice-attested", "idle/part", "choice-clash", "choice-empty", "dose-clash", "dose-missing",
                           "broken-company/never-with", "broken-company/needs", "broken-company/leads-to",
                           "order-loop/order", "order-loop/times", "claim-refuted", "expectation-failed"}) {
    CAPTURE(kind);
    CHECK(replays.shown.count(kind) == 1);
  }
}

TEST_CASE("every problem told of the gallery's sources that can be read shows at its witness through a pack") {
  PackReplays replays;
  for (const std::string& source : sources_below("tests/messages")) {
    const auto read = read_ruleset(root_of({source, source}), reader_of({source, source}));
    if (source.find("-check-") != std::string::npos) REQUIRE(read.value);
    if (read.value) replays.add(source, *read.value, check(*read.value));
  }
  replays.print("sources of the gallery");
  CHECK(replays.wrong == "");
  CHECK(replays.rulesets >= 7);
}
