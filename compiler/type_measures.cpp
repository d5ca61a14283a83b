// Arithmetic: what is added to what, in which unit, and between which ends.
//
// A part of a formula is typed to a `Part`: the formula with a factor taken out of it, the base units
// it is in, and the range its inputs allow. Multiplying and dividing only multiply factors; adding
// brings the right side to the left side's factor. So weight / (height * height) in kg/m2 stays three
// operations, without conversions inside.
//
// Temperatures: a reading (37 Cel) is no difference (1 Cel warmer). Every part carries how many
// readings it is the sum of: a finding counts 1, a number of K counts 0, addition adds, subtraction
// subtracts, factors multiply. A result told in Cel must count 1 (a reading: means are fine) or 0 (a
// difference).
#include <algorithm>

#include "compiler/typing.h"

namespace betony {
namespace {

using tree::Arithmetic;
using Kind = Known::Kind;

constexpr std::size_t most_numbers = 1000;  // in one measure, written out; keeps exact numbers small

struct Part {
  Formula formula;
  Unit unit;                                     // never special
  Rational factor = 1;                           // the part is factor * formula, in `unit`
  Rational low, high;                            // of factor * formula
  std::optional<Rational> readings = Rational(0);  // nothing: cannot be told
  std::size_t size = 1;
  bool constant = false;
  std::string words;                             // for messages: "weight", "this number"
};

using Maybe = std::optional<Part>;

Formula number_formula(const Rational& value) {
  Formula formula;
  formula.number = value;
  return formula;
}

Formula binary(Formula::Kind kind, Formula a, Formula b) {
  Formula formula;
  formula.kind = kind;
  formula.parts.push_back(std::move(a));
  formula.parts.push_back(std::move(b));
  return formula;
}

Formula scaled(Formula formula, const Rational& factor) {
  if (factor == 1) return formula;
  if (formula.kind == Formula::Kind::number) return number_formula(formula.number * factor);
  return binary(Formula::Kind::multiply, std::move(formula), number_formula(factor));
}

Formula shifted(Formula formula, const Rational& by) {
  return by == 0 ? std::move(formula) : binary(Formula::Kind::add, std::move(formula), number_formula(by));
}

bool is_temperature(const Unit& unit) { return unit.powers == std::map<std::string, int>{{"K", 1}}; }

// The finding's sentence without "or never".
std::string without_never(Typing& typing, const Finding& finding) {
  std::string sentence = typing.written(typing.sentences()[finding.sentence].place);
  for (const char* words : {", or never", " or never"}) {
    const std::size_t at = sentence.find(words);
    if (at != std::string::npos) return sentence.erase(at, std::string_view(words).size());
  }
  return sentence;
}

class Typer {
 public:
  Typer(Typing& typing, const std::string& name) : typing_(typing), name_(name) {}

  Maybe part(const Arithmetic& a) {
    switch (a.kind) {
      case Arithmetic::Kind::number: return number(a);
      case Arithmetic::Kind::name: return named(a);
      case Arithmetic::Kind::negate: return negate(a);
      case Arithmetic::Kind::add:
      case Arithmetic::Kind::subtract: return sum(a);
      case Arithmetic::Kind::multiply: return product(a);
      case Arithmetic::Kind::divide: return quotient(a);
      default: return extreme(a);
    }
  }

 private:
  void tell(Span where, std::string matter, std::string message, std::string remedy = {}) {
    typing_.tell(where, std::move(matter), std::move(message), std::move(remedy));
  }

  // ------------------------------------------------ leaves

  Maybe number(const Arithmetic& a) {
    Part part;
    const Unit* unit = typing_.unit(a.unit);
    if (!unit) return std::nullopt;
    part.unit = plain(*unit);
    part.unit.factor = 1;
    part.readings = unit->special() ? 1 : 0;
    part.factor = unit->factor;
    part.low = part.high = (a.number.value() + unit->offset) * unit->factor;
    part.formula = number_formula(a.number.value() + unit->offset);
    part.constant = true;
    part.words = a.number.text + (a.unit.text.empty() ? "" : " " + a.unit.text);
    return part;
  }

  Maybe named(const Arithmetic& a) {
    const Known* known = find_name(typing_, a.name, {Kind::finding, Kind::measure, Kind::tally}, "a number");
    if (!known) return std::nullopt;
    if (known->kind == Kind::measure) return measure(known->index, a);
    if (known->kind == Kind::tally) return tally(known->index, a);
    return finding(known->index, a);
  }

