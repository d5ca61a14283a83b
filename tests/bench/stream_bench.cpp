// tests/bench/stream_bench.cpp [persons]: `betony weigh` over a stream of CSV, as a whole process: time and peak memory.
//
// The larger example teaching as a pack; rows are made from a seed and written to the program's standard input as it reads: every finding answered,
// or in every tenth row one left open, or all rows in JSON lines. The answer goes to nowhere. One measurement each: a stream of some gigabytes
// evens itself out.
//
// Prints Markdown. Exit status 1 where the program fails or needs 64 MiB.
#include <cstring>
#include <random>
#include <sstream>

#include "compiler/ship/ship.h"
#include "runtime/answers.h"
#include "tests/bench/clock.h"
#include "tests/rulesets/worlds.h"

namespace {

using namespace betony;

enum class Look { whole, some_open, json };

class Rows {
 public:
  Rows(const runtime::Pack& pack, Look look) : pack_(pack), look_(look), dice_(20260713) {}

  std::string header() const {
    if (look_ == Look::json) return "";
    std::string out;
    for (const auto& f : pack_.findings) out += (out.empty() ? "" : ",") + f.name;
    return out + "\n";
  }
  void add(std::string& out) {
    ++row_;
    const std::size_t open = look_ == Look::some_open && row_ % 10 == 0 ? dice_() % pack_.findings.size() : pack_.findings.size();
    if (look_ == Look::json) out += '{';
    for (std::size_t f = 0; f < pack_.findings.size(); ++f) {
      if (f > 0) out += ',';
      if (look_ == Look::json) out += "\"" + pack_.findings[f].name + "\":\"";
      if (f != open) out += value(pack_.findings[f]);
      if (look_ == Look::json) out += '"';
    }
    out += look_ == Look::json ? "}\n" : "\n";
  }

 private:
  // A person without a red flag is drawn rather often: the lower half of what can be.
  std::string value(const runtime::Finding& f) {
    if (f.has_words()) return f.values[dice_() % 4 == 0 ? dice_() % f.values.size() : 0];
    if (f.step.sign() == 0) return value_words(f, {runtime::Value::Kind::number, 0, f.low});
    const auto steps = static_cast<std::uint64_t>(divided(f.high - f.low, f.step)->near()) + 1;
    const runtime::Number number = f.low + f.step * runtime::Number(dice_() % (steps / 2 + 1));
    return f.kind == runtime::Finding::Kind::number ? number.words() : value_words(f, {runtime::Value::Kind::number, 0, number});
  }

