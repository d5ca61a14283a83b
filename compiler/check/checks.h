// compiler/check/checks.h: the checks, one file each. Every function adds to the study's report.
// LANGUAGE.md, "The checks", tells what each means.
#pragma once

#include "compiler/check/study.h"

namespace betony {

// One practice with its space and voices in each reading that is checked.
struct PracticeStudy {
  Index practice;
  Space& space;
  std::map<Index, Voices> voices;    // by school; no_index: the whole
};

// Each looks at what its study is about, within that scope.
bool check_anybody(Study&);                                       // somebody is possible at all; else one problem, and false
void check_never_applies(Study&, Space&, const std::vector<Index>& sentences, SentenceFacts&);
void check_contradiction(Study&, PracticeStudy&, SentenceFacts&);  // and dissent
void check_silence(Study&, PracticeStudy&);
void check_dose(Study&, PracticeStudy&, SentenceFacts&);           // clash, missing; notes which Dose sentences matter
void note_what_matters(Study&, PracticeStudy&, SentenceFacts&);    // for idle
void check_choice(Study&, Index choice, SentenceFacts&);           // clash, empty; notes what matters of Take and Refuse
void check_red_flags(Study&, SentenceFacts&);                      // never applies; notes what matters of Refer
void check_order(Study&);                                          // order, times and lengths of a day
void check_claim(Study&, Index claim);
void check_expectation(Study&, const SampleProfile&, const Expectation&);
void check_unused(Study&);                                         // unused, uncited, unasked; of the whole ruleset

// Never with, Needs, Leads to: a sentence, one practice it speaks of, and one that it names.
struct CompanyPair {
  Index sentence, practice, other;
};
constexpr std::size_t most_company_pairs = 20'000;
std::vector<CompanyPair> company_pairs(const Ruleset&);            // one more than may be looked at, if there are more
void check_company(Study&, const CompanyPair&);

// The practices whose order, times or lengths some sentence tells, or that such a sentence names.
std::set<Index> dated_practices(const Ruleset&);

// Sentences that change nothing, those that say the same together; then each such list by itself.
std::vector<std::vector<Index>> idle_sentences(const Ruleset&, const SentenceFacts&);
void check_idle(Study&, const std::vector<Index>& sentences);

}  // namespace betony
