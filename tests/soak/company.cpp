#include "tests/soak/company.h"

#include <fmt/format.h>

#include <algorithm>
#include <stdexcept>

#include "runtime/answers.h"
#include "tests/soak/chance.h"
#include "tests/soak/look.h"

namespace betony::soak {
namespace {

constexpr std::size_t tellings_of_each = 8;    // finding, right ones and wrong ones
constexpr std::size_t most_tries = 30;         // for a person of whom there is something to be told

// ---------------------------------------------------------------- what may be told

class Tellings {
 public:
  Tellings(const runtime::Pack& pack, Chance& chance) : pack_(pack), chance_(chance) {}

  Telling right(std::size_t f) {
    const runtime::Finding& finding = pack_.findings[f];
    Telling out;
    out.finding = any_case(finding.also.empty() || chance_.one_in(2) ? finding.name : chance_.pick(finding.also));
    const runtime::Value value = value_of(finding);
    out.value = finding.has_words() ? any_case(finding.values[value.word]) : value_words(finding, value);
    if (finding.kind != runtime::Finding::Kind::number || value.kind != runtime::Value::Kind::number) return out;
    if (chance_.one_in(3)) out.value = value.number.words();
    if (chance_.one_in(3)) out.index = f, out.number = value.number.near();
    if (finding.units != runtime::no_index && chance_.one_in(4)) out.unit = chance_.pick(pack_.unit_tables[finding.units]).name;
    return out;
  }
  // It may happen to be right.
  Telling wrong(std::size_t f) {
    static const std::vector<std::string> values = {"", "perhaps", "yess", "-1", "1e9", "1/0", "99999", "12,5", "31 February", "24:00", "nevermore",
                                                    "7 7", "\xFF"};
    static const std::vector<std::string> units = {"lb", "Cel", "min", "ell", "", "kg/m2", "%"};
    Telling out = right(f);
    const std::size_t kind = chance_.below(4);
    if (kind == 0) out.index = BETONY_NONE, out.finding.insert(chance_.below(out.finding.size()), 1, 'x');
    else if (kind == 1) out.index = BETONY_NONE, out.value = chance_.pick(values);
    else if (kind == 2) out.index = f, out.number = chance_.one_in(2) ? 1e300 : static_cast<double>(chance_.below(1000)) / 7;
    else out.unit = chance_.pick(units);
    return out;
  }

 private:
  runtime::Value value_of(const runtime::Finding& finding) {
    using Kind = runtime::Value::Kind;
    if (finding.has_words()) return {Kind::word, static_cast<runtime::Index>(chance_.below(finding.values.size())), {}};
    if (finding.or_never && chance_.one_in(5)) return {Kind::never, 0, {}};
    if (finding.kind == runtime::Finding::Kind::date) return {Kind::number, 0, runtime::Number(chance_.below(366))};
    if (finding.kind == runtime::Finding::Kind::time_of_day) return {Kind::number, 0, runtime::Number(chance_.below(1440))};
    const runtime::Number width = finding.high - finding.low, step = finding.step.sign() == 0 ? *divided(width, runtime::Number(97)) : finding.step;
    const auto steps = static_cast<std::size_t>(divided(width, step)->near());
    return {Kind::number, 0, finding.low + runtime::Number(chance_.below(steps + 1)) * step};
  }

  std::string any_case(std::string text) {
    if (chance_.one_in(4))
      for (char& letter : text) if (letter >= 'a' && letter <= 'z') letter = static_cast<char>(letter - 'a' + 'A');
    return chance_.one_in(6) ? fmt::format("  {} ", text) : text;
  }

