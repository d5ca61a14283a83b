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

bool in_reading(const Model& model, int sentence, int school) {
  if (model.sentences[sentence].gone) return false;
  if (school == whole) return true;
  bool of_this = false, of_any = false;
  for (int source : model.sentences[sentence].cites)
    for (int s = 0; s < static_cast<int>(model.schools.size()); ++s) {
      const School& candidate = model.schools[s];
      if (candidate.gone || model.sources[source].gone) continue;
      if (!std::count(candidate.sources.begin(), candidate.sources.end(), source)) continue;
      of_any = true;
      of_this = of_this || s == school;
    }
  return of_this || !of_any;
}

// ---------------------------------------------------------------- arithmetic

namespace {

void gather(const Arithmetic& a, std::set<int>& into) {
  if (a.op == Arithmetic::Op::finding) into.insert(a.index);
  for (const Arithmetic& part : a.parts) gather(part, into);
}

}  // namespace

std::vector<int> inputs(const Arithmetic& arithmetic) {
  std::set<int> all;
  gather(arithmetic, all);
  return {all.begin(), all.end()};
}

Fraction value(const Arithmetic& a, const std::vector<Fraction>& by_finding) {
  using Op = Arithmetic::Op;
  if (a.op == Op::number) return a.number;
  if (a.op == Op::finding) return by_finding[a.index];
  Fraction result = value(a.parts[0], by_finding);
  for (std::size_t i = 1; i < a.parts.size(); ++i) {
    const Fraction next = value(a.parts[i], by_finding);
    switch (a.op) {
      case Op::plus: result += next; break;
      case Op::minus: result -= next; break;
      case Op::times: result *= next; break;
      case Op::divided: result /= next; break;
      case Op::least: result = std::min(result, next); break;
      case Op::most: result = std::max(result, next); break;
      default: break;
    }
  }
  return result;
}

}  // namespace betony::referee
