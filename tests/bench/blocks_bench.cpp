// tests/bench/blocks_bench.cpp [persons]: verdicts in blocks (runtime/blocks.h) against conditions written out in C++ (made.h).
//
// Both weigh the same persons, batch after batch in alternation, and every verdict is compared. Only weighing is timed, in time of the
// processor on one thread; the median of five. Then each is a process that reads its persons from a file in the form that suits
// it, 140 bytes a person for the ifs and planes of bits for the blocks, and prints what was said; in alternation, the median of five.
//
// Prints Markdown. Exit status 1 where a verdict differs or the peer cannot be compiled.
#include "runtime/blocks.h"
#include "tests/bench/made.h"

namespace {

using namespace betony;
using namespace betony::bench;
using Path = BlockWeigher::Path;

constexpr unsigned runs = 5;

// ---------------------------------------------------------------- the measurement

struct Contender {
  std::function<void(const Batch&)> weigh;
  double times[runs] = {};  // seconds

  double nanoseconds(std::size_t persons) const {
    std::vector<double> sorted(times, times + runs);
    std::sort(sorted.begin(), sorted.end());
    return sorted[runs / 2] * 1e9 / static_cast<double>(persons);
  }
};

std::size_t differences(const std::vector<std::uint8_t>& by_practice, const std::vector<std::uint8_t>& by_person) {
  std::size_t out = 0;
  for (std::size_t i = 0; i < batch_persons; ++i)
    for (std::size_t p = 0; p < practices; ++p)
      out += by_practice[(i / block_persons * practices + p) * block_persons + i % block_persons] != by_person[i * practices + p];
  return out;
}

struct Measured {
  std::string inner, process;   // rows of a table
  bool same = true;
};

// Both as processes over the files; the numbers that they print say whether they said the same.
std::string processes(const Ruleset& ruleset, const Peer& peer, const std::string& pack, const std::string& bools, const std::string& blocks, bool& same) {
  std::vector<bench::Process> chains, ours;
  for (unsigned run = 0; run < runs; ++run) {
    chains.push_back(bench::process_of(peer.program.c_str(), {bools}));
    ours.push_back(bench::process_of(BLOCKS_ONCE, {pack, blocks}));
  }
  const auto by_wall = [](const bench::Process& a, const bench::Process& b) { return a.time.wall < b.time.wall; };
  std::sort(chains.begin(), chains.end(), by_wall), std::sort(ours.begin(), ours.end(), by_wall);
  const auto &chain = chains[runs / 2], &own = ours[runs / 2];
  same = same && chain.peak_kib == own.peak_kib && chain.status == 0 && own.status == 0;  // the number that was printed
  char row[200];
  std::snprintf(row, sizeof row, "| %s | %.3f (%.3f) | %.3f (%.3f) | **%.1f** | %s |\n", ruleset.name, chain.time.wall, chain.time.processor, own.time.wall,
                own.time.processor, chain.time.wall / own.time.wall, chain.peak_kib == own.peak_kib ? "the same" : "**not the same**");
  return row;
}

Measured measure(const Ruleset& ruleset, Chance& chance, std::size_t persons) {
  const std::string file = (bench_folder() / ruleset.name).string() + ".persons", blocks_file = file + ".blocks", pack_file = file + ".pack";
  std::ofstream bools(file, std::ios::binary), bits(blocks_file, std::ios::binary);
  const Pack pack = PackMaker(ruleset).take();
  if (const std::string wrong = what_is_wrong(pack); !wrong.empty()) std::printf("%s\n", wrong.c_str()), std::exit(1);
  const Peer peer = peer_of(ruleset);
  const BlockWeigher best(pack), wide(pack, 0, Path::avx2), plain(pack, 0, Path::plain);
  BlockWeigher::Scratch scratch;
  std::vector<std::uint8_t> codes(std::size_t{practices} * batch_persons), peer_codes(codes.size());
  std::vector<std::uint64_t> planes(std::size_t{practices} * 4 * block_words);
  const auto weigh = [&](const BlockWeigher& weigher, const Batch& batch) {
    for (unsigned b = 0; b < batch_blocks; ++b) weigher.weigh(batch.blocks[b], scratch, &codes[std::size_t{b} * practices * block_persons]);
  };
  const auto weigh_planes = [&](const Batch& batch) {
    for (const Block& block : batch.blocks) best.weigh_planes(block, scratch, planes.data());
  };
  Contender all[] = {{[&](const Batch& batch) { peer.weigh(batch.bools.data(), batch_persons, peer_codes.data()); }},
                     {[&](const Batch& batch) { weigh(plain, batch); }},
                     {[&](const Batch& batch) { weigh(wide, batch); }},
                     {weigh_planes},
                     {[&](const Batch& batch) { weigh(best, batch); }}};
  std::size_t weighed = 0, different = 0, said[16] = {};
  for (Batch batch; weighed < persons; weighed += batch_persons) {
    fill(batch, ruleset, chance);
    for (unsigned run = 0; run < runs; ++run)
      for (Contender& contender : all) contender.times[run] += bench::time_of([&] { contender.weigh(batch); }).processor;
    bools.write(reinterpret_cast<const char*>(batch.bools.data()), static_cast<std::streamsize>(batch.bools.size()));
    for (const Block& block : batch.blocks) bits.write(reinterpret_cast<const char*>(block.planes.data()), static_cast<std::streamsize>(block.planes.size() * 8));
    different += differences(codes, peer_codes);
    for (const std::uint8_t code : codes) ++said[code];
  }
  Measured out;
  out.inner = "| " + std::string(ruleset.name) + " | " + std::to_string(weighed) + " |";
  char cell[80];
  for (const Contender& contender : all) std::snprintf(cell, sizeof cell, " %.2f |", contender.nanoseconds(weighed)), out.inner += cell;
  std::snprintf(cell, sizeof cell, " **%.0f** | %zu |\n", all[0].nanoseconds(weighed) / all[4].nanoseconds(weighed), different);
  out.inner += cell;
  out.same = different == 0;
  bools.close(), bits.close();
  const auto bytes = write_pack(pack);
  std::ofstream(pack_file, std::ios::binary).write(reinterpret_cast<const char*>(bytes.data()), static_cast<std::streamsize>(bytes.size()));
  out.process = processes(ruleset, peer, pack_file, file, blocks_file, out.same);
  for (const std::string& used : {file, blocks_file, pack_file}) std::filesystem::remove(used);
  std::fprintf(stderr, "%s, share of each code:", ruleset.name);
  for (unsigned code = 0; code < 16; ++code)
    if (said[code]) std::fprintf(stderr, " %u %.1f %%", code, 100.0 * static_cast<double>(said[code]) / static_cast<double>(weighed * practices));
  std::fprintf(stderr, "\n");
  return out;
}

}  // namespace

