// tests/soak/company.h: makes up from a seed what may be told about a pack, and persons of whom some of it is told.
//
// Tellings are of every finding: by each of its names, in each of its units, as text and as a number; and, as many again, with wrong
// names, values and units. Of a third of the persons everything is told, of a third nearly everything, of a third little. Most would be
// referred, or be none whom the ruleset is about; so that there are others too, all but every eighth are made up again.
#pragma once

#include <array>

#include "tests/soak/book.h"

namespace betony::soak {

void add_company(Caller& call, Book& book, std::size_t persons, std::uint64_t seed);

// Of all persons, schools and practices of a book how often each betony_verdict is told: the company is not all alike.
std::array<std::size_t, BETONY_UNANSWERED + 1> verdicts_of(Caller& call, const Book& book);

}  // namespace betony::soak
