// The program as people and other programs meet it: its words, its exit statuses, what it does to files.
#include <catch2/catch.hpp>

#include <sys/stat.h>
#include <sys/wait.h>

#include <algorithm>
#include <array>
#include <cstdio>
#include <filesystem>
#include <nlohmann/json.hpp>

#include "tests/unit/terminal_run.h"

using namespace betony::testing;
namespace fs = std::filesystem;

namespace {

// Runs the built program through the shell; `%` stands for its path. Gives its standard output, with
// standard error where the command line joins them.
Answer shell(std::string line) {
  for (auto at = line.find('%'); at != std::string::npos; at = line.find('%'))
    line.replace(at, 1, std::string("'") + BETONY_PROGRAM + "'");
  Answer answer{};
  FILE* pipe = popen(line.c_str(), "r");
  REQUIRE(pipe != nullptr);
  std::array<char, 4096> part;
  for (std::size_t n; (n = std::fread(part.data(), 1, part.size(), pipe)) > 0;) answer.out.append(part.data(), n);
  const int status = pclose(pipe);
  answer.status = WIFEXITED(status) ? WEXITSTATUS(status) : -1;
  return answer;
}

// Wrapped text, wherever the length of a path made it wrap.
std::string in_one_line(std::string text) {
  std::replace(text.begin(), text.end(), '\n', ' ');
  return text;
}

const std::string clean =
    "Ruleset \"Millpond\", edition \"1\".\n"
    "\n"
    "Finding fever is yes or no.\n"
    "  Ask \"Is the person hot?\".\n"
    "\n"
    "Practice pond walk.\n"
    "  Contraindicated in fever.\n"
    "  Otherwise allowed.\n";

// The school falls silent where there is no fever.
const std::string silent =
    "Ruleset \"Millpond\", edition \"1\".\n"
    "Finding fever is yes or no. Ask \"Is the person hot?\".\n"
    "Practice pond walk. Contraindicated in fever.\n";

const std::string contradictory =
    "Ruleset \"Millpond\", edition \"1\".\n"
    "Finding fever is yes or no. Ask \"Is the person hot?\".\n"
    "Practice pond walk. Contraindicated in fever. Indicated in fever. Otherwise allowed.\n";

const std::string unreadable =
    "Ruleset \"Millpond\", edition \"1\".\n"
    "Finding fever is yes or no.\n"
    "Practice pond walk. Contraindicated in feever.\n";

const std::string untidy = "Ruleset   \"Millpond\",edition \"1\".\nFinding fever is yes or no.\n";

}  // namespace

TEST_CASE("the version is told") {
  const auto answer = run({"--version"});
  CHECK(answer.out == "betony 0.1.0\n");
  CHECK(answer.status == 0);
}

TEST_CASE("the program's help names every verb, an example and the exit statuses") {
  const auto answer = run({"--help"});
  CHECK(answer.out == R"(betony VERB FILE

A workbench in which the teaching of a school of daily regimen is written down
as rules: it shows where the teaching contradicts itself or falls silent, with a
person on whom it shows.

  read            reads a ruleset, runs every check, tells what is wrong and
                  what to write
  weigh           the verdict for each practice for one person, with the why,
                  or for a table of persons
  ask             interviews one person, asking only what still matters
  try             attacks claims, samples and doses with persons drawn by
                  chance, and tells what nobody would miss
  draw            the teaching as a drawing: how a practice is decided, where
                  sentences meet, verdicts and doses over findings, the whole
  ship            writes a pack: the compiled ruleset that other programs
                  weigh persons with
  tidy            prints the source in its one standard form

  --version       tells the version
  --help          this page; betony VERB --help tells of one verb

Example

  betony read rulesets/tamberlow/tamberlow.bty

Exit status: 0 nothing worse than a note; 1 the answer is no; 2 the source
cannot be read; 3 wrong usage, a missing file, a full disk.
)");
  CHECK(answer.err.empty());
  CHECK(answer.status == 0);
}

