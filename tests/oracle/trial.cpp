#include "tests/oracle/trial.h"

#include <algorithm>
#include <cstdlib>
#include <sstream>
#include <utility>

#include "tests/oracle/finite.h"
#include "tests/property/dice.h"

namespace betony::oracle {

namespace {

std::uint64_t from_environment(const char* name, std::uint64_t otherwise) {
  const char* text = std::getenv(name);
  return text && *text ? std::strtoull(text, nullptr, 10) : otherwise;
}

// Some questions of every kind, up to `most`, by chance.
std::vector<std::size_t> some_of(const std::vector<Question>& questions, std::size_t most, std::uint64_t seed) {
  referee::Dice dice(seed);
  std::map<std::string, std::vector<std::size_t>> by_kind;
  for (std::size_t q = 0; q < questions.size(); ++q) by_kind[questions[q].kind].push_back(q);
  for (auto& [kind, list] : by_kind) dice.shuffle(list);
  std::vector<std::size_t> chosen;
  for (bool more = true; more && chosen.size() < most;) {
    more = false;
    for (auto& [kind, list] : by_kind) {
      if (list.empty() || chosen.size() == most) continue;
      chosen.push_back(list.back());
      list.pop_back();
      more = true;
    }
  }
  return chosen;
}

std::vector<Formula> formulas_of(const std::vector<Question>& questions, const std::vector<std::size_t>& which) {
  std::vector<Formula> list;
  for (std::size_t q : which) list.push_back(questions[q].formula);
  return list;
}

class Session {
 public:
  Session(const Share& share, std::uint64_t seed, Totals& totals) : share_(share), seed_(seed), totals_(totals) {}

  void one(Candidate& c) {
    count(c);
    if (!c.examination) return differ(c, "not read: " + c.unread);
    Examination& e = *c.examination;
    const bool cut = can_be_finite(e.meaning.statement);
    if (cut) answers_ = ask_cadical(e.meaning.statement, e.formulas());
    if (!cut) z3_alone(c);
    else {
      z3(c);
      grid(c);
    }
    for (std::size_t q = 0; q < answers_.size(); ++q) {
      auto& [asked, yes] = totals_.questions[e.questions()[q].kind];
      ++asked;
      yes += answers_[q] ? 1 : 0;
    }
    if (answers_.empty()) return;
    std::optional<Buddy> buddy;
    if (cut) {
      buddy.emplace(e.meaning.statement, e.formulas());
      for (std::size_t q = 0; q < answers_.size(); ++q)
        if (buddy->satisfiable(q) != answers_[q]) oracles_differ(c, "BuDDy", q);
    }
    const Findings found = e.compare(answers_, buddy ? &*buddy : nullptr);
    totals_.compared += found.compared;
    totals_.shares += found.shares;
    totals_.not_settled += found.not_settled;
    for (const std::string& d : found.differences) differ(c, d);
    kept_[&c] = answers_;
  }

  // A few rulesets a run: starting the programs costs little, and a large program answers slowly.
  void clasp(const std::vector<std::unique_ptr<Candidate>>& batch) {
    std::vector<Candidate*> few;
    for (const auto& c : batch) {
      if (share_.clasp && kept_.count(c.get()) && can_be_finite(c->examination->meaning.statement)) few.push_back(c.get());
      if (few.size() == 10 || (c == batch.back() && !few.empty())) clasp(std::exchange(few, {}));
    }
  }

 private:
  void clasp(const std::vector<Candidate*>& few) {
    std::vector<Asked> asked;
    std::vector<std::vector<std::size_t>> which;
    for (Candidate* c : few) {
      which.push_back(some_of(c->examination->questions(), share_.clasp, seed_ + 7));
      asked.push_back({&c->examination->meaning.statement, formulas_of(c->examination->questions(), which.back())});
    }
    const auto answers = ask_clasp(asked);
    if (answers.size() != asked.size()) return differ(*few[0], "gringo and clasp gave no answers");
    for (std::size_t i = 0; i < few.size(); ++i)
      for (std::size_t q = 0; q < which[i].size(); ++q) {
        ++totals_.clasp;
        if (answers[i][q] != kept_[few[i]][which[i][q]]) oracles_differ(*few[i], "clasp", which[i][q], answers[i][q]);
      }
  }

  void count(const Candidate& c) {
    ++totals_.rulesets;
    const auto& sentences = c.model.sentences;
    totals_.sentences += static_cast<std::size_t>(std::count_if(sentences.begin(), sentences.end(), [](const Sentence& s) { return !s.gone; }));
    totals_.most_findings = std::max(totals_.most_findings, c.model.findings.size());
  }

  void differ(const Candidate& c, const std::string& what) { totals_.differences.push_back("- " + what + "\nin\n" + c.text); }

  void oracles_differ(const Candidate& c, const std::string& name, std::size_t question) { oracles_differ(c, name, question, !answers_[question]); }
  void oracles_differ(const Candidate& c, const std::string& name, std::size_t question, bool theirs) {
    const Question& q = c.examination->questions()[question];
    const auto answer = [](bool yes) { return yes ? "yes" : "no"; };
    differ(c, "the oracles disagree: " + q.kind + ", " + q.words + ": " + name + " says " + answer(theirs) + ", CaDiCaL says " + answer(!theirs));
  }

