// viz/terminal/telling.h: what is told of one person, as it comes: by --set, or as a JSON object.
//
//   Telling telling(pack, names);
//   tell_profile("{\"age\": 34, \"fever\": \"no\"}", "guest.json", telling);
//   telling.tell("cold hands", "yes");
//   weigh(pack, telling.answers());
//
// Errors    Misuse says what cannot be taken: a name that is no finding, a value that is none of its values, what is told twice and
//           not the same, what is no JSON object.
// Cost      O(length of the text).
// Tested by tests/unit/terminal_weigh_test.cpp
#pragma once

#include <nlohmann/json_fwd.hpp>
#include <string>
#include <string_view>

#include "runtime/answers.h"

namespace betony::terminal {

// Answers by name. Pack and names are borrowed.
class Telling {
 public:
  Telling(const runtime::Pack& pack, const runtime::Names& names) : pack_(pack), names_(names), answers_(pack.findings.size()) {}

  const runtime::Answers& answers() const { return answers_; }

  void tell(const std::string& name, const std::string& value);
  void tell(const std::string& name, const nlohmann::json& value);    // null tells nothing

 private:
  runtime::Index finding(const std::string& name) const;
  void take(const std::string& name, runtime::Index finding, runtime::ValueReading reading);

  const runtime::Pack& pack_;
  const runtime::Names& names_;
  runtime::Answers answers_;
};

// One person as a JSON object of findings and their values. The file's name is for what is said of it.
void tell_profile(std::string_view text, const std::string& file, Telling& telling);

}  // namespace betony::terminal
