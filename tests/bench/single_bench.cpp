// tests/bench/single_bench.cpp [persons]: the verdicts of one person after another (runtime/single.h) against a chain of ifs (made.h).
//
// Persons lie ready, as bits and as bools; each is weighed by itself, batch after batch in alternation, and every verdict is compared. Then
// half of the findings of each person are taken away, by chance, and the verdicts that are still possible are searched for; these packs
// have no decision graphs. Time of the processor on one thread; the median of five.
//
// Prints Markdown. Exit status 1 where a verdict differs, or one that really comes is missing among the possible ones.
#include <array>

#include "runtime/single.h"
#include "tests/bench/made.h"

namespace {

using namespace betony::bench;

constexpr unsigned runs = 5, words = (findings + 63) / 64;
using Row = std::array<std::uint64_t, words>;

struct Rows {
  std::vector<Row> whole, may, may_not;
};

Rows rows_of(const Batch& batch, Chance& chance) {
  Rows out;
  for (unsigned i = 0; i < batch_persons; ++i) {
    Row row{}, open{};
    for (unsigned f = 0; f < findings; ++f) row[f / 64] |= std::uint64_t{batch.bools[std::size_t{i} * findings + f]} << (f % 64);
    Row all{};
    for (unsigned f = 0; f < findings; ++f) all[f / 64] |= std::uint64_t{1} << (f % 64);
    for (unsigned w = 0; w < words; ++w) open[w] = chance.word() & all[w];
    out.whole.push_back(row);
    Row may{}, may_not{};
    for (unsigned w = 0; w < words; ++w) may[w] = row[w] | open[w], may_not[w] = (~row[w] & all[w]) | open[w];
    out.may.push_back(may), out.may_not.push_back(may_not);
  }
  return out;
}

double median(std::array<double, runs> times) {
  std::sort(times.begin(), times.end());
  return times[runs / 2];
}

bool measure(const Ruleset& ruleset, Chance& chance, std::size_t persons) {
  const Pack pack = PackMaker(ruleset).take();
  const Peer peer = peer_of(ruleset);
  const SingleWeigher best(pack), plain(pack, 0, SingleWeigher::Path::plain);
  SingleWeigher::Scratch scratch;
  std::vector<std::uint8_t> theirs(std::size_t{practices} * batch_persons), ours(theirs.size()), by_words(theirs.size());
  std::vector<std::uint32_t> sets(theirs.size());
  std::array<double, runs> chain{}, single{}, narrow{}, half{};
  std::size_t weighed = 0, different = 0, missing = 0, exact = 0, verdicts = 0;
  for (Batch batch; weighed < persons; weighed += batch_persons) {
    fill(batch, ruleset, chance);
    const Rows rows = rows_of(batch, chance);
    for (unsigned run = 0; run < runs; ++run) {
      chain[run] += time_of([&] { peer.weigh(batch.bools.data(), batch_persons, theirs.data()); }).processor;
      single[run] += time_of([&] {
                       for (unsigned i = 0; i < batch_persons; ++i) best.weigh(rows.whole[i].data(), scratch, &ours[std::size_t{i} * practices]);
                     }).processor;
      narrow[run] += time_of([&] {
                       for (unsigned i = 0; i < batch_persons; ++i) plain.weigh(rows.whole[i].data(), scratch, &by_words[std::size_t{i} * practices]);
                     }).processor;
      half[run] += time_of([&] {
                     for (unsigned i = 0; i < batch_persons; ++i)
                       best.possible(rows.may[i].data(), rows.may_not[i].data(), scratch, &sets[std::size_t{i} * practices]);
                   }).processor;
    }
    for (std::size_t i = 0; i < theirs.size(); ++i) {
      different += theirs[i] != ours[i] || theirs[i] != by_words[i];
      missing += (sets[i] >> theirs[i] & 1u) == 0;
      exact += !(sets[i] & SingleWeigher::not_exact);
      verdicts += static_cast<std::size_t>(__builtin_popcount(sets[i] & ~SingleWeigher::not_exact));
    }
  }
  const double per = 1e9 / static_cast<double>(weighed);
  std::printf("| %s | %zu | %.0f | %.0f | %.0f | **%.1f** | %zu | %.0f | %.1f %% | %.2f | %zu |\n", ruleset.name, weighed, median(chain) * per,
              median(narrow) * per, median(single) * per, median(chain) / median(single), different, median(half) * per / practices,
              100.0 * static_cast<double>(exact) / static_cast<double>(weighed * practices),
              static_cast<double>(verdicts) / static_cast<double>(weighed * practices), missing);
  std::fflush(stdout);
  return different == 0 && missing == 0;
}

}  // namespace

int main(int count, char** words) {
  const std::size_t persons = count > 1 ? std::strtoull(words[1], nullptr, 10) : 500'000;
  std::printf(
      "## One person after another, against a chain of ifs\n\nThe rulesets and persons are those of the blocks; nanoseconds a person for all 12 "
      "verdicts, and, with "
      "half of the findings open, a practice for those that are still possible.\n\n"
      "| ruleset | persons | if-chain | a word at a time | best | times as fast | differences | possible, ns a practice | exact | verdicts a set | "
      "missing |\n"
      "|---|---|---|---|---|---|---|---|---|---|---|\n");
  Chance chance(7);
  bool same = true;
  for (const auto& make : {flat, skewed, nested}) same = measure(make(chance), chance, persons) && same;
  std::filesystem::remove_all(bench_folder());
  return same ? 0 : 1;
}
