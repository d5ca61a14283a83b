#include "compiler/evaluator.h"

#include <algorithm>
#include <stdexcept>
#include <string_view>
#include <unordered_set>

namespace betony {
namespace {

using tree::Verdict;

bool has(const std::vector<Index>& ascending, Index value) { return std::binary_search(ascending.begin(), ascending.end(), value); }

bool possible(const Finding& finding, const Value& value) {
  const bool words = finding.kind == Finding::Kind::yes_no || finding.kind == Finding::Kind::one_of || finding.kind == Finding::Kind::grade;
  if (words) return value.kind == Value::Kind::word && value.word < finding.values.size();
  if (value.kind == Value::Kind::never) return finding.or_never;
  if (value.kind != Value::Kind::number || value.number < finding.low || value.number > finding.high) return false;
  return finding.step == 0 || Rational((value.number - finding.low) / finding.step).get_den() == 1;
}

void require_complete(const Ruleset& ruleset, const Profile& profile) {
  if (profile.size() != ruleset.findings.size()) throw std::invalid_argument("a profile answers every finding, in their order");
  for (Index i = 0; i < profile.size(); ++i)
    if (!profile[i] || !possible(ruleset.findings[i], *profile[i]))
      throw std::invalid_argument("no possible value for " + ruleset.findings[i].name);
}

// ---------------------------------------------------------------- one practice

// The firing sentences of a practice, by kind.
struct Fired {
  std::vector<Index> indicated, allowed, discouraged, contraindicated, cautions, defeated;
};

Fired fired_sentences(const Ruleset& ruleset, const Practice& practice, Evaluator& evaluator) {
  Fired fired;
  for (Index index : practice.sentences) {
    const Sentence::Kind kind = ruleset.sentences[index].kind;
    auto* list = kind == Sentence::Kind::indicated         ? &fired.indicated
                 : kind == Sentence::Kind::allowed         ? &fired.allowed
                 : kind == Sentence::Kind::discouraged     ? &fired.discouraged
                 : kind == Sentence::Kind::contraindicated ? &fired.contraindicated
                 : kind == Sentence::Kind::caution         ? &fired.cautions
                                                           : nullptr;
    if (list && evaluator.fires(index)) list->push_back(index);
  }
  return fired;
}

// Takes out the bans that a firing Indicated or Allowed of this practice names in `despite`.
void lift_bans(const Ruleset& ruleset, Fired& fired) {
  std::vector<Index> lifted;
  for (const auto* list : {&fired.indicated, &fired.allowed})
    for (Index index : *list) {
      const auto& despite = ruleset.sentences[index].despite;
      lifted.insert(lifted.end(), despite.begin(), despite.end());
    }
  std::sort(lifted.begin(), lifted.end());
  for (auto* bans : {&fired.contraindicated, &fired.discouraged})
    std::erase_if(*bans, [&](Index ban) {
      if (has(lifted, ban)) fired.defeated.push_back(ban);
      return has(lifted, ban);
    });
}

// Its own; else that of a group it is in; else that of every practice.
std::optional<Index> otherwise_of(const Ruleset& ruleset, const Practice& practice, Evaluator& evaluator) {
  std::optional<Index> best;
  int best_rank = 3;
  for (Index index : practice.sentences) {
    const Sentence& sentence = ruleset.sentences[index];
    if (sentence.kind != Sentence::Kind::otherwise) continue;
    if (rank(sentence) < best_rank && evaluator.fires(index)) best = index, best_rank = rank(sentence);
  }
  return best;
}

void decide(const Ruleset& ruleset, const Practice& practice, const Fired& fired, Evaluator& evaluator, PracticeVerdict& out) {
  const std::pair<Verdict, const std::vector<Index>*> ways[] = {{Verdict::withheld, &fired.contraindicated},
                                                               {Verdict::discouraged, &fired.discouraged},
                                                               {Verdict::advised, &fired.indicated},
                                                               {Verdict::allowed, &fired.allowed}};
  for (const auto& [verdict, sentences] : ways) {
    if (sentences->empty()) continue;
    out.verdict = verdict;
    out.because = *sentences;
    return;
  }
  if (const auto otherwise = otherwise_of(ruleset, practice, evaluator)) {
    out.verdict = ruleset.sentences[*otherwise].verdict;
    out.with_care = ruleset.sentences[*otherwise].with_care;
    out.because = {*otherwise};
  }
}

void add_defeated(const Fired& fired, PracticeVerdict& out) {
  out.defeated = fired.defeated;
  if (out.verdict == Verdict::withheld || out.verdict == Verdict::discouraged) {
    out.defeated.insert(out.defeated.end(), fired.indicated.begin(), fired.indicated.end());
    out.defeated.insert(out.defeated.end(), fired.allowed.begin(), fired.allowed.end());
  }
  std::sort(out.defeated.begin(), out.defeated.end());
}

void add_cautions(const Ruleset& ruleset, const Fired& fired, PracticeVerdict& out) {
  std::unordered_set<std::string_view> shown;
  for (Index index : fired.cautions) {
    const std::string& text = ruleset.sentences[index].text;
    if (!text.empty() && shown.insert(text).second) out.cautions.push_back(text);
  }
  if (!may_be_done(out.verdict)) {
    out.with_care = false;
    return;
  }
  out.with_care = out.with_care || !fired.cautions.empty();
  out.because.insert(out.because.end(), fired.cautions.begin(), fired.cautions.end());
}

PracticeVerdict weigh(const Ruleset& ruleset, const Practice& practice, Evaluator& evaluator, const Weighing& so_far) {
  PracticeVerdict out;
  Fired fired = fired_sentences(ruleset, practice, evaluator);
  lift_bans(ruleset, fired);
  if (so_far.outside) {
    out.verdict = Verdict::outside;
  } else if (!so_far.refers.empty()) {
    out.verdict = Verdict::referred;
    out.because = so_far.refers;
  } else {
    decide(ruleset, practice, fired, evaluator, out);
    add_defeated(fired, out);
  }
  add_cautions(ruleset, fired, out);
  return out;
}

}  // namespace

// ---------------------------------------------------------------- the public part

bool in_reading(const Ruleset& ruleset, const Sentence& sentence, Reading reading) {
  if (reading.school == no_index) return true;
  bool of_another = false;
  for (const Citation& citation : sentence.citations)
    for (Index school = 0; school < ruleset.schools.size(); ++school) {
      if (!has(ruleset.schools[school].sources, citation.source)) continue;
      if (school == reading.school) return true;
      of_another = true;
    }
  return !of_another;
}

namespace {

// What holds for all practices alike.
Weighing begin_weighing(const Ruleset& ruleset, Evaluator& evaluator) {
  Weighing out;
  out.outside = ruleset.applies && !evaluator.holds(*ruleset.applies);
  for (Index flag : ruleset.red_flags)
    if (evaluator.fires(flag)) out.refers.push_back(flag);
  return out;
}

}  // namespace

PracticeVerdict evaluate_practice(const Ruleset& ruleset, Index practice, const Profile& profile, Reading reading) {
  require_complete(ruleset, profile);
  Evaluator evaluator(ruleset, profile, reading);
  return weigh(ruleset, ruleset.practices[practice], evaluator, begin_weighing(ruleset, evaluator));
}

Weighing evaluate(const Ruleset& ruleset, const Profile& profile, Reading reading) {
  require_complete(ruleset, profile);
  Evaluator evaluator(ruleset, profile, reading);
  Weighing out = begin_weighing(ruleset, evaluator);
  for (const Practice& practice : ruleset.practices) out.practices.push_back(weigh(ruleset, practice, evaluator, out));
  for (Index i = 0; i < ruleset.choices.size(); ++i) out.choices.push_back(evaluator.choice(i));
  return out;
}

std::optional<Index> broken_background(const Ruleset& ruleset, const Profile& profile) {
  require_complete(ruleset, profile);
  Evaluator evaluator(ruleset, profile, {});
  for (Index i = 0; i < ruleset.backgrounds.size(); ++i)
    if (evaluator.holds(ruleset.backgrounds[i].condition)) return i;
  return std::nullopt;
}

bool holds(const Ruleset& ruleset, const Cond& condition, const Profile& profile, const Weighing* weighing, Reading reading) {
  return Evaluator(ruleset, profile, reading, weighing).holds(condition);
}

Rational measure_value(const Ruleset& ruleset, Index measure, const Profile& profile) { return Evaluator(ruleset, profile, {}).measure(measure); }
Rational tally_value(const Ruleset& ruleset, Index tally, const Profile& profile) { return Evaluator(ruleset, profile, {}).tally(tally); }
Index leading_value(const Ruleset& ruleset, Index leading, const Profile& profile) { return Evaluator(ruleset, profile, {}).leading(leading); }
ChoiceResult choice_result(const Ruleset& ruleset, Index choice, const Profile& profile, Reading reading) {
  return Evaluator(ruleset, profile, reading).choice(choice);
}
bool fires(const Ruleset& ruleset, const Sentence& sentence, const Profile& profile, Reading reading) {
  return in_reading(ruleset, sentence, reading) && Evaluator(ruleset, profile, reading).fires(sentence);
}

}  // namespace betony
