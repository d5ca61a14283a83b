#include <CLI/CLI.hpp>
#include <fmt/format.h>

#include <filesystem>
#include <fstream>
#include <nlohmann/json.hpp>
#include <ostream>
#include <set>

#include "viz/terminal/files.h"
#include "viz/terminal/keys.h"
#include "viz/terminal/read_json.h"
#include "viz/terminal/read_page.h"
#include "viz/terminal/verb.h"
#include "viz/terminal/packing.h"
#include "viz/terminal/weigh_page.h"

namespace betony::terminal {
namespace {

using runtime::Answers;
using runtime::Index;
using runtime::no_index;

constexpr std::size_t most_bytes_of_a_profile = std::size_t{1} << 20;

// What comes from a pipe is gone once it was looked at, and so is taken for source.
bool is_pack(const std::string& path) {
  std::error_code ignored;
  if (!std::filesystem::is_regular_file(path, ignored)) return false;
  char begin[8] = {};
  std::ifstream file(path, std::ios::binary);
  return file.read(begin, sizeof begin) && std::string_view(begin, sizeof begin) == "btnypack";
}

// Answers as they come, by name.
class Telling {
 public:
  Telling(const runtime::Pack& pack, const runtime::Names& names) : pack_(pack), names_(names), answers_(pack.findings.size()) {}

  const Answers& answers() const { return answers_; }

  void tell(const std::string& name, const std::string& value) {
    const Index f = finding(name);
    take(name, f, runtime::value_of_text(pack_, f, value));
  }

  void tell(const std::string& name, const nlohmann::json& value) {
    if (value.is_null()) return;
    if (value.is_string()) return tell(name, value.get<std::string>());
    const Index f = finding(name);
    if (value.is_boolean()) return take(name, f, runtime::value_of_text(pack_, f, value.get<bool>() ? "yes" : "no"));
    const auto number = value.is_number_unsigned()  ? std::optional(runtime::Number(value.get<std::uint64_t>()))
                        : value.is_number_integer() ? std::optional(runtime::Number(value.get<std::int64_t>()))
                        : value.is_number()         ? runtime::Number::from(value.get<double>())
                                                    : std::nullopt;
    if (!number) throw Misuse("\"" + name + "\" is told neither as a number nor as a word");
    take(name, f, runtime::value_of_number(pack_, f, *number));
  }

 private:
  Index finding(const std::string& name) const {
    if (const Index f = names_.finding(name); f != no_index) return f;
    throw Misuse(runtime::no_such_finding(pack_, names_, name));
  }
  void take(const std::string& name, Index f, runtime::ValueReading reading) {
    if (!reading.value) throw Misuse(reading.wrong);
    if (answers_[f] && *answers_[f] != *reading.value) throw Misuse("\"" + name + "\" is told twice, and not the same");
    answers_[f] = std::move(reading.value);
  }

  const runtime::Pack& pack_;
  const runtime::Names& names_;
  Answers answers_;
};

class WeighVerb : public Verb {
 public:
  void declare(CLI::App& app) override {
    app.add_option("FILE", file_, "the ruleset, as source or as a pack")->required();
    app.add_option("PROFILE", profile_, "one person, as a JSON object of findings and values; - reads standard input");
    app.add_option("--set", set_, "one answer: --set \"age=34\" --set \"fever=no\"")->allow_extra_args(false);
    app.add_option("--school", school_, "reads one school alone");
    app.add_option("--sealed-by", sealed_by_, "the file of a public key: refuses what is not a pack sealed with its secret key")->check(names_a_file);
    app.add_flag("--json", json_, "the answer for other programs, as JSON");
  }

  int run(Surroundings& around) override {
    if (file_ == "-" && profile_ == "-") throw Misuse("the ruleset and the profile cannot both come from standard input");
    int status = status_good;
    const auto pack = packed(around, status);
    if (!pack) return status;
    const runtime::Names names(*pack);
    const Index reading = names.reading(school_);
    if (reading == no_index) throw Misuse("no school is called \"" + school_ + "\"");
    Telling telling(*pack, names);
    if (!profile_.empty()) tell_profile(around, telling);
    for (const std::string& answer : set_) tell_answer(telling, answer);
    const Weighed weighed(*pack, telling.answers(), reading, seal_);
    around.out << (json_ ? weigh_json(weighed, around.out_is_terminal) : weigh_page(weighed, {around.width, around.colour}));
    return status_good;
  }

 private:
  std::optional<runtime::Pack> packed(Surroundings& around, int& status) {
    if (!sealed_by_.empty() || is_pack(file_)) {  // who asks for a seal names a pack, from a pipe too
      OpenedPack opened = open_pack(file_, around.in, sealed_by_);
      if (!opened.pack) status = tell_refused(opened, json_, around);
      seal_ = opened.seal;
      return std::move(opened.pack);
    }
    RulesetFiles files(file_, around.in);
    const auto ruleset = read_ruleset(files.main(), files.others());
    if (ruleset) return pack_within_bounds(*ruleset.value, {}, {"betony " BETONY_VERSION, false});
    around.out << (json_ ? unreadable_json(files.all(), ruleset.messages, around.out_is_terminal)
                         : unreadable_page(files.all(), ruleset.messages, {around.width, around.colour}));
    status = status_unreadable;
    return std::nullopt;
  }

  void tell_profile(Surroundings& around, Telling& telling) const {
    const std::string text = bytes_of(profile_, around.in, most_bytes_of_a_profile);
    std::set<std::string> names;
    const auto once = [&](int depth, nlohmann::json::parse_event_t event, nlohmann::json& parsed) {
      if (event == nlohmann::json::parse_event_t::key && depth == 1 && !names.insert(parsed.get<std::string>()).second)
        throw Misuse("\"" + parsed.get<std::string>() + "\" is told twice in \"" + profile_ + "\"");
      return true;
    };
    const auto json = nlohmann::json::parse(text, once, false);
    if (json.is_discarded()) throw Misuse("\"" + profile_ + "\" is no JSON");
    if (!json.is_object()) throw Misuse("\"" + profile_ + "\" is no JSON object of findings and their values");
    for (const auto& [name, value] : json.items()) telling.tell(name, value);
  }

  static void tell_answer(Telling& telling, const std::string& answer) {
    const std::size_t at = answer.find('=');
    if (at == std::string::npos) throw Misuse("--set takes a finding and its value: --set \"age=34\"");
    telling.tell(answer.substr(0, at), answer.substr(at + 1));
  }

  std::string file_, profile_, school_, sealed_by_;
  SealTold seal_;
  std::vector<std::string> set_;
  bool json_ = false;
};

}  // namespace

VerbEntry weigh_verb() {
  return {"weigh",
          "the verdict for each practice for one person, with the why",
          "Weighs one person: what the teaching says of every practice, because of which sentences, with which dose. Where not everything is "
          "told, a verdict is given only where every answer that could still come leads to it; else it is unanswered.",
          {"betony weigh rulesets/tamberlow/tamberlow.bty --set \"fever=no\"", "betony weigh rulesets/tamberlow/tamberlow.bty --json"},
          [] { return std::unique_ptr<Verb>(std::make_unique<WeighVerb>()); }};
}

}  // namespace betony::terminal
