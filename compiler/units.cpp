#include "compiler/units.h"

#include <cassert>

#include "grammar/nearness.h"
#include "compiler/units_table.h"
#include "grammar/text.h"

namespace betony {
namespace {

// ---------------------------------------------------------------- reckoning

Rational power(const Rational& base, int exponent) {
  Rational result = 1;
  for (int i = 0; i < std::abs(exponent); ++i) result *= base;
  return exponent < 0 ? Rational(1 / result) : result;
}

Unit power(const Unit& unit, int exponent) {
  Unit result;
  result.factor = power(unit.factor, exponent);
  if (exponent != 0)
    for (const auto& [base, times] : unit.powers) result.powers[base] = times * exponent;
  return result;
}

// "4.54609", "6.0221367e23", "5/9": the table's numbers.
Rational exact(std::string_view text) {
  std::string digits;
  int scale = 0;
  bool after_point = false;
  std::size_t i = 0;
  for (; i < text.size() && text[i] != 'e' && text[i] != '/'; ++i) {
    if (text[i] == '.') after_point = true;
    else { digits += text[i]; scale -= after_point; }
  }
  Rational value{digits, 10};
  if (i < text.size() && text[i] == '/') value /= Rational{std::string(text.substr(i + 1)), 10};
  if (i < text.size() && text[i] == 'e') scale += std::stoi(std::string(text.substr(i + 1)));
  return value * power(Rational(10), scale);
}

std::string lower(std::string_view text) {
  std::string out(text);
  for (char& c : out) if (c >= 'A' && c <= 'Z') c = static_cast<char>(c - 'A' + 'a');
  return out;
}

// ---------------------------------------------------------------- the tables, made once

struct Atom {
  Unit unit;
  bool metric = false;
};

struct Tables {
  std::unordered_map<std::string, Atom> codes;
  std::unordered_map<std::string, std::string> everyday, everyday_lower;  // name -> UCUM text
  std::vector<std::string> names;                                         // for suggestions
};

UnitReading read_with(const Tables& tables, const std::unordered_map<std::string, Unit>* declared,
                      const std::vector<std::string>* names, std::string_view text);

void add_definition(Tables& tables, const UnitDefinition& definition) {
  Atom atom;
  atom.metric = definition.metric;
  if (*definition.unit == '\0') {
    atom.unit.powers[definition.code] = 1;
  } else {
    auto of = read_with(tables, nullptr, nullptr, definition.unit);
    assert(of.unit && "the table uses only what stands above");
    atom.unit = *of.unit;
    atom.unit.factor *= exact(definition.value);
    if (definition.offset) atom.unit.offset = exact(definition.offset);
  }
  tables.codes.emplace(definition.code, std::move(atom));
}

void add_names(Tables& tables, const UnitNames& line) {
  const std::string_view all = line.names;
  for (std::size_t begin = 0; begin < all.size();) {
    const std::size_t end = std::min(all.find(' ', begin), all.size());
    const std::string name(all.substr(begin, end - begin));
    tables.everyday.emplace(name, line.unit);
    tables.everyday_lower.emplace(lower(name), line.unit);
    tables.names.push_back(name);
    begin = end + 1;
  }
}

const Tables& tables() {
  static const Tables made = [] {
    Tables t;
    for (const UnitDefinition& definition : unit_definitions()) add_definition(t, definition);
    for (const UnitNames& line : unit_names()) add_names(t, line);
    for (const UnitDefinition& definition : unit_definitions()) t.names.push_back(definition.code);
    return t;
  }();
  return made;
}

// A code of UCUM, whole or after a prefix. Scales with a zero of their own take no prefix.
std::optional<Unit> code(const Tables& tables, const std::string& symbol) {
  if (auto found = tables.codes.find(symbol); found != tables.codes.end()) return found->second.unit;
  for (const UnitPrefix& prefix : unit_prefixes()) {
    if (!symbol.starts_with(prefix.code)) continue;
    auto found = tables.codes.find(symbol.substr(std::string_view(prefix.code).size()));
    if (found == tables.codes.end() || !found->second.metric || found->second.unit.special()) continue;
    Unit unit = found->second.unit;
    unit.factor *= power(Rational(prefix.base), prefix.power);
    return unit;
  }
  return std::nullopt;
}

// ---------------------------------------------------------------- reading

struct Refusal {
  std::string message, remedy;
};

// Reads one unit text, left to right: term := ["/"] component (("." | "/") component)*. Brackets nest no
// deeper than the text is long, and that is bounded.
class Reader {
 public:
  Reader(const Tables& tables, const std::unordered_map<std::string, Unit>* declared, const std::vector<std::string>* names,
         std::string text)
      : tables_(tables), declared_(declared), names_(names), text_(std::move(text)) {}

