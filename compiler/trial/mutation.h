// compiler/trial/mutation.h: sentences that nobody would miss: what can be done to them without one claim or expectation turning out
// otherwise.
//
// Each sentence that says something of a verdict or of what fits of a choice is, one change at a time,
//
//   struck   (an "allowed with care" together with its care)
//   turned   Indicated and Contraindicated, Allowed and Discouraged, Take and Refuse stand for one another; an Otherwise that
//            advises withholds, one that allows discourages, and the other way round
//   moved    a threshold of its condition goes a step up or down: the finding's own step, of a finding without steps and of a measure to the
//            next threshold or an eighth of the way there, of a tally a point, of a grade a value
//
// and then all expectations and claims that can depend on it are looked at again: samples that answer everything with the plain evaluator, all
// others, and claims, exactly (compiler/check/). So nothing here rests on samples. A change is noticed if any of them comes out
// otherwise than it did. A Dose sentence is struck and its thresholds moved where a claim speaks of the dose of one of its practices; other
// doses, and sentences about order, company, times and what is used, are left out: no claim and no expectation can tell of them. Where a check meets its budget the change is undecided.
//
// Cost      a weighing of each sample that answers everything, for each change; for those that none of these notices, a space for each
//           claim and open expectation that can depend on the sentence. At most `most_mutants` changes, sentences taken evenly.
// Tested by tests/property/trial_test.cpp: the whole check of every mutant says the same
#pragma once

#include "compiler/trial/trial.h"

namespace betony::trial {

constexpr std::size_t most_mutants = 20'000;

struct Mutant {
  Index sentence = no_index;
  std::string how;                       // "struck", "turned", "age 60 years as 61 years"
  std::optional<Sentence> instead;       // nothing: struck
};
std::vector<Mutant> changes_of(const Ruleset& ruleset, Index sentence);
std::vector<Index> changed_sentences(const Ruleset& ruleset);   // those there are changes of
void change(Ruleset& ruleset, const Mutant& mutant);

struct Mutating {
  unsigned threads = 1;
  std::function<void(std::uint64_t done, std::uint64_t of)> progress;
};
Mutants mutants_of(const Ruleset& ruleset, const Mutating& how = {});

}  // namespace betony::trial
