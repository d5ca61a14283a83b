#include <CLI/CLI.hpp>

#include <fmt/format.h>

#include <algorithm>
#include <nlohmann/json.hpp>
#include <ostream>

#include "grammar/grammar.h"
#include "viz/terminal/files.h"
#include "viz/terminal/read_json.h"
#include "viz/terminal/read_page.h"
#include "viz/terminal/verb.h"

namespace betony::terminal {
namespace {

// The first line, from 1, in which two texts differ.
std::size_t first_difference(const std::string& a, const std::string& b) {
  const auto at = std::mismatch(a.begin(), a.end(), b.begin(), b.end()).first;
  return 1 + static_cast<std::size_t>(std::count(a.begin(), at, '\n'));
}

// Whether the ruleset says the same with `text` in the place of its file `changed`. The tests hold tidy to
// that; before somebody's only copy is replaced it is looked at once more.
bool says_the_same(const Tree& tree, std::size_t changed, const std::string& text) {
  std::vector<SourceFile> files = tree.files;
  files[changed].text = text;
  const auto others = [&](const std::string& name) -> std::optional<std::string> {
    const auto at = std::find_if(files.begin(), files.end(), [&](const SourceFile& f) { return f.name == name; });
    return at == files.end() ? std::nullopt : std::optional(std::string(LineIndex(*at).text()));  // a table as given
  };
  const auto again = read_source(files.front(), others);
  return again && print(*again.value) == print(tree);
}

void replace_safely(const Tree& tree, std::size_t changed, const std::string& text, const std::filesystem::path& path) {
  if (!says_the_same(tree, changed, text))
    throw FileTrouble("a fault in betony itself: in its standard form \"" + path.string() +
                      "\" would not say the same. Nothing was written");
  write_file(path, text);
}

class TidyVerb : public Verb {
 public:
  void declare(CLI::App& app) override {
    app.add_option("FILE", file_, "the ruleset; - reads standard input")->required();
    app.add_flag("--write", write_, "puts the standard form in the file's place, where it differs");
    app.add_flag("--check", check_, "prints nothing of the text; exit status 1 where it differs");
    app.add_flag("--all", all_, "with --write or --check: also the files that Use sentences name");
    app.add_flag("--to-sentences", to_sentences_, "FILE is a decision table: prints the sentences that its rows say, each with its row");
    app.add_flag("--json", json_, "the answer for other programs, as JSON");
  }

  int run(Surroundings& around) override {
    if (write_ && check_) throw Misuse("--write and --check do not go together");
    if (all_ && !write_ && !check_) throw Misuse("--all goes with --write or --check");
    if (write_ && file_ == "-") throw Misuse("--write needs a file; standard input cannot be written to");
    if (to_sentences_ && (write_ || check_)) throw Misuse("--to-sentences prints, and goes with neither --write nor --check");
    if (to_sentences_ && file_.ends_with(".bty")) throw Misuse("--to-sentences is for a table, and " + file_ + " holds sentences already");
    RulesetFiles files(file_, around.in, to_sentences_);
    if (files.main().is_table && !to_sentences_)
      throw Misuse("a table is printed as sentences, with --to-sentences; it has no standard form of its own");
    const auto tree = read_source(files.main(), files.others());
    if (!tree) return tell_unreadable(around, files, tree.messages);
    const std::size_t count = all_ ? files.all().size() : 1;
    int status = status_good;
    for (std::size_t i = 0; i < count; ++i) status = std::max(status, tidy_file(around, files, *tree.value, i));
    return status;
  }

 private:
  // The page goes where it cannot be taken for the text.
  int tell_unreadable(Surroundings& around, const RulesetFiles& files, const std::vector<Message>& messages) const {
    if (json_)
      around.out << unreadable_json(files.all(), messages, around.out_is_terminal);
    else
      around.err << unreadable_page(files.all(), messages, {});
    return status_unreadable;
  }

  int tidy_file(Surroundings& around, const RulesetFiles& files, const Tree& tree, std::size_t i) const {
    const SourceFile& file = files.all()[i];
    if (file.is_table && !to_sentences_) return status_good;  // a table that a Use sentence names
    const std::string text = tidy(tree, static_cast<std::uint32_t>(i));
    const bool differs = text != file.text;
    if (write_ && differs) replace_safely(tree, i, text, files.path(i).value());
    if (json_)
      tell_json(around, file, text);
    else if (write_ || check_)
      tell_words(around, file, text);
    else
      around.out << text;
    return check_ && differs ? status_no : status_good;
  }

  void tell_words(Surroundings& around, const SourceFile& file, const std::string& text) const {
    if (text == file.text)
      around.out << fmt::format("{} is in standard form.\n", file.name);
    else if (write_)
      around.out << fmt::format("{} is now in standard form; it differed from line {} on.\n", file.name,
                                first_difference(file.text, text));
    else
      around.out << fmt::format("{} differs from its standard form from line {} on.\n", file.name,
                                first_difference(file.text, text));
  }

  void tell_json(Surroundings& around, const SourceFile& file, const std::string& text) const {
    const bool tidy = text == file.text;
    nlohmann::ordered_json out = {{"betony", 1}, {"file", file.name}, {"tidy", tidy}, {"written", write_ && !tidy}};
    if (!write_ && !check_) out["text"] = text;
    around.out << out.dump(-1, ' ', around.out_is_terminal, nlohmann::ordered_json::error_handler_t::replace) << '\n';
  }

  std::string file_;
  bool write_ = false, check_ = false, all_ = false, to_sentences_ = false, json_ = false;
};

}  // namespace

VerbEntry tidy_verb() {
  return {"tidy",
          "prints the source in its one standard form",
          "Prints a file of a ruleset in its one standard form: spaces, line breaks, capitals, quotes and the order in "
          "which a sentence's endings stand. Comments keep their places, and the meaning stays as it is.",
          {"betony tidy rulesets/tamberlow/tamberlow.bty", "betony tidy --check rulesets/tamberlow/tamberlow.bty",
           "betony tidy --to-sentences rulesets/tamberlow/steam-loft.csv"},
          [] { return std::unique_ptr<Verb>(std::make_unique<TidyVerb>()); }};
}

}  // namespace betony::terminal
