#include <CLI/CLI.hpp>

#include <algorithm>
#include <ostream>
#include <set>
#include <thread>

#include "viz/terminal/keys.h"
#include "viz/terminal/packs.h"
#include "viz/terminal/telling.h"
#include "viz/terminal/verb.h"
#include "viz/terminal/weigh_page.h"
#include "viz/terminal/weigh_table.h"

namespace betony::terminal {
namespace {

using runtime::Index;
using runtime::no_index;

class WeighVerb : public Verb {
 public:
  void declare(CLI::App& app) override {
    const auto one_of = [](std::set<std::string> words) { return CLI::IsMember(std::move(words)).description(""); };
    app.add_option("FILE", file_, "the ruleset, as source or as a pack; - reads standard input")->required();
    app.add_option("PROFILES", profiles_,
                   "one person, as a JSON object of findings and values; or a table of persons, as CSV with a header (.csv) or as JSON lines "
                   "(.jsonl, .ndjson); - reads standard input. Where the name does not tell, the beginning of the text does");
    app.add_option("--set", set_, "one answer of one person: --set \"age=34\" --set \"fever=no\"")
        ->allow_extra_args(false)
        ->type_name("ANSWER");
    app.add_option("--school", school_, "reads one school alone")->type_name("NAME");
    app.add_option("--sealed-by", sealed_by_, "the file of a public key: refuses what is not a pack sealed with its secret key")->check(names_a_file);
    app.add_option("--as", as_, "PROFILES is a table of this kind, whatever it looks like: csv or lines")
        ->check(one_of({"csv", "lines"}))
        ->type_name("KIND");
    app.add_option("--keep", keep_, "of a table: a column that stands in the answer as it is; may be said again. Without it rows are numbered")
        ->allow_extra_args(false)
        ->type_name("COLUMN");
    app.add_option("--bad", bad_,
                   "of a table: what to do at a row that cannot be weighed: skip (usual) tells it and goes on, stop ends there; exit status 1")
        ->check(one_of({"skip", "stop"}))
        ->type_name("WHAT");
    app.add_option("--cores", cores_,
                   "of a table: how many batches of rows are weighed side by side (usual: as many as the machine has cores, 4 at most)")
        ->check(CLI::Range(1, 64).description(""))
        ->type_name("N");
    app.add_flag("--json", json_, "the answer for other programs, as JSON; of a table an object a line");
  }

  int run(Surroundings& around) override {
    if (file_ == "-" && profiles_ == "-") throw Misuse("the ruleset and the profile cannot both come from standard input");
    if (asks_for_a_table() && profiles_.empty())
      throw Misuse("--as, --keep, --bad and --cores are for tables of persons; name the table behind the ruleset");
    int status = status_good;
    SealTold seal;
    const auto pack = pack_of_file(file_, {sealed_by_, json_}, around, seal, status);
    if (!pack) return status;
    const runtime::Names names(*pack);
    const Index reading = names.reading(school_);
    if (reading == no_index) throw Misuse("no school is called \"" + school_ + "\"");
    Telling telling(*pack, names);
    if (!profiles_.empty()) {
      Profiles profiles(profiles_, around.in, kind(), asks_for_a_table());
      if (profiles.kind() != ProfileKind::one) return weigh_rows(*pack, reading, profiles, seal, around);
      tell_profile(profiles.person(), profiles_, telling);
    }
    for (const std::string& answer : set_) tell_answer(telling, answer);
    const Weighed weighed(*pack, telling.answers(), reading, seal);
    around.out << (json_ ? weigh_json(weighed, around.out_is_terminal) : weigh_page(weighed, {around.width, around.colour}));
    return status_good;
  }

 private:
  bool asks_for_a_table() const { return !as_.empty() || !keep_.empty() || !bad_.empty() || cores_; }
  std::optional<ProfileKind> kind() const {
    if (as_.empty()) return std::nullopt;
    return as_ == "csv" ? ProfileKind::csv : ProfileKind::json_lines;
  }

  int weigh_rows(const runtime::Pack& pack, Index reading, Profiles& table, const SealTold& seal, Surroundings& around) const {
    if (!set_.empty()) throw Misuse("--set tells of one person, and \"" + profiles_ + "\" is a table of them");
    std::set<std::string> columns;
    for (const std::string& column : keep_)
      if (!columns.insert(runtime::folded(column)).second) throw Misuse("--keep \"" + column + "\" is said twice");
    const unsigned usual = std::min(std::max(1u, std::thread::hardware_concurrency()), 4u);
    return weigh_table(pack, table, {{reading, keep_, json_, bad_ == "stop", around.out_is_terminal, seal}, cores_.value_or(usual)}, around);
  }

  static void tell_answer(Telling& telling, const std::string& answer) {
    const std::size_t at = answer.find('=');
    if (at == std::string::npos) throw Misuse("--set takes a finding and its value: --set \"age=34\"");
    telling.tell(answer.substr(0, at), answer.substr(at + 1));
  }

  std::string file_, profiles_, school_, sealed_by_, as_, bad_;
  std::vector<std::string> set_, keep_;
  std::optional<unsigned> cores_;
  bool json_ = false;
};

}  // namespace

VerbEntry weigh_verb() {
  return {"weigh",
          "the verdict for each practice for one person, with the why, or for a table of persons",
          "Weighs persons: what the teaching says of every practice; of one person because of which sentences too. Where not everything is "
          "told, a verdict is given only where every answer that could still come leads to it; else it is unanswered. "
          "A table of persons gives a table: a row each, with a column for the verdict of every practice, one whether with care, and one for "
          "the dose. "
          "It may have any number of rows. Rows that cannot be weighed are told on the error stream and passed over; the exit status is then 1.",
          {"betony weigh rulesets/tamberlow/tamberlow.bty --set \"fever=no\"", "betony weigh rulesets/tamberlow/tamberlow.bty --json",
           R"(printf 'age\n9\n' | betony weigh rulesets/tamberlow/tamberlow.bty - --keep age)",
           "echo {} | betony weigh rulesets/tamberlow/tamberlow.bty - --as lines --json"},
          [] { return std::unique_ptr<Verb>(std::make_unique<WeighVerb>()); }};
}

}  // namespace betony::terminal
