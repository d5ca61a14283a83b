#include "viz/terminal/draw_page.h"

#include <algorithm>
#include <map>

#include "compiler/check/study.h"
#include "viz/terminal/letters.h"

namespace betony::terminal {
namespace {

using view::GraphView;

std::string numbered(std::size_t number, std::size_t width) {
  std::string out = std::to_string(number);
  return std::string(width > out.size() ? width - out.size() : 0, ' ') + out;
}

}  // namespace

std::string graph_page(const GraphView& view, Surface surface) {
  Page page(surface);
  std::string heading = view.practice;
  if (!heading.empty()) heading[0] = static_cast<char>(std::toupper(static_cast<unsigned char>(heading[0])));
  page.paragraph(Inked().add(heading, Ink::strong));
  page.paragraph("its questions, in the order in which they would be asked" +
                 (view.school.empty() ? "" : "; as the school " + view.school + " reads it"));
  page.blank();
  const std::size_t digits = std::to_string(view.questions.size()).size() + 1;
  const auto lead = [&](Inked& line, Index to) {
    if (to < GraphView::leaf) {
      line.add("go on to " + std::to_string(to + 1));
      return;
    }
    const GraphView::Leaf& leaf = view.leaves[to - GraphView::leaf];
    const VerdictMark mark = verdict_mark(leaf.verdict, leaf.with_care);
    line.add(std::string(mark.letters) + " ").add(mark.word, mark.ink).add(leaf.with_care ? ", with care" : "");
  };
  for (std::size_t q = 0; q < view.questions.size(); ++q) {
    const GraphView::Question& question = view.questions[q];
    page.paragraph(numbered(q + 1, digits) + "  " + question.asked);
    std::size_t widest = 20;
    for (const GraphView::Answer& answer : question.answers)
      widest = std::max<std::size_t>(widest, std::min<std::size_t>(width(listed(answer.words, "or")), 44));
    for (const GraphView::Answer& answer : question.answers) {
      const std::string words = listed(answer.words, "or");
      const std::size_t wide = width(words);
      Inked line(words + " " + std::string(wide < widest ? widest - wide + 2 : 2, '.') + " ");
      lead(line, answer.to);
      page.paragraph(line, static_cast<unsigned>(digits) + 4);
    }
  }
  page.blank();
  page.rule();
  page.paragraph("Of all possible persons");
  for (const GraphView::Leaf& leaf : view.leaves) {
    const VerdictMark mark = verdict_mark(leaf.verdict, leaf.with_care);
    page.paragraph(Inked("  " + std::string(mark.letters) + " ")
                       .add(mark.word, mark.ink)
                       .add((leaf.with_care ? ", with care: " : ": ") + share_words(leaf.share)));
  }
  return page.text();
}

std::string overview_page(const view::Overview& overview, Surface surface) {
  Page page(surface);
  std::map<Index, std::string> names;
  for (const auto& group : overview.groups) {
    page.paragraph(Inked().add(group.name.empty() ? "Of no group" : group.name, Ink::strong));
    for (const auto& row : group.rows) {
      names[row.practice] = row.name;
      Inked line(row.name);
      const std::pair<std::size_t, Severity> counts[] = {
          {row.errors, Severity::error}, {row.questions, Severity::question}, {row.notes, Severity::note}};
      for (const auto& [count, severity] : counts)
        if (count > 0) line.add("  ").add(problem_mark(severity).letters, Ink::problem).add(count > 1 ? " " + std::to_string(count) : "");
      page.paragraph(line, 2);
      Inked shares;
      for (const auto& part : row.parts) {
        const VerdictMark mark = verdict_mark(part.verdict, part.with_care);
        char share[32];
        std::snprintf(share, sizeof share, " %.1f in 100", part.share * 100);
        shares.add(shares.text.empty() ? "" : ", ")
            .add(mark.letters)
            .add(" ")
            .add(mark.word, mark.ink)
            .add(part.with_care ? ", with care" : "")
            .add(share);
      }
      page.paragraph(row.parts.empty() ? Inked("verdicts not settled") : shares, 6);
    }
    page.blank();
  }
  using Kind = view::Overview::Relation::Kind;
  for (const auto& relation : overview.relations) {
    const char* between = relation.kind == Kind::before       ? " comes before "
                          : relation.kind == Kind::leads_to   ? " leads to "
                          : relation.kind == Kind::needs      ? " needs "
                          : relation.kind == Kind::never_with ? " is never with "
                                                              : " stands apart from ";
    page.paragraph(names.at(relation.from) + between + names.at(relation.to) + (relation.time.empty() ? "" : ", by " + relation.time) +
                   (relation.conditional ? ", for some persons" : ""));
  }
  return page.text();
}

}  // namespace betony::terminal
