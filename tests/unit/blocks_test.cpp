#include <catch2/catch.hpp>

#include <random>

#include "runtime/blocks.h"
#include "runtime/pack_verify.h"
#include "runtime/truth.h"

namespace {

using namespace betony::runtime;
using Path = BlockWeigher::Path;
using Kind = Gate::Kind;

constexpr Path paths[] = {Path::best, Path::plain, Path::avx2, Path::avx512};

// ---------------------------------------------------------------- packs by hand

// Of yes-or-no findings and nothing else.
Pack pack_of(Index inputs) {
  Pack pack;
  for (Index i = 0; i < inputs; ++i) {
    Finding& finding = pack.findings.emplace_back();
    finding.name = "f" + std::to_string(i);
    finding.values = {"no", "yes"};
    Variable& variable = pack.variables.emplace_back();
    variable.index = variable.first_input = i;
    variable.cells = 2, variable.inputs = 1;
  }
  pack.program.inputs = inputs;
  pack.readings.emplace_back();
  return pack;
}
Index input(Index i) { return (1 + i) * 2; }
Index gate(Pack& pack, Kind kind, std::vector<Index> operands) {
  pack.program.gates.push_back({kind, std::move(operands)});
  return (pack.program.slots() - 1) * 2;
}
Reading::Ways& practice(Pack& pack) {
  pack.practices.emplace_back().name = "p" + std::to_string(pack.practices.size());
  return pack.readings[0].practices.emplace_back();
}

// ---------------------------------------------------------------- the slow way

std::uint8_t code_of(Verdict verdict, bool care) { return static_cast<std::uint8_t>(static_cast<unsigned>(verdict) + (care ? 8 : 0)); }

std::uint8_t slowly(const Slots& slots, const Reading& reading, const Reading::Ways& ways) {
  const auto holds = [&](Index o) { return slots[o] == Truth::yes; };
  if (!holds(reading.applies)) return code_of(Verdict::outside, false);
  if (holds(reading.refers)) return code_of(Verdict::referred, false);
  if (holds(ways.withheld)) return code_of(Verdict::withheld, false);
  if (holds(ways.discouraged)) return code_of(Verdict::discouraged, false);
  if (holds(ways.advised)) return code_of(Verdict::advised, holds(ways.care));
  if (holds(ways.allowed)) return code_of(Verdict::allowed, holds(ways.care));
  const bool may_be_done = ways.otherwise == Verdict::advised || ways.otherwise == Verdict::allowed;
  return code_of(ways.otherwise, may_be_done && (ways.otherwise_care || holds(ways.care)));
}

std::vector<std::uint8_t> slowly(const Pack& pack, const Reading& reading, const Block& block) {
  std::vector<std::uint8_t> codes(pack.practices.size() * block_persons, 255);
  for (unsigned i = 0; i < block.persons; ++i) {
    std::vector<Truth> inputs;
    for (Index n = 0; n < pack.program.inputs; ++n) {
      const bool is_so = block.planes[n * block_words + i / 64] >> (i % 64) & 1u;
      inputs.push_back(is_so ? Truth::yes : Truth::no);
    }
    const Slots slots(pack.program, inputs);
    for (std::size_t p = 0; p < pack.practices.size(); ++p) codes[p * block_persons + i] = slowly(slots, reading, reading.practices[p]);
  }
  return codes;
}

// ---------------------------------------------------------------- both ways

Block block_of(std::mt19937_64& chance, Index inputs, unsigned persons) {
  Block block;
  block.clear(inputs);
  block.persons = persons;
  // Those past the last person too; some inputs are rare and some are common.
  for (Index n = 0; n < inputs; ++n)
    for (unsigned w = 0; w < block_words; ++w) {
      std::uint64_t& word = block.planes[n * block_words + w];
      word = chance();
      if (n % 3 == 1) word &= chance() & chance();
      if (n % 3 == 2) word |= chance() | chance();
    }
  return block;
}

bool same(const std::vector<std::uint8_t>& expected, const std::vector<std::uint8_t>& codes, unsigned persons) {
  for (std::size_t i = 0; i < expected.size(); ++i)
    if (i % block_persons < persons && expected[i] != codes[i]) return false;
  return true;
}
bool same_planes(const std::vector<std::uint8_t>& expected, const std::vector<std::uint64_t>& planes, unsigned persons) {
  for (std::size_t p = 0; p < expected.size() / block_persons; ++p)
    for (unsigned i = 0; i < block_persons; ++i) {
      std::uint8_t code = 0;
      for (unsigned k = 0; k < 4; ++k) code |= static_cast<std::uint8_t>((planes[(p * 4 + k) * block_words + i / 64] >> (i % 64) & 1u) << k);
      if (code != (i < persons ? expected[p * block_persons + i] : 0)) return false;
    }
  return true;
}

void check_block(const Pack& pack, Index reading, const Block& block, BlockWeigher::Scratch& scratch) {
  const auto expected = slowly(pack, pack.readings[reading], block);
  for (const Path path : paths) {
    const BlockWeigher weigher(pack, reading, path);
    CAPTURE(static_cast<int>(path), static_cast<int>(weigher.path()), block.persons, weigher.listing());
    REQUIRE(weigher.practices() == pack.practices.size());
    std::vector<std::uint8_t> codes(weigher.practices() * block_persons, 77);
    weigher.weigh(block, scratch, codes.data());
    REQUIRE(same(expected, codes, block.persons));
    std::vector<std::uint64_t> planes(weigher.practices() * 4 * block_words, ~std::uint64_t{0});
    weigher.weigh_planes(block, scratch, planes.data());
    REQUIRE(same_planes(expected, planes, block.persons));
  }
}

std::string listing_of(const Pack& pack) {
  REQUIRE(what_is_wrong(pack) == "");
  return BlockWeigher(pack).listing();
}

// ---------------------------------------------------------------- random packs

class RandomPack {
 public:
  explicit RandomPack(std::uint64_t seed) : chance_(seed), pack_(pack_of(static_cast<Index>(from(0, 20)))) {}

