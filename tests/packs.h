// tests/packs.h: a ruleset beside the pack that is made of it, and whether both say the same of a person.
//
// A pack holds the findings, practices and choices of its ruleset in their order, the reading of the whole and then one for each
// school, and of the sentences those that say something of one person (shipped_sentences).
#pragma once

#include <catch2/catch.hpp>

#include <algorithm>
#include <string>
#include <vector>

#include "compiler/dose.h"
#include "compiler/evaluate.h"
#include "compiler/ship/ship.h"
#include "runtime/weigh.h"

namespace betony::testing {

// Shipped, written and read again; whatever problems it has.
inline runtime::Pack packed(const Ruleset& ruleset, const Report& report) {
  const bool even_so = !report.settled() || report.count(Severity::error) > 0;
  const auto bytes = runtime::write_pack(ship::pack_of(ruleset, report, {"test", even_so}));
  auto read = runtime::read_pack(bytes);
  INFO(read.wrong);
  REQUIRE(read.pack);
  CHECK(runtime::write_pack(*read.pack) == bytes);
  return std::move(*read.pack);
}

inline runtime::Answers answers_of(const Profile& profile) {
  runtime::Answers answers;
  for (const auto& v : profile) {
    auto& answer = answers.emplace_back();
    if (v) answer = runtime::Value{static_cast<runtime::Value::Kind>(v->kind), v->word, runtime::Number::read(v->number.get_str(), 4096).value()};
  }
  return answers;
}

inline runtime::Index reading_in_pack(Reading reading) { return reading.school == no_index ? 0 : reading.school + 1; }

// The sentences of the ruleset in the order in which they stand in the pack.
inline std::vector<Index> shipped_sentences(const Ruleset& ruleset) {
  using Kind = Sentence::Kind;
  std::vector<Index> out;
  for (Index s = 0; s < ruleset.sentences.size(); ++s) {
    switch (ruleset.sentences[s].kind) {
      case Kind::follows: case Kind::precedes: case Kind::needs: case Kind::leads_to: case Kind::never_with:
      case Kind::apart: case Kind::time: case Kind::takes: case Kind::uses: break;
      default: out.push_back(s);
    }
  }
  return out;
}

// Sentences of the pack as those of the ruleset, ascending.
inline std::vector<Index> unpacked(const std::vector<Index>& shipped, const std::vector<runtime::Index>& in_pack) {
  std::vector<Index> out;
  for (runtime::Index s : in_pack) out.push_back(shipped.at(s));
  std::sort(out.begin(), out.end());
  return out;
}

inline std::vector<Index> sorted(std::vector<Index> list) {
  std::sort(list.begin(), list.end());
  return list;
}

inline bool same_range(const Interval& a, const runtime::Range& b) {
  const auto same = [](const std::optional<Rational>& x, const std::optional<runtime::Number>& y) {
    return x.has_value() == y.has_value() && (!x || runtime::Number::read(x->get_str(), 4096) == *y);
  };
  return same(a.low, b.low) && same(a.high, b.high);
}

inline bool same_part(const std::optional<SettledDose::Part>& a, const std::optional<runtime::SettledDose::Part>& b) {
  return a.has_value() == b.has_value() && (!a || (a->clash == b->clash && same_range(a->interval, b->range)));
}

inline bool same_dose(const SettledDose& a, const runtime::SettledDose& b) {
  if (b.open || a.amounts.size() != b.amounts.size()) return false;
  for (const SettledDose::Part& part : a.amounts)
    if (std::none_of(b.amounts.begin(), b.amounts.end(), [&](const auto& other) { return same_part(part, other); })) return false;
  return same_part(a.often, b.often) && same_part(a.length, b.length) &&
         std::is_permutation(a.words.begin(), a.words.end(), b.words.begin(), b.words.end());
}

// What differs between the evaluator and the pack of a whole person, in words; empty where nothing does.
inline std::string difference(const Ruleset& ruleset, const runtime::Pack& pack, const Profile& profile, Reading reading) {
  const Weighing wanted = evaluate(ruleset, profile, reading);
  const runtime::Weighing got = runtime::weigh(pack, answers_of(profile), reading_in_pack(reading));
  const std::vector<Index> shipped = shipped_sentences(ruleset);
  if (got.possible != !broken_background(ruleset, profile)) return "the background";
  if ((got.applies == runtime::Truth::no) != wanted.outside || got.applies == runtime::Truth::open) return "whom it is about";
  if (sorted(wanted.refers) != unpacked(shipped, got.refers)) return "the red flags";
  for (Index p = 0; p < ruleset.practices.size(); ++p) {
    const PracticeVerdict& a = wanted.practices[p];
    const runtime::PracticeTold& b = got.practices[p];
    const std::string& name = ruleset.practices[p].name;
    if (!b.settled()) return name + " is not settled";
    const runtime::Told wants{static_cast<runtime::Verdict>(a.verdict), a.with_care};
    if (b.possible[0] != wants) return "the verdict of " + name;
    if (sorted(a.because) != unpacked(shipped, b.because)) return "why " + name;
    if (sorted(a.defeated) != unpacked(shipped, b.defeated)) return "what was defeated in " + name;
    if (a.cautions != b.cautions) return "the cautions of " + name;
    const bool done = a.verdict == tree::Verdict::advised || a.verdict == tree::Verdict::allowed;
    if (done && !same_dose(settle_dose(ruleset, p, profile, reading), b.dose)) return "the dose of " + name;
  }
  for (Index c = 0; c < ruleset.choices.size(); ++c) {
    const std::vector<Index>& fits = wanted.choices[c].fits;
    if (got.choices[c].fits != fits || got.choices[c].possible != fits) return "what fits of " + ruleset.choices[c].name;
  }
  return {};
}

}  // namespace betony::testing
