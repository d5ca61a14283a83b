// tests/property/universe.h: every answer to every question of a model, plainly listed.
//
// A variable is a finding or one item of an any-of finding. Its cells are its possible answers: each word, each
// step of a stepped number, `never`; of a number without steps each threshold that the model names, both ends, and
// a point inside each gap between them (all numbers of a gap meet the same thresholds alike); of dates and times
// the runs of days and minutes between thresholds. A profile is one cell for each variable.
#pragma once

#include <vector>

#include "tests/property/model.h"

namespace betony::referee {

struct Cell {
  bool never = false;
  int word = 0;              // words: the value; yes/no and items: 0 or 1
  Fraction low, high;        // numbers: this number, or all strictly between; date, time of day: all from low to high
  bool gap = false;          // numbers: strictly between
  Fraction number;           // one of its numbers
  Fraction weight;           // its part of the variable; the cells of a variable make 1 together
};

struct Variable {
  Subject subject;
  bool is_number = false;
  std::vector<Cell> cells;
};

using Region = std::vector<char>;  // by profile: is it in?

class Universe {
 public:
  explicit Universe(const Model& model);

  std::size_t size() const { return size_; }
  const std::vector<Variable>& variables() const { return variables_; }
  int variable(int finding, int item = -1) const;  // no such: -1
  int cell_index(std::size_t profile, int variable) const {
    return static_cast<int>(profile / strides_[variable] % variables_[variable].cells.size());
  }
  const Cell& cell(std::size_t profile, int variable) const {
    return variables_[variable].cells[cell_index(profile, variable)];
  }
  std::size_t with(std::size_t profile, int variable, int cell) const {
    return profile + (cell - cell_index(profile, variable)) * strides_[variable];
  }
  // The profile made of these cells, one for each variable.
  std::size_t profile(const std::vector<int>& cells) const;

  Fraction weight(const Region& region) const;
  // The variables that the function really depends on, over all combinations.
  std::vector<int> depends(const Region& function) const;
  std::string words(const Model& model, std::size_t profile) const;

 private:
  std::vector<Variable> variables_;
  std::vector<std::size_t> strides_;
  std::vector<Fraction> weights_;
  std::size_t size_ = 1;
};

// The number of profiles a universe of this model would have, without building it.
double universe_size(const Model& model);

// The cell of a variable that holds this answer; -1: none.
int cell_of(const Variable& variable, const Answer& answer);

}  // namespace betony::referee
