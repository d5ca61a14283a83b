// What holds of all people: background facts, whom the ruleset is about, and what it claims.
#include <algorithm>

#include "compiler/typing.h"

namespace betony {

void type_backgrounds(Typing& typing) {
  std::vector<Cond> applies;
  for (Index i = 0; i < typing.sentences().size(); ++i) {
    typing.open(i);
    const auto& form = typing.sentences()[i].form;
    if (auto* fact = std::get_if<tree::BackgroundLine>(&form))
      typing.ruleset.backgrounds.push_back({type_condition(typing, fact->condition), typing.sentences()[i].place, i});
    if (auto* line = std::get_if<tree::AppliesLine>(&form)) applies.push_back(type_condition(typing, line->condition));
  }
  if (applies.size() == 1) typing.ruleset.applies = std::move(applies.front());
  else if (!applies.empty()) typing.ruleset.applies = list_cond(Cond::Kind::all, applies, applies.front().place);
}

namespace {

using Kind = Known::Kind;
using Verb = tree::Trend::Verb;

// Of a date or a time of day, or of words without an order, there is neither more nor less.
bool changes_so(Typing& typing, const tree::Trend& written, Index index) {
  const Finding& finding = typing.ruleset.findings[index];
  const bool yes_no = finding.kind == Finding::Kind::yes_no, added = written.change == tree::Trend::Change::adding;
  const bool ordered = finding.kind == Finding::Kind::number || finding.kind == Finding::Kind::grade;
  if (added ? yes_no : ordered) return true;
  typing.tell(written.finding.span, "neither more nor less",
              added ? in_quotes(finding.name) + " is not yes or no, so it is not added."
                    : "Of " + in_quotes(finding.name) + " there is neither more nor less.",
              yes_no || ordered ? std::string(added ? "more " : "adding ") + finding.name : "");
  return false;
}

// The practices named, groups unfolded; all of them where none is named.
std::vector<Index> practices_of(Typing& typing, const std::vector<tree::Name>& names, Span where) {
  std::vector<Index> practices;
  if (names.empty() && typing.spend(typing.ruleset.practices.size(), where))
    for (Index p = 0; p < typing.ruleset.practices.size(); ++p) practices.push_back(p);
  for (const tree::Name& name : names) {
    const Known* known = find_name(typing, name, {Kind::practice, Kind::group}, "a practice");
    if (!known) continue;
    if (known->kind == Kind::practice) {
      practices.push_back(known->index);
      continue;
    }
    const auto& members = typing.ruleset.groups[known->index].practices;
    if (typing.spend(members.size(), name.span)) practices.insert(practices.end(), members.begin(), members.end());
  }
  std::sort(practices.begin(), practices.end());
  practices.erase(std::unique(practices.begin(), practices.end()), practices.end());
  return practices;
}

Trend type_trend(Typing& typing, const tree::Trend& written) {
  Trend trend;
  trend.change = static_cast<Trend::Change>(written.change);
  trend.raised = written.verb == Verb::raises || written.verb == Verb::lengthens;
  if (written.verb == Verb::lengthens || written.verb == Verb::shortens) trend.of = Trend::Of::length;
  else if (written.of_dose) trend.of = Trend::Of::amount;
  const auto built = built_in(typing, written.finding.key);
  const Known* known = built ? nullptr : find_name(typing, written.finding, {Kind::finding}, "a finding");
  if (built || known) {
    trend.finding = built ? *built : known->index;
    changes_so(typing, written, trend.finding);
  }
  trend.practices = practices_of(typing, written.practices, written.finding.span);
  return trend;
}

}  // namespace

void type_claims(Typing& typing) {
  for (Index i = 0; i < typing.sentences().size(); ++i) {
    const auto* line = std::get_if<tree::ClaimLine>(&typing.sentences()[i].form);
    if (!line) continue;
    typing.open(i);
    Claim claim;
    claim.title = line->title.text;
    claim.never = line->never;
    if (line->trend) {
      claim.trend = type_trend(typing, *line->trend);
      const Span from = line->trend->finding.span, to = line->trend->practices.empty() ? from : line->trend->practices.back().span;
      claim.condition.place = typing.place({from.begin, to.end});
    } else {
      claim.condition = type_condition(typing, line->condition, Asking::verdicts);
    }
    if (line->when) claim.when = type_condition(typing, *line->when, Asking::verdicts);
    claim.place = typing.sentences()[i].place;
    claim.sentence = i;
    typing.ruleset.claims.push_back(std::move(claim));
  }
}

}  // namespace betony
