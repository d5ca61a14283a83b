#include "grammar/rules_practice.h"

#include "grammar/rules.h"

namespace betony {
namespace {

template <typename Line>
void grow_line(Reading& r) {
  grow<rules::node<Part::sentence, Line>>(r);
}

}  // namespace

void grow_practice_sentence(Word opening, Reading& r) {
  using namespace rules;  // NOLINT
  switch (opening) {
    case Word::refer: return grow_line<refer_line>(r);
    case Word::practice: return grow_line<practice_line>(r);
    case Word::practices: return grow_line<practices_line>(r);
    case Word::every_practice: return grow_line<every_line>(r);
    case Word::in_condition: return grow_line<in_line>(r);
    case Word::indicated: return grow_line<indicated_line>(r);
    case Word::allowed_in: return grow_line<allowed_line>(r);
    case Word::discouraged_in: return grow_line<discouraged_line>(r);
    case Word::contraindicated: return grow_line<contraindicated_line>(r);
    case Word::caution: return grow_line<caution_line>(r);
    case Word::dose: return grow_line<dose_line>(r);
    case Word::follows: return grow_line<follows_line>(r);
    case Word::precedes: return grow_line<precedes_line>(r);
    case Word::needs: return grow_line<needs_line>(r);
    case Word::leads_to: return grow_line<leads_to_line>(r);
    case Word::never_with: return grow_line<never_with_line>(r);
    case Word::apart_from: return grow_line<apart_line>(r);
    case Word::time: return grow_line<time_line>(r);
    case Word::takes: return grow_line<takes_line>(r);
    case Word::uses: return grow_line<uses_line>(r);
    case Word::take: return grow_line<take_line>(r);
    case Word::refuse: return grow_line<refuse_line>(r);
    default: return grow_line<otherwise_line>(r);
  }
}

}  // namespace betony
