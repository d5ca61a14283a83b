// tests/property/reading.h: the checks of one reading: a school's, or the whole.
#pragma once

#include "tests/property/enumerate.h"

namespace betony::referee {

struct Pair {
  int indication = 0, ban = 0;
  bool strong = true;  // the ban is Contraindicated
  Region where;        // on R
};

void add_pair(Expected& problem, const Pair& pair);  // sentences, pair, and the region widened
void widen(Region& region, const Region& by);
bool any(const Region& region);  // is somebody in it?
bool can_be_told_as_never(const Sentence& sentence);
bool gives_a_verdict(Sentence::Kind kind);

class Reading {
 public:
  Reading(const Model&, const Universe&, const Judge&, int school);

  // Contradictions a pair each (`together` makes one problem of those told together), silence of practices that have
  // a verdict sentence, choice-clash, choice-empty, dose-clash, dose-missing, broken-company, order-loop.
  std::vector<Expected> problems() const;
  std::vector<Expected> claims() const;
  std::vector<Expected> trends(int claim) const;                       // a problem a practice; trends.cpp
  std::vector<Expected> expectations() const;
  std::vector<Pair> meeting(int practice) const;

  Region where_fires(int sentence, const Region& within) const;

  const Table& table() const { return table_; }
  const Region& r() const { return r_; }  // applied to, and not referred
  int school() const { return school_; }

  Expected problem(const std::string& kind, const std::string& form, Weight severity) const;
  Expected with_share(Expected problem) const;  // its region's part of R

 private:
  struct Ban { int sentence; bool strong; Region where; };
  void contradictions(int practice, std::vector<Expected>& into) const;
  bool head_on(const Ban&, int indication, const Region&, int practice, std::vector<Expected>& into) const;
  bool swallowed(int indication, const Region&, const std::vector<const Ban*>&, bool strong, int practice,
                 std::vector<Expected>& into) const;
  void crossings(int practice, const std::vector<Pair>&, std::vector<Expected>& into) const;
  bool related(const Pair&, int practice) const;
  std::vector<Ban> bans(int practice) const;
  void silence(int practice, std::vector<Expected>& into) const;
  void clash(int choice, std::vector<Expected>& into) const;
  void empty(int choice, std::vector<Expected>& into) const;
  void dose_clash(int practice, std::vector<Expected>& into) const;    // doses.cpp
  void dose_missing(int practice, std::vector<Expected>& into) const;
  void company(std::vector<Expected>& into) const;                     // company.cpp
  void broken(int sentence, int practice, int other, Verdict, std::vector<Expected>& into) const;
  void order_loop(std::vector<Expected>& into) const;                  // order.cpp
  bool fit_apart(int first, int second, std::size_t profile) const;

  const Model& model_;
  const Universe& universe_;
  const Judge& judge_;
  int school_;
  Table table_;
  Region r_;
};

}  // namespace betony::referee
