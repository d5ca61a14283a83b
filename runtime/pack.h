// runtime/pack.h: a compiled ruleset as it lies in memory, and as it is shipped.
//
// Inside the runtime and the compiler's writer only; other programs see betony.h.
//
// A pack holds what is needed to weigh a person: the findings and their units, where numbers are cut, one program of
// gates for all conditions, the sentences with their words and citations, the doses, and the caution. Everything
// refers to everything by index. `read_pack` proves every index, count and order before it hands a pack out, so
// what works on a Pack checks nothing again. A Pack is never changed; any number of threads may share it.
//
// The bytes of a pack, version 1. All numbers are little-endian; u32 and u64 are unsigned.
//
//    0  8 bytes  "btnypack"
//    8  u32      version, 1
//   12  u32      number of sections
//   16  u64      size of the whole, seal left out
//   24  32 bytes SHA-256 (FIPS 180-4) of everything from byte 56 to that size
//   56  sections in order: u32 kind, u32 zero, u64 offset, u64 size (24 bytes each); offsets from byte 0,
//       ascending, each right behind the one before
//   ..  the sections
//   ..  after the whole, if it is sealed: "btnyseal", 32 bytes public key, 64 bytes Ed25519 signature (RFC 8032) of
//       bytes 0 to 55, made and examined by runtime/seal/seal.h
//
// What is signed is the header and not the digest alone: the digest holds for everything from byte 56, and the other
// bytes of the header say how that is to be read. A seal so cannot be carried over to another version of this form
// in which the same bytes would mean something else, nor to anything that does not begin as a pack.
//
// Within a section a list is its count (u32) and its items; a text is its length in bytes (u32) and its UTF-8; a
// number is a text as Number::read takes it; an optional thing is a byte, 0 or 1, and the thing. The sections stand in the order of
// `Section` below, and hold the members of the structs named there, in the order of their declaration.
//
// Cost      O(size) time and memory: nothing is allocated that the bytes do not pay for.
// Errors    read_pack never throws; it says in words what is wrong, and gives no pack then.
// Tested by tests/unit/pack_test.cpp, tests/property/pack_test.cpp
#pragma once

#include <array>
#include <cstdint>
#include <optional>
#include <span>
#include <string>
#include <vector>

#include "runtime/number.h"

