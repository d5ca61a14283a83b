// compiler/check/idle_parts.h: whether a part of a sentence may be struck, looked at in one space.
//
// A part may be struck if nobody would be told anything else, and if nobody for whom the sentence then speaks
// besides is told otherwise by another: a part that keeps a sentence out of the way of one that would
// overrule it says where the sentence is meant to end.
#pragma once

#include "compiler/check/checks.h"
#include "compiler/check/parts.h"

namespace betony {

using PeopleOf = std::function<Graph::Node(Reading)>;
// Whether striking matters: `more` are spoken for only then, `fewer` then no longer.
using StrikingMatters = std::function<bool(Reading, Graph::Node more, Graph::Node fewer)>;

// All that a space must reach for the parts of these sentences.
std::vector<Form> asked_by_parts(Study&, const std::vector<Index>& sentences);
// Notes what the space knows of the parts of one sentence, if it has a condition.
void look_at_parts(Study&, Space&, Index sentence, const PeopleOf&, const StrikingMatters&, SentenceFacts&);

}  // namespace betony
