// grammar/checks.h: what a sentence may say beyond the order of its words. Each throws Refusal where it may not.
#pragma once

#include "grammar/build.h"

namespace betony::build {

// The values of a type; a last one that hides an `and` or `or` is refused or parted.
std::vector<tree::Name> listed_values(const View& type);
void check_choice_type(const View& view, const tree::Type& type);
[[noreturn]] void refuse_prevails(const View& type);
void check_usual(const View& value, const View& type, const tree::Quantity& usual);
void check_profile_item(const View& view, const tree::ProfileItem& item);
void check_rest_is_last(const View& root);
void check_expectation(const View& root, const tree::ExpectLine& line);

// Trends and populations (checks_claims.cpp).
void check_trend(const View& root, const tree::Trend& trend);
void check_population_finding(const View& finding);
void check_population_part(const View& part, const tree::Name& finding, const tree::Atom& asked, bool is_only);

void check_in_item(const View& view, const tree::InItem& item);
void check_verdict_line(const View& root, const tree::VerdictLine& line);
void check_refer_line(const View& root, const tree::ReferLine& line);
void check_dose_part(const View& part, const tree::DoseLine& so_far);
void check_otherwise(const View& root, const tree::OtherwiseLine& line);

}  // namespace betony::build
