#include "tests/hostile/meet.h"

#include <fcntl.h>
#include <sys/resource.h>
#include <sys/wait.h>
#include <unistd.h>

#include <array>
#include <catch2/catch.hpp>
#include <csignal>
#include <ctime>
#include <filesystem>
#include <fstream>

#include "tests/hostile/sources.h"

namespace betony::hostile {
namespace {

constexpr std::size_t most_memory = std::size_t{2} << 30;
#if defined(__OPTIMIZE__)
constexpr double most_seconds = sanitized ? 300 : 10;
#else
constexpr double most_seconds = 300;
#endif
constexpr unsigned hang_seconds = 600;  // by the clock

double processor_seconds() { return static_cast<double>(std::clock()) / CLOCKS_PER_SEC; }

void set_limit(int what, rlim_t most) {
  const rlimit limit = {most, most};
  ::setrlimit(what, &limit);
}

[[noreturn]] void become_program(const std::vector<std::string>& words, const std::string& in, int out) {
  std::vector<char*> pointers = {const_cast<char*>(BETONY_PROGRAM)};
  for (const std::string& word : words) pointers.push_back(const_cast<char*>(word.c_str()));
  pointers.push_back(nullptr);
  const int from = ::open(in.empty() ? "/dev/null" : in.c_str(), O_RDONLY);
  ::dup2(from, STDIN_FILENO);
  ::dup2(out, STDOUT_FILENO);
  ::dup2(out, STDERR_FILENO);
  if (!sanitized) set_limit(RLIMIT_AS, most_memory);
  set_limit(RLIMIT_CPU, static_cast<rlim_t>(most_seconds));
  set_limit(RLIMIT_CORE, 0);
  ::alarm(hang_seconds);
  ::execv(pointers[0], pointers.data());
  ::_exit(127);
}

// All that comes out is taken, the first MiB is kept.
std::string take(int from) {
  std::string kept;
  std::array<char, 65536> portion;
  while (true) {
    const ssize_t got = ::read(from, portion.data(), portion.size());
    if (got == 0 || (got < 0 && errno != EINTR)) return kept;
    if (got > 0 && kept.size() < (std::size_t{1} << 20)) kept.append(portion.data(), static_cast<std::size_t>(got));
  }
}

double seconds(const timeval& time) { return static_cast<double>(time.tv_sec) + static_cast<double>(time.tv_usec) / 1e6; }

}  // namespace

trial::Plan reading() {
  trial::Plan plan;
  plan.tidies = plan.checks = plan.pages = false;
  return plan;
}

trial::Plan everything() { return {}; }

trial::Trial meet(const std::vector<SourceFile>& files, const trial::Plan& plan) {
  const double begin = processor_seconds();
  trial::Trial trial = trial::run(files, plan);
  CHECK(trial.broken == std::vector<std::string>{});
  CHECK((trial.messages > 0 || trial.reached >= trial::Trial::Reached::ruleset));
  CHECK(processor_seconds() - begin < most_seconds);
  return trial;
}

trial::Trial meet(const std::string& source, const trial::Plan& plan) {
  return meet(std::vector<SourceFile>{{"main.bty", source}}, plan);
}

bool stands(const std::vector<SourceFile>& files, const trial::Plan& plan) {
  const double begin = processor_seconds();
  const trial::Trial trial = trial::run(files, plan);
  for (const std::string& promise : trial.broken) UNSCOPED_INFO("not kept: " << promise);
  return trial.broken.empty() && (trial.messages > 0 || trial.reached >= trial::Trial::Reached::ruleset) &&
         processor_seconds() - begin < most_seconds;
}

Answer program(const std::vector<std::string>& words, const std::string& in) {
  int ends[2];
  REQUIRE(::pipe2(ends, O_CLOEXEC) == 0);
  const pid_t child = ::fork();
  REQUIRE(child >= 0);
  if (child == 0) become_program(words, in, ends[1]);
  ::close(ends[1]);
  Answer answer;
  answer.out = take(ends[0]);
  ::close(ends[0]);
  int status = 0;
  rusage used = {};
  REQUIRE(::wait4(child, &status, 0, &used) == child);
  if (WIFEXITED(status)) answer.status = WEXITSTATUS(status);
  if (WIFSIGNALED(status)) answer.signal = WTERMSIG(status);
  answer.seconds = seconds(used.ru_utime) + seconds(used.ru_stime);
  answer.memory = static_cast<std::size_t>(used.ru_maxrss) * 1024;
  return answer;
}

Answer meet_program(const std::string& source, std::string_view name) {
  const Folder folder;
  const Answer answer = program({"read", folder.write(name, source)});
  INFO(answer.seconds << " s, " << (answer.memory >> 20) << " MiB, signal " << answer.signal << "; it said: " << answer.out.substr(0, 300));
  CHECK(answer.signal == 0);
  CHECK((answer.status >= 0 && answer.status <= 2));
  CHECK(!answer.out.empty());
  if (!sanitized) CHECK(answer.memory < most_memory);
  CHECK(answer.seconds < most_seconds);
  return answer;
}

Folder::Folder() {
  std::string made = (std::filesystem::temp_directory_path() / "hostile-XXXXXX").string();
  REQUIRE(::mkdtemp(made.data()) != nullptr);
  path_ = made;
}

Folder::~Folder() {
  std::error_code ignored;
  std::filesystem::remove_all(path_, ignored);
}

std::string Folder::write(std::string_view name, std::string_view bytes) const {
  const std::string file = path(name);
  std::filesystem::create_directories(std::filesystem::path(file).parent_path());
  std::ofstream(file, std::ios::binary) << bytes;
  return file;
}

}  // namespace betony::hostile
