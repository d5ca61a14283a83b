#include "viz/terminal/marks.h"

namespace betony::terminal {

std::string_view escape(Ink ink) {
  switch (ink) {
    case Ink::plain: return "\x1b[0m";
    case Ink::strong: return "\x1b[1m";
    case Ink::problem: return "\x1b[1;35m";
    case Ink::advised: return "\x1b[1;34m";
    case Ink::care: return "\x1b[1;33m";
  }
  return {};
}

VerdictMark verdict_mark(tree::Verdict verdict, bool with_care) {
  using enum tree::Verdict;
  switch (verdict) {
    case outside: return {"___", "outside", Ink::strong};
    case referred: return {"|#<", "REFERRED", Ink::strong};
    case withheld: return {"]=[", "withheld", Ink::strong};
    case discouraged: return {"]-[", "discouraged", Ink::strong};
    case advised: return with_care ? VerdictMark{"{/}", "advised", Ink::care} : VerdictMark{"{#}", "advised", Ink::advised};
    case allowed: return with_care ? VerdictMark{"{/}", "allowed", Ink::care} : VerdictMark{"{ }", "allowed", Ink::strong};
    case silent: return {"_|_", "silent", Ink::strong};
    case unanswered: return {"{?}", "unanswered", Ink::strong};
  }
  return {"", "", Ink::plain};
}

ProblemMark problem_mark(Severity severity) {
  switch (severity) {
    case Severity::error: return {"><", "Error", "="};
    case Severity::question: return {"<>", "Question", "- "};
    case Severity::note: return {"*", "Note", "."};
  }
  return {"", "", ""};
}

}  // namespace betony::terminal
