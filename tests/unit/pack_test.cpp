// Packs as bytes: whatever is changed or cut off is refused.
#include <catch2/catch.hpp>

#include <random>

#include "compiler/ship/ship.h"
#include "runtime/digest.h"
#include "runtime/weigh.h"
#include "tests/support.h"

using namespace betony;
using betony::testing::ruleset_of;

namespace {

std::vector<std::uint8_t> bytes() {
  const Ruleset ruleset = ruleset_of(
      "Ruleset \"Hill\", edition \"2\".\nSource SB is \"Bath book\", 1911.\nSchool river holds SB.\nFinding chill is yes or no.\nFinding cough is a grade of none, dry, wet.\n"
      "Finding weight is a number of kg from 2 to 350, usually 70.\nFinding height is a number of m from 0.5 to 2.5.\nMeasure bulk is weight / (height * height) in kg/m2.\n"
      "Tally hot counts chill as 2, and cough is wet as -1.\nChoice oil is any of seal oil, nut oil.\nTake seal oil in chill. Otherwise nut oil.\n"
      "It cannot be that chill and cough is wet.\nRefer in bulk under 12: \"See a physician.\".\n"
      "Practice soak.\n  Indicated in chill [SB 2.4], called warming.\n  Allowed in hot at least 1, despite ban.\n  Contraindicated in cough is wet, called ban.\n"
      "  Caution in weight over 100: \"Slowly.\".\n  Dose 5 to 10 min, twice a day, for 5 d in chill. Dose half in weight under 40.\n  Uses oil.\n  Otherwise allowed.\n");
  return runtime::write_pack(ship::pack_of(ruleset, {}, {"test", false}));
}

// Puts the digest right again, so that what was changed gets past it.
void reseal(std::vector<std::uint8_t>& pack) {
  const auto digest = runtime::sha256(std::span(pack).subspan(56));
  std::copy(digest.begin(), digest.end(), pack.begin() + 24);
}

// Weighs whoever can be made up: what was let through must be harmless.
void use(const runtime::Pack& pack) {
  runtime::Answers nothing(pack.findings.size()), lowest, highest;
  for (const auto& f : pack.findings) {
    const bool words = f.has_words();
    lowest.push_back(words ? runtime::Value{runtime::Value::Kind::word, 0, {}} : runtime::Value{runtime::Value::Kind::number, 0, f.low});
    highest.push_back(words ? runtime::Value{runtime::Value::Kind::word, static_cast<runtime::Index>(f.values.size() - 1), {}}
                            : runtime::Value{runtime::Value::Kind::number, 0, f.high});
  }
  for (const auto* answers : {&nothing, &lowest, &highest})
    for (runtime::Index r = 0; r < pack.readings.size(); ++r)
      for (const auto weighing = runtime::weigh(pack, *answers, r); const auto& practice : weighing.practices) (void)runtime::dose_words(practice.dose);
}

}  // namespace

TEST_CASE("a pack that was written is read as it was, and written again to the byte") {
  const auto pack = bytes();
  const auto read = runtime::read_pack(pack);
  REQUIRE(read.pack);
  CHECK(runtime::write_pack(*read.pack) == pack);
  CHECK(read.pack->about.title == "Hill");
  CHECK(read.pack->readings.size() == 2);
  CHECK(read.pack->readings[1].school == "river");
  CHECK(!read.sealed);
  use(*read.pack);
}

TEST_CASE("every change of a single byte of a pack, and every pack cut short or with bytes behind it, is refused") {
  const auto pack = bytes();
  for (std::size_t i = 0; i < pack.size(); ++i) {
    auto changed = pack;
    changed[i] ^= static_cast<std::uint8_t>(1 + i % 255);
    const auto read = runtime::read_pack(changed);
    if (read.pack || read.wrong.empty()) FAIL_CHECK("byte " << i << " may be changed");
  }
  for (std::size_t size = 0; size < pack.size(); ++size)
    if (runtime::read_pack(std::span(pack).first(size)).pack) FAIL_CHECK("the pack may end after " << size << " bytes");
  auto longer = pack;
  longer.push_back(0);
  CHECK(runtime::read_pack(longer).wrong == "bytes stand behind the pack that are no seal");
  CHECK(runtime::read_pack({}).wrong == "this is no pack");
}

TEST_CASE("a pack that was changed by somebody who knows its digest is refused or harmless") {
  const auto pack = bytes();
  std::size_t let_through = 0;
  for (std::size_t i = 56; i < pack.size(); ++i)
    for (const std::uint8_t value : {std::uint8_t{0}, std::uint8_t{1}, std::uint8_t{0x7f}, std::uint8_t{0xff}}) {
      auto changed = pack;
      changed[i] = value;
      reseal(changed);
      if (const auto read = runtime::read_pack(changed); read.pack) ++let_through, use(*read.pack);
    }
  CHECK(let_through > 0);  // a letter of a text may be another
  std::mt19937 dice(7);
  for (int round = 0; round < 3000; ++round) {
    auto changed = pack;
    for (int changes = 1 + static_cast<int>(dice() % 6); changes > 0; --changes) changed[56 + dice() % (changed.size() - 56)] = static_cast<std::uint8_t>(dice());
    reseal(changed);
    if (const auto read = runtime::read_pack(changed); read.pack) use(*read.pack);
  }
}
