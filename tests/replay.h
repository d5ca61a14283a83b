// tests/replay.h: whether the witness of a problem shows it, by what somebody says of that person.
//
//   const std::string fault = Replay(ruleset, problem, evaluated(ruleset, problem)).fault();   // empty: it shows
//
// Who speaks is the evaluator (`evaluated`), or a pack (tests/pack_replay.h). Problem and ruleset are borrowed.
#pragma once

#include <algorithm>
#include <string>
#include <vector>

#include "compiler/compiler.h"
#include "compiler/dose.h"
#include "compiler/evaluate.h"
#include "compiler/trend.h"

namespace betony::testing {

// What is said of a witness, in the reading in which the problem shows.
struct Spoken {
  Weighing weighing;
  std::vector<bool> fires;      // of each sentence of the ruleset; no of those outside the reading
  // Of the dose of the problem's practice, where it has one.
  bool dose_clash = false, has_amount_or_words = false;
};

template <class Things>
Index named(const Things& things, const std::string& name) {
  const auto found = std::ranges::find_if(things, [&](const auto& t) { return t.name == name; });
  return found == things.end() ? no_index : static_cast<Index>(found - things.begin());
}

inline Reading reading_of(const Ruleset& ruleset, const Problem& problem) { return {named(ruleset.schools, problem.school)}; }

inline bool is_done(const PracticeVerdict& v) { return v.verdict == tree::Verdict::advised || v.verdict == tree::Verdict::allowed; }

// The settled dose of the evaluator or of a pack.
template <class Dose>
bool clashes(const Dose& dose) {
  return (dose.often && dose.often->clash) || (dose.length && dose.length->clash) ||
         std::ranges::any_of(dose.amounts, [](const auto& part) { return part.clash; });
}

inline Spoken evaluated(const Ruleset& ruleset, const Problem& problem) {
  const Reading reading = reading_of(ruleset, problem);
  Spoken out{evaluate(ruleset, *problem.witness, reading), {}};
  for (const Sentence& s : ruleset.sentences) out.fires.push_back(in_reading(ruleset, s, reading) && fires(ruleset, s, *problem.witness, reading));
  const Index practice = named(ruleset.practices, problem.practice);
  if (practice == no_index || !is_done(out.weighing.practices[practice])) return out;
  const SettledDose dose = settle_dose(ruleset, practice, *problem.witness, reading);
  out.has_amount_or_words = !dose.amounts.empty() || !dose.words.empty();
  out.dose_clash = clashes(dose);
  return out;
}

// One problem with its witness, and what is said of it.
class Replay {
 public:
  Replay(const Ruleset& ruleset, const Problem& problem, Spoken spoken)
      : ruleset(ruleset), problem(problem), person(*problem.witness), reading(reading_of(ruleset, problem)),
        practice(named(ruleset.practices, problem.practice)), choice(named(ruleset.choices, problem.choice)), spoken(std::move(spoken)),
        weighing(this->spoken.weighing) {}

  // What does not hold on the witness; nothing where all does.
  std::string fault() const {
    if (std::ranges::any_of(person, [](const auto& v) { return !v.has_value(); })) return "an open finding";
    if (broken_background(ruleset, person)) return "a person whom the background forbids";
    if (problem.has_replay_verdict && practice != no_index && verdict().verdict != problem.replay_verdict)
      return "another verdict than the one that is told";
    if (problem.kind == "never-applies") return never_applies();
    if (problem.kind == "claim-refuted") return claim();
    if (problem.kind == "expectation-failed") return expectation();
    if (weighing.outside || !weighing.refers.empty()) return may_be_anybody() ? "" : "a person who is not looked at";
    if (problem.kind == "contradiction" || problem.kind == "dissent") return meeting();
    if (problem.kind == "silence") return silence();
    if (problem.kind == "idle") return idle();
    if (problem.kind == "choice-clash") return choice_clash();
    if (problem.kind == "choice-empty") return weighing.choices.at(choice).fits.empty() ? "" : "something fits";
    if (problem.kind == "dose-clash") return spoken.dose_clash ? "" : "doses that go together, or that nobody takes";
    if (problem.kind == "dose-missing")
      return verdict().verdict == Verdict::advised && !spoken.has_amount_or_words ? "" : "an amount, or nothing advised";
    if (problem.kind == "broken-company") return company();
    if (problem.kind == "order-loop" && verdict().verdict != Verdict::advised) return "a practice that is not advised";
    return "";
  }

