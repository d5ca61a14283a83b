// runtime/weigh.h: what a pack tells one person, practice by practice, and why.
//
// The verdict is the first of these that is the case (LANGUAGE.md, "The verdict"): outside, referred, withheld, discouraged,
// advised, allowed, what is said otherwise, silent. Of a person of whom not everything is told, a verdict is given where every
// answer that could still come leads to it; else it is unanswered, with what is possible. Never is a practice called
// advised while a ban is possible. What is possible is looked up on two rails first (truth.h), and where these leave more than
// one verdict, in the practice's decision graph (reach.h).
//
// Cost      O(size of the pack's program + sentences), and of the graphs of what is open.
// Tested by tests/unit/weigh_test.cpp; tests/property weighs random rulesets against the evaluator
#pragma once

#include "runtime/answers.h"
#include "runtime/dose.h"
#include "runtime/truth.h"

namespace betony::runtime {

struct Told {
  Verdict verdict = Verdict::silent;
  bool with_care = false;
  bool operator==(const Told&) const = default;
};

struct PracticeTold {
  std::vector<Told> possible;           // gravest first; one where the verdict is settled
  bool exact = true;                    // false: it is not known that each of them can really come
  bool settled() const { return possible.size() == 1; }
  bool verdict_settled() const;         // though it may be open whether with care
  std::vector<std::string> cautions;    // of firing cautions, each once
  std::vector<Index> because, defeated; // sentences, ascending by kind as they speak
  std::vector<Index> may_yet;           // where the verdict is open: sentences that may yet make one of the possible ones
  SettledDose dose;                     // where it is advised or allowed
};

struct ChoiceTold {
  std::vector<Index> fits;              // surely
  std::vector<Index> possible;          // those, and those that may yet fit
};

struct Weighing {
  bool possible = true;                 // false: what was told breaks a background fact
  Truth applies = Truth::yes;
  std::vector<Index> refers;            // firing red flags
  std::vector<PracticeTold> practices;
  std::vector<ChoiceTold> choices;
};

// `answers` are possible values, one place for each finding; `reading` is one of the pack's.
Weighing weigh(const Pack& pack, const Answers& answers, Index reading = 0);

}  // namespace betony::runtime
