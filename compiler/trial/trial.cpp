#include "compiler/trial/trial.h"

#include <algorithm>

#include "compiler/trial/attack.h"
#include "compiler/trial/coverage.h"
#include "compiler/trial/mutation.h"
#include "compiler/trial/shrink.h"
#include "compiler/region.h"
#include "compiler/trend.h"
#include "compiler/verdict_graph.h"

namespace betony::trial {
namespace {

using Kind = Property::Kind;
using tree::Verdict;

// ---------------------------------------------------------------- words

std::string quoted(const std::string& text) {
  std::string out = "\"";
  for (char c : text) out += c == '"' ? "\"\"" : std::string(1, c);
  return out + "\"";
}

// What the sample is expected to be told, where that is one thing.
std::string expect_line(const Ruleset& ruleset, const Property& p) {
  if (p.kind == Kind::claim) {
    const Claim& claim = ruleset.claims[p.index];
    const Test& test = claim.condition.test;
    const bool is_one = claim.condition.kind == Cond::Kind::test && test.subject == Test::Subject::verdict && !claim.never && !test.with_care;
    if (!is_one || p.reading.school != no_index) return "";
    for (int v = 0; v <= static_cast<int>(Verdict::silent); ++v)
      if (test.verdicts == 1u << v) return "\n  Expect " + ruleset.practices[test.index].name + " " + verdict_word(static_cast<Verdict>(v)) + ".";
  }
  if (p.kind == Kind::expectation) {
    const Expectation& e = ruleset.profiles[p.index].expectations[p.further];
    if (e.practice != no_index)
      return "\n  Expect " + ruleset.practices[e.practice].name + (e.verdict ? " " + verdict_word(*e.verdict) : "") +
             (e.with_care ? " with care." : ".");
    std::string values;
    for (Index v : e.values) values += (values.empty() ? " " : ", ") + ruleset.choices[e.choice].values[v];
    return "\n  Expect " + ruleset.choices[e.choice].name + values + ".";
  }
  return "";
}

std::string sense_of(const Ruleset& ruleset, const Property& p) {
  const std::string school = p.reading.school == no_index ? "" : " In the reading of the " + ruleset.schools[p.reading.school].name + ".";
  switch (p.kind) {
    case Kind::claim: return "The claim fails for this person." + school;
    case Kind::trend: return "The claim fails." + school;
    case Kind::expectation: return "The sample leaves findings open, and who is so is told something else than is expected." + school;
    case Kind::dose_clash: return "Doses that have nothing in common speak for this person." + school;
    case Kind::dose_missing: return p.name + " is advised, and no dose speaks for this person, though one does for others." + school;
    case Kind::borrowed:
      return p.name +
             " is advised though a contraindication speaks: a sentence that only allows has lifted the ban, and the one that advises does not name "
             "it." +
             school;
    case Kind::company: {
      const std::string& other = ruleset.practices[p.further].name;
      switch (ruleset.sentences[p.sentences[0]].kind) {
        case Sentence::Kind::never_with: return "Both " + p.name + " and " + other + " are advised, and are never to go together." + school;
        case Sentence::Kind::needs: return p.name + " is advised and needs " + other + ", which is withheld." + school;
        default: return p.name + " is advised and leads to " + other + ", which is withheld." + school;
      }
    }
    case Kind::order:
      return "What is advised to this person cannot all be done on one day, in the order and at the times that are asked for." + school;
  }
  return "";
}

// ---------------------------------------------------------------- the trial

class Trier {
 public:
  Trier(const Ruleset& ruleset, const Report* report, const Trying& how)
      : ruleset_(ruleset), report_(report), how_(how), properties_(properties_of(ruleset)), attack_(ruleset, properties_, how) {}

  Trial run() {
    out_.seed = how_.seed;
    out_.disagreements = attack_.differences();
    out_.samples = attack_.run();
    settle();
    attack_.run_singly(is_open_and_single(), out_.samples);
    out_.drawn_again = attack_.seen().drawn_again;
    out_.impossible = attack_.seen().impossible;
    if (report_) take_problems();
    for (std::size_t p = 0; p < properties_.size(); ++p) take(p);
    tell_held();
    out_.unreached = betony::trial::unreached(ruleset_, attack_, out_.samples);
    if (how_.mutants) out_.mutants = mutants_of(ruleset_, {how_.threads, how_.mutant_progress});
    return std::move(out_);
  }

 private:
  void settle() {
    for (const Property& p : properties_) settled_.push_back(report_ ? settled(ruleset_, p, *report_) : Settled::open);
  }

  std::vector<bool> is_open_and_single() const {
    std::vector<bool> out;
    for (std::size_t p = 0; p < properties_.size(); ++p) out.push_back(attack_.is_single(p) && settled_[p] == Settled::open);
    return out;
  }