 private:
  using Verdict = tree::Verdict;
  using Kind = betony::Sentence::Kind;

  const PracticeVerdict& verdict() const { return weighing.practices.at(practice); }

  // Everybody whom an idle red flag speaks of is sent away.
  bool may_be_anybody() const { return problem.kind == "idle"; }

  // The typed sentence that is concerned, as far as it speaks of this practice; no_index where there is none.
  Index sentence(const Concerned& c) const {
    for (Index s = 0; s < ruleset.sentences.size(); ++s) {
      const Sentence& typed = ruleset.sentences[s];
      const bool of_it = practice == no_index || typed.practices.empty() || std::ranges::find(typed.practices, practice) != typed.practices.end();
      if (typed.sentence == c.tree_sentence && typed.place == c.place && of_it) return s;
    }
    return no_index;
  }
  bool speaks(const Concerned& c) const {
    const Index s = sentence(c);
    return s != no_index && spoken.fires[s];
  }
  bool some_meet() const {
    return std::ranges::any_of(problem.pairs, [&](const auto& pair) {
      return speaks(problem.sentences.at(pair.first)) && speaks(problem.sentences.at(pair.second));
    });
  }
  static bool is_ban(const Sentence& s) { return s.kind == Kind::contraindicated || s.kind == Kind::discouraged; }
  static bool is_indication(const Sentence& s) { return s.kind == Kind::indicated || s.kind == Kind::allowed; }
  static bool has(const std::vector<Index>& list, Index s) { return std::ranges::find(list, s) != list.end(); }

  // Some two that are told to meet both speak, the ban wins, and the indication is told to be defeated. The ban is told
  // as the reason, unless a graver one is.
  std::string meeting() const {
    if (!some_meet()) return "sentences that do not meet";
    bool bans = false, indications = false;
    for (const auto& c : problem.sentences) {
      const Index s = sentence(c);
      if (s == no_index) return "a sentence that nobody finds: " + c.text;
      if (!spoken.fires[s]) continue;
      const Sentence& typed = ruleset.sentences[s];
      if (is_indication(typed) && !has(verdict().defeated, s)) return "an indication that is not defeated: " + c.text;
      if (typed.kind == Kind::contraindicated && !has(verdict().because, s)) return "a ban that is no reason: " + c.text;
      (is_ban(typed) ? bans : indications) = true;
    }
    if (!bans || !indications) return "sentences that do not meet";
    return verdict().verdict == Verdict::withheld || verdict().verdict == Verdict::discouraged ? "" : "no ban prevails";
  }

  std::string silence() const {
    if (verdict().verdict != Verdict::silent) return "a verdict where silence was told";
    return verdict().because.empty() ? "" : "a reason for silence";
  }

  // A sentence that is idle fires and changes nothing. Of parts, the witness may be one whom a struck part would bring in.
  std::string idle() const {
    if (problem.form == "part") return "";
    return speaks(problem.sentences.at(0)) ? "" : "the sentence does not fire";
  }

  // Each value that some firing sentence takes fits, and there are two.
  std::string choice_clash() const {
    const std::vector<Index>& fits = weighing.choices.at(choice).fits;
    if (fits.size() < 2) return "fewer than two fit";
    for (const auto& c : problem.sentences) {
      const Index s = sentence(c);
      if (s == no_index) return "a sentence that nobody finds: " + c.text;
      const Sentence& typed = ruleset.sentences[s];
      if (spoken.fires[s] && typed.kind == Kind::take && !has(fits, typed.values.at(0))) return "a value taken that does not fit: " + c.text;
    }
    return some_meet() ? "" : "sentences that do not meet";
  }