  void z3(const Candidate& c) {
    const auto& questions = c.examination->questions();
    const auto chosen = some_of(questions, share_.z3, seed_ + totals_.rulesets);
    const Z3Answers theirs = ask_z3(c.examination->meaning.statement, formulas_of(questions, chosen));
    if (!theirs.trouble.empty()) differ(c, "Z3 complains: " + theirs.trouble);
    for (std::size_t i = 0; i < chosen.size(); ++i) {
      ++totals_.z3;
      if (!theirs.fits[i]) ++totals_.z3_open;
      else if (*theirs.fits[i] != answers_[chosen[i]]) oracles_differ(c, "Z3", chosen[i]);
    }
  }

  // Measures of numbers without steps: only Z3 can tell.
  void z3_alone(const Candidate& c) {
    const Z3Answers theirs = ask_z3(c.examination->meaning.statement, c.examination->formulas());
    if (!theirs.trouble.empty()) differ(c, "Z3 complains: " + theirs.trouble);
    answers_.clear();
    totals_.z3 += theirs.fits.size();
    for (const auto& fits : theirs.fits) {
      if (!fits) ++totals_.z3_open;
      answers_.push_back(fits.value_or(false));
    }
    if (std::count(theirs.fits.begin(), theirs.fits.end(), std::nullopt)) answers_.clear();
  }

  void grid(const Candidate& c) {
    if (share_.grid == 0) return;
    const auto theirs = ask_grid(c.examination->meaning.statement, c.examination->formulas(), share_.grid);
    if (!theirs) return;
    for (std::size_t q = 0; q < answers_.size(); ++q) {
      ++totals_.grid;
      if ((*theirs)[q] != answers_[q]) oracles_differ(c, "the grid", q);
    }
  }

  const Share& share_;
  std::uint64_t seed_;
  Totals& totals_;
  std::vector<bool> answers_;
  std::map<const Candidate*, std::vector<bool>> kept_;
};

// Smaller rulesets that still differ, the greatest steps first; a few hundred are tried.
Model smallest(Model model, const Share& share, std::uint64_t seed) {
  int left = 300;
  for (bool found = true; found && left > 0;) {
    found = false;
    for (Model& next : smaller(model)) {
      if (--left < 0) break;
      Totals totals;
      std::vector<std::unique_ptr<Candidate>> batch;
      batch.push_back(candidate(next));
      if (!batch[0]->examination) continue;
      examine(batch, share, seed, totals);
      if (totals.differences.empty()) continue;
      model = std::move(next);
      found = true;
      break;
    }
  }
  return model;
}

}  // namespace

std::uint64_t seed() { return from_environment("BETONY_ORACLE_SEED", 20260402); }
std::size_t times() { return from_environment("BETONY_ORACLE_TIMES", 1); }

std::unique_ptr<Candidate> candidate(Model model) {
  auto c = std::make_unique<Candidate>();
  c->model = std::move(model);
  referee::Printed printed = print(c->model);
  c->text = printed.text;
  c->places = {std::move(printed.places)};
  const auto out = read_ruleset({"tide.bty", c->text}, [](const std::string&) { return std::optional<std::string>(); });
  if (!out) {
    for (const Message& m : out.messages) c->unread += m.matter + ": " + m.message + '\n';
    return c;
  }
  c->report = check(*out.value);
  c->examination = std::make_unique<Examination>(c->model, c->places, c->report);
  return c;
}

void examine(const std::vector<std::unique_ptr<Candidate>>& batch, const Share& share, std::uint64_t seed, Totals& totals) {
  Session session(share, seed, totals);
  for (const auto& c : batch) session.one(*c);
  session.clasp(batch);
}

Totals random_rulesets(std::uint64_t seed, std::size_t count, referee::Scale scale, const Share& share) {
  Totals totals;
  for (std::size_t done = 0; done < count && totals.differences.empty();) {
    std::vector<std::unique_ptr<Candidate>> batch;
    for (; done < count && batch.size() < 50; ++done) batch.push_back(candidate(referee::random_model(seed + done * 0x9e3779b97f4a7c15u, scale)));
    examine(batch, share, seed + done, totals);
    if (totals.differences.empty() || from_environment("BETONY_ORACLE_PLAIN", 0) != 0) continue;
    const auto culprit = std::find_if(batch.begin(), batch.end(), [&](const auto& c) { return totals.differences[0].find(c->text) != std::string::npos; });
    if (culprit == batch.end()) continue;
    const Model less = smallest((*culprit)->model, share, seed + done);
    totals.differences.insert(totals.differences.begin(), "made smaller:\n" + print(less).text);
  }
  return totals;
}

std::string Totals::words() const {
  std::ostringstream out;
  out << rulesets << " rulesets, " << sentences << " sentences, up to " << most_findings << " findings; " << z3 << " questions to Z3 (" << z3_open
      << " left open), " << clasp << " to clasp, " << grid << " to the grid; " << compared << " comparisons with reports, " << shares
      << " exact shares, " << not_settled << " not settled\n";
  for (const auto& [kind, count] : questions) out << "  " << kind << ": " << count.first << " asked, " << count.second << " yes\n";
  return out.str();
}

}  // namespace betony::oracle
