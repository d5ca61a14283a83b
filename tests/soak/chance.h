// tests/soak/chance.h: chance from a seed, the same on every machine.
#pragma once

#include <cstdint>
#include <random>
#include <utility>
#include <vector>

namespace betony::soak {

class Chance {
 public:
  explicit Chance(std::uint64_t seed) : engine_(seed) {}

  std::size_t below(std::size_t count) { return static_cast<std::size_t>(engine_() % count); }
  bool one_in(std::size_t count) { return below(count) == 0; }
  template <class List>
  const auto& pick(const List& list) { return list[below(list.size())]; }
  template <class T>
  void shuffle(std::vector<T>& list) {
    for (std::size_t i = list.size(); i > 1; --i) std::swap(list[i - 1], list[below(i)]);
  }

 private:
  std::mt19937_64 engine_;
};

}  // namespace betony::soak
