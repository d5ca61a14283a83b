// compiler/view/graph_view.h: the decision graph of one practice as questions and answers, for drawing and for reading aloud.
//
//   GraphView view = graph_view(ruleset, practice, Reading{}, budget);
//   FoldedView page = folded(view, 12);
//
// Three parts come one after another: whether the teaching is meant for the person at all (where `Applies to` is written), whether a
// red flag refers the person, and then the practice's own questions, in the order of its decision graph. Each part is as small as
// can be for the persons who come to it. Answers that lead to the same place are one answer; every possible person has exactly one
// way from the first question to a verdict.
//
// Errors     BudgetMet (graph.h).
// Cost       as Space of the practice, and for the shares O(questions · size of the facts' graph).
// Tested by  tests/drawing/reading_back_test.cpp (walked by random persons)
#pragma once

#include "compiler/compiler.h"
#include "compiler/evaluate.h"
#include "compiler/universe.h"

namespace betony::view {

struct GraphView {
  enum class Part : std::uint8_t { applies, flags, practice };
  static constexpr Index leaf = 0x80000000u;  // where an answer leads: a question, or from here on a verdict
  struct Answer {
    std::vector<std::string> words;           // runs, "under 18 years", "over 60 years", read with "or" between them; or "any other"
    std::string full;                         // with the finding's name: "age under 18 years"
    std::vector<bool> cells;                  // of the question's variable
    Index to = leaf;
  };
  struct Question {
    Part part = Part::practice;
    std::string asked;                        // in the words of `Ask`, else made of the finding's name
    std::vector<std::string> names;           // the findings and measures it asks about
    std::vector<Answer> answers;              // in the order of their lowest values; yes before no
    Index variable = 0;                       // of the universe
    double share = 0;                         // of all possible persons, those who come to it
  };
  struct Leaf {
    tree::Verdict verdict = tree::Verdict::silent;
    bool with_care = false;
    Share share;                              // of all possible persons
  };
  std::string practice, school;               // school: empty for the whole
  std::vector<Question> questions;            // each before those that its answers lead to
  std::vector<Leaf> leaves;                   // gravest first; each verdict once
  Index first = leaf;
  bool shares_known = true;                   // of questions
  std::shared_ptr<const Universe> universe;
  // The way of a person: question and answer, question and answer; up to a verdict, or to a question that the profile does not answer.
  std::vector<std::pair<Index, Index>> way_of(const Profile& profile) const;
};

GraphView graph_view(const Ruleset& ruleset, Index practice, Reading reading, const Budget& budget = {});

// What one page shows. Questions past its room are folded: first those of each of the parts before the practice's own, then what the
// fewest persons come to.
struct FoldedView {
  struct Place {
    bool is_folded = false;
    Index question = 0;                       // of the view; of a folded place the one it begins with
    std::string asked;                        // folded parts before the practice's own: their question together
    struct Way {
      std::vector<std::string> words;
      Index to = GraphView::leaf;             // a place, or a verdict
      std::string full;                       // as a condition of the language; of folded parts none
    };
    std::vector<Way> ways;                    // of a folded place that ends here: none
    std::vector<Index> outcomes;              // of a folded place: verdicts that are reached below
    std::vector<Index> under;                 // of a folded place: questions, ascending
    double share = 0;
  };
  std::vector<Place> places;                  // each before those that its ways lead to
  Index first = GraphView::leaf;
  std::size_t folded_questions = 0;
};
// `kept`: questions that are folded last, those of a way that is shown, even past `most`.
FoldedView folded(const GraphView& view, std::size_t most, const std::vector<Index>& kept = {});
// All of it.
inline FoldedView unfolded(const GraphView& view) { return folded(view, view.questions.size() + 2); }
// What lies at and below one question, as a view of its own: what was folded there.
GraphView from_question(const GraphView& view, Index question);

}  // namespace betony::view
