// tests/property/order.h: whether what is advised to a person can be done in one day, tried out.
#pragma once

#include <map>
#include <set>

#include "tests/property/verdicts.h"

namespace betony::referee {

// One person's day, in half hours: what is advised, when it may lie, and what stands before what.
struct Day {
  struct Span {
    int from = 0, to = 0;  // to before from: over midnight
    auto operator<=>(const Span&) const = default;
  };
  struct Practice {
    std::vector<Span> within, never;
    int least = 0;                  // its length; 0: more than nothing
    std::optional<int> most;
    bool over_midnight = false;     // it may lie so
    auto operator<=>(const Practice&) const = default;
  };
  struct Apart {
    int one = 0, other = 0, by = 0;
    auto operator<=>(const Apart&) const = default;
  };
  std::vector<Practice> practices;
  std::set<std::pair<int, int>> order;  // the first ends before the second begins
  std::set<Apart> apart;
  auto operator<=>(const Day&) const = default;
};

bool goes_round(const Day& day);  // by its order alone something would come before itself
bool can_be_kept(const Day& day);  // some beginnings and lengths keep everything

// The days of every person of one reading.
class Days {
 public:
  Days(const Model& model, const Universe& universe, const Judge& judge, const Table& table)
      : model_(model), universe_(universe), judge_(judge), table_(table) {}

  // Of these sentences alone; null: of all. Of lengths and times only those are in force that are so beside all others.
  Region circles(const Region& within, const std::set<int>* sentences = nullptr);
  Region not_kept(const Region& within, const std::set<int>* sentences = nullptr);

 private:
  Day day(std::size_t profile, const std::set<int>* sentences) const;
  void practice(Day::Practice& of, int practice, std::size_t profile, const std::set<int>* sentences) const;
  void between(Day& day, const std::vector<int>& places, int sentence) const;
  std::vector<int> in_force(int practice, Sentence::Kind kind, std::size_t profile) const;

  const Model& model_;
  const Universe& universe_;
  const Judge& judge_;
  const Table& table_;
  std::map<Day, bool> kept_;  // days that were tried before
};

}  // namespace betony::referee