namespace betony::runtime {

using Index = std::uint32_t;
constexpr Index no_index = 0xffffffffu;

// The verdicts, gravest first; their numbers stand in packs.
enum class Verdict : std::uint8_t { outside, referred, withheld, discouraged, advised, allowed, silent };
constexpr std::size_t verdict_count = 7;
// Only what may be done is with care or without.
constexpr bool may_be_done(Verdict verdict) { return verdict == Verdict::advised || verdict == Verdict::allowed; }

// ---------------------------------------------------------------- about the ruleset

struct About {
  std::string title, edition;
  std::string caution;                      // handed out with every verdict
  std::string compiler;                     // who made the pack: "betony 0.1.0"
  std::array<std::uint8_t, 32> source{};    // SHA-256 of the files of the source, one after another as they were read
  bool even_so = false;                     // shipped though it was unsettled or had errors
  std::uint32_t errors = 0, questions = 0, notes = 0;   // told by the checks
  std::vector<std::string> checks;          // those that were run: "contradiction", "silence", ...
  std::vector<std::string> not_settled;     // names
  struct Open {                             // a problem that was open when it was shipped
    std::string kind, form, matter, where;  // "contradiction", "crossing", "two sentences cross", "cold plunge"
    std::uint8_t severity = 0;              // 0 error, 1 question, 2 note
  };
  std::vector<Open> open;
};

// ---------------------------------------------------------------- findings

// A unit that a finding may be told in: a reading of x is x * factor + offset of the finding's own.
struct UnitName {
  std::string name;
  Number factor, offset;
  bool any_case = false;                    // capitals or not (of the Latin alphabet)
};

// A value of a finding, in its own unit. Days of the year 0..365 (29 February is 59), minutes after midnight 0..1439.
struct Value {
  enum class Kind : std::uint8_t { word, number, never };
  Kind kind = Kind::word;
  Index word = 0;
  Number number;
  bool operator==(const Value&) const = default;
};

struct Finding {
  enum class Kind : std::uint8_t { yes_no, one_of, grade, number, date, time_of_day };
  std::string name;
  std::vector<std::string> also;
  Kind kind = Kind::yes_no;
  std::vector<std::string> values;          // yes_no: "no", "yes"
  std::string part_of;                      // the any-of finding whose item it is, or empty
  Number low, high, step;                   // step 0: every number between
  std::string unit;                         // as declared
  Index units = no_index;                   // into Pack::unit_tables
  bool ago = false, or_never = false;
  std::optional<Value> usual;
  std::string question, note;
  bool has_words() const { return kind == Kind::yes_no || kind == Kind::one_of || kind == Kind::grade; }
};

// One step of a formula, worked off on a stack: numbers are pushed, an operation takes its operands off it.
struct Step {
  enum class Kind : std::uint8_t { number, finding, measure, tally, negate, add, subtract, multiply, divide, least, most };
  Kind kind = Kind::number;
  Index index = 0;                          // finding, measure, tally; least, most: how many operands
  Number number;
};

struct Measure {
  std::string name, unit;
  std::vector<Step> formula;                // asks for measures before it only
};

// Points that are counted by value, for formulas.
struct Tally {
  std::string name;
  struct Item {
    Index condition;                        // slot of the program
    Number points;
  };
  std::vector<Item> items;
};

// ---------------------------------------------------------------- what conditions are made of

// A finding or a measure, cut into cells. A finding of words has one cell a word. One of numbers has a cell up to each
// end, the last end left out, and behind them one for `never` if it can be that. Its inputs of the program are, for words
// "is it this one" for each (of yes_no only "yes"); for numbers "is it past this end" for each end, then "is it never".
struct Variable {
  bool is_measure = false;
  Index index = 0;
  struct End {
    Number at;
    bool belongs = true;                    // the number itself still lies before the end
  };
  std::vector<End> ends;                    // ascending
  Index cells = 0, first_input = 0, inputs = 0;
};

// Gates in an order in which each asks only for what stands before it. Slot 0 is `no`, then come the inputs, then a slot
// for each gate. An operand is slot * 2, plus 1 where its opposite is meant; so 0 is `no` and 1 is `yes`.
struct Gate {
  enum class Kind : std::uint8_t { all, any, parity, most };  // parity of any number; most: at least two of three
  Kind kind = Kind::all;
  std::vector<Index> operands;
};
struct Program {
  Index inputs = 0;
  std::vector<Gate> gates;
  Index slots() const { return 1 + inputs + static_cast<Index>(gates.size()); }
};

// ---------------------------------------------------------------- the teaching

struct Source {
  std::string word, title;
  std::uint32_t year = 0;
};

struct Citation {
  Index source = 0;
  std::string locus;
};

struct Sentence {
  enum class Kind : std::uint8_t { indicated, allowed, discouraged, contraindicated, caution, dose, otherwise, take, refuse, choice_otherwise, refer };
  Kind kind = Kind::indicated;
  std::string words;                        // as written
  std::string label, text;
  std::vector<std::string> aims;
  std::vector<Citation> citations;
  std::string file;
  std::uint32_t line = 0;
  std::uint8_t rank = 0;                    // 0 a practice's own, 1 a group's, 2 everybody's
  bool conditional = false;
  std::vector<Index> despite;               // sentences, ascending
  Verdict verdict = Verdict::silent;        // otherwise
  bool with_care = false;                   // otherwise
  std::vector<Index> values;                // take, refuse, choice_otherwise
  Index dose = no_index;
};

struct Range {
  std::optional<Number> low, high;          // both belong to it
};

// Numbers are in base units, rates in times a second, lengths in seconds.
struct Dose {
  std::optional<Range> amount, often, length;
  Index dimension = 0;                      // amounts of one dimension go together
  std::string unit;                         // as written, of the amount: a reading of x is scale * (x + zero)
  Number scale, zero;
  std::optional<Number> factor;
  std::string words;
};

struct Practice {
  std::string name;
  std::vector<std::string> also;
  std::string note;
  std::vector<Index> sentences;             // ascending
  std::vector<Index> choices;               // it uses
};

struct Choice {
  enum class Kind : std::uint8_t { one_of, highest, lowest, any_of };
  std::string name;
  std::vector<std::string> also;
  Kind kind = Kind::one_of;
  std::vector<std::string> values;
  std::vector<Index> sentences;
  std::string note;
};

// The decision graph of one practice in one reading: the verdict of every possible person, by one question after another,
// each asked at most once, in the order in which they stand here. Where no measure binds findings together it is exact
// of half-known persons too: the verdicts at the leaves that can still be reached are the possible ones.
struct DecisionGraph {
  // A variable, or several that a measure binds together (findings, then measures), each in runs of its cells.
  struct Question {
    std::vector<Index> parts;                // variables of the pack; one, or up to 64
    std::vector<Index> first, last;          // of cell c and part p, at c * parts + p: the run of the variable's cells
    std::vector<std::uint32_t> shares;       // of each cell, of 2^32 - 1 for all; rounded, so a possible cell may have 0
    Index cells() const { return static_cast<Index>(shares.size()); }
    bool operator==(const Question&) const = default;
  };
  // A way leads to a node, or, from `leaf` on, to a leaf: leaf + number of the verdict, + 8 where it is with care, or leaf +
  // nobody where background facts leave no such person.
  static constexpr Index leaf = 0x80000000u, care = 8, nobody = 16;
  static constexpr std::size_t most_size = std::size_t{1} << 25;   // nodes times questions
  struct Way {
    Index last = 0;                          // of the question's cells that go this way; the first is behind the way before
    Index to = 0;
    bool operator==(const Way&) const = default;
  };
  struct Node {
    Index question = 0;
    std::vector<Way> ways;
    bool operator==(const Node&) const = default;
  };
  std::vector<Question> questions;
  std::vector<Node> nodes;                   // each before those it leads to
  Index root = leaf;                         // as a way
  bool exact = true;                         // false: some measure stands apart from its inputs, and what it can be together with them is not known
  bool operator==(const DecisionGraph&) const = default;
};

// What the program says in one reading: of the whole, or of one school. Operands as in a gate.
struct Reading {
  std::string school;                       // empty: the whole
  Index applies = 1, refers = 0;            // operands
  std::vector<Index> fires;                 // of each sentence; of those outside the reading 0
  struct Ways {                             // of each practice; what is said otherwise where none holds
    Index withheld = 0, discouraged = 0, advised = 0, allowed = 0, care = 0;
    Verdict otherwise = Verdict::silent;
    bool otherwise_care = false;
    Index otherwise_sentence = no_index;
  };
  std::vector<Ways> practices;
  std::vector<std::vector<Index>> fits;     // of each choice, of each of its values
  std::vector<Index> graphs;                // of each practice, into Pack::graphs; no_index where it was too large. Or none at all
  Index red_flags = no_index;               // a graph that tells only referred from allowed: whether a red flag fires
};

struct Pack {
  About about;
  std::vector<std::vector<UnitName>> unit_tables;
  std::vector<Finding> findings;
  std::vector<Measure> measures;
  std::vector<Tally> tallies;
  std::vector<Variable> variables;          // findings and measures that some condition asks for
  Program program;
  Index background = 1;                     // operand: the person is possible
  std::vector<Source> sources;
  std::vector<Sentence> sentences;
  std::vector<Dose> doses;
  std::vector<Practice> practices;
  std::vector<Choice> choices;
  std::vector<Reading> readings;            // the whole first
  std::vector<DecisionGraph> graphs;
};

// In the order in which they stand in a pack.
enum class Section : std::uint32_t { about = 1, units, findings, measures, tallies, variables, program, sources, sentences, doses, practices, choices, readings, graphs };

// Where a pack's parts lie, borrowed from its bytes. The header, the digest and the ends are proven; the sections are not looked at.
struct PackFrame {
  bool begins_as_pack = false;              // of the version that is read here; else the rest is empty
  std::string wrong;                        // empty where all fits
  std::span<const std::uint8_t> header, body;
  std::span<const std::uint8_t> public_key, signature;  // of the seal; empty where there is none
  std::uint32_t sections = 0;
  std::array<std::uint8_t, 32> digest{};
};
PackFrame frame_of(std::span<const std::uint8_t> bytes);

// What was read, or in words why not ("the pack is cut off: 812 of 4096 bytes").
struct PackReading {
  std::optional<Pack> pack;
  std::string wrong;
  bool sealed = false;                      // a seal follows, not examined here: runtime/seal/seal.h tells whether it fits, and whose
  std::array<std::uint8_t, 32> digest{};
};
PackReading read_pack(std::span<const std::uint8_t> bytes);

// The bytes of a pack, without a seal. The same pack gives the same bytes.
std::vector<std::uint8_t> write_pack(const Pack& pack);

}  // namespace betony::runtime