  UnitReading read() {
    UnitReading out;
    Unit unit;
    if (text_.size() > UnitBook::most_bytes) refuse("This unit is longer than a unit can be.", "Declare a short name for it: Unit palm is 30 g.");
    else unit = term();
    if (!refusal_ && at_ < text_.size()) refuse("\"" + text_ + "\" closes a bracket that was never opened.", "");
    if (!refusal_ && composed_ && has_special_) refuse_special();
    if (refusal_) out.message = refusal_->message, out.remedy = refusal_->remedy;
    else out.unit = std::move(unit);
    return out;
  }

 private:
  bool more() const { return at_ < text_.size() && !refusal_; }

  Unit term() {
    Unit unit;
    bool divide = false;
    if (more() && text_[at_] == '/') ++at_, divide = composed_ = true;
    for (;;) {
      const Unit next = component();
      if (refusal_) return unit;
      unit = divide ? unit / next : unit_is_bare(unit) ? next : unit * next;
      if (!more() || text_[at_] == ')') return unit;
      divide = text_[at_] == '/';
      composed_ = true;
      ++at_;
    }
  }

  static bool unit_is_bare(const Unit& unit) { return unit.powers.empty() && unit.factor == 1; }

  Unit component() {
    if (more() && text_[at_] == '(') return bracket();
    const std::string symbol = take_symbol();
    if (symbol.empty()) return Unit{};  // a remark in braces alone, or refused
    if (symbol.find_first_not_of("0123456789") == std::string::npos) return factor(symbol);
    if (auto unit = simple(symbol)) return *unit;
    return with_power(symbol);
  }

  Unit bracket() {
    ++at_;
    composed_ = true;
    Unit unit = term();
    if (refusal_) return unit;
    if (at_ >= text_.size()) refuse("\"" + text_ + "\" opens a bracket and does not close it.", text_ + ")");
    else ++at_;
    return unit;
  }

  // Up to the next "." "/" "(" ")" outside square brackets; remarks in braces are passed over.
  std::string take_symbol() {
    std::string symbol;
    bool remark = false;
    while (at_ < text_.size() && std::string_view("./()").find(text_[at_]) == std::string_view::npos) {
      if (text_[at_] == '{' || text_[at_] == '[') {
        const char closer = text_[at_] == '{' ? '}' : ']';
        const std::size_t end = text_.find(closer, at_);
        if (end == std::string::npos) return refuse("\"" + text_ + "\" opens a bracket and does not close it.", text_ + closer), "";
        if (closer == ']') symbol += text_.substr(at_, end + 1 - at_);
        else remark = true;
        at_ = end + 1;
      } else {
        symbol += text_[at_++];
      }
    }
    if (symbol.empty() && !remark) refuse("A unit is missing in \"" + text_ + "\".", "");
    return symbol;
  }

  Unit factor(const std::string& digits) {
    Unit unit;
    unit.factor = Rational{digits, 10};
    if (unit.factor == 0) refuse("A unit cannot be 0 times something, as in \"" + text_ + "\".", "");
    return unit;
  }

  // "m2", "s-1": the unit before, the power behind.
  Unit with_power(const std::string& symbol) {
    std::size_t digits = symbol.size();
    while (digits > 0 && std::isdigit(static_cast<unsigned char>(symbol[digits - 1]))) --digits;
    std::size_t end = digits;
    if (end > 0 && end < symbol.size() && (symbol[end - 1] == '-' || symbol[end - 1] == '+')) --end;
    if (end == 0 || digits == symbol.size()) return unknown(symbol);
    if (symbol[end - 1] == '^' && symbol != "10^") return caret(symbol, end);
    auto unit = simple(symbol.substr(0, end));
    if (!unit) return unknown(symbol);
    if (symbol.size() - digits > 3) return too_high();
    const int exponent = std::stoi(symbol.substr(digits)) * (symbol[end] == '-' ? -1 : 1);
    if (std::abs(exponent) > UnitBook::most_power) return too_high();
    composed_ = true;
    return power(*unit, exponent);
  }

