// Units that the ruleset declares, and numbers brought to the scale of what they are compared with.
#include <algorithm>

#include "compiler/typing.h"
#include "grammar/text.h"

namespace betony {
namespace {

using tree::Date;
using tree::Name;
using tree::Quantity;
using tree::UnitLine;

// ---------------------------------------------------------------- declared units

// Amounts may be told in other declared units, in any order: each waits until what it needs is known.
class Declarer {
 public:
  explicit Declarer(Typing& typing) : typing_(typing) {}

  void run() {
    for (Index i = 0; i < typing_.sentences().size(); ++i)
      if (auto* line = std::get_if<UnitLine>(&typing_.sentences()[i].form)) enter(i, *line);
    for (Index i : waiting_) resolve(i);
  }

 private:
  enum class State { waiting, open, done };

  void enter(Index sentence, const UnitLine& line) {
    typing_.open(sentence);
    std::vector<std::string> names;
    for (const Name& name : line.names)
      if (free(name, sentence)) names.push_back(name.text);
    if (names.empty()) return;
    if (!line.amount) return typing_.units.declare(names);
    waiting_.push_back(sentence);
    state_[sentence] = State::waiting;
  }

  bool free(const Name& name, Index sentence) {
    const auto [at, fresh] = owner_.try_emplace(name.key, sentence);
    if (UnitBook::is_code(name.text)) {
      typing_.tell(name.span, "a unit that is there already", in_quotes(name.text) + " is a unit of its own already.", typing_.corrected(name.span, name.text + " …"));
      return false;
    }
    if (!fresh)
      typing_.tell(name.span, "a unit declared twice",
                   "The unit " + in_quotes(name.text) + " is declared already (" + typing_.line(typing_.sentences()[at->second].place) + ").",
                   typing_.corrected(name.span, name.text + " …"));
    return fresh;
  }

  // Walks along the amounts: "bowl is 2 palm", "palm is 30 g". A chain is no longer than there are units.
  void resolve(Index first) {
    std::vector<Index> chain{first};
    while (!chain.empty()) {
      const Index sentence = chain.back();
      if (state_[sentence] == State::done) { chain.pop_back(); continue; }
      const auto& line = std::get<UnitLine>(typing_.sentences()[sentence].form);
      const std::optional<Index> needed = needs(line);
      if (state_[sentence] == State::waiting && needed && state_[*needed] == State::waiting && *needed != sentence) {
        state_[sentence] = State::open;
        chain.push_back(*needed);
        continue;
      }
      declare(sentence, line, needed && state_[*needed] != State::done);
      chain.pop_back();
    }
  }

  // The sentence of the declared amount that this one is told in.
  std::optional<Index> needs(const UnitLine& line) const {
    const auto owner = owner_.find(letters::fold(line.amount->unit.text));
    if (owner == owner_.end() || !state_.contains(owner->second)) return std::nullopt;
    return owner->second;
  }

  void declare(Index sentence, const UnitLine& line, bool in_circle) {
    typing_.open(sentence);
    state_[sentence] = State::done;
    std::vector<std::string> names;
    for (const Name& name : line.names) names.push_back(name.text);
    if (in_circle) {
      typing_.tell(line.amount->span, "a unit told by itself", "The amount of " + in_quotes(names.front()) + " leads back to itself.",
                   "Unit " + names.front() + " is 30 g.");
      return typing_.units.declare(names);
    }
    const Unit* of = typing_.unit(line.amount->unit);
    const Rational amount = line.amount->number.value();
    if (of && amount <= 0)
      typing_.tell(line.amount->span, "a unit of nothing", "A unit must be more than 0 of what it is told in.", typing_.corrected(line.amount->number.span, "…"));
    if (of && amount > 0) typing_.units.declare(names, amount, *of);
    else typing_.units.declare(names);
  }

