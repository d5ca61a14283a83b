// grammar/tidy_parts.cpp: the parts of sentences in their standard form.
#include <algorithm>
#include <array>

#include "grammar/tidy_words.h"

namespace betony::tidying {

using namespace tree;

// ---------------------------------------------------------------- words

void Words::word(std::string_view text) {
  words_.push_back(pending_ + std::string(text));
  pending_.clear();
}

void Words::say(std::string_view text) {
  for (std::size_t begin = 0; begin < text.size();) {
    const std::size_t end = std::min(text.find(' ', begin), text.size());
    if (end > begin) word(text.substr(begin, end - begin));
    begin = end + 1;
  }
}

void Words::number(std::string_view digits) { word(digits); }

void Words::glue(std::string_view text) {
  if (words_.empty()) return word(text);
  words_.back() += text;
}

namespace {

bool is_blank(char c) { return c == ' ' || c == '\t' || c == '\n' || c == '\r'; }

// A space at which a string may be broken over two lines: reading makes one space of the break
// again. Spaces that stand beside white space of any kind are left alone.
bool may_break(std::string_view text, std::size_t at) {
  return text[at] == ' ' && at > 0 && at + 1 < text.size() && !is_blank(text[at - 1]) && !is_blank(text[at + 1]);
}

}  // namespace

void Words::quoted(const std::string& content) {
  std::string piece = "\"";
  for (std::size_t i = 0; i < content.size(); ++i) {
    if (may_break(content, i)) {
      word(piece);
      piece.clear();
    } else {
      piece += content[i];
      if (content[i] == '"') piece += '"';
    }
  }
  word(piece + '"');
}

// ---------------------------------------------------------------- lists

namespace {

// "a", "a and b", "a, b, and c"; with an empty connective "a, b, c".
template <class List, class Say>
void listed(Words& to, const List& list, std::string_view joined, Say say) {
  for (std::size_t i = 0; i < list.size(); ++i) {
    const bool last = i + 1 == list.size();
    if (i > 0 && (list.size() > 2 || joined.empty())) to.glue(",");
    if (i > 0 && last) to.say(joined);
    say(list[i]);
  }
}

}  // namespace

void names(Words& to, const std::vector<Name>& list, std::string_view joined) {
  listed(to, list, joined, [&](const Name& name) { to.say(name.text); });
}

void names(Words& to, const std::vector<Name>& list) { names(to, list, ""); }

void named(Words& to, const Named& name) {
  to.say(name.name.text);
  if (name.also.empty()) return;
  to.open();
  to.say("also");
  names(to, name.also);
  to.close();
}

// ---------------------------------------------------------------- values

namespace {

void unit(Words& to, const Unit& unit) {
  if (unit.text.empty()) return;
  // A square bracket after a space would begin a citation.
  if (unit.text.front() == '[') to.glue(unit.text);
  else to.number(unit.text);
}

constexpr std::array<std::string_view, 12> months = {"January", "February", "March",     "April",   "May",      "June",
                                                     "July",    "August",   "September", "October", "November", "December"};

void clock(Words& to, const Clock& time) {
  const auto two = [](unsigned n) { return (n < 10 ? "0" : "") + std::to_string(n); };
  to.number(two(time.minute / 60) + ":" + two(time.minute % 60));
}

}  // namespace

void quantity(Words& to, const Quantity& value) {
  switch (value.kind) {
    case Quantity::Kind::number:
      to.number(value.number.text);
      unit(to, value.unit);
      if (value.ago) to.say("ago");
      break;
    case Quantity::Kind::word: to.say(value.word.text); break;
    case Quantity::Kind::date:
      to.number(std::to_string(value.date.day));
      to.say(months[std::clamp(value.date.month, 1u, 12u) - 1]);
      break;
    case Quantity::Kind::clock: clock(to, value.clock); break;
    case Quantity::Kind::yes: to.say("yes"); break;
    case Quantity::Kind::no: to.say("no"); break;
    case Quantity::Kind::never: to.say("never"); break;
  }
}

void quantities(Words& to, const std::vector<Quantity>& list, std::string_view joined) {
  listed(to, list, joined, [&](const Quantity& value) { quantity(to, value); });
}

bool same_number(const Quantity& a, const Quantity& b) {
  return a.number.text == b.number.text && a.unit.text == b.unit.text;
}

void amount(Words& to, const Quantity& low, const Quantity& high) {
  if (!same_number(low, high)) {
    quantity(to, low);
    to.say("to");
  }
  quantity(to, high);
}

// ---------------------------------------------------------------- conditions

namespace {

bool is_list(const Condition& c) { return c.kind != Condition::Kind::atom && c.kind != Condition::Kind::negation; }

bool is_counted(const Condition& c) {
  return is_list(c) && (c.written == Condition::Written::counted || c.kind == Condition::Kind::none ||
                        c.kind == Condition::Kind::at_least);
}

void part(Words& to, const Condition& c, bool last);

void atom(Words& to, const Atom& a) {
  to.say(a.name.text);
  switch (a.kind) {
    case Atom::Kind::holds: return;
    case Atom::Kind::is:
      to.say(a.negated ? "is not" : "is");
      if (a.one_of) to.say("one of");
      break;
    case Atom::Kind::under: to.say("under"); break;
    case Atom::Kind::over: to.say("over"); break;
    case Atom::Kind::at_least: to.say("at least"); break;
    case Atom::Kind::at_most: to.say("at most"); break;
    case Atom::Kind::from_to:
      to.say("from");
      quantity(to, a.values.at(0));
      to.say("to");
      quantity(to, a.values.at(1));
      return;
    case Atom::Kind::with_care: to.say("is with care"); return;
  }
  if (a.one_of) return quantities(to, a.values, "");
  for (std::size_t i = 0; i < a.values.size(); ++i) {
    if (i > 0) to.say("or");
    quantity(to, a.values[i]);
  }
}

void count(Words& to, const Condition& c) {
  switch (c.kind) {
    case Condition::Kind::all: return to.say("all of");
    case Condition::Kind::any: return to.say("any of");
    case Condition::Kind::none: return to.say("none of");
    default: to.say("at least"); to.number(std::to_string(c.count)); to.say("of");
  }
}

// A counted list takes commas alone: after "skin is sound", an "or" could go on with the values.
void counted(Words& to, const Condition& c) {
  count(to, c);
  for (std::size_t i = 0; i < c.parts.size(); ++i) {
    if (i > 0) to.glue(",");
    part(to, c.parts[i], false);
  }
}

bool ends_in_values(const Condition& c) {
  if (c.bracketed) return false;
  if (c.kind == Condition::Kind::negation) return ends_in_values(c.parts.front());
  return c.kind == Condition::Kind::atom && c.atom.kind == Atom::Kind::is;
}

void joined(Words& to, const Condition& c) {
  const std::string_view word = c.kind == Condition::Kind::all ? "and" : "or";
  const bool clearer = word == "or" && c.parts.size() == 2 && ends_in_values(c.parts[0]);
  for (std::size_t i = 0; i < c.parts.size(); ++i) {
    const bool last = i + 1 == c.parts.size();
    if (i > 0 && (c.parts.size() > 2 || clearer)) to.glue(",");
    if (i > 0 && last) to.say(word);
    part(to, c.parts[i], last);
  }
}

void inside(Words& to, const Condition& c) {
  if (c.kind == Condition::Kind::atom) return atom(to, c.atom);
  if (c.kind == Condition::Kind::negation) {
    to.say("not");
    return part(to, c.parts.front(), false);
  }
  is_counted(c) ? counted(to, c) : joined(to, c);
}

void bracketed(Words& to, const Condition& c) {
  to.open();
  inside(to, c);
  to.close();
}

// One part of a list: it needs brackets where it is a list of its own, but for a counted one at the end.
void part(Words& to, const Condition& c, bool last) {
  const bool needed = is_list(c) && !(last && is_counted(c));
  c.bracketed || needed ? bracketed(to, c) : inside(to, c);
}

}  // namespace

void condition(Words& to, const Condition& c) { c.bracketed ? bracketed(to, c) : inside(to, c); }

// ---------------------------------------------------------------- arithmetic

namespace {

// How tightly an operation holds its parts; a part that holds less tightly needs brackets.
int tightness(const Arithmetic& a) {
  switch (a.kind) {
    case Arithmetic::Kind::add:
    case Arithmetic::Kind::subtract: return 1;
    case Arithmetic::Kind::multiply:
    case Arithmetic::Kind::divide: return 2;
    case Arithmetic::Kind::negate: return 3;
    default: return 4;
  }
}

void formula(Words& to, const Arithmetic& a, int at_least);

void operation(Words& to, const Arithmetic& a, std::string_view sign) {
  formula(to, a.parts.at(0), tightness(a));
  to.say(sign);
  formula(to, a.parts.at(1), tightness(a) + 1);
}

void formula_inside(Words& to, const Arithmetic& a) {
  switch (a.kind) {
    case Arithmetic::Kind::number: to.number(a.number.text); unit(to, a.unit); break;
    case Arithmetic::Kind::name: to.say(a.name.text); break;
    case Arithmetic::Kind::negate: to.say("-"); formula(to, a.parts.at(0), 3); break;
    case Arithmetic::Kind::add: operation(to, a, "+"); break;
    case Arithmetic::Kind::subtract: operation(to, a, "-"); break;
    case Arithmetic::Kind::multiply: operation(to, a, "*"); break;
    case Arithmetic::Kind::divide: operation(to, a, "/"); break;
    case Arithmetic::Kind::least:
    case Arithmetic::Kind::most:
      to.say(a.kind == Arithmetic::Kind::least ? "least of" : "most of");
      for (std::size_t i = 0; i < a.parts.size(); ++i) {
        if (i > 0) to.glue(",");
        formula(to, a.parts[i], 1);
      }
  }
}

// `least of a, b` runs to the end of its brackets, so as a part it always stands in some.
void formula(Words& to, const Arithmetic& a, int at_least) {
  const bool running = a.kind == Arithmetic::Kind::least || a.kind == Arithmetic::Kind::most;
  if (!a.bracketed && !running && tightness(a) >= at_least) return formula_inside(to, a);
  to.open();
  formula_inside(to, a);
  to.close();
}

}  // namespace

void arithmetic(Words& to, const Arithmetic& a) {
  a.bracketed ? formula(to, a, 1) : formula_inside(to, a);
}

// ---------------------------------------------------------------- types, rates, moments

namespace {

void number_type(Words& to, const Type& t) {
  to.say(t.whole ? "a whole number" : "a number");
  if (!t.unit.text.empty()) {
    to.say("of");
    unit(to, t.unit);
  }
  if (t.ago) to.say("ago");
  to.say("from");
  to.number(t.low.text);
  to.say("to");
  to.number(t.high.text);
  if (t.step) {
    to.say("in steps of");
    to.number(t.step->text);
  }
  if (t.or_never) {
    to.glue(",");
    to.say("or never");
  }
}

void prevails(Words& to, const Type& t) {
  if (t.prevails == Type::Prevails::none) return;
  to.glue(",");
  to.say(t.prevails == Type::Prevails::highest ? "the highest prevails" : "the lowest prevails");
}

}  // namespace

void type(Words& to, const Type& t) {
  switch (t.kind) {
    case Type::Kind::yes_no: return to.say("is yes or no");
    case Type::Kind::number: to.say("is"); return number_type(to, t);
    case Type::Kind::one_of: to.say("is one of"); break;
    case Type::Kind::grade: to.say("is a grade of"); break;
    case Type::Kind::any_of: to.say("are any of"); break;
  }
  names(to, t.values);
  prevails(to, t);
}

namespace {

void times(Words& to, const Rate& r) {
  if (r.low.value != r.high.value) {
    to.number(r.low.value.get_str());
    to.say("to");
  } else if (r.high.value == 1) {
    return to.say("once");
  } else if (r.high.value == 2) {
    return to.say("twice");
  }
  to.number(r.high.value.get_str());
  to.say("times");
}

}  // namespace

void rate(Words& to, const Rate& r) {
  if (r.at_most) to.say("at most");
  times(to, r);
  if (r.every) {
    to.say("every");
    to.number(r.period.text);
  } else {
    to.say("a");
  }
  unit(to, r.unit);
}

namespace {

std::string_view anchor(Moment::Anchor a) {
  switch (a) {
    case Moment::Anchor::sunrise: return "sunrise";
    case Moment::Anchor::sunset: return "sunset";
    case Moment::Anchor::dawn: return "dawn";
    case Moment::Anchor::dusk: return "dusk";
    case Moment::Anchor::noon: return "noon";
    case Moment::Anchor::midnight: return "midnight";
    case Moment::Anchor::waking: return "waking";
    case Moment::Anchor::sleep: return "sleep";
    case Moment::Anchor::clock:
    case Moment::Anchor::practice: break;
  }
  return "";
}

}  // namespace

void moment(Words& to, const Moment& m) {
  if (m.by) {
    quantity(to, *m.by);
    to.say(m.before ? "before" : "after");
  }
  if (m.anchor == Moment::Anchor::clock) clock(to, m.clock);
  else if (m.anchor == Moment::Anchor::practice) to.say(m.practice.text);
  else to.say(anchor(m.anchor));
}

std::string_view word_of(Verdict verdict) {
  constexpr std::array<std::string_view, 8> words = {"outside", "referred", "withheld", "discouraged",
                                                     "advised", "allowed",  "silent",   "unanswered"};
  return words[static_cast<std::size_t>(verdict)];
}

// ---------------------------------------------------------------- endings

namespace {

struct End {
  std::uint32_t at;  // where it was written
  std::function<void(Words&)> say;
  const Citation* citation = nullptr;
};

void after_comma(Words& to, std::string_view opening) {
  to.glue(",");
  to.say(opening);
}

std::vector<End> ends(const Ending& e) {
  std::vector<End> all;
  if (e.when)
    all.push_back({e.when->span.begin, [&e](Words& to) { to.say("in"); condition(to, *e.when); }});
  if (e.unless)
    all.push_back({e.unless->span.begin, [&e](Words& to) { after_comma(to, "unless"); condition(to, *e.unless); }});
  for (const Name& label : e.despite)
    all.push_back({label.span.begin, [&label](Words& to) { after_comma(to, "despite"); to.say(label.text); }});
  for (const Text& aim : e.aims)
    all.push_back({aim.span.begin, [&aim](Words& to) { after_comma(to, "for"); to.quoted(aim.text); }});
  if (e.label)
    all.push_back({e.label->span.begin, [&e](Words& to) { after_comma(to, "called"); to.say(e.label->text); }});
  if (e.text) all.push_back({e.text->span.begin, [&e](Words& to) { to.glue(":"); to.quoted(e.text->text); }});
  for (const Citation& c : e.citations) all.push_back({c.source.span.begin, {}, &c});
  return all;
}

// Citations that stand together share one pair of square brackets: [SB 2.4; WN 5].
void citations(Words& to, const std::vector<End>& all, std::size_t& i) {
  for (bool first = true; i < all.size() && all[i].citation; first = false, ++i) {
    const Citation& c = *all[i].citation;
    if (!first) to.glue(";");
    to.number((first ? "[" : "") + c.source.text + (c.locus.empty() ? "" : " " + c.locus));
  }
  to.glue("]");
}

}  // namespace

void ending(Words& to, const Ending& e, EndingOrder order) {
  std::vector<End> all = ends(e);
  if (order == EndingOrder::as_written)
    std::stable_sort(all.begin(), all.end(), [](const End& a, const End& b) { return a.at < b.at; });
  for (std::size_t i = 0; i < all.size();)
    if (all[i].citation) citations(to, all, i);
    else all[i++].say(to);
}

}  // namespace betony::tidying
