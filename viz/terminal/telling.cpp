#include "viz/terminal/telling.h"

#include <nlohmann/json.hpp>
#include <set>

#include "viz/terminal/verb.h"

namespace betony::terminal {

void Telling::tell(const std::string& name, const std::string& value) {
  const runtime::Index f = finding(name);
  take(name, f, runtime::value_of_text(pack_, f, value));
}

void Telling::tell(const std::string& name, const nlohmann::json& value) {
  if (value.is_null()) return;
  if (value.is_string()) return tell(name, value.get<std::string>());
  const runtime::Index f = finding(name);
  if (value.is_boolean()) return take(name, f, runtime::value_of_text(pack_, f, value.get<bool>() ? "yes" : "no"));
  const auto number = value.is_number_unsigned()  ? std::optional(runtime::Number(value.get<std::uint64_t>()))
                      : value.is_number_integer() ? std::optional(runtime::Number(value.get<std::int64_t>()))
                      : value.is_number()         ? runtime::Number::from(value.get<double>())
                                                  : std::nullopt;
  if (!number) throw Misuse("\"" + name + "\" is told neither as a number nor as a word");
  take(name, f, runtime::value_of_number(pack_, f, *number));
}

runtime::Index Telling::finding(const std::string& name) const {
  if (const runtime::Index f = names_.finding(name); f != runtime::no_index) return f;
  throw Misuse(runtime::no_such_finding(pack_, names_, name));
}

void Telling::take(const std::string& name, runtime::Index f, runtime::ValueReading reading) {
  if (!reading.value) throw Misuse(reading.wrong);
  if (answers_[f] && *answers_[f] != *reading.value) throw Misuse("\"" + name + "\" is told twice, and not the same");
  answers_[f] = std::move(reading.value);
}

void tell_profile(std::string_view text, const std::string& file, Telling& telling) {
  std::set<std::string> names;
  const auto once = [&](int depth, nlohmann::json::parse_event_t event, nlohmann::json& parsed) {
    if (event == nlohmann::json::parse_event_t::key && depth == 1 && !names.insert(parsed.get<std::string>()).second)
      throw Misuse("\"" + parsed.get<std::string>() + "\" is told twice in \"" + file + "\"");
    return true;
  };
  const auto json = nlohmann::json::parse(text, once, false);
  if (json.is_discarded()) throw Misuse("\"" + file + "\" is no JSON");
  if (!json.is_object()) throw Misuse("\"" + file + "\" is no JSON object of findings and their values");
  for (const auto& [name, value] : json.items()) telling.tell(name, value);
}

}  // namespace betony::terminal
