// tests/bench/read_bench.cpp: how fast a source is read, and how long `betony read` takes in whole.
//
// Prints tables in Markdown; `sh tests/bench/run.sh` puts them into RESULTS.md. Every figure is the
// median of several runs; peers run in the same minute, so that a ratio holds on a busy machine too:
// a plain scan of the bytes, and a general reader of JSON that reads the same words as arrays of strings.
#include <sys/wait.h>
#include <unistd.h>

#include <algorithm>
#include <chrono>
#include <cstdio>
#include <cstdlib>
#include <filesystem>
#include <fstream>
#include <functional>
#include <iterator>
#include <nlohmann/json.hpp>
#include <string>
#include <vector>

#include "compiler/compiler.h"

namespace {

using namespace betony;
using Clock = std::chrono::steady_clock;

struct Source {
  std::string name;
  SourceFile file;
  FileReader others;
  std::string all_bytes;  // of all its files
};

std::optional<std::string> bytes_of(const std::filesystem::path& path) {
  std::ifstream in(path, std::ios::binary);
  if (!in) return std::nullopt;
  return std::string(std::istreambuf_iterator<char>(in), {});
}

Source demo(const std::string& name, const std::string& file) {
  const auto path = std::filesystem::path(BETONY_SOURCE_DIR) / file;
  const auto folder = path.parent_path();
  Source source = {name, {path.filename().string(), bytes_of(path).value()}, [folder](const std::string& used) { return bytes_of(folder / used); }, {}};
  const auto tree = read_source(source.file, source.others);
  for (const SourceFile& used : tree.value.value().files) source.all_bytes += used.text;
  return source;
}

// A chapter of a great book: its own findings, terms and practices. Some 1.6 kB, 29 sentences.
std::string chapter(const std::string& n) {
  return "Finding heat of the " + n + " is a grade of none, mild, strong, usually none.\n  Ask \"How warm is the " + n + "?\"\n"
         "Finding age of the " + n + " is a whole number of years from 0 to 110, usually 40.\n"
         "Finding weight of the " + n + " is a number of kg from 2 to 350 in steps of 0.1, usually 70.\n"
         "Finding pains of the " + n + " are any of stiff " + n + ", cold " + n + ", sore " + n + ".\n"
         "Finding humour of the " + n + " is one of ember, brook, loam, usually loam.\n"
         "Term frail " + n + " means age of the " + n + " over 75 or weight of the " + n + " under 45 kg.\n"
         "Tally chill of the " + n + " counts cold " + n + " as 2, and sore " + n + " as 1.\n"
         "Practice " + n + " bath (also " + n + " soak).\n"
         "  Indicated in stiff " + n + " and heat of the " + n + " at most mild, for \"ease of the " + n + "\" [GB 1.1].\n"
         "  Indicated in chill of the " + n + " over 1, unless frail " + n + ", for \"warmth\" [GB 1.2].\n"
         "  Contraindicated in heat of the " + n + " is strong, called heat ban of the " + n + " [GB 1.3; WL 4].\n"
         "  Contraindicated in frail " + n + " and weight of the " + n + " from 30 to 40 kg [GB 1.4].\n"
         "  Discouraged in (humour of the " + n + " is ember or brook) and not cold " + n + " [WL 7].\n"
         "  Caution in age of the " + n + " over 65: \"Keep a companion within call, and rise slowly.\" [GB 1.5].\n"
         "  Dose 5 to 12 min, at most twice a wk [GB 1.6].\n  Dose half in frail " + n + ".\n"
         "  Takes 10 to 20 min.\n  Time from 2 h before sleep to 1 h before sleep.\n  Otherwise allowed.\n"
         "Practice " + n + " walk.\n"
         "  Indicated in humour of the " + n + " is one of ember, loam or at least 2 of stiff " + n + ", cold " + n + ", sore " + n + " [GB 2.1].\n"
         "  Discouraged in date from 1 November to 28 February and age of the " + n + " over 70 [GB 2.2].\n"
         "  Follows " + n + " bath.\n  Otherwise allowed with care.  -- as the " + n + " allows\n"
         "Profile \"the " + n + " of a shepherd\": age of the " + n + " 52, weight of the " + n + " 64.5 kg, cold " + n + ", the rest as usual.\n"
         "  Expect " + n + " bath allowed.\n\n";
}

std::string letters(std::size_t i) {
  std::string out = "lim";
  for (; i > 0; i /= 20) out += "bcdfghklmnprstvwxyzj"[i % 20];
  return out;
}

Source great_book(std::size_t chapters) {
  std::string text = "Ruleset \"The great book\", edition \"1\".\nSource GB is \"Great book\", 1911, ranked 1.\nSource WL is \"Winter letters\", 1934.\n\n";
  for (std::size_t i = 0; i < chapters; ++i) text += chapter(letters(i + 20));
  const auto none = [](const std::string&) { return std::nullopt; };
  return {"a made book of " + std::to_string(chapters) + " chapters", {"great.bty", text}, none, text};
}

double seconds_of(const std::function<void()>& work) {
  const auto begin = Clock::now();
  work();
  return std::chrono::duration<double>(Clock::now() - begin).count();
}

// Of at least five runs, and of as many as fit half a second.
double median_of(const std::function<void()>& work) {
  std::vector<double> all;
  for (double total = 0; all.size() < 5 || (total < 0.5 && all.size() < 101); total += all.back()) all.push_back(seconds_of(work));
  std::nth_element(all.begin(), all.begin() + static_cast<std::ptrdiff_t>(all.size() / 2), all.end());
  return all[all.size() / 2];
}

volatile std::size_t sink;  // keeps what is measured from being left out

void scan(const std::string& bytes) {
  std::size_t words = 0;
  bool inside = false;
  for (const char letter : bytes) {
    const bool white = letter == ' ' || letter == '\n';
    words += inside && white;
    inside = !white;
  }
  sink = words;
}

// The words of each line as an array of strings.
std::string as_json(const std::string& bytes) {
  nlohmann::json lines = nlohmann::json::array();
  std::string word;
  nlohmann::json line = nlohmann::json::array();
  for (const char letter : bytes) {
    if (letter != ' ' && letter != '\n') {
      word += letter;
      continue;
    }
    if (!word.empty()) line.push_back(std::exchange(word, {}));
    if (letter == '\n') lines.push_back(std::exchange(line, nlohmann::json::array()));
  }
  return lines.dump();
}

void print_reading(const Source& source) {
  const double size = static_cast<double>(source.all_bytes.size()) / 1e6;
  const std::string json = as_json(source.all_bytes);
  const Tree tree = read_source(source.file, source.others).value.value();
  const double to_tree = median_of([&] { sink = read_source(source.file, source.others).value.value().sentences.size(); });
  const double to_ruleset = median_of([&] { sink = read_ruleset(source.file, source.others).value.value().sentences.size(); });
  const double json_time = median_of([&] { sink = nlohmann::json::parse(json).size(); });
  const double scan_time = median_of([&] { scan(source.all_bytes); });
  std::printf("| %s | %.0f kB | %zu | %.1f ms | %.1f ms | **%.2f MB/s** | %.1f | %.0f |\n", source.name.c_str(), size * 1e3, tree.sentences.size(),
              to_tree * 1e3, to_ruleset * 1e3, size / to_ruleset, to_ruleset / json_time, to_ruleset / scan_time);
}

int run_program(const std::vector<std::string>& words) {
  std::fflush(stdout);  // else what waits for printing is printed by both
  const pid_t child = ::fork();
  if (child == 0) {
    std::vector<char*> pointers = {const_cast<char*>(BETONY_PROGRAM)};
    for (const std::string& word : words) pointers.push_back(const_cast<char*>(word.c_str()));
    pointers.push_back(nullptr);
    if (!std::freopen("/dev/null", "w", stdout)) ::_exit(127);
    ::execv(pointers[0], pointers.data());
    ::_exit(127);
  }
  int status = 0;
  ::waitpid(child, &status, 0);
  return WIFEXITED(status) ? WEXITSTATUS(status) : -1;
}

void print_whole(const char* name, const char* file) {
  const std::string path = std::string(BETONY_SOURCE_DIR) + "/" + file;
  int status = 0;
  const double whole = median_of([&] { status = run_program({"read", path}); });
  const double start = median_of([] { run_program({"--version"}); });
  std::printf("| %s | **%.0f ms** | %.0f ms | %d |\n", name, whole * 1e3, start * 1e3, status);
}

}  // namespace

int main() {
  std::printf("## From source to typed ruleset\n\n"
              "| source | size | sentences | to the tree | to the typed ruleset | speed | times JSON | times a scan |\n"
              "|---|---|---|---|---|---|---|---|\n");
  for (const std::size_t chapters : {10, 100, 500}) print_reading(great_book(chapters));
  print_reading(demo("tamberlow", "rulesets/tamberlow/tamberlow.bty"));
  print_reading(demo("lantern-lakes", "rulesets/lantern-lakes/lantern-lakes.bty"));
  std::printf("\n## `betony read`, whole process, with every check\n\n"
              "| ruleset | read and checked | for comparison, `betony --version` | exit status |\n|---|---|---|---|\n");
  print_whole("tamberlow", "rulesets/tamberlow/tamberlow.bty");
  print_whole("tamberlow, earlier edition", "rulesets/tamberlow/earlier/tamberlow.bty");
  print_whole("lantern-lakes", "rulesets/lantern-lakes/lantern-lakes.bty");
  print_whole("lantern-lakes, earlier edition", "rulesets/lantern-lakes/earlier/lantern-lakes.bty");
}
