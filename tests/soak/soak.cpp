// tests/soak/soak.cpp: soak PACK ... [--minutes N] [--threads N] [--persons N] [--seed N]: the C interface under many threads, for long.
//
// One thread makes up persons for each pack and keeps as text all that it is told of them (company.h). Then, in rounds of some seconds,
// each with packs that are loaded anew, many threads do with them what chance says (visitor.h) and compare. It is built with the thread
// sanitizer, which ends it at a race; one that it does not see may show as a wrong answer. From the end of the first round on no
// more may be left on the heap.
//
// Prints what was done, and the memory at the start and after each tenth of the time.
// Exit status: 0; 1 where something was told otherwise, or was left on the heap; 3 misuse, or a pack that cannot be used. Of the sanitizer: 66.
#include <CLI/CLI.hpp>
#include <fmt/format.h>

#include <chrono>
#include <cstdio>
#include <fstream>
#include <iterator>
#include <thread>

#include "tests/soak/company.h"
#include "tests/soak/visitor.h"

extern "C" std::size_t __sanitizer_get_current_allocated_bytes();   // GCC brings it without a header

namespace betony::soak {
namespace {

using Clock = std::chrono::steady_clock;

constexpr std::chrono::seconds round_time{10};
constexpr std::size_t most_left = 64 << 10;   // bytes; what libraries may take once and keep

struct Wanted {
  std::vector<std::string> packs;
  double minutes = 1;
  unsigned threads = 8;
  std::size_t persons = 100;   // of each pack
  std::uint64_t seed = 1;
};

// ---------------------------------------------------------------- what is printed

// Of this process, in MiB: "VmRSS" is what it has now, "VmHWM" the most that it had.
std::size_t memory(const std::string& which) {
  std::ifstream in("/proc/self/status");
  for (std::string line; std::getline(in, line);)
    if (line.starts_with(which + ":")) return std::stoul(line.substr(which.size() + 1)) / 1024;
  return 0;
}

void print_memory(const std::string& when, const Counts& counts) {
  const double heap = static_cast<double>(__sanitizer_get_current_allocated_bytes()) / 1024;
  fmt::print("{:>8}  {:>5} MiB, {:>5} at most  {:>9.1f} KiB on the heap  {:>12} calls  {} differences\n", when, memory("VmRSS"),
             memory("VmHWM"), heap, counts.calls, counts.differences);
  std::fflush(stdout);
}

void print_book(Caller& call, const Book& book) {
  fmt::print("{}: {} bytes, {} readings, {} persons, {} tellings. Verdicts:", book.title, book.bytes.size(), book.schools.size(),
             book.persons.size(), book.tellings.size());
  const auto verdicts = verdicts_of(call, book);
  for (std::size_t v = 0; v < verdicts.size(); ++v)
    if (verdicts[v]) fmt::print(" {} {}", verdicts[v], betony_verdict_word(static_cast<betony_verdict>(v)));
  fmt::print("\n");
  std::fflush(stdout);
}

// ---------------------------------------------------------------- rounds

std::vector<std::uint8_t> bytes_of(const std::string& file) {
  std::ifstream in(file, std::ios::binary);
  std::vector<std::uint8_t> out((std::istreambuf_iterator<char>(in)), {});
  if (!in || out.empty()) throw std::runtime_error(file + " cannot be read");
  return out;
}

// Until that time.
Counts round(const std::vector<Book>& books, const Wanted& wanted, std::uint64_t number, Clock::time_point until) {
  Caller call;
  std::vector<Shelved> shelf;
  for (const Book& book : books) shelf.emplace_back(call, book);
  Exchange exchange;
  std::vector<Counts> counts(wanted.threads);
  std::vector<std::thread> threads;
  for (unsigned t = 0; t < wanted.threads; ++t)
    threads.emplace_back([&, t] {
      Visitor visitor(shelf, exchange, wanted.seed * 1'000'003 + number * 1009 + t);
      while (Clock::now() < until) visitor.step();
      visitor.let_all_go();
      counts[t] = visitor.counts();
    });
  for (std::thread& thread : threads) thread.join();
  Counts out;
  for (const Counts& one : counts) out += one;
  return out;
}

struct Outcome {
  Counts counts;
  std::size_t left = 0;   // bytes of the heap that were kept since the end of the first round
};

Outcome run(const std::vector<Book>& books, const Wanted& wanted) {
  const auto whole = std::chrono::duration_cast<Clock::duration>(std::chrono::duration<double>(wanted.minutes * 60));
  const auto begin = Clock::now(), end = begin + whole;
  Outcome out;
  std::size_t at_first = 0;
  auto next_line = begin + whole / 10;
  print_memory("0 s", {});
  for (std::uint64_t number = 0; Clock::now() < end; ++number) {
    out.counts += round(books, wanted, number, std::min(end, Clock::now() + std::min<Clock::duration>(round_time, whole / 10)));
    const std::size_t now = __sanitizer_get_current_allocated_bytes();
    if (number == 0) at_first = now;
    out.left = now > at_first ? now - at_first : 0;
    if (Clock::now() < next_line) continue;
    print_memory(fmt::format("{} s", std::chrono::duration_cast<std::chrono::seconds>(Clock::now() - begin).count()), out.counts);
    next_line += whole / 10;
  }
  return out;
}

int tell(const Outcome& outcome) {
  const Counts& c = outcome.counts;
  for (const std::string& words : c.told) fmt::print("{}", words);
  fmt::print("{} calls, {} persons weighed, {} tellings and packs refused, {} packs loaded beside, {} parts compared: {} differences\n", c.calls,
             c.weighed, c.refused, c.loaded, c.parts, c.differences);
  if (outcome.left > most_left) fmt::print("{} bytes were not given back since the first round.\n", outcome.left);
  if (c.weighed == 0 || c.parts == 0) return fmt::print("Nothing was compared: the time is too short.\n"), 1;
  return c.differences > 0 || outcome.left > most_left;
}

int soak(const Wanted& wanted) {
  std::vector<Book> books;
  Caller call;
  for (const std::string& file : wanted.packs) {
    Book book = book_of(call, bytes_of(file));
    add_company(call, book, wanted.persons, wanted.seed + books.size());
    print_book(call, book);
    books.push_back(std::move(book));
  }
  fmt::print("{} threads for {} min, seed {}:\n", wanted.threads, wanted.minutes, wanted.seed);
  return tell(run(books, wanted));
}

}  // namespace
}  // namespace betony::soak

int main(int count, char** words) {
  betony::soak::Wanted wanted;
  CLI::App app("Lets many threads weigh persons with packs, and compares what each is told with what a single thread was told.");
  app.add_option("PACK", wanted.packs, "packs, as \"betony ship\" writes them")->required();
  app.add_option("--minutes", wanted.minutes, "how long; 1 unless told")->check(CLI::Range(0.01, 100'000.0));
  app.add_option("--threads", wanted.threads, "how many; 8 unless told")->check(CLI::Range(1u, 256u));
  app.add_option("--persons", wanted.persons, "how many are kept of each pack; 100 unless told")->check(CLI::Range(1, 10'000));
  app.add_option("--seed", wanted.seed, "by which all goes; 1 unless told");
  try {
    app.parse(count, words);
    return betony::soak::soak(wanted);
  } catch (const CLI::ParseError& wrong) {
    return app.exit(wrong) == 0 ? 0 : 3;
  } catch (const std::exception& wrong) {
    std::fprintf(stderr, "%s\n", wrong.what());
    return 3;
  }
}
