#include "compiler/trial/mutation.h"

#include <algorithm>
#include <atomic>
#include <exception>
#include <mutex>
#include <set>
#include <thread>

#include "compiler/check/subjects.h"

namespace betony::trial {
namespace {

using Kind = Sentence::Kind;
using tree::Verdict;

// ---------------------------------------------------------------- turned

std::optional<Sentence> turned(const Sentence& sentence) {
  Sentence out = sentence;
  switch (sentence.kind) {
    case Kind::indicated: out.kind = Kind::contraindicated; break;
    case Kind::contraindicated: out.kind = Kind::indicated; break;
    case Kind::allowed: out.kind = Kind::discouraged; break;
    case Kind::discouraged: out.kind = Kind::allowed; break;
    case Kind::take: out.kind = Kind::refuse; break;
    case Kind::refuse: out.kind = Kind::take; break;
    case Kind::otherwise:
      switch (sentence.verdict) {
        case Verdict::advised: out.verdict = Verdict::withheld; break;
        case Verdict::withheld: out.verdict = Verdict::advised; break;
        case Verdict::allowed: out.verdict = Verdict::discouraged; break;
        case Verdict::discouraged: out.verdict = Verdict::allowed; break;
        default: return std::nullopt;
      }
      break;
    default: return std::nullopt;
  }
  out.despite.clear();
  return out;
}

// ---------------------------------------------------------------- moved

// Every test of a condition, in its order; terms are not entered.
template <class Take>
void each_test(Cond& condition, const Take& take) {
  if (condition.kind == Cond::Kind::test) take(condition.test);
  for (Cond& part : condition.parts) each_test(part, take);
}

class Mover {
 public:
  Mover(const Ruleset& ruleset, const Universe& universe) : ruleset_(ruleset), universe_(universe) {}

  // All ways to move one end of the test.
  std::vector<std::pair<Test, std::string>> moved(const Test& test) const {
    std::vector<std::pair<Test, std::string>> out;
    const bool is_grade = test.subject == Test::Subject::finding && ruleset_.findings[test.index].kind == Finding::Kind::grade;
    if (is_grade) grades(test, out);
    if (is_grade || test.never) return out;
    for (std::size_t i = 0; i < test.intervals.size(); ++i)
      for (bool up : {false, true}) {
        const Interval& interval = test.intervals[i];
        const bool is_point = interval.low && interval.high && *interval.low == *interval.high;
        if (is_point) add(test, i, true, true, up, out);
        if (!is_point && interval.low) add(test, i, true, false, up, out);
        if (!is_point && interval.high) add(test, i, false, true, up, out);
      }
    return out;
  }

 private:
  void add(const Test& test, std::size_t at, bool low, bool high, bool up, std::vector<std::pair<Test, std::string>>& out) const {
    Test other = test;
    Interval& interval = other.intervals[at];
    const Rational from = low ? *interval.low : *interval.high;
    const auto to = next(test, from, up);
    if (!to) return;
    if (low) interval.low = *to;
    if (high) interval.high = *to;
    if (interval.low && interval.high && *interval.low > *interval.high) return;
    if (interval.low && interval.high && *interval.low == *interval.high && !(interval.low_in && interval.high_in)) return;
    out.emplace_back(std::move(other), name(test) + " " + words(test, from) + " as " + words(test, *to));
  }

  const std::string& name(const Test& test) const {
    if (test.subject == Test::Subject::finding) return ruleset_.findings[test.index].name;
    return test.subject == Test::Subject::tally ? ruleset_.tallies[test.index].name : ruleset_.measures[test.index].name;
  }
  std::string words(const Test& test, const Rational& number) const {
    if (test.subject == Test::Subject::finding) return value_words(ruleset_.findings[test.index], {Value::Kind::number, 0, number});
    if (test.subject == Test::Subject::tally) return number_words(number);
    const Measure& measure = ruleset_.measures[test.index];
    return number_words(number) + (measure.unit.empty() ? "" : " " + measure.unit);
  }

  std::optional<Rational> next(const Test& test, const Rational& from, bool up) const {
    const int sign = up ? 1 : -1;
    if (test.subject == Test::Subject::tally) return Rational(from + sign);
    std::optional<Rational> low, high;
    if (test.subject == Test::Subject::finding) {
      const Finding& finding = ruleset_.findings[test.index];
      low = finding.low, high = finding.high;
      if (from < *low || from > *high) return std::nullopt;
      const Rational to = finding.step > 0 ? Rational(from + finding.step * sign) : towards(test, from, up, low, high);
      if (to < *low || to > *high) return std::nullopt;
      return to;
    }
    low = ruleset_.measures[test.index].low, high = ruleset_.measures[test.index].high;
    const Rational to = towards(test, from, up, low, high);
    if (to == from) return std::nullopt;
    return to;
  }

