// tests/bench/blocks_once.cpp PACK FILE: weighs persons in planes of bits from a file, as a process that blocks_bench.cpp times.
//
// Prints a number made of how many codes of each kind there are, which the chain of ifs prints as well.
#include <algorithm>
#include <cstdio>
#include <fstream>
#include <iterator>
#include <string>

#include "runtime/blocks.h"

int main(int, char** words) {
  using namespace betony::runtime;
  std::ifstream in(words[1], std::ios::binary);
  const std::string bytes{std::istreambuf_iterator<char>(in), {}};
  const auto read = read_pack({reinterpret_cast<const std::uint8_t*>(bytes.data()), bytes.size()});
  std::FILE* file = std::fopen(words[2], "rb");
  if (!read.pack || !file) return 3;
  std::setvbuf(file, nullptr, _IONBF, 0);
  const BlockWeigher weigher(*read.pack);
  BlockWeigher::Scratch scratch;
  Block block;
  block.clear(read.pack->program.inputs);
  block.persons = block_persons;
  constexpr std::size_t together = 64;
  std::vector<std::uint64_t> pieces(block.planes.size() * together);
  std::vector<std::uint64_t> planes(weigher.practices() * 4 * block_words);
  unsigned long said[16] = {};
  // Of a code so many persons have it as bits are left where its planes are as they should be.
  const auto count = [&](const std::uint64_t* of) {
    for (unsigned w = 0; w < block_words; ++w) {
      const std::uint64_t low = of[w], next = of[block_words + w], high = of[2 * block_words + w], care = of[3 * block_words + w];
      for (unsigned code = 0; code < 16; ++code) {
        const std::uint64_t here = (code & 1 ? low : ~low) & (code & 2 ? next : ~next) & (code & 4 ? high : ~high) & (code & 8 ? care : ~care);
        said[code] += static_cast<unsigned long>(__builtin_popcountll(here));
      }
    }
  };
  for (std::size_t got; (got = std::fread(pieces.data(), block.planes.size() * sizeof(std::uint64_t), together, file)) > 0;) {
    for (std::size_t b = 0; b < got; ++b) {
      std::copy_n(pieces.begin() + static_cast<std::ptrdiff_t>(b * block.planes.size()), block.planes.size(), block.planes.begin());
      weigher.weigh_planes(block, scratch, planes.data());
      for (std::size_t p = 0; p < weigher.practices(); ++p) count(&planes[p * 4 * block_words]);
    }
  }
  unsigned long sum = 0;
  for (const unsigned long number : said) sum = sum * 31 + number;
  std::printf("%lu\n", sum % 1000000007);
}
