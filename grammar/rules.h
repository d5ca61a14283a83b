// grammar/rules.h: reads one sentence by the rule that its opening word calls for.
//
//   rules_condition.h      conditions, formulas, endings
//   rules_declaration.h    the sentences that declare
//   rules_practice.h       the sentences about practices and choices
//
// The rules are heavy to compile, so each family has a .cpp of its own and the rest of the room sees
// only these functions. Each throws Failure or Refusal, or leaves in `r` a root Part with the
// sentence's parts below it.
#pragma once

#include "grammar/reading.h"

namespace betony {

void grow_declaration(Word opening, Reading& r);
void grow_practice_sentence(Word opening, Reading& r);

// A part of a sentence, for the pass that collects names. False where it cannot be read so.
bool grow_finding_head(Reading& r);           // Finding NAME is TYPE, and anything after it
bool grow_choice_head(Reading& r);            // Choice NAME is TYPE, likewise
bool grow_named_head(Word opening, Reading& r);  // an opening word, a new name and its other names
bool grow_practices(Reading& r);              // Practices NAME, NAME
bool grow_units(Reading& r);                  // Unit NAME, NAME
bool grow_leading(Reading& r);                // the whole sentence
bool grow_label(Reading& r, std::size_t at);  // a label after `called`

// Whether the whole passage can be read as a condition, or as a list of practices, without r.except.
bool reads_as_condition(Reading& r);
bool reads_as_practices(Reading& r);

}  // namespace betony