  // To the next threshold of the same subject; where there is none, an eighth of the way to the end.
  Rational towards(const Test& test, const Rational& from, bool up, const std::optional<Rational>& low, const std::optional<Rational>& high) const {
    const bool is_measure = test.subject == Test::Subject::measure;
    const Index variable = (is_measure ? universe_.of_measure : universe_.of_finding)[test.index];
    std::optional<Rational> best;
    if (variable != no_index)
      for (const Extent& extent : universe_.variables[variable].dimensions[0].extents) {
        if (extent.kind != Extent::Kind::numbers) continue;
        for (const auto& end : {extent.numbers.low, extent.numbers.high})
          if (end && (up ? *end > from && (!best || *end < *best) : *end < from && (!best || *end > *best))) best = *end;
      }
    const auto& limit = up ? high : low;
    if (best && (!limit || *best != *limit)) return *best;
    if (limit && *limit != from) return from + (*limit - from) / 8;
    return from;
  }

  // Of a grade that is asked for from a value on, or up to one, or between two.
  void grades(const Test& test, std::vector<std::pair<Test, std::string>>& out) const {
    const Finding& finding = ruleset_.findings[test.index];
    const auto& words = test.words;
    if (words.empty() || words.back() - words.front() + 1 != words.size()) return;
    const auto take = [&](Index first, Index last, Index from, Index to) {
      Test other = test;
      other.words.clear();
      for (Index w = first; w <= last; ++w) other.words.push_back(w);
      if (other.words.empty() || other.words.size() == finding.values.size()) return;
      out.emplace_back(std::move(other), finding.name + " " + finding.values[from] + " as " + finding.values[to]);
    };
    const Index first = words.front(), last = words.back(), end = static_cast<Index>(finding.values.size() - 1);
    if (first > 0) {
      take(first - 1, last, first, first - 1);
      if (first < last) take(first + 1, last, first, first + 1);
    }
    if (last < end) {
      if (first < last) take(first, last - 1, last, last - 1);
      take(first, last + 1, last, last + 1);
    }
  }

