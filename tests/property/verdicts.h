// tests/property/verdicts.h: what a model says of every profile: fires, live, fits, verdict, with care.
//
// Written from the language's description (the order outside, referred, withheld, discouraged, advised, allowed,
// Otherwise, silent; `despite`; what fits a choice), a profile at a time, nothing clever.
#pragma once

#include <cstdint>

#include "tests/property/universe.h"

namespace betony::referee {

constexpr int nothing = -1;  // no sentence left out

struct Outcome {
  Verdict verdict = Verdict::silent;
  bool care = false;               // only with advised and allowed
  std::uint64_t texts = 0;         // cautions shown with it, one bit a text
  friend bool operator==(const Outcome&, const Outcome&) = default;
};

// One reading (a school's, or the whole), on every profile. Sentences outside the reading never fire.
struct Table {
  int school = whole, without = nothing;
  std::vector<Region> fires;                      // by sentence
  std::vector<std::vector<std::uint32_t>> fits;   // by choice: one bit a value
  std::vector<std::vector<Outcome>> outcomes;     // by practice
};

class Judge {
 public:
  Judge(const Model& model, const Universe& universe);

  Table table(int school, int without = nothing) const;
  bool in_reading(int sentence, int school) const { return referee::in_reading(model_, sentence, school); }
  bool holds(const Cond& cond, std::size_t profile, const Table& table) const;
  // Whether the ban is live for the practice: it fires, and no firing indication of the practice defies it.
  bool live(int ban, int practice, std::size_t profile, const Table& table, int without = nothing) const;
  Outcome outcome(int practice, std::size_t profile, const Table& table, int without = nothing) const;
  std::vector<std::string> texts(std::uint64_t bits) const;

  const Region& background() const { return background_; }  // allowed by every `It cannot be that`
  const Region& applies() const { return applies_; }        // and within `Applies to`
  bool referred(std::size_t profile, const Table& table, int without = nothing) const;

  const std::vector<int>& of_practice(int practice) const { return of_practice_[practice]; }
  const std::vector<int>& practices_of(int sentence) const { return practices_of_[sentence]; }
  bool speaks_otherwise(int sentence, std::size_t profile, const Table& table) const;  // of a choice

 private:
  void choose(int choice, Table& table) const;
  std::uint32_t taken(int choice, std::size_t profile, const Table& table) const;
  std::uint32_t refused(int choice, std::size_t profile, const Table& table) const;
  bool number_test(const Cond& cond, std::size_t profile, const Table& table) const;
  std::optional<Fraction> number(const Cond& cond, std::size_t profile, const Table& table) const;
  Fraction measured(int measure, std::size_t profile) const;
  Fraction points(int tally, std::size_t profile, const Table& table) const;
  std::string leader(int leading, std::size_t profile, const Table& table) const;
  const Sentence* otherwise(int practice, const Table& table, int without) const;

  const Model& model_;
  const Universe& universe_;
  std::vector<std::vector<int>> of_practice_, practices_of_;
  std::vector<std::string> texts_;
  std::vector<int> text_of_;  // by sentence
  Region background_, applies_;
};

// Every profile that fits the answers of a sample and the background.
Region completions(const Model&, const Universe&, const Judge&, const Sample&);
bool possible(const Model&, const Universe&, const Judge&, const Sample&);  // is there one?

}  // namespace betony::referee
