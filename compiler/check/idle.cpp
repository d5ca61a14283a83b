// Idle: a sentence that could be taken out of the book and nothing would change: no verdict, no care, no
// dose, no choice, for nobody, in no reading.
//
// Every practice (choice, red flag) notes which of its sentences matter (bearing.h); what matters nowhere is
// told once all have been looked at.
#include <algorithm>

#include "compiler/check/bearing.h"
#include "compiler/dose.h"

namespace betony {
namespace {

using Node = Graph::Node;

class Matters {
 public:
  Matters(Study& study, PracticeStudy& practice, Reading reading, SentenceFacts& facts)
      : study_(study), practice_(practice), reading_(reading), facts_(facts), space_(practice.space), graph_(space_.graph()),
        v_(practice.voices.at(reading.school)), bearing_(study, practice, reading) {}

  void note() {
    for (const auto* voices : {&v_.contraindicated, &v_.discouraged, &v_.indicated, &v_.allowed, &v_.cautions})
      for (const auto& voice : *voices) {
        const Index s = voice.sentence;
        if (facts_[s].matters || is_companion(study_.ruleset, s)) continue;  // two written as one: both go
        facts_[s].matters = bearing_.of(s, space_.of(study_.meaning.fires(s, reading_))) != Graph::no;
      }
    otherwise(graph_.any({v_.any_contraindicated, v_.any_discouraged, v_.any_indicated, v_.any_allowed}));
  }

 private:
  void otherwise(Node spoken) {
    if (!v_.otherwise || facts_[*v_.otherwise].matters) return;
    const Voices without = voices(space_, practice_.practice, reading_, *v_.otherwise);
    const Node changed = bearing_.differs(graph_.leaf(without.otherwise_code.number()), v_.otherwise_code);
    if (graph_.meet(graph_.without(changed, spoken), space_.looked_at(reading_))) facts_[*v_.otherwise].matters = true;
  }

  Study& study_;
  PracticeStudy& practice_;
  Reading reading_;
  SentenceFacts& facts_;
  Space& space_;
  Graph& graph_;
  const Voices& v_;
  Bearing bearing_;
};

bool can_be_idle(Sentence::Kind kind) {
  switch (kind) {
    case Sentence::Kind::indicated: case Sentence::Kind::allowed: case Sentence::Kind::discouraged:
    case Sentence::Kind::contraindicated: case Sentence::Kind::caution: case Sentence::Kind::otherwise: case Sentence::Kind::dose:
    case Sentence::Kind::take: case Sentence::Kind::refuse: case Sentence::Kind::choice_otherwise: case Sentence::Kind::refer:
      return true;
    default: return false;
  }
}

// What has to be equal for two sentences to be told together, beside firing alike.
using Likeness = std::tuple<Sentence::Kind, std::vector<Index>, Index, std::vector<Index>, std::string, std::int64_t, std::uint64_t>;

Likeness likeness(const Ruleset& ruleset, const SentenceFact& fact, Index sentence) {
  const Sentence& s = ruleset.sentences[sentence];
  const bool own = s.kind == Sentence::Kind::otherwise || s.kind == Sentence::Kind::choice_otherwise;
  const std::string said = s.kind == Sentence::Kind::caution ? s.text : s.kind == Sentence::Kind::dose ? dose_words(ruleset, sentence) : "";
  return {s.kind, s.practices, s.choice, s.values, said,
          own ? VerdictCode{s.verdict, s.with_care}.number() : 0, own ? 0 : fact.alike};
}

std::set<Index> sources_of(const Sentence& sentence) {
  std::set<Index> sources;
  for (const Citation& citation : sentence.citations) sources.insert(citation.source);
  return sources;
}

bool from_different_sources(const Study& study, const std::vector<Index>& group) {
  std::set<std::set<Index>> cited;
  for (Index sentence : group)
    if (const auto sources = sources_of(study.ruleset.sentences[sentence]); !sources.empty()) cited.insert(sources);
  return cited.size() > 1;
}

// A space of its own, only to show where an idle sentence speaks.
void show_where(Study& study, Problem& p, Index sentence) {
  const Sentence& s = study.ruleset.sentences[sentence];
  if (s.kind == Sentence::Kind::otherwise || s.kind == Sentence::Kind::choice_otherwise) return;
  const auto heard = std::find_if(study.all_readings.begin(), study.all_readings.end(),
                                  [&](Reading r) { return in_reading(study.ruleset, s, r); });
  const Form fires = study.meaning.fires(sentence, *heard);
  Space space(study.meaning, study.people, {fires}, study.limit());
  const Node whole = s.kind == Sentence::Kind::refer ? space.applies() : space.looked_at(*heard);
  const Node region = space.graph().both(space.of(fires), whole);
  if (region != Graph::no) {
    study.show(p, space, region, whole, *heard);
    if (s.practices.size() == 1 && s.kind != Sentence::Kind::refer) study.replay(p, s.practices[0], *heard);
  }
}

}  // namespace

void check_idle(Study& study, const std::vector<Index>& group) {
  const Sentence& first = study.ruleset.sentences[group[0]];
  const bool twice = group.size() > 1 && from_different_sources(study, group);
  Problem p = study.problem("idle", twice ? "twice-attested" : "sentence", twice ? Severity::note : Severity::question);
  if (first.practices.size() == 1) p.practice = study.ruleset.practices[first.practices[0]].name;
  if (first.choice != no_index) p.choice = study.ruleset.choices[first.choice].name;
  std::vector<std::string> lines;
  for (Index s : group) {
    p.sentences.push_back(study.concerned(s, false));
    lines.push_back(study.line_of(s));
  }
  show_where(study, p, group[0]);
  const std::string last = study.line_of(group.back());
  if (twice) {
    p.matter = "the same is said twice";
    p.sense = listed(lines) + " say the same, from different sources.";
  } else if (group.size() > 1) {
    p.matter = "the same is said twice";
    p.sense = "These sentences say the same; without one of them nothing would change.";
    p.write = {"take " + last + " out"};
  } else {
    p.matter = "this sentence changes nothing";
    p.sense = "If it were taken out, every person would be told the same as before.";
    if (first.kind == Sentence::Kind::otherwise) p.sense = "The other sentences already speak for everyone; this one is never heard, or says what is said anyway.";
    p.write = {"take " + last + " out, or say whom it was meant for that the others do not reach"};
  }
  study.tell(std::move(p));
}

void note_what_matters(Study& study, PracticeStudy& practice, SentenceFacts& facts) {
  for (Reading reading : study.all_readings) Matters(study, practice, reading, facts).note();
  Graph& graph = practice.space.graph();
  const Node looked_at = practice.space.looked_at({});
  for (Index s : study.ruleset.practices[practice.practice].sentences)
    if (facts[s].alike == 0) facts[s].alike = 2 + graph.both(practice.space.of(study.meaning.fires(s, {})), looked_at);
}

std::vector<std::vector<Index>> idle_sentences(const Ruleset& ruleset, const AllFacts& facts) {
  std::map<Likeness, std::vector<Index>> groups;
  for (Index s = 0; s < facts.size(); ++s) {
    const auto& fact = facts[s];
    if (!fact || !can_be_idle(ruleset.sentences[s].kind) || fact->told || fact->matters || !fact->looked_at) continue;
    if (!is_companion(ruleset, s)) groups[likeness(ruleset, *fact, s)].push_back(s);  // written as one, told once
  }
  std::vector<std::vector<Index>> result;
  for (auto& [like, group] : groups) result.push_back(std::move(group));
  return result;
}

}  // namespace betony