TEST_CASE("each verb has a help of its own, with an example") {
  CHECK(run({"read", "--help"}).out == R"(betony read FILE

Reads a ruleset and checks it: where sentences contradict each other, where the
teaching falls silent, what never applies, which claims do not hold. Every
problem comes with the sentences concerned and, where there is one, a witness: a
person on whom it shows. Where no problem is told, none is there.

  --help          this page
  FILE            the ruleset, or a table that ends in .csv; - reads standard
                  input
  --table         FILE is a table, whatever its name; for standard input
  --json          the answer for other programs, as JSON
  --strict        questions, and what is not settled, fail as errors do
  --watch         stays, and reads again whenever a file of the ruleset is
                  written; what an edit does not touch is not looked at again
  --budget NODES,STEPS,TIME
                  how large the checks of one practice may grow before they
                  say "not settled": decision nodes, and after a comma steps
                  (usual: 2000000,40000000); or how long all of it may last:
                  30s, 5min
  --cores N       how many practices are looked at side by side (usual: as
                  many as the machine has cores, 4 at most)

Examples

  betony read rulesets/tamberlow/tamberlow.bty
  betony read rulesets/tamberlow/steam-loft.csv
)");
  CHECK(run({"tidy", "--help"}).out == R"(betony tidy FILE

Prints a file of a ruleset in its one standard form: spaces, line breaks,
capitals, quotes and the order in which a sentence's endings stand. Comments
keep their places, and the meaning stays as it is.

  --help          this page
  FILE            the ruleset; - reads standard input
  --write         puts the standard form in the file's place, where it differs
  --check         prints nothing of the text; exit status 1 where it differs
  --all           with --write or --check: also the files that Use sentences
                  name
  --to-sentences  FILE is a decision table: prints the sentences that its rows
                  say, each with its row
  --json          the answer for other programs, as JSON

Examples

  betony tidy rulesets/tamberlow/tamberlow.bty
  betony tidy --check rulesets/tamberlow/tamberlow.bty
  betony tidy --to-sentences rulesets/tamberlow/steam-loft.csv
)");
}

TEST_CASE("wrong usage is told on standard error, with exit status 3") {
  const std::vector<std::pair<std::vector<std::string>, std::string>> cases = {
      {{"raed", "x"}, "betony: there is no verb \"raed\"; did you mean \"read\"?\nbetony --help tells how it is used.\n"},
      {{"zzz"}, "betony: there is no verb \"zzz\".\nbetony --help tells how it is used.\n"},
      {{"--json", "read"}, "betony: the verb comes first, then \"--json\".\nbetony --help tells how it is used.\n"},
      {{"--help", "read"}, "betony: --help stands alone.\nbetony --help tells how it is used.\n"},
      {{"read"},
       "betony read: name the file of a ruleset, or - for standard input.\nbetony read --help tells how it is used.\n"},
      {{"read", "a", "b"},
       "betony read: what to do with \"b\" is not known.\nbetony read --help tells how it is used.\n"},
      {{"read", "--jsn", "a"},
       "betony read: what to do with \"--jsn\" is not known.\nbetony read --help tells how it is used.\n"},
      {{"read", "--budget", "many", "a"},
       "betony read: --budget is a number of nodes, of nodes and steps, or a time, or\n"
       "all of them: --budget 4000000,80000000,30s.\n"
       "betony read --help tells how it is used.\n"},
      {{"tidy", "--write", "--check", "a"},
       "betony tidy: --write and --check do not go together.\nbetony tidy --help tells how it is used.\n"},
      {{"tidy", "--write", "-"},
       "betony tidy: --write needs a file; standard input cannot be written to.\n"
       "betony tidy --help tells how it is used.\n"}};
  for (const auto& [arguments, words] : cases) {
    const auto answer = run(arguments);
    CHECK(answer.err == words);
    CHECK(answer.out.empty());
    CHECK(answer.status == 3);
  }
}