  Pack make() {
    const std::size_t gates = from(0, 60);
    for (std::size_t i = 0; i < gates; ++i) add_gate();
    const std::size_t practices = from(0, 5);
    for (std::size_t i = 0; i < practices; ++i) practice(pack_);
    pack_.readings.push_back(pack_.readings[0]);
    for (Reading& reading : pack_.readings) fill(reading);
    return std::move(pack_);
  }

 private:
  std::size_t from(std::size_t low, std::size_t high) { return low + chance_() % (high - low + 1); }
  // Constants too; what was made last more often, so that it gets deep.
  Index operand() {
    const Index slots = pack_.program.slots();
    const Index slot = static_cast<Index>(from(0, 2) == 0 ? slots - 1 - from(0, std::min<std::size_t>(5, slots - 1)) : from(0, slots - 1));
    return slot * 2 + static_cast<Index>(from(0, 1));
  }
  void add_gate() {
    const auto kind = static_cast<Kind>(from(0, 9) < 7 ? from(0, 1) : from(2, 3));
    const std::size_t size = kind == Kind::most ? 3 : from(0, 6) == 0 ? from(0, 12) : from(1, 4);
    std::vector<Index> operands;
    for (std::size_t i = 0; i < size; ++i) operands.push_back(operand());
    if (size > 0 && kind != Kind::most && from(0, 3) == 0) operands.push_back(from(0, 1) ? static_cast<Index>(from(0, 1)) : operands[0]);
    gate(pack_, kind, std::move(operands));
  }

  void fill(Reading& reading) {
    reading.applies = from(0, 3) ? 1 : operand();
    reading.refers = from(0, 3) ? 0 : operand();
    for (Reading::Ways& ways : reading.practices) {
      for (Index* o : {&ways.withheld, &ways.discouraged, &ways.advised, &ways.allowed, &ways.care}) *o = from(0, 3) ? operand() : 0;
      ways.otherwise = static_cast<Verdict>(from(2, 6));
      ways.otherwise_care = from(0, 1);
    }
  }

  std::mt19937_64 chance_;
  Pack pack_;
};

}  // namespace

