#include "viz/terminal/terminal.h"

#include <CLI/CLI.hpp>
#include <fcntl.h>
#include <fmt/format.h>
#include <sys/ioctl.h>
#include <unistd.h>

#include <algorithm>
#include <csignal>
#include <cstdlib>
#include <iostream>
#include <new>

#include "grammar/nearness.h"
#include "viz/terminal/files.h"
#include "viz/terminal/letters.h"
#include "viz/terminal/page.h"
#include "viz/terminal/verb.h"

namespace betony::terminal {
namespace {

constexpr unsigned usual_width = 80, widest = 100, narrowest = 40;

// What went wrong with the command line or a file, and where to read on.
int complain(Surroundings& around, const std::string& verb, const std::string& trouble, bool of_usage) {
  const std::string program = verb.empty() ? "betony" : "betony " + verb;
  Page page({});
  page.paragraph(fmt::format("{}: {}", program, with_stop(trouble)));
  if (of_usage) page.paragraph(fmt::format("{} --help tells how it is used.", program));
  around.err << page.text();
  return status_misuse;
}

int unknown_verb(Surroundings& around, const std::string& word) {
  std::vector<std::string> names;
  for (const auto& verb : verbs()) names.push_back(verb.name);
  const auto near = nearest(word, names);
  return complain(around, "", fmt::format("there is no verb \"{}\"{}", word, near ? "; did you mean \"" + *near + "\"?" : ""), true);
}

std::string quoted(const std::vector<std::string>& words) {
  std::string out;
  for (const auto& word : words) out += fmt::format("{}\"{}\"", out.empty() ? "" : ", ", word);
  return out;
}

// Follows the arguments of one verb. CLI11 takes them apart; the words to people are ours.
int run_verb(const VerbEntry& entry, std::vector<std::string> arguments, Surroundings& around) {
  const auto verb = entry.make();
  CLI::App app;
  app.set_help_flag("--help", "this page");
  verb->declare(app);
  try {
    std::reverse(arguments.begin(), arguments.end());
    app.parse(arguments);
    return verb->run(around);
  } catch (const CLI::CallForHelp&) {
    around.out << verb_help(entry, app, around.width);
    return status_good;
  } catch (const CLI::RequiredError&) {
    return complain(around, entry.name, "name the file of a ruleset, or - for standard input", true);
  } catch (const CLI::ExtrasError&) {
    return complain(around, entry.name, "what to do with " + quoted(app.remaining()) + " is not known", true);
  } catch (const CLI::ParseError& error) {
    return complain(around, entry.name, error.what(), true);
  } catch (const Misuse& error) {
    return complain(around, entry.name, error.what(), true);
  } catch (const FileTrouble& error) {
    return complain(around, entry.name, error.what(), false);
  }
}

int follow(const std::vector<std::string>& arguments, Surroundings& around) {
  if (arguments.empty()) {
    around.err << program_help(usual_width);
    return status_misuse;
  }
  const std::string& first = arguments.front();
  if (first == "--help" || first == "--version") {
    if (arguments.size() > 1) return complain(around, "", first + " stands alone", true);
    around.out << (first == "--help" ? program_help(around.width) : std::string("betony " BETONY_VERSION "\n"));
    return status_good;
  }
  const auto entry = std::find_if(verbs().begin(), verbs().end(), [&](const VerbEntry& v) { return v.name == first; });
  if (entry != verbs().end()) return run_verb(*entry, {arguments.begin() + 1, arguments.end()}, around);
  if (first.rfind("-", 0) == 0 && first.size() > 1)
    return complain(around, "", fmt::format("the verb comes first, then \"{}\"", first), true);
  return unknown_verb(around, first);
}

// A closed standard stream is opened on a device that refuses, so that no file of ours takes its number.
void hold_standard_streams() {
  for (int fd = 0; fd <= 2; ++fd)
    if (::fcntl(fd, F_GETFD) < 0) (void)::open("/dev/null", fd == 0 ? O_WRONLY : O_RDONLY);
}

unsigned terminal_width() {
  winsize size = {};
  if (::ioctl(STDOUT_FILENO, TIOCGWINSZ, &size) != 0 || size.ws_col == 0) return usual_width;
  return std::clamp<unsigned>(size.ws_col, narrowest, widest);
}

bool wants_no_colour() {
  const char* no_color = std::getenv("NO_COLOR");
  const char* term = std::getenv("TERM");
  return (no_color && *no_color) || (term && std::string_view(term) == "dumb");
}

}  // namespace

int run(const std::vector<std::string>& arguments, Surroundings& around) {
  int status = status_misuse;
  try {
    status = follow(arguments, around);
  } catch (const std::bad_alloc&) {
    complain(around, "", "this needs more memory than there is", false);
  } catch (const std::exception& error) {
    complain(around, "", fmt::format("a fault in betony itself: {}", error.what()), false);
  }
  if (around.out.flush()) return status;
  return complain(around, "", "not all could be written: the output is closed, or its disk is full", false);
}

int run(int argc, char** argv) {
  std::signal(SIGPIPE, SIG_IGN);
  hold_standard_streams();
  std::ios::sync_with_stdio(false);
  std::cin.tie(nullptr);    // what is read and what is written may be so by two threads
  Surroundings around{std::cin, std::cout, std::cerr};
  around.out_is_terminal = ::isatty(STDOUT_FILENO) != 0;
  around.err_is_terminal = ::isatty(STDERR_FILENO) != 0;
  if (around.out_is_terminal) around.width = terminal_width();
  around.colour = around.out_is_terminal && !wants_no_colour();
  return run(std::vector<std::string>(argv + std::min(argc, 1), argv + argc), around);
}

}  // namespace betony::terminal