  const runtime::Pack& pack_;
  Chance& chance_;
};

// Tells it to a person of whom nothing else is told.
Taken taken_of(Caller& call, const betony_pack* pack, const Telling& telling) {
  const Person person(call(betony_person_new, pack));
  return tell(call, person.get(), telling);
}

Telling right_one(Caller& call, const betony_pack* pack, Tellings& tellings, std::size_t finding) {
  for (std::size_t tries = 0; tries < 50; ++tries) {
    Telling out = tellings.right(finding);
    out.taken = taken_of(call, pack, out);
    if (out.taken.status == BETONY_OK) return out;
  }
  throw std::runtime_error(std::string("no value is found for the finding ") + call(betony_finding, pack, finding));
}

// ---------------------------------------------------------------- persons

// Which findings are told, in the order in which they are.
std::vector<std::size_t> told_findings(std::size_t findings, std::size_t person, Chance& chance) {
  std::vector<std::size_t> out(findings);
  for (std::size_t f = 0; f < findings; ++f) out[f] = f;
  chance.shuffle(out);
  if (person % 3 == 1) out.resize(findings - std::min(findings, 1 + chance.below(4)));
  if (person % 3 == 2) out.resize(chance.below(findings / 2 + 1));
  return out;
}

bool is_beyond(Caller& call, const betony_pack* pack, const betony_told* told) {
  return call(betony_refers, told) > 0 || (call(betony_practices, pack) > 0 && call(betony_verdict_of, told, 0) == BETONY_OUTSIDE);
}

Person person_of(Caller& call, const betony_pack* pack, const Somebody& somebody) {
  Person out(call(betony_person_new, pack));
  for (const Telling& telling : somebody.told)
    if (!(tell(call, out.get(), telling) == telling.taken)) throw std::runtime_error("what one person may be told another may not");
  return out;
}

Somebody somebody(Caller& call, const betony_pack* pack, Tellings& tellings, std::size_t number, Chance& chance) {
  Somebody out;
  for (std::size_t tries = 0; tries < most_tries; ++tries) {
    out.told.clear();
    for (const std::size_t f : told_findings(call(betony_findings, pack), number, chance)) out.told.push_back(right_one(call, pack, tellings, f));
    const Person person = person_of(call, pack, out);
    const Told told = weighed(call, person.get(), "");
    if (!is_beyond(call, pack, told.get()) || number % 8 == 0) break;
  }
  return out;
}

std::vector<std::string> parts_of(Caller& call, const betony_pack* pack, betony_told* told) {
  std::vector<std::string> out;
  for (std::size_t part = 0, count = parts_of_told(call, pack); part < count; ++part) out.push_back(part_of_told(call, pack, told, part));
  return out;
}

}  // namespace

void add_company(Caller& call, Book& book, std::size_t persons, std::uint64_t seed) {
  Chance chance(seed);
  const runtime::PackReading read = runtime::read_pack(book.bytes);
  const Pack pack = loaded(call, book);
  Tellings tellings(*read.pack, chance);
  for (std::size_t f = 0; f < read.pack->findings.size(); ++f)
    for (std::size_t i = 0; i < tellings_of_each; ++i) {
      Telling telling = i % 2 ? tellings.wrong(f) : tellings.right(f);
      telling.taken = taken_of(call, pack.get(), telling);
      book.tellings.push_back(std::move(telling));
    }
  for (std::size_t number = 0; number < persons; ++number) {
    Somebody out = somebody(call, pack.get(), tellings, number, chance);
    const Person person = person_of(call, pack.get(), out);
    for (const std::string& school : book.schools) {
      out.parts.push_back(parts_of(call, pack.get(), weighed(call, person.get(), school).get()));
      out.alone.push_back(told_alone(call, pack.get(), weigher_of(call, pack.get(), school).get(), person.get()));
    }
    book.persons.push_back(std::move(out));
  }
}

std::array<std::size_t, BETONY_UNANSWERED + 1> verdicts_of(Caller& call, const Book& book) {
  std::array<std::size_t, BETONY_UNANSWERED + 1> out{};
  const Pack pack = loaded(call, book);
  for (const Somebody& somebody : book.persons) {
    const Person person = person_of(call, pack.get(), somebody);
    for (const std::string& school : book.schools) {
      const Told told = weighed(call, person.get(), school);
      for (std::size_t p = 0, count = call(betony_practices, pack.get()); p < count; ++p) ++out[call(betony_verdict_of, told.get(), p)];
    }
  }
  return out;
}

}  // namespace betony::soak
