// runtime/betony.hpp: betony.h for C++: owners that free what they own, and texts as std::string_view.
//
//   auto loaded = betony::embedded::Pack::load(bytes);
//   if (!loaded.pack) return complain(loaded.why);
//   auto person = loaded.pack->person();
//   person.tell("age", "34");
//   const auto told = person.weigh();
//   std::cout << loaded.pack->caution() << '\n';
//   for (std::size_t p = 0; p < loaded.pack->practices(); ++p)
//     std::cout << loaded.pack->practice(p) << ": " << betony_verdict_word(told->verdict(p)) << '\n';
//
// A thin face: every call is one of betony.h, whose requirements hold. What is not here is asked of `c()`.
// A Pack outlives its persons, its weighers and what was told of them. Nothing is thrown.
// Tested by tests/unit/c_interface_test.cpp
#pragma once

#include <cstdint>
#include <memory>
#include <optional>
#include <span>
#include <string>
#include <string_view>
#include <utility>
#include <vector>

#include "betony.h"

namespace betony::embedded {

class Told {
 public:
  explicit Told(betony_told* told) : told_(told) {}
  betony_verdict verdict(std::size_t practice) const { return betony_verdict_of(c(), practice); }
  int with_care(std::size_t practice) const { return betony_with_care(c(), practice); }  // 1, 0, -1
  std::string_view dose(std::size_t practice) const { return betony_dose(c(), practice); }
  std::size_t refers() const { return betony_refers(c()); }
  std::string_view refer(std::size_t flag) const { return betony_refer(c(), flag); }
  // The finding to ask for next, or BETONY_NONE.
  std::size_t next() { return betony_next(told_.get()); }
  // The answers that would change the verdict, finding and value; none where nothing would.
  std::vector<std::pair<std::size_t, std::string_view>> change(std::size_t practice) {
    std::vector<std::pair<std::size_t, std::string_view>> out;
    for (std::size_t i = 0, count = betony_change(told_.get(), practice); i < count; ++i)
      out.emplace_back(betony_change_finding(told_.get(), practice, i), betony_change_value(told_.get(), practice, i));
    return out;
  }
  betony_verdict change_verdict(std::size_t practice) { return betony_change_verdict(told_.get(), practice); }
  const betony_told* c() const { return told_.get(); }

 private:
  struct Free { void operator()(betony_told* told) const { betony_told_free(told); } };
  std::unique_ptr<betony_told, Free> told_;
};

class Person {
 public:
  explicit Person(betony_person* person) : person_(person) {}
  // Whether it could be told; why() says in words what is wrong.
  bool tell(const std::string& finding, const std::string& value) { return betony_tell(c(), finding.c_str(), value.c_str(), nullptr) == BETONY_OK; }
  bool tell(std::size_t finding, std::size_t value) { return betony_tell_value(c(), finding, value) == BETONY_OK; }
  bool tell(const std::string& finding, const std::string& value, const std::string& unit) {
    return betony_tell(c(), finding.c_str(), value.c_str(), unit.c_str()) == BETONY_OK;
  }
  void forget() { betony_forget(c(), nullptr); }
  std::string_view why() const { return betony_why(person_.get()); }
  // Nothing where there is no such school; "" is the whole.
  std::optional<Told> weigh(const std::string& school = "") {
    betony_told* told = betony_weigh(c(), school.empty() ? nullptr : school.c_str());
    return told ? std::optional<Told>(Told(told)) : std::nullopt;
  }
  betony_person* c() const { return person_.get(); }

 private:
  struct Free { void operator()(betony_person* person) const { betony_person_free(person); } };
  std::unique_ptr<betony_person, Free> person_;
};

// Verdicts alone, of one person after another; any number of threads may share it.
class Weigher {
 public:
  explicit Weigher(betony_weigher* weigher, std::size_t practices) : weigher_(weigher), practices_(practices) {}
  // Of each practice the verdicts that are still possible, as BETONY_SET and its like tell them; the vector keeps its room for the next.
  void verdicts(Person& person, std::vector<std::uint32_t>& sets) const {
    sets.resize(practices_);
    if (betony_verdicts(weigher_.get(), person.c(), sets.data()) != BETONY_OK) sets.clear();
  }

 private:
  struct Free { void operator()(betony_weigher* weigher) const { betony_weigher_free(weigher); } };
  std::unique_ptr<betony_weigher, Free> weigher_;
  std::size_t practices_;
};

class Pack {
 public:
  struct Loaded;
  static Loaded load(std::span<const unsigned char> bytes);
  explicit Pack(betony_pack* pack) : pack_(pack) {}
  std::string_view title() const { return betony_title(c()); }
  std::string_view edition() const { return betony_edition(c()); }
  std::string_view caution() const { return betony_caution(c()); }
  std::size_t practices() const { return betony_practices(c()); }
  std::string_view practice(std::size_t practice) const { return betony_practice(c(), practice); }
  Person person() const { return Person(betony_person_new(c())); }
  // Nothing where there is no such school; "" is the whole.
  std::optional<Weigher> weigher(const std::string& school = "") const {
    betony_weigher* weigher = betony_weigher_new(c(), school.empty() ? nullptr : school.c_str());
    return weigher ? std::optional<Weigher>(Weigher(weigher, practices())) : std::nullopt;
  }
  const betony_pack* c() const { return pack_.get(); }

 private:
  struct Free { void operator()(betony_pack* pack) const { betony_pack_free(pack); } };
  std::unique_ptr<betony_pack, Free> pack_;
};

struct Pack::Loaded {
  std::optional<Pack> pack;
  std::string why;  // why there is none
};

inline Pack::Loaded Pack::load(std::span<const unsigned char> bytes) {
  betony_pack* pack = nullptr;
  char why[400] = "";
  if (betony_load(bytes.data(), bytes.size(), &pack, why, sizeof why) != BETONY_OK) return {std::nullopt, why};
  return {Pack(pack), {}};
}

}  // namespace betony::embedded
