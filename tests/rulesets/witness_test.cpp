#include <catch2/catch.hpp>

#include <algorithm>

#include "compiler/evaluate.h"
#include "compiler/dose.h"
#include "worlds.h"

using namespace betony;
using namespace betony::worlds;
using tree::Verdict;
using Kind = betony::Sentence::Kind;

namespace {

template <class Things>
Index named(const Things& things, const std::string& name) {
  const auto found = std::ranges::find_if(things, [&](const auto& t) { return t.name == name; });
  return found == things.end() ? no_index : static_cast<Index>(found - things.begin());
}

// One problem with its witness, asked of the evaluator and of nothing else.
class Replay {
 public:
  Replay(const Ruleset& ruleset, const Problem& problem)
      : ruleset(ruleset), problem(problem), person(*problem.witness), reading{named(ruleset.schools, problem.school)},
        practice(named(ruleset.practices, problem.practice)), choice(named(ruleset.choices, problem.choice)),
        weighing(evaluate(ruleset, person, reading)) {}

  // What does not hold on the witness; nothing where all does.
  std::string fault() const {
    if (std::ranges::any_of(person, [](const auto& v) { return !v.has_value(); })) return "an open finding";
    if (broken_background(ruleset, person)) return "a person whom the background forbids";
    if (problem.has_replay_verdict && practice != no_index && verdict().verdict != problem.replay_verdict)
      return "another verdict than the one that is told";
    if (problem.kind == "never-applies") return never_applies();
    if (problem.kind == "claim-refuted") return claim();
    if (weighing.outside || !weighing.refers.empty()) return may_be_anybody() ? "" : "a person who is not looked at";
    if (problem.kind == "contradiction" || problem.kind == "dissent") return meeting();
    if (problem.kind == "silence" && verdict().verdict != Verdict::silent) return "a verdict where silence was told";
    if (problem.kind == "choice-clash" && weighing.choices.at(choice).fits.size() < 2) return "fewer than two fit";
    if (problem.kind == "choice-empty" && !weighing.choices.at(choice).fits.empty()) return "something fits";
    if (problem.kind == "dose-clash" || problem.kind == "dose-missing") return dose();
    if (problem.kind == "broken-company") return company();
    if (problem.kind == "order-loop" && verdict().verdict != Verdict::advised) return "a practice that is not advised";
    return "";
  }

 private:
  const PracticeVerdict& verdict() const { return weighing.practices.at(practice); }

  // A sample person may be sent away; and so is everybody whom an idle red flag speaks of.
  bool may_be_anybody() const { return problem.kind == "expectation-failed" || problem.kind == "idle"; }

  std::string dose() const {
    const SettledDose dose = settle_dose(ruleset, practice, person, reading);
    if (problem.kind == "dose-missing")
      return verdict().verdict == Verdict::advised && dose.amounts.empty() && dose.words.empty() ? "" : "an amount, or nothing advised";
    bool clash = (dose.often && dose.often->clash) || (dose.length && dose.length->clash);
    for (const auto& part : dose.amounts) clash = clash || part.clash;
    const bool taken = verdict().verdict == Verdict::advised || verdict().verdict == Verdict::allowed;
    return clash && taken ? "" : "doses that go together, or that nobody takes";
  }

  // Both advised; or the first advised and some other that its sentence names held back or advised against.
  std::string company() const {
    const Sentence* joining = sentence(problem.sentences.at(0));
    if (!joining || verdict().verdict != Verdict::advised || !fires(ruleset, *joining, person, reading)) return "nothing that joins them";
    const bool broken = std::ranges::any_of(joining->others, [&](Index other) {
      const Verdict second = weighing.practices.at(other).verdict;
      return problem.form == "never-with" ? second == Verdict::advised : second == Verdict::withheld || second == Verdict::discouraged;
    });
    return broken ? "" : "company that is kept";
  }