  Unit caret(const std::string& symbol, std::size_t end) {
    if (auto ten = simple(symbol.substr(0, end)); ten && symbol.substr(0, end) == "10^")
      return power(*ten, std::abs(std::stoi(symbol.substr(end))) > UnitBook::most_power ? 0 : std::stoi(symbol.substr(end)));
    return refuse("A power stands straight after its unit, without \"^\".", symbol.substr(0, end - 1) + symbol.substr(end)), Unit{};
  }

  Unit too_high() { return refuse("The power in \"" + text_ + "\" is too high for a unit.", ""), Unit{}; }

  std::optional<Unit> simple(const std::string& symbol) {
    auto unit = look_up(symbol);
    if (unit && unit->special()) {
      has_special_ = true;
      special_ = symbol;
      unit = composed_ ? plain(*unit) : *unit;
    }
    return unit;
  }

  std::optional<Unit> look_up(const std::string& symbol) const {
    if (declared_) {
      if (auto own = declared_->find(symbol); own != declared_->end()) return own->second;
      if (auto own = declared_->find(letters::fold(symbol)); own != declared_->end()) return own->second;
    }
    if (auto name = tables_.everyday.find(symbol); name != tables_.everyday.end()) return everyday(name->second);
    if (auto unit = code(tables_, symbol)) return unit;
    if (auto name = tables_.everyday_lower.find(lower(symbol)); name != tables_.everyday_lower.end()) return everyday(name->second);
    return std::nullopt;
  }

  std::optional<Unit> everyday(const std::string& text) const { return read_with(tables_, nullptr, nullptr, text).unit; }

  Unit unknown(const std::string& symbol) {
    std::vector<std::string> candidates = names_ ? *names_ : std::vector<std::string>{};
    candidates.insert(candidates.end(), tables_.names.begin(), tables_.names.end());
    const std::string message = "No unit is called \"" + symbol + "\"";
    if (code(tables_, lower(symbol))) refuse(message + ".", lower(symbol));
    else if (auto meant = nearest(symbol, candidates)) refuse(message + ".", *meant);
    else refuse(message + "; there are min, h, kg, mL, Cel and many others, and a unit of your own is declared.", "Unit " + symbol + ".");
    return Unit{};
  }

  void refuse_special() {
    std::string in_kelvin = text_;
    if (const std::size_t at = in_kelvin.find(special_); at != std::string::npos) in_kelvin.replace(at, special_.size(), "K");
    refuse(special_ + " has a zero of its own and cannot be part of \"" + text_ + "\"; K has none, and its steps are those of Cel.", in_kelvin);
  }

  void refuse(std::string message, std::string remedy) {
    if (!refusal_) refusal_ = Refusal{std::move(message), std::move(remedy)};
  }

