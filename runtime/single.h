// runtime/single.h: the verdicts of one person after another, without reasons, in some tens of nanoseconds each.
//
//   const SingleWeigher weigher(pack);
//   SingleWeigher::Scratch scratch;              // one a thread
//   weigher.weigh(inputs, scratch, codes);       // codes[p]: the number of the verdict, plus 8 where it is with care
//   weigher.possible(may_be_yes, may_be_no, scratch, sets);   // of a half-known person: bit c of sets[p]: the code c can still come
//
// For every practice each of its sentences that can make a verdict is an item with a bit of its own, gravest first. An item that
// can only hold where some input is yes is watched by that input; so one `or` over the rows of the inputs that are yes leaves
// few items to be looked at, and the first of a practice that holds is its verdict. Of a half-known person the same is done
// twice, for what may be yes and for what surely is; what several items ask for is worked out once a person. Where more than one
// verdict is left, completions of the person are made that are to get each of them, the plainest first; what none of these gets is
// looked for in the practice's decision graph, where it has one.
//
// Inputs     as those of the pack's program: bit i % 64 of word i / 64 is input i; words() of them. Bits past the last are 0. Of a
//            half-known person there are two such rows: what may be yes, and what may be no; each input is in one or both.
// Ownership  the pack is borrowed and outlives this. A weigher is never changed; any number of threads may share it.
// Errors     none; the pack is one that read_pack or what_is_wrong found sound, and the reading one of its own.
// Cost       O(inputs that are yes · items / 512) and the items that they watch. Making: O(size of the program).
// Source     watched literals: Moskewicz, Madigan, Zhao, Zhang, Malik, Chaff, DAC 2001.
// Tested by  tests/property/paths_test.cpp; tests/bench/single_bench.cpp measures it
#pragma once

#include <cstdint>
#include <vector>

#include "runtime/pack.h"
#include "runtime/truth.h"

namespace betony::runtime {

class SingleWeigher {
 public:
  // How rows are put together: a word at a time, or in registers of 32 or 64 bytes. All say the same; `best` is the widest there is.
  enum class Path : std::uint8_t { best, plain, avx2, avx512 };
  static constexpr std::uint32_t not_exact = std::uint32_t{1} << 31;   // in a set: some of its codes may never come

  class Scratch {
    friend class SingleWeigher;
    struct Memory {
      std::uint32_t person = 0;
      std::vector<std::uint32_t> known;       // of each shared gate: the person of whom it was worked out last
      std::vector<Truth> truths;
    };
    struct Completion {
      std::vector<std::uint64_t> inputs, rows;
      std::vector<Index> added;               // inputs that are yes in it, and not in the one it was made from
      bool is_added_to = true;                // false: some are no longer yes
    };
    void begin_trial() {
      trial.inputs = base.inputs;
      trial.added.clear();
      trial.is_added_to = true;
    }
    Memory whole, half;
    std::vector<std::uint64_t> may, surely;   // rows
    Completion base, trial;
    std::vector<std::uint32_t> seen;          // of each node of the graph that is walked
    std::vector<Index> rest;
    std::uint32_t walk = 0;
  };

  explicit SingleWeigher(const Pack& pack, Index reading = 0, Path path = Path::best);

  std::size_t practices() const { return practices_.size(); }
  std::size_t words() const { return (program_.inputs + 63) / 64; }
  Path path() const { return path_; }

  void weigh(const std::uint64_t* inputs, Scratch& scratch, std::uint8_t* codes) const;
  void possible(const std::uint64_t* may_be_yes, const std::uint64_t* may_be_no, Scratch& scratch, std::uint32_t* sets) const;

 private:
  // Items of one kind, in words of their own: from `first` on, `count` words.
  struct Area {
    std::uint32_t first = 0, count = 0;
    bool is_plain = false;                  // each asks for nothing but what watches it
  };
  struct Item {
    std::uint32_t begin = 0, end = 0;       // of parts_, all of which must hold besides what watches it
    Index watch = 1;                        // an operand
  };
  struct Practice {
    Area ways, care;
    std::uint32_t ends[4] = {};             // of the items that withhold, discourage, advise, allow: behind the last, from the area's beginning
    std::uint8_t otherwise = 0;             // a code
    const DecisionGraph* graph = nullptr;
  };
  struct Rails {
    const std::uint64_t *yes, *no;          // of a whole person the one is the other's opposite, and only `yes` is looked at
  };
  struct OpenedGate {
    std::uint32_t begin = 0, end = 0;       // of gate_operands_
    Gate::Kind kind = Gate::Kind::all;
    bool of_inputs = false;                 // all of them are inputs
  };
  using OrRows = void (*)(const std::uint64_t* rows, std::size_t width, const std::uint64_t* inputs, std::size_t words, std::uint64_t* out);

