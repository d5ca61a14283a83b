// compiler/trial/sampler.h: whole persons, drawn by chance, hundreds at once; each can be drawn again from the seed and its number.
//
// What is drawn at once is a `Group`: one finding, or the findings that a measure binds together. Its outcomes are what the ruleset
// can tell apart there (the cells of compiler/universe.h), each with values that show it and with the inputs of the bulk
// program (bulk.h) that are then yes; so no measure is worked out while persons are drawn. Where it is not known how a measure goes together
// with its inputs, `pool` tuples of values are drawn beforehand, the measures worked out, and the tuples are the outcomes.
//
// Persons are drawn in one of these manners, which go round by the person's number:
//
//   cells        each outcome as often as any other: so a single number between two thresholds as often as all above them
//   edges        outcomes beside a threshold of the usual one, and such as are one single number, several times as often; values lie
//                where the next threshold is
//   near usual   most answers are the usual ones: half, three quarters or seven eighths of them
//   shares       as often as the values are there: every possible number as often as any other
//   population   instead of `shares` and of `cells`, where a population is given: as it says, or as the persons of a table are,
//                each as often as any other; what these leave open is drawn by shares
//
// Whom the background forbids is drawn again, up to `most_attempts` times: twice in the same manner (of a population six times), then near the
// usual person. The attempt belongs to the name of a person.
//
//   Sampler sampler(bulk, {.seed = 7});
//   sampler.block(0, drawn, scratch);                   // persons 0 to 511; drawn.attempts says how often each was drawn
//   sampler.person({0, drawn.attempts[0]}, outcomes);   // the first of them again
//   sampler.profile(outcomes);                          // as an answer to every finding
//
// Ownership  the bulk is borrowed, finished, and outlives this. Any number of threads may draw, each with its own scratch.
// Cost       making: the outcomes, and one working out of each measure for each of them. Drawing: some 2 ns a person and group.
// Source     draws by a counter: Salmon and others, Parallel random numbers: as easy as 1, 2, 3, SC 2011; the mixing is that of
//            Steele, Lea, Flood, Fast splittable pseudorandom number generators, OOPSLA 2014; draws by weight: Walker's tables,
//            ACM TOMS 3 (1977), made as Vose has it.
// Tested by  tests/unit/trial_test.cpp
#pragma once

#include "compiler/trial/bulk.h"

namespace betony::trial {

enum class Manner : std::uint8_t { cells, edges, near_usual, shares, population };

// The n-th random word of a stream depends on nothing but the stream and n.
class Stream {
 public:
  Stream(std::uint64_t seed, std::uint64_t number, std::uint64_t attempt) : begin_(mixed(mixed(seed) + mixed(number * 16 + attempt + 1))) {}
  std::uint64_t at(std::uint64_t n) const { return mixed(begin_ + n * 0x9e3779b97f4a7c15u); }
  std::uint64_t next() { return at(++next_); }
  std::uint32_t below(std::uint32_t bound) { return static_cast<std::uint32_t>((next() >> 32) * bound >> 32); }

 private:
  static std::uint64_t mixed(std::uint64_t z) {
    z = (z ^ (z >> 30)) * 0xbf58476d1ce4e5b9u;
    z = (z ^ (z >> 27)) * 0x94d049bb133111ebu;
    return z ^ (z >> 31);
  }
  std::uint64_t begin_, next_ = 0;
};

// Draws by weight in constant time.
class Lot {
 public:
  Lot() = default;
  explicit Lot(const std::vector<double>& weights);   // none below 0; all 0: as if all were alike
  std::uint32_t draw(std::uint32_t random) const {
    const std::uint64_t product = std::uint64_t{random} * parts_.size();
    const std::uint32_t at = static_cast<std::uint32_t>(product >> 32);
    const Part& part = parts_[at];
    const std::uint32_t is_other = 0u - static_cast<std::uint32_t>(static_cast<std::uint32_t>(product) > part.kept);
    return at ^ ((at ^ part.other) & is_other);   // no branch: nobody foresees it
  }

