// Silence: a person of R whom no sentence of a practice speaks for.
#include <algorithm>

#include "compiler/check/checks.h"

namespace betony {
namespace {

using Node = Graph::Node;
using Kind = Sentence::Kind;

bool speaks(const Sentence& sentence) {
  return sentence.kind == Kind::indicated || sentence.kind == Kind::allowed || sentence.kind == Kind::discouraged ||
         sentence.kind == Kind::contraindicated || sentence.kind == Kind::otherwise;
}

// Sentences that would speak for the witness if one answer were another: the neighbours of the hole.
std::vector<Index> neighbours(Study& study, Index practice, const Profile& witness, Reading reading) {
  constexpr std::size_t most_looked_at = 200, most_shown = 6;
  std::vector<Index> result;
  std::size_t looked_at = 0;
  for (Index s : study.ruleset.practices[practice].sentences) {
    const Sentence& sentence = study.ruleset.sentences[s];
    if (!speaks(sentence) || !in_reading(study.ruleset, sentence, reading)) continue;
    if (++looked_at > most_looked_at || result.size() == most_shown) break;
    bool near = false;
    for (Index variable : study.meaning.conditions()[study.meaning.fires(s, reading)].support) {
      Profile other = witness;
      for (Index cell = 0; cell < study.universe.variables[variable].cells.size() && !near; ++cell) {
        Witnesses::fill(study.universe, variable, cell, other);
        near = fires(study.ruleset, sentence, other, reading);
      }
    }
    if (near) result.push_back(s);
  }
  return result;
}

Problem silence(Study& study, Index practice) {
  Problem p = study.problem("silence", "", Severity::question);
  p.practice = study.ruleset.practices[practice].name;
  return p;
}

void tell_nothing_said(Study& study, PracticeStudy& practice, Node looked_at, Reading reading) {
  const Practice& named = study.ruleset.practices[practice.practice];
  Problem p = silence(study, practice.practice);
  p.sentences.push_back(study.declared(named.sentence, named.place));
  study.show(p, practice.space, looked_at, looked_at, reading);
  study.replay(p, practice.practice, reading);
  p.matter = "nothing is said of it";
  p.sense = "The practice is named, and no sentence says whom it suits or who must keep away.";
  p.write = {"Indicated in …. or Contraindicated in …. under Practice " + named.name + ".", "Otherwise allowed. to cover everyone"};
  study.tell(std::move(p));
}

void tell_silence(Study& study, PracticeStudy& practice, Node region, Reading reading, const std::string& school) {
  const Practice& named = study.ruleset.practices[practice.practice];
  Problem p = silence(study, practice.practice);
  p.school = school;
  study.show(p, practice.space, region, practice.space.looked_at(reading), reading);
  study.replay(p, practice.practice, reading);
  if (p.witness)
    for (Index s : neighbours(study, practice.practice, *p.witness, reading)) p.sentences.push_back(study.concerned(s));
  if (p.sentences.empty()) p.sentences.push_back(study.declared(named.sentence, named.place));
  p.matter = school.empty() ? "the teaching falls silent" : "the reading of " + school + " falls silent";
  p.sense = std::string(school.empty() ? "No sentence" : "In the reading of " + school + " no sentence") +
            " speaks " + where_words(p) + ".";
  const std::string whom = p.region[0] == "every person" ? "" : " in " + p.region[0];
  p.write = {"Allowed" + whom + ". or another sentence for them", "Otherwise withheld. to cover everyone not spoken for"};
  study.tell(std::move(p));
}

}  // namespace

void check_silence(Study& study, PracticeStudy& practice) {
  const auto& sentences = study.ruleset.practices[practice.practice].sentences;
  const bool nothing_said = std::none_of(sentences.begin(), sentences.end(), [&](Index s) { return speaks(study.ruleset.sentences[s]); });
  std::map<std::pair<Node, Node>, std::vector<Reading>> regions;  // {region, those looked at}
  for (Reading reading : study.readings) {
    const Node silent = practice.space.of(study.meaning.verdict(practice.practice, tree::Verdict::silent, reading));
    const Node region = practice.space.graph().both(silent, practice.space.looked_at(reading));
    if (region != Graph::no) regions[{region, practice.space.looked_at(reading)}].push_back(reading);
  }
  if (nothing_said) {
    if (!regions.empty()) tell_nothing_said(study, practice, regions.begin()->first.second, regions.begin()->second[0]);
    return;
  }
  for (const auto& [key, readings] : regions) {
    study.once_or_each(readings, [&, region = key.first](Reading reading, const std::string& school) { tell_silence(study, practice, region, reading, school); });
  }
}

}  // namespace betony
