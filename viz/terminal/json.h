// viz/terminal/json.h: what several answers in JSON have in common: numbers, shares, persons, places. README.md tells the shapes.
#pragma once

#include <nlohmann/json.hpp>
#include <string>

#include "compiler/compiler.h"
#include "viz/terminal/source_lines.h"

namespace betony::terminal {

constexpr int shape_version = 1;

// A JSON number where that is exact for the reader, else "n/d".
nlohmann::ordered_json number_json(const Rational& number);

// {"exact", "low", "high"}
nlohmann::ordered_json share_json(const Share& share);

// Every finding that is answered, with its value as the language writes it.
nlohmann::ordered_json person_json(const Ruleset& ruleset, const Profile& person);

// {"file", "line", "column"}, of a table "row" too.
nlohmann::ordered_json place_json(const Sources& sources, const Place& place);

// One object and a line break, UTF-8; with `plain_letters` all letters beyond ASCII are escaped.
std::string text_of(const nlohmann::ordered_json& json, bool plain_letters);

}  // namespace betony::terminal
