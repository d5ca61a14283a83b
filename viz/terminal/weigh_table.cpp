#include "viz/terminal/weigh_table.h"

#include <fmt/format.h>

#include <condition_variable>
#include <deque>
#include <exception>
#include <mutex>
#include <ostream>
#include <thread>

#include "viz/terminal/letters.h"
#include "viz/terminal/page.h"
#include "viz/terminal/progress.h"
#include "viz/terminal/verb.h"

namespace betony::terminal {

using namespace runtime;

namespace {

constexpr std::size_t most_letters_told = 400;    // of a bad row

// `row 12, column "age": ...`
std::string bad_row_words(const BadRow& row) {
  const std::string where = row.column.empty() ? "" : ", column \"" + row.column + "\"";
  const std::string words = with_stop("row " + std::to_string(row.row) + where + ": " + row.wrong);
  return words.size() <= most_letters_told ? words : words.substr(0, most_letters_told) + " ...";
}

// ---------------------------------------------------------------- what comes out

// Writes what comes of the rows. One thread at a time.
class Outcome {
 public:
  Outcome(Surroundings& around, bool stops_at_bad)
      : around_(around), stops_(stops_at_bad), progress_(around.err, around.err_is_terminal && !around.out_is_terminal, "rows") {}

  // False where it ends: the output takes no more, or a bad row is to end it.
  bool take(RowWeigher::Out& out) {
    around_.out.write(out.text.text().data(), static_cast<std::streamsize>(out.text.size()));
    if (!around_.out) return false;
    weighed_ += out.weighed;
    for (const BadRow& row : out.bad) tell(row);
    out.text.clear(), out.weighed = 0, out.bad.clear();
    progress_(weighed_ + bad_);
    return !(stops_ && bad_ > 0);
  }

  int end() {
    progress_.wipe();
    if (!around_.out) return status_misuse;    // the program says why
    if (bad_ == 0) return status_good;
    if (stops_) {
      const std::string before = weighed_ == 0 ? "no row" : rows(weighed_);
      around_.err << fmt::format("Stopped there; {} before it {} weighed.\n", before, weighed_ < 2 ? "was" : "were");
      return status_no;
    }
    const bool more = bad_ > PersonBatches::most_told;
    around_.err << fmt::format("{} of {} {} passed over{}.\n", bad_, rows(weighed_ + bad_), bad_ == 1 ? "was" : "were",
                               more ? fmt::format("; the first {} of them are told above", PersonBatches::most_told) : "");
    return status_no;
  }

 private:
  static std::string rows(std::uint64_t number) { return fmt::format("{} {}", number, number == 1 ? "row" : "rows"); }

  void tell(const BadRow& row) {
    if (++bad_ > PersonBatches::most_told) return;
    progress_.wipe();
    around_.err << harmless(bad_row_words(row)) << "\n";
  }

  Surroundings& around_;
  const bool stops_;
  Progress progress_;
  std::uint64_t weighed_ = 0, bad_ = 0;
};

// ---------------------------------------------------------------- side by side

// Weighers in threads of their own. A batch has a number, and what comes of it is written when all before it are through; whoever
// has more text than he should hold waits for that in the middle.
class Weighers {
 public:
  Weighers(const RowPlan& plan, Outcome& outcome, unsigned threads) : plan_(plan), outcome_(outcome), most_waiting_(threads + 1) {
    for (unsigned i = 0; i < threads; ++i) threads_.emplace_back([this] { work(); });
  }
  // What still waits is dropped; where that is not wanted, finish() comes first.
  ~Weighers() {
    stop();
    join();
  }
  Weighers(const Weighers&) = delete;
  Weighers& operator=(const Weighers&) = delete;

  bool take(Batch batch) {
    std::unique_lock lock(mutex_);
    changed_.wait(lock, [&] { return stopped_ || waiting_.size() < most_waiting_; });
    if (!stopped_) waiting_.push_back(std::move(batch));
    changed_.notify_all();
    return !stopped_;
  }

  void finish() {
    {
      const std::lock_guard lock(mutex_);
      ended_ = true;
      changed_.notify_all();
    }
    join();
    if (fault_) std::rethrow_exception(fault_);
  }

 private:
  void work() {
    try {
      std::uint64_t number = 0;
      RowWeigher weigher(plan_, [&] { return pass(weigher.out(), number); });
      while (auto batch = next(number))
        if (!weigher.weigh(*batch) || !pass(weigher.out(), number) || !give_turn()) return;
    } catch (...) {
      stop(std::current_exception());
    }
  }