TEST_CASE("every practice gets the gravest verdict that holds, person by person") {
  Pack pack = pack_of(8);
  pack.readings[0].applies = input(0);
  pack.readings[0].refers = input(1);
  for (int otherwise = 2; otherwise <= 6; ++otherwise)
    for (const bool care : {false, true}) {
      Reading::Ways& ways = practice(pack);
      ways.withheld = input(2), ways.discouraged = input(3), ways.advised = input(4), ways.allowed = input(5) + 1, ways.care = input(6);
      ways.otherwise = static_cast<Verdict>(otherwise), ways.otherwise_care = care;
    }
  REQUIRE(what_is_wrong(pack) == "");
  // All 256 persons there are, twice.
  Block block;
  block.clear(8);
  block.persons = 512;
  for (unsigned person = 0; person < 512; ++person)
    for (unsigned i = 0; i < 8; ++i)
      if (person >> i & 1u) block.put(i, person);
  BlockWeigher::Scratch scratch;
  check_block(pack, 0, block, scratch);

  std::vector<std::uint8_t> codes(10 * block_persons);
  BlockWeigher(pack).weigh(block, scratch, codes.data());
  CHECK(codes[0] == code_of(Verdict::outside, false));
  CHECK(codes[3] == code_of(Verdict::referred, false));
  CHECK(codes[5] == code_of(Verdict::withheld, false));
  CHECK(codes[9] == code_of(Verdict::discouraged, false));
  CHECK(codes[17] == code_of(Verdict::advised, false));
  CHECK(codes[1 + 64] == code_of(Verdict::allowed, true));
  CHECK(codes[1 + 32] == code_of(Verdict::withheld, false));                        // said otherwise
  CHECK(codes[5 * block_persons + 1 + 32] == code_of(Verdict::advised, true));      // said otherwise with care
}

TEST_CASE("a constant at every rung of the ladder is as good as an operand") {
  BlockWeigher::Scratch scratch;
  for (unsigned rungs = 0; rungs < 128; ++rungs) {
    Pack pack = pack_of(1);
    pack.readings[0].applies = rungs & 1u, pack.readings[0].refers = rungs >> 1 & 1u;
    Reading::Ways& ways = practice(pack);
    unsigned rung = 2;
    for (Index* o : {&ways.withheld, &ways.discouraged, &ways.advised, &ways.allowed, &ways.care}) *o = rungs >> rung++ & 1u;
    Block block;
    block.clear(1);
    block.persons = 3;
    check_block(pack, 0, block, scratch);
  }
}

TEST_CASE("what is equal is made once, and one any within another is merged") {
  Pack pack = pack_of(4);
  const Index a = input(0), b = input(1), c = input(2), d = input(3);
  Reading::Ways& first = practice(pack);
  first.withheld = gate(pack, Kind::any, {gate(pack, Kind::any, {a, b, a}), c, 0});
  Reading::Ways& second = practice(pack);
  second.withheld = gate(pack, Kind::all, {gate(pack, Kind::all, {c ^ 1u, b ^ 1u}), 1, a ^ 1u});
  second.advised = gate(pack, Kind::any, {d, gate(pack, Kind::all, {a, a ^ 1u})});
  CHECK(listing_of(pack) ==
        "slots 5\n"
        "scope 1 0\n"
        "fetch 0 2, 1 3, 2 4\n"
        "3 of 1 4 2 3 4\n"
        "ladder 4 0 0 0 0 otherwise 6\n"
        "turn 4 4\n"
        "fetch 3 3\n"
        "ladder 4 0 3 0 0 otherwise 6\n");
}

TEST_CASE("all of some within any of some is a term on the way") {
  Pack pack = pack_of(9);
  const auto all = [&](std::vector<Index> parts) { return gate(pack, Kind::all, std::move(parts)); };
  practice(pack);
  const Index pair = all({input(2), input(3)}), other = all({input(4) ^ 1u, input(5)}), triple = all({input(1), input(3) ^ 1u, input(5) ^ 1u});
  const Index four = all({input(5), input(6), input(7), input(8) ^ 1u});
  pack.readings[0].practices[0].withheld = gate(pack, Kind::any, {input(0), input(1) ^ 1u, pair, other, triple, four});
  CHECK(listing_of(pack) ==
        "slots 14\n"
        "scope 1 0\n"
        "fetch 0 2, 2 4, 3 5, 5 7, 1 8, 6 11, 7 12\n"
        "fetch not 1 3, 4 6, 3 9, 5 10, 8 13\n"
        "any 2 3\n"
        "pairs 4 5, 6 7\n"
        "triples 8 9 10\n"
        "term 7 11 12 13\n"
        "keep 13\n"
        "ladder 13 0 0 0 0 otherwise 6\n");
}