TEST_CASE("a budget is a number, or two with a comma, and nothing else") {
  Folder folder;
  const auto file = folder.put("clean.bty", clean);
  for (const char* good : {"1000", "1000,2000"}) CHECK(run({"read", "--budget", good, file}).status == 0);
  for (const char* bad : {"", "0", "-1", "1,", ",1", "1,2,3", "1 2", "1e3", "99999999999999999999"})
    CHECK(run({"read", "--budget", bad, file}).status == 3);
}

TEST_CASE("without a verb the help is shown, with exit status 3") {
  const auto answer = run({});
  CHECK(answer.err == run({"--help"}).out);
  CHECK(answer.status == 3);
}

TEST_CASE("a file that is not there, and a folder, end in exit status 3") {
  Folder folder;
  const auto missing = run({"read", folder.at("x.bty")});
  CHECK(missing.err.find("betony read: there is no file") == 0);
  CHECK(missing.out.empty());
  CHECK(missing.status == 3);
  const auto a_folder = run({"read", "--json", folder.at(".")});
  CHECK(in_one_line(a_folder.err).find("is a folder; name the file of a ruleset in it.") != std::string::npos);
  CHECK(a_folder.out.empty());
  CHECK(a_folder.status == 3);
  CHECK(run({"tidy", folder.at("x.bty")}).status == 3);
}

TEST_CASE("the exit status tells a clean ruleset, questions, errors and an unreadable source apart") {
  Folder folder;
  CHECK(run({"read", folder.put("clean.bty", clean)}).status == 0);
  CHECK(run({"read", "--strict", folder.at("clean.bty")}).status == 0);
  CHECK(run({"read", folder.put("silent.bty", silent)}).status == 0);
  CHECK(run({"read", "--strict", folder.at("silent.bty")}).status == 1);
  CHECK(run({"read", folder.put("contradictory.bty", contradictory)}).status == 1);
  CHECK(run({"read", folder.put("unreadable.bty", unreadable)}).status == 2);
  CHECK(run({"read", "--json", folder.at("unreadable.bty")}).status == 2);
}

TEST_CASE("a clean ruleset is told in four lines") {
  Folder folder;
  CHECK(run({"read", folder.put("clean.bty", clean)}).out ==
        "Millpond, edition 1\n6 sentences, 1 practice, every check finished\n" + std::string(80, '_') +
            "\n\nNothing to mend, nothing to ask.\n");
}

TEST_CASE("a dash reads standard input") {
  const auto answer = run({"read", "-"}, clean);
  CHECK(answer.status == 0);
  CHECK(answer.out.find("Millpond, edition 1\n") == 0);
  CHECK(run({"read", "-"}, unreadable).out.find("standard input cannot be read to its end; 1 place needs mending.\n") == 0);
}

TEST_CASE("an unreadable source is told as JSON with place, message and remedy") {
  Folder folder;
  const auto file = folder.put("draft.bty", unreadable);
  const auto json = nlohmann::json::parse(run({"read", "--json", file}).out);
  CHECK(json["betony"] == 1);
  REQUIRE(json["unreadable"].size() == 1);
  const auto& one = json["unreadable"][0];
  CHECK(one["file"] == file);
  CHECK(one["line"] == 3);
  CHECK(one["column"] == 40);
  CHECK(one["length"] == 6);
  CHECK(one["message"].get<std::string>().find("feever") != std::string::npos);
}

