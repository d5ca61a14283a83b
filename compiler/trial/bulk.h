// compiler/trial/bulk.h: a ruleset's verdicts, and conditions that somebody watches, for 512 persons at once.
//
// All conditions of the ruleset become gates over yes-or-no inputs, as in a pack (ship/gates.h); so does whatever else is
// watched: where a claim breaks, where a sentence fires. Persons are planes of bits (runtime/block.h), and so is the answer.
//
//   Bulk bulk(ruleset);
//   const Index broken = bulk.watch(bulk.meaning().condition(claim.condition, {}));
//   bulk.finish();                                   // from here on nothing more can be watched
//   bulk.weigh(block, scratch);                      // scratch.codes: of each practice; scratch.watched(broken): 512 bits
//
// Whether a person is possible is watched like anything else; codes of such as are not mean nothing.
//
// Ownership  the ruleset is borrowed and outlives this. Once finished, any number of threads may weigh, each with its scratch.
// Errors     BudgetMet (graph.h) where the conditions are too many to be held.
// Cost       making: as Meaning of the whole ruleset. Weighing: about one vector operation a gate for 512 persons.
// Tested by  tests/unit/trial_test.cpp
#pragma once

#include <memory>

#include "compiler/ship/ways.h"
#include "runtime/blocks.h"

namespace betony::trial {

class Bulk {
 public:
  explicit Bulk(const Ruleset& ruleset);
  Bulk(const Bulk&) = delete;
  Bulk& operator=(const Bulk&) = delete;

  const Ruleset& ruleset() const { return ruleset_; }
  // Every finding, and every measure that is asked for, is a variable of its own.
  const Universe& universe() const { return universe_; }
  const std::vector<runtime::Variable>& variables() const { return variables_; }
  std::size_t inputs() const { return program_.inputs; }
  Meaning& meaning() { return meaning_; }

  // The variables that the background names, ascending; once finished.
  const std::vector<Index>& background_support() const { return background_support_; }

  Index watch(Form form);        // its number
  void finish();
  // Of each variable: whether anything that is weighed or watched asks for it.
  const std::vector<bool>& asked() const { return asked_; }

  class Scratch {
   public:
    std::vector<std::uint8_t> codes;                          // [practice * block_persons + person]: runtime/blocks.h
    const std::uint64_t* watched(Index number) const { return &watched_[number * runtime::block_words]; }

   private:
    friend class Bulk;
    runtime::BlockWeigher::Scratch scratch_;
    std::vector<std::uint64_t> planes_, watched_;
  };
  void weigh(const runtime::Block& block, Scratch& scratch) const;   // codes and all that is watched
  void codes(const runtime::Block& block, Scratch& scratch) const;   // codes alone
  // The persons who are possible, alone.
  void possible(const runtime::Block& block, Scratch& scratch, std::uint64_t* words) const;

 private:
  std::unique_ptr<runtime::BlockWeigher> weigher_of(std::vector<runtime::Reading::Ways> ways, ship::Operand applies, ship::Operand refers) const;
  void find_asked();

  const Ruleset& ruleset_;
  const Universe universe_;
  Meaning meaning_;
  runtime::Program program_;
  std::vector<runtime::Variable> variables_;
  ship::Gates gates_;
  std::vector<ship::Operand> watches_;
  std::vector<bool> asked_;
  std::vector<Index> background_support_;
  std::unique_ptr<runtime::BlockWeigher> verdicts_, watcher_, background_;
};

}  // namespace betony::trial
