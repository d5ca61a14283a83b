// compiler/check/checks.h: the checks, one file each. Every function adds to the study's report.
// LANGUAGE.md, "The checks", tells what each means.
#pragma once

#include "compiler/check/study.h"

namespace betony {

// Why a part of a condition may be struck, the weakest reason last.
enum class Reach {
  same_words,     // the sentence then speaks for the same persons, whoever they are
  same_possible,  // the same of those who are possible
  same_people,    // the same of those whom the ruleset is about and no red flag has referred
  same_told,      // others, and all are told the same
  matters         // it may not be struck
};

// What one practice (choice, red flag, term) knows of the parts of a sentence, by number (parts.h).
struct PartsOfSentence {
  Index sentence = no_index;
  std::vector<Reach> reach;
  std::set<Index> together;  // of those that may be struck, some that may be struck all at once
};

// An indication and a ban of one practice that speak for the same persons.
struct Disagreement {
  Index practice, indication, ban;
};

// What the checks of one practice found out that a check over all practices needs.
struct SentenceFacts {
  std::vector<bool> told;            // told as never applies, head-on or swallowed: not told as idle
  std::vector<bool> matters;         // taking it out changes something somewhere
  std::vector<bool> looked_at;       // its effect was settled everywhere
  std::vector<std::uint64_t> alike;  // equal for sentences that fire on the same profiles of R (within one space)
  std::vector<Disagreement> disagreements;  // of sentences that different sources speak for
  std::vector<PartsOfSentence> parts;  // a sentence of several practices once for each that was looked at to the end
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
void note_disagreements(Study&, PracticeStudy&, SentenceFacts&);   // for the sources that disagree
void check_silence(Study&, PracticeStudy&);
void check_dose(Study&, PracticeStudy&, SentenceFacts&);           // clash, missing; notes which Dose sentences matter
// Those of `within` who take the practice and whose dose is another if this Dose, which has a condition, speaks for them.
Graph::Node dose_bearing(Study&, PracticeStudy&, Reading, Index sentence, Graph::Node within);
void note_what_matters(Study&, PracticeStudy&, SentenceFacts&);    // for idle
void note_parts(Study&, PracticeStudy&, SentenceFacts&);           // for idle, down to the part
void check_choice(Study&, Index choice, SentenceFacts&);           // clash, empty; notes what matters of Take and Refuse
void check_red_flags(Study&, SentenceFacts&);                      // never applies; notes what matters of Refer
void check_company(Study&);                                        // Never with, Needs, Leads to
void check_order(Study&);                                          // order, times and lengths of a day
void check_idle(Study&, const SentenceFacts&);
void check_parts(Study&, SentenceFacts&);                          // parts of sentences, terms and red flags that change nothing
void view_sources(Study&, const SentenceFacts&);                   // sources that disagree
void check_claims(Study&);
void check_expectations(Study&);
void check_unused(Study&);                                         // unused, uncited, unasked

}  // namespace betony