int main(int count, char** words) {
  const std::size_t persons = count > 1 ? std::strtoull(words[1], nullptr, 10) : 10'000'000;
  std::vector<Measured> all;
  Chance chance(7);
  for (const auto& make : {flat, skewed, nested}) all.push_back(measure(make(chance), chance, persons));
  std::printf("## Verdicts in blocks against a chain of ifs\n\n12 practices, 160 sentences each, 140 yes-or-no findings; nanoseconds a person "
              "for all 12 verdicts, one thread.\n\n| ruleset | persons |");
  for (const char* name : {"if-chain", "plain", "AVX2", "best, planes", "best, codes", "times as fast", "differences"})
    std::printf(" %s |", name);
  std::printf("\n|---|---|---|---|---|---|---|---|---|\n");
  for (const Measured& one : all) std::printf("%s", one.inner.c_str());
  std::printf("\nWhole processes that read these persons from a file, each in the form that suits it; seconds on the wall, in brackets of the processor.\n\n"
              "| ruleset | if-chain | blocks | times as fast | what was said |\n|---|---|---|---|---|\n");
  for (const Measured& one : all) std::printf("%s", one.process.c_str());
  std::filesystem::remove_all(bench_folder());
  return std::all_of(all.begin(), all.end(), [](const Measured& one) { return one.same; }) ? 0 : 1;
}
