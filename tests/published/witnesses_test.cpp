// Every ruleset of this folder names what it was published in, and every problem told of it comes with a person for whom the
// evaluator shows it.
#include <algorithm>
#include <catch2/catch.hpp>
#include <filesystem>
#include <fstream>

#include "tests/pack_replay.h"
#include "tests/published/table.h"

using namespace betony;
using namespace betony::published;

namespace {

// Two are refused as their tests say; the third is a part of others.
const std::vector<std::string> cannot_be_read = {"defect_circular.bty", "defect_illegal_value.bty", "work_rest_table.bty"};

std::vector<std::string> rulesets() {
  std::vector<std::string> names;
  for (const auto& entry : std::filesystem::directory_iterator(std::string(BETONY_SOURCE_DIR) + "/tests/published"))
    if (entry.path().extension() == ".bty") names.push_back(entry.path().filename().string());
  std::sort(names.begin(), names.end());
  return names;
}

std::string opening_comment(const std::string& name) {
  std::ifstream in(std::string(BETONY_SOURCE_DIR) + "/tests/published/" + name);
  std::string comment, line;
  while (std::getline(in, line) && line.rfind("--", 0) == 0) comment += line + "\n";
  return comment;
}

Reading reading_of(const Ruleset& ruleset, const Problem& problem) {
  for (Index school = 0; school < ruleset.schools.size(); ++school)
    if (ruleset.schools[school].name == problem.school) return {school};
  return {};
}

template <class Named>
Index index_of(const std::vector<Named>& all, const std::string& name) {
  const auto at = std::find_if(all.begin(), all.end(), [&](const Named& one) { return one.name == name; });
  REQUIRE(at != all.end());
  return static_cast<Index>(at - all.begin());
}

bool fires_at(const Ruleset& r, const Concerned& concerned, const Profile& person, Reading reading) {
  return std::any_of(r.sentences.begin(), r.sentences.end(), [&](const Sentence& s) {
    return s.place == concerned.place && fires(r, s, person, reading);
  });
}

// Whether the witness of a problem shows it; kinds without a witness show nothing.
bool shown(const Ruleset& r, const Problem& p) {
  const Profile& person = *p.witness;
  const Reading reading = reading_of(r, p);
  const Weighing weighing = evaluate(r, person, reading);
  if (broken_background(r, person)) return false;
  if (p.kind == "choice-clash") return weighing.choices[index_of(r.choices, p.choice)].fits.size() > 1;
  if (p.kind == "choice-empty") return weighing.choices[index_of(r.choices, p.choice)].fits.empty();
  if (p.kind == "silence") return weighing.practices[index_of(r.practices, p.practice)].verdict == tree::Verdict::silent;
  if (p.form == "part" && !fires_at(r, p.sentences[0], person, reading)) return p.sense.find(" for more persons ") != std::string::npos;
  if (p.kind == "idle") return fires_at(r, p.sentences[0], person, reading);
  if (p.kind == "claim-refuted") return true;  // held to its figures in the test of its table
  return std::any_of(p.pairs.begin(), p.pairs.end(), [&](const auto& pair) {
    return fires_at(r, p.sentences[pair.first], person, reading) && fires_at(r, p.sentences[pair.second], person, reading);
  });
}

}  // namespace

TEST_CASE("every published ruleset opens with what it is and where its figures come from") {
  REQUIRE(rulesets().size() >= 54);
  for (const std::string& name : rulesets()) {
    const std::string comment = opening_comment(name);
    CAPTURE(name);
    const char* const said[] = {"read", "Read", "from memory", "computed"};
    CHECK(std::any_of(std::begin(said), std::end(said), [&](const char* how) { return comment.find(how) != std::string::npos; }));
    CHECK(std::count(comment.begin(), comment.end(), '\n') >= 2);
  }
}

TEST_CASE("every problem told of a published ruleset has a witness that shows it") {
  std::size_t witnesses = 0;
  for (const std::string& name : rulesets()) {
    if (std::find(cannot_be_read.begin(), cannot_be_read.end(), name) != cannot_be_read.end()) continue;
    const Table table(name);
    for (const Problem& problem : table.report().problems) {
      if (problem.kind == "unused" || problem.kind == "never-applies") continue;
      CAPTURE(name, problem.kind, problem.form, problem.practice, problem.choice, problem.school);
      REQUIRE(problem.witness);
      CHECK(shown(table.ruleset(), problem));
      ++witnesses;
    }
  }
  CHECK(witnesses >= 25);
}

TEST_CASE("every problem told of a published ruleset shows at its witness through a pack") {
  testing::PackReplays replays;
  for (const std::string& name : rulesets()) {
    if (std::find(cannot_be_read.begin(), cannot_be_read.end(), name) != cannot_be_read.end()) continue;
    const Table table(name);
    replays.add(name, table.ruleset(), table.report());
  }
  replays.print("published rulesets");
  CHECK(replays.wrong == "");
  CHECK(replays.witnesses >= 70);
  for (const char* kind : {"contradiction/head-on", "contradiction/swallowed", "contradiction/exception", "contradiction/crossing",
                           "dissent", "silence", "idle/sentence", "idle/part", "choice-clash", "choice-empty", "claim-refuted"}) {
    CAPTURE(kind);
    CHECK(replays.shown.count(kind) == 1);
  }
}
