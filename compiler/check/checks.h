// compiler/check/checks.h: the checks, one file each. Every function adds to the study's report.
// LANGUAGE.md, "The checks", tells what each means.
#pragma once

#include "compiler/check/study.h"

namespace betony {

// What the checks of one practice found out that a check over all practices needs.
struct SentenceFacts {
  std::vector<bool> told;            // told as never applies, head-on or swallowed: not told as idle
  std::vector<bool> matters;         // taking it out changes something somewhere
  std::vector<bool> looked_at;       // its effect was settled everywhere
  std::vector<std::uint64_t> alike;  // equal for sentences that fire on the same profiles of R (within one space)
};

// One practice with its space and voices in each reading that is checked.
struct PracticeStudy {
  Index practice;
  Space& space;
  std::map<Index, Voices> voices;    // by school; no_index: the whole
};

bool check_anybody(Study&);                                       // somebody is possible at all; else one problem, and false
void check_never_applies(Study&, Space&, const std::vector<Index>& sentences, SentenceFacts&);
void check_contradiction(Study&, PracticeStudy&, SentenceFacts&);  // and dissent
void check_silence(Study&, PracticeStudy&);
void check_dose(Study&, PracticeStudy&, SentenceFacts&);           // clash, missing; notes which Dose sentences matter
void note_what_matters(Study&, PracticeStudy&, SentenceFacts&);    // for idle
void check_choice(Study&, Index choice, SentenceFacts&);           // clash, empty; notes what matters of Take and Refuse
void check_red_flags(Study&, SentenceFacts&);                      // never applies; notes what matters of Refer
void check_company(Study&);                                        // Never with, Needs, Leads to
void check_order(Study&);                                          // order, times and lengths of a day
void check_idle(Study&, const SentenceFacts&);
void check_claims(Study&);
void check_expectations(Study&);
void check_unused(Study&);                                         // unused, uncited, unasked

}  // namespace betony
