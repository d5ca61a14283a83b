#include <CLI/CLI.hpp>
#include <fmt/chrono.h>

#include <algorithm>
#include <charconv>
#include <chrono>
#include <ctime>
#include <optional>
#include <ostream>
#include <thread>

#include "compiler/compiler.h"
#include "viz/terminal/files.h"
#include "viz/terminal/progress.h"
#include "viz/terminal/read_json.h"
#include "viz/terminal/read_page.h"
#include "viz/terminal/verb.h"

namespace betony::terminal {
namespace {

constexpr const char* budget_words =
    "--budget is a number of nodes, of nodes and steps, or a time, or all of them: --budget 4000000,80000000,30s";

// "30s", "2min": nothing if it is not a time.
std::optional<std::chrono::milliseconds> time_of(const std::string& words) {
  std::uint64_t number = 0;
  const auto [next, error] = std::from_chars(words.data(), words.data() + words.size(), number);
  const std::string unit(next, words.data() + words.size());
  if (error != std::errc() || number == 0 || number > 1'000'000) return std::nullopt;
  if (unit == "s") return std::chrono::seconds(number);
  if (unit == "min") return std::chrono::minutes(number);
  if (unit == "h") return std::chrono::hours(number);
  return std::nullopt;
}

// "4000000", "4000000,80000000": nodes, and steps where they are not to grow with the nodes; "30s": a time.
Budget budget_of(const std::string& words) {
  std::vector<std::uint64_t> numbers;
  std::optional<std::chrono::milliseconds> time;
  for (std::size_t at = 0; at <= words.size();) {
    const std::size_t end = std::min(words.find(',', at), words.size());
    const std::string piece = words.substr(at, end - at);
    std::uint64_t number = 0;
    const auto [next, error] = std::from_chars(piece.data(), piece.data() + piece.size(), number);
    const bool is_number = error == std::errc() && next == piece.data() + piece.size() && number > 0 && number <= 1'000'000'000'000;
    if (is_number && numbers.size() < 2 && !time) numbers.push_back(number);
    else if (const auto read = time_of(piece); read && !time) time = read;
    else throw Misuse(budget_words);
    at = end + 1;
  }
  const Budget usual;
  Budget budget;
  if (!numbers.empty()) {
    budget.nodes = numbers[0];
    budget.steps = numbers.size() > 1 ? numbers[1] : numbers[0] * (usual.steps / usual.nodes);
    budget.total_steps = budget.steps * (usual.total_steps / usual.steps);
  }
  if (time) budget.until = Account::Clock::now() + *time;
  return budget;
}

// When the files of a ruleset were last written, and how long they are; of one that is not there nothing.
using Stamps = std::vector<std::optional<std::pair<std::filesystem::file_time_type, std::uintmax_t>>>;

Stamps stamps_of(const std::vector<std::filesystem::path>& paths) {
  Stamps stamps;
  for (const auto& path : paths) {
    std::error_code no_time, no_size;
    const auto time = std::filesystem::last_write_time(path, no_time);
    const auto size = std::filesystem::file_size(path, no_size);
    if (no_time || no_size) stamps.emplace_back();
    else stamps.emplace_back(std::pair(time, size));
  }
  return stamps;
}

// Returns when one of the files has changed and is left in peace.
void wait_for_change(const std::vector<std::filesystem::path>& paths, const Stamps& before) {
  using namespace std::chrono_literals;
  Stamps now = before;
  while (now == before || !now[0]) {
    std::this_thread::sleep_for(150ms);
    now = stamps_of(paths);
  }
  for (Stamps later; later != now; now = later) {  // an editor may write in several goes
    std::this_thread::sleep_for(50ms);
    later = stamps_of(paths);
    if (later == now) break;
  }
}

class ReadVerb : public Verb {
 public:
  void declare(CLI::App& app) override {
    app.add_option("FILE", file_, "the ruleset, or a table that ends in .csv; - reads standard input")->required();
    app.add_flag("--table", table_, "FILE is a table, whatever its name; for standard input");
    app.add_flag("--json", json_, "the answer for other programs, as JSON");
    app.add_flag("--strict", strict_, "questions, and what is not settled, fail as errors do");
    app.add_flag("--watch", watch_, "stays, and reads again whenever a file of the ruleset is written; what an edit does not touch is not looked at again");
    app.add_option("--budget", budget_,
                   "how large the checks of one practice may grow before they say \"not settled\": decision nodes, and "
                   "after a comma steps (usual: 2000000,40000000); or how long all of it may last: 30s, 5min")
        ->type_name("NODES,STEPS,TIME");
    app.add_option("--cores", cores_, "how many practices are looked at side by side (usual: as many as the machine has cores, 4 at most)")
        ->check(CLI::Range(1, 64).description(""))
        ->type_name("N");
  }

