#include "grammar/rules_declaration.h"

#include "grammar/rules.h"

namespace betony {
namespace {

template <typename Line>
void grow_line(Reading& r) {
  grow<rules::node<Part::sentence, Line>>(r);
}

}  // namespace

void grow_declaration(Word opening, Reading& r) {
  using namespace rules;  // NOLINT
  switch (opening) {
    case Word::ruleset: return grow_line<ruleset_line>(r);
    case Word::use: return grow_line<use_line>(r);
    case Word::source: return grow_line<source_line>(r);
    case Word::school: return grow_line<school_line>(r);
    case Word::applies_to: return grow_line<applies_line>(r);
    case Word::finding: return grow_line<finding_line>(r);
    case Word::ask: return grow_line<ask_line>(r);
    case Word::note: return grow_line<note_line>(r);
    case Word::measure: return grow_line<measure_line>(r);
    case Word::tally: return grow_line<tally_line>(r);
    case Word::leading: return grow_line<leading_line>(r);
    case Word::choice: return grow_line<choice_line>(r);
    case Word::term: return grow_line<term_line>(r);
    case Word::impossible: return grow_line<background_line>(r);
    case Word::group: return grow_line<group_line>(r);
    case Word::prevail: return grow_line<prevail_line>(r);
    case Word::unit: return grow_line<unit_line>(r);
    case Word::profile: return grow_line<profile_line>(r);
    case Word::expect: return grow_line<expect_line>(r);
    case Word::population: return grow_line<population_line>(r);
    default: return grow_line<claim_line>(r);
  }
}

}  // namespace betony
