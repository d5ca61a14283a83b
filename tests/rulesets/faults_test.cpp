#include <catch2/catch.hpp>

#include <algorithm>
#include <nlohmann/json.hpp>
#include <set>

#include "worlds.h"

using namespace betony;
using namespace betony::worlds;

namespace {

// One line of faults.json: what a real book did wrong, and how the checks tell it.
struct Fault {
  std::string file, kind, form, severity, practice, choice, finding, school, story;
  unsigned line = 0;
};

std::vector<Fault> planted_in(const Edition& edition) {
  const auto path = path_of(edition.file).parent_path() / "faults.json";
  const auto json = nlohmann::json::parse(bytes_of(path).value());
  std::vector<Fault> faults;
  for (const auto& f : json.at("faults"))
    faults.push_back({f.at("file"), f.at("kind"), f.value("form", ""), f.at("severity"), f.value("practice", ""),
                      f.value("choice", ""), f.value("finding", ""), f.value("school", ""), f.at("story"), f.at("line")});
  return faults;
}

// Whether one of the problem's sentences begins at the fault's line, or holds it.
bool stands_at(const Ruleset& ruleset, const Problem& p, const Fault& f) {
  return std::ranges::any_of(p.sentences, [&](const Concerned& s) {
    const SourceFile& file = ruleset.tree.files.at(s.place.file);
    const LineIndex lines(file.text);
    return file.name == f.file && lines.at(s.place.span.begin).line <= f.line && f.line <= lines.at(s.place.span.end).line;
  });
}

bool tells(const Ruleset& ruleset, const Problem& p, const Fault& f) {
  return p.kind == f.kind && p.form == f.form && word(p.severity) == f.severity && p.practice == f.practice &&
         p.choice == f.choice && p.finding == f.finding && p.school == f.school && stands_at(ruleset, p, f);
}

std::string show(const Fault& f) {
  return f.severity + " " + f.kind + "/" + f.form + " " + f.practice + f.choice + f.finding + " at " + f.file + ":" +
         std::to_string(f.line) + "\n";
}

}  // namespace

TEST_CASE("every planted fault of an earlier edition is told exactly once") {
  for (const auto& edition : earlier()) {
    const auto& [ruleset, report] = checked(edition);
    CHECK(report.settled());
    std::string wrong;
    for (const auto& fault : planted_in(edition)) {
      const auto times = std::ranges::count_if(report.problems, [&](const Problem& p) { return tells(ruleset, p, fault); });
      if (times != 1) wrong += std::to_string(times) + " times: " + show(fault);
    }
    INFO(edition.name);
    CHECK(wrong == "");
  }
}

TEST_CASE("nothing worse than a note is told of an earlier edition that was not planted") {
  for (const auto& edition : earlier()) {
    const auto& [ruleset, report] = checked(edition);
    const auto faults = planted_in(edition);
    std::string unplanted;
    for (const auto& p : report.problems)
      if (p.severity != Severity::note &&
          std::ranges::none_of(faults, [&](const Fault& f) { return tells(ruleset, p, f); }))
        unplanted += show(ruleset, p);
    INFO(edition.name);
    CHECK(unplanted == "");
  }
}

TEST_CASE("no planted fault is left in a newest edition") {
  for (std::size_t world = 0; world < newest().size(); ++world) {
    const auto& [ruleset, report] = checked(newest()[world]);
    std::string left;
    for (const auto& fault : planted_in(earlier()[world]))
      for (const auto& p : report.problems)
        if (p.severity != Severity::note && p.kind == fault.kind && p.practice == fault.practice && p.choice == fault.choice)
          left += show(ruleset, p);
    CHECK(left == "");
  }
}

TEST_CASE("each earlier edition holds at least fifteen faults, and together they are of every kind and form") {
  const std::set<std::string> every = {
      "contradiction/head-on error", "contradiction/head-on question", "contradiction/swallowed error",
      "contradiction/swallowed question", "contradiction/exception note", "contradiction/crossing question",
      "contradiction/crossing note", "dissent/ note", "silence/ question", "never-applies/ error",
      "never-applies/already-referred note", "never-applies/already-outside note", "idle/sentence question", "idle/part question", "idle/part note",
      "idle/twice-attested note", "choice-clash/ error", "choice-empty/ question", "claim-refuted/ error",
      "expectation-failed/ error", "dose-clash/ error", "dose-missing/ question", "order-loop/order error",
      "order-loop/times error", "broken-company/never-with error", "broken-company/needs question",
      "broken-company/leads-to question", "unused/ note", "uncited/ note", "unasked/ note"};
  for (const auto& edition : earlier()) {
    const auto faults = planted_in(edition);
    CHECK(faults.size() >= 15);
    std::set<std::string> kinds;
    for (const auto& f : faults) kinds.insert(f.kind + "/" + f.form + " " + f.severity);
    INFO(edition.name);
    CHECK(kinds == every);
  }
}
