// tests/property/compare.h: the compiler held to the referee. The only file here that calls the compiler.
#pragma once

#include "tests/property/model.h"

namespace betony::referee {

// What the judging came to: everything that differs, each in words; and how much was looked at.
struct Judgement {
  std::vector<std::string> differences;
  std::size_t profiles = 0, problems = 0;
};

// Prints the model, has the compiler read, evaluate and check it, and compares: that it reads without a message;
// verdicts, care, cautions, doses and choices on every profile the background allows, in every reading; every problem with
// its kind, form, severity, practice, choice, school, sentences, pairs and exact share; that swallowing sets suffice
// and are smallest; that every witness is a possible profile on which its problem shows; that all is settled.
Judgement judge(const Model& model);

// The differences, and the ruleset they were found in.
std::string report(const Model& model, const Judgement& judgement);

}  // namespace betony::referee
