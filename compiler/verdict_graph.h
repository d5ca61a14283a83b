// compiler/verdict_graph.h: the decision graph of one practice: which verdict every person gets.
//
// Leaves are codes: the verdict, and whether it is "with care". The background is taken in: where nobody
// is possible the graph goes along with whatever makes it smaller, so it must be asked about possible
// persons only. Built from the sentences that fire, gravest last, so each stage is there for the checks
// that ask what a sentence adds.
// Source    LANGUAGE.md, "The verdict".
// Tested by tests/unit/space_test.cpp; tests/property compares it on every profile.
#pragma once

#include "compiler/space.h"

namespace betony {

struct VerdictCode {
  tree::Verdict verdict = tree::Verdict::silent;
  bool with_care = false;
  std::int64_t number() const { return static_cast<std::int64_t>(verdict) * 2 + with_care; }
  static VerdictCode of(std::int64_t number) { return {static_cast<tree::Verdict>(number / 2), number % 2 != 0}; }
};

// What the sentences of one practice do in one reading, as graphs over one space (all on every
// combination of values: neither background nor red flags are taken in).
struct Voices {
  using Node = Graph::Node;
  struct Voice {
    Index sentence;
    Node fires;  // a ban: is live
  };
  std::vector<Voice> contraindicated, discouraged, indicated, allowed, cautions;
  std::optional<Index> otherwise;      // its sentence
  VerdictCode otherwise_code;          // silent where there is none
  // Each stage decides what the graver ones leave open; leaves are VerdictCodes without the cautions' care.
  Node any_contraindicated = 0, any_discouraged = 0, any_indicated = 0, any_allowed = 0, any_caution = 0;
  Node from_otherwise = 0, from_allowed = 0, from_indicated = 0, from_discouraged = 0, all = 0;
};

// As if `without` were not in the book.
Voices voices(Space& space, Index practice, Reading reading, Index without = no_index);

// As if `always`, an Indicated or Allowed, fired for everybody (and its companion too).
Voices voices_if(Space& space, Index practice, Reading reading, Index always);

// Those for whom the practice is advised or allowed, with care or without; of a graph of VerdictCodes.
Graph::Node where_done(Graph& graph, Graph::Node verdicts);

// What every person is told: `all` with the mark `with care` that firing cautions give.
Graph::Node told(Graph& graph, const Voices& voices);

// All conditions that the voices, doses and every other sentence of the practice ask, for making a Space.
std::vector<Form> asked_by(Meaning& meaning, Index practice, const std::vector<Reading>& readings);

// The whole graph, with care, red flags and `Applies to` as verdicts of their own.
Graph::Node verdict_graph(Space& space, Index practice, Reading reading);

std::string print_verdict_graph(Space& space, Graph::Node graph);

}  // namespace betony