  // ---- what exact checking says

  static std::optional<Kind> kind_of(const Problem& problem) {
    static const std::pair<const char*, Kind> kinds[] = {{"claim-refuted", Kind::claim},    {"expectation-failed", Kind::expectation},
                                                         {"dose-clash", Kind::dose_clash},  {"dose-missing", Kind::dose_missing},
                                                         {"broken-company", Kind::company}, {"order-loop", Kind::order}};
    for (const auto& [word, kind] : kinds)
      if (problem.kind == word) return kind;
    return std::nullopt;
  }

  void take_problems() {
    for (const Problem& problem : report_->problems) {
      const auto kind = kind_of(problem);
      // Of company only what is withheld is a failure; what is discouraged is a question of the checks.
      if (!kind || !problem.witness || (*kind == Kind::company && problem.severity != Severity::error)) continue;
      Property property = property_of(problem, *kind);
      Failure failure = property.kind == Kind::trend && problem.second ? failure_of_two(property, {*problem.witness, *problem.second})
                                                                       : failure_of(property, *problem.witness);
      failure.exactly = true;
      // Order hangs on times and lengths too, and expectations of choices on sentences of theirs.
      for (Index s : typed(problem))
        if (std::find(failure.sentences.begin(), failure.sentences.end(), s) == failure.sentences.end()) failure.sentences.push_back(s);
      out_.failures.push_back(std::move(failure));
    }
  }

  Property property_of(const Problem& problem, Kind kind) const {
    for (const Property& p : properties_)
      if (is_told_by(ruleset_, p, problem) && p.kind != Kind::trend && is_broken(ruleset_, p, *problem.witness)) return p;
    for (const Property& p : properties_)
      if (is_told_by(ruleset_, p, problem) && p.kind != Kind::order) return p;
    Property out;
    out.kind = kind;
    out.name = problem.practice.empty() ? problem.matter : problem.practice;
    for (Index p = 0; p < ruleset_.practices.size(); ++p)
      if (ruleset_.practices[p].name == problem.practice) out.index = p, out.practices = {p};
    for (Index s = 0; s < ruleset_.schools.size(); ++s)
      if (ruleset_.schools[s].name == problem.school) out.reading = {s};
    return out;
  }

  std::vector<Index> typed(const Problem& problem) const {
    std::vector<Index> out;
    for (const Concerned& c : problem.sentences)
      for (Index s = 0; s < ruleset_.sentences.size(); ++s)
        if (ruleset_.sentences[s].sentence == c.tree_sentence && ruleset_.sentences[s].place == c.place) {
          out.push_back(s);
          break;
        }
    return out;
  }

  // ---- what samples say

  void take(std::size_t p) {
    const auto& first = attack_.seen().first[p];
    const Property& property = properties_[p];
    if (!first || settled_[p] == Settled::fails || repeats_the_whole(p)) return;
    if (property.kind == Kind::dose_missing && (settled_[p] == Settled::holds || !attack_.seen().heard[p])) return;
    Outcomes person;
    attack_.sampler().person(*first, person);
    const auto breaks = [&](const Outcomes& tried) { return attack_.is_broken_by(property, tried); };
    if (!breaks(person)) {
      out_.disagreements.push_back(std::string(word_of(property.kind)) + " " + property.name + ": sample " + std::to_string(first->number) +
                                   " breaks it in blocks, and not by the plain evaluator");
      return;
    }
    if (settled_[p] == Settled::holds) {
      out_.disagreements.push_back(std::string(word_of(property.kind)) + " " + property.name + ": it holds by exact checking, and sample " +
                                   std::to_string(first->number) + " breaks it");
      return;
    }
    Failure failure = shrunk_failure(property, shrunk(attack_.sampler(), person, attack_.groups_of(property), breaks));
    failure.sample = first;
    out_.failures.push_back(std::move(failure));
  }

  // A claim that fails in the whole is not told again of each school.
  bool repeats_the_whole(std::size_t p) const {
    const Property& property = properties_[p];
    if ((property.kind != Kind::claim && property.kind != Kind::trend) || property.reading.school == no_index) return false;
    return std::any_of(out_.failures.begin(), out_.failures.end(),
                       [&](const Failure& f) { return f.kind == property.kind && f.name == property.name && f.reading.school == no_index; });
  }

  Failure shrunk_failure(const Property& property, const Outcomes& least) {
    if (property.kind == Kind::trend) {
      Failure failure = failure_of_two(property, *attack_.pair_of(property, least));
      failure.unusual = attack_.sampler().unusual(least);
      return failure;
    }
    Profile person = attack_.person_of(property, least, true);
    if (!is_broken(ruleset_, property, person)) person = attack_.person_of(property, least, false);
    Failure failure = failure_of(property, std::move(person));
    failure.unusual = attack_.sampler().unusual(least);
    return failure;
  }