TEST_CASE("a part that many terms have in common is asked once") {
  Pack pack = pack_of(20);
  std::vector<Index> bans;
  for (Index i = 1; i < 20; ++i) bans.push_back(gate(pack, Kind::all, {input(i), input(0) ^ 1u}));
  const Index withheld = gate(pack, Kind::any, bans);
  practice(pack).withheld = withheld;
  CHECK(listing_of(pack) ==
        "slots 21\n"
        "scope 1 0\n"
        "fetch 1 2, 2 3, 3 4, 4 5, 5 6, 6 7, 7 8, 8 9, 9 10, 10 11, 11 12, 12 13, 13 14, 14 15, 15 16, 16 17, 17 18, 18 19, 19 20\n"
        "any 2 3 4 5 6 7 8 9 10 11 12 13 14 15 16 17 18 19 20 20\n"
        "keep not 20\n"
        "fetch 0 19\n"
        "2 of 1 not 20 19 20\n"
        "ladder 20 0 0 0 0 otherwise 6\n");
  std::mt19937_64 chance(5);
  BlockWeigher::Scratch scratch;
  check_block(pack, 0, block_of(chance, 20, 512), scratch);
}

TEST_CASE("slots are given away after their last use") {
  // A chain of 1,000 pairs of gates over 2 inputs each: what is alive at any time is a handful.
  Pack pack = pack_of(2000);
  Index last = input(0);
  for (Index i = 0; i < 1000; ++i) {
    last = gate(pack, Kind::most, {last, input(2 * i), input(2 * i + 1) ^ 1u});
    last = gate(pack, Kind::parity, {last, input(2 * i)});
  }
  practice(pack).advised = last;
  const std::string listing = listing_of(pack);
  CHECK(std::stoul(listing.substr(6)) <= 8);
  std::mt19937_64 chance(6);
  BlockWeigher::Scratch scratch;
  check_block(pack, 0, block_of(chance, 2000, 65), scratch);
}

TEST_CASE("gates on gates to a depth of 20,000 do not overflow the stack") {
  Pack pack = pack_of(2);
  Index last = input(0);
  for (Index i = 0; i < 20'000; ++i) last = gate(pack, i % 2 ? Kind::any : Kind::all, {last, gate(pack, Kind::parity, {last, input(1)})});
  practice(pack).advised = last;
  BlockWeigher::Scratch scratch;
  std::mt19937_64 chance(7);
  check_block(pack, 0, block_of(chance, 2, 2), scratch);
}

TEST_CASE("an instruction has at most so many places, and longer ones become several") {
  Pack pack = pack_of(70'000);
  std::vector<Index> everything, odd;
  for (Index i = 0; i < 70'000; ++i) everything.push_back(input(i) ^ (i & 1u)), odd.push_back(input(i));
  Reading::Ways& ways = practice(pack);
  const Index all = gate(pack, Kind::all, everything), rare = gate(pack, Kind::all, odd);
  ways.withheld = gate(pack, Kind::any, {all, gate(pack, Kind::all, {input(0), rare ^ 1u, input(7)})});
  ways.advised = gate(pack, Kind::parity, odd);
  BlockWeigher::Scratch scratch;
  std::mt19937_64 chance(8);
  Block block = block_of(chance, 70'000, 2);
  for (Index i = 0; i < 70'000; ++i) block.planes[i * block_words] = (block.planes[i * block_words] & ~std::uint64_t{1}) | (~i & 1u);
  check_block(pack, 0, block, scratch);
}

TEST_CASE("random packs are weighed as the slow way does, whatever the path and the number of persons") {
  std::mt19937_64 chance(20'26);
  BlockWeigher::Scratch scratch;
  std::size_t blocks = 0;
  for (std::uint64_t seed = 1; seed <= 600; ++seed) {
    const Pack pack = RandomPack(seed).make();
    CAPTURE(seed);
    REQUIRE(what_is_wrong(pack) == "");
    const unsigned sizes[] = {0, 1, 63, 64, 65, 511, 512};
    for (const unsigned persons : {sizes[seed % 7], sizes[(seed / 7) % 7]}) {
      check_block(pack, static_cast<Index>(seed % 2), block_of(chance, pack.program.inputs, persons), scratch);
      ++blocks;
    }
  }
  CHECK(blocks == 1200);
}

TEST_CASE("the path asked for is taken, or the next best that the processor has") {
  const Pack pack = pack_of(1);
  CHECK(BlockWeigher(pack, 0, Path::plain).path() == Path::plain);
  CHECK(BlockWeigher(pack, 0, Path::avx2).path() <= Path::avx2);
  CHECK(BlockWeigher(pack, 0, Path::best).path() == BlockWeigher(pack, 0, Path::avx512).path());
  CHECK(BlockWeigher(pack, 0, Path::best).path() >= BlockWeigher(pack, 0, Path::avx2).path());
}
