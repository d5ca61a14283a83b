// grammar/readings.h: refusals of conditions and formulas that could be read in more than one way.
#pragma once

#include "grammar/build.h"

namespace betony::build {

// `a and b or c`: offers the readings with brackets, in the person's own words.
[[noreturn]] void refuse_mixed(const View& list);
// `a, b`: which of `and` and `or` is meant?
[[noreturn]] void refuse_undecided(const View& list);
// `at least 5 of a, b`.
[[noreturn]] void refuse_count(const View& list, const View& count, std::size_t items);
[[noreturn]] void refuse_long_formula(const View& formula);
// A name in a formula that stands for no number.
void check_number_name(const View& leaf);
// `[SB 1, WN 2]`: a comma where a semicolon parts two sources.
void check_locus(const View& locus);

}  // namespace betony::build