  int run(Surroundings& around) override {
    if (budget_) budget_of(*budget_);
    if (!watch_) return read(around, nullptr).status;
    if (file_ == "-") throw Misuse("--watch needs a file; standard input is read once");
    Memory memory;
    Reading last = read(around, &memory);
    for (;;) {
      around.out.flush();
      if (!around.out) return last.status;
      wait_for_change(last.paths, last.stamps);
      if (!json_) around.out << heading();
      try {
        last = read(around, &memory);
      } catch (const FileTrouble& trouble) {  // an editor may take a file away for a moment
        around.out << trouble.what() << "\n";
        last.stamps = stamps_of(last.paths);
      }
    }
  }

 private:
  struct Reading {
    int status;
    std::vector<std::filesystem::path> paths;
    Stamps stamps;
  };

  Reading read(Surroundings& around, Memory* memory) const {
    RulesetFiles files(file_, around.in, table_);
    const std::filesystem::path main = files.path(0).value_or("-");
    Reading reading{status_unreadable, {main}, stamps_of({main})};
    const auto ruleset = read_ruleset(files.main(), files.others());
    for (std::size_t f = 1; f < files.all().size(); ++f)
      if (const auto path = files.path(f)) reading.paths.push_back(*path);
    const Stamps all = stamps_of(reading.paths);  // of the first from before it was read
    reading.stamps.insert(reading.stamps.end(), all.begin() + 1, all.end());
    if (!ruleset) {
      around.out << (json_ ? unreadable_json(files.all(), ruleset.messages, around.out_is_terminal)
                           : unreadable_page(files.all(), ruleset.messages, {around.width, around.colour}));
      return reading;
    }
    const Report report = checked(*ruleset.value, around, memory);
    around.out << (json_ ? read_json(*ruleset.value, report, around.out_is_terminal)
                         : read_page(*ruleset.value, report, {around.width, around.colour}));
    reading.status = status(report);
    return reading;
  }

  Report checked(const Ruleset& ruleset, Surroundings& around, Memory* memory) const {
    Progress progress(around.err, around.err_is_terminal, "practices, choices and claims");
    const unsigned usual = std::min(std::max(1u, std::thread::hardware_concurrency()), 4u);
    return check(ruleset, budget_ ? budget_of(*budget_) : Budget(),
                 {cores_ ? *cores_ : usual, memory, [&](std::size_t done, std::size_t of) { progress(done, of); }});
  }

  std::string heading() const {
    const std::time_t now = std::time(nullptr);
    return fmt::format("\nRead again at {:%H:%M:%S}\n\n", fmt::localtime(now));
  }

  int status(const Report& report) const {
    const bool fails = report.count(Severity::error) > 0;
    const bool fails_strictly = report.count(Severity::question) > 0 || !report.settled();
    return fails || (strict_ && fails_strictly) ? status_no : status_good;
  }

  std::string file_;
  std::optional<std::string> budget_;
  std::optional<unsigned> cores_;
  bool json_ = false, strict_ = false, table_ = false, watch_ = false;
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
