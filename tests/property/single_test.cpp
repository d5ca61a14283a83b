// What is possible of half-known persons when there is no decision graph to look it up in, against plain enumeration.
//
// Random packs of yes-or-no findings. Where no sentence asks for anything not to be so, every set has to be exact; with
// `not` in them, a set may hold more, and then says that it is not exact. The ladder of verdicts and the gates are worked
// out here once more, by looking at every completion.
// The seed is fixed. BETONY_PROPERTY_TIMES makes as many times the cases.
#include <catch2/catch.hpp>
#include <iostream>
#include <random>

#include "runtime/single.h"
#include "runtime/pack_verify.h"
#include "tests/property/packed.h"

namespace betony::runtime {
namespace {

constexpr unsigned findings = 10, practices = 3;

class Made {
 public:
  Made(std::uint64_t seed, bool growing) : dice_(seed), growing_(growing) {
    for (unsigned f = 0; f < findings; ++f) {
      Finding& finding = pack_.findings.emplace_back();
      finding.name = "finding " + std::to_string(f);
      finding.values = {"no", "yes"};
      Variable& variable = pack_.variables.emplace_back();
      variable.index = variable.first_input = f;
      variable.cells = 2, variable.inputs = 1;
    }
    pack_.program.inputs = findings;
    Reading& reading = pack_.readings.emplace_back();
    reading.applies = from(0, 2) ? input() ^ 1u : 1;
    reading.refers = from(0, 1) ? gate(Gate::Kind::any, {input(), condition(1)}) : 0;
    for (unsigned p = 0; p < practices; ++p) {
      pack_.practices.emplace_back().name = "practice " + std::to_string(p);
      Reading::Ways ways;
      for (Index* rung : {&ways.withheld, &ways.discouraged, &ways.advised, &ways.allowed, &ways.care}) {
        std::vector<Index> sentences;
        for (unsigned n = from(0, 4); n > 0; --n) sentences.push_back(condition(from(0, growing_ ? 1 : 3)));
        *rung = sentences.empty() ? 0 : gate(Gate::Kind::any, std::move(sentences));
      }
      const Verdict otherwise[] = {Verdict::allowed, Verdict::silent, Verdict::advised, Verdict::discouraged};
      ways.otherwise = otherwise[from(0, 3)];
      ways.otherwise_care = ways.otherwise == Verdict::allowed && from(0, 3) == 0;
      reading.practices.push_back(ways);
    }
  }
  const Pack& pack() const { return pack_; }

  // What the practices are told of somebody whose inputs are these bits: a code each.
  std::vector<unsigned> told(unsigned person) const {
    std::vector<bool> slots{false};
    for (unsigned f = 0; f < findings; ++f) slots.push_back(person >> f & 1u);
    const auto holds = [&](Index o) { return slots[o / 2] != ((o & 1u) != 0); };
    for (const Gate& gate : pack_.program.gates) {
      std::size_t yes = 0;
      for (const Index o : gate.operands) yes += holds(o);
      slots.push_back(gate.kind == Gate::Kind::any ? yes > 0 : gate.kind == Gate::Kind::all ? yes == gate.operands.size() : yes % 2 == 1);
    }
    std::vector<unsigned> out;
    const Reading& reading = pack_.readings[0];
    for (const Reading::Ways& w : reading.practices) {
      const bool ladder[] = {!holds(reading.applies), holds(reading.refers), holds(w.withheld),
                             holds(w.discouraged),    holds(w.advised),      holds(w.allowed)};
      unsigned verdict = 0;
      while (verdict < 6 && !ladder[verdict]) ++verdict;
      bool care = holds(w.care);
      if (verdict == 6) verdict = static_cast<unsigned>(w.otherwise), care = care || w.otherwise_care;
      const bool may = verdict == static_cast<unsigned>(Verdict::advised) || verdict == static_cast<unsigned>(Verdict::allowed);
      out.push_back(verdict + (may && care ? 8 : 0));
    }
    return out;
  }
  unsigned from(unsigned low, unsigned high) { return low + static_cast<unsigned>(dice_() % (high - low + 1)); }

