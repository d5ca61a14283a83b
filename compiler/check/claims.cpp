// Claims and expectations: what the author says must hold for everybody, and for a sample person.
//
// A claim speaks of R. If it names the verdict `referred` it speaks of those with a red flag too, if it names
// `outside`, also of those the ruleset does not apply to.
#include <algorithm>

#include "compiler/check/checks.h"
#include "compiler/walk.h"

namespace betony {
namespace {

using Node = Graph::Node;
using tree::Verdict;

std::set<Index> practices_of(const Cond& condition) {
  std::set<Index> practices;
  for_each_test(condition, [&](const Test& test) {
    if (test.subject == Test::Subject::verdict) practices.insert(test.index);
  });
  return practices;
}

Node domain(Study& study, Space& space, const Claim& claim, Reading reading) {
  const Node within = names(study.ruleset, claim, Verdict::referred) ? space.applies() : space.looked_at(reading);
  if (!names(study.ruleset, claim, Verdict::outside)) return within;
  return space.graph().either(within, space.graph().without(space.background(), space.applies()));
}

void tell_refuted(Study& study, Space& space, const Claim& claim, Node region, Node whole, Reading reading, const std::string& school) {
  Problem p = study.problem("claim-refuted", "", Severity::error);
  p.school = school;
  const std::set<Index> practices = practices_of(claim.condition);
  if (practices.size() == 1) p.practice = study.ruleset.practices[*practices.begin()].name;
  p.sentences.push_back(study.declared(claim.sentence, claim.condition.place));
  study.show(p, space, region, whole, reading);
  if (practices.size() == 1) study.replay(p, *practices.begin(), reading);
  if (p.witness) {
    std::vector<std::string> verdicts;
    for (Index practice : practices) {
      const PracticeVerdict verdict = evaluate_practice(study.ruleset, practice, *p.witness, reading);
      verdicts.push_back(study.ruleset.practices[practice].name + " is " + verdict_word(verdict.verdict));
      if (practices.size() == 1)  // the sentences that made the verdict
        for (Index s : verdict.because) p.sentences.push_back(study.concerned(s));
    }
    if (practices.size() > 1) p.replay = listed(verdicts);
  }
  p.matter = "a claim does not hold";
  p.sense = "\"" + claim.title + "\" fails " + where_words(p) + "." + school_sentence(school);
  p.write = {"a sentence that makes the claim true, or a claim that says less"};
  study.tell(std::move(p));
}

}  // namespace

void check_claim(Study& study, Index index) {
  const Claim& claim = study.ruleset.claims[index];
  Meaning& meaning = study.meaning;
  const auto broken = [&](Reading reading) {
    const Form held = meaning.condition(claim.condition, reading);
    return meaning.conditions().all({meaning.condition(claim.when, reading), claim.never ? held : meaning.conditions().negation(held)});
  };
  std::vector<Form> asked;
  for (Reading reading : study.all_readings) {
    asked.push_back(broken(reading));
    if (!names(study.ruleset, claim, Verdict::outside)) continue;  // else no fact divides out: outside there are no flags
    asked.push_back(meaning.applies());
    asked.push_back(meaning.refers(reading));
  }
  Space space(meaning, study.people, asked, study.limit());
  if (space.has_undecided_measure()) study.not_settled("claim " + claim.title);
  for (Reading reading : study.all_readings) {
    const Node whole = domain(study, space, claim, reading), region = space.graph().both(space.of(broken(reading)), whole);
    if (region == Graph::no) continue;
    tell_refuted(study, space, claim, region, whole, reading, study.school_name(reading));
    if (reading.school == no_index) break;  // told of the whole; the schools need not repeat it
  }
}

// ---------------------------------------------------------------- expectations

namespace {

constexpr Verdict every_verdict[] = {Verdict::outside, Verdict::referred, Verdict::withheld, Verdict::discouraged,
                                     Verdict::advised, Verdict::allowed, Verdict::silent};

struct Answer {
  bool met = false;
  Node against = Graph::no;     // possible completions that show it is not met
  std::string found;            // "withheld", "advised or withheld"
  std::string expect;           // what could be expected instead: "withheld", "unanswered"
};

Form seen(Meaning& meaning, Form form, Verdict verdict) {
  if (verdict == Verdict::outside || verdict == Verdict::referred) return form;
  return meaning.conditions().all({form, meaning.applies(), meaning.conditions().negation(meaning.refers({}))});
}

Answer practice_answer(Study& study, Space& space, const Expectation& expected, Node people) {
  Graph& graph = space.graph();
  Meaning& meaning = study.meaning;
  std::vector<std::string> words;
  Node right = Graph::no;
  for (Verdict verdict : every_verdict) {
    const Node node = graph.both(space.of(seen(meaning, meaning.verdict(expected.practice, verdict, {}), verdict)), people);
    if (node == Graph::no) continue;
    words.push_back(verdict_word(verdict));
    if (expected.verdict == verdict) right = node;
  }
  const Node care = graph.both(space.of(seen(meaning, meaning.with_care(expected.practice, {}), Verdict::advised)), people);
  Answer answer;
  answer.found = listed(words, "or");
  answer.expect = words.size() == 1 ? words[0] : "unanswered";
  if (expected.verdict == Verdict::unanswered) {
    answer.met = words.size() > 1;
    answer.against = people;
    return answer;
  }
  if (!expected.verdict) right = people;
  if (expected.with_care) {
    right = graph.both(right, care);
    answer.found += care == people ? ", with care" : care == Graph::no ? ", without care" : ", with or without care";
  }
  answer.against = graph.without(people, right);
  answer.met = answer.against == Graph::no;
  return answer;
}

Answer choice_answer(Study& study, Space& space, const Expectation& expected, Node people) {
  Graph& graph = space.graph();
  const Choice& choice = study.ruleset.choices[expected.choice];
  std::vector<Node> all{people};
  std::vector<std::string> words;
  for (Index value = 0; value < choice.values.size(); ++value) {
    const Node fits = space.of(study.meaning.takes(expected.choice, value, {}));
    const bool wanted = std::count(expected.values.begin(), expected.values.end(), value) != 0;
    all.push_back(wanted ? fits : graph.negation(fits));
    if (graph.meet(fits, people)) words.push_back(choice.values[value]);
  }
  Answer answer;
  answer.found = words.empty() ? "nothing fits" : listed(words);
  if (!words.empty()) answer.expect = listed(words);
  answer.against = graph.without(people, graph.all(std::move(all)));
  answer.met = answer.against == Graph::no;
  return answer;
}

// What the sample answers has to be in the space where background facts name it, though the practice may not ask.
void bring_in_answers(Study& study, const Profile& answers, std::vector<Form>& asked) {
  for (Index f = 0; f < answers.size(); ++f) {
    if (!answers[f]) continue;
    const Index variable = study.universe.of_finding[f];
    if (study.people.group_of(variable) == no_index) continue;
    std::vector<bool> one(study.universe.variables[variable].cells.size());
    one[0] = true;
    asked.push_back(study.meaning.conditions().literal(variable, one));
  }
}

}  // namespace

void check_expectation(Study& study, const SampleProfile& sample, const Expectation& expected) {
  Meaning& meaning = study.meaning;
  std::vector<Form> asked;
  if (expected.practice != no_index) asked = asked_by(meaning, expected.practice, {Reading{}});
  else
    for (Index value = 0; value < study.ruleset.choices[expected.choice].values.size(); ++value)
      asked.push_back(meaning.takes(expected.choice, value, {}));
  asked.push_back(meaning.applies());
  asked.push_back(meaning.refers({}));
  const Profile answers = profile_of(study.ruleset, sample);
  bring_in_answers(study, answers, asked);
  Space space(meaning, study.people, asked, study.limit());
  const Node people = space.graph().both(space.agrees(answers), space.background());
  const Answer answer = expected.practice != no_index ? practice_answer(study, space, expected, people)
                                                      : choice_answer(study, space, expected, people);
  if (answer.met || people == Graph::no) return;
  Problem p = study.problem("expectation-failed", "", Severity::error);
  const std::string name = expected.practice != no_index ? study.ruleset.practices[expected.practice].name : study.ruleset.choices[expected.choice].name;
  (expected.practice != no_index ? p.practice : p.choice) = name;
  p.sentences.push_back(study.declared(expected.sentence, expected.place));
  p.sentences.push_back(study.declared(sample.sentence, sample.place));
  if (const auto shown = study.witness(space, answer.against, {}, &p.no_fraction)) {
    Profile person = *shown;  // the sample's own answers stand, to the digit
    for (std::size_t f = 0; f < answers.size(); ++f)
      if (answers[f]) person[f] = answers[f];
    p.witness = std::make_shared<const Profile>(std::move(person));
    if (expected.practice != no_index) {
      study.replay(p, expected.practice, {});
      const PracticeVerdict verdict = evaluate_practice(study.ruleset, expected.practice, *p.witness);
      for (Index s : verdict.because) p.sentences.push_back(study.concerned(s));
    }
  }
  for (const SampleProfile::Answer& a : sample.answers)
    if (a.value != study.ruleset.findings[a.finding].usual) p.witness_findings.push_back(a.finding);
  p.matter = "the teaching says something else";
  p.sense = "For \"" + sample.title + "\" " + name + " was expected to be otherwise; the sentences make it " + answer.found + ".";
  if (!answer.expect.empty()) p.write = {"Expect " + name + " " + answer.expect + ". if the teaching is right"};
  study.tell(std::move(p));
}

}  // namespace betony
