// viz/terminal/progress.h: how far a long piece of work is, on a terminal only.
//
// Nothing is shown in the first second, nor in a pipe. What was shown is wiped away when the work ends.
#pragma once

#include <chrono>
#include <cstddef>
#include <iosfwd>
#include <string>

namespace betony::terminal {

class Progress {
 public:
  using Clock = std::chrono::steady_clock;
  // `of_what` stands behind the numbers: "looked at 120 of 200 practices, choices and claims".
  Progress(std::ostream& err, bool err_is_terminal, std::string of_what);
  ~Progress();
  Progress(const Progress&) = delete;
  Progress& operator=(const Progress&) = delete;
  void operator()(std::size_t done, std::size_t of);
  // The same where nobody knows of how many: "looked at 120000 rows".
  void operator()(std::size_t done);
  // Makes room for something else on the line.
  void wipe();

 private:
  bool is_time() const { return wanted_ && Clock::now() >= next_; }
  void show(const std::string& words);

  std::ostream& err_;
  bool wanted_, shown_ = false;
  std::string of_what_;
  Clock::time_point next_;
};

}  // namespace betony::terminal
