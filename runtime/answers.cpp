#include "runtime/answers.h"

#include <algorithm>

namespace betony::runtime {
namespace {

constexpr std::string_view months[] = {"january", "february", "march",     "april",   "may",      "june",
                                       "july",    "august",   "september", "october", "november", "december"};
constexpr int days_of_month[] = {31, 29, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31};
constexpr int last_day = 365, last_minute = 1439;

bool is_white(char c) { return c == ' ' || c == '\t' || c == '\r' || c == '\n'; }
bool is_digit(char c) { return c >= '0' && c <= '9'; }

std::string quoted(std::string_view text) { return "\"" + std::string(text) + "\""; }

std::string listed(const std::vector<std::string>& words, const char* last) {
  std::string out;
  for (std::size_t i = 0; i < words.size(); ++i) out += (i == 0 ? "" : i + 1 == words.size() ? std::string(" ") + last + " " : ", ") + words[i];
  return out;
}

std::size_t letters_apart(std::string_view a, std::string_view b) {
  std::vector<std::size_t> row(b.size() + 1);
  for (std::size_t j = 0; j <= b.size(); ++j) row[j] = j;
  for (std::size_t i = 1; i <= a.size(); ++i) {
    std::size_t corner = row[0];
    row[0] = i;
    for (std::size_t j = 1; j <= b.size(); ++j) {
      const std::size_t above = row[j];
      row[j] = std::min({above + 1, row[j - 1] + 1, corner + (a[i - 1] != b[j - 1])});
      corner = above;
    }
  }
  return row.back();
}

// A whole number of at most four digits at the beginning, taken off.
std::optional<int> take_small(std::string_view& text) {
  std::size_t end = 0;
  int number = 0;
  while (end < text.size() && end < 4 && is_digit(text[end])) number = number * 10 + (text[end++] - '0');
  if (end == 0 || (end < text.size() && is_digit(text[end]))) return std::nullopt;
  text.remove_prefix(end);
  return number;
}

// "1 november", "29 february": the day of a year that has a 29 February.
std::optional<Value> date_of(std::string_view text) {
  const auto day = take_small(text);
  if (!day || text.empty() || text[0] != ' ') return std::nullopt;
  const auto month = std::find(std::begin(months), std::end(months), text.substr(1));
  if (month == std::end(months)) return std::nullopt;
  const auto m = static_cast<int>(month - std::begin(months));
  if (*day < 1 || *day > days_of_month[m]) return std::nullopt;
  int of_year = *day - 1;
  for (int before = 0; before < m; ++before) of_year += days_of_month[before];
  return Value{Value::Kind::number, 0, Number(of_year)};
}

std::optional<Value> clock_of(std::string_view text) {
  const auto hour = take_small(text);
  if (!hour || *hour > 23 || text.empty() || text[0] != ':') return std::nullopt;
  text.remove_prefix(1);
  const bool two = text.size() == 2;
  const auto minute = take_small(text);
  if (!two || !minute || *minute > 59 || !text.empty()) return std::nullopt;
  return Value{Value::Kind::number, 0, Number(*hour * 60 + *minute)};
}

ValueReading wrong(std::string words) { return {std::nullopt, std::move(words)}; }

// Whether it is written in no more letters than are read. Short parts are, without a look at their digits: of two numbers under 2^96 none
// has more than 29.
bool can_be_read_again(const Number& number) { return number.bits() <= 96 || number.words().size() <= Number::longest_text; }

// "min" of "min ago", where the finding counts back.
std::string_view without_ago(const Finding& finding, std::string_view unit) {
  if (!finding.ago || !folded(unit).ends_with("ago")) return unit;
  unit.remove_suffix(3);
  while (!unit.empty() && is_white(unit.back())) unit.remove_suffix(1);
  return unit;
}

// Null where it is none.
const UnitName* unit_of(const Pack& pack, const Finding& finding, std::string_view name) {
  static const UnitName own{"", 1, 0, false};
  if (name.empty()) return &own;
  if (finding.units == no_index) return nullptr;
  const auto& table = pack.unit_tables[finding.units];
  const auto exact = std::find_if(table.begin(), table.end(), [&](const UnitName& unit) { return unit.name == name; });
  if (exact != table.end()) return &*exact;
  const std::string small = folded(name);
  const auto near = std::find_if(table.begin(), table.end(), [&](const UnitName& unit) { return unit.any_case && folded(unit.name) == small; });
  return near == table.end() ? nullptr : &*near;
}

std::string range_words(const Finding& f) { return value_words(f, {Value::Kind::number, 0, f.low}) + " to " + value_words(f, {Value::Kind::number, 0, f.high}); }

}  // namespace

std::string folded(std::string_view text) {
  std::string out;
  for (const char c : text) {
    if (!is_white(c)) out += c >= 'A' && c <= 'Z' ? static_cast<char>(c + ('a' - 'A')) : c;
    else if (!out.empty() && out.back() != ' ') out += ' ';
  }
  if (!out.empty() && out.back() == ' ') out.pop_back();
  return out;
}

// ---------------------------------------------------------------- names

Names::Names(const Pack& pack) {
  const auto enter = [](Map& map, const auto& list) {
    for (Index i = 0; i < list.size(); ++i) {
      map.try_emplace(folded(list[i].name), i);
      for (const std::string& other : list[i].also) map.try_emplace(folded(other), i);
    }
  };
  enter(findings_, pack.findings);
  enter(practices_, pack.practices);
  enter(choices_, pack.choices);
  for (Index r = 0; r < pack.readings.size(); ++r) readings_.try_emplace(folded(pack.readings[r].school), r);
}

Index Names::find(const Map& map, std::string_view name) {
  const auto at = map.find(folded(name));
  return at == map.end() ? no_index : at->second;
}

Index Names::near_finding(std::string_view name) const {
  const std::string wanted = folded(name).substr(0, 80);
  Index best = no_index;
  std::size_t least = wanted.size() / 3 + 1;
  for (const auto& [known, index] : findings_) {
    if (known.size() > 80) continue;
    const std::size_t apart = letters_apart(wanted, known);
    if (apart < least || (apart == least && best != no_index && index < best)) best = index, least = apart;
  }
  return best;
}

std::string no_such_finding(const Pack& pack, const Names& names, std::string_view name) {
  const Index near = names.near_finding(name);
  return "no finding is called " + quoted(name) + (near == no_index ? "" : "; did you mean " + quoted(pack.findings[near].name) + "?");
}

// ---------------------------------------------------------------- values

std::optional<Amount> amount_of(std::string_view text) {
  while (!text.empty() && is_white(text.front())) text.remove_prefix(1);
  while (!text.empty() && is_white(text.back())) text.remove_suffix(1);
  std::size_t end = 0;
  while (end < text.size() && (is_digit(text[end]) || text[end] == '.' || ((text[end] == '-' || text[end] == '+') && end == 0) ||
                               (text[end] == '/' && end + 1 < text.size() && is_digit(text[end + 1]))))
    ++end;
  const auto number = Number::read(text.substr(0, end));
  if (!number) return std::nullopt;
  std::string_view unit = text.substr(end);
  while (!unit.empty() && is_white(unit.front())) unit.remove_prefix(1);
  return Amount{*number, unit};
}

std::string wrong_unit(const Pack& pack, Index index, std::string_view unit) {
  const Finding& finding = pack.findings[index];
  if (unit.empty()) return {};
  if (finding.has_words()) return quoted(finding.name) + " is told in words: " + listed(finding.values, "or");
  if (unit_of(pack, finding, without_ago(finding, unit))) return {};
  return quoted(unit) + " is no unit of " + quoted(finding.name) + (finding.unit.empty() ? ", which has none" : ", which is told in " + finding.unit);
}

ValueReading value_of_number(const Pack& pack, Index index, const Number& number, std::string_view unit) {
  const Finding& finding = pack.findings[index];
  if (finding.has_words()) return wrong(quoted(finding.name) + " is told in words: " + listed(finding.values, "or"));
  Value value{Value::Kind::number, 0, number};
  if (std::string why = wrong_unit(pack, index, unit); !why.empty()) return wrong(std::move(why));
  if (const UnitName* known = unit_of(pack, finding, without_ago(finding, unit)); !known->name.empty()) value.number = number * known->factor + known->offset;
  if (std::string why = why_impossible(finding, value); !why.empty()) return wrong(std::move(why));
  if (!can_be_read_again(value.number)) return wrong(value_words(finding, value) + " has too many digits for " + quoted(finding.name));
  return {std::move(value), {}};
}

std::string why_impossible(const Finding& finding, const Value& value) {
  if (value.kind == Value::Kind::never) return finding.or_never ? "" : quoted(finding.name) + " cannot be never";
  if (value.kind == Value::Kind::word)
    return finding.has_words() && value.word < finding.values.size() ? "" : quoted(finding.name) + " has no such word";
  if (finding.has_words()) return quoted(finding.name) + " is told in words: " + listed(finding.values, "or");
  if (value.number < finding.low || value.number > finding.high)
    return value_words(finding, value) + " is out of the range of " + quoted(finding.name) + ", which goes from " + range_words(finding);
  if (finding.step.sign() == 0) return {};
  const auto steps = divided(value.number - finding.low, finding.step);
  if (steps && steps->is_integer()) return {};
  const std::string step = finding.step.words();
  return value_words(finding, value) + " lies between two steps of " + quoted(finding.name) + ", which goes in steps of " + step;
}

ValueReading value_of_text(const Pack& pack, Index index, std::string_view text, std::string_view unit) {
  const Finding& finding = pack.findings[index];
  const std::string small = folded(text);
  if (finding.or_never && small == "never") return {Value{Value::Kind::never, 0, {}}, {}};
  if (finding.has_words()) {
    for (Index v = 0; v < finding.values.size(); ++v)
      if (folded(finding.values[v]) == small) return {Value{Value::Kind::word, v, {}}, {}};
    return wrong(quoted(text) + " is no answer for " + quoted(finding.name) + ", which is " + listed(finding.values, "or"));
  }
  if (finding.kind == Finding::Kind::date || finding.kind == Finding::Kind::time_of_day) {
    const bool date = finding.kind == Finding::Kind::date;
    auto value = date ? date_of(small) : clock_of(small);
    if (!value) return wrong(quoted(text) + (date ? " is no day of the year; write 1 November" : " is no time of day; write 06:30"));
    if (std::string why = why_impossible(finding, *value); !why.empty()) return wrong(std::move(why));
    return {std::move(value), {}};
  }
  const auto amount = amount_of(text);
  if (!amount) return wrong(quoted(text) + " is no number; " + quoted(finding.name) + " goes from " + range_words(finding));
  return value_of_number(pack, index, amount->number, amount->unit.empty() ? unit : amount->unit);
}

std::string value_words(const Finding& finding, const Value& value) {
  if (value.kind == Value::Kind::never) return "never";
  if (value.kind == Value::Kind::word) return finding.values[value.word];
  const bool is_date = finding.kind == Finding::Kind::date, is_time = finding.kind == Finding::Kind::time_of_day;
  // Any number may be told of them; one that is no day of the year, or no minute of the day, is shown as the number it is.
  const bool in_calendar = value.number.is_integer() && value.number.sign() >= 0 && value.number <= Number(is_date ? last_day : last_minute);
  if ((is_date || is_time) && in_calendar) {
    int left = static_cast<int>(value.number.near());
    if (is_time) {
      const std::string hour = std::to_string(left / 60), minute = std::to_string(left % 60);
      return std::string(hour.size() < 2, '0') + hour + ":" + std::string(minute.size() < 2, '0') + minute;
    }
    int month = 0;
    while (left >= days_of_month[month]) left -= days_of_month[month++];
    std::string name(months[month]);
    name[0] = static_cast<char>(name[0] - 'a' + 'A');
    return std::to_string(left + 1) + " " + name;
  }
  return value.number.words() + (finding.unit.empty() ? "" : " " + finding.unit) + (finding.ago ? " ago" : "");
}

}  // namespace betony::runtime
