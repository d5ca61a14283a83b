#include "viz/terminal/progress.h"

#include <fmt/format.h>

#include <ostream>

namespace betony::terminal {

using namespace std::chrono_literals;

Progress::Progress(std::ostream& err, bool err_is_terminal, std::string of_what)
    : err_(err), wanted_(err_is_terminal), of_what_(std::move(of_what)), next_(Clock::now() + 1s) {}

Progress::~Progress() { wipe(); }

void Progress::operator()(std::size_t done, std::size_t of) {
  if (is_time()) show(fmt::format("{} of {}", done, of));
}

void Progress::operator()(std::size_t done) {
  if (is_time()) show(fmt::format("{}", done));
}

void Progress::show(const std::string& words) {
  err_ << fmt::format("\r\x1b[Klooked at {} {}", words, of_what_) << std::flush;
  shown_ = true;
  next_ = Clock::now() + 100ms;
}

void Progress::wipe() {
  if (shown_) err_ << "\r\x1b[K" << std::flush;
  shown_ = false;
}

}  // namespace betony::terminal
