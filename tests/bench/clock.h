// tests/bench/clock.h: medians of five, in time on the wall and in time of the processor that the work itself used.
#pragma once

#include <fcntl.h>
#include <spawn.h>
#include <sys/resource.h>
#include <sys/wait.h>
#include <unistd.h>

#include <algorithm>
#include <chrono>
#include <cstdio>
#include <cstdlib>
#include <ctime>
#include <functional>
#include <string>
#include <vector>

namespace betony::bench {

struct Time {
  double wall = 0, processor = 0;  // seconds
};

inline Time time_of(const std::function<void()>& work) {
  const auto used = [] {
    timespec at{};
    ::clock_gettime(CLOCK_THREAD_CPUTIME_ID, &at);
    return static_cast<double>(at.tv_sec) + static_cast<double>(at.tv_nsec) / 1e9;
  };
  const auto begin = std::chrono::steady_clock::now();
  const double used_before = used();
  work();
  const double used_after = used();
  return {std::chrono::duration<double>(std::chrono::steady_clock::now() - begin).count(), used_after - used_before};
}

// Median by the processor's time, of five; `before` runs ahead of each and is not counted.
inline Time median_of(const std::function<void()>& work, const std::function<void()>& before = [] {}, std::size_t runs = 5) {
  std::vector<Time> all;
  for (std::size_t i = 0; i < runs; ++i) {
    before();
    all.push_back(time_of(work));
  }
  std::sort(all.begin(), all.end(), [](const Time& a, const Time& b) { return a.processor < b.processor; });
  return all[all.size() / 2];
}

struct Process {
  Time time;              // processor: in it and in the system for it
  long peak_kib = 0;      // of memory, if the program prints it (a spawned one has its parent's in its own account)
  int status = -1;        // as it exits; -1: it was ended by a signal
};

// Runs a program and reads the number it prints, if any. (Not by fork: copying this process's memory would count as the other's time.)
inline Process process_of(const char* program, const std::vector<std::string>& words) {
  std::vector<char*> pointers = {const_cast<char*>(program)};
  for (const std::string& word : words) pointers.push_back(const_cast<char*>(word.c_str()));
  pointers.push_back(nullptr);
  posix_spawn_file_actions_t actions;
  ::posix_spawn_file_actions_init(&actions);
  int ends[2];
  if (::pipe2(ends, O_CLOEXEC) != 0) return {};
  ::posix_spawn_file_actions_adddup2(&actions, ends[1], STDOUT_FILENO);
  const auto begin = std::chrono::steady_clock::now();
  pid_t child = -1;
  const int failed = ::posix_spawn(&child, program, &actions, nullptr, pointers.data(), environ);
  ::posix_spawn_file_actions_destroy(&actions);
  ::close(ends[1]);
  char printed[64] = {};
  if (failed || ::read(ends[0], printed, sizeof printed - 1) < 0) printed[0] = '\0';
  ::close(ends[0]);
  if (failed) return {};
  int status = 0;
  rusage used{};
  ::wait4(child, &status, 0, &used);
  const auto seconds = [](const timeval& t) { return static_cast<double>(t.tv_sec) + static_cast<double>(t.tv_usec) / 1e6; };
  return {{std::chrono::duration<double>(std::chrono::steady_clock::now() - begin).count(), seconds(used.ru_utime) + seconds(used.ru_stime)},
          std::atol(printed),
          WIFEXITED(status) ? WEXITSTATUS(status) : -1};
}

inline Process median_process(const char* program, const std::vector<std::string>& words, std::size_t runs = 5) {
  std::vector<Process> all;
  for (std::size_t i = 0; i < runs; ++i) all.push_back(process_of(program, words));
  std::sort(all.begin(), all.end(), [](const Process& a, const Process& b) { return a.time.processor < b.time.processor; });
  return all[all.size() / 2];
}

}  // namespace betony::bench
