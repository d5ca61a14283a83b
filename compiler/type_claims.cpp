// What holds of all people: background facts, whom the ruleset is about, and what it claims.
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

void type_claims(Typing& typing) {
  for (Index i = 0; i < typing.sentences().size(); ++i) {
    const auto* line = std::get_if<tree::ClaimLine>(&typing.sentences()[i].form);
    if (!line) continue;
    typing.open(i);
    Claim claim;
    claim.title = line->title.text;
    claim.never = line->never;
    claim.condition = type_condition(typing, line->condition, Asking::verdicts);
    if (line->when) claim.when = type_condition(typing, *line->when, Asking::verdicts);
    claim.place = typing.sentences()[i].place;
    claim.sentence = i;
    typing.ruleset.claims.push_back(std::move(claim));
  }
}

}  // namespace betony