  // Both advised; or the first advised and some other that its sentence names held back or advised against.
  std::string company() const {
    const Index joining = sentence(problem.sentences.at(0));
    if (joining == no_index || verdict().verdict != Verdict::advised || !spoken.fires[joining]) return "nothing that joins them";
    const bool broken = std::ranges::any_of(ruleset.sentences[joining].others, [&](Index other) {
      const Verdict second = weighing.practices.at(other).verdict;
      return problem.form == "never-with" ? second == Verdict::advised : second == Verdict::withheld || second == Verdict::discouraged;
    });
    return broken ? "" : "company that is kept";
  }

  std::string never_applies() const {
    if (problem.form == "already-referred" && weighing.refers.empty()) return "no red flag fires";
    if (problem.form == "already-outside" && !weighing.outside) return "the person is not outside";
    return std::ranges::all_of(problem.sentences, [&](const auto& c) { return speaks(c); }) ? "" : "the sentence does not fire";
  }

  std::string claim() const {
    for (const auto& c : ruleset.claims) {
      if (c.sentence != problem.sentences.at(0).tree_sentence) continue;
      if (c.trend) return has_second(c) ? "" : "a person for whom the trend holds";
      if (!holds(ruleset, c.when, person, &weighing, reading)) return "a person of whom the claim does not speak";
      return holds(ruleset, c.condition, person, &weighing, reading) == c.never ? "" : "a person for whom the claim holds";
    }
    return "a claim that nobody finds";
  }

  // Whether the trend does not hold with another answer; of many numbers a thousand are tried.
  bool has_second(const Claim& claim) const {
    const Finding& finding = ruleset.findings[claim.trend->finding];
    Profile second = person;
    const auto breaks = [&](Value value) {
      second[claim.trend->finding] = std::move(value);
      return broken_trend(ruleset, claim, practice, person, second, reading).has_value();
    };
    for (Index word = 0; word < finding.values.size(); ++word)
      if (breaks({Value::Kind::word, word, {}})) return true;
    if (!finding.values.empty()) return false;
    const Rational range = finding.high - finding.low;
    const Rational step = finding.step > 0 && range / finding.step <= 10'000 ? finding.step : Rational(range / 1000);
    for (Rational number = finding.low; number <= finding.high; number += step) {
      const Rational steps = finding.step == 0 ? Rational(0) : Rational((number - finding.low) / finding.step);
      if (steps.get_den() == 1 && breaks({Value::Kind::number, 0, number})) return true;
    }
    return false;
  }

  // A sample person is told something else than is expected.
  std::string expectation() const {
    for (const auto& sample : ruleset.profiles)
      for (const auto& e : sample.expectations) {
        const bool concerned = std::ranges::any_of(problem.sentences, [&](const auto& c) { return c.tree_sentence == e.sentence; });
        if (concerned && e.practice == practice && e.choice == choice) return is_met(e) ? "an expectation that is met" : "";
      }
    return "an expectation that nobody finds";
  }
  bool is_met(const Expectation& e) const {
    if (e.choice != no_index) return weighing.choices.at(e.choice).fits == e.values;
    if (e.verdict == Verdict::unanswered) return false;  // one person has a verdict
    return (!e.verdict || verdict().verdict == *e.verdict) && (!e.with_care || verdict().with_care);
  }

  const Ruleset& ruleset;
  const Problem& problem;
  const Profile& person;
  const Reading reading;
  const Index practice, choice;
  const Spoken spoken;
  const Weighing& weighing;
};

// Kinds that come with a person for whom they show.
inline bool needs_witness(const Problem& p) {
  if (p.kind == "never-applies") return !p.form.empty();
  return p.kind == "contradiction" || p.kind == "dissent" || p.kind == "silence" || p.kind == "choice-clash" ||
         p.kind == "choice-empty" || p.kind == "claim-refuted" || p.kind == "expectation-failed" || p.kind == "dose-clash" ||
         p.kind == "dose-missing" || p.kind == "broken-company" || p.kind == "order-loop";
}

}  // namespace betony::testing