  const Ruleset& ruleset_;
  const Universe& universe_;
};

// Whether some claim says how the dose of a practice of this sentence goes along with a finding.
bool has_dose_claim(const Ruleset& ruleset, const Sentence& sentence) {
  return std::any_of(ruleset.claims.begin(), ruleset.claims.end(), [&](const Claim& claim) {
    return claim.trend && claim.trend->of != Trend::Of::verdict &&
           std::any_of(claim.trend->practices.begin(), claim.trend->practices.end(), [&](Index p) {
             return std::find(sentence.practices.begin(), sentence.practices.end(), p) != sentence.practices.end();
           });
  });
}

bool is_changed(const Ruleset& ruleset, Index s) {
  switch (ruleset.sentences[s].kind) {
    case Kind::dose: return has_dose_claim(ruleset, ruleset.sentences[s]);
    case Kind::indicated: case Kind::allowed: case Kind::discouraged: case Kind::contraindicated: case Kind::otherwise:
    case Kind::take: case Kind::refuse: case Kind::choice_otherwise: case Kind::refer: return true;
    case Kind::caution: return !is_companion(ruleset, s);
    default: return false;
  }
}

std::vector<Mutant> changes(const Ruleset& ruleset, const Mover& mover, Index s) {
  std::vector<Mutant> out;
  const Sentence& sentence = ruleset.sentences[s];
  out.push_back({s, "struck", std::nullopt});
  if (auto other = turned(sentence)) out.push_back({s, "turned", std::move(other)});
  const auto of = [&](bool in_unless) {
    Sentence copy = sentence;
    Cond& condition = in_unless ? *copy.unless : copy.when;
    std::size_t count = 0;
    each_test(condition, [&](Test&) { ++count; });
    for (std::size_t t = 0; t < count; ++t) {
      Test original;
      std::size_t at = 0;
      each_test(condition, [&](Test& test) {
        if (at++ == t) original = test;
      });
      if (original.subject != Test::Subject::finding && original.subject != Test::Subject::measure && original.subject != Test::Subject::tally) continue;
      for (auto& [test, how] : mover.moved(original)) {
        Sentence moved = sentence;
        at = 0;
        each_test(in_unless ? *moved.unless : moved.when, [&, &other = test](Test& own) {
          if (at++ == t) own = other;
        });
        out.push_back({s, how, std::move(moved)});
      }
    }
  };
  of(false);
  if (sentence.unless) of(true);
  return out;
}

void strike(Ruleset& ruleset, Index s) {
  for (Index p : ruleset.sentences[s].practices) std::erase(ruleset.practices[p].sentences, s);
  if (const Index c = ruleset.sentences[s].choice; c != no_index) std::erase(ruleset.choices[c].sentences, s);
  std::erase(ruleset.red_flags, s);
  for (Index p : ruleset.sentences[s].practices)
    for (Index other : ruleset.practices[p].sentences) std::erase(ruleset.sentences[other].despite, s);
  ruleset.sentences[s].practices.clear();
}

// ---------------------------------------------------------------- noticed

// What claims and expectations there are, which of them a sentence bears on, and how they come out.
class Notices {
 public:
  explicit Notices(const Ruleset& ruleset) : ruleset_(ruleset) {
    const auto enter = [&](Scope scope, Subject subject) {
      const std::size_t at = subjects_.size();
      for (Index s : scope.sentences)
        bears_on_[s].push_back(at);
      subjects_.push_back(std::move(subject));
    };
    bears_on_.resize(ruleset.sentences.size());
    for (Index p = 0; p < ruleset.profiles.size(); ++p)
      for (Index e = 0; e < ruleset.profiles[p].expectations.size(); ++e) {
        const Expectation& expected = ruleset.profiles[p].expectations[e];
        Scoping scoping(ruleset);
        if (expected.practice != no_index) scoping.practice(expected.practice);
        if (expected.choice != no_index) scoping.choice(expected.choice);
        enter(std::move(scoping.every_fact()).scope(), {Subject::Kind::expectation, p, e});
      }
    for (Index c = 0; c < ruleset.claims.size(); ++c) {
      Scoping scoping(ruleset);
      scoping.claim(c);
      if (!ruleset.claims[c].trend) {
        enter(std::move(scoping.every_fact()).scope(), {Subject::Kind::claim, c});
        continue;
      }
      for (Index practice : ruleset.claims[c].trend->practices) {
        Subject subject{Subject::Kind::trend, c};
        subject.practices = {practice};
        enter(Scoping(scoping).practice(practice).every_fact().scope(), std::move(subject));
      }
    }
    Outcomes all;
    std::optional<Common> common;
    for (const Subject& subject : subjects_) before_.push_back(comes_out(ruleset, subject, common));
  }

  // Yes, no, or nothing where it is not known.
  std::optional<bool> notice(const Ruleset& mutant, Index sentence) const {
    std::optional<Common> common;
    bool undecided = false;
    for (const bool plainly : {true, false})
      for (std::size_t at : bears_on_[sentence]) {
        if (is_plain(subjects_[at]) != plainly) continue;
        const auto after = comes_out(mutant, subjects_[at], common);
        if (!after || !before_[at]) undecided = true;
        else if (*after != *before_[at]) return true;
      }
    if (undecided) return std::nullopt;
    return false;
  }

 private:
  using Outcomes = std::vector<std::string>;   // of each reading in which it fails, its school

  bool is_plain(const Subject& subject) const {
    if (subject.kind != Subject::Kind::expectation) return false;
    const Expectation& e = ruleset_.profiles[subject.index].expectations[subject.expectation];
    const Profile told = profile_of(ruleset_, ruleset_.profiles[subject.index]);
    return e.verdict != Verdict::unanswered && std::all_of(told.begin(), told.end(), [](const auto& value) { return value.has_value(); });
  }

  std::optional<Outcomes> comes_out(const Ruleset& mutant, const Subject& subject, std::optional<Common>& common) const {
    if (is_plain(subject)) {
      const Profile told = profile_of(mutant, mutant.profiles[subject.index]);
      Property p{Property::Kind::expectation, subject.index, subject.expectation, {}, {}, {}, ""};
      return is_broken(mutant, p, told) ? Outcomes{""} : Outcomes{};
    }
    if (!common) common.emplace(mutant, Budget());
    Account account(common->budget.total_steps);
    const Found found = look_at(*common, subject, scope_of(*common, subject), account);
    if (!found.not_settled.empty()) return std::nullopt;
    Outcomes out;
    for (const Problem& problem : found.problems) out.push_back(problem.school);
    return out;
  }

