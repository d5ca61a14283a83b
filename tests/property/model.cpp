#include "tests/property/model.h"

#include <algorithm>
#include <set>

namespace betony::referee {

std::vector<std::string> leading_values(const Model& model, const Leading& leading) {
  std::vector<std::string> values;
  for (int tally : leading.tallies) values.push_back(model.tallies[tally].name);
  if (std::find(values.begin(), values.end(), leading.otherwise) == values.end()) values.push_back(leading.otherwise);
  return values;
}

namespace {

void gather(const Model& model, int group, std::set<int>& into) {
  for (int practice : model.groups[group].practices)
    if (!model.practices[practice].gone) into.insert(practice);
  for (int inner : model.groups[group].groups)
    if (!model.groups[inner].gone) gather(model, inner, into);
}

}  // namespace

std::vector<int> members(const Model& model, int group) {
  std::set<int> all;
  gather(model, group, all);
  return {all.begin(), all.end()};
}

bool speaks_of_practices(Sentence::Kind kind) {
  using Kind = Sentence::Kind;
  return kind != Kind::take && kind != Kind::refuse && kind != Kind::choice_otherwise && kind != Kind::refer;
}

bool names_others(Sentence::Kind kind) {
  using Kind = Sentence::Kind;
  return kind == Kind::follows || kind == Kind::precedes || kind == Kind::needs || kind == Kind::leads_to ||
         kind == Kind::never_with || kind == Kind::apart;
}

bool about_the_day(Sentence::Kind kind) {
  return names_others(kind) || kind == Sentence::Kind::time || kind == Sentence::Kind::takes;
}

const std::vector<DoseUnit>& dose_units() {
  static const std::vector<DoseUnit> units = {
      {"min", "min", 0, 1}, {"h", "h", 0, 60}, {"bowl", "bowls", 1, 1}, {"g", "g", 2, 1}, {"palm", "palms", 2, 30}};
  return units;
}

std::vector<int> speaks_of(const Model& model, const Sentence& sentence) {
  if (!speaks_of_practices(sentence.kind)) return {};
  if (sentence.head == Sentence::Head::group) return members(model, sentence.group);
  std::set<int> all;
  for (int p = 0; p < static_cast<int>(model.practices.size()); ++p) {
    const bool named = std::count(sentence.practices.begin(), sentence.practices.end(), p) > 0;
    if (!model.practices[p].gone && (named || sentence.head == Sentence::Head::every)) all.insert(p);
  }
  return {all.begin(), all.end()};
}

}  // namespace betony::referee
