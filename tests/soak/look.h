// tests/soak/look.h: all that a pack holds and all that is told of a person, as texts, by every getter there is.
//
// It comes in parts, so that it can be asked for in any order: a pack's title and so on, then each finding, practice and choice;
// of a person the red flags, then each practice (with every sentence that is named), each choice, what to ask next, and what would
// change each practice.
#pragma once

#include <string>

#include "tests/soak/caller.h"

namespace betony::soak {

std::size_t parts_of_pack(Caller& call, const betony_pack* pack);
std::string part_of_pack(Caller& call, const betony_pack* pack, std::size_t part);

std::size_t parts_of_told(Caller& call, const betony_pack* pack);
// The first so many: all but what to ask next and what would change a verdict, which take thousands of times as long.
std::size_t plain_parts_of_told(Caller& call, const betony_pack* pack);
// `pack` is the one that it was told from.
std::string part_of_told(Caller& call, const betony_pack* pack, betony_told* told, std::size_t part);

// The sets of verdicts alone; the weigher is one of the pack.
std::string told_alone(Caller& call, const betony_pack* pack, const betony_weigher* weigher, betony_person* person);

}  // namespace betony::soak