 private:
  Index input() { return (1 + from(0, findings - 1)) * 2; }
  Index gate(Gate::Kind kind, std::vector<Index> operands) {
    pack_.program.gates.push_back({kind, std::move(operands)});
    return (pack_.program.slots() - 1) * 2;
  }
  Index condition(unsigned depth) {
    if (depth == 0) return input() ^ (!growing_ && from(0, 3) == 0 ? 1u : 0u);
    std::vector<Index> parts;
    for (unsigned n = from(1, 3); n > 0; --n) parts.push_back(condition(growing_ ? 0 : from(0, depth - 1)));
    // Where they grow, at most three parts to a sentence, and one of these an `or`: what has rows of its own.
    if (growing_ && parts.size() < 3 && from(0, 2) == 0) parts.push_back(gate(Gate::Kind::any, {input(), input()}));
    if (growing_) return gate(Gate::Kind::all, std::move(parts));
    const Gate::Kind kinds[] = {Gate::Kind::all, Gate::Kind::any, Gate::Kind::all, Gate::Kind::parity};
    return gate(kinds[from(0, 3)], std::move(parts)) ^ (from(0, 4) == 0 ? 1u : 0u);
  }
  Pack pack_;
  std::mt19937_64 dice_;
  bool growing_;
};

TEST_CASE("what is possible without a graph is exact where nothing is asked not to be so, and never lacks a verdict") {
  std::size_t sets = 0, open = 0, exact[2] = {}, of[2] = {};
  for (std::uint64_t seed = 0; seed < 400 * referee::times(); ++seed) {
    const bool growing = seed % 2 == 0;
    Made made(seed * 0x9e3779b97f4a7c15u + 77, growing);
    REQUIRE(what_is_wrong(made.pack()).empty());
    const SingleWeigher weigher(made.pack());
    SingleWeigher::Scratch scratch;
    std::vector<std::vector<unsigned>> told;
    for (unsigned person = 0; person < 1u << findings; ++person) {
      told.push_back(made.told(person));
      const std::uint64_t row = person;
      std::vector<std::uint8_t> codes(practices);
      weigher.weigh(&row, scratch, codes.data());
      INFO("seed " << seed << ", person " << person);
      REQUIRE(std::equal(codes.begin(), codes.end(), told.back().begin()));
    }
    for (int i = 0; i < 40; ++i) {
      const unsigned all = (1u << findings) - 1, opened = made.from(0, all) & (i % 2 ? all : made.from(0, all)), known = made.from(0, all) & ~opened;
      std::vector<std::uint32_t> wanted(practices), got(practices);
      for (unsigned person = 0; person <= all; ++person)
        if ((person & ~opened) == known)
          for (unsigned p = 0; p < practices; ++p) wanted[p] |= 1u << told[person][p];
      const std::uint64_t yes = known | opened, no = (~known & all) | opened;
      weigher.possible(&yes, &no, scratch, got.data());
      for (unsigned p = 0; p < practices; ++p) {
        const bool is_exact = !(got[p] & SingleWeigher::not_exact);
        const std::uint32_t codes = got[p] & ~SingleWeigher::not_exact;
        INFO("exact " << is_exact << ", seed " << seed << ", known " << known << ", open " << opened << ", practice " << p);
        REQUIRE((wanted[p] & ~codes) == 0);
        if (is_exact) REQUIRE(codes == wanted[p]);
        if (growing) REQUIRE(is_exact);
        ++sets, open += (wanted[p] & (wanted[p] - 1)) != 0, ++of[growing], exact[growing] += is_exact;
      }
    }
  }
  std::cout << "without graphs: " << sets << " sets, " << open << " of several verdicts; exact " << exact[1] << " of " << of[1]
            << " where nothing is asked not to be so, " << exact[0] << " of " << of[0] << " else\n";
  CHECK(open * 3 > sets);
}

}  // namespace
}  // namespace betony::runtime
