// Every ruleset of four tiny grammars about verdicts and choices, all of them: reading, evaluation and every check against plain enumeration.
#include <catch2/catch.hpp>

#include "tests/property/gauntlet.h"

namespace betony::referee {
namespace {

using Kind = Sentence::Kind;

std::vector<Sentence> each_kind(const std::vector<Kind>& kinds, const std::vector<Cond>& conditions) {
  std::vector<Sentence> list;
  for (Kind kind : kinds)
    for (const Cond& c : conditions) list.push_back(says(kind, c));
  return list;
}

const std::vector<Kind> verdict_kinds = {Kind::indicated, Kind::allowed, Kind::contraindicated, Kind::discouraged};

std::vector<Cond> few_conditions() {
  return {Cond(), holds(0), no(holds(0)), holds(1), all_of({holds(0), holds(1)}), compare(2, Cond::How::at_least, 1)};
}

// The first ban gets a label, and each indication whose bit is set defies it. False: it cannot be so.
bool defy(Model& m, unsigned which) {
  if (which == 0) return true;
  int ban = -1;
  unsigned indications = 0;
  for (std::size_t i = 0; i < m.sentences.size(); ++i) {
    const bool bans = m.sentences[i].kind == Kind::contraindicated || m.sentences[i].kind == Kind::discouraged;
    if (bans && ban < 0) ban = static_cast<int>(i);
    if (m.sentences[i].kind == Kind::indicated || m.sentences[i].kind == Kind::allowed) ++indications;
  }
  if (ban < 0 || which >> indications != 0) return false;
  m.sentences[static_cast<std::size_t>(ban)].label = "the ban";
  unsigned bit = 0;
  for (Sentence& s : m.sentences)
    if ((s.kind == Kind::indicated || s.kind == Kind::allowed) && (which >> bit++ & 1)) s.despite = {ban};
  return true;
}

TEST_CASE("all rulesets of up to three verdict sentences, with and without despite, Otherwise and prevailing") {
  Gauntlet gauntlet("three verdict sentences");
  each_selection(each_kind(verdict_kinds, few_conditions()), 3, [&](const std::vector<Sentence>& chosen) {
    for (unsigned defying : {0u, 1u, 2u, 3u})
      for (bool last : {false, true})
        for (bool prevail : {false, true}) {
          Model m = tiny(chosen);
          if (!defy(m, defying)) continue;
          if (last) m.sentences.push_back(otherwise(Verdict::allowed));
          m.prevail = prevail;
          gauntlet.run(m);
        }
  });
  CHECK(gauntlet.rulesets() > 10000);
}

TEST_CASE("all rulesets of up to two sentences among cautions, background facts, limits and red flags") {
  Gauntlet gauntlet("facts, limits and red flags");
  std::vector<Sentence> sentences = each_kind({Kind::indicated, Kind::contraindicated, Kind::caution},
                                              {Cond(), holds(0), no(holds(0)), holds(1), compare(2, Cond::How::at_least, 1)});
  const std::vector<Cond> facts = {Cond(), holds(0), all_of({holds(0), holds(1)}), compare(2, Cond::How::over, 0)};
  each_selection(sentences, 2, [&](const std::vector<Sentence>& chosen) {
    for (const Cond& fact : facts)
      for (const Cond& limit : facts)
        for (const Cond& flag : facts) {
          Model m = tiny(chosen);
          Sentence last = otherwise(Verdict::allowed);
          last.with_care = true;
          m.sentences.push_back(last);
          if (fact.kind != Cond::Kind::always) m.backgrounds = {{fact}};
          if (limit.kind != Cond::Kind::always) m.applies = {{no(limit)}};
          if (flag.kind != Cond::Kind::always) m.sentences.push_back(refer(flag));
          gauntlet.run(m);
        }
  });
  CHECK(gauntlet.rulesets() > 5000);
}

TEST_CASE("all rulesets of up to three sentences about a choice of each type") {
  Gauntlet gauntlet("choices");
  std::vector<Sentence> sentences;
  for (Kind kind : {Kind::take, Kind::refuse})
    for (int value : {0, 1})
      for (const Cond& c : {Cond(), holds(0), holds(1), no(holds(0))}) sentences.push_back(chooses(kind, 0, {value}, c));
  each_selection(sentences, 3, [&](const std::vector<Sentence>& chosen) {
    for (Choice::Kind kind : {Choice::Kind::one_of, Choice::Kind::highest, Choice::Kind::lowest, Choice::Kind::any_of})
      for (bool last : {false, true}) {
        Model m = tiny(chosen);
        m.choices = {{kind, "rubbing oil", {"seal oil", "nut oil", "pitch"}}};
        if (last) m.sentences.push_back(chooses(Kind::choice_otherwise, 0, {2}));
        m.sentences.push_back(says(Kind::indicated, among(Cond::Of::choice, 0, {0})));
        if (last) m.sentences.push_back(says(Kind::uses)), m.sentences.push_back(says(Kind::contraindicated, holds(1)));
        gauntlet.run(m);
      }
  });
  CHECK(gauntlet.rulesets() > 5000);
}

TEST_CASE("all rulesets of up to three sentences cited from the books of two schools or from none") {
  Gauntlet gauntlet("two schools");
  std::vector<Sentence> sentences;
  for (const Sentence& s : each_kind({Kind::indicated, Kind::contraindicated}, {Cond(), holds(0), all_of({holds(0), holds(1)})}))
    for (const std::vector<int>& works : {std::vector<int>{}, {0}, {1}}) sentences.push_back(cited(s, works));
  each_selection(sentences, 3, [&](const std::vector<Sentence>& chosen) {
    for (bool last : {false, true}) {
      Model m = tiny(chosen);
      m.sources = {{"SB", "Salt book", 1900, std::nullopt}, {"WN", "Winter notes", 1901, std::nullopt}};
      m.schools = {{"upper quay", {0}}, {"lower quay", {1}}};
      if (last) m.sentences.push_back(otherwise(Verdict::allowed));
      gauntlet.run(m);
    }
  });
  CHECK(gauntlet.rulesets() > 2000);
}

}  // namespace
}  // namespace betony::referee
