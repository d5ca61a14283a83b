// What nothing uses, what cites no source where others do, what has no question.
#include <algorithm>

#include "compiler/check/checks.h"
#include "compiler/walk.h"

namespace betony {
namespace {

struct Uses {
  std::vector<bool> findings, measures, tallies, leadings, terms;
  std::vector<std::set<Index>> words;  // of each finding, those asked for

  explicit Uses(const Ruleset& r)
      : findings(r.findings.size()), measures(r.measures.size()), tallies(r.tallies.size()), leadings(r.leadings.size()),
        terms(r.terms.size()), words(r.findings.size()) {
    for_each_condition(r, [this](const Cond& condition) {
      for_each_test(condition, [this](const Test& test) { use(test); });
      for_each_term(condition, [this](Index term) { terms[term] = true; });
    });
    for (const Measure& measure : r.measures) use(measure.formula);
    for (const Leading& leading : r.leadings)
      for (Index tally : leading.tallies) tallies[tally] = true;
  }

  void use(const Test& test) {
    switch (test.subject) {
      case Test::Subject::finding:
        findings[test.index] = true;
        words[test.index].insert(test.words.begin(), test.words.end());
        break;
      case Test::Subject::measure: measures[test.index] = true; break;
      case Test::Subject::tally: tallies[test.index] = true; break;
      case Test::Subject::leading: leadings[test.index] = true; break;
      case Test::Subject::choice: case Test::Subject::verdict: break;
    }
  }
  void use(const Formula& formula) {
    if (formula.kind == Formula::Kind::finding) findings[formula.index] = true;
    if (formula.kind == Formula::Kind::measure) measures[formula.index] = true;
    if (formula.kind == Formula::Kind::tally) tallies[formula.index] = true;
    for (const Formula& part : formula.parts) use(part);
  }
};

void tell_unused(Study& study, const std::string& what, const std::string& name, Index sentence, Place place) {
  Problem p = study.problem("unused", "", Severity::note);
  p.finding = name;
  p.sentences.push_back(study.declared(sentence, place));
  p.matter = "nothing asks for " + name;
  p.sense = "The " + what + " " + name + " is declared, and no sentence asks for it.";
  study.tell(std::move(p));
}

template <class Named>
void tell_unused(Study& study, const std::string& what, const std::vector<Named>& named, const std::vector<bool>& used) {
  for (std::size_t i = 0; i < named.size(); ++i)
    if (!used[i]) tell_unused(study, what, named[i].name, named[i].sentence, named[i].place);
}

// Value words of a finding that is asked for, which no condition names and which are not the usual one.
void tell_unused_words(Study& study, const Finding& finding, const std::set<Index>& asked) {
  for (Index word = 0; word < finding.values.size(); ++word) {
    const bool usual = finding.usual && finding.usual->kind == Value::Kind::word && finding.usual->word == word;
    if (asked.count(word) || usual) continue;
    Problem p = study.problem("unused", "", Severity::note);
    p.finding = finding.name;
    p.sentences.push_back(study.declared(finding.sentence, finding.place));
    p.matter = "nothing asks for " + finding.name + " " + finding.values[word];
    p.sense = "The value " + finding.values[word] + " of " + finding.name + " is declared; no sentence asks for it, and it is not the usual one.";
    study.tell(std::move(p));
  }
}

void check_unasked(Study& study) {
  std::set<std::string> told;
  for (const Finding& finding : study.ruleset.findings) {
    const std::string& name = finding.part_of.empty() ? finding.name : finding.part_of;
    if (finding.built_in || !finding.question.empty() || !told.insert(name).second) continue;
    Problem p = study.problem("unasked", "", Severity::note);
    p.finding = name;
    const auto& line = std::get<tree::FindingLine>(study.ruleset.tree.sentences[finding.sentence].form);
    p.sentences.push_back(study.declared(finding.sentence, {finding.place.file, line.name.name.span}));
    p.matter = name + " has no question";
    p.sense = "No question stands under " + name + ", so an interview cannot ask for it in the school's words.";
    p.write = {"Ask \"…?\". under the finding"};
    study.tell(std::move(p));
  }
}

bool should_cite(Sentence::Kind kind) {
  using Kind = Sentence::Kind;
  return kind == Kind::indicated || kind == Kind::allowed || kind == Kind::discouraged || kind == Kind::contraindicated ||
         kind == Kind::caution || kind == Kind::dose || kind == Kind::take || kind == Kind::refuse || kind == Kind::refer;
}

// One note a practice, a list of practices that share sentences, a choice, and one for the red flags.
void check_uncited(Study& study) {
  const Ruleset& r = study.ruleset;
  const bool any = std::any_of(r.sentences.begin(), r.sentences.end(), [](const Sentence& s) { return !s.citations.empty(); });
  if (!any) return;
  std::map<std::pair<std::vector<Index>, Index>, std::vector<Index>> groups;  // {practices, choice}
  for (Index s = 0; s < r.sentences.size(); ++s) {
    const Sentence& sentence = r.sentences[s];
    if (!should_cite(sentence.kind) || !sentence.citations.empty()) continue;
    if (is_companion(r, s)) continue;
    const bool flag = sentence.kind == Sentence::Kind::refer;
    groups[{flag ? std::vector<Index>{} : sentence.practices, sentence.choice}].push_back(s);
  }
  for (const auto& [owner, sentences] : groups) {
    Problem p = study.problem("uncited", "", Severity::note);
    if (owner.first.size() == 1) p.practice = r.practices[owner.first[0]].name;
    if (owner.second != no_index) p.choice = r.choices[owner.second].name;
    for (Index s : sentences) p.sentences.push_back(study.concerned(s, false));
    p.matter = "no source is named";
    p.sense = "Other sentences of the ruleset name theirs.";
    study.tell(std::move(p));
  }
}

}  // namespace

void check_unused(Study& study) {
  const Ruleset& r = study.ruleset;
  const Uses uses(r);
  for (std::size_t f = 0; f < r.findings.size(); ++f) {
    if (r.findings[f].built_in) continue;
    if (!uses.findings[f]) tell_unused(study, "finding", r.findings[f].name, r.findings[f].sentence, r.findings[f].place);
    else if (r.findings[f].kind == Finding::Kind::one_of) tell_unused_words(study, r.findings[f], uses.words[f]);
  }
  tell_unused(study, "measure", r.measures, uses.measures);
  tell_unused(study, "term", r.terms, uses.terms);
  tell_unused(study, "tally", r.tallies, uses.tallies);
  tell_unused(study, "leading", r.leadings, uses.leadings);
  check_uncited(study);
  check_unasked(study);
}

}  // namespace betony
