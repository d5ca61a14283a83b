// runtime/single.h: the verdicts of one person after another, without reasons, in some tens of nanoseconds each.
//
//   const SingleWeigher weigher(pack);
//   SingleWeigher::Scratch scratch;              // one a thread
//   weigher.weigh(inputs, scratch, codes);       // codes[p]: the number of the verdict, plus 8 where it is with care
//   weigher.possible(may_be_yes, may_be_no, scratch, sets);   // of a half-known person: bit c of sets[p]: the code c can still come
//
// For every practice each of its sentences that can make a verdict is an item with a bit of its own, gravest first; those that ask
// for one thing only, and say the same, are one item. What an item asks for is written as clauses, of each of which some input
// must be yes, and as inputs none of which may be: every input has a row of bits for the first clauses of all items, one for the
// second, and so on, and one for the items that it forbids. So an `or` over the rows of the inputs that are yes, and an `and` over
// the clauses, leave the items that hold, and of those whose condition is more than its clauses the few that may; the first of
// a practice that holds is its verdict.
//
// Of a half-known person completions are made, one after another, until each verdict is found or shown not to come (single_search.h). They
// begin with one of whom little of the practice holds, which was looked for when the weigher was made.
// For that every item is told in ways, too: inputs that together are enough, with exceptions apart (single_ways.h). Every way has a bit
// of its own, and every input a row of them, as with the items. So a set is exact without a decision graph, but where
//   - a measure that is asked for is open, or the findings behind it are and not everybody can be: then no completions are made;
//   - a condition has too many ways to be told in them, and all depends on it; or those of all practices would take more than 128 MiB;
//   - the search was not at its end after 4000 steps.
// Then what two rails leave possible is looked for in the practice's decision graph; where it has none, the set says not_exact.
//
// Inputs     as those of the pack's program: bit i % 64 of word i / 64 is input i; words() of them. Bits past the last are 0. Of a
//            half-known person there are two such rows: what may be yes, and what may be no; each input is in one or both.
// Ownership  the pack is borrowed and outlives this. A weigher is never changed; any number of threads may share it.
// Errors     none; the pack is one that read_pack or what_is_wrong found sound, and the reading one of its own.
// Cost       O(inputs that are yes · clauses of an item, at most 3 · items / 512), and the items that are more than their clauses
//            and may hold. Of a half-known person some completions a verdict, each about as long as a practice of a whole person; at
//            most 4000, in the worst case, or fewer of a large practice. Making: O(size of the program), up to twenty microseconds a sentence.
// Source     an index of bits over clauses: O'Neil, Quass, Improved Query Performance with Variant Indexes, SIGMOD 1997.
// Tested by  tests/property/paths_test.cpp, single_test.cpp; tests/bench/single_bench.cpp measures it
#pragma once

#include <cstdint>
#include <vector>

