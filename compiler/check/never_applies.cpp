// Never applies: a sentence that fires on no possible profile; or only outside `Applies to`, or only where a
// red flag has already referred the person.
//
// The parts that collide are found by leaving out one after the other as long as nobody is left: first the
// whole background, then each background fact, then each part of the sentence's own condition.
#include <algorithm>

#include "compiler/check/checks.h"

namespace betony {
namespace {

using Node = Graph::Node;

struct Part {
  Form form;
  Place place;
  bool own;   // of the sentence; else a background fact
  bool negated = false;
  Index sentence = no_index;  // a background fact: into Ruleset::tree.sentences
};

void add_parts(Meaning& meaning, const Cond& condition, bool negated, std::vector<Part>& parts) {
  if (!negated && condition.kind == Cond::Kind::all) {
    for (const Cond& part : condition.parts) add_parts(meaning, part, false, parts);
    return;
  }
  Form form = meaning.condition(condition, {});
  if (negated) form = meaning.conditions().negation(form);
  parts.push_back({form, condition.place, true, negated});
}

// The background facts come first, so that they are the first to be left out.
std::vector<Part> with_background(Study& study, const Space& space, const std::vector<Part>& own) {
  std::vector<Part> parts;
  for (const People::Fact& fact : study.people.facts())
    if (fact.kind == People::Kind::background && space.reaches(fact.form)) {
      const Index sentence = study.ruleset.backgrounds[fact.sentence].sentence;
      parts.push_back({fact.form, study.ruleset.tree.sentences[sentence].place, false, false, sentence});
    }
  parts.insert(parts.end(), own.begin(), own.end());
  return parts;
}

// A smallest-by-inclusion list of parts that nobody meets together.
std::vector<Part> colliding(Space& space, std::vector<Part> parts) {
  const auto nobody = [&](const std::vector<Part>& left) {
    Node all = Graph::yes;
    for (const Part& part : left) all = space.graph().both(all, space.of(part.form));
    return all == Graph::no;
  };
  std::vector<Part> own;
  for (const Part& part : parts)
    if (part.own) own.push_back(part);
  if (nobody(own)) parts = own;
  for (std::size_t i = 0; i < parts.size() && parts.size() > 1;) {
    std::vector<Part> fewer = parts;
    fewer.erase(fewer.begin() + static_cast<std::ptrdiff_t>(i));
    if (nobody(fewer)) parts = std::move(fewer);
    else ++i;
  }
  return parts;
}

// In a space of its own: where parts cancel out, the sentence as a whole may name none of their findings.
void tell_impossible(Study& study, Index sentence, Problem p) {
  const Sentence& s = study.ruleset.sentences[sentence];
  std::vector<Part> own;
  if (s.when.kind != Cond::Kind::always) add_parts(study.meaning, s.when, false, own);
  if (s.unless) add_parts(study.meaning, *s.unless, true, own);
  std::vector<Form> asked;
  for (const Part& part : own) asked.push_back(part.form);
  Space space(study.meaning, study.people, asked, study.limit());
  const std::vector<Part> parts = colliding(space, with_background(study, space, own));
  Concerned here = study.concerned(sentence, false);
  std::vector<std::string> words;
  for (const Part& part : parts) {
    if (part.own) {
      here.marks.push_back({part.place});
      words.push_back((part.negated ? "unless " : "") + written(study.ruleset.tree, part.place));
    } else {
      words.push_back("what " + study.line_of(part.place) + " says cannot be");
    }
  }
  p.sentences.push_back(std::move(here));
  for (const Part& part : parts)
    if (!part.own) p.sentences.push_back({part.sentence, part.place, "", written(study.ruleset.tree, part.place), {}});
  p.matter = "this never applies to anyone";
  p.sense = words.size() == 1 ? "No person can meet \"" + words[0] + "\"." : "No person can meet these together: " + listed(words) + ".";
  p.write = {"a condition that someone can meet, or take " + study.line_of(sentence) + " out"};
  study.tell(std::move(p));
}

// What a practice uses and how long it takes is said of the practice, not of persons, unless it has a condition.
bool is_heard_of_someone(const Sentence& s) {
  using Kind = Sentence::Kind;
  if (s.kind == Kind::otherwise || s.kind == Kind::choice_otherwise) return false;
  const bool of_practice = s.kind == Kind::uses || s.kind == Kind::takes || s.kind == Kind::time;
  return !of_practice || s.when.kind != Cond::Kind::always || s.unless;
}

std::string subject_of(const Study& study, const Sentence& s) {
  return s.practices.size() == 1 ? study.ruleset.practices[s.practices[0]].name : "";
}

}  // namespace

void check_never_applies(Study& study, Space& space, const std::vector<Index>& sentences, SentenceFacts& facts) {
  Graph& graph = space.graph();
  for (Index sentence : sentences) {
    const Sentence& s = study.ruleset.sentences[sentence];
    // A choice in the condition and a red flag may be a school's: a sentence is heard if any reading hears it.
    std::vector<Node> readings;
    bool heard = false;
    for (Reading reading : study.all_readings) {
      if (!in_reading(study.ruleset, s, reading)) continue;
      readings.push_back(space.of(study.meaning.fires(sentence, reading)));
      heard = heard || graph.meet(readings.back(), space.looked_at(reading));
    }
    const Node fires = graph.any(readings);
    if (!is_heard_of_someone(s)) continue;
    if (is_companion(study.ruleset, sentence)) {
      facts[sentence].told = facts[sentence - 1].told;
      continue;
    }
    Problem p = study.problem("never-applies", "", Severity::error);
    p.practice = subject_of(study, s);
    if (s.choice != no_index) p.choice = study.ruleset.choices[s.choice].name;
    const Node possible = graph.both(fires, space.background());
    if (possible == Graph::no) {
      facts[sentence].told = true;
      tell_impossible(study, sentence, std::move(p));
      continue;
    }
    const bool within = graph.meet(fires, space.applies());
    if (within && (s.kind == Sentence::Kind::refer || heard)) continue;
    facts[sentence].told = true;
    p.severity = Severity::note;
    p.form = within ? "already-referred" : "already-outside";
    p.sentences.push_back(study.concerned(sentence));
    const Node shown = within ? graph.both(fires, space.applies()) : possible;
    p.witness = study.witness(space, shown, {}, &p.no_fraction);
    p.witness_findings = space.findings(shown);
    if (s.practices.size() == 1) study.replay(p, s.practices[0], {});
    p.matter = within ? "a red flag speaks first" : "the ruleset is not about them";
    p.sense = within ? "Whoever this sentence speaks for has already been referred by a red flag, so it is never heard."
                     : "Whoever this sentence speaks for lies outside what the ruleset applies to, so it is never heard.";
    study.tell(std::move(p));
  }
}

bool check_anybody(Study& study) {
  const UsualAnswers& usual = study.common.usual;
  const bool background = usual.nobody_possible();
  if (!background && !usual.nobody_within()) return true;
  Problem p = study.problem("never-applies", "", Severity::error);
  for (const Background& fact : study.ruleset.backgrounds) p.sentences.push_back(study.declared(fact.sentence, fact.place));
  if (!background)
    for (Index i = 0; i < study.ruleset.tree.sentences.size(); ++i)
      if (std::holds_alternative<tree::AppliesLine>(study.ruleset.tree.sentences[i].form))
        p.sentences.push_back(study.declared(i, study.ruleset.tree.sentences[i].place));
  p.nobody = true;
  p.matter = "no person is possible";
  p.sense = background ? "What cannot be, taken together, leaves nobody; nothing else was looked at."
                       : "Nobody who is possible is one of those the ruleset applies to; nothing else was looked at.";
  p.write = {"It cannot be that …, with conditions that leave someone"};
  study.tell(std::move(p));
  return false;
}

void check_red_flags(Study& study, SentenceFacts& facts) {
  const std::vector<Index>& flags = study.ruleset.red_flags;
  std::vector<Form> asked;
  for (Index s : flags)
    for (Reading reading : study.all_readings)
      if (in_reading(study.ruleset, study.ruleset.sentences[s], reading)) asked.push_back(study.meaning.fires(s, reading));
  Space space(study.meaning, study.people, asked, study.limit());
  Graph& graph = space.graph();
  check_never_applies(study, space, flags, facts);
  for (Reading reading : study.all_readings) {
    std::vector<Index> held;
    std::vector<Node> nodes;
    for (Index s : flags)
      if (in_reading(study.ruleset, study.ruleset.sentences[s], reading)) {
        held.push_back(s);
        nodes.push_back(graph.both(space.of(study.meaning.fires(s, reading)), space.applies()));
      }
    std::vector<Node> after(nodes.size() + 1, Graph::no);
    for (std::size_t i = nodes.size(); i-- > 0;) after[i] = graph.either(nodes[i], after[i + 1]);
    Node before = Graph::no;
    for (std::size_t i = 0; i < nodes.size(); ++i) {
      if (!graph.inside(nodes[i], graph.either(before, after[i + 1]))) facts[held[i]].matters = true;
      before = graph.either(before, nodes[i]);
      if (reading.school == no_index) facts[held[i]].alike = nodes[i];
    }
  }
  note_parts_of_flags(study, space, asked, facts);
}

}  // namespace betony
