#include <CLI/CLI.hpp>

#include <charconv>
#include <optional>
#include <ostream>

#include "compiler/compiler.h"
#include "viz/terminal/files.h"
#include "viz/terminal/read_json.h"
#include "viz/terminal/read_page.h"
#include "viz/terminal/verb.h"

namespace betony::terminal {
namespace {

// "4000000" or "4000000,80000000": nodes, and steps where they are not to grow with the nodes.
Budget budget_of(const std::string& words) {
  std::uint64_t numbers[2] = {0, 0};
  const char *at = words.data(), *end = at + words.size();
  for (auto& number : numbers) {
    const auto [next, error] = std::from_chars(at, end, number);
    const bool last = next == end;
    if (error != std::errc() || number == 0 || number > 1'000'000'000'000 || (!last && *next != ','))
      throw Misuse("--budget is a number of nodes, or of nodes and steps: --budget 4000000,80000000");
    at = last ? end : next + 1;
    if (last) break;
  }
  if (at != end || words.empty() || words.back() == ',')
    throw Misuse("--budget is a number of nodes, or of nodes and steps: --budget 4000000,80000000");
  const Budget usual;
  Budget budget;
  budget.nodes = numbers[0];
  budget.steps = numbers[1] ? numbers[1] : numbers[0] * (usual.steps / usual.nodes);
  budget.total_steps = budget.steps * (usual.total_steps / usual.steps);
  return budget;
}

class ReadVerb : public Verb {
 public:
  void declare(CLI::App& app) override {
    app.add_option("FILE", file_, "the ruleset, or a table that ends in .csv; - reads standard input")->required();
    app.add_flag("--table", table_, "FILE is a table, whatever its name; for standard input");
    app.add_flag("--json", json_, "the answer for other programs, as JSON");
    app.add_flag("--strict", strict_, "questions, and what is not settled, fail as errors do");
    app.add_option("--budget", budget_,
                   "how large the checks of one practice may grow before they say \"not settled\": decision nodes, and "
                   "after a comma steps (usual: 2000000,40000000)")
        ->type_name("NODES,STEPS");
  }

  int run(Surroundings& around) override {
    const Budget budget = budget_ ? budget_of(*budget_) : Budget();
    RulesetFiles files(file_, around.in, table_);
    const auto ruleset = read_ruleset(files.main(), files.others());
    if (!ruleset) {
      around.out << (json_ ? unreadable_json(files.all(), ruleset.messages, around.out_is_terminal)
                           : unreadable_page(files.all(), ruleset.messages, {around.width, around.colour}));
      return status_unreadable;
    }
    const Report report = check(*ruleset.value, budget);
    around.out << (json_ ? read_json(*ruleset.value, report, around.out_is_terminal)
                         : read_page(*ruleset.value, report, {around.width, around.colour}));
    return status(report);
  }

 private:
  int status(const Report& report) const {
    const bool fails = report.count(Severity::error) > 0;
    const bool fails_strictly = report.count(Severity::question) > 0 || !report.settled();
    return fails || (strict_ && fails_strictly) ? status_no : status_good;
  }

  std::string file_;
  std::optional<std::string> budget_;
  bool json_ = false, strict_ = false, table_ = false;
};

}  // namespace

VerbEntry read_verb() {
  return {"read",
          "reads a ruleset, runs every check, tells what is wrong and what to write",
          "Reads a ruleset and checks it: where sentences contradict each other, where the teaching falls silent, what "
          "never applies, which claims do not hold. Every problem comes with the sentences concerned and, where there "
          "is one, a witness: a person on whom it shows. Where no problem is told, none is there.",
          {"betony read rulesets/tamberlow/tamberlow.bty", "betony read rulesets/tamberlow/steam-loft.csv"},
          [] { return std::unique_ptr<Verb>(std::make_unique<ReadVerb>()); }};
}

}  // namespace betony::terminal
