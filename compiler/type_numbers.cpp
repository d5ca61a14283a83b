// Doses, lengths and moments as numbers in base units. What is wrong with them has been told by
// type_doses.cpp; one that was told of comes out with what could be read of it.
#include "compiler/typing.h"

namespace betony {
namespace {

using tree::DoseLine;
using tree::Quantity;

Rational in_base(const Quantity& written, const Unit& unit) { return (written.number.value() + unit.offset) * unit.factor; }

// From `low` to `high` in base units; a bare `low` takes the unit of `high`. Either may be missing.
std::optional<Interval> interval(Typing& typing, const tree::Rare<Quantity>& low, const tree::Rare<Quantity>& high) {
  if (!low && !high) return std::nullopt;
  Interval result;
  if (high) {
    const Unit* unit = typing.unit(high->unit);
    if (!unit) return std::nullopt;
    result.high = in_base(*high, *unit);
  }
  if (low) {
    const Unit* unit = typing.unit(low->unit.text.empty() && high ? high->unit : low->unit);
    if (!unit) return std::nullopt;
    result.low = in_base(*low, *unit);
  }
  return result;
}

std::optional<Interval> times_a_second(Typing& typing, const tree::Rate& rate) {
  const Unit* unit = typing.unit(rate.unit);
  if (!unit || rate.period.value() <= 0) return std::nullopt;
  const Rational seconds = rate.period.value() * unit->factor;
  Interval result;
  result.high = rate.high.value() / seconds;
  if (!rate.at_most) result.low = rate.low.value() / seconds;
  return result;
}

std::optional<Rational> factor_of(DoseLine::Factor factor) {
  switch (factor) {
    case DoseLine::Factor::none: return std::nullopt;
    case DoseLine::Factor::half: return Rational(1, 2);
    case DoseLine::Factor::third: return Rational(1, 3);
    case DoseLine::Factor::quarter: return Rational(1, 4);
    case DoseLine::Factor::twice: return Rational(2);
  }
  return std::nullopt;
}

Timing::Moment moment_of(Typing& typing, const tree::Moment& written) {
  Timing::Moment moment;
  moment.anchor = written.anchor;
  if (written.anchor == tree::Moment::Anchor::clock) moment.by = written.clock.minute * 60;
  if (written.anchor == tree::Moment::Anchor::practice)
    if (const Known* known = find_name(typing, written.practice, {Known::Kind::practice}, "a practice")) moment.practice = known->index;
  if (const auto moved = interval(typing, std::nullopt, written.by)) {
    moment.moved = true;
    moment.by += written.before ? Rational(-*moved->high) : *moved->high;
  }
  return moment;
}

}  // namespace

Dose type_dose(Typing& typing, const DoseLine& line) {
  Dose dose;
  if (line.low || line.high) {
    const tree::Unit& written = line.high ? line.high->unit : line.low->unit;
    if (const Unit* unit = typing.unit(written)) dose.unit = *unit;
    dose.unit_text = written.text;
    dose.amount = interval(typing, line.low, line.high);
  }
  if (line.often) dose.often = times_a_second(typing, *line.often);
  if (line.long_low || line.long_high) dose.length = interval(typing, line.long_low, line.long_high);
  dose.factor = factor_of(line.factor);
  if (line.words) dose.words = line.words->text;
  return dose;
}

Timing type_timing(Typing& typing, const tree::TakesLine& line) {
  Timing timing;
  if (const auto length = interval(typing, line.low, line.high)) timing.length = *length;
  return timing;
}

Timing type_timing(Typing& typing, const tree::OrderLine& line) {
  Timing timing;
  if (const auto apart = interval(typing, line.by, std::nullopt)) timing.length = *apart;
  return timing;
}

Timing type_timing(Typing& typing, const tree::TimeLine& line) {
  Timing timing;
  timing.forbidden = line.forbidden;
  timing.from = moment_of(typing, line.from);
  if (line.until) timing.to = moment_of(typing, line.to);
  return timing;
}

}  // namespace betony
