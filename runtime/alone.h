// runtime/alone.h: verdicts alone, without reasons, of one person after another: what weigh.h tells of verdicts, in a fraction of the time.
//
//   const Alone alone(pack, reading);
//   Alone::Scratch scratch;                      // one a thread
//   alone.verdicts(answers, scratch, sets);      // sets[p]: what is still possible of each practice
//
// Shape     A set has a bit for each verdict that is still possible: bit v for the verdict v, bit 8 + v for the same with care; one bit where
//           it is settled; none where a background fact stands against the person. SingleWeigher::not_exact besides: some may never come.
// Ownership the pack is borrowed and outlives this. It never changes; any number of threads may share it. A scratch may go from one to another.
// Cost      what the answers cost (inputs.h), and what the verdicts do (single.h); making is single.h's.
// Tested by tests/unit/c_interface_test.cpp, tests/property/paths_test.cpp through C, tests/fuzz/pack_fuzz.cpp
#pragma once

#include "runtime/answers.h"
#include "runtime/single.h"

namespace betony::runtime {

class Alone {
 public:
  class Scratch {
    friend class Alone;
    SingleWeigher::Scratch single_;
    std::vector<std::uint64_t> yes_, no_;   // of each input: whether it may be so
    std::vector<std::uint8_t> codes_;
  };

  explicit Alone(const Pack& pack, Index reading = 0) : pack_(pack), single_(pack, reading) {}
  std::size_t practices() const { return single_.practices(); }
  void verdicts(const Answers& answers, Scratch& scratch, std::uint32_t* sets) const;

 private:
  const Pack& pack_;
  const SingleWeigher single_;
};

}  // namespace betony::runtime
