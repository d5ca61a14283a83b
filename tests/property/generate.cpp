#include "tests/property/generate.h"

#include <algorithm>
#include <array>
#include <ostream>
#include <utility>

#include "tests/property/dice.h"
#include "tests/property/verdicts.h"

namespace betony::referee {

namespace {

using Kind = Sentence::Kind;
using Head = Sentence::Head;

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
  static const std::vector<Named> any_of = {{"complaints", "", {"cold hands", "stiff joints", "poor sleep"}}, {"spots", "", {"red spots", "pale lips"}}};
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

// ---------------------------------------------------------------- the maker

class Maker : private Dice {
 public:
  Maker(std::uint64_t seed, Scale scale) : Dice(seed), scale_(scale) {}

  Model make() {
    m_.layout = upto(4);
    if (scale_ == Scale::measured) declare_measured();
    declare_findings();
    declare_sources();
    declare_practices();
    declare_choices();
    declare_terms();
    choice_sentences();
    if (chance(30)) m_.backgrounds.push_back({small_fact()});
    if (chance(12)) m_.backgrounds.push_back({small_fact()});
    if (chance(25)) m_.applies.push_back({plain_cond(1)});
    // Findings that a measure binds are one to the compiler where it asks what two regions depend on in common.
    m_.prevail = chance(25) || scale_ == Scale::measured;
    sentences();
    otherwises();
    claims();
    if (scale_ != Scale::large) samples();
    return std::move(m_);
  }

 private:
  // ---- declarations