  Maybe finding(Index index, const Arithmetic& a) {
    const Finding& finding = typing_.ruleset.findings[index];
    if (finding.kind != Finding::Kind::number) {
      tell(a.span, "not a number", in_quotes(finding.name) + " is no number, so it cannot be reckoned with.", "Tally … counts " + finding.name + " as 1.");
      return std::nullopt;
    }
    if (finding.or_never) {
      tell(a.span, "it may be never", in_quotes(finding.name) + " may be never, and never cannot be reckoned with.", without_never(typing_, finding));
      return std::nullopt;
    }
    if (!typing_.finding_sound[index]) return std::nullopt;
    return leaf(Formula::Kind::finding, index, typing_.finding_scales[index], finding.low, finding.high, 1);
  }

  Maybe measure(Index index, const Arithmetic&) {
    if (index >= typing_.ruleset.measures.size() || !typing_.measure_sound[index]) return std::nullopt;
    const Measure& measure = typing_.ruleset.measures[index];
    return leaf(Formula::Kind::measure, index, typing_.measure_scales[index], *measure.low, *measure.high, typing_.measure_sizes[index]);
  }

  Maybe tally(Index index, const Arithmetic& a) {
    if (index >= typing_.ruleset.tallies.size()) return std::nullopt;
    const Tally& tally = typing_.ruleset.tallies[index];
    Rational low, high;
    for (const Tally::Item& item : tally.items) (item.points < 0 ? low : high) += item.points;
    Scale scale;
    scale.name = a.name.text;
    return leaf(Formula::Kind::tally, index, scale, low, high, 1);
  }

  Maybe leaf(Formula::Kind kind, Index index, const Scale& scale, const Rational& low, const Rational& high, std::size_t size) {
    Part part;
    part.formula.kind = kind;
    part.formula.index = index;
    const Rational zero = scale.difference ? Rational(0) : scale.unit.offset;
    part.formula = shifted(std::move(part.formula), zero);
    part.factor = scale.unit.factor;
    part.unit = plain(scale.unit);
    part.unit.factor = 1;
    part.low = (low + zero) * part.factor;
    part.high = (high + zero) * part.factor;
    part.readings = is_temperature(scale.unit) && !scale.difference ? 1 : 0;
    part.size = size;
    part.words = scale.name;
    return part;
  }

  // ------------------------------------------------ operations

  Maybe negate(const Arithmetic& a) {
    Maybe p = part(a.parts[0]);
    if (!p) return p;
    Formula formula;
    formula.kind = Formula::Kind::negate;
    formula.parts.push_back(std::move(p->formula));
    p->formula = std::move(formula);
    std::swap(p->low, p->high);
    p->low = -p->low;
    p->high = -p->high;
    if (p->readings) p->readings = -*p->readings;
    return p;
  }

  bool sized(const Part& part, Span where) {
    if (part.size <= most_numbers) return true;
    tell(where, "a measure too long", in_quotes(name_) + " is reckoned from more than " + std::to_string(most_numbers) + " numbers once the measures in it are written out.",
         "Measure " + name_ + " is ….");
    return false;
  }

  std::optional<std::pair<Part, Part>> both(const Arithmetic& a) {
    Maybe left = part(a.parts[0]), right = part(a.parts[1]);
    if (!left || !right) return std::nullopt;
    left->size += right->size;
    if (!sized(*left, a.span)) return std::nullopt;
    return std::pair(std::move(*left), std::move(*right));
  }

  std::string unit_words(const Part& part) { return part.words + " is " + measured(part.unit); }

  bool like(const Part& a, const Part& b, Span where, const Arithmetic& second, const char* verb) {
    if (alike(a.unit, b.unit)) return true;
    tell(where, "unlike units", unit_words(a) + " and " + unit_words(b) + "; the two cannot be " + verb + ".", typing_.corrected(second.span, second.kind == Arithmetic::Kind::number ? second.number.text + " …" : "…"));
    return false;
  }