#include "runtime/pack.h"
#include "runtime/single_rows.h"
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
    // Of single_completion.h: levels, each what every input may be, and what it is; and whether it is more than was told.
    struct Completed {
      std::vector<Literals> levels, preferred;
      std::vector<std::uint8_t> is_other;
    };
    // Of a completion: which ways of the practice hold, as RowPath puts them out, so many words of them.
    struct Picture {
      AlignedWords held;
      std::vector<std::uint64_t> bytes;
      std::size_t seen = 0;
    };
    // Of single_search.h: what surely is; inputs as words. Of the practice that is looked at: the rows of the base put together, those of the
    // inputs that the completion has besides (of what was kept, level after level, or of all).
    struct Searched {
      Picture of_stand, of_other;
      std::vector<Index> forbidden, base_inputs, preferred_inputs;
      std::vector<Literals> sure;
      std::vector<std::uint64_t> inputs;
      AlignedWords base_rows, preferred_rows;  // without those of what the practice prefers, and with them
      std::vector<const std::uint64_t*> kept_rows, all_rows;
    };
    Memory whole, half;
    std::vector<std::uint64_t> sure_inputs;  // that surely are yes
    std::vector<std::uint64_t> rows, sure_rows;   // or-ed over the inputs that are yes, or may be; or surely are
    std::vector<std::uint64_t> may, surely;   // items
    Completed completed;
    Searched searched;
    std::vector<std::uint32_t> seen;          // of each node of the graph that is walked
    std::vector<Index> rest;
    std::uint32_t walk = 0;
    bool has_two_rails = false;
    Truth applies = Truth::open, refers = Truth::open;  // on two rails
  };

  explicit SingleWeigher(const Pack& pack, Index reading = 0, Path path = Path::best);

  std::size_t practices() const { return practices_.size(); }
  std::size_t words() const { return (program_.inputs + 63) / 64; }
  Path path() const { return path_; }

  void weigh(const std::uint64_t* inputs, Scratch& scratch, std::uint8_t* codes) const;
  void possible(const std::uint64_t* may_be_yes, const std::uint64_t* may_be_no, Scratch& scratch, std::uint32_t* sets) const;

 private:
  struct Span {
    std::uint32_t begin = 0, end = 0;
  };
  // Items that belong together, in words of their own: from `first` on, `count` words.
  struct Area {
    std::uint32_t first = 0, count = 0;
    bool is_exact = false;                  // each asks for nothing but its clauses
  };
  struct Item {
    std::uint32_t begin = 0, end = 0;       // of parts_, all of which must hold: those that are not among its clauses
  };
  // All ways of the items of a practice, a bit each: of every rung those with the fewest literals first.
  struct WayTable {
    static constexpr std::size_t most_places = 4;
    std::uint32_t begins[5] = {}, ends[5] = {};  // of rungs, as those of the items; each begins with a byte
    std::uint32_t words = 0;                // of its rows: four, or a multiple of eight
    Span untold;                            // of untold_: items that have too many ways
    bool is_told = false;                   // false: there are too many altogether
    // In literals_: a row for each way; for each rung the inputs that are enough by themselves, and those of all rungs before each; and those
    // which are yes in somebody of whom as little holds as can be.
    std::size_t literals = 0, alone = 0, preferred = 0;
    std::size_t sides = 0;                  // in way_sides_
    std::size_t more = 0;                   // in ways_of_more_: those that ask for more than rows tell
    std::size_t bytes = 0;                  // in way_bytes_: of each eight words ten masks of bytes, of each rung and of all before each
    // In way_rows_, everybody's first; in way_places_: where among these the row of each input begins, and of each way's inputs that are asked
    // to be yes: how many they are, no_index where more than most_places, and where these rows begin, that of zeros for those it does not have.
    std::size_t rows = 0, places = 0, way_places = 0;
  };
  struct Practice {
    Area items;
    // Of the items that withhold, discourage, advise, allow, and then of those that tell to take care: behind the last, from the area's
    // beginning.
    std::uint32_t ends[5] = {};
    std::uint8_t codes[5][2] = {};          // of the first four, and where none of them holds; without care and with it
    std::uint8_t otherwise = 0;             // a code
    std::uint32_t codes_behind[5] = {};     // the codes of further rungs that have items, a bit each
    const DecisionGraph* graph = nullptr;
    WayTable ways;
    std::uint32_t table = no_index;         // of few exact items: where in tables_ the codes begin, by what holds of them
  };
  struct Rails {
    const std::uint64_t *yes, *no;          // of a whole person the one is the other's opposite, and only `yes` is looked at
  };
  struct OpenedGate {
    std::uint32_t begin = 0, end = 0;       // of gate_operands_
    Gate::Kind kind = Gate::Kind::all;
    bool of_inputs = false;                 // all of them are inputs
  };
  // In which ways something that is asked for can hold: runtime/single_ways.h.
  struct Condition {
    Span ways, sides;                       // rows of literals_, of which each has blocks_; of sides_, none of which may hold
    bool is_told = true;                    // false: there are too many, and only the operand tells
    Index operand = 0;
  };
  struct Side {
    Index condition = 0;
    unsigned rung = 5;                      // of its practice, where it is an item there
  };
  struct Codes {
    std::uint32_t found = 0, unknown = 0;   // bit c: the code c; unknown: not found, and not shown to be out of reach either
  };
  // Of so many blocks of literals, of which the compiler then knows; or 0: of any number.
  template <std::size_t known_blocks>
  class Completion;
  template <std::size_t known_blocks>
  class Search;
  template <class Found>
  void search(const Rails& rails, Scratch& scratch, const Found& found) const;
  bool has_words(const Variable& variable) const { return !variable.is_measure && pack_.findings[variable.index].has_words(); }
  void prefer();
  // Adds an input to a row, and what follows from it for the others of its finding; false where the row contradicts itself.
  bool add_what_follows(Index operand, Literals* row) const;
  class Maker;
  class WayMaker;
  void make(const Reading& reading);
  void next_person(Scratch::Memory& memory) const;
  void work_out(const std::uint64_t* inputs, Scratch& scratch) const;
  void work_out(const Rails& rails, Scratch& scratch) const;
  bool holds(Index operand, const std::uint64_t* inputs, Scratch& scratch) const;
  bool gate_holds(Index gate, const std::uint64_t* inputs, Scratch& scratch) const;
  bool item_holds(std::size_t item, const std::uint64_t* inputs, Scratch& scratch) const;
  void or_rows(const std::uint64_t* inputs, std::vector<std::uint64_t>& rows) const;
  // After the rows of what may be yes and of what surely is, or the other way round.
  void items_of(const std::vector<std::uint64_t>& rows, const std::vector<std::uint64_t>& forbid, std::vector<std::uint64_t>& items) const;
  static bool any_input(const Index* begin, const Index* end, bool wanted, const std::uint64_t* inputs);
  std::size_t first_that_holds(const Area& area, std::size_t begin, std::size_t end, const std::uint64_t* items, const std::uint64_t* inputs,
                               Scratch& scratch) const;
  static std::uint8_t code_of_exact(const Practice& practice, const std::uint64_t* items);
  std::uint8_t code_of_practice(const Practice& practice, const std::uint64_t* items, const std::uint64_t* inputs, Scratch& scratch) const;
  Truth truth_of(Index operand, const Rails& rails, Scratch& scratch) const;
  Truth gate_truth(Index gate, const Rails& rails, Scratch& scratch) const;
  Truth rest_truth(std::size_t item, const Rails& rails, Scratch& scratch) const;
  Truth any_of(const Area& area, std::size_t begin, std::size_t end, const Rails& rails, Scratch& scratch) const;

  // Half-known persons.
  std::uint32_t on_two_rails(const Practice& practice, Truth applies, Truth refers, const Rails& rails, Scratch& scratch) const;
  bool may_complete(const Rails& rails) const;
  std::uint32_t reached(const DecisionGraph& graph, std::uint32_t wanted, const Rails& rails, Scratch& scratch) const;
  bool cell_is_possible(Index variable, Index cell, const Rails& rails) const;
  std::uint32_t looked_up(const Practice& practice, const Codes& codes, const Rails& rails, Scratch& scratch) const;

  const Pack& pack_;
  const Program& program_;
  std::vector<Practice> practices_;
  Area flags_;
  Index applies_ = 1;
  std::vector<Item> items_;                 // by bit
  std::vector<Index> variable_of_;          // of each input
  std::vector<Index> wide_;                 // variables that are not answered by yes or no
  // Variables that a measure which is asked for is worked out from; `hidden`: and findings that nothing else asks for, or tallies.
  struct Behind {
    std::vector<Index> variables;
    bool hidden = false;
  } behind_measures_;
  std::vector<std::uint64_t> measured_;     // inputs of measures
  // An operand; or any_of_these + a count, and so many inputs as operands, any of which must hold: these lie with their item.
  static constexpr Index any_of_these = 0x80000000u;
  std::vector<Index> parts_;
  std::vector<std::uint64_t> exact_;        // by bit: nothing but its clauses is asked for
  std::vector<OpenedGate> gates_;           // the program's, one behind another
  std::vector<Index> gate_operands_;
  std::vector<Index> shared_;               // of each gate: its place among those that several ask for, else no_index
  Index shared_count_ = 0;
  bool is_deep_ = false;                    // gates stand too deep within one another for a stack: all are worked out, one after another
  // For each input, clause after clause, and at last for what it forbids, width_ words; behind them a row of zeros. Where the rows
  // would be too many there are none, and every item is looked at.
  std::vector<std::uint64_t> rows_, first_row_;  // first: items with fewer clauses have what they lack
  std::vector<std::uint8_t> tables_;
  std::vector<Condition> conditions_;       // of sides, and of what everybody is asked for
  std::vector<Side> sides_;
  std::vector<Literals> literals_;          // row after row
  std::size_t blocks_ = 1;                  // of a row
  // Conditions that nobody meets; that those meet for whom the teaching is not meant; that those meet who are referred.
  Span nobody_, not_meant_, referred_;
  // Of the inputs of findings with several: all, and those of words. One row each.
  std::vector<Literals> of_wide_, of_words_;
  // Of ways (WayTable).
  struct Untold {
    Index operand = 0;
    unsigned rung = 0;
  };
  std::vector<Span> way_sides_;
  AlignedWords ways_of_more_, way_rows_;
  std::vector<std::uint32_t> way_places_;
  std::vector<std::uint64_t> way_bytes_;
  std::vector<Untold> untold_;
  std::size_t width_ = 0, clauses_ = 1, layers_ = 1;  // layers: clauses, and one more where anything is forbidden
  const RowPath* row_path_ = &plain_rows();
  Path path_ = Path::plain;
};

}  // namespace betony::runtime
