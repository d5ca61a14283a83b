// viz/terminal/marks.h: the marks, words and inks of verdicts and problems, as they stand on a page.
//
// The word is the carrier; the mark goes before it, and colour comes last.
#pragma once

#include <string_view>

#include "compiler/problem.h"
#include "grammar/tree.h"

namespace betony::terminal {

enum class Ink { plain, strong, problem, advised, care };

// What switches a terminal to an ink, from plain. Plain is what switches it back.
std::string_view escape(Ink);

struct VerdictMark {
  std::string_view letters;  // "]=["
  std::string_view word;     // "withheld"
  Ink ink;
};
VerdictMark verdict_mark(tree::Verdict verdict, bool with_care = false);

// The mark of a problem, its kind, and what is set under the words concerned.
struct ProblemMark {
  std::string_view letters;    // "><"
  std::string_view word;       // "Error"
  std::string_view underline;  // repeated: "=", "- ", "."
};
ProblemMark problem_mark(Severity severity);

}  // namespace betony::terminal
