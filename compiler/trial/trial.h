// compiler/trial/trial.h: a ruleset tried by its author: what must hold is attacked with persons drawn by chance.
//
//   sampler.h    whole persons by chance, in blocks of 512        bulk.h      verdicts and conditions of such blocks
//   property.h   what must hold, and whether a person breaks it   shrink.h    the plainest person who does
//   mutation.h   what nobody would notice                         coverage.h  what the samples never reached
//
//   const Report report = check(ruleset);
//   const Trial trial = try_out(ruleset, &report, {.samples = 100'000, .seed = 7});
//   for (const Failure& failure : trial.failures) show(failure.paste);
//
// What exact checking has settled is not guessed at: if it holds, that is told; if it fails, the failure is that of the report, with its
// witness. The samples are weighed all the same, and a sample that shows what exact checking denies is told as a fault of
// Betony (`disagreements`), never as one of the ruleset. So is a sample whose verdict is another by the plain evaluator.
// Without a report nothing is settled, and all is attacked.
//
// Samples  the same seed and number of samples give the same answer, with any number of threads. With a time instead, samples are drawn
//          in rounds until it is over, and how many there were is told.
// Errors   BudgetMet (graph.h) where the conditions are too many to be held.
// Cost     under a microsecond a sample and thread for a ruleset of some 100 sentences (tests/bench/trial_bench.cpp); trends of findings
//          that a measure binds, trends of doses, and expectations of open samples are looked at one person after another, so
//          of no more than `most_singly` persons each; what was looked at so is told.
// Tested by tests/unit/trial_test.cpp, tests/property/trial_test.cpp
//
// The front header of this folder. May include: compiler/, runtime/, rapidcheck.
#pragma once

#include <chrono>
#include <functional>

#include "compiler/trial/property.h"
#include "compiler/trial/sampler.h"

namespace betony::trial {

struct Trying {
  std::uint64_t samples = 100'000;         // as many as fill whole blocks of 512
  std::optional<std::chrono::milliseconds> time;   // instead
  std::uint64_t seed = 1;
  const Population* population = nullptr;
  const Persons* persons = nullptr;
  unsigned threads = 1;
  bool mutants = true;                     // whether sentences are struck, turned and moved
  // Told now and then: how many samples, of how many (0: nobody knows). From one thread at a time.
  std::function<void(std::uint64_t done, std::uint64_t of)> progress;
  std::function<void(std::uint64_t done, std::uint64_t of)> mutant_progress;   // of sentences that are changed
};

struct Failure {
  // What a practice comes to; of a trend also for the second person.
  struct Told {
    Index practice = no_index;
    tree::Verdict verdict = tree::Verdict::silent;
    bool with_care = false;
    std::optional<std::pair<tree::Verdict, bool>> then;
  };
  Property::Kind kind = Property::Kind::claim;
  std::string name;                        // of the claim, the sample, the practice
  Reading reading;
  Profile person;                          // whole
  std::optional<Profile> second;           // of a trend: the same person with the other answer
  std::vector<Index> sentences;            // that make it, each once
  std::vector<Told> told;
  Place place;                             // of the claim, the expectation, the practice
  std::string sense;                       // what is wrong, in words
  std::string paste;                       // a Profile sentence, with an Expect where one fits
  bool exactly = false;                    // exact checking says so
  std::optional<SampleName> sample;        // which sample showed it first
  unsigned unusual = 0;                    // answers that are not usual
};

struct Unreached {
  std::string what;                        // "sentence", "verdict", "edge"
  std::string name;                        // "Indicated in chill.", "moss bed advised", "moss bed: age over 60"
  Index sentence = no_index;               // of a sentence
  std::optional<Share> share;              // of those that the ruleset is about; nothing where it is not known
};

struct Mutants {
  struct Untested {
    Index sentence = no_index;
    std::vector<std::string> how;          // "struck", "turned", "age 60 years as 61 years": what nobody would notice
    bool all = false;                      // whatever was done to it
  };
  std::size_t sentences = 0;               // so many were changed
  std::size_t mutants = 0, unnoticed = 0, undecided = 0;   // changes
  std::vector<Untested> untested;          // by sentence, ascending
};

struct Trial {
  std::uint64_t seed = 1, samples = 0;
  std::uint64_t drawn_again = 0, impossible = 0;   // whom the background forbids; those that were so to the end
  struct Held {                            // what did not fail
    Property::Kind kind;
    std::string name, school;
    bool exactly = false;
    std::uint64_t singly = 0;              // persons looked at one by one; 0: all samples
  };
  std::vector<Held> held;
  std::vector<Failure> failures;
  std::vector<Unreached> unreached;
  Mutants mutants;
  std::vector<std::string> disagreements;  // faults of Betony
  bool failed() const { return !failures.empty() || !disagreements.empty(); }
};

constexpr std::uint64_t most_singly = 3'000;

// The report is borrowed, and is that of this ruleset.
Trial try_out(const Ruleset& ruleset, const Report* report, const Trying& how = {});

// "Profile "title": age 34, chill, the rest as usual." Every finding that has no usual value is named.
std::string profile_sentence(const Ruleset& ruleset, const std::string& title, const Profile& person);

}  // namespace betony::trial