  const runtime::Pack& pack_;
  const Look look_;
  std::mt19937_64 dice_;
  std::uint64_t row_ = 0;
};

struct Run {
  double wall = 0, processor = 0;
  long peak_kib = 0;
  std::size_t bytes = 0, passed_over = 0;  // rows whom the teaching's background leaves nobody for
  int status = -1;
};

// Rows are made ahead in pieces and told again and again, so that making them costs little beside.
Run weigh(const std::string& pack_file, const runtime::Pack& pack, Look look, std::size_t persons) {
  constexpr std::size_t together = 50'000;
  Rows rows(pack, look);
  std::string piece;
  for (std::size_t i = 0; i < together; ++i) rows.add(piece);
  const std::string header = rows.header();
  int ends[2];
  if (::pipe2(ends, O_CLOEXEC) != 0) return {};
  posix_spawn_file_actions_t actions;
  ::posix_spawn_file_actions_init(&actions);
  ::posix_spawn_file_actions_adddup2(&actions, ends[0], STDIN_FILENO);
  ::posix_spawn_file_actions_addopen(&actions, STDOUT_FILENO, "/dev/null", O_WRONLY, 0);
  const std::string told = pack_file + ".told";
  ::posix_spawn_file_actions_addopen(&actions, STDERR_FILENO, told.c_str(), O_WRONLY | O_CREAT | O_TRUNC, 0600);
  const char* const as = look == Look::json ? "lines" : "csv";
  const char* words[] = {"betony", "weigh", pack_file.c_str(), "-", "--as", as, nullptr};
  pid_t child = -1;
  const auto begin = std::chrono::steady_clock::now();
  const int failed = ::posix_spawn(&child, BETONY_PROGRAM, &actions, nullptr, const_cast<char**>(words), environ);
  ::posix_spawn_file_actions_destroy(&actions);
  ::close(ends[0]);
  if (failed) return {};
  Run out;
  const auto put = [&](const std::string& text) {
    for (std::size_t at = 0; at < text.size();) {
      const ssize_t sent = ::write(ends[1], text.data() + at, text.size() - at);
      if (sent <= 0) return;
      at += static_cast<std::size_t>(sent);
    }
    out.bytes += text.size();
  };
  put(header);
  for (std::size_t done = 0; done < persons; done += together) put(piece);
  // The peak, while the process is still there: of one that was spawned the account holds its parent's too.
  char status_file[64], line[200];
  std::snprintf(status_file, sizeof status_file, "/proc/%d/status", static_cast<int>(child));
  if (std::FILE* file = std::fopen(status_file, "r")) {
    while (std::fgets(line, sizeof line, file))
      if (std::strncmp(line, "VmHWM:", 6) == 0) out.peak_kib = std::atol(line + 6);
    std::fclose(file);
  }
  ::close(ends[1]);
  int status = 0;
  rusage used{};
  ::wait4(child, &status, 0, &used);
  out.wall = std::chrono::duration<double>(std::chrono::steady_clock::now() - begin).count();
  const auto seconds = [](const timeval& t) { return static_cast<double>(t.tv_sec) + static_cast<double>(t.tv_usec) / 1e6; };
  out.processor = seconds(used.ru_utime) + seconds(used.ru_stime);
  out.status = WIFEXITED(status) ? WEXITSTATUS(status) : -1;
  std::ifstream in(told);
  for (std::string one; std::getline(in, one);)
    if (one.find(" passed over") != std::string::npos) out.passed_over = std::strtoull(one.c_str(), nullptr, 10);
  std::filesystem::remove(told);
  return out;
}

}  // namespace

int main(int count, char** words) {
  ::signal(SIGPIPE, SIG_IGN);
  const std::size_t persons = count > 1 ? std::strtoull(words[1], nullptr, 10) : 1'000'000;
  const auto& [ruleset, report] = worlds::checked(worlds::newest()[1]);
  const runtime::Pack pack = ship::pack_of(ruleset, report, {"bench", false});
  const std::string file = (std::filesystem::temp_directory_path() / ("betony-stream-" + std::to_string(::getpid()) + ".pack")).string();
  const auto bytes = runtime::write_pack(pack);
  std::ofstream(file, std::ios::binary).write(reinterpret_cast<const char*>(bytes.data()), static_cast<std::streamsize>(bytes.size()));
  std::printf(
      "## `betony weigh` over a stream\n\nThe whole process, its answer thrown away: %zu practices, %zu findings, with doses.\n\n"
      "| stream | persons | passed over | bytes a row | ns a person on the wall | of the processors | peak memory | under 64 MiB "
      "|\n|---|---|---|---|---|---|---|---|\n",
      pack.practices.size(), pack.findings.size());
  bool good = true;
  const std::pair<Look, const char*> looks[] = {
      {Look::whole, "CSV, whole persons"}, {Look::some_open, "CSV, one in ten with an open finding"}, {Look::json, "JSON lines, whole persons"}};
  for (const auto& [look, name] : looks) {
    const Run run = weigh(file, pack, look, persons);
    const bool holds = run.peak_kib > 0 && run.peak_kib < 64 * 1024 && (run.status == 0 || run.status == 1);
    std::printf("| %s | %zu | %zu | %.0f | **%.0f** | %.0f | %.1f MiB | %s |\n", name, persons, run.passed_over,
                static_cast<double>(run.bytes) / static_cast<double>(persons), run.wall * 1e9 / static_cast<double>(persons),
                run.processor * 1e9 / static_cast<double>(persons), static_cast<double>(run.peak_kib) / 1024, holds ? "holds" : "**missed**");
    std::fflush(stdout);
    good = good && holds;
  }
  std::filesystem::remove(file);
  return good ? 0 : 1;
}