 private:
  struct Part {
    std::uint32_t kept = 0xffffffffu;    // up to here of 2^32 parts it is this one
    std::uint32_t other = 0;
  };
  std::vector<Part> parts_;
};

struct Outcome {
  std::vector<Value> values;             // of the group's findings, in their order
  std::vector<Value> edges;              // the same where they lie nearest to the next threshold
  std::vector<Index> cells;              // of the group's variables
  unsigned unusual = 0;                  // so many of the findings are not usual: not in their usual cell; bound ones, not of their usual value
  double share = 0;
};

struct Group {
  std::vector<Index> findings;           // ascending
  std::vector<Index> variables;          // of the bulk's universe: the findings', then those of measures
  std::vector<Outcome> outcomes;
  std::uint32_t usual = 0;               // an outcome; its values are the usual ones as far as there are any
  bool is_pool = false;                  // its outcomes are drawn, and not all there are
};

using Outcomes = std::vector<std::uint16_t>;   // of each group

// Answers of the persons of a table, by finding; open ones are drawn.
using Persons = std::vector<Profile>;

struct Drawing {
  std::uint64_t seed = 1;
  const Population* population = nullptr;
  const Persons* persons = nullptr;      // goes before a population
};

struct SampleName {
  std::uint64_t number = 0;
  std::uint8_t attempt = 0;
};

class Sampler {
 public:
  static constexpr std::uint32_t pool = 4096, most_outcomes = 65'000;
  static constexpr unsigned most_attempts = 8;

  Sampler(const Bulk& bulk, const Drawing& drawing);

  const Ruleset& ruleset() const { return bulk_.ruleset(); }
  const std::vector<Group>& groups() const { return groups_; }
  Index group_of(Index finding) const { return group_of_[finding]; }
  Index group_of_variable(Index variable) const { return group_of_variable_[variable]; }
  Manner manner(std::uint64_t number) const;

  struct Drawn {
    std::uint64_t number = 0;                        // of the block
    runtime::Block block;
    std::uint8_t attempts[runtime::block_persons];
    std::uint64_t possible[runtime::block_words];    // those whom the background allows in the end
    std::uint64_t drawn_again = 0;
    std::vector<std::uint64_t> rows;                 // in the making
  };
  // Persons block_persons * number and those behind it.
  void block(std::uint64_t number, Drawn& drawn, Bulk::Scratch& scratch) const;

  void person(SampleName name, Outcomes& outcomes) const;
  // The usual person, possible or not.
  Outcomes usual() const;
  Profile profile(const Outcomes& outcomes, bool at_edges = false) const;
  // The person as plainly as can be told: of bound findings too as many are usual as can be, with the same cells.
  Profile plain_profile(const Outcomes& outcomes) const;
  unsigned unusual(const Outcomes& outcomes) const;
  // One person alone, as the first of a block.
  void put(const Outcomes& outcomes, runtime::Block& block, unsigned person) const;

 private:
  struct Bits {
    std::uint32_t word;
    std::uint64_t mask;
  };
  struct Quick {                         // a group as it is drawn
    std::uint32_t usual = 0;
    const Lot* lots[5] = {};
    std::vector<std::uint32_t> begin;    // of each outcome's bits
    std::vector<Bits> bits;
  };
  struct Grouping;

  void make_groups(const Drawing& drawing);
  void enter(const std::vector<Index>& findings, const std::vector<Index>& measures, const Universe& bound);
  void cells_of_one(Group& group, const Universe& bound, Index variable);
  void cells_of_many(Group& group, const Universe& bound, const std::vector<Index>& variables);
  bool work_out(const Group& group, Outcome& outcome) const;
  void settle_usual(Group& group);
  void make_plain(const Group& group, Outcome& outcome) const;
  void find_redrawn();
  void make_lots(const Population* population);
  void make_quick();
  void take_persons(const Persons& persons);
  std::uint16_t outcome_like(Group& group, const std::vector<std::optional<Value>>& told, Stream& stream);
  // Calls take(group, outcome) for some groups, ascending, as they are drawn at this attempt.
  template <class Take>
  void each(SampleName name, const std::vector<Index>& groups, const Take& take) const;

  const Bulk& bulk_;
  const std::uint64_t seed_;
  std::vector<Group> groups_;
  std::vector<Index> group_of_, group_of_variable_;
  std::vector<std::array<Lot, 5>> lots_;     // by manner
  std::vector<Quick> quick_;
  // Those that the background hangs on, which alone are drawn again; of persons of a table all are. And the others.
  std::vector<Index> all_groups_, redrawn_, kept_;
  std::vector<std::uint64_t> redrawn_inputs_;  // a bit each
  bool has_population_ = false;
  std::vector<std::uint16_t> rows_of_persons_;   // groups_.size() of each; open_group: drawn by shares
  std::size_t persons_ = 0;
  static constexpr std::uint16_t open_group = 0xffff;
  Profile usual_profile_;
};

// The bits of 64 words turned over: bit i of word j becomes bit j of word i.
void turn(std::uint64_t* words);

}  // namespace betony::trial
