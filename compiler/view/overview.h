// compiler/view/overview.h: a whole teaching at a glance: groups, practices, problems, verdicts, order and company.
//
// A practice stands in the first group that holds it by name and is no group of groups; those of no group come last. Its verdicts are those of the
// persons whom the teaching is for and no red flag refers, in the reading of the whole.
//
// Cost       a graph view of every practice (graph_view.h), side by side on `threads`; one that meets its budget has no shares.
// Tested by  tests/drawing/pictures_test.cpp
#pragma once

#include "compiler/view/graph_view.h"

namespace betony::view {

struct Overview {
  struct Row {
    std::string name;
    Index practice = no_index;
    Place place;
    std::size_t errors = 0, questions = 0, notes = 0;
    struct Part {
      tree::Verdict verdict;
      bool with_care;
      double share;                          // of those neither outside nor referred
    };
    std::vector<Part> parts;                 // gravest first; none where they are not known
  };
  struct Group {
    std::string name;                        // empty: practices of no group
    std::vector<Row> rows;
  };
  struct Relation {
    enum class Kind : std::uint8_t { before, leads_to, needs, never_with, apart };
    Kind kind = Kind::before;
    Index from = 0, to = 0;                  // practices; before: the earlier one first
    std::string time;                        // apart: "2 h"
    bool conditional = false;
  };
  std::vector<Group> groups;
  std::vector<Relation> relations;           // in the order of their sentences, each once
  std::size_t practices = 0, sentences = 0;
};

Overview overview(const Ruleset& ruleset, const Report& report, const Budget& budget = {}, unsigned threads = 1);

}  // namespace betony::view