  Typing& typing_;
  std::unordered_map<std::string, Index> owner_;
  std::vector<Index> waiting_;
  std::unordered_map<Index, State> state_;
};

// ---------------------------------------------------------------- numbers

unsigned days_before(unsigned month) {
  static constexpr unsigned days[] = {0, 31, 60, 91, 121, 152, 182, 213, 244, 274, 305, 335, 366};
  return days[std::min(month, 13u) - 1];
}

bool possible(const Date& date) {
  return date.month >= 1 && date.month <= 12 && date.day >= 1 && date.day <= days_before(date.month + 1) - days_before(date.month);
}

std::string unit_phrase(const std::string& text, const Unit& unit) {
  return text.empty() ? std::string("a plain number") : text + " (" + measured(unit) + ")";
}

void tell_unlike(Typing& typing, const tree::Unit& written, const Unit& unit, const Scale& scale, std::optional<Span> around) {
  const std::string what = scale.unit_text.empty() ? in_quotes(scale.name) + " has no unit" : in_quotes(scale.name) + " is in " + unit_phrase(scale.unit_text, scale.unit);
  typing.tell(written.span, "unlike units", what + " and cannot be compared with " + unit_phrase(written.text, unit) + ".",
              typing.corrected(written.span, scale.unit_text, around));
}

std::optional<Rational> plain_number(Typing& typing, const Quantity& written, const Scale& scale, const tree::Unit* shared,
                                     std::optional<Span> around) {
  if (written.ago && !scale.ago)
    typing.tell(written.span, "not a time ago", in_quotes(scale.name) + " does not count back, so nothing of it is \"ago\".",
                typing.corrected(written.span, written.number.text + (written.unit.text.empty() ? "" : " " + written.unit.text), around));
  const tree::Unit& unit = written.unit.text.empty() && shared ? *shared : written.unit;
  if (unit.text.empty() || unit.text == scale.unit_text) return written.number.value();
  const Unit* known = typing.unit(unit);
  if (!known) return std::nullopt;
  if (!alike(*known, scale.unit)) return tell_unlike(typing, unit, *known, scale, around), std::nullopt;
  return scale.difference ? convert_difference(written.number.value(), *known, scale.unit)
                          : convert_reading(written.number.value(), *known, scale.unit);
}

std::optional<Rational> day(Typing& typing, const Quantity& written) {
  if (written.kind == Quantity::Kind::date && possible(written.date)) return Rational(days_before(written.date.month) + written.date.day - 1);
  if (written.kind == Quantity::Kind::date) typing.tell(written.span, "no such day", "The calendar has no such day.");
  else typing.tell(written.span, "a day is needed", "The date is compared with days of the year.", "date from 1 November to 30 April");
  return std::nullopt;
}

std::optional<Rational> minute(Typing& typing, const Quantity& written) {
  if (written.kind == Quantity::Kind::clock && written.clock.minute < 1440) return Rational(written.clock.minute);
  if (written.kind == Quantity::Kind::clock) typing.tell(written.span, "no such time", "The last minute of the day is 23:59.");
  else typing.tell(written.span, "a time is needed", "The time of day is compared with times on the clock.", "time of day from 06:30 to 09:00");
  return std::nullopt;
}

}  // namespace

void declare_units(Typing& typing) { Declarer(typing).run(); }

std::optional<Rational> number_on(Typing& typing, const Quantity& written, const Scale& scale, const tree::Unit* shared,
                                  std::optional<Span> around) {
  if (scale.kind == Scale::Kind::date) return day(typing, written);
  if (scale.kind == Scale::Kind::time_of_day) return minute(typing, written);
  if (written.kind == Quantity::Kind::number) return plain_number(typing, written, scale, shared, around);
  typing.tell(written.span, "a number is needed", in_quotes(scale.name) + " is a number.",
              typing.corrected(written.span, "…" + (scale.unit_text.empty() ? std::string() : " " + scale.unit_text), around));
  return std::nullopt;
}

std::string with_unit(const Rational& number, const Scale& scale) {
  Finding finding;
  finding.kind = scale.kind == Scale::Kind::date          ? Finding::Kind::date
                 : scale.kind == Scale::Kind::time_of_day ? Finding::Kind::time_of_day
                                                          : Finding::Kind::number;
  finding.unit = scale.unit_text;
  finding.ago = scale.ago;
  return value_words(finding, Value{Value::Kind::number, 0, number});
}

}  // namespace betony
