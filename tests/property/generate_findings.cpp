// Findings of an invented world, and measures made from them.
#include <algorithm>

#include "tests/property/maker.h"
#include "tests/property/verdicts.h"

namespace betony::referee {

namespace {

// ---------------------------------------------------------------- names of an invented world

struct Named {
  const char* name;
  const char* also;
  std::vector<std::string> words;
};

const std::vector<Named>& names_of(Finding::Kind kind) {
  static const std::vector<Named> yes_no = {{"fever", "heat of blood", {}}, {"salt thirst", "", {}}, {"ringing of ears", "", {}},
                                            {"pull at dusk", "", {}}, {"wet cough", "tide cough", {}}};
  static const std::vector<Named> one_of = {{"skin", "", {"sound", "chapped", "broken"}}, {"tide sign", "", {"ebb", "flood", "slack"}},
                                            {"lodging", "", {"quay", "loft", "barge", "sound"}}};
  static const std::vector<Named> grade = {{"pain", "", {"none", "mild", "strong"}}, {"swelling", "puffing", {"none", "slight", "mild", "marked"}}};
  static const std::vector<Named> any_of = {{"complaints", "", {"cold hands", "stiff joints", "poor sleep"}},
                                            {"spots", "", {"red spots", "pale lips"}}};
  static const std::vector<Named> number = {{"age", "", {}}, {"last meal", "", {}}, {"weight", "", {}}, {"height", "", {}}, {"bell count", "", {}}};
  switch (kind) {
    case Finding::Kind::yes_no: return yes_no;
    case Finding::Kind::one_of: return one_of;
    case Finding::Kind::grade: return grade;
    case Finding::Kind::any_of: return any_of;
    default: return number;
  }
}

// What large rulesets are made from besides.
const std::vector<Named>& more_names_of(Finding::Kind kind) {
  static const std::vector<Named> yes_no = {{"night sweat", "", {}}, {"gull sight", "", {}}, {"tar breath", "black breath", {}},
                                            {"kelp itch", "", {}}, {"rope burn", "", {}}, {"gale ear", "", {}}, {"fog eye", "", {}},
                                            {"numb toes", "", {}}, {"brine nose", "", {}}};
  static const std::vector<Named> one_of = {{"lying", "", {"left", "right", "back"}}, {"trade", "", {"rower", "netter", "smith", "pilot", "cook"}}};
  static const std::vector<Named> grade = {{"thirst", "", {"none", "some", "great"}}, {"weariness", "", {"none", "mild", "marked", "deep", "utter"}}};
  static const std::vector<Named> any_of = {{"omens", "", {"black sail", "lame gull", "red dawn"}},
                                            {"aches", "", {"neck ache", "knee ache", "jaw ache", "hip ache"}}};
  static const std::vector<Named> number = {{"pulse", "", {}}, {"wakings", "", {}}, {"breath count", "", {}}, {"stair count", "", {}}};
  switch (kind) {
    case Finding::Kind::yes_no: return yes_no;
    case Finding::Kind::one_of: return one_of;
    case Finding::Kind::grade: return grade;
    case Finding::Kind::any_of: return any_of;
    default: return number;
  }
}

}  // namespace

// ---------------------------------------------------------------- findings

void Maker::declare_findings() {
  const bool large = scale_ == Scale::large;
  const int more = scale_ == Scale::measured ? static_cast<int>(m_.findings.size()) + upto(3) : large ? from(6, 26) : 0;
  const int count = more ? more : chance(20) ? from(5, 6) : from(2, 4);
  for (int guard = 0; static_cast<int>(m_.findings.size()) < count && guard < (large ? 400 : 40); ++guard) {
    static const std::vector<Finding::Kind> kinds = {
        Finding::Kind::yes_no, Finding::Kind::yes_no, Finding::Kind::yes_no, Finding::Kind::one_of, Finding::Kind::grade,
        Finding::Kind::any_of, Finding::Kind::number, Finding::Kind::number, Finding::Kind::number, Finding::Kind::date};
    Finding f;
    f.kind = pick(kinds);
    if (f.kind == Finding::Kind::date && chance(50)) f.kind = Finding::Kind::time_of_day;
    name(f);
    const auto same = [&](const Finding& other) { return other.name == f.name; };
    if (std::any_of(m_.findings.begin(), m_.findings.end(), same)) continue;
    m_.findings.push_back(f);
    if (!large && universe_size(m_) > most_profiles / 2) m_.findings.pop_back();
  }
}

void Maker::name(Finding& f) {
  f.asked = chance(70);
  if (f.kind == Finding::Kind::date || f.kind == Finding::Kind::time_of_day) {
    f.name = f.kind == Finding::Kind::date ? "date" : "time of day";
    return;
  }
  const Named& chosen = pick(scale_ == Scale::large && chance(50) ? more_names_of(f.kind) : names_of(f.kind));
  f.name = chosen.name;
  if (chance(40)) f.also = chosen.also;
  f.words = chosen.words;
  if (f.kind == Finding::Kind::number) number(f);
  else if (f.kind == Finding::Kind::yes_no && chance(20)) f.usual_word = upto(2);
  else if ((f.kind == Finding::Kind::one_of || f.kind == Finding::Kind::grade) && chance(50))
    f.usual_word = upto(static_cast<int>(f.words.size()));
}

void Maker::number(Finding& f) {
  const bool meal = f.name == "last meal";
  if (f.name == "age") f.unit = "years";
  if (f.name == "weight") f.unit = "kg", f.small_unit = "g", f.small_factor = 1000;
  if (f.name == "height") f.unit = "m", f.small_unit = "cm", f.small_factor = 100;
  if (meal) f.unit = "h", f.small_unit = "min", f.small_factor = 60, f.ago = chance(60);
  f.or_never = chance(meal ? 70 : 10);
  f.low = f.unit.empty() ? from(-2, 2) : upto(3);
  const int shape = upto(4);
  f.whole = shape == 0;
  f.step = shape == 0 ? Fraction(1) : shape == 1 ? Fraction(1, 2) : shape == 2 ? Fraction(0) : Fraction(pick(std::vector<int>{1, 3}), 4);
  const int steps = scale_ == Scale::large ? from(5, 200) : chance(4) ? from(20, 60) : from(2, 6);
  f.high = f.low + (f.step == 0 ? Fraction(Fraction(steps) / 2) : Fraction(f.step * steps));
  if (chance(40)) f.usual_number = f.low + (f.step == 0 ? Fraction(1, 4) : f.step) * upto(3);
  if (f.or_never && chance(20)) f.usual_number.reset(), f.usual_never = true;
}

// ---------------------------------------------------------------- measures

// Weight, height and a bundle in steps, and measures of them.
void Maker::declare_measured() {
  const auto add = [&](const char* name, const char* unit, Fraction low, Fraction step, int steps) {
    Finding f;
    f.kind = Finding::Kind::number;
    f.name = name, f.unit = unit;
    f.low = low, f.step = step, f.high = low + step * steps;
    f.asked = true;
    m_.findings.push_back(f);
  };
  add("weight", "kg", from(30, 60), pick(std::vector<Fraction>{Fraction(1, 2), Fraction(5), Fraction(7, 4)}), from(4, 16));
  add("height", "m", Fraction(from(10, 16)) / 10, pick(std::vector<Fraction>{Fraction(1, 20), Fraction(1, 10)}), from(3, 9));
  if (chance(50)) add("bundle", "kg", from(1, 4), pick(std::vector<Fraction>{Fraction(1), Fraction(1, 2), Fraction(3)}), from(2, 8));
  for (const char* name : {"build", "load"}) {
    Measure m;
    m.name = name;
    formula(m);
    m_.measures.push_back(m);
    if (chance(50)) return;
  }
}

namespace {

Arithmetic of(int finding) {
  Arithmetic a;
  a.op = Arithmetic::Op::finding;
  a.index = finding;
  return a;
}

Arithmetic constant(Fraction number, std::string unit) {
  Arithmetic a;
  a.number = std::move(number);
  a.unit = std::move(unit);
  return a;
}

Arithmetic both(Arithmetic::Op op, Arithmetic first, Arithmetic second) {
  Arithmetic a;
  a.op = op;
  a.parts = {std::move(first), std::move(second)};
  return a;
}

}  // namespace

void Maker::formula(Measure& m) {
  using Op = Arithmetic::Op;
  const bool bundle = m_.findings.size() > 2;
  switch (upto(bundle ? 8 : 4)) {
    case 0:
    case 1: m.is = both(Op::divided, of(0), both(Op::times, of(1), of(1))), m.unit = "kg/m2"; return;
    case 2: m.is = both(Op::times, of(0), of(1)), m.unit = "kg.m"; return;
    case 3: m.is = both(Op::most, constant(0, "kg"), both(Op::minus, of(0), constant(from(30, 60), "kg"))), m.unit = "kg"; return;
    case 4: m.is = both(Op::plus, of(0), both(Op::times, constant(from(2, 5), ""), of(2))), m.unit = "kg"; return;
    case 5: m.is = both(Op::divided, both(Op::minus, of(0), of(2)), of(2)); return;
    case 6: m.is = both(Op::least, of(2), both(Op::times, constant(Fraction(1, 10), ""), of(0))), m.unit = "kg"; return;
    default: m.is = both(Op::divided, both(Op::plus, of(0), of(2)), both(Op::times, of(1), of(1))), m.unit = "kg/m2"; return;
  }
}

// A number the measure has for somebody, or one near it.
Fraction Maker::measured_threshold(const Measure& m) {
  std::vector<Fraction> numbers(m_.findings.size());
  for (int i : inputs(m.is)) {
    const Finding& f = m_.findings[static_cast<std::size_t>(i)];
    numbers[static_cast<std::size_t>(i)] = f.low + f.step * upto(static_cast<int>(Fraction((f.high - f.low) / f.step).get_d()) + 1);
  }
  const Fraction exact = value(m.is, numbers);
  const mpz_class tenths = exact.get_num() * 10 / exact.get_den();
  return Fraction(mpz_class(exact.get_den() == 1 ? exact.get_num() * 10 : tenths)) / 10;
}

}  // namespace betony::referee
