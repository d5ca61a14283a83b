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
void note_disagreements(Study&, PracticeStudy&);                   // for the sources that disagree
void check_silence(Study&, PracticeStudy&);
void check_dose(Study&, PracticeStudy&, SentenceFacts&);           // clash, missing; notes which Dose sentences matter
// Those of `within` who take the practice and whose dose is another if this Dose, which has a condition, speaks for them.
Graph::Node dose_bearing(Study&, PracticeStudy&, Reading, Index sentence, Graph::Node within);
void note_what_matters(Study&, PracticeStudy&, SentenceFacts&);    // for idle
void note_parts(Study&, PracticeStudy&, SentenceFacts&);           // for idle, down to the part
void check_choice(Study&, Index choice, SentenceFacts&);           // clash, empty; notes what matters of Take and Refuse
void check_red_flags(Study&, SentenceFacts&);                      // never applies; notes what matters of Refer
void note_parts_of_flags(Study&, Space&, const std::vector<Form>& asked, SentenceFacts&);
void check_order(Study&);                                          // order, times and lengths of a day
void check_claim(Study&, Index claim);                             // one that tells no trend
void check_trend(Study&, Index claim, Index practice);
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
std::vector<std::vector<Index>> idle_sentences(const Ruleset&, const AllFacts&);
void check_idle(Study&, const std::vector<Index>& sentences);

// What of one sentence may be struck out, without the parts inside others of them; then each such sentence by itself.
struct IdleParts {
  struct Part { Index number; Reach reach; };
  Index sentence = no_index;
  std::vector<Part> parts;
  IndexSet struck;                                                 // some of them that may be struck all at once
};
std::vector<IdleParts> idle_parts(const Ruleset&, const AllFacts&);
void check_parts(Study&, const IdleParts&);
void check_parts_of_term(Study&, Index term);

// For every two sources the places where they speak against each other; then each such list by itself. More than
// `most_source_pairs` are not looked at: one list, which is empty.
constexpr std::size_t most_source_pairs = 500;
std::vector<std::vector<Disagreement>> by_sources(std::vector<Disagreement>);
void check_sources(Study&, const std::vector<Disagreement>&);
// Whether the persons of several practices are put together, for which all that these say is looked at.
bool put_together(const std::vector<Disagreement>&);

}  // namespace betony
