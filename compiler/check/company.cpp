// Broken company: both advised though one is `Never with` the other; advised while what it `Needs`, or what it
// `Leads to`, is withheld (an error) or discouraged (a question).
//
// One space a pair of practices, asked only where a sentence joins them.
#include <algorithm>

#include "compiler/check/checks.h"

namespace betony {
namespace {

using Node = Graph::Node;
using Kind = Sentence::Kind;
using tree::Verdict;

bool joins(Kind kind) { return kind == Kind::never_with || kind == Kind::needs || kind == Kind::leads_to; }

const char* form_of(Kind kind) {
  return kind == Kind::never_with ? "never-with" : kind == Kind::needs ? "needs" : "leads-to";
}

// What the other may not be: the same advised, or not to be done.
std::vector<Verdict> broken_by(Kind kind) {
  if (kind == Kind::never_with) return {Verdict::advised};
  return {Verdict::withheld, Verdict::discouraged};
}

class CompanyStudy {
 public:
  CompanyStudy(Study& study, const CompanyPair& pair) : study_(study), meaning_(study.meaning), pair_(pair), kind_(study.ruleset.sentences[pair.sentence].kind) {}

  void run() {
    Space space(meaning_, study_.people, asked(), study_.limit());
    if (space.has_undecided_measure()) study_.not_settled(name(pair_.practice));
    for (Verdict verdict : broken_by(kind_)) look(space, verdict);
  }

 private:
  const std::string& name(Index practice) const { return study_.ruleset.practices[practice].name; }

  Form broken(Verdict verdict, Reading reading) {
    return meaning_.conditions().all({meaning_.fires(pair_.sentence, reading), meaning_.verdict(pair_.practice, Verdict::advised, reading),
                                      meaning_.verdict(pair_.other, verdict, reading)});
  }

  bool heard(Reading reading) const { return in_reading(study_.ruleset, study_.ruleset.sentences[pair_.sentence], reading); }

  std::vector<Form> asked() {
    std::vector<Form> forms;
    for (Verdict verdict : broken_by(kind_))
      for (Reading reading : study_.readings)
        if (heard(reading)) forms.push_back(broken(verdict, reading));
    return forms;
  }

  void look(Space& space, Verdict verdict) {
    std::map<std::pair<Node, Node>, std::vector<Reading>> found;  // {region, those looked at}
    for (Reading reading : study_.readings) {
      if (!heard(reading)) continue;
      const Node region = space.graph().both(space.of(broken(verdict, reading)), space.looked_at(reading));
      if (region != Graph::no) found[{region, space.looked_at(reading)}].push_back(reading);
    }
    for (const auto& [key, readings] : found) {
      study_.once_or_each(readings, [&, region = key.first](Reading reading, const std::string& school) { tell(space, verdict, region, reading, school); });
    }
  }

  void tell(Space& space, Verdict verdict, Node region, Reading reading, const std::string& school) {
    Problem p = study_.problem("broken-company", form_of(kind_), verdict == Verdict::discouraged ? Severity::question : Severity::error);
    p.practice = name(pair_.practice);
    p.school = school;
    p.sentences.push_back(study_.concerned(pair_.sentence));
    study_.show(p, space, region, space.looked_at(reading), reading);
    study_.replay(p, pair_.practice, reading);
    if (p.witness) bring_in_reasons(p, reading);
    words(p, verdict);
    p.sense += school_sentence(school);
    study_.tell(std::move(p));
  }

  // The sentences that made the two verdicts of the witness.
  void bring_in_reasons(Problem& p, Reading reading) {
    std::set<Index> told{pair_.sentence};
    for (Index practice : {pair_.practice, pair_.other})
      for (Index s : evaluate_practice(study_.ruleset, practice, *p.witness, reading).because)
        if (told.insert(s).second) p.sentences.push_back(study_.concerned(s));
    const PracticeVerdict other = evaluate_practice(study_.ruleset, pair_.other, *p.witness, reading);
    p.replay += ", " + name(pair_.other) + " is " + verdict_word(other.verdict);
  }

  void words(Problem& p, Verdict verdict) const {
    const std::string &first = name(pair_.practice), &second = name(pair_.other);
    const std::string line = study_.line_of(pair_.sentence);
    switch (kind_) {
      case Kind::never_with:
        p.matter = "advised together, and never together";
        p.sense = "Both " + first + " and " + second + " are advised " + where_words(p) + ".";
        p.write = {"Discouraged in … under one of the two, for those who should do the other", "take " + line + " out"};
        return;
      case Kind::needs:
        p.matter = "what it needs is " + verdict_word(verdict);
        p.sense = first + " is advised and needs " + second + " on the same day, which is " + verdict_word(verdict) + " " + where_words(p) + ".";
        break;
      default:
        p.matter = "what it leads to is " + verdict_word(verdict);
        p.sense = first + " is advised and leads to " + second + " later on the day, which is " + verdict_word(verdict) + " " + where_words(p) + ".";
    }
    p.write = {"unless …, at the end of " + line + ", for the persons who go without " + second,
               "Discouraged in … under " + first + ", where " + second + " may not be done"};
  }

  Study& study_;
  Meaning& meaning_;
  CompanyPair pair_;
  Kind kind_;
};

// `Never with` said from both sides is looked at from one, where both sentences say it of everybody.
class Pairs {
 public:
  bool looked_at(const Ruleset& ruleset, const CompanyPair& pair) {
    const Sentence& sentence = ruleset.sentences[pair.sentence];
    const bool plain = sentence.kind == Kind::never_with && !is_conditional(sentence) && sentence.citations.empty();
    return plain && !plain_.insert(std::minmax(pair.practice, pair.other)).second;
  }

 private:
  std::set<std::pair<Index, Index>> plain_;
};

}  // namespace

std::vector<CompanyPair> company_pairs(const Ruleset& ruleset) {
  std::vector<CompanyPair> result;
  Pairs pairs;
  for (Index s = 0; s < ruleset.sentences.size(); ++s) {
    const Sentence& sentence = ruleset.sentences[s];
    if (!joins(sentence.kind)) continue;
    for (Index practice : sentence.practices)
      for (Index other : sentence.others) {
        const CompanyPair pair{s, practice, other};
        if (practice == other || pairs.looked_at(ruleset, pair)) continue;
        result.push_back(pair);
        if (result.size() > most_company_pairs) return result;
      }
  }
  return result;
}

void check_company(Study& study, const CompanyPair& pair) {
  study.spend(10'000);  // a space of its own for each
  CompanyStudy(study, pair).run();
}

}  // namespace betony
