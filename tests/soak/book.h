// tests/soak/book.h: a pack, with what a single thread was told about it: the words that the threads must be told, too.
//
//   Book book = book_of(call, bytes);          // what the pack itself says, and what is said of it when it was changed
//   add_company(call, book, 100, seed);        // company.h: tellings and persons
//   const Pack pack = loaded(call, book);      // for the threads: one of their own, of which nobody was told before
//
// Once made it is not changed, and threads share it.
#pragma once

#include <cstdint>
#include <optional>
#include <string>
#include <vector>

#include "tests/soak/caller.h"

namespace betony::soak {

// How something was taken: the status, and betony_why.
struct Taken {
  betony_status status = BETONY_OK;
  std::string why;
  bool operator==(const Taken&) const = default;
};

// Something that may be told of anybody, right or wrong, and how it is taken.
struct Telling {
  std::string finding;                 // by name, in any writing
  std::size_t index = BETONY_NONE;     // or of which it is told as a number, by index
  std::string value;
  double number = 0;
  std::optional<std::string> unit;
  Taken taken;
};

struct Somebody {
  std::vector<Telling> told;                     // all of them right, of a finding each
  std::vector<std::vector<std::string>> parts;   // of each school, of each part of what is told: look.h
  std::vector<std::string> alone;                // of each school, the verdicts alone
};

// The pack with one byte changed, or cut short.
struct Broken {
  std::size_t at = 0;                  // the byte that is changed
  std::size_t size = 0;                // so many bytes are left
  Taken taken;
};

struct Book {
  std::vector<std::uint8_t> bytes;
  std::string title;
  std::vector<std::string> schools;    // "" first: the whole
  std::vector<std::string> parts;      // of the pack: look.h
  std::vector<Broken> broken;
  std::vector<Telling> tellings;
  std::vector<Somebody> persons;
};

// Throws std::runtime_error where the bytes are no pack.
Book book_of(Caller& call, std::vector<std::uint8_t> bytes);
Pack loaded(Caller& call, const Book& book);
Taken load_broken(Caller& call, std::vector<std::uint8_t> bytes, const Broken& broken);

Taken tell(Caller& call, betony_person* person, const Telling& telling);
// "" is the whole. Nothing where there is no such school.
Told weighed(Caller& call, betony_person* person, const std::string& school);
Weigher weigher_of(Caller& call, const betony_pack* pack, const std::string& school);

}  // namespace betony::soak
