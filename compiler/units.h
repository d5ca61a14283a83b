// compiler/units.h: units of measure, exactly: how they are written, compared and converted.
//
// Units are written as the open standard UCUM (The Unified Code for Units of Measure, Regenstrief
// Institute) writes them: case matters ("m" metre, "M" nothing); metric units take prefixes ("mg",
// "kPa"); "." multiplies, "/" divides what follows it only ("mL/min/kg"), a whole number after a unit
// is its power ("kg/m2", "s-1"), round brackets group, a whole number alone is a factor, and a remark
// in braces counts for nothing ("{beats}/min"). Square brackets belong to a unit's own name ("mm[Hg]").
//
// Beside UCUM stand the everyday names of one table ("years", "lb", "inch", "degF", "mmHg", "cup"),
// capitals or not, and whatever a ruleset declares. Where an everyday name and a prefixed UCUM code
// meet, the everyday name holds: "ft" is the foot, not the femtotonne. A declared name goes before an
// everyday one ("Unit cup is 200 mL."), but may not take a UCUM code.
//
// Numbers are exact. Units whose definition needs pi are angles only: degrees, minutes and turns
// convert among each other, radians among themselves, and the two kinds do not meet.
//
//   betony::UnitBook book;
//   auto fahrenheit = book.read("[degF]"), celsius = book.read("Cel");
//   betony::convert_reading(betony::Rational(493, 5), *fahrenheit.unit, *celsius.unit);  // 98.6 -> 37
//
// Source    UCUM 2.1, section 2 (how units are written) and its tables of units.
// Tested by tests/unit/units_test.cpp
#pragma once

#include <map>
#include <optional>
#include <string>
#include <string_view>
#include <unordered_map>
#include <vector>

#include "grammar/tree.h"

namespace betony {

// What a unit means: a product of base units times a factor.
struct Unit {
  std::map<std::string, int> powers;  // of base units, none 0: {{"g", 1}, {"m", -2}}; empty: a plain number
  Rational factor = 1;                // so many base units are one of it
  Rational offset = 0;                // a scale with a zero of its own (Cel, degF): a reading of x is
                                      // factor * (x + offset) base units; else 0

  bool special() const { return offset != 0; }
};

// Whether two units measure the same thing, so that one converts to the other.
bool alike(const Unit& a, const Unit& b);

// A reading ("the water is 40 Cel"), and a difference or step ("1 Cel warmer"): the two differ only
// for units with a zero of their own. The units must be alike.
Rational convert_reading(const Rational& number, const Unit& from, const Unit& to);
Rational convert_difference(const Rational& number, const Unit& from, const Unit& to);

Unit operator*(const Unit& a, const Unit& b);  // neither special: see `plain`
Unit operator/(const Unit& a, const Unit& b);
Unit plain(Unit unit);                         // the same without its own zero

// What is measured, for people: "a mass", "a temperature", "a plain number"; for what has no name of
// its own the base units: "measured in g/m2".
std::string measured(const Unit& unit);

// A unit, or why the text is none: `message` is a sentence, `remedy` what to write instead (may be empty).
struct UnitReading {
  std::optional<Unit> unit;
  std::string message, remedy;
};

// All units that a ruleset may use: UCUM, the everyday names, and its own declarations.
class UnitBook {
 public:
  // Reads a unit as written. Empty text is the plain number 1. Cost: O(length). Never throws but
  // std::bad_alloc; texts over `most_bytes` and powers over `most_power` are refused.
  UnitReading read(std::string_view text) const;

  // Declares a counted unit under all its names, a dimension of its own ("Unit puff, puffs."), or a
  // named amount ("Unit palm is 30 g." with amount 30 of g). Names are compared without regard to capitals.
  void declare(const std::vector<std::string>& names);
  void declare(const std::vector<std::string>& names, const Rational& amount, const Unit& of);

  // Every single name of a unit that measures the same thing: codes, with and without prefixes, everyday names, and
  // declared ones. By name. Cost: a reading of every name there is.
  struct Named {
    std::string name;
    Unit unit;
    bool any_case;  // capitals or not
  };
  std::vector<Named> names_alike(const Unit& unit) const;

  bool declared(std::string_view name) const;
  static bool is_code(std::string_view name);  // UCUM's own, with or without a prefix: "min", "kg", "[lb_av]"

  static constexpr std::size_t most_bytes = 80;  // in one unit; keeps factors small
  static constexpr int most_power = 40;          // 10*23 must be possible

 private:
  std::unordered_map<std::string, Unit> declared_;  // by folded name
  std::vector<std::string> names_;                  // as declared, for suggestions
};

}  // namespace betony
