// viz/terminal/terminal.h: the program `betony`, all of it but `main`.
//
//   arguments -> verb (verb_*.cpp, one file each) -> reading and checks (compiler) -> page or JSON
//
//   terminal.cpp   arguments, help, exit statuses        files.h      source files in, tidied files out
//   verb.h         what a verb is; the table of verbs    page.h       the layout of 80 columns
//   read_page.h    problems and messages on a page       read_json.h  the same as JSON
//   weigh_page.h   what one person is told               weigh_table.h  what a table of them is told
//   try_page.h     what fails when a ruleset is tried     json.h     what JSON answers share
//   progress.h     how far long work is                  packs.h      packs in, their seals examined
//   interview.h    a person is asked                     telling.h    what is told of one person
//   letters.h      how wide letters are, where lines     marks.h      the marks and words of verdicts
//                  may break, what is shown harmlessly  keys.h       the keys of seals
//
// The front header of this room. May include: the standard library, CLI11, nlohmann json, ICU, fmt,
// compiler/ and grammar/. Nothing includes this room but main.cpp and tests.
#pragma once

#include <iosfwd>
#include <string>
#include <vector>

namespace betony::terminal {

// Exit statuses, the same for every verb.
enum Status {
  status_good = 0,        // nothing worse than a note (or than a question, without --strict)
  status_no = 1,          // the answer is "no": errors in the ruleset, a file that is not in standard form
  status_unreadable = 2,  // the source could not be read to its end
  status_misuse = 3       // wrong usage, missing file, full disk, closed output
};

// Where the program reads and writes, and what is known of the place.
struct Surroundings {
  std::istream& in;
  std::ostream& out;
  std::ostream& err;
  bool out_is_terminal = false;
  unsigned width = 80;  // columns of a page
  bool colour = false;  // on `out`
  bool err_is_terminal = false;
};

// The program. `arguments` are those after the program's name. Never throws.
// Returns   one of Status; status_misuse also where `out` would not take what was written.
int run(const std::vector<std::string>& arguments, Surroundings& around);

// The same on the process's own streams: 80 columns, or the terminal's width up to 100; colour only on
// a terminal and where NO_COLOR is not set. A closed output ends in status_misuse, not in a signal.
int run(int argc, char** argv);

}  // namespace betony::terminal
