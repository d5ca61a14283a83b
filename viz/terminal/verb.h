// viz/terminal/verb.h: what a verb of the program is, and the table of them.
//
// A verb lives in a file of its own, verb_NAME.cpp, and stands in the table of verbs.cpp. To add one:
// write the file after the pattern of verb_tidy.cpp, declare its entry below, put it into the table.
// Its --help and its place in the program's --help follow from the entry and from its options.
#pragma once

#include <memory>
#include <stdexcept>
#include <string>
#include <vector>

#include "viz/terminal/terminal.h"

namespace CLI {
class App;
}

namespace betony::terminal {

// One use of a verb: takes its options from the command line, then runs.
class Verb {
 public:
  virtual ~Verb() = default;
  // Declares options and what they write to; a member of this object, which outlives the parse.
  virtual void declare(CLI::App& app) = 0;
  // Returns a Status. Throws FileTrouble or Misuse.
  virtual int run(Surroundings& around) = 0;
};

// The command line cannot be followed; `what` says why, without a stop.
struct Misuse : std::runtime_error {
  using std::runtime_error::runtime_error;
};

struct VerbEntry {
  std::string name;                     // "read"
  std::string does;                     // one line for the program's help
  std::string about;                    // a paragraph for its own
  std::vector<std::string> examples;    // command lines that work in the top folder of the project
  std::unique_ptr<Verb> (*make)();
};

VerbEntry read_verb();
VerbEntry weigh_verb();
VerbEntry ask_verb();
VerbEntry ship_verb();
VerbEntry draw_verb();
VerbEntry tidy_verb();
VerbEntry try_verb();

const std::vector<VerbEntry>& verbs();

// The pages of --help.
std::string program_help(unsigned width);
std::string verb_help(const VerbEntry& verb, const CLI::App& app, unsigned width);

}  // namespace betony::terminal
