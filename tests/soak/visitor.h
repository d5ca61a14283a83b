// tests/soak/visitor.h: what one thread of the soak test does: small steps through the C interface, in an order by chance.
//
// It takes up persons that are kept in the books, tells what is known of them in another order each time, with what is refused or told
// wrongly and forgotten in between, weighs them in some school, and looks at part after part of what is told, long after the person
// was told something else or was freed. Now and then it does so with a pack that it has loaded by itself, weighs somebody who is in no
// book (twice, to compare), reads what the pack itself says, loads packs that were changed, and hands a person over to
// another thread. What is told otherwise than a single thread was told is a difference.
//
// One a thread; the books and their packs are shared, the exchange locks itself.
#pragma once

#include <mutex>

#include "tests/soak/book.h"
#include "tests/soak/chance.h"

namespace betony::soak {

// A book, and what all threads share of it: the pack, and a weigher of each school.
struct Shelved {
  Shelved(Caller& call, const Book& of) : book(of), pack(loaded(call, of)) {
    for (const std::string& school : of.schools) weighers.push_back(weigher_of(call, pack.get(), school));
  }
  const Book& book;
  Pack pack;
  std::vector<Weigher> weighers;
};

// A person who was weighed. Its own pack, if it has one, is freed last.
struct Held {
  const Book* book = nullptr;
  const Somebody* somebody = nullptr;
  std::size_t school = 0;              // of the book
  Pack own;
  const betony_pack* pack = nullptr;   // its own or the shared one
  Person person;                       // freed already, perhaps
  Told told;
};
using HeldOwner = std::unique_ptr<Held>;

// Where persons wait for another thread.
class Exchange {
 public:
  // Leaves one and takes another; nothing comes of the first ones.
  HeldOwner swapped(HeldOwner given, std::size_t place);

 private:
  std::mutex lock_;
  std::vector<HeldOwner> waiting_ = std::vector<HeldOwner>(16);
};

struct Counts {
  std::size_t calls = 0, weighed = 0, loaded = 0, refused = 0, parts = 0, differences = 0;
  std::vector<std::string> told;       // of the first differences, what they were
  Counts& operator+=(const Counts& other);
};

class Visitor {
 public:
  Visitor(const std::vector<Shelved>& shelf, Exchange& exchange, std::uint64_t seed) : shelf_(shelf), exchange_(exchange), chance_(seed) {}
  void step();
  void let_all_go();
  Counts counts() const;

 private:
  void take_up();
  void tell_all(betony_person* person, const Book& book, const Somebody& somebody);
  void tell_and_forget(betony_person* person, const Book& book);
  Told weigh(betony_person* person, const std::string& school);
  void weigh_alone(const Held& held, const Shelved& shelved);
  void weigh_a_stranger();
  std::size_t some_part(const betony_pack* pack);
  void look();
  void read_pack();
  void load_changed();
  void hand_over();
  void let_go(Held& held);
  void expect(const std::string& got, const std::string& wanted, const Book& book, const std::string& where);
  void expect(const Taken& got, const Taken& wanted, const Book& book, const std::string& where);

  const std::vector<Shelved>& shelf_;
  Exchange& exchange_;
  Chance chance_;
  Caller call_;
  Counts counts_;
  std::vector<HeldOwner> held_;
};

}  // namespace betony::soak
