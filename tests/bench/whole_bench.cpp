// tests/bench/whole_bench.cpp [--big | --edits]: great tables and edited books, all that happens included.
//
//   tables    rows grown from a tree (tables.h), written out as Take sentences of a choice; `betony read` as a whole process
//   edits     2,000 sentences about 200 practices; one is changed, and everything is read and checked again with what is remembered
//
// Prints Markdown; `sh tests/bench/run.sh` puts it into RESULTS.md.
#include <unistd.h>

#ifdef BETONY_MIMALLOC
#include <mimalloc.h>
#endif

#include <filesystem>
#include <fstream>

#include "compiler/compiler.h"
#include "tests/bench/clock.h"
#include "tests/bench/tables.h"

namespace {

using namespace betony;
using namespace betony::bench;

std::string number(double x) {
  char text[32];
  std::snprintf(text, sizeof text, x < 10 ? "%.2f" : "%.0f", x);
  return text;
}

// ---------------------------------------------------------------- tables

// Short: a file has at most 16 MiB.
std::string column_name(std::size_t c) { return std::string(1, static_cast<char>('n' + c)); }
std::string word(std::int64_t value) { return std::string("k") + static_cast<char>('a' + value); }

std::string as_sentences(const Table& table) {
  std::string out = "Ruleset \"A great table\", edition \"1\".\n";
  const auto is_choice = [&](std::size_t c) { return table.whole[c].high == 4; };
  for (std::size_t c = 0; c < table.whole.size(); ++c)
    out += "Finding " + column_name(c) + (is_choice(c) ? " is one of ka, kb, kc, kd, ke.\n"
                                                       : " is a whole number of g from 0 to " + std::to_string(table.whole[c].high) + ".\n");
  out += "Choice lamp is one of red, green, blue, white.\n";
  static const char* const values[] = {"red", "green", "blue", "white"};
  for (std::size_t i = 0; i < table.rows.size(); ++i) {
    std::string condition;
    for (std::size_t c = 0; c < table.whole.size(); ++c) {
      const Range &range = table.rows[i][c], &whole = table.whole[c];
      if (range.low == whole.low && range.high == whole.high) continue;
      condition += (condition.empty() ? "" : " and ") + column_name(c);
      if (!is_choice(c)) {
        condition += " from " + std::to_string(range.low) + " to " + std::to_string(range.high);
        continue;
      }
      for (std::int64_t value = range.low; value <= range.high; ++value) condition += (value == range.low ? " is " : " or ") + word(value);
    }
    out += std::string("Take ") + values[table.outcomes[i]] + (condition.empty() ? "" : " in " + condition) + ".\n";
  }
  return out;
}

void measure_tables(bool big) {
  std::printf("## Great tables as sentences, whole process of `betony read`\n\n"
              "Seconds on the wall and, in brackets, of the processors; two cores may be used. Memory is the peak.\n\n"
              "| table | size | all of it | memory | exit status |\n|---|---|---|---|---|\n");
  std::vector<std::size_t> sizes{500, 1500, 5000, 20'000};
  if (big) sizes.push_back(99'990);  // with the declarations 100,000 sentences, as many as a ruleset may have
  const auto folder = std::filesystem::temp_directory_path() / ("betony-bench-" + std::to_string(::getpid()));
  std::filesystem::create_directories(folder);
  for (const std::size_t rows : sizes)
    for (const bool widened : {true, false}) {
      const std::string path = (folder / "table.bty").string();
      std::string text = as_sentences(grown_table(7, rows, widened ? rows / 10 : 0, widened ? 0 : rows / 10, 1));
      std::ofstream(path) << text;
      const std::size_t size = text.size();
      text = {};
      std::vector<Process> all;
      long memory = 0;
      for (int run = 0; run < 5; ++run) {
        all.push_back(process_of("/bin/sh", {"-c", "\"$0\" read \"$1\" >/dev/null", BETONY_PROGRAM, path}));
        rusage used{};
        ::getrusage(RUSAGE_CHILDREN, &used);
        memory = std::max(memory, used.ru_maxrss);  // of this size and those before it, which were smaller
      }
      std::sort(all.begin(), all.end(), [](const Process& a, const Process& b) { return a.time.wall < b.time.wall; });
      const Process& median = all[2];
      if (median.status > 1) {
        std::printf("\nThe table of %zu rows is not read: status %d\n", rows, median.status);
        std::exit(1);
      }
      std::printf("| 7 × %zu, %zu %s | %.1f MB | **%s (%s)** | %ld MiB | %d |\n", rows, rows / 10, widened ? "widened" : "narrowed", static_cast<double>(size) / 1e6,
                  number(median.time.wall).c_str(), number(median.time.processor).c_str(), memory / 1024, median.status);
      std::fflush(stdout);
    }
  std::filesystem::remove_all(folder);
}

// ---------------------------------------------------------------- edits

constexpr std::size_t practices = 200, sentences_each = 10;

std::string condition(Chance& chance) {
  static const char* const said[] = {"fever", "cough", "cold hands", "stiff joints", "poor sleep", "thirst", "bad dreams", "aching back"};
  const auto one = [&]() -> std::string {
    switch (chance.from(0, 3)) {
      case 0: return std::string("age ") + (chance.from(0, 1) ? "under " : "over ") + std::to_string(chance.from(5, 99));
      case 1: return std::string("season is ") + (chance.from(0, 1) ? "thaw" : "frost");
      default: return said[chance.from(0, 7)];
    }
  };
  return chance.from(0, 2) == 0 ? one() : one() + " and " + one();
}

std::string book(std::size_t edited) {
  Chance chance(7);
  std::string out =
      "Ruleset \"A book of practices\", edition \"1\".\n"
      "Finding fever is yes or no.\nFinding cough is yes or no.\nFinding cold hands is yes or no.\nFinding stiff joints is yes or no.\n"
      "Finding poor sleep is yes or no.\nFinding thirst is yes or no.\nFinding bad dreams is yes or no.\nFinding aching back is yes or no.\n"
      "Finding age is a whole number of years from 0 to 110.\nFinding season is one of thaw, high sun, leaf fall, frost.\n";
  static const char* const kinds[] = {"Indicated", "Allowed", "Contraindicated", "Discouraged"};
  for (std::size_t i = 0; i < practices; ++i) {
    out += std::string("Practice bath ") + static_cast<char>('a' + i / 26 % 26) + static_cast<char>('a' + i % 26) + ".\n";
    for (std::size_t s = 0; s + 1 < sentences_each; ++s) {
      std::string when = condition(chance);
      if (edited && i == edited && s == 3) when = "age over 77 and thirst";
      out += std::string("  ") + kinds[chance.from(0, 3)] + " in " + when + ".\n";
    }
    out += "  Otherwise allowed.\n";
  }
  return out;
}

struct Edit {
  double reading = 0, checking = 0;  // seconds
  double both() const { return reading + checking; }
};

void measure_edits() {
  const auto none = [](const std::string&) { return std::nullopt; };
  std::vector<Edit> first, again;
  std::size_t problems = 0;
  for (int run = 0; run < 5; ++run) {
    Memory memory;
    const auto read = [&](const std::string& text) {
      Outcome<Ruleset> ruleset;
      Edit times;
      times.reading = time_of([&] { ruleset = read_ruleset({"book.bty", text}, none); }).wall;
      times.checking = time_of([&] { problems = check(ruleset.value.value(), {}, {1, &memory, {}}).problems.size(); }).wall;
      return times;
    };
    first.push_back(read(book(0)));
    again.push_back(read(book(100)));
  }
  for (auto* list : {&first, &again}) std::sort(list->begin(), list->end(), [](const Edit& a, const Edit& b) { return a.both() < b.both(); });
  const double whole = first[2].both();
  const auto row = [&](const char* what, double seconds) {
    std::printf("| %s | **%.1f** | **%.3f** | %s |\n", what, seconds * 1e3, seconds / whole, seconds < 0.1 * whole ? "holds" : "**missed**");
  };
  std::printf("\n## One sentence changed in 2,000 about 200 practices\n\nOne core. The first reading, from source to report, takes **%.0f** ms, %.1f of them to the typed "
              "ruleset; %zu problems are told.\n\n| after the change | ms | of the first reading | under 0.1 |\n|---|---|---|---|\n", whole * 1e3, first[2].reading * 1e3, problems);
  row("checks", again[2].checking);
  row("source to typed ruleset, and checks", again[2].both());
}

}  // namespace

int main(int count, char** words) {
#ifdef BETONY_MIMALLOC
  mi_option_enable(mi_option_large_os_pages);  // as viz/terminal/main.cpp does
#endif
  const std::string wanted = count > 1 ? words[1] : "";
  if (wanted != "--edits") measure_tables(wanted == "--big");
  measure_edits();
}
