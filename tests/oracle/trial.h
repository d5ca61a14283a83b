// tests/oracle/trial.h: rulesets put before the oracles and before the compiler, and what differs.
#pragma once

#include "tests/oracle/question.h"
#include "tests/property/generate.h"

namespace betony::oracle {

// How much of each ruleset is put before the oracles that cost more; CaDiCaL and BuDDy answer everything.
struct Share {
  std::size_t z3 = 12;     // questions of a ruleset, of each kind some
  std::size_t clasp = 10;
  double grid = 0;         // most profiles; 0: not asked
};

struct Totals {
  std::size_t rulesets = 0, sentences = 0, most_findings = 0;
  std::map<std::string, std::pair<std::size_t, std::size_t>> questions;  // by kind: asked, and answered yes
  std::size_t z3 = 0, z3_open = 0, clasp = 0, grid = 0, compared = 0, shares = 0, not_settled = 0;
  std::vector<std::string> differences;  // each with its ruleset

  std::string words() const;
};

// A ruleset, its text and its report, ready to be asked about; no examination where it was not read.
struct Candidate {
  Model model;
  Places places;
  std::string text;
  std::string unread;                       // why it was not read
  Report report;
  std::unique_ptr<Examination> examination;
};
std::unique_ptr<Candidate> candidate(Model model);  // from its printed text

// Asks all oracles, compares their answers with each other and with the report.
void examine(const std::vector<std::unique_ptr<Candidate>>& batch, const Share& share, std::uint64_t seed, Totals& totals);

// `count` random rulesets from the seed; the first that differs is made smaller as long as it still differs.
Totals random_rulesets(std::uint64_t seed, std::size_t count, referee::Scale scale, const Share& share);

std::uint64_t seed();         // fixed, or from BETONY_ORACLE_SEED
std::size_t times();          // 1, or from BETONY_ORACLE_TIMES

}  // namespace betony::oracle
