// compiler/check/subjects.h: what of a ruleset is checked by itself, in the order in which it is told.
//
// Each subject has its scope and its own study, so any two may be checked at the same time, and what was found
// about one stays true as long as its scope says the same.
#pragma once

#include "compiler/check/checks.h"

namespace betony {

struct Subject {
  enum class Kind { red_flags, term, choice, practice, company, order, claim, trend, expectation, idle, parts, sources, book };
  Kind kind = Kind::book;
  Index index = 0;            // term, choice, practice, claim (trend too), profile
  Index expectation = 0;      // within the profile
  CompanyPair pair{};         // company
  std::vector<Index> sentences{};  // idle
  std::vector<Index> practices{};  // trend
  IdleParts parts{};
  std::vector<Disagreement> disagreements{};  // sources
};

// All but what is known only when these are done.
std::vector<Subject> subjects_of(const Ruleset& ruleset);
// And that: what changes nothing, and which sources disagree.
std::vector<Subject> last_subjects(const Ruleset& ruleset, const AllFacts& facts, std::vector<Disagreement> disagreements);
Scope scope_of(const Common& common, const Subject& subject);
// The practice whose scope is all of the subject's, if it is that of one.
std::optional<Index> practice_of_scope(const Ruleset& ruleset, const Subject& subject);
// "cold plunge", "company of cold plunge": what is not settled where the budget was met.
std::string name_of(const Ruleset& ruleset, const Subject& subject);

// Runs its checks. Never throws BudgetMet: the subject is then not settled.
Found look_at(const Common& common, const Subject& subject, Scope scope, Account& account);

// The subject left alone, for want of budget.
Found not_looked_at(const Ruleset& ruleset, const Subject& subject);

}  // namespace betony