  // The typed sentence that is concerned, as far as it speaks of this practice.
  const Sentence* sentence(const Concerned& c) const {
    for (const auto& s : ruleset.sentences)
      if (s.sentence == c.tree_sentence && s.place == c.place &&
          (practice == no_index || std::ranges::find(s.practices, practice) != s.practices.end()))
        return &s;
    return nullptr;
  }
  bool speaks(const Concerned& c) const {
    const Sentence* s = sentence(c);
    return s && fires(ruleset, *s, person, reading);
  }

  static bool is_ban(const Sentence& s) { return s.kind == Kind::contraindicated || s.kind == Kind::discouraged; }

  // An indication and a ban fire together, and the ban wins.
  std::string meeting() const {
    unsigned bans = 0, indications = 0;
    for (const auto& c : problem.sentences) {
      const Sentence* s = sentence(c);
      if (!s) return "a sentence that nobody finds: " + c.text;
      if (speaks(c)) ++(is_ban(*s) ? bans : indications);
    }
    if (bans == 0 || indications == 0) return "sentences that do not meet";
    const auto v = verdict().verdict;
    return v == Verdict::withheld || v == Verdict::discouraged ? "" : "no ban prevails";
  }

  std::string never_applies() const {
    if (problem.form == "already-referred" && weighing.refers.empty()) return "no red flag fires";
    if (problem.form == "already-outside" && !weighing.outside) return "the person is not outside";
    return std::ranges::all_of(problem.sentences, [&](const auto& c) { return speaks(c); }) ? "" : "the sentence does not fire";
  }

  std::string claim() const {
    for (const auto& c : ruleset.claims) {
      if (c.sentence != problem.sentences.at(0).tree_sentence) continue;
      if (!holds(ruleset, c.when, person, &weighing, reading)) return "a person of whom the claim does not speak";
      return holds(ruleset, c.condition, person, &weighing, reading) == c.never ? "" : "a person for whom the claim holds";
    }
    return "a claim that nobody finds";
  }

  const Ruleset& ruleset;
  const Problem& problem;
  const Profile& person;
  const Reading reading;
  const Index practice, choice;
  const Weighing weighing;
};

// Kinds that come with a person for whom they show.
bool needs_witness(const Problem& p) {
  if (p.kind == "never-applies") return !p.form.empty();
  return p.kind == "contradiction" || p.kind == "dissent" || p.kind == "silence" || p.kind == "choice-clash" ||
         p.kind == "choice-empty" || p.kind == "claim-refuted" || p.kind == "expectation-failed" || p.kind == "dose-clash" ||
         p.kind == "dose-missing" || p.kind == "broken-company" || p.kind == "order-loop";
}

}  // namespace

TEST_CASE("every problem told of the worlds that can have a witness has one, and the evaluator shows it there") {
  unsigned replayed = 0;
  for (const auto& edition : every_edition()) {
    const auto& [ruleset, report] = checked(edition);
    std::string wrong;
    for (const auto& p : report.problems) {
      if (!p.witness) {
        if (needs_witness(p)) wrong += "no witness: " + show(ruleset, p);
        continue;
      }
      ++replayed;
      const std::string fault = Replay(ruleset, p).fault();
      if (!fault.empty()) wrong += fault + ": " + show(ruleset, p);
    }
    INFO(edition.name);
    CHECK(wrong == "");
  }
  CHECK(replayed >= 40);
}

TEST_CASE("every share told of the worlds lies between nothing and all, and its region is in words") {
  for (const auto& edition : every_edition()) {
    const auto& [ruleset, report] = checked(edition);
    for (const auto& p : report.problems) {
      if (!p.has_share) continue;
      INFO(edition.name << "\n" << show(ruleset, p));
      CHECK(p.share.low >= 0);
      CHECK(p.share.low <= p.share.high);
      CHECK(p.share.high <= 1);
      CHECK(p.share.exact == (p.share.low == p.share.high));
      CHECK_FALSE(p.region.empty());
    }
  }
}
