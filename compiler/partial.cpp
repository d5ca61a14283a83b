#include "compiler/partial.h"

#include <algorithm>

namespace betony {
namespace {

Profile filled(const Ruleset& ruleset, Profile profile) {
  for (Index i = 0; i < profile.size(); ++i) {
    if (profile[i]) continue;
    profile[i] = Value{};
    if (ruleset.findings[i].values.empty()) profile[i] = Value{Value::Kind::number, 0, ruleset.findings[i].low};
  }
  return profile;
}

}  // namespace

Partial::Partial(const Ruleset& ruleset, const Profile& profile)
    : ruleset_(ruleset), profile_(profile), filled_(filled(ruleset, profile)), evaluator_(ruleset, filled_, {}) {}

std::optional<bool> Partial::holds(const Cond& condition) {
  switch (condition.kind) {
    case Cond::Kind::always: return true;
    case Cond::Kind::test: return test(condition.test);
    case Cond::Kind::negation: {
      const Maybe part = holds(condition.parts.front());
      return part ? Maybe(!*part) : std::nullopt;
    }
    case Cond::Kind::all: return counted(condition, condition.parts.size());
    case Cond::Kind::any: return counted(condition, 1);
    case Cond::Kind::at_least: return counted(condition, condition.count);
    case Cond::Kind::term: return term(condition.term);
  }
  return std::nullopt;
}

// Whether at least so many parts hold: certain if those that surely hold suffice, or those that may do not.
std::optional<bool> Partial::counted(const Cond& condition, std::size_t least) {
  std::size_t surely = 0, maybe = 0;
  for (const Cond& part : condition.parts) {
    const Maybe held = holds(part);
    surely += held && *held;
    maybe += !held || *held;
  }
  if (surely >= least) return true;
  return maybe < least ? Maybe(false) : std::nullopt;
}

std::optional<bool> Partial::term(Index index) {
  if (const auto known = terms_.find(index); known != terms_.end()) return known->second;
  const Maybe held = holds(ruleset_.terms[index].condition);
  terms_.emplace(index, held);
  return held;
}

// Where its subject is certain, any completion shows its value.
std::optional<bool> Partial::test(const Test& test) {
  bool certain = false;
  switch (test.subject) {
    case Test::Subject::finding: certain = profile_[test.index].has_value(); break;
    case Test::Subject::measure: certain = answered(ruleset_.measures[test.index].formula); break;
    case Test::Subject::tally: certain = certain_tally(test.index); break;
    case Test::Subject::leading:
      certain = true;
      for (Index tally : ruleset_.leadings[test.index].tallies) certain = certain && certain_tally(tally);
      break;
    case Test::Subject::choice: certain = certain_choice(test.index); break;
    case Test::Subject::verdict: return std::nullopt;
  }
  return certain ? Maybe(evaluator_.accepts(test)) : std::nullopt;
}

bool Partial::answered(const Formula& formula) const {
  if (formula.kind == Formula::Kind::finding) return profile_[formula.index].has_value();
  if (formula.kind == Formula::Kind::measure) return answered(ruleset_.measures[formula.index].formula);
  if (formula.kind == Formula::Kind::tally) return false;
  return std::all_of(formula.parts.begin(), formula.parts.end(), [&](const Formula& part) { return answered(part); });
}

bool Partial::certain_tally(Index tally) {
  if (const auto known = tallies_.find(tally); known != tallies_.end()) return known->second;
  const auto& items = ruleset_.tallies[tally].items;
  const bool certain = std::all_of(items.begin(), items.end(), [&](const Tally::Item& item) { return holds(item.condition).has_value(); });
  return tallies_[tally] = certain;
}

bool Partial::certain_choice(Index choice) {
  if (const auto known = choices_.find(choice); known != choices_.end()) return known->second;
  bool certain = true;
  for (Index index : ruleset_.choices[choice].sentences) {
    const Sentence& sentence = ruleset_.sentences[index];
    certain = certain && holds(sentence.when).has_value() && (!sentence.unless || holds(*sentence.unless).has_value());
  }
  return choices_[choice] = certain;
}

}  // namespace betony