  void declare_findings() {
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

  void name(Finding& f) {
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

  void number(Finding& f) {
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

  // Weight, height and a bundle in steps, and measures of them.
  void declare_measured() {
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

  static Arithmetic of(int finding) {
    Arithmetic a;
    a.op = Arithmetic::Op::finding;
    a.index = finding;
    return a;
  }
  static Arithmetic constant(Fraction number, std::string unit) {
    Arithmetic a;
    a.number = std::move(number);
    a.unit = std::move(unit);
    return a;
  }
  static Arithmetic both(Arithmetic::Op op, Arithmetic first, Arithmetic second) {
    Arithmetic a;
    a.op = op;
    a.parts = {std::move(first), std::move(second)};
    return a;
  }

  void formula(Measure& m) {
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
  Fraction measured_threshold(const Measure& m) {
    std::vector<Fraction> numbers(m_.findings.size());
    for (int i : inputs(m.is)) {
      const Finding& f = m_.findings[static_cast<std::size_t>(i)];
      numbers[static_cast<std::size_t>(i)] = f.low + f.step * upto(static_cast<int>(Fraction((f.high - f.low) / f.step).get_d()) + 1);
    }
    const Fraction exact = value(m.is, numbers);
    const mpz_class tenths = exact.get_num() * 10 / exact.get_den();
    return Fraction(mpz_class(exact.get_den() == 1 ? exact.get_num() * 10 : tenths)) / 10;
  }

  void declare_sources() {
    static const std::array<const char*, 4> words = {"SB", "WN", "QL", "TR"};
    static const std::array<const char*, 4> titles = {"Salt book", "Winter notes", "Quay lessons", "Tide rolls"};
    const int count = chance(60) ? from(1, 4) : 0;
    for (int i = 0; i < count; ++i) {
      Source s{words[static_cast<std::size_t>(i)], titles[static_cast<std::size_t>(i)], 1900 + i, std::nullopt};
      if (chance(50)) s.rank = i + 1;
      m_.sources.push_back(s);
    }
    if (count < 2 || !chance(45)) return;
    m_.schools.push_back({"upper quay", {0}});
    m_.schools.push_back({"lower quay", {1}});
    if (count > 2 && chance(30)) m_.schools.push_back({"old harbour", {2}});
    if (count > 3 && chance(50)) m_.schools[0].sources.push_back(3);
  }

  void declare_practices() {
    static const std::array<const char*, 4> names = {"cold plunge", "steam room", "foot soak", "salt walk"};
    static const std::array<const char*, 4> others = {"the dip", "", "basin hour", ""};
    auto count = static_cast<std::size_t>(chance(50) ? 1 : from(2, 3));
    for (std::size_t i = 0; i < count; ++i) m_.practices.push_back({names[i], chance(40) ? others[i] : ""});
    if (scale_ == Scale::large && count > 1)
      for (const char* more : {"mud wrap", "bell watch", "kelp tea"})
        if (chance(50)) m_.practices.push_back({more, ""}), ++count;
    if (!chance(count > 1 ? 55 : 15)) return;
    m_.groups.push_back({"baths", some(static_cast<int>(count), 1), {}});
    if (chance(40)) m_.groups.push_back({"shore works", some(static_cast<int>(count), 0), {}});
    if (m_.groups.size() == 2 && (m_.groups[1].practices.empty() || chance(40))) m_.groups[1].groups = {0};
  }

  void declare_choices() {
    if (!chance(30)) return;
    static const std::vector<Choice::Kind> kinds = {Choice::Kind::one_of, Choice::Kind::one_of, Choice::Kind::highest,
                                                    Choice::Kind::lowest, Choice::Kind::any_of};
    m_.choices.push_back({pick(kinds), "rubbing oil", {"seal oil", "nut oil", "pitch"}});
    if (chance(35)) m_.choices.push_back({pick(kinds), "water heat", {"cool", "warm", "hot"}});
  }

  void declare_terms() {
    static const std::array<const char*, 2> names = {"frail", "storm touched"};
    const int count = chance(35) ? from(1, 2) : 0;
    for (int i = 0; i < count; ++i) m_.terms.push_back({names[static_cast<std::size_t>(i)], plain_cond(2)});
    if (chance(30)) declare_tallies();
    if (!m_.choices.empty() && chance(20)) {
      choices_askable_ = static_cast<int>(m_.choices.size());
      m_.terms.push_back({"well oiled", cond(1)});
      choices_askable_ = 0;
      late_term_ = static_cast<int>(m_.terms.size()) - 1;
    }
  }

  void declare_tallies() {
    static const std::array<const char*, 3> names = {"chill", "damp", "glow"};
    const int count = from(1, 3);
    for (int i = 0; i < count; ++i) {
      Tally t{names[static_cast<std::size_t>(i)], {}};
      for (int items = from(1, 3); items > 0; --items) {
        TallyItem item{{plain_cond(chance(30) ? 1 : 0)}, false, Fraction(from(-1, 3))};
        if (item.points == 0) item.points = Fraction(1, 2);
        item.each = chance(20);
        if (item.each) item.counted.push_back(plain_cond(0));
        t.items.push_back(item);
      }
      m_.tallies.push_back(t);
    }
    if (!chance(60)) return;
    Leading l{"bent", some(count, 1), std::nullopt, chance(50) ? "even" : m_.tallies[0].name};
    if (chance(30)) l.lead = Fraction(from(1, 2));
    m_.leadings.push_back(l);
  }

  // ---- conditions

  Cond plain_cond(int depth) {  // over findings and earlier terms only
    const bool before = std::exchange(plain_, true);
    Cond c = cond(depth);
    plain_ = before;
    return c;
  }

  // A background fact seldom forbids much.
  Cond small_fact() {
    Cond c;
    c.kind = Cond::Kind::all;
    c.parts = {plain_cond(0), plain_cond(0)};
    if (chance(30)) c.parts.push_back(plain_cond(0));
    c.style = upto(12);
    return c;
  }

  Cond cond(int depth) {
    const int roll = upto(10);
    if (depth == 0 || roll < 4) return chance(15) ? negated(atom()) : atom();
    Cond c;
    c.style = upto(12);
    c.kind = roll < 6 ? Cond::Kind::all : roll < 8 ? Cond::Kind::any : roll == 8 ? Cond::Kind::at_least : Cond::Kind::none;
    for (int parts = from(2, 3); parts > 0; --parts) c.parts.push_back(cond(depth - 1));
    c.count = from(1, static_cast<int>(c.parts.size()));
    return c;
  }

  Cond negated(Cond part) {
    Cond c;
    c.kind = Cond::Kind::negation;
    c.parts = {std::move(part)};
    return c;
  }

  Cond atom() {
    Cond c;
    c.style = upto(105);
    c.negated = chance(25);
    if (!m_.measures.empty() && chance(40)) {
      const int which = upto(static_cast<int>(m_.measures.size()));
      const Measure& m = m_.measures[static_cast<std::size_t>(which)];
      return compare(c, Cond::Of::measure, which, measured_threshold(m), measured_threshold(m));
    }
    const int roll = upto(100);
    if (roll < 12 && terms_askable() > 0) {
      c.kind = Cond::Kind::holds;
      c.of = Cond::Of::term;
      c.index = upto(terms_askable());
      return c;
    }
    if (!plain_ && roll < 22 && !m_.tallies.empty()) return compare(c, Cond::Of::tally, upto(static_cast<int>(m_.tallies.size())), from(-1, 4), from(-1, 4));
    if (!plain_ && roll < 32 && !m_.leadings.empty()) return among(c, Cond::Of::leading, 0, leading_values(m_, m_.leadings[0]).size());
    if (!plain_ && roll < 44 && choices_askable_ > 0) {
      const int choice = upto(choices_askable_);
      return among(c, Cond::Of::choice, choice, m_.choices[static_cast<std::size_t>(choice)].words.size());
    }
    return of_finding(c, upto(static_cast<int>(m_.findings.size())));
  }

  int terms_askable() const {
    const int count = static_cast<int>(m_.terms.size());
    return late_term_ >= 0 && (plain_ || !late_terms_ask_) ? late_term_ : count;
  }

  Cond among(Cond c, Cond::Of of, int index, std::size_t words) {
    c.kind = Cond::Kind::among;
    c.of = of;
    c.index = index;
    c.words = some(static_cast<int>(words), 1);
    while (c.words.size() > 1 && (c.words.size() == words || chance(50))) c.words.pop_back();
    return c;
  }

  Cond compare(Cond c, Cond::Of of, int index, Fraction a, Fraction b) {
    c.of = of;
    c.index = index;
    const int roll = upto(12);
    if (roll < 2) {
      c.kind = Cond::Kind::numbers;
      c.numerals = {a};
      if (roll == 1 && b != a) c.numerals.push_back(b);
      return c;
    }
    c.kind = Cond::Kind::compare;
    c.negated = false;
    c.how = static_cast<Cond::How>(roll < 10 ? roll % 4 : 4);
    if (c.how == Cond::How::from_to) c.numerals = {std::min(a, b), std::max(a, b)};
    else c.numerals = {a};
    return c;
  }

  Cond of_finding(Cond c, int index) {
    const Finding& f = m_.findings[static_cast<std::size_t>(index)];
    c.index = index;
    switch (f.kind) {
      case Finding::Kind::any_of: c.item = upto(static_cast<int>(f.words.size())); [[fallthrough]];
      case Finding::Kind::yes_no: c.kind = Cond::Kind::holds; c.negated = false; return c;
      case Finding::Kind::one_of: return among(c, Cond::Of::finding, index, f.words.size());
      case Finding::Kind::grade: return of_grade(c, index, static_cast<int>(f.words.size()));
      case Finding::Kind::date: return of_day(c, index, 366);
      case Finding::Kind::time_of_day: return of_day(c, index, 1440);
      case Finding::Kind::number: break;
    }
    if (f.or_never && chance(25)) {
      c.kind = Cond::Kind::never;
      c.numerals.clear();
      return c;
    }
    return compare(c, Cond::Of::finding, index, threshold(f), threshold(f));
  }

  Cond of_grade(Cond c, int index, int words) {
    if (chance(50)) return among(c, Cond::Of::finding, index, static_cast<std::size_t>(words));
    Cond made = compare(c, Cond::Of::finding, index, upto(words), upto(words));
    return made.kind == Cond::Kind::numbers ? among(c, Cond::Of::finding, index, static_cast<std::size_t>(words)) : made;
  }

  // Few thresholds, so that ranges meet; ranges may go round the end of the year or the day.
  Cond of_day(Cond c, int index, int count) {
    static const std::array<int, 5> marks = {0, 59, 120, 244, 335};
    const auto mark = [&] { return Fraction(chance(10) ? count - 1 : marks[static_cast<std::size_t>(upto(5))]); };
    c.index = index;
    c.negated = false;
    c.kind = Cond::Kind::compare;
    c.how = count == 1440 && chance(30) ? static_cast<Cond::How>(upto(4)) : Cond::How::from_to;
    c.numerals = {mark()};
    if (c.how == Cond::How::from_to) c.numerals.push_back(mark());
    return c;
  }

  // Mostly a value of the finding; now and then between two of its steps, or beyond its ends.
  Fraction threshold(const Finding& f) {
    const Fraction step = f.step == 0 ? Fraction(1, 2) : f.step;
    const int steps = static_cast<int>(Fraction((f.high - f.low) / step).get_d());
    Fraction at = f.low + step * (chance(25) ? from(0, steps) : from(1, steps - 1));
    if (chance(8)) at += step / 2;
    if (chance(3)) at = f.high + step;
    if (chance(3) && f.low > step) at = f.low - step;
    return at;
  }

  // ---- sentences

  Cond colliding() {
    const int roll = upto(100);
    if (pool_.empty() || roll < 44) return remember(cond(chance(50) ? 0 : chance(70) ? 1 : 2));
    if (roll < 49) return {};
    Cond old = pool_[static_cast<std::size_t>(upto(static_cast<int>(pool_.size())))];
    if (roll < 65) return old;
    if (roll < 72) return old.kind == Cond::Kind::negation ? old.parts[0] : negated(old);
    Cond c;
    c.style = upto(12);
    c.kind = roll < 87 ? Cond::Kind::all : Cond::Kind::any;
    c.parts = {old, cond(chance(70) ? 0 : 1)};
    return remember(c);
  }

  Cond remember(const Cond& c) {
    pool_.push_back(c);
    return c;
  }

  void cite(Sentence& s) {
    if (m_.sources.empty() || !chance(70)) return;
    s.cites.push_back(upto(static_cast<int>(m_.sources.size())));
    const int more = upto(static_cast<int>(m_.sources.size()));
    if (chance(12) && more != s.cites[0]) s.cites.push_back(more);
  }

  void choice_sentences() {
    for (int c = 0; c < static_cast<int>(m_.choices.size()); ++c) {
      choices_askable_ = c;
      for (int count = from(1, 4); count > 0; --count) {
        Sentence s = about_choice(c, chance(75) ? Kind::take : Kind::refuse);
        s.when = colliding();
        if (chance(12)) s.unless = cond(0);
        m_.sentences.push_back(s);
      }
      if (chance(50)) m_.sentences.push_back(about_choice(c, Kind::choice_otherwise));
    }
    choices_askable_ = static_cast<int>(m_.choices.size());
    late_terms_ask_ = true;
  }

  Sentence about_choice(int choice, Kind kind) {
    Sentence s;
    s.kind = kind;
    s.head = Head::choice;
    s.choice = choice;
    s.style = upto(60);
    const int words = static_cast<int>(m_.choices[static_cast<std::size_t>(choice)].words.size());
    s.values = {upto(words)};
    const bool several = m_.choices[static_cast<std::size_t>(choice)].kind == Choice::Kind::any_of || kind == Kind::refuse;
    const int more = upto(words);
    if (several && chance(35) && more != s.values[0]) s.values.push_back(more);  // several may fit only any of
    cite(s);
    return s;
  }

  void head(Sentence& s) {
    const int roll = upto(100);
    const int practices = static_cast<int>(m_.practices.size());
    if (roll < 15 && !m_.groups.empty()) {
      s.head = Head::group;
      s.group = upto(static_cast<int>(m_.groups.size()));
    } else if (roll < 22) {
      s.head = Head::every;
    } else if (roll < 30) {
      s.practices = some(practices, 1);
    } else {
      s.practices = {upto(practices)};
    }
  }

  void sentences() {
    const int count = scale_ == Scale::large ? from(1, 34) : chance(10) ? from(10, 14) : from(2, 9);
    for (int i = 0; i < count; ++i) {
      if (chance(12)) in_line();
      else m_.sentences.push_back(sentence());
    }
    if (scale_ == Scale::large && chance(60)) return defy();
    if (chance(40)) theme(Kind::dose, 2, 5);
    if (chance(m_.practices.size() > 1 ? 55 : 15)) theme(Kind::follows, 2, 5);
    if (chance(30)) m_.sentences.push_back(refer());
    if (chance(8)) m_.sentences.push_back(refer());
    defy();
  }

  Sentence sentence() {
    static const std::vector<Kind> kinds = {
        Kind::indicated, Kind::indicated, Kind::indicated, Kind::indicated, Kind::allowed, Kind::allowed,
        Kind::contraindicated, Kind::contraindicated, Kind::contraindicated, Kind::contraindicated, Kind::discouraged,
        Kind::discouraged, Kind::caution, Kind::caution, Kind::dose, Kind::uses, Kind::follows};
    Sentence s;
    s.kind = pick(kinds);
    s.style = upto(60);
    head(s);
    if (s.kind == Kind::uses && m_.choices.empty()) s.kind = Kind::caution;
    if (s.kind == Kind::dose || s.kind == Kind::follows) return filled(s, 80);
    if (s.kind == Kind::uses) {
      s.choice = upto(static_cast<int>(m_.choices.size()));
      return s;
    }
    s.when = colliding();
    if (chance(18)) s.unless = chance(50) && !pool_.empty() ? pick(pool_) : cond(0);
    if (s.kind == Kind::caution) s.text = chance(60) ? "Go slowly." : chance(50) ? "Not alone!" : "Ask the \"\"bell\"\" keeper";
    if (chance(10)) s.aim = "warmth";
    cite(s);
    return s;
  }

  // Several doses, or several sentences about the day, so that they meet; and somebody who is advised their practices, or not.
  void theme(Kind kind, int low, int high) {
    const int practice = upto(static_cast<int>(m_.practices.size()));
    for (int count = from(low, high); count > 0; --count) {
      Sentence s;
      s.kind = kind;
      s.style = upto(60);
      head(s);
      if (kind == Kind::dose && s.head == Head::practices && chance(70)) s.practices = {practice};
      m_.sentences.push_back(filled(s, 55));
    }
    for (int p = 0; p < static_cast<int>(m_.practices.size()); ++p)
      if (chance(50)) judged(p);
  }

  void judged(int practice) {
    static const std::vector<Kind> kinds = {Kind::indicated, Kind::indicated, Kind::indicated, Kind::discouraged, Kind::contraindicated};
    Sentence s;
    s.kind = pick(kinds);
    s.practices = {practice};
    s.style = upto(60);
    if (chance(s.kind == Kind::indicated ? 60 : 90)) s.when = colliding();
    cite(s);
    m_.sentences.push_back(s);
  }

  Sentence filled(Sentence s, int conditional) {
    if (s.kind == Kind::dose) s.dose = random_dose(*this);
    else random_day(*this, m_, s);
    if (chance(conditional)) s.when = colliding();
    if (chance(10)) s.unless = chance(50) && !pool_.empty() ? pick(pool_) : cond(0);
    if (chance(8)) s.aim = "warmth";
    if (chance(60)) cite(s);
    return s;
  }

  void in_line() {
    static const std::vector<Kind> kinds = {Kind::indicated, Kind::allowed, Kind::discouraged, Kind::contraindicated};
    Cond when = colliding();
    if (when.kind == Cond::Kind::always) when = cond(0);
    const int line = ++lines_;
    for (int items = from(1, 3); items > 0; --items) {
      Sentence s;
      s.head = Head::in_line;
      s.kind = pick(kinds);
      s.line = line;
      s.practices = some(static_cast<int>(m_.practices.size()), 1);
      s.when = when;
      s.style = upto(60);
      s.with_care = (s.kind == Kind::indicated || s.kind == Kind::allowed) && chance(35);
      if (chance(12)) s.unless = cond(0);
      cite(s);
      m_.sentences.push_back(s);
    }
  }

  Sentence refer() {
    Sentence s;
    s.kind = Kind::refer;
    s.head = Head::none;
    s.style = upto(60);
    s.when = chance(60) ? small_fact() : colliding();
    if (s.when.kind == Cond::Kind::always) s.when = cond(0);
    if (chance(10)) s.unless = cond(0);
    s.text = "Seek licensed care first.";
    if (chance(40)) cite(s);
    return s;
  }

  // Some indications defy some bans of the same practice.
  void defy() {
    static const std::array<const char*, 3> labels = {"tide ban", "the old ban", "salt rule"};
    std::size_t used = 0;
    for (std::size_t b = 0; b < m_.sentences.size() && used < labels.size(); ++b) {
      const Kind kind = m_.sentences[b].kind;
      if ((kind != Kind::contraindicated && kind != Kind::discouraged) || !chance(30)) continue;
      m_.sentences[b].label = labels[used++];
      const auto banned = speaks_of(m_, m_.sentences[b]);
      for (Sentence& s : m_.sentences) {
        if ((s.kind != Kind::indicated && s.kind != Kind::allowed) || !chance(30)) continue;
        const auto advised = speaks_of(m_, s);
        const auto shared = [&](int p) { return std::count(banned.begin(), banned.end(), p) > 0; };
        if (std::any_of(advised.begin(), advised.end(), shared)) s.despite.push_back(static_cast<int>(b));
      }
    }
  }

  void otherwises() {
    const auto add = [&](Head head, int which, Verdict verdict, bool care) {
      Sentence s;
      s.kind = Kind::otherwise;
      s.head = head;
      s.group = which;
      s.practices = {which};
      if (head != Head::practices) s.practices.clear();
      s.verdict = verdict;
      s.with_care = care && (verdict == Verdict::advised || verdict == Verdict::allowed);
      s.style = upto(60);
      m_.sentences.push_back(s);
    };
    static const std::vector<Verdict> verdicts = {Verdict::allowed, Verdict::allowed, Verdict::advised, Verdict::withheld, Verdict::discouraged};
    for (int p = 0; p < static_cast<int>(m_.practices.size()); ++p)
      if (chance(40)) add(Head::practices, p, pick(verdicts), chance(25));
    const Verdict of_groups = pick(verdicts);
    const bool care = chance(25);
    for (int g = 0; g < static_cast<int>(m_.groups.size()); ++g)
      if (chance(40)) add(Head::group, g, of_groups, care);
    if (chance(20)) add(Head::every, 0, pick(verdicts), chance(25));
  }

  // ---- claims and samples

  void claims() {
    static const std::array<const char*, 2> titles = {"the quay holds", "no tide turns"};
    const int count = chance(45) ? from(1, 2) : 0;
    for (int i = 0; i < count; ++i) {
      Claim c;
      c.title = titles[static_cast<std::size_t>(i)];
      c.never = chance(60);
      c.what = of_practice();
      if (chance(35)) {
        Cond both;
        both.kind = chance(50) ? Cond::Kind::all : Cond::Kind::any;
        both.parts = {c.what, chance(40) ? of_practice() : cond(0)};
        c.what = both;
      }
      if (chance(60)) c.when = colliding();
      m_.claims.push_back(c);
    }
  }

  Cond of_practice() {
    Cond c;
    c.of = Cond::Of::practice;
    c.index = upto(static_cast<int>(m_.practices.size()));
    c.style = upto(105);
    if (chance(15)) {
      c.kind = Cond::Kind::with_care;
      return c;
    }
    c.kind = Cond::Kind::among;
    static const std::vector<int> verdicts = {2, 3, 4, 5, 2, 4, 5, 6, 1, 0};
    c.words = {pick(verdicts)};
    const int more = pick(verdicts);
    if (chance(30) && more != c.words[0]) c.words.push_back(more);
    c.negated = chance(20);
    return c;
  }

  void samples() {
    static const std::array<const char*, 2> titles = {"a walker, 34", "the bell keeper"};
    const int count = chance(35) ? from(1, 2) : 0;
    for (int i = 0; i < count; ++i) {
      Sample s;
      s.title = titles[static_cast<std::size_t>(i)];
      s.rest_as_usual = chance(50);
      for (int f = 0; f < static_cast<int>(m_.findings.size()); ++f)
        if (chance(65)) answer(s, f);
      if (s.answers.empty()) answer(s, 0);
      for (int e = from(1, 3); e > 0; --e) s.expectations.push_back(expectation());
      m_.samples.push_back(s);
    }
  }

  void answer(Sample& sample, int index) {
    const Finding& f = m_.findings[static_cast<std::size_t>(index)];
    Answer a;
    a.subject = {index, -1};
    switch (f.kind) {
      case Finding::Kind::any_of: a.subject.item = upto(static_cast<int>(f.words.size())); [[fallthrough]];
      case Finding::Kind::yes_no: a.word = upto(2); break;
      case Finding::Kind::one_of:
      case Finding::Kind::grade: a.word = upto(static_cast<int>(f.words.size())); break;
      case Finding::Kind::date: a.number = upto(366); break;
      case Finding::Kind::time_of_day: a.number = upto(1440); break;
      case Finding::Kind::number:
        a.never = f.or_never && chance(25);
        if (!a.never) a.number = f.low + (f.step == 0 ? Fraction(1, 4) : f.step) * upto(3);
    }
    sample.answers.push_back(a);
  }

  Expectation expectation() {
    static const std::vector<Verdict> verdicts = {Verdict::advised, Verdict::allowed, Verdict::withheld, Verdict::discouraged,
                                                  Verdict::unanswered, Verdict::silent, Verdict::referred, Verdict::outside};
    Expectation e;
    if (!m_.choices.empty() && chance(30)) {
      e.choice = upto(static_cast<int>(m_.choices.size()));
      const Choice& c = m_.choices[static_cast<std::size_t>(e.choice)];
      e.values = {upto(static_cast<int>(c.words.size()))};
      const int more = upto(static_cast<int>(c.words.size()));
      if (c.kind == Choice::Kind::any_of && chance(40) && more != e.values[0]) e.values.push_back(more);
      return e;
    }
    e.practice = upto(static_cast<int>(m_.practices.size()));
    e.verdict = pick(verdicts);
    e.with_care = (e.verdict == Verdict::advised || e.verdict == Verdict::allowed) && chance(30);
    return e;
  }

  Scale scale_;
  Model m_;
  std::vector<Cond> pool_;
  int choices_askable_ = 0, late_term_ = -1, lines_ = 0;
  bool plain_ = false, late_terms_ask_ = false;
};

}  // namespace

Model random_model(std::uint64_t seed, Scale scale) {
  for (std::uint64_t turn = 0;; ++turn) {
    Model model = Maker(seed + turn * 0x9e3779b97f4a7c15u, scale).make();
    const bool fits = scale == Scale::large ? model.sentences.size() >= 2 && model.sentences.size() <= 40 : universe_size(model) <= most_profiles;
    if (fits && settle(model)) return model;
  }
}

std::ostream& operator<<(std::ostream& out, const Model& model) { return out << print(model).text; }

}  // namespace betony::referee