  std::optional<Batch> next(std::uint64_t& number) {
    std::unique_lock lock(mutex_);
    changed_.wait(lock, [&] { return stopped_ || ended_ || !waiting_.empty(); });
    if (stopped_ || waiting_.empty()) return std::nullopt;
    std::optional<Batch> batch(std::move(waiting_.front()));
    waiting_.pop_front();
    number = given_++;
    changed_.notify_all();
    return batch;
  }

  // Only who has the turn writes, so the lock is not held meanwhile.
  bool pass(RowWeigher::Out& out, std::uint64_t number) {
    {
      std::unique_lock lock(mutex_);
      changed_.wait(lock, [&] { return stopped_ || turn_ == number; });
      if (stopped_) return false;
    }
    if (outcome_.take(out)) return true;
    stop();
    return false;
  }

  bool give_turn() {
    const std::lock_guard lock(mutex_);
    ++turn_;
    changed_.notify_all();
    return true;
  }

  void stop(std::exception_ptr fault = nullptr) {
    const std::lock_guard lock(mutex_);
    stopped_ = true;
    if (fault && !fault_) fault_ = fault;
    changed_.notify_all();
  }

  void join() {
    for (std::thread& thread : threads_)
      if (thread.joinable()) thread.join();
  }

  const RowPlan& plan_;
  Outcome& outcome_;
  const std::size_t most_waiting_;
  std::mutex mutex_;
  std::condition_variable changed_;
  std::deque<Batch> waiting_;
  std::uint64_t given_ = 0, turn_ = 0;       // batches given out; the one that may write
  bool ended_ = false, stopped_ = false;
  std::exception_ptr fault_;
  std::vector<std::thread> threads_;
};

// ---------------------------------------------------------------- the table

// Reads the table to its end, or to where no more is wanted.
class TableReader {
 public:
  TableReader(const RowPlan& plan, Profiles& table, Surroundings& around) : plan_(plan), table_(table), around_(around) {}

  void read(std::function<bool(Batch)> take) {
    const bool csv = table_.kind() == ProfileKind::csv;
    PersonSettings settings{csv ? TableFormat::csv : TableFormat::json_lines, plan_.settings.kept};
    settings.blocks = !plan_.settings.json;
    settings.kept_are_columns = true;
    PersonBatches batches(plan_.pack, settings, [&](Batch batch) { return begin(), take(std::move(batch)); });
    bool wanted = true;
    for (std::string_view piece; wanted && !(piece = table_.next()).empty();) wanted = batches.feed(piece);
    if (wanted) batches.finish();
    if (batches.trouble()) refuse(*batches.trouble());
    begin();
  }

 private:
  void begin() {
    if (!begun_) around_.out << plan_.header();
    begun_ = true;
  }

  // Only a header is refused.
  void refuse(const BadRow& row) const {
    const bool unknown = !row.column.empty() && row.wrong.starts_with("no finding is called");
    throw Misuse(bad_row_words(row) + (unknown ? " To have it in the answer as it stands: --keep \"" + row.column + "\"" : ""));
  }

  const RowPlan& plan_;
  Profiles& table_;
  Surroundings& around_;
  bool begun_ = false;
};

// JSON has it in every object.
void put_caution(const About& about, Surroundings& around) {
  Page page({});
  page.paragraph("Caution. " + about.caution);
  if (about.even_so) page.paragraph("This ruleset was shipped though it has errors or is not settled.");
  around.err << page.text();
}

}  // namespace

int weigh_table(const Pack& pack, Profiles& table, TableSettings settings, Surroundings& around) {
  if (!settings.rows.json) put_caution(pack.about, around);
  const RowPlan plan(pack, std::move(settings.rows));
  Outcome outcome(around, plan.settings.stops_at_bad);
  TableReader reader(plan, table, around);
  if (settings.cores > 1) {
    Weighers weighers(plan, outcome, settings.cores);
    reader.read([&](Batch batch) { return weighers.take(std::move(batch)); });
    weighers.finish();
  } else {
    RowWeigher weigher(plan, [&] { return outcome.take(weigher.out()); });
    reader.read([&](Batch batch) { return weigher.weigh(batch) && outcome.take(weigher.out()); });
  }
  return outcome.end();
}

}  // namespace betony::terminal
