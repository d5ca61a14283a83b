#include "viz/terminal/draw_page.h"

#include <algorithm>
#include <map>

#include "compiler/check/study.h"
#include "compiler/region.h"
#include "viz/terminal/letters.h"

namespace betony::terminal {
namespace {

using view::GraphView;

std::string numbered(std::size_t number, std::size_t width) {
  std::string out = std::to_string(number);
  return std::string(width > out.size() ? width - out.size() : 0, ' ') + out;
}

std::string with_capital(std::string text) {
  if (!text.empty()) text[0] = static_cast<char>(std::toupper(static_cast<unsigned char>(text[0])));
  return text;
}

std::string in_100(double share) {
  char text[32];
  std::snprintf(text, sizeof text, "%.1f in 100", share * 100);
  return text;
}

// What stands over words by findings: whose they are, what is held, and what is of every kind.
void put_head(Page& page, const std::string& title, const std::string& sub, const std::string& school, const std::vector<std::string>& held,
              const std::vector<std::string>& open) {
  page.paragraph(Inked().add(with_capital(title), Ink::strong));
  page.paragraph(sub + (school.empty() ? "" : "; as the school " + school + " reads it"));
  if (!held.empty()) page.paragraph("Held: " + listed(held) + ".");
  if (!open.empty()) page.paragraph("Of every kind: " + listed(open) + ".");
  page.blank();
}

}  // namespace

std::string graph_page(const GraphView& view, Surface surface) {
  Page page(surface);
  page.paragraph(Inked().add(with_capital(view.practice), Ink::strong));
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
        shares.add(shares.text.empty() ? "" : ", ")
            .add(mark.letters)
            .add(" ")
            .add(mark.word, mark.ink)
            .add(part.with_care ? ", with care" : "")
            .add(" " + in_100(part.share));
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

std::string map_page(const view::MapView& map, const view::Namer& name_of, Surface surface) {
  Page page(surface);
  put_head(page, map.practice,
           "its verdicts, by " + map.across.name + " and " + map.up.name + (map.leaves_out ? ", of those whom no red flag refers" : ""), map.school,
           map.held, map.open);
  for (const view::MapView::Region& region : map.regions) {
    const bool is_one = region.parts.size() == 1;
    const std::string share = map.shares_known ? " (" + in_100(region.share) + ")" : "";
    if (region.parts.empty()) page.paragraph("    nobody");
    if (region.parts.size() > 1) page.paragraph("    of several verdicts" + share);
    for (const view::MapView::Part& part : region.parts) {
      const VerdictMark mark = verdict_mark(part.verdict, part.with_care);
      Inked line(std::string(mark.letters) + " ");
      line.add(mark.word, mark.ink).add(part.with_care ? ", with care" : "");
      line.add(is_one ? share : map.shares_known ? " " + in_100(part.share) : "");
      if (const std::string names = view::named(part.sentences, name_of); !names.empty()) line.add(": " + names);
      page.paragraph(line, is_one ? 0 : 2);
    }
    for (std::size_t i = 0; i < region.conditions.size(); ++i) page.paragraph((i == 0 ? "" : "or ") + region.conditions[i], 6);
    page.blank();
  }
  page.rule();
  page.paragraph(!map.shares_known  ? "How many persons are so is not known: it hangs on a measure."
                 : map.held.empty() ? "Shares are of all these persons; those of several verdicts, of their own field."
                                    : "Shares are of all who answer so; those of several verdicts, of their own field.");
  return page.text();
}

std::string doses_page(const Ruleset& ruleset, const view::DoseView& doses, const view::Namer& name_of, Surface surface) {
  Page page(surface);
  put_head(page, doses.practice, "its dose, by " + doses.across.name, doses.school, doses.held, doses.open);
  for (const view::DoseView::Panel& panel : doses.panels) {
    page.paragraph(Inked().add(with_capital(panel.title()), Ink::strong));
    for (std::size_t p = 0; p < panel.outcomes.size(); ++p) {
      page.paragraph(doses.across.parts.size() == 1 ? "everybody" : extents_words(ruleset, doses.across.dimension, doses.across.extents(p, p)), 2);
      if (panel.outcomes[p].empty()) page.paragraph("nobody takes it", 6);
      for (const view::DoseView::Outcome& outcome : panel.outcomes[p]) {
        Inked line;
        if (outcome.clash) line.add(problem_mark(Severity::error).letters, Ink::problem).add(" ");
        line.add(!outcome.is_said ? "nothing is said" : outcome.clash ? "nothing in common" : panel.words(outcome.interval));
        if (doses.shares_known && panel.outcomes[p].size() > 1) line.add(" (" + in_100(outcome.share) + ")");
        if (const std::string names = view::named(outcome.from, name_of); !names.empty()) line.add(": " + names);
        page.paragraph(line, 6);
      }
    }
    page.blank();
  }
  page.rule();
  page.paragraph("Of those who take it: for whom it is advised or allowed, with care or without.");
  return page.text();
}

}  // namespace betony::terminal