TEST_CASE("a problem is told as JSON with file, line and column") {
  Folder folder;
  const auto file = folder.put("book.bty", contradictory);
  const auto json = nlohmann::json::parse(run({"read", "--json", file}).out);
  CHECK(json["ruleset"] == "Millpond");
  CHECK(json["edition"] == "1");
  CHECK(json["settled"] == true);
  CHECK(json["counts"]["error"] == 1);
  const auto& one = json["problems"][0];
  CHECK(one["kind"] == "contradiction");
  CHECK(one["form"] == "head-on");
  CHECK(one["practice"] == "pond walk");
  REQUIRE(one["sentences"].size() == 2);
  CHECK(one["sentences"][0]["file"] == file);
  CHECK(one["sentences"][0]["line"] == 3);
  CHECK(one["share"]["exact"] == "1/2");
  CHECK(one["witness"]["fever"] == "yes");
}

TEST_CASE("messages and problems in files that Use names are told by those files' names") {
  Folder folder;
  const auto file = folder.put("book.bty", "Ruleset \"Millpond\", edition \"1\".\nUse \"parts/walks.bty\".\nFinding fever is yes or no.\n");
  folder.put("parts/walks.bty", "Practice pond walk.\n  Contraindicated in feever.\n");
  const auto answer = run({"read", file});
  CHECK(answer.status == 2);
  CHECK(answer.out.find("walks.bty, line 2\n\n   2  Contraindicated in feever.\n                         ======\n") != std::string::npos);
}

TEST_CASE("Use never leaves the ruleset's folder, not even through a symbolic link") {
  Folder folder;
  folder.put("outside.bty", "Finding fever is yes or no.\n");
  const auto file = folder.put("inside/book.bty", "Ruleset \"Millpond\", edition \"1\".\nUse \"link.bty\".\n");
  fs::create_symlink(folder.at("outside.bty"), folder.at("inside/link.bty"));
  CHECK(run({"read", file}).status == 2);
  const auto up = folder.put("inside/up.bty", "Ruleset \"Millpond\", edition \"1\".\nUse \"../outside.bty\".\n");
  CHECK(run({"read", up}).status == 2);
  fs::create_symlink(folder.at("inside/part.bty"), folder.at("inside/good.bty"));
  folder.put("inside/part.bty", "Finding fever is yes or no.\n");
  const auto good = folder.put("inside/fine.bty", "Ruleset \"Millpond\", edition \"1\".\nUse \"good.bty\".\n");
  CHECK(run({"read", good}).status == 0);
}

TEST_CASE("tidy prints the standard form, and tells with --check whether a file has it") {
  Folder folder;
  const auto file = folder.put("book.bty", untidy);
  const auto printed = run({"tidy", file});
  CHECK(printed.status == 0);
  CHECK(printed.out.find("Ruleset \"Millpond\", edition \"1\".\n") == 0);
  CHECK(run({"tidy", "-"}, printed.out).out == printed.out);
  CHECK(run({"tidy", "--check", file}).out == file + " differs from its standard form from line 1 on.\n");
  CHECK(run({"tidy", "--check", file}).status == 1);
  CHECK(folder.text("book.bty") == untidy);
  folder.put("book.bty", printed.out);
  CHECK(run({"tidy", "--check", file}).out == file + " is in standard form.\n");
  CHECK(run({"tidy", "--check", file}).status == 0);
}

TEST_CASE("tidy --write puts the standard form in the file's place, keeps its permissions and leaves nothing beside it") {
  Folder folder;
  const auto file = folder.put("book.bty", untidy);
  fs::permissions(file, fs::perms::owner_read | fs::perms::owner_write | fs::perms::group_read);
  const auto standard = run({"tidy", file}).out;
  CHECK(run({"tidy", "--write", file}).out == file + " is now in standard form; it differed from line 1 on.\n");
  CHECK(folder.text("book.bty") == standard);
  CHECK(fs::status(file).permissions() == (fs::perms::owner_read | fs::perms::owner_write | fs::perms::group_read));
  CHECK(std::distance(fs::directory_iterator(folder.at("")), {}) == 1);
  struct stat before = {}, after = {};
  ::stat(file.c_str(), &before);
  CHECK(run({"tidy", "--write", file}).out == file + " is in standard form.\n");
  ::stat(file.c_str(), &after);
  CHECK(before.st_ino == after.st_ino);
}