  Failure failure_of_two(const Property& property, const std::pair<Profile, Profile>& two) const {
    Failure failure = failure_of(property, two.first);
    failure.second = two.second;
    failure.told = told_of_two(property, two);
    for (Index s : reasons(ruleset_, property, two.second))
      if (std::find(failure.sentences.begin(), failure.sentences.end(), s) == failure.sentences.end()) failure.sentences.push_back(s);
    failure.paste += "\n" + profile_sentence(ruleset_, property.name + ", then", two.second);
    const Claim& claim = ruleset_.claims[property.index];
    for (const Index practice : claim.trend->practices)
      if (const auto broken = broken_trend(ruleset_, claim, practice, two.first, two.second, property.reading)) {
        failure.sense = words_of(ruleset_, *claim.trend, practice, two.first, two.second, *broken) + " The claim says that this is never so." +
                        (property.reading.school == no_index ? "" : " In the reading of the " + ruleset_.schools[property.reading.school].name + ".");
        break;
      }
    return failure;
  }

  std::vector<Failure::Told> told_of_two(const Property& property, const std::pair<Profile, Profile>& two) const {
    std::vector<Failure::Told> out;
    for (Index practice : practices_of(ruleset_, property)) {
      const auto a = evaluate_practice(ruleset_, practice, two.first, property.reading),
                 b = evaluate_practice(ruleset_, practice, two.second, property.reading);
      if (a.verdict != b.verdict || practices_of(ruleset_, property).size() == 1)
        out.push_back({practice, a.verdict, a.with_care, std::pair(b.verdict, b.with_care)});
    }
    return out;
  }

  Failure failure_of(const Property& property, Profile person) const {
    Failure failure;
    failure.kind = property.kind;
    failure.name = property.name;
    failure.reading = property.reading;
    failure.sense = sense_of(ruleset_, property);
    const bool known = property.index != no_index;
    if (known) {
      failure.sentences = reasons(ruleset_, property, person);
      for (Index practice : practices_of(ruleset_, property)) {
        const PracticeVerdict told = evaluate_practice(ruleset_, practice, person, property.reading);
        failure.told.push_back({practice, told.verdict, told.with_care, std::nullopt});
      }
      failure.place = place_of(property);
      failure.paste = profile_sentence(ruleset_, property.name, person) + expect_line(ruleset_, property);
    } else {
      failure.paste = profile_sentence(ruleset_, property.name, person);
    }
    failure.person = std::move(person);
    return failure;
  }

  Place place_of(const Property& property) const {
    switch (property.kind) {
      case Kind::claim:
      case Kind::trend: return ruleset_.claims[property.index].place;
      case Kind::expectation: return ruleset_.profiles[property.index].expectations[property.further].place;
      default: return ruleset_.practices[property.index].place;
    }
  }

  void tell_held() {
    for (std::size_t p = 0; p < properties_.size(); ++p) {
      const Property& property = properties_[p];
      if (settled_[p] == Settled::fails || repeats_the_whole(p)) continue;
      const bool failed = std::any_of(out_.failures.begin(), out_.failures.end(), [&](const Failure& f) {
        return f.kind == property.kind && f.name == property.name && f.reading.school == property.reading.school;
      });
      if (failed) continue;
      const std::string school = property.reading.school == no_index ? "" : ruleset_.schools[property.reading.school].name;
      out_.held.push_back({property.kind, property.name, school, settled_[p] == Settled::holds,
                           attack_.is_single(p) && settled_[p] == Settled::open ? std::min(out_.samples, most_singly) : 0});
    }
  }

  const Ruleset& ruleset_;
  const Report* report_;
  const Trying& how_;
  const std::vector<Property> properties_;
  Attack attack_;
  std::vector<Settled> settled_;
  Trial out_;
};

}  // namespace

std::string profile_sentence(const Ruleset& ruleset, const std::string& title, const Profile& person) {
  std::string answers;
  bool has_rest = false;
  for (Index f = 0; f < ruleset.findings.size(); ++f) {
    const Finding& finding = ruleset.findings[f];
    if (!person[f] || (finding.usual && *finding.usual == *person[f])) {
      has_rest = true;
      continue;
    }
    answers += (answers.empty() ? "" : ", ") + answer_words(finding, *person[f]);
  }
  if (has_rest) answers += answers.empty() ? "the rest as usual" : ", the rest as usual";
  return "Profile " + quoted(title) + ": " + answers + ".";
}

Trial try_out(const Ruleset& ruleset, const Report* report, const Trying& how) { return Trier(ruleset, report, how).run(); }

}  // namespace betony::trial
