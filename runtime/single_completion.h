// runtime/single_completion.h: one completion of a half-known person, changed input by input and taken back. Inside runtime/single*.cpp only.
//
// Of every input it tells whether it may be yes, whether it is, and whether it is kept so; and the same of no. What is open and not kept
// is as in the base: no, or in the first cell of its finding, until another base is set. Inputs of one finding go together: whoever is
// past an end is past those before it, is not never, and has one word only.
//
// Ownership  it lies in a Scratch, and is borrowed by a Search (single_search.h).
// Cost       O(1) for an input that is a whole finding, O(inputs of its finding) else; undoing costs what the doing did.
// Tested by  tests/property/single_test.cpp
#pragma once

#include "runtime/single.h"

namespace betony::runtime {

class SingleWeigher::Completion {
 public:
  // Bits of what an operand of an input may be and is; known: it was told of the person. Of inputs of a finding that has several: wide.
  static constexpr std::uint8_t may_be = 1, is_now = 2, is_kept = 4, is_all = 7, is_known = 8, is_wide = 16;
  struct Mark {
    std::size_t changes = 0, added = 0, turned = 0;
  };

  // The person's plainest completion is the base.
  Completion(const SingleWeigher& weigher, const Rails& rails, Scratch& scratch);

  std::uint8_t state(Index operand) const { return states_[operand]; }
  bool is_yes(Index input) const { return states_[2 * input + 2] & is_now; }
  const std::vector<std::uint64_t>& inputs();
  const std::vector<std::uint64_t>& base() const { return memory_.base; }
  // Inputs that are yes, and not in the base; all that are yes.
  const Index* added() const { return memory_.added.data(); }
  std::size_t count_added() const { return added_; }
  const std::vector<Index>& all();

  Mark mark() const { return {changes_, added_, turned_}; }
  void undo(const Mark& mark) {
    for (; changes_ > mark.changes; --changes_) memory_.states[memory_.undone[changes_ - 1].slot] = memory_.undone[changes_ - 1].state;
    added_ = mark.added, turned_ = mark.turned;
  }
  // How often an input that was yes was made no.
  std::size_t turned() const { return turned_; }

  // The operand's input is from now on as it says; false where it cannot be, and then the completion is of no more use until it is undone.
  bool keep(Index operand) {
    const std::uint8_t so = states_[operand];
    if (so & is_kept) return true;
    const bool yes = !(operand & 1u);
    if (!(so & may_be) || (yes && is_barred(operand / 2 - 1))) return false;
    if (so & is_wide) return keep_wide(operand);
    write(operand / 2, yes ? Scratch::State{is_all, 0} : Scratch::State{0, is_all});
    if (so & is_now) return true;
    if (yes)
      add(operand / 2 - 1);
    else
      ++turned_;
    return true;
  }
  // Inputs that may not become yes, besides those that may not be.
  void bar_none() { std::fill(memory_.barred.begin(), memory_.barred.end(), 0); }
  void bar(const std::uint64_t* row) {
    for (std::size_t w = 0; w < memory_.barred.size(); ++w) memory_.barred[w] |= row[w];
  }
  std::vector<std::uint64_t>& barred() { return memory_.barred; }
  // What it is, without keeping what is kept since the mark, is the base from now on; what was kept before it is so for good.
  void begin_others(const Mark& from);

 private:
  bool is_barred(Index input) const { return memory_.barred[input / 64] >> (input % 64) & 1u; }
  void write(Index slot, Scratch::State state) {
    if (changes_ == memory_.undone.size()) memory_.undone.resize(2 * changes_ + 64);
    memory_.undone[changes_++] = {slot, memory_.states[slot]};
    memory_.states[slot] = state;
  }
  void add(Index input) {
    if (added_ == memory_.added.size()) memory_.added.resize(2 * added_ + 16);
    memory_.added[added_++] = input;
  }
  void turn(Index input, bool yes);
  bool keep_wide(Index operand);
  bool narrow(Index input, bool yes);
  bool settle(Index variable);
  bool cell_may_be(const Variable& variable, Index cell) const;
  bool is_in_cell(const Variable& variable, Index input, Index cell) const;
  bool has_words(const Variable& variable) const { return !variable.is_measure && weigher_.pack_.findings[variable.index].has_words(); }

  const SingleWeigher& weigher_;
  Scratch::Completed& memory_;
  const std::uint8_t* states_ = nullptr;    // memory_.states as bytes, by operand
  std::size_t changes_ = 0, added_ = 0, turned_ = 0;
};

}  // namespace betony::runtime
