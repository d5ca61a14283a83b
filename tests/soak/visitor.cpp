#include "tests/soak/visitor.h"

#include <fmt/format.h>

#include <algorithm>

#include "tests/soak/look.h"

namespace betony::soak {
namespace {

constexpr std::size_t most_held = 6;          // persons of one thread
constexpr std::size_t most_told = 10;         // differences whose words are kept

std::string named(const Telling& telling) {
  const std::string unit = telling.unit ? fmt::format(" in \"{}\"", *telling.unit) : "";
  return telling.index == BETONY_NONE ? fmt::format("telling \"{}\" as \"{}\"{}", telling.finding, telling.value, unit)
                                      : fmt::format("telling finding {} as {}{}", telling.index, telling.number, unit);
}

}  // namespace

HeldOwner Exchange::swapped(HeldOwner given, std::size_t place) {
  const std::lock_guard<std::mutex> locked(lock_);
  waiting_[place % waiting_.size()].swap(given);
  return given;
}

Counts& Counts::operator+=(const Counts& other) {
  calls += other.calls, weighed += other.weighed, loaded += other.loaded, refused += other.refused, parts += other.parts;
  differences += other.differences;
  for (const std::string& words : other.told) if (told.size() < most_told) told.push_back(words);
  return *this;
}

Counts Visitor::counts() const {
  Counts out = counts_;
  out.calls = call_.calls();
  return out;
}

void Visitor::step() {
  const std::size_t kind = chance_.below(64);
  if (held_.empty() || (kind < 20 && held_.size() < most_held)) return take_up();
  if (kind < 46) return look();
  if (kind < 56) {
    const std::size_t which = chance_.below(held_.size());
    let_go(*held_[which]);
    held_.erase(held_.begin() + static_cast<std::ptrdiff_t>(which));
    return;
  }
  if (kind < 60) return weigh_a_stranger();
  if (kind < 62) return read_pack();
  return kind == 62 ? load_changed() : hand_over();
}

void Visitor::let_all_go() {
  for (const HeldOwner& held : held_) let_go(*held);
  held_.clear();
}

// ---------------------------------------------------------------- telling and weighing

void Visitor::take_up() {
  const Shelved& shelved = chance_.pick(shelf_);
  auto held = std::make_unique<Held>();
  held->book = &shelved.book;
  held->somebody = &chance_.pick(shelved.book.persons);
  held->school = chance_.below(shelved.book.schools.size());
  if (chance_.one_in(12)) held->own = loaded(call_, shelved.book), ++counts_.loaded;
  held->pack = held->own ? held->own.get() : shelved.pack.get();
  held->person.reset(call_(betony_person_new, held->pack));
  if (chance_.one_in(3)) tell_and_forget(held->person.get(), shelved.book);
  tell_all(held->person.get(), shelved.book, *held->somebody);
  if (chance_.one_in(2)) weigh_alone(*held, shelved);
  held->told = weigh(held->person.get(), shelved.book.schools[held->school]);
  held_.push_back(std::move(held));
}

void Visitor::tell_all(betony_person* person, const Book& book, const Somebody& somebody) {
  std::vector<const Telling*> all;
  for (const Telling& telling : somebody.told) all.push_back(&telling);
  for (std::size_t i = chance_.below(4); i > 0; --i)
    if (const Telling& telling = chance_.pick(book.tellings); telling.taken.status != BETONY_OK) all.push_back(&telling);
  chance_.shuffle(all);
  for (const Telling* telling : all) {
    expect(tell(call_, person, *telling), telling->taken, book, named(*telling));
    counts_.refused += telling->taken.status != BETONY_OK;
  }
}

void Visitor::tell_and_forget(betony_person* person, const Book& book) {
  std::vector<const Telling*> told;
  for (std::size_t i = chance_.below(8); i > 0; --i) {
    const Telling& telling = chance_.pick(book.tellings);
    expect(tell(call_, person, telling), telling.taken, book, named(telling));
    counts_.refused += telling.taken.status != BETONY_OK;
    if (telling.taken.status == BETONY_OK) told.push_back(&telling);
  }
  if (chance_.one_in(2)) call_(betony_weigh, person, "nobody's school");
  if (chance_.one_in(2)) told.clear(), call_(betony_forget, person, nullptr);
  for (const Telling* telling : told) {
    const betony_status status = call_(betony_forget, person, telling->finding.c_str());
    expect({status, call_(betony_why, person)}, {}, book, "forgetting");
  }
}

Told Visitor::weigh(betony_person* person, const std::string& school) {
  Told out = weighed(call_, person, school);
  ++counts_.weighed;
  return out;
}

// By the weigher that all share, or by one of its own pack.
void Visitor::weigh_alone(const Held& held, const Shelved& shelved) {
  const Weigher own = held.own ? weigher_of(call_, held.pack, shelved.book.schools[held.school]) : nullptr;
  const betony_weigher* weigher = own ? own.get() : shelved.weighers[held.school].get();
  expect(told_alone(call_, held.pack, weigher, held.person.get()), held.somebody->alone[held.school], shelved.book, "verdicts alone");
  ++counts_.weighed;
}

// Told by chance on top of whoever is held: nothing that was told before may change by it.
void Visitor::weigh_a_stranger() {
  const Held& held = *chance_.pick(held_);
  if (!held.person) return;
  for (std::size_t i = chance_.below(6); i > 0; --i) {
    const Telling& telling = chance_.pick(held.book->tellings);
    expect(tell(call_, held.person.get(), telling), telling.taken, *held.book, named(telling));
    counts_.refused += telling.taken.status != BETONY_OK;
  }
  const std::string& school = chance_.pick(held.book->schools);
  const Told one = weigh(held.person.get(), school), other = weigh(held.person.get(), school);
  for (std::size_t i = 0; i < 4; ++i) {
    const std::size_t part = some_part(held.pack);
    const std::string first = part_of_told(call_, held.pack, one.get(), part);
    expect(part_of_told(call_, held.pack, other.get(), part), first, *held.book, "a stranger");
    counts_.parts += 2;
  }
}

// ---------------------------------------------------------------- looking

std::size_t Visitor::some_part(const betony_pack* pack) {
  const std::size_t plain = plain_parts_of_told(call_, pack);
  return chance_.one_in(30) ? plain + chance_.below(parts_of_told(call_, pack) - plain) : chance_.below(plain);
}

void Visitor::look() {
  const Held& held = *chance_.pick(held_);
  const auto& wanted = held.somebody->parts[held.school];
  for (std::size_t i = chance_.below(wanted.size()); i > 0; --i) {
    const std::size_t part = some_part(held.pack);
    const auto number = held.somebody - held.book->persons.data();
    expect(part_of_told(call_, held.pack, held.told.get(), part), wanted[part], *held.book,
           fmt::format("person {}, school \"{}\", part {}", number, held.book->schools[held.school], part));
    ++counts_.parts;
  }
}

void Visitor::read_pack() {
  const Shelved& shelved = chance_.pick(shelf_);
  for (std::size_t i = 0; i < shelved.book.parts.size(); ++i) {
    const std::size_t part = chance_.below(shelved.book.parts.size());
    expect(part_of_pack(call_, shelved.pack.get(), part), shelved.book.parts[part], shelved.book, fmt::format("part {} of the pack", part));
    ++counts_.parts;
  }
}

void Visitor::load_changed() {
  const Book& book = chance_.pick(shelf_).book;
  const Broken& broken = chance_.pick(book.broken);
  expect(load_broken(call_, book.bytes, broken), broken.taken, book,
         fmt::format("loading {} bytes of it, with byte {} changed", broken.size, broken.at));
  ++counts_.refused;
}

// ---------------------------------------------------------------- freeing

void Visitor::hand_over() {
  HeldOwner got = exchange_.swapped(std::move(held_.back()), chance_.below(1000));
  held_.pop_back();
  if (got) held_.push_back(std::move(got));
}

// What was told may be freed before the person or after it; the pack last.
void Visitor::let_go(Held& held) {
  const auto free_person = [&] { if (held.person) call_(betony_person_free, held.person.release()); };
  if (chance_.one_in(2)) free_person();
  if (chance_.one_in(4)) {
    const auto& wanted = held.somebody->parts[held.school];
    const std::size_t part = some_part(held.pack);
    expect(part_of_told(call_, held.pack, held.told.get(), part), wanted[part], *held.book, "what was told, shortly before it is freed");
    ++counts_.parts;
  }
  call_(betony_told_free, held.told.release());
  free_person();
  if (held.own) call_(betony_pack_free, held.own.release());
}

// ---------------------------------------------------------------- comparing

void Visitor::expect(const std::string& got, const std::string& wanted, const Book& book, const std::string& where) {
  if (got == wanted) return;
  ++counts_.differences;
  if (counts_.told.size() < most_told)
    counts_.told.push_back(fmt::format("{}, {}:\n{}\nwhere one thread was told\n{}\n", book.title, where, got, wanted));
}

void Visitor::expect(const Taken& got, const Taken& wanted, const Book& book, const std::string& where) {
  const auto words = [](const Taken& taken) { return fmt::format("status {}: {}", static_cast<int>(taken.status), taken.why); };
  if (!(got == wanted)) expect(words(got), words(wanted), book, where);
}

}  // namespace betony::soak
