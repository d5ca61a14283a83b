// tests/pack_replay.h: whether a pack shows every problem of the ruleset it was shipped from, at the problem's witness.
//
//   PackReplay replay("published heat_bands.bty", ruleset, report);
//   CHECK(replay.wrong == "");
//
// The ruleset is shipped with its problems, read again, and asked for each witness in the reading concerned. Looked at are: that the
// pack says of the witness what the evaluator says (tests/packs.h), and in a block the same verdict; that each sentence of the pack
// fires where it does by the evaluator; and that the problem shows by what the pack says (tests/replay.h). Of order, company and claims the pack
// holds the verdicts and not the sentences: whether those speak, and what a claim asks of the findings, is taken from the ruleset. What
// never applies must not do so for any witness.
#pragma once

#include <iostream>
#include <map>

#include "runtime/blocks.h"
#include "runtime/inputs.h"
#include "tests/packs.h"
#include "tests/replay.h"

namespace betony::testing {

// A person as the pack's answers, with every gate of its program.
struct PackPerson {
  PackPerson(const runtime::Pack& pack, const Profile& profile)
      : answers(answers_of(profile)), slots(pack.program, runtime::inputs_of(pack, answers)) {}
  const runtime::Answers answers;
  const runtime::Slots slots;

  // Alone in a block.
  runtime::Block block(const runtime::Pack& pack) const {
    runtime::Block out;
    out.clear(pack.program.inputs);
    out.persons = 1;
    for (runtime::Index input = 0; input < pack.program.inputs; ++input)
      if (slots[2 * (1 + input)] == runtime::Truth::yes) out.put(input, 0);
    return out;
  }
};

// What the pack says of the problem's witness, with the ruleset's indices.
inline Spoken spoken_by_pack(const Ruleset& ruleset, const runtime::Pack& pack, const Problem& problem) {
  const runtime::Index which = reading_in_pack(reading_of(ruleset, problem));
  const PackPerson person(pack, *problem.witness);
  const runtime::Weighing told = runtime::weigh(pack, person.answers, which);
  const std::vector<Index> shipped = shipped_sentences(ruleset);
  Spoken out;
  out.weighing.outside = told.applies == runtime::Truth::no;
  out.weighing.refers = unpacked(shipped, told.refers);
  for (const runtime::PracticeTold& p : told.practices) {
    REQUIRE(p.settled());
    const runtime::Told& one = p.possible[0];
    out.weighing.practices.push_back(
        {static_cast<tree::Verdict>(one.verdict), one.with_care, p.cautions, unpacked(shipped, p.because), unpacked(shipped, p.defeated)});
  }
  for (const runtime::ChoiceTold& c : told.choices) out.weighing.choices.push_back({c.fits});
  out.fires = evaluated(ruleset, problem).fires;
  for (Index s = 0; s < shipped.size(); ++s) out.fires[shipped[s]] = person.slots[pack.readings[which].fires[s]] == runtime::Truth::yes;
  const Index practice = named(ruleset.practices, problem.practice);
  if (practice == no_index) return out;
  const runtime::SettledDose& dose = told.practices[practice].dose;
  out.has_amount_or_words = !dose.amounts.empty() || !dose.words.empty();
  out.dose_clash = clashes(dose);
  return out;
}

struct PackReplay {
  PackReplay(const std::string& name, const Ruleset& ruleset, const Report& report) : ruleset(ruleset), pack(packed(ruleset, report)) {
    for (const Problem& p : report.problems) {
      const std::string fault = p.witness ? fault_of(p) : needs_witness(p) ? "no witness" : "";
      if (p.witness) ++shown[p.kind + (p.form.empty() ? "" : "/" + p.form)];
      if (!fault.empty()) wrong += name + ": " + p.kind + "/" + p.form + " of " + p.practice + p.choice + " " + p.school + ": " + fault + "\n";
      if (p.kind != "never-applies" || !p.form.empty()) continue;
      ++never_applying;
      wrong += speaking(name, p, report);
    }
  }

  std::string wrong;                        // a line each; empty where every problem shows
  std::map<std::string, unsigned> shown;    // witnesses by kind and form
  unsigned never_applying = 0;              // without a witness

 private:
  std::string fault_of(const Problem& p) const {
    const std::string differs = difference(ruleset, pack, *p.witness, reading_of(ruleset, p));
    if (!differs.empty()) return "the pack says something else than the evaluator: " + differs;
    if (!same_in_a_block(p)) return "a block says something else";
    Spoken spoken = spoken_by_pack(ruleset, pack, p);
    if (spoken.fires != evaluated(ruleset, p).fires) return "another sentence fires in the pack";
    return Replay(ruleset, p, std::move(spoken)).fault();
  }

  bool same_in_a_block(const Problem& p) const {
    const runtime::Index which = reading_in_pack(reading_of(ruleset, p));
    const PackPerson person(pack, *p.witness);
    const runtime::Weighing told = runtime::weigh(pack, person.answers, which);
    const runtime::BlockWeigher weigher(pack, which);
    runtime::BlockWeigher::Scratch scratch;
    std::vector<std::uint8_t> codes(weigher.practices() * runtime::block_persons);
    weigher.weigh(person.block(pack), scratch, codes.data());
    for (std::size_t i = 0; i < weigher.practices(); ++i) {
      const runtime::Told& one = told.practices[i].possible.at(0);
      if (codes[i * runtime::block_persons] != static_cast<unsigned>(one.verdict) + (one.with_care ? 8 : 0)) return false;
    }
    return true;
  }

  // The persons of the report for whom a sentence that never applies speaks all the same.
  std::string speaking(const std::string& name, const Problem& never, const Report& report) const {
    std::string out;
    const std::vector<Index> shipped = shipped_sentences(ruleset);
    for (const Problem& p : report.problems) {
      if (!p.witness) continue;
      const PackPerson person(pack, *p.witness);
      for (Index s = 0; s < shipped.size(); ++s)
        if (ruleset.sentences[shipped[s]].place == never.sentences.at(0).place && person.slots[pack.readings[0].fires[s]] != runtime::Truth::no)
          out += name + ": speaks, though it never applies: " + never.sentences[0].text + "\n";
    }
    return out;
  }

  const Ruleset& ruleset;
  const runtime::Pack pack;
};

// Of several rulesets together, and a line of figures.
struct PackReplays {
  void add(const std::string& name, const Ruleset& ruleset, const Report& report) {
    const PackReplay replay(name, ruleset, report);
    wrong += replay.wrong;
    never_applying += replay.never_applying;
    ++rulesets;
    for (const auto& [kind, count] : replay.shown) shown[kind] += count, witnesses += count;
  }
  void print(const std::string& of) const {
    std::cout << "witnesses replayed through packs of " << rulesets << " " << of << ": " << witnesses;
    for (const auto& [kind, count] : shown) std::cout << ", " << kind << " " << count;
    std::cout << "; never applying " << never_applying << "\n";
  }

  std::string wrong;
  std::map<std::string, unsigned> shown;
  unsigned rulesets = 0, witnesses = 0, never_applying = 0;
};

}  // namespace betony::testing
