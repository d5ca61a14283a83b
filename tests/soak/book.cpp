#include "tests/soak/book.h"

#include <stdexcept>

#include "runtime/pack.h"
#include "tests/soak/look.h"

namespace betony::soak {
namespace {

constexpr std::size_t broken_packs = 40;

std::vector<Broken> broken_ones(Caller& call, const Book& book) {
  std::vector<Broken> out;
  for (std::size_t i = 0; i < broken_packs; ++i) {
    Broken broken{i * book.bytes.size() / broken_packs, i % 4 == 0 ? i * book.bytes.size() / broken_packs : book.bytes.size(), {}};
    broken.taken = load_broken(call, book.bytes, broken);
    if (broken.taken.status == BETONY_OK) throw std::runtime_error("a pack is loaded though it was changed: " + book.title);
    out.push_back(std::move(broken));
  }
  return out;
}

}  // namespace

Book book_of(Caller& call, std::vector<std::uint8_t> bytes) {
  Book out;
  out.bytes = std::move(bytes);
  const Pack pack = loaded(call, out);
  out.title = call(betony_title, pack.get());
  const runtime::PackReading read = runtime::read_pack(out.bytes);
  for (const runtime::Reading& reading : read.pack->readings) out.schools.push_back(reading.school);
  for (std::size_t part = 0, count = parts_of_pack(call, pack.get()); part < count; ++part) out.parts.push_back(part_of_pack(call, pack.get(), part));
  out.broken = broken_ones(call, out);
  return out;
}

Pack loaded(Caller& call, const Book& book) {
  betony_pack* pack = nullptr;
  char why[200];
  if (call(betony_load, book.bytes.data(), book.bytes.size(), &pack, why, sizeof why) != BETONY_OK) throw std::runtime_error(why);
  return Pack(pack);
}

Taken load_broken(Caller& call, std::vector<std::uint8_t> bytes, const Broken& broken) {
  bytes[broken.at] ^= 0x10;
  bytes.resize(broken.size);
  betony_pack* pack = nullptr;
  char why[200];
  const betony_status status = call(betony_load, bytes.data(), bytes.size(), &pack, why, sizeof why);
  const Pack owned(pack);
  return {pack ? BETONY_OK : status, why};
}

Taken tell(Caller& call, betony_person* person, const Telling& telling) {
  const char* unit = telling.unit ? telling.unit->c_str() : nullptr;
  const betony_status status = telling.index == BETONY_NONE ? call(betony_tell, person, telling.finding.c_str(), telling.value.c_str(), unit)
                                                            : call(betony_tell_number, person, telling.index, telling.number, unit);
  return {status, call(betony_why, person)};
}

Told weighed(Caller& call, betony_person* person, const std::string& school) {
  return Told(call(betony_weigh, person, school.empty() ? nullptr : school.c_str()));
}

Weigher weigher_of(Caller& call, const betony_pack* pack, const std::string& school) {
  return Weigher(call(betony_weigher_new, pack, school.empty() ? nullptr : school.c_str()));
}

}  // namespace betony::soak
