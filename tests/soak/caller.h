// tests/soak/caller.h: calls the C interface, and counts the calls.
//
//   Caller call;
//   const std::size_t practices = call(betony_practices, pack);
//
// One a thread. Packs, persons, weighers and what was told are owned by Pack, Person, Weigher and Told.
#pragma once

#include <cstddef>
#include <memory>

#include "runtime/betony.h"

namespace betony::soak {

class Caller {
 public:
  template <class Function, class... Given>
  auto operator()(Function function, Given... given) {
    ++calls_;
    return function(given...);
  }
  std::size_t calls() const { return calls_; }

 private:
  std::size_t calls_ = 0;
};

struct Free {
  void operator()(betony_pack* pack) const { betony_pack_free(pack); }
  void operator()(betony_person* person) const { betony_person_free(person); }
  void operator()(betony_told* told) const { betony_told_free(told); }
  void operator()(betony_weigher* weigher) const { betony_weigher_free(weigher); }
};
using Pack = std::unique_ptr<betony_pack, Free>;
using Person = std::unique_ptr<betony_person, Free>;
using Told = std::unique_ptr<betony_told, Free>;
using Weigher = std::unique_ptr<betony_weigher, Free>;

}  // namespace betony::soak
