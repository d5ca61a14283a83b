#include <CLI/CLI.hpp>
#include <filesystem>
#include <nlohmann/json.hpp>
#include <ostream>

#include "viz/terminal/files.h"
#include "viz/terminal/interview.h"
#include "viz/terminal/keys.h"
#include "viz/terminal/packs.h"
#include "viz/terminal/telling.h"
#include "viz/terminal/verb.h"
#include "viz/terminal/weigh_page.h"

namespace betony::terminal {
namespace {

constexpr std::size_t most_bytes_of_a_profile = std::size_t{1} << 20;

class AskVerb : public Verb {
 public:
  void declare(CLI::App& app) override {
    app.add_option("FILE", file_, "the ruleset, as source or as a pack")->required();
    app.add_option("--from", from_, "one person, as a JSON object of findings and values: what is already told")->check(names_a_file);
    app.add_option("--save", save_, "writes what was told, as such an object, readable by its owner only")->check(names_a_file);
    app.add_option("--school", school_, "reads one school alone")->type_name("NAME");
    app.add_option("--sealed-by", sealed_by_, "the file of a public key: refuses what is not a pack sealed with its secret key")->check(names_a_file);
    app.add_flag("--json", json_, "what comes out for other programs, as JSON; questions are put on the error stream");
  }

  int run(Surroundings& around) override {
    if (file_ == "-" || from_ == "-") throw Misuse("answers come from standard input; name the files of the ruleset and of what is told");
    int status = status_good;
    SealTold seal;
    const auto pack = pack_of_file(file_, {sealed_by_, json_}, around, seal, status);
    if (!pack) return status;
    const runtime::Names names(*pack);
    const runtime::Index reading = names.reading(school_);
    if (reading == runtime::no_index) throw Misuse("no school is called \"" + school_ + "\"");
    Telling told(*pack, names);
    if (!from_.empty()) tell_profile(FileBytes(from_, around.in).all({}, most_bytes_of_a_profile), from_, told);

    std::ostream& shown = json_ ? around.err : around.out;
    const Surface surface{around.width, around.colour && !json_};
    shown << opening_page(*pack, reading, seal, surface);
    Interview interview(*pack, names, reading, around.in, shown, surface);
    interview.hold(told.answers());
    const Weighed weighed(*pack, interview.answers(), reading, seal);
    around.out << (json_ ? weigh_json(weighed, around.out_is_terminal) : told_page(weighed, surface));
    if (!save_.empty()) save(*pack, interview.answers(), shown, surface);
    return status_good;
  }

 private:
  void save(const runtime::Pack& pack, const runtime::Answers& answers, std::ostream& shown, const Surface& surface) const {
    write_file(save_, profile_json(pack, answers) + "\n");
    std::error_code ignored;
    if (save_ != "-") std::filesystem::permissions(save_, std::filesystem::perms::owner_read | std::filesystem::perms::owner_write, ignored);
    Page page(surface);
    page.blank();
    page.paragraph("What was told is kept in " + save_ + ". It is about a person's health; keep it to those whom it concerns.");
    shown << page.text();
  }

  std::string file_, from_, save_, school_, sealed_by_;
  bool json_ = false;
};

}  // namespace

VerbEntry ask_verb() {
  return {"ask",
          "interviews one person, asking only what still matters",
          "Asks one person, a question at a time: red flags first, then whatever leads soonest to the verdicts. Nothing is asked that can no "
          "longer change anything; \"not known\" is an answer, \"why\" tells why something is asked, and any answer can be corrected. At the end "
          "stands what the teaching says. A red flag ends the interview with the referral.",
          {"betony ask rulesets/tamberlow/tamberlow.bty", "betony ask rulesets/tamberlow/tamberlow.bty --save guest.json"},
          [] { return std::unique_ptr<Verb>(std::make_unique<AskVerb>()); }};
}

}  // namespace betony::terminal
