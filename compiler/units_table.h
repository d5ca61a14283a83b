// compiler/units_table.h: the units of UCUM and their everyday names, as data. For units.cpp only.
#pragma once

#include <span>

namespace betony {

struct UnitPrefix {
  const char* code;
  int power;          // of `base`
  int base = 10;
};

// `code` is `value` times `unit`; `unit` uses only what stands above it, "" makes a base unit.
struct UnitDefinition {
  const char* code;
  bool metric;        // takes prefixes
  const char* value;  // an exact decimal: "4.54609", "6.0221367e23", or a fraction "5/9"
  const char* unit;
  const char* offset = nullptr;  // for scales with a zero of their own
};

// Everyday names, parted by spaces, for a UCUM unit.
struct UnitNames {
  const char* names;
  const char* unit;
};

std::span<const UnitPrefix> unit_prefixes();
std::span<const UnitDefinition> unit_definitions();
std::span<const UnitNames> unit_names();

}  // namespace betony
