// compiler/check/idle_parts.h: whether a part of a sentence may be struck, looked at in one space.
//
// A part may be struck if nobody would be told anything else, and if nobody for whom the sentence then speaks
// besides is told otherwise by another: a part that keeps a sentence out of the way of one that would
// overrule it says where the sentence is meant to end.
// Tested by tests/unit/parts_test.cpp and, on every profile, tests/property/parts.cpp
#pragma once

#include "compiler/check/checks.h"
#include "compiler/check/parts.h"

namespace betony {

using PeopleOf = std::function<Graph::Node(Reading)>;
// Whether striking matters: `more` are spoken for only then, `fewer` then no longer.
using StrikingMatters = std::function<bool(Reading, Graph::Node more, Graph::Node fewer)>;

// Calls `note` with a space that reaches all that is asked without each of the parts of these sentences: with `space`,
// which was made for `asked`, or with another: parts that cancel out leave their findings out of what is asked, or
// too many steps of the space are spent. Where that meets the budget `name` is not settled; what was noted until then stands.
void note_parts_in(Study&, const std::string& name, const std::vector<Index>& sentences, Space& space, std::vector<Form> asked,
                   const std::function<void(Space&)>& note);
// Notes what the space knows of the parts of one sentence, if it has a condition.
void look_at_parts(Study&, Space&, Index sentence, const PeopleOf&, const StrikingMatters&, SentenceFacts&);

}  // namespace betony
