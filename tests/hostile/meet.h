// tests/hostile/meet.h: a hostile source meets the library, or the whole program.
//
// Both meetings CHECK that there is an answer or a message, and that the bounds are kept: 10 s and
// 2 GiB for one source. Time is the processor's, not the clock's, so that a busy machine fails no test; with
// sanitizers or without optimisation only hangs are told.
#pragma once

#include <string>
#include <string_view>
#include <vector>

#include "tests/fuzz/trial.h"

namespace betony::hostile {

// Reading and typing only; and everything, within a small budget.
trial::Plan reading();
trial::Plan everything();

trial::Trial meet(const std::string& source, const trial::Plan& plan = everything());
trial::Trial meet(const std::vector<SourceFile>& files, const trial::Plan& plan = everything());

// Whether nothing broke; for loops over very many sources, which should not CHECK each one.
bool stands(const std::vector<SourceFile>& files, const trial::Plan& plan = reading());

struct Answer {
  int status = -1;           // exit status; -1 if it was ended by a signal
  int signal = 0;
  double seconds = 0;        // of the processor
  std::size_t memory = 0;    // bytes at most
  std::string out;           // the first MiB of what it wrote, of both streams
};

// Runs `betony` with 2 GiB of memory and 10 s. `in`, if not empty, is the file that becomes its standard input.
Answer program(const std::vector<std::string>& words, const std::string& in = "");

// `betony read` of a source: CHECKs that it ends with one of its statuses, within the bounds, with words.
Answer meet_program(const std::string& source, std::string_view name = "main.bty");

// A folder of its own for one test case, gone with it.
class Folder {
 public:
  Folder();
  ~Folder();
  Folder(const Folder&) = delete;
  Folder& operator=(const Folder&) = delete;
  std::string path(std::string_view name) const { return path_ + "/" + std::string(name); }
  std::string write(std::string_view name, std::string_view bytes) const;  // gives its path

 private:
  std::string path_;
};

}  // namespace betony::hostile
