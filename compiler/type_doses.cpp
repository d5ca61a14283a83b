// Doses, lengths, rates and times: their units and ends. What they say is kept in the tree.
#include "compiler/typing.h"

namespace betony {
namespace {

using tree::Quantity;

// An amount and its unit; a bare first number takes the last one's unit.
struct Amount {
  const Unit* unit = nullptr;
  Rational base;  // in base units
};

std::optional<Amount> amount(Typing& typing, const Quantity& written, const tree::Unit& unit, const char* what) {
  if (unit.text.empty()) {
    typing.tell(written.span, "an amount of what?", std::string(what) + " needs a unit; " + written.number.text + " alone says too little.",
                typing.corrected(written.span, written.number.text + " min") + " Or: " + typing.corrected(written.span, written.number.text + " g"));
    return std::nullopt;
  }
  Amount out;
  out.unit = typing.unit(unit);
  if (!out.unit) return std::nullopt;
  out.base = (written.number.value() + out.unit->offset) * out.unit->factor;
  return out;
}

bool positive(Typing& typing, const Quantity& written, const Amount& amount, const char* what) {
  if (amount.base > 0) return true;
  typing.tell(written.span, "an amount of nothing", std::string(what) + " must be more than 0.", typing.corrected(written.number.span, "…"));
  return false;
}

// The two ends the other way round; a bare one takes the unit of the other.
std::string rising(Typing& typing, const Quantity& low, const Quantity& high) {
  const bool own_unit = !low.unit.text.empty() && low.unit.text != high.unit.text;
  return typing.corrected({low.span.begin, high.span.end},
                          high.number.text + (own_unit ? " " + high.unit.text : "") + " to " + low.number.text + " " + (own_unit ? low.unit.text : high.unit.text));
}

// Both ends of an amount: alike, more than 0, rising. Either may be missing.
std::optional<Amount> check_amount(Typing& typing, const tree::Rare<Quantity>& low, const tree::Rare<Quantity>& high, const char* what) {
  const Quantity* last = high ? &*high : low ? &*low : nullptr;
  if (!last) return std::nullopt;
  const auto end = amount(typing, *last, last->unit, what);
  if (!end || !positive(typing, *last, *end, what) || !low || !high) return end;
  const auto begin = amount(typing, *low, low->unit.text.empty() ? high->unit : low->unit, what);
  if (!begin || !positive(typing, *low, *begin, what)) return std::nullopt;
  if (!alike(*begin->unit, *end->unit)) {
    typing.tell(low->span, "unlike units", low->unit.text + " (" + measured(*begin->unit) + ") and " + high->unit.text + " (" + measured(*end->unit) + ") are not the two ends of one amount.",
                typing.corrected(low->span, low->number.text));
    return std::nullopt;
  }
  if (begin->base > end->base) {
    typing.tell({low->span.begin, high->span.end}, "an amount that falls", std::string(what) + " runs from more to less.", rising(typing, *low, *high));
    return std::nullopt;
  }
  return end;
}

void check_length(Typing& typing, const tree::Rare<Quantity>& low, const tree::Rare<Quantity>& high, const char* what) {
  const auto end = check_amount(typing, low, high, what);
  if (!end || measured(*end->unit) == "a time") return;
  const Quantity& last = high ? *high : *low;
  typing.tell(last.span, "not a time", std::string(what) + " is a time; " + last.unit.text + " is " + measured(*end->unit) + ".", typing.corrected(last.span, last.number.text + " min"));
}

void check_rate(Typing& typing, const tree::Rate& rate) {
  const Unit* unit = typing.unit(rate.unit);
  if (unit && (rate.unit.text.empty() || measured(*unit) != "a time"))
    typing.tell(rate.span, "how often in what time?", "How often is told for a time: a day, a wk; " + (rate.unit.text.empty() ? std::string("none is written") : rate.unit.text + " is none") + ".", typing.corrected(rate.span, "once a day"));
  if (rate.period.value() <= 0) typing.tell(rate.period.span, "a time of nothing", "How often is told for a time of more than 0.", typing.corrected(rate.period.span, "1"));
  if (rate.low.value() < 0 || rate.high.value() <= 0 || rate.low.value().get_den() != 1 || rate.high.value().get_den() != 1)
    typing.tell(rate.span, "how many times?", "Times are counted in whole numbers, once or more.", typing.corrected(rate.span, "twice a day"));
  else if (rate.low.value() > rate.high.value())
    typing.tell(rate.span, "a rate that falls", "How often runs from more to less.",
                typing.corrected({rate.low.span.begin, rate.high.span.end}, rate.high.text + " to " + rate.low.text));
}

void check_moment(Typing& typing, const tree::Moment& moment) {
  if (moment.anchor == tree::Moment::Anchor::practice) find_name(typing, moment.practice, {Known::Kind::practice}, "a practice");
  if (moment.anchor == tree::Moment::Anchor::clock && moment.clock.minute > 1440)
    typing.tell(moment.span, "no such time", "The last minute of the day is 23:59.", "");
  if (moment.by) check_length(typing, std::nullopt, moment.by, "A time before or after");
}

}  // namespace

void check_dose(Typing& typing, const tree::DoseLine& line) {
  check_amount(typing, line.low, line.high, "A dose");
  if (line.often) check_rate(typing, *line.often);
  check_length(typing, line.long_low, line.long_high, "How long a dose is followed");
}

void check_takes(Typing& typing, const tree::TakesLine& line) { check_length(typing, line.low, line.high, "What a practice takes"); }

void check_time(Typing& typing, const tree::TimeLine& line) {
  check_moment(typing, line.from);
  if (line.until) check_moment(typing, line.to);
}

void check_apart(Typing& typing, const tree::OrderLine& line) {
  if (line.by) check_length(typing, std::nullopt, line.by, "What keeps two practices apart");
}

}  // namespace betony
