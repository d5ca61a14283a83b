#include <CLI/CLI.hpp>
#include <fmt/format.h>

#include <filesystem>
#include <nlohmann/json.hpp>
#include <ostream>
#include <thread>

#include "viz/terminal/files.h"
#include "viz/terminal/keys.h"
#include "viz/terminal/packing.h"
#include "viz/terminal/packs.h"
#include "viz/terminal/progress.h"
#include "viz/terminal/read_json.h"
#include "viz/terminal/read_page.h"
#include "viz/terminal/verb.h"

namespace betony::terminal {
namespace {

class ShipVerb : public Verb {
 public:
  void declare(CLI::App& app) override {
    app.add_option("FILE", file_, "the ruleset; - reads standard input");
    app.add_option("-o,--out", out_, "the pack that is written");
    app.add_option("--key", key_, "the file of a secret key, NAME.secret: seals the pack with it")->check(names_a_file);
    app.add_option("--new-key", new_key_, "makes a key for seals, in NAME.secret and NAME.public; ships nothing")->check(names_a_file);
    app.add_flag("--even-so", even_so_, "ships a ruleset that has errors or is not settled; the pack says so for ever");
    app.add_flag("--json", json_, "the answer for other programs, as JSON");
  }

  int run(Surroundings& around) override {
    if (!new_key_.empty()) return new_key(around);
    if (file_.empty()) throw Misuse("name the file of a ruleset, or - for standard input");
    if (out_.empty()) throw Misuse("name the pack that is to be written: -o NAME.pack");
    std::error_code ignored;
    if (!key_.empty() && std::filesystem::equivalent(out_, key_, ignored)) throw Misuse("the pack would be written over your key");
    const auto key = key_.empty() ? std::nullopt : std::optional(secret_key(key_));
    RulesetFiles files(file_, around.in);
    const auto ruleset = read_ruleset(files.main(), files.others());
    if (!ruleset) {
      around.out << (json_ ? unreadable_json(files.all(), ruleset.messages, around.out_is_terminal)
                           : unreadable_page(files.all(), ruleset.messages, {around.width, around.colour}));
      return status_unreadable;
    }
    Progress progress(around.err, around.err_is_terminal, "practices, choices and claims");
    const unsigned threads = std::min(std::max(1u, std::thread::hardware_concurrency()), 4u);
    const Report report = check(*ruleset.value, {}, {threads, nullptr, [&](std::size_t done, std::size_t of) { progress(done, of); }});
    const std::size_t errors = report.count(Severity::error);
    const bool sound = errors == 0 && report.settled();
    if (!sound && !even_so_) return refuse(around, report, errors);
    const runtime::Pack pack = pack_within_bounds(*ruleset.value, report, {"betony " BETONY_VERSION, !sound});
    auto bytes = runtime::write_pack(pack);
    SealTold seal{true, std::nullopt};
    if (key) bytes = sealed(bytes, *key), seal.by = key->public_key();
    write_file(out_, std::string(bytes.begin(), bytes.end()));
    tell(around, pack, bytes.size(), seal);
    return status_good;
  }

 private:
  int new_key(Surroundings& around) const {
    if (!file_.empty() || !out_.empty() || !key_.empty() || even_so_)
      throw Misuse("--new-key makes a key and ships nothing; it goes with --json alone");
    return make_key_files(new_key_, json_, around);
  }

  static std::vector<std::uint8_t> sealed(const std::vector<std::uint8_t>& pack, const seal::SecretKey& key) {
    auto sealing = seal::seal_pack(pack, key);
    if (!sealing.wrong.empty()) throw std::runtime_error(sealing.wrong);
    return std::move(sealing.bytes);
  }

  int refuse(Surroundings& around, const Report& report, std::size_t errors) const {
    if (json_) {
      around.out << nlohmann::ordered_json{{"betony", 1}, {"shipped", false}, {"errors", errors}, {"settled", report.settled()}}.dump() << '\n';
      return status_no;
    }
    if (errors > 0) around.out << fmt::format("Not shipped: {} {} to be mended. \"betony read {}\" shows {}.\n", errors, errors == 1 ? "error has" : "errors have", file_, errors == 1 ? "it" : "them");
    else around.out << fmt::format("Not shipped: {} not settled within the budget. \"betony read {}\" tells more.\n", report.not_settled.size() == 1 ? report.not_settled[0] + " is" : "some practices are", file_);
    around.out << "With --even-so it is shipped as it is, and the pack says so for ever.\n";
    return status_no;
  }

  void tell(Surroundings& around, const runtime::Pack& pack, std::size_t size, const SealTold& seal) const {
    if (json_) {
      around.out << nlohmann::ordered_json{{"betony", 1},       {"shipped", true},           {"pack", out_},           {"bytes", size},
                                           {"ruleset", pack.about.title}, {"edition", pack.about.edition}, {"even_so", pack.about.even_so},
                                           {"seal", seal_json(seal)}}
                        .dump(-1, ' ', false, nlohmann::ordered_json::error_handler_t::replace)
                 << '\n';
      return;
    }
    around.out << fmt::format("{}: {} practices, {} findings, {} sentences, {} bytes.\n", out_, pack.practices.size(), pack.findings.size(), pack.sentences.size(), size);
    around.out << seal_line(seal) << '\n';
    if (pack.about.even_so) around.out << "It was shipped though it has errors or is not settled, and says so.\n";
  }

  std::string file_, out_, key_, new_key_;
  bool even_so_ = false, json_ = false;
};

}  // namespace

VerbEntry ship_verb() {
  return {"ship",
          "writes a pack: the compiled ruleset that other programs weigh persons with",
          "Checks a ruleset and writes it as a pack: one file that the runtime reads, verified, with the texts, the citations and the "
          "caution in it. A ruleset with errors, or one that is not settled, is not shipped unless you say so. With a key of yours the pack is "
          "sealed: whoever has the public half can tell that it came from you and that nothing in it was changed.",
          {"betony ship rulesets/tamberlow/tamberlow.bty -o tamberlow.pack", "betony ship --new-key hill",
           "betony ship rulesets/tamberlow/tamberlow.bty -o tamberlow.pack --key hill.secret"},
          [] { return std::unique_ptr<Verb>(std::make_unique<ShipVerb>()); }};
}

}  // namespace betony::terminal