  class Maker;
  void next_person(Scratch::Memory& memory) const;
  void work_out(const std::uint64_t* inputs, Scratch& scratch) const;
  void work_out(const Rails& rails, Scratch& scratch) const;
  bool holds(Index operand, const std::uint64_t* inputs, Scratch& scratch) const;
  bool gate_holds(Index gate, const std::uint64_t* inputs, Scratch& scratch) const;
  bool item_holds(std::size_t item, const std::uint64_t* inputs, Scratch& scratch) const;
  static bool any_input(const Index* begin, const Index* end, bool wanted, const std::uint64_t* inputs);
  std::size_t first_that_holds(const Area& area, const std::uint64_t* rows, const std::uint64_t* inputs, Scratch& scratch) const;
  std::uint8_t code_of_practice(const Practice& practice, const std::uint64_t* rows, const std::uint64_t* inputs, Scratch& scratch) const;
  Truth truth_of(Index operand, const Rails& rails, Scratch& scratch) const;
  Truth gate_truth(Index gate, const Rails& rails, Scratch& scratch) const;
  Truth item_truth(std::size_t item, const Rails& rails, Scratch& scratch) const;
  Truth any_of(const Area& area, std::size_t begin, std::size_t end, const Rails& rails, Scratch& scratch) const;

  // Half-known persons.
  std::uint32_t on_two_rails(const Practice& practice, Truth applies, Truth refers, const Rails& rails, Scratch& scratch) const;
  bool begin_completions(const Rails& rails, Scratch& scratch) const;
  void assign(Index variable, Index cell, Scratch::Completion& completion) const;
  bool set(Index input, bool yes, const Rails& rails, Scratch::Completion& completion) const;
  bool satisfy(Index operand, const Rails& rails, Scratch& scratch) const;
  bool satisfy_item(std::size_t item, const Rails& rails, Scratch& scratch) const;
  std::uint32_t told_in_trial(const Practice& practice, Scratch& scratch) const;
  std::uint32_t witnessed(const Practice& practice, std::uint32_t set, const Rails& rails, Scratch& scratch) const;
  std::uint32_t tried(const Practice& practice, unsigned code, const Rails& rails, Scratch& scratch) const;
  std::uint32_t reached(const DecisionGraph& graph, std::uint32_t wanted, const Rails& rails, Scratch& scratch) const;
  bool cell_is_possible(Index variable, Index cell, const Rails& rails) const;

  const Pack& pack_;
  const Program& program_;
  std::vector<Practice> practices_;
  Area flags_;
  Index applies_ = 1;
  std::vector<Item> items_;                 // by bit
  std::vector<Index> variable_of_;          // of each input
  std::vector<Index> wide_;                 // variables that are not answered by yes or no
  std::vector<std::uint64_t> measured_;     // inputs of measures
  // An operand; or any_of_these + a count, and so many inputs as operands, any of which must hold: these lie with their item.
  static constexpr Index any_of_these = 0x80000000u;
  std::vector<Index> parts_;
  std::vector<std::uint64_t> plain_;        // by bit: nothing but what watches it is asked for
  std::vector<OpenedGate> gates_;           // the program's, one behind another
  std::vector<Index> gate_operands_;
  std::vector<Index> shared_;               // of each gate: its place among those that several ask for, else no_index
  Index shared_count_ = 0;
  bool is_watched_ = true;                  // else every item is looked at: the rows would be too many
  bool is_deep_ = false;                    // gates stand too deep within one another for a stack: all are worked out, one after another
  std::vector<std::uint64_t> rows_;         // width_ words for each input, and behind them those of items that nothing watches
  std::size_t width_ = 0;
  OrRows or_rows_ = nullptr;
  Path path_ = Path::plain;
};

}  // namespace betony::runtime
