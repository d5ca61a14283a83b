// Conditions, with the units, months and times of their numbers.
#include <algorithm>
#include <array>

#include "tests/oracle/reader.h"

namespace betony::oracle {

using referee::Finding;

namespace {

// ---------------------------------------------------------------- units, months

struct Unit { int dimension; Fraction factor, zero; };  // base = number * factor + zero

const std::map<std::string, Unit>& units() {
  static const std::map<std::string, Unit> all = {
      {"s", {1, 1, 0}}, {"min", {1, 60, 0}}, {"h", {1, 3600, 0}}, {"d", {1, 86400, 0}}, {"wk", {1, 604800, 0}},
      {"g", {2, 1, 0}}, {"kg", {2, 1000, 0}}, {"cm", {3, 1, 0}}, {"m", {3, 100, 0}}, {"inch", {3, Fraction(127, 50), 0}},
      {"cel", {4, 1, 0}}, {"degf", {4, Fraction(5, 9), Fraction(-160, 9)}}, {"mm[hg]", {5, 1, 0}}, {"/min", {6, 1, 0}},
      {"%", {7, Fraction(1, 100), 0}}, {"years", {8, 1, 0}}, {"", {7, 1, 0}}};
  return all;
}

Fraction converted(const Fraction& n, const std::string& from, const std::string& to) {
  const Unit &a = units().at(from), &b = units().at(to);
  if (a.dimension != b.dimension) throw Trouble{"units: " + from + " and " + to};
  return (n * a.factor + a.zero - b.zero) / b.factor;
}

const std::array<const char*, 12> months = {"january", "february", "march", "april", "may", "june",
                                            "july", "august", "september", "october", "november", "december"};

}  // namespace

bool is_unit(const std::string& word) { return units().count(word) > 0; }

// ---------------------------------------------------------------- lists and brackets

bool Reader::ends() const {  // what follows belongs to the sentence, not to its condition
  const std::size_t comma = sees({","}) ? 1 : 0;
  if (at_ + comma >= now_->tokens.size()) return true;
  const Token& t = peek(comma);
  if (t.kind == Token::Kind::citation || t.kind == Token::Kind::string) return true;
  return plain(t) && std::set<std::string>{"in", "when", "unless", "despite", "for", "called", "as", ":", ";", ")"}.count(t.text);
}

Cond Reader::list_of(Cond::Kind kind, int count) {
  Cond c;
  c.kind = kind;
  c.count = count;
  do {
    if (!take({"and"})) take({"or"});
    c.parts.push_back(item());
  } while (!ends() && (take({","}) || sees({"and"}) || sees({"or"})));
  return c;
}

std::optional<Cond> Reader::last() {
  if (take({"any", "of"})) return list_of(Cond::Kind::any, 0);
  if (take({"all", "of"})) return list_of(Cond::Kind::all, 0);
  if (take({"none", "of"})) return list_of(Cond::Kind::none, 0);
  if (sees({"at", "least"}) && peek(2).kind == Token::Kind::number) {
    at_ += 2;
    const int count = static_cast<int>(number().get_num().get_si());
    need({"of"});
    return list_of(Cond::Kind::at_least, count);
  }
  return std::nullopt;
}

Cond Reader::level() {
  Cond c;
  std::string connective;
  for (;;) {
    if (auto list = last()) c.parts.push_back(std::move(*list));
    else c.parts.push_back(item());
    if (ends()) break;
    take({","});
    if (sees({"and"}) || sees({"or"})) connective = next().text;
  }
  if (c.parts.size() == 1) return Cond(c.parts[0]);
  if (connective.empty()) throw Trouble{"a list without and/or"};
  c.kind = connective == "and" ? Cond::Kind::all : Cond::Kind::any;
  return c;
}

Cond Reader::item() {
  if (take({"not"})) {
    Cond c;
    c.kind = Cond::Kind::negation;
    c.parts = {item()};
    return c;
  }
  if (take({"("})) {
    Cond c = level();
    need({")"});
    return c;
  }
  return atom();
}

// ---------------------------------------------------------------- one test

Cond Reader::atom() {
  std::size_t length = 0;
  const Named* what = named(&length);
  if (!what) throw Trouble{"no such name: " + peek().text};
  at_ += length;
  Cond c;
  c.index = what->index, c.item = what->item;
  switch (what->of) {
    case Named::Of::term: c.of = Cond::Of::term, c.kind = Cond::Kind::holds; return c;
    case Named::Of::tally: c.of = Cond::Of::tally; return numbers(c, "");
    case Named::Of::measure: c.of = Cond::Of::measure; return numbers(c, m_.measures[static_cast<std::size_t>(c.index)].unit);
    case Named::Of::leading: c.of = Cond::Of::leading; return words(c, leading_values(m_, m_.leadings[static_cast<std::size_t>(c.index)]));
    case Named::Of::choice: c.of = Cond::Of::choice; return words(c, m_.choices[static_cast<std::size_t>(c.index)].words);
    case Named::Of::practice: c.of = Cond::Of::practice; return verdicts(c);
    case Named::Of::finding: break;
    default: throw Trouble{"not a condition"};
  }
  const Finding& f = m_.findings[static_cast<std::size_t>(c.index)];
  switch (f.kind) {
    case Finding::Kind::yes_no:
    case Finding::Kind::any_of: c.kind = Cond::Kind::holds; return c;
    case Finding::Kind::one_of: return words(c, f.words);
    case Finding::Kind::grade: return sees({"is"}) || sees({"are"}) ? words(c, f.words) : numbers(c, "");
    default: return numbers(c, f.unit);
  }
}

Cond Reader::words(Cond c, const std::vector<std::string>& all) {
  c.kind = Cond::Kind::among;
  if (!is()) throw Trouble{"expected is"};
  c.negated = take({"not"});
  const bool one_of = take({"one", "of"});
  for (;;) {
    const int w = word_of(all);
    if (w < 0) throw Trouble{"no such value: " + peek().text};
    c.words.push_back(w);
    const std::size_t before = at_;
    bool more = one_of && take({","});
    more = take({"or"}) || more;
    const std::size_t value = at_;
    if (more && word_of(all) >= 0) {
      at_ = value;
      continue;
    }
    at_ = before;
    return c;
  }
}

Cond Reader::verdicts(Cond c) {
  static const std::vector<std::string> all = {"outside", "referred", "withheld", "discouraged", "advised", "allowed", "silent", "unanswered"};
  const std::size_t begin = at_;
  if (is() && take({"with", "care"})) {
    c.kind = Cond::Kind::with_care;
    return c;
  }
  at_ = begin;
  return words(c, all);
}

// A number of these units, or of a grade its word, or a day or a minute.
Fraction Reader::measured(const Cond& c, std::string* unit) {
  if (c.of == Cond::Of::finding && m_.findings[static_cast<std::size_t>(c.index)].kind == Finding::Kind::grade) {
    const int w = word_of(m_.findings[static_cast<std::size_t>(c.index)].words);
    return w < 0 ? throw Trouble{"no such grade: " + peek().text} : Fraction(w);
  }
  if (peek().kind == Token::Kind::clock) return next().number;
  const Fraction n = number();
  const auto month = std::find(months.begin(), months.end(), peek().text);
  if (month != months.end()) {
    static const std::array<int, 12> before = {0, 31, 60, 91, 121, 152, 182, 213, 244, 274, 305, 335};
    next();
    return before[static_cast<std::size_t>(month - months.begin())] + n - 1;
  }
  if (peek().kind == Token::Kind::word && !peek().text.empty() && is_unit(peek().text)) *unit = next().text;
  take({"ago"});
  return n;
}

Cond Reader::numbers(Cond c, const std::string& unit) {
  using How = Cond::How;
  const std::string target = unit == "%" ? "" : unit;  // what is measured in % is computed as a plain number
  std::string in = unit, last_in = unit;
  c.kind = Cond::Kind::compare;
  const auto one = [&](How how) {
    c.how = how;
    const Fraction n = measured(c, &in);
    c.numerals = {in == target ? n : converted(n, in, target)};
    return c;
  };
  if (take({"under"})) return one(How::under);
  if (take({"over"})) return one(How::over);
  if (take({"at", "least"})) return one(How::at_least);
  if (take({"at", "most"})) return one(How::at_most);
  if (take({"from"})) {
    c.how = How::from_to;
    std::string first_in;
    const Fraction first = measured(c, &first_in);
    need({"to"});
    const Fraction second = measured(c, &last_in);
    if (first_in.empty()) first_in = last_in;
    c.numerals = {converted(first, first_in, target), converted(second, last_in, target)};
    return c;
  }
  if (!is()) throw Trouble{"expected a comparison, found " + peek().text};
  c.negated = take({"not"});
  if (take({"never"})) {
    c.kind = Cond::Kind::never;
    return c;
  }
  c.kind = Cond::Kind::numbers;
  const Fraction n = measured(c, &in);
  c.numerals = {converted(n, in, target)};
  return c;
}

}  // namespace betony::oracle