  const Ruleset& ruleset_;
  std::vector<Subject> subjects_;
  std::vector<std::vector<std::size_t>> bears_on_;
  std::vector<std::optional<Outcomes>> before_;
};

// Puts back what a change took away.
void restore(Ruleset& copy, const Ruleset& original, Index s) {
  const Sentence& sentence = original.sentences[s];
  for (Index at : {s, s + 1})
    if (at < original.sentences.size()) copy.sentences[at] = original.sentences[at];
  for (Index p : sentence.practices) {
    copy.practices[p].sentences = original.practices[p].sentences;
    for (Index other : original.practices[p].sentences) copy.sentences[other].despite = original.sentences[other].despite;
  }
  if (sentence.choice != no_index) copy.choices[sentence.choice].sentences = original.choices[sentence.choice].sentences;
  copy.red_flags = original.red_flags;
}

struct Told {
  std::vector<std::string> unnoticed;
  std::size_t mutants = 0, undecided = 0;
};

Told look_at_sentence(const Ruleset& original, Ruleset& copy, const Mover& mover, const Notices& notices, Index s) {
  Told told;
  for (const Mutant& mutant : changes(original, mover, s)) {
    change(copy, mutant);
    const auto noticed = notices.notice(copy, s);
    restore(copy, original, s);
    ++told.mutants;
    if (!noticed) ++told.undecided;
    else if (!*noticed) told.unnoticed.push_back(mutant.how);
  }
  return told;
}

Universe universe_of(const Ruleset& ruleset) { return cut(ruleset, Scoping(ruleset).everything().scope(), BoundFindings::none(ruleset)); }

}  // namespace

std::vector<Mutant> changes_of(const Ruleset& ruleset, Index sentence) {
  const Universe universe = universe_of(ruleset);
  return changes(ruleset, Mover(ruleset, universe), sentence);
}

std::vector<Index> changed_sentences(const Ruleset& ruleset) {
  std::vector<Index> out;
  for (Index s = 0; s < ruleset.sentences.size(); ++s)
    if (is_changed(ruleset, s)) out.push_back(s);
  return out;
}

void change(Ruleset& ruleset, const Mutant& mutant) {
  if (mutant.instead) {
    ruleset.sentences[mutant.sentence] = *mutant.instead;
    return;
  }
  const bool with_companion = is_companion(ruleset, mutant.sentence + 1);
  strike(ruleset, mutant.sentence);
  if (with_companion) strike(ruleset, mutant.sentence + 1);
}

Mutants mutants_of(const Ruleset& ruleset, const Mutating& how) {
  std::vector<Index> sentences = changed_sentences(ruleset);
  const std::size_t stride = sentences.size() / (most_mutants / 4) + 1;
  if (stride > 1) {
    std::vector<Index> some;
    for (std::size_t i = 0; i < sentences.size(); i += stride) some.push_back(sentences[i]);
    sentences = std::move(some);
  }
  const Universe universe = universe_of(ruleset);
  const Mover mover(ruleset, universe);
  const Notices notices(ruleset);
  std::vector<Told> told(sentences.size());
  std::atomic<std::size_t> next = 0, done = 0;
  std::mutex telling;
  std::vector<std::exception_ptr> thrown(std::max(1u, how.threads));
  const auto work_off = [&](unsigned t) {
    try {
      Ruleset copy = ruleset;
      for (std::size_t i; (i = next++) < sentences.size();) {
        told[i] = look_at_sentence(ruleset, copy, mover, notices, sentences[i]);
        const std::size_t so_many = ++done;
        if (how.progress) {
          const std::lock_guard<std::mutex> lock(telling);
          how.progress(so_many, sentences.size());
        }
      }
    } catch (...) {
      thrown[t] = std::current_exception();
    }
  };
  std::vector<std::thread> others;
  for (unsigned t = 1; t < how.threads; ++t) others.emplace_back(work_off, t);
  work_off(0);
  for (std::thread& other : others) other.join();
  for (const std::exception_ptr& e : thrown)
    if (e) std::rethrow_exception(e);
  Mutants out;
  out.sentences = sentences.size();
  for (std::size_t i = 0; i < sentences.size(); ++i) {
    out.mutants += told[i].mutants;
    out.undecided += told[i].undecided;
    out.unnoticed += told[i].unnoticed.size();
    if (!told[i].unnoticed.empty())
      out.untested.push_back({sentences[i], told[i].unnoticed, told[i].unnoticed.size() == told[i].mutants});
  }
  return out;
}

}  // namespace betony::trial
