// tests/property/dice.h: chance from a seed, for those who make random rulesets.
#pragma once

#include <algorithm>
#include <cstdint>
#include <random>
#include <utility>
#include <vector>

#include "tests/property/model.h"

namespace betony::referee {

class Dice {
 public:
  explicit Dice(std::uint64_t seed) : engine_(seed) {}

  int upto(int count) { return static_cast<int>(engine_() % static_cast<unsigned long>(count)); }
  int from(int low, int high) { return low + upto(high - low + 1); }
  bool chance(int percent) { return upto(100) < percent; }
  template <class T>
  const T& pick(const std::vector<T>& list) { return list[static_cast<std::size_t>(upto(static_cast<int>(list.size())))]; }
  template <class T>
  void shuffle(std::vector<T>& list) {
    for (std::size_t i = list.size(); i > 1; --i) std::swap(list[i - 1], list[static_cast<std::size_t>(upto(static_cast<int>(i)))]);
  }
  std::vector<int> some(int count, int at_least) {  // some of 0 .. count-1, ascending
    std::vector<int> all;
    for (int i = 0; i < count; ++i) all.push_back(i);
    shuffle(all);
    all.resize(static_cast<std::size_t>(from(at_least, count)));
    std::sort(all.begin(), all.end());
    return all;
  }

 private:
  std::mt19937_64 engine_;
};

// What a Dose sentence says: few numbers, so that doses meet, and miss each other closely.
Dose random_dose(Dice& dice);
// Makes a sentence whose head stands one of order, company, time or length.
void random_day(Dice& dice, const Model& model, Sentence& sentence);

}  // namespace betony::referee
