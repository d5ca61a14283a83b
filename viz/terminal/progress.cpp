#include "viz/terminal/progress.h"

#include <fmt/format.h>

#include <ostream>

namespace betony::terminal {

using namespace std::chrono_literals;

Progress::Progress(std::ostream& err, bool err_is_terminal, std::string of_what)
    : err_(err), wanted_(err_is_terminal), of_what_(std::move(of_what)), next_(Clock::now() + 1s) {}

Progress::~Progress() {
  if (shown_) err_ << "\r\x1b[K" << std::flush;
}

void Progress::operator()(std::size_t done, std::size_t of) {
  if (!wanted_ || Clock::now() < next_) return;
  err_ << fmt::format("\r\x1b[Klooked at {} of {} {}", done, of, of_what_) << std::flush;
  shown_ = true;
  next_ = Clock::now() + 100ms;
}

}  // namespace betony::terminal
