#include <CLI/CLI.hpp>

#include <algorithm>
#include <charconv>
#include <filesystem>
#include <ostream>
#include <thread>

#include "compiler/trial/trial.h"
#include "runtime/persons.h"
#include "viz/terminal/files.h"
#include "viz/terminal/packing.h"
#include "viz/terminal/profiles.h"
#include "viz/terminal/progress.h"
#include "viz/terminal/read_json.h"
#include "viz/terminal/read_page.h"
#include "viz/terminal/try_page.h"
#include "viz/terminal/verb.h"

namespace betony::terminal {
namespace {

constexpr std::size_t most_persons = 200'000;   // of a table that samples are drawn from: they are held in memory

// "30s", "2min": nothing if it is not a time.
std::optional<std::chrono::milliseconds> time_of(const std::string& words) {
  std::uint64_t number = 0;
  const auto [next, error] = std::from_chars(words.data(), words.data() + words.size(), number);
  const std::string unit(next, words.data() + words.size());
  if (error != std::errc() || number == 0 || number > 100'000) return std::nullopt;
  if (unit == "s") return std::chrono::seconds(number);
  if (unit == "min") return std::chrono::minutes(number);
  if (unit == "h") return std::chrono::hours(number);
  return std::nullopt;
}

// The persons of a table, as the typed ruleset has their answers.
class Takes : public runtime::PersonTaker {
 public:
  Takes(std::size_t findings, std::ostream& err) : findings_(findings), err_(err) {}
  void block(runtime::PersonBlock&) override {}
  void open(runtime::OpenPerson& person) override {
    if (persons.size() >= most_persons) return;
    Profile& profile = persons.emplace_back(findings_);
    for (std::size_t f = 0; f < findings_; ++f)
      if (const auto& answer = person.answers[f])
        profile[f] = Value{static_cast<Value::Kind>(answer->kind), answer->word, rational(answer->number)};
  }
  void bad(const runtime::BadRow& row) override {
    if (++bad_rows <= 10) err_ << "row " << row.row << (row.column.empty() ? "" : ", column \"" + row.column + "\"") << ": " << row.wrong << "\n";
  }

  trial::Persons persons;
  std::size_t bad_rows = 0;

 private:
  // A decimal or a fraction, as Number writes it.
  static Rational rational(const runtime::Number& number) {
    std::string words = number.words();
    const std::size_t point = words.find('.');
    if (point == std::string::npos) return canonical(Rational(words));
    const std::size_t places = words.size() - point - 1;
    words.erase(point, 1);
    return canonical(Rational(words + "/1" + std::string(places, '0'), 10));
  }
  static Rational canonical(Rational number) {
    number.canonicalize();
    return number;
  }

  const std::size_t findings_;
  std::ostream& err_;
};

class TryVerb : public Verb {
 public:
  void declare(CLI::App& app) override {
    app.add_option("FILE", file_, "the ruleset, or a table that ends in .csv; - reads standard input")->required();
    app.add_option("--samples", samples_, "how many persons are drawn (usual: 100000)")
        ->check(CLI::Range(std::uint64_t{1}, std::uint64_t{1'000'000'000'000}).description(""))
        ->type_name("N");
    app.add_option("--time", time_, "draws persons for so long instead: 30s, 5min")->type_name("TIME");
    app.add_option("--seed", seed_, "the same seed and number of persons give the same answer (usual: 1)")->type_name("N");
    app.add_option("--population", population_,
                   "who comes: the name of a Population of the ruleset, or a table of persons (.csv, .jsonl); half of the samples are drawn so")
        ->type_name("NAME|FILE");
    app.add_flag("--no-mutants", no_mutants_, "does not look for sentences that could be changed unnoticed");
    app.add_flag("--json", json_, "the answer for other programs, as JSON");
    app.add_option("--cores", cores_, "how many threads draw and weigh (usual: as many as the machine has cores, 4 at most); the answer is the same")
        ->check(CLI::Range(1, 64).description(""))
        ->type_name("N");
  }

  int run(Surroundings& around) override {
    trial::Trying how;
    if (time_ && samples_) throw Misuse("--samples and --time cannot both be said");
    if (time_ && !(how.time = time_of(*time_))) throw Misuse("--time is a number with s, min or h: --time 30s");
    RulesetFiles files(file_, around.in);
    const auto ruleset = read_ruleset(files.main(), files.others());
    if (!ruleset) {
      around.out << (json_ ? unreadable_json(files.all(), ruleset.messages, around.out_is_terminal)
                           : unreadable_page(files.all(), ruleset.messages, {around.width, around.colour}));
      return status_unreadable;
    }
    const trial::Trial told = tried(*ruleset.value, how, around);
    around.out << (json_ ? try_json(*ruleset.value, told, around.out_is_terminal) : try_page(*ruleset.value, told, {around.width, around.colour}));
    return told.failed() ? status_no : status_good;
  }

 private:
  trial::Trial tried(const Ruleset& ruleset, trial::Trying how, Surroundings& around) const {
    how.samples = samples_.value_or(how.samples);
    how.seed = seed_.value_or(how.seed);
    how.threads = cores_.value_or(std::min(std::max(1u, std::thread::hardware_concurrency()), 4u));
    how.mutants = !no_mutants_;
    trial::Persons persons;
    if (!population_.empty()) find_population(ruleset, persons, how, around);
    Report report;
    {
      Progress progress(around.err, around.err_is_terminal, "practices, choices and claims");
      report = check(ruleset, {}, {how.threads, nullptr, [&](std::size_t done, std::size_t of) { progress(done, of); }});
    }
    Progress progress(around.err, around.err_is_terminal, "persons");
    how.progress = [&](std::uint64_t done, std::uint64_t of) { of ? progress(done, of) : progress(done); };
    Progress sentences(around.err, around.err_is_terminal, "sentences, changed in every way");
    how.mutant_progress = [&](std::uint64_t done, std::uint64_t of) { progress.wipe(), sentences(done, of); };
    try {
      return trial::try_out(ruleset, &report, how);
    } catch (const BudgetMet&) {
      throw FileTrouble("\"" + file_ + "\" cannot be tried: its conditions are too many to be held at once");
    }
  }

  void find_population(const Ruleset& ruleset, trial::Persons& persons, trial::Trying& how, Surroundings& around) const {
    for (const Population& population : ruleset.populations)
      if (runtime::folded(population.title) == runtime::folded(population_)) {
        how.population = &population;
        return;
      }
    if (!kind_by_name(population_)) {
      std::string there;
      for (const Population& population : ruleset.populations) there += (there.empty() ? "; there is \"" : ", \"") + population.title + "\"";
      throw Misuse("no Population is called \"" + population_ + "\"" + there + ", and a table of persons ends in .csv or .jsonl");
    }
    persons = read_persons(ruleset, around);
    if (persons.empty()) throw FileTrouble("\"" + population_ + "\" has no row that can be read");
    how.persons = &persons;
  }

  trial::Persons read_persons(const Ruleset& ruleset, Surroundings& around) const {
    const runtime::Pack pack = pack_within_bounds(ruleset, {}, {"betony", true});
    Profiles table(population_, around.in, kind_by_name(population_), true);
    Takes takes(ruleset.findings.size(), around.err);
    const auto format = table.kind() == ProfileKind::csv ? runtime::TableFormat::csv : runtime::TableFormat::json_lines;
    runtime::PersonTable rows(pack, {format, {}, false, false}, takes);
    for (std::string_view piece = table.next(); !piece.empty() && rows.feed(piece);) piece = table.next();
    rows.finish();
    if (rows.trouble()) throw FileTrouble("\"" + population_ + "\" cannot be used: " + rows.trouble()->wrong);
    if (takes.bad_rows > 0) around.err << takes.bad_rows << " rows of \"" << population_ << "\" cannot be read; persons are drawn from the others.\n";
    if (takes.persons.size() == most_persons) around.err << "Only the first " << most_persons << " rows of \"" << population_ << "\" are drawn from.\n";
    return std::move(takes.persons);
  }

  std::string file_, population_;
  std::optional<std::uint64_t> samples_, seed_;
  std::optional<std::string> time_;
  std::optional<unsigned> cores_;
  bool json_ = false, no_mutants_ = false;
};

}  // namespace

VerbEntry try_verb() {
  return {"try",
          "attacks claims, samples and doses with persons drawn by chance, and tells what nobody would miss",
          "Tries a ruleset: claims, expectations, doses, bans, company and order are attacked with persons drawn by chance, at the edges of every "
          "threshold, or as a population is. What fails is told by the plainest person who shows it, as a Profile sentence to paste. "
          "Where exact checking settles a matter that is told, and nothing is guessed. "
          "Then: what no sample reached, with how likely it is; and which sentences could be struck, turned or moved by a step without a "
          "claim or an expectation turning out otherwise. Exit status 1 where something failed.",
          {"betony try rulesets/tamberlow/tamberlow.bty", "betony try rulesets/lantern-lakes/lantern-lakes.bty --samples 1000000 --seed 7 --json",
           "betony try rulesets/tamberlow/tamberlow.bty --population rulesets/tamberlow/guests.csv"},
          [] { return std::unique_ptr<Verb>(std::make_unique<TryVerb>()); }};
}

}  // namespace betony::terminal