  const Tables& tables_;
  const std::unordered_map<std::string, Unit>* declared_;
  const std::vector<std::string>* names_;
  std::string text_;
  std::size_t at_ = 0;
  bool composed_ = false, has_special_ = false;
  std::string special_;
  std::optional<Refusal> refusal_;
};

// Signs of print that mean the same: a raised 2 is a 2, a middle dot a full stop.
std::string plain_signs(std::string_view text) {
  static constexpr std::pair<const char*, const char*> signs[] = {
      {"\u00b2", "2"}, {"\u00b3", "3"}, {"\u00b9", "1"}, {"\u207b", "-"}, {"\u2212", "-"}, {"\u00b7", "."}, {"\u22c5", "."},
      {"\u2215", "/"}, {"\u2044", "/"}, {"\u2019", "'"}, {"\u2032", "'"}, {"\u2033", "''"}};
  std::string out;
  for (std::size_t i = 0; i < text.size();) {
    bool replaced = false;
    for (const auto& [sign, plain] : signs) {
      if (!text.substr(i).starts_with(sign)) continue;
      out += plain;
      i += std::string_view(sign).size();
      replaced = true;
      break;
    }
    if (!replaced) out += text[i++];
  }
  return out;
}

UnitReading read_with(const Tables& tables, const std::unordered_map<std::string, Unit>* declared,
                      const std::vector<std::string>* names, std::string_view text) {
  if (text.empty()) return {Unit{}, {}, {}};
  return Reader(tables, declared, names, plain_signs(text)).read();
}

}  // namespace

// ---------------------------------------------------------------- the public part

bool alike(const Unit& a, const Unit& b) { return a.powers == b.powers; }

Rational convert_reading(const Rational& number, const Unit& from, const Unit& to) {
  return (number + from.offset) * from.factor / to.factor - to.offset;
}

Rational convert_difference(const Rational& number, const Unit& from, const Unit& to) {
  return number * from.factor / to.factor;
}

Unit operator*(const Unit& a, const Unit& b) {
  Unit product = a;
  product.factor *= b.factor;
  for (const auto& [base, times] : b.powers)
    if ((product.powers[base] += times) == 0) product.powers.erase(base);
  return product;
}

Unit operator/(const Unit& a, const Unit& b) { return a * power(b, -1); }

Unit plain(Unit unit) {
  unit.offset = 0;
  return unit;
}

std::string measured(const Unit& unit) {
  static const std::map<std::map<std::string, int>, const char*> kinds = {
      {{}, "a plain number"},
      {{{"s", 1}}, "a time"},
      {{{"g", 1}}, "a mass"},
      {{{"m", 1}}, "a length"},
      {{{"m", 2}}, "an area"},
      {{{"m", 3}}, "a volume"},
      {{{"K", 1}}, "a temperature"},
      {{{"s", -1}}, "a rate"},
      {{{"m", 1}, {"s", -1}}, "a speed"},
      {{{"deg", 1}}, "an angle"},
      {{{"g", 1}, {"m", 1}, {"s", -2}}, "a force"},
      {{{"g", 1}, {"m", -1}, {"s", -2}}, "a pressure"},
      {{{"g", 1}, {"m", 2}, {"s", -2}}, "an energy"},
      {{{"g", 1}, {"m", 2}, {"s", -3}}, "a power"},
      {{{"g", 1}, {"m", -3}}, "a density"},
  };
  if (auto kind = kinds.find(unit.powers); kind != kinds.end()) return kind->second;
  std::string text;
  for (const auto& [base, times] : unit.powers)
    text += (text.empty() ? "" : ".") + base + (times == 1 ? "" : std::to_string(times));
  return "measured in " + text;
}

UnitReading UnitBook::read(std::string_view text) const { return read_with(tables(), &declared_, &names_, text); }

void UnitBook::declare(const std::vector<std::string>& names) {
  Unit unit;
  unit.powers[names.front()] = 1;
  declare(names, 1, unit);
}

void UnitBook::declare(const std::vector<std::string>& names, const Rational& amount, const Unit& of) {
  Unit unit = plain(of);
  unit.factor *= amount;
  for (const std::string& name : names) {
    declared_.insert_or_assign(name, unit);
    declared_.insert_or_assign(letters::fold(name), unit);
    names_.push_back(name);
  }
}

std::vector<UnitBook::Named> UnitBook::names_alike(const Unit& unit) const {
  std::map<std::string, Named> found;
  const auto enter = [&](const std::string& name, bool any_case) {
    auto reading = read(name);
    if (!reading.unit || !alike(*reading.unit, unit)) return;
    Named& named = found.try_emplace(name, Named{name, *reading.unit, false}).first->second;
    named.any_case = named.any_case || any_case;
  };
  for (const auto& [symbol, atom] : tables().codes) {
    enter(symbol, false);
    if (atom.metric && !atom.unit.special())
      for (const UnitPrefix& prefix : unit_prefixes()) enter(prefix.code + symbol, false);
  }
  for (const auto& [name, of] : tables().everyday) enter(name, true);
  for (const auto& [name, of] : declared_) enter(name, true);
  std::vector<Named> all;
  for (auto& [name, named] : found) all.push_back(std::move(named));
  return all;
}

bool UnitBook::declared(std::string_view name) const {
  return declared_.contains(std::string(name)) || declared_.contains(letters::fold(name));
}

bool UnitBook::is_code(std::string_view name) { return code(tables(), std::string(name)).has_value(); }

}  // namespace betony
