#include "compiler/compiler.h"

#include <algorithm>
#include <atomic>
#include <system_error>
#include <thread>
#include <tuple>

#include "compiler/check/memory.h"

namespace betony {

std::size_t Report::count(Severity severity) const {
  return static_cast<std::size_t>(std::count_if(problems.begin(), problems.end(), [&](const Problem& p) { return p.severity == severity; }));
}

namespace {

std::pair<std::uint32_t, std::uint32_t> order_of(const Problem& problem) {
  if (problem.sentences.empty()) return {0, 0};
  return {problem.sentences[0].place.file, problem.sentences[0].place.span.begin};
}

// Errors first, then as they stand in the source.
std::vector<Problem> in_order(std::vector<std::vector<Problem>> problems) {
  std::vector<std::tuple<Severity, std::pair<std::uint32_t, std::uint32_t>, std::size_t, Problem*>> order;
  for (auto& of_one : problems)
    for (Problem& p : of_one) order.emplace_back(p.severity, order_of(p), order.size(), &p);
  std::sort(order.begin(), order.end());
  std::vector<Problem> ordered;
  ordered.reserve(order.size());
  for (const auto& [severity, place, at, problem] : order) ordered.push_back(std::move(*problem));
  return ordered;
}

// Looks at subjects, on several threads if wanted, and gathers what was found in their order.
//
// What a ruleset may cost in all is counted in that order too: a subject for which no steps were left, counted
// so, is not settled, whatever its study found meanwhile on another thread.
class Gathering {
 public:
  Gathering(const Common& common, const Checking& how) : facts(common.ruleset.sentences.size()), common_(common), how_(how), left_(common.budget.total_steps) {}

  void look_at_all(const std::vector<Subject>& subjects) {
    subjects_ = &subjects;
    studied_.assign(subjects.size(), std::nullopt);
    next_ = 0, gathered_ = 0;
    const std::size_t threads = std::min<std::size_t>(std::max(1u, how_.threads), subjects.size());
    std::vector<std::thread> others;
    try {
      for (std::size_t t = 1; t < threads; ++t) others.emplace_back([this] { work(); });
    } catch (const std::system_error&) {  // the machine gives no more threads; those there are do the work
    }
    work();
    for (std::thread& other : others) other.join();
    if (failed_) std::rethrow_exception(failed_);
  }

  // All that was gathered, the problems in order.
  Report report() && {
    report_.problems = in_order(std::move(problems_));
    return std::move(report_);
  }

  AllFacts facts;
  std::vector<Disagreement> disagreements;

  void gather(Found found) {
    if (!found.problems.empty()) problems_.push_back(std::move(found.problems));
    for (std::string& name : found.not_settled)
      if (not_settled_.insert(name).second) report_.not_settled.push_back(std::move(name));
    for (const auto& [sentence, fact] : found.facts) {
      if (!facts[sentence]) facts[sentence].emplace();
      SentenceFact& all = *facts[sentence];
      all.told = all.told || fact.told;
      all.matters = all.matters || fact.matters;
      all.looked_at = all.looked_at && fact.looked_at;
      if (all.alike == 0) all.alike = fact.alike;
      gather_parts(all, fact);
    }
    for (Disagreement& there : found.disagreements) disagreements.push_back(std::move(there));
    for (SourcesDisagree& seen : found.sources_disagree) report_.sources_disagree.push_back(std::move(seen));
  }

 private:
  // A part may be struck out of a sentence only where none of those that it speaks of needs it.
  static void gather_parts(SentenceFact& all, const SentenceFact& fact) {
    if (fact.parts_seen == 0) return;
    all.struck = all.parts_seen == 0 ? fact.struck : IndexSet();
    all.parts_seen += fact.parts_seen;
    all.parts.resize(fact.parts.size(), Reach::same_words);
    for (std::size_t i = 0; i < fact.parts.size(); ++i) all.parts[i] = std::max(all.parts[i], fact.parts[i]);
  }

  struct Studied {
    Found found;
    std::uint64_t steps = 0;
    bool met = false;  // what is left for all
  };

  void work() {
    try {
      for (std::size_t at; (at = next_++) < subjects_->size();) enter(at, study((*subjects_)[at], left()));
    } catch (...) {
      const std::lock_guard lock(mutex_);
      failed_ = std::current_exception();
      next_ = subjects_->size();
    }
  }

  std::uint64_t left() {
    const std::lock_guard lock(mutex_);
    return left_;
  }

  Studied study(const Subject& subject, std::uint64_t left) const {
    if (left == 0) return {{}, 0, true};
    std::optional<Recollection> recollection;
    if (how_.memory) {
      recollection.emplace(how_.memory->kept(), common_, subject);
      if (auto recalled = recollection->recall()) return {std::move(recalled->found), recalled->steps, false};
    }
    Account account(left, common_.budget.until);
    Studied studied;
    studied.found = look_at(common_, subject, scope_of(common_, subject), account);
    studied.steps = left - account.left();
    studied.met = account.exhausted();
    if (recollection && !studied.met) recollection->keep(studied.found, studied.steps);
    return studied;
  }

  // Gathers it, and whatever waited for it.
  void enter(std::size_t at, Studied studied) {
    const std::lock_guard lock(mutex_);
    studied_[at] = std::move(studied);
    for (; gathered_ < studied_.size() && studied_[gathered_]; ++gathered_) {
      Studied& next = *studied_[gathered_];
      if (next.met || next.steps > left_) {
        left_ = 0;
        gather(not_looked_at(common_.ruleset, (*subjects_)[gathered_]));
      } else {
        left_ -= next.steps;
        gather(std::move(next.found));
      }
      studied_[gathered_] = Studied{};
    }
    if (how_.progress) how_.progress(gathered_, studied_.size());
  }

  const Common& common_;
  const Checking& how_;
  const std::vector<Subject>* subjects_ = nullptr;
  std::atomic<std::size_t> next_ = 0;
  std::mutex mutex_;  // over all below
  std::vector<std::optional<Studied>> studied_;
  std::size_t gathered_ = 0;
  std::uint64_t left_;
  Report report_;                                // but for its problems
  std::vector<std::vector<Problem>> problems_;   // of each subject that has some
  std::set<std::string> not_settled_;
  std::exception_ptr failed_;
};

Report check_all(const Ruleset& ruleset, const Budget& budget, const Checking& how) {
  const Common common(ruleset, budget);
  Gathering gathering(common, how);
  if (how.memory) how.memory->kept().begin(common);
  if (common.usual.budget_met()) gathering.gather({{}, {"who is possible"}, {}, {}, {}});
  Account account = budget.account();
  Study anybody(common, {}, account);
  if (check_anybody(anybody)) {
    gathering.look_at_all(subjects_of(ruleset));
    gathering.look_at_all(last_subjects(ruleset, gathering.facts, std::move(gathering.disagreements)));
    gathering.gather(look_at(common, {}, {}, account));
  } else {
    gathering.gather(std::move(anybody.found));
  }
  Report report = std::move(gathering).report();
  for (Problem& p : report.problems) common.put_lines(p);
  for (std::string& name : report.not_settled) common.put_lines(name);
  return report;
}

}  // namespace

Report check(const Ruleset& ruleset, const Budget& budget, const Checking& how) {
  try {
    return check_all(ruleset, budget, how);
  } catch (const BudgetMet&) {  // not even who is looked at could be told
    Report report;
    report.not_settled.push_back("who is possible");
    return report;
  }
}

}  // namespace betony
