// grammar/refusals.h: all that is said about a sentence that cannot be read.
//
// Two ways lead here. A rule fails for good and throws a Failure, which `explain` turns into words by
// looking at what stands there; or a rule or the tree's building sees what is wrong by itself and
// calls a `refuse…`, which throws the finished message.
//
// Inside the grammar room only.
#pragma once

#include <string>
#include <string_view>
#include <vector>

#include "grammar/reading.h"
#include "grammar/tree.h"

namespace betony {

// The message for a rule that failed for good (explain.cpp).
Message explain(const Reading& r, Word opening, const Failure& failure);
// The message for a sentence whose first words open none (explain.cpp).
Message explain_opening(const Reading& r);

[[noreturn]] void refuse(const Reading& r, std::size_t begin, std::size_t end, std::string matter, std::string message,
                         std::string remedy);

// For messages: "a, b, and c"; a corrected sentence where it is short enough
// to show, else only the replacement; the same without a piece, and without the comma that goes with it;
// and the whole sentence behind one that must stand above it.
std::string listed(const std::vector<std::string>& words, std::string_view last_joint);
constexpr std::size_t readable = 240;  // bytes of a sentence that is still shown whole
std::string corrected(const Reading& r, std::size_t begin, std::size_t end, std::string_view replacement);
std::string without(const Reading& r, std::size_t begin, std::size_t end);
std::string below(const Reading& r, std::string above);
// One sentence or another: "Follows humming. Or: Follows moss bed."
std::string either_of(const std::vector<std::string>& remedies);

// The least that a condition can ask of a name: "chill", "cough at least dry", "age at least …".
std::string asked_simply(const Entry& entry, const std::string& name);

// Refusals of tokens (refusals.cpp).
[[noreturn]] void refuse_depth(const Reading& r, std::size_t at);
[[noreturn]] void refuse_value_or_name(const Reading& r, std::size_t begin, std::size_t end);
[[noreturn]] void refuse_comma_in_number(const Reading& r, std::size_t begin, std::size_t end);
[[noreturn]] void refuse_long_number(const Reading& r, std::size_t begin, std::size_t end);

}  // namespace betony