TEST_CASE("tidy --write follows a symbolic link and leaves it one") {
  Folder folder;
  folder.put("real.bty", untidy);
  fs::create_symlink("real.bty", folder.at("link.bty"));
  CHECK(run({"tidy", "--write", folder.at("link.bty")}).status == 0);
  CHECK(fs::is_symlink(folder.at("link.bty")));
  CHECK(folder.text("real.bty") == run({"tidy", folder.at("link.bty")}).out);
}

TEST_CASE("tidy --write leaves a source that cannot be read as it was, and says why on standard error") {
  Folder folder;
  const std::string broken = "Ruleset \"Millpond\", edition \"1\".\nFinding fever is maybe.\n";
  const auto file = folder.put("book.bty", broken);
  const auto answer = run({"tidy", "--write", file});
  CHECK(answer.status == 2);
  CHECK(answer.out.empty());
  CHECK(answer.err.find("Finding fever is maybe.") != std::string::npos);
  CHECK(folder.text("book.bty") == broken);
}

TEST_CASE("tidy --all goes through the files that Use names") {
  Folder folder;
  const auto file = folder.put("book.bty", "Ruleset \"Millpond\", edition \"1\".\nUse \"part.bty\".\n");
  const std::string part = "Finding   fever is yes or no.\n";
  folder.put("part.bty", part);
  run({"tidy", "--write", file});
  CHECK(folder.text("part.bty") == part);
  CHECK(run({"tidy", "--check", "--all", file}).status == 1);
  CHECK(run({"tidy", "--write", "--all", file}).status == 0);
  CHECK(folder.text("part.bty") == "Finding fever is yes or no.\n");
  CHECK(run({"tidy", "--check", "--all", file}).status == 0);
}

TEST_CASE("tidy --json tells whether the text is in standard form") {
  const auto json = nlohmann::json::parse(run({"tidy", "--json", "-"}, untidy).out);
  CHECK(json["betony"] == 1);
  CHECK(json["tidy"] == false);
  CHECK(json["text"] == run({"tidy", "-"}, untidy).out);
}

TEST_CASE("a full disk and a closed output end in exit status 3") {
  CHECK(shell("% --help >/dev/full 2>&1").status == 3);
  CHECK(shell("% --help 2>&1 >/dev/full").out ==
        "betony: not all could be written: the output is closed, or its disk is full.\n");
  CHECK(shell("% --help 2>/dev/null >&-").status == 3);
  CHECK(shell("(sleep 0.3; % --help 2>/dev/null; echo $? >&2) 2>&1 >&- | cat").out == "3\n");
}

TEST_CASE("with a closed output tidy --write still writes the file whole") {
  Folder folder;
  const auto file = folder.put("book.bty", untidy);
  const auto standard = run({"tidy", file}).out;
  CHECK(shell("% tidy --write '" + file + "' 2>/dev/null >&-").status == 3);
  CHECK(folder.text("book.bty") == standard);
}

TEST_CASE("a pipe that nobody reads ends in exit status 3, not in a signal") {
  CHECK(shell("{ { sleep 0.3; % --help 2>/dev/null; echo $? >&3; } | true; } 3>&1").out == "3\n");
}

TEST_CASE("nothing in a pipe is coloured") {
  Folder folder;
  const auto file = folder.put("book.bty", contradictory);
  CHECK(shell("TERM=xterm % read '" + file + "'").out.find('\x1b') == std::string::npos);
}

TEST_CASE("a device without end is read to the bound and no further") {
  const auto answer = shell("% read --json /dev/zero");
  CHECK(answer.status == 2);
  CHECK(nlohmann::json::parse(answer.out)["unreadable"].size() >= 1);
}

TEST_CASE("standard input without end is read to the bound and no further") {
  CHECK(shell("yes -- '-- a comment' | % read - >/dev/null").status == 2);
}
