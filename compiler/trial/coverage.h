// compiler/trial/coverage.h: what the samples never reached, with how likely it is.
//
//   sentence   one with a condition that never fired for somebody whom the ruleset is about. One that can fire for nobody is left out: the
//              checks tell it
//   verdict    a verdict of a practice, with care or without, that can be told and was not
//   edge       an answer in the decision graph of a practice, from a question on, that no sample went along; told by the likeliest way to
//              it. Walked by the first `most_walked` samples only. Its share is that of all combinations of answers, whether possible or
//              not, so it is told as near
//
// Shares of sentences and verdicts are exact, counted on the graphs of the checks. What would take more than `most_exact` steps is told without.
// Cost      a space (compiler/space.h) for each practice and each sentence that never fired.
// Tested by tests/unit/trial_test.cpp
#pragma once

#include "compiler/trial/attack.h"

namespace betony::trial {

constexpr std::uint64_t most_walked = 20'000, most_exact = 5'000'000;
constexpr std::size_t most_edges = 200, most_sentences = 500, most_graph_nodes = 20'000;   // that are told, or walked

// By kind; within each the likeliest first, of edges `most_edges` at most.
std::vector<Unreached> unreached(const Ruleset& ruleset, Attack& attack, std::uint64_t samples);

}  // namespace betony::trial