  Maybe sum(const Arithmetic& a) {
    auto sides = both(a);
    const bool minus = a.kind == Arithmetic::Kind::subtract;
    if (!sides || !like(sides->first, sides->second, a.span, a.parts[1], minus ? "subtracted" : "added")) return std::nullopt;
    auto& [left, right] = *sides;
    Formula other = scaled(std::move(right.formula), right.factor / left.factor);
    left.formula = binary(minus ? Formula::Kind::subtract : Formula::Kind::add, std::move(left.formula), std::move(other));
    left.low = minus ? Rational(left.low - right.high) : Rational(left.low + right.low);
    left.high = minus ? Rational(left.high - right.low) : Rational(left.high + right.high);
    if (left.readings && right.readings) left.readings = minus ? Rational(*left.readings - *right.readings) : Rational(*left.readings + *right.readings);
    else left.readings.reset();
    left.constant = left.constant && right.constant;
    left.words = minus ? "this difference" : "this sum";
    return left;
  }

  // A factor that is one known number keeps count of readings; any other product loses it.
  void count_readings(Part& out, const Part& a, const Part& b, bool divide) {
    if (b.constant && a.readings && b.low != 0) out.readings = divide ? Rational(*a.readings / b.low) : Rational(*a.readings * b.low);
    else if (a.constant && b.readings && !divide) out.readings = Rational(*b.readings * a.low);
    else out.readings.reset();
  }

  Maybe product(const Arithmetic& a) {
    auto sides = both(a);
    if (!sides) return std::nullopt;
    auto& [left, right] = *sides;
    Part out;
    out.unit = left.unit * right.unit;
    out.factor = left.factor * right.factor;
    const Rational ends[] = {left.low * right.low, left.low * right.high, left.high * right.low, left.high * right.high};
    out.low = *std::min_element(ends, ends + 4);
    out.high = *std::max_element(ends, ends + 4);
    count_readings(out, left, right, false);
    out.constant = left.constant && right.constant;
    out.size = left.size;
    out.words = "this product";
    out.formula = binary(Formula::Kind::multiply, std::move(left.formula), std::move(right.formula));
    return out;
  }

  // The declaration of the divisor with a range that begins above 0, where it is a finding from 0 on; else
  // the most of it and something more than 0.
  std::string without_nothing(const Arithmetic& divisor) {
    const auto known = typing_.names.find(divisor.name.key);
    const bool finding = divisor.kind == Arithmetic::Kind::name && known != typing_.names.end() && known->second.kind == Kind::finding;
    const Finding* declared = finding ? &typing_.ruleset.findings[known->second.index] : nullptr;
    if (!declared || declared->low != 0)
      return typing_.corrected(divisor.span, "(most of " + typing_.written(typing_.place(divisor.span)) + ", …)");
    std::string sentence = typing_.written(typing_.sentences()[declared->sentence].place);
    const std::string from = " from " + std::get<tree::FindingLine>(typing_.sentences()[declared->sentence].form).type.low.text + " ";
    const std::size_t at = sentence.rfind(from);
    if (at == std::string::npos) return sentence;
    return sentence.replace(at, from.size(), " from " + (declared->step == 0 ? std::string("…") : number_words(declared->step)) + " ");
  }

  bool divides(const Part& divisor, const Arithmetic& written) {
    if (divisor.low > 0 || divisor.high < 0) return true;
    tell(written.span, "division by nothing", (written.kind == Arithmetic::Kind::name ? in_quotes(written.name.text) : std::string("What is divided by")) +
             " can be 0, and nothing can be divided by 0.", without_nothing(written));
    return false;
  }

  Maybe quotient(const Arithmetic& a) {
    auto sides = both(a);
    if (!sides || !divides(sides->second, a.parts[1])) return std::nullopt;
    auto& [left, right] = *sides;
    Part out;
    out.unit = left.unit / right.unit;
    out.factor = left.factor / right.factor;
    const Rational ends[] = {left.low / right.low, left.low / right.high, left.high / right.low, left.high / right.high};
    out.low = *std::min_element(ends, ends + 4);
    out.high = *std::max_element(ends, ends + 4);
    count_readings(out, left, right, true);
    out.constant = left.constant && right.constant;
    out.size = left.size;
    out.words = "this quotient";
    out.formula = binary(Formula::Kind::divide, std::move(left.formula), std::move(right.formula));
    return out;
  }

  // `least of`, `most of`: all in one unit.
  Maybe extreme(const Arithmetic& a) {
    const bool least = a.kind == Arithmetic::Kind::least;
    Maybe out;
    for (const Arithmetic& written : a.parts) {
      Maybe next = part(written);
      if (!next || (out && !like(*out, *next, written.span, written, "compared"))) return std::nullopt;
      out = out ? joined(std::move(*out), std::move(*next), least) : begun(std::move(*next), least);
      if (!sized(*out, a.span)) return std::nullopt;
    }
    return out;
  }

