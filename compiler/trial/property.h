// compiler/trial/property.h: what must hold for everybody, and whether one person breaks it.
//
// Each is told twice: as a condition over all persons for the bulk (`broken`), and plainly, for one person, with the evaluator
// (`is_broken`), so that nothing is reported that the plain meaning does not show.
//
//   claim         a claim of the ruleset, in the whole and in each school's reading
//   trend         a claim that one answer never raises (lowers) a verdict or a dose
//   expectation   a sample person's expectation, where the sample leaves findings open; broken by any completion
//   dose_clash    a practice that is taken, with amounts, rates or lengths that have nothing in common
//   dose_missing  a practice that is advised without an amount, though one is said to others
//   borrowed      advised though contraindicated: an Indicated that names no ban in `despite` advises a person for whom a
//                 Contraindicated fires, because another sentence, which only allows, has lifted it
//   company       advised together with what it is Never with; or while what it needs or leads to is withheld
//   order         practices advised to one person of which each would have to come before the next, around
//
// The people looked at are those of the checks (LANGUAGE.md, 10). Where schools are declared, doses, company and order are looked at
// in each school's reading, as there.
// Tested by tests/unit/trial_test.cpp, tests/property/trial_test.cpp
#pragma once

#include "compiler/compiler.h"
#include "compiler/meaning.h"

namespace betony::trial {

struct Property {
  enum class Kind { claim, trend, expectation, dose_clash, dose_missing, borrowed, company, order };
  Kind kind = Kind::claim;
  Index index = no_index;            // claim; profile; else the practice
  Index further = no_index;          // of a profile: its expectation; company: the other practice; borrowed: the ban
  Reading reading;
  std::vector<Index> sentences;      // company: one; order: what joins each practice to the next
  std::vector<Index> practices;      // order: around
  std::string name;                  // "no child is put to bed in moss", "moss bed"
};

std::vector<Property> properties_of(const Ruleset& ruleset);

const char* word_of(Property::Kind kind);   // "claim", "dose-clash", ...

// Where a possible person breaks it; nothing of trends, and of expectations.
std::optional<Form> broken(Meaning& meaning, const Property& property);

// Of dose_missing: where somebody who takes the practice is told an amount; where nobody is, nothing is missing.
Form told_an_amount(Meaning& meaning, const Property& property);

// Whether this person, whole and possible, breaks it; nothing of trends, which are of two persons.
bool is_broken(const Ruleset& ruleset, const Property& property, const Profile& person);

// What exact checking says of it.
enum class Settled { holds, fails, open };
Settled settled(const Ruleset& ruleset, const Property& property, const Report& report);

// Whether a problem of a report is about this.
bool is_told_by(const Ruleset& ruleset, const Property& property, const Problem& problem);

// The sentences that make the person break it, each once.
std::vector<Index> reasons(const Ruleset& ruleset, const Property& property, const Profile& person);

// Practices whose verdicts are told with a person who breaks it.
std::vector<Index> practices_of(const Ruleset& ruleset, const Property& property);

}  // namespace betony::trial