  static Part begun(Part part, bool least) {
    Formula formula;
    formula.kind = least ? Formula::Kind::least : Formula::Kind::most;
    formula.parts.push_back(std::move(part.formula));
    part.formula = std::move(formula);
    part.words = least ? "the least of these" : "the most of these";
    return part;
  }

  static Part joined(Part out, Part next, bool least) {
    out.formula.parts.push_back(scaled(std::move(next.formula), next.factor / out.factor));
    out.low = least ? std::min(out.low, next.low) : std::max(out.low, next.low);
    out.high = least ? std::min(out.high, next.high) : std::max(out.high, next.high);
    if (!out.readings || !next.readings || *out.readings != *next.readings) out.readings.reset();
    out.constant = out.constant && next.constant;
    out.size += next.size;
    return out;
  }

  Typing& typing_;
  const std::string& name_;
};

// ---------------------------------------------------------------- the whole measure

// "kg/m2", or in base units "g.m-2": a code of what is measured; "" for a plain number.
std::string code_of(Typing& typing, const Unit& unit) {
  for (const char* usual : {"kg", "m", "h", "Cel", "m2", "m3", "kg/m", "kg/m2", "kg/m3", "km/h", "/min", "L/min", "L/min/kg"}) {
    const auto known = typing.units.read(usual);
    if (known.unit && alike(*known.unit, unit)) return usual;
  }
  std::string code;
  for (const auto& [base, power] : unit.powers) code += (code.empty() ? "" : ".") + base + (power == 1 ? "" : std::to_string(power));
  return code;
}

std::string in_unit(Typing& typing, const tree::MeasureLine& line, const Unit& unit) {
  const std::string code = code_of(typing, unit);
  if (!line.unit.text.empty()) return typing.corrected(line.unit.span, code.empty() ? "1" : code);
  const std::uint32_t end = line.value.span.end;
  return typing.corrected({end, end}, " in " + code);
}

bool result_fits(Typing& typing, const Part& part, const Unit& unit, const tree::MeasureLine& line) {
  const Span where = line.unit.text.empty() ? line.name.name.span : line.unit.span;
  if (!alike(part.unit, unit)) {
    const std::string written = line.unit.text.empty() ? "without a unit" : "in " + line.unit.text + " (" + measured(unit) + ")";
    typing.tell(where, "unlike units", in_quotes(line.name.name.text) + " is told " + written + ", but what is reckoned is " + measured(part.unit) + ".",
                in_unit(typing, line, part.unit));
    return false;
  }
  const bool clear = !unit.special() || (part.readings && (*part.readings == 0 || *part.readings == 1));
  if (!clear)
    typing.tell(where, "neither a temperature nor a difference", "What is reckoned for " + in_quotes(line.name.name.text) + " is neither one temperature nor a difference of two.",
                typing.corrected(where, "K"));
  return clear;
}

void finish(Measure& measure, Scale& scale, Part part, const Unit& unit) {
  scale.difference = is_temperature(unit) && part.readings && *part.readings == 0;
  const Rational zero = scale.difference ? Rational(0) : unit.offset;
  measure.formula = shifted(scaled(std::move(part.formula), part.factor / unit.factor), -zero);
  measure.low = part.low / unit.factor - zero;
  measure.high = part.high / unit.factor - zero;
}

}  // namespace

void type_measure(Typing& typing, Index index) {
  const Index sentence = typing.definition_sentences[0][index];
  const auto& line = std::get<tree::MeasureLine>(typing.sentences()[sentence].form);
  typing.open(sentence);
  Measure measure;
  measure.name = line.name.name.text;
  for (const tree::Name& also : line.name.also) measure.also.push_back(also.text);
  measure.unit = line.unit.text;
  measure.place = typing.place(line.name.name.span);
  measure.sentence = sentence;
  measure.low = measure.high = 0;
  Scale scale;
  scale.name = measure.name;
  scale.unit_text = measure.unit;
  const Unit* unit = typing.unit(line.unit);
  if (unit) scale.unit = *unit;
  auto part = Typer(typing, measure.name).part(line.value);
  const bool sound = unit && part && result_fits(typing, *part, *unit, line);
  typing.measure_sizes.push_back(part ? part->size : 1);
  typing.measure_sound.push_back(sound);
  if (sound) finish(measure, scale, std::move(*part), *unit);
  typing.measure_scales.push_back(std::move(scale));
  typing.ruleset.measures.push_back(std::move(measure));
}

}  // namespace betony
