// grammar/tidy_parts.cpp: the parts of sentences in their standard form.
#include <algorithm>

#include "grammar/text.h"
#include "grammar/tidy_words.h"

namespace betony::tidying {

using namespace tree;

// ---------------------------------------------------------------- words

void Words::word(std::string_view text) {
  words_.push_back({pending_ + std::string(text)});
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

void Words::keep(std::string_view text) {
  word(text);
  words_.back().kept = words_.size() > 1;
}

void Words::glue(std::string_view text) {
  if (words_.empty()) return word(text);
  words_.back().text += text;
}

// A string may be broken over two lines at a space by itself: reading makes one space of the break
// again. Spaces that stand beside white space of any kind are left alone.
void Words::quoted(const std::string& content) {
  const auto white_at = [&](std::size_t at) { return at >= content.size() || letters::is_white(letters::letter_at(content, at).code); };
  std::string piece = "\"";
  bool after_white = true, begun = false;
  for (std::size_t i = 0; i < content.size();) {
    const std::size_t bytes = letters::letter_at(content, i).bytes;
    const bool white = white_at(i);
    if (content[i] == ' ' && !after_white && !white_at(i + 1)) {
      word(piece);
      words_.back().spoken = begun;
      begun = true;
      piece.clear();
    } else {
      piece.append(content, i, bytes);
      if (content[i] == '"') piece += '"';
    }
    after_white = white;
    i += bytes;
  }
  word(piece + '"');
  words_.back().spoken = begun;
}

// ---------------------------------------------------------------- lists

namespace {

// "a", "a and b", "a, b, and c"; without a connective "a, b, c".
template <class List, class Say>
void listed(Words& to, const List& list, std::optional<Word> joined, Say say) {
  for (std::size_t i = 0; i < list.size(); ++i) {
    const bool last = i + 1 == list.size();
    if (i > 0 && (list.size() > 2 || !joined)) to.glue(",");
    if (i > 0 && last && joined) to.say(*joined);
    say(list[i]);
  }
}

}  // namespace

void names(Words& to, const std::vector<Name>& list, Word joined) {
  listed(to, list, joined, [&](const Name& name) { to.say(name.text); });
}

void names(Words& to, const std::vector<Name>& list) {
  listed(to, list, std::nullopt, [&](const Name& name) { to.say(name.text); });
}

void are(Words& to) { to.say(spellings(Word::is).back()); }

void named(Words& to, const Named& name) {
  to.say(name.name.text);
  if (name.also.empty()) return;
  to.open();
  to.say(Word::also);
  names(to, name.also);
  to.close();
}

// ---------------------------------------------------------------- values

namespace {

void unit(Words& to, const Unit& unit) {
  if (unit.text.empty()) return;
  // A square bracket after a space would begin a citation.
  if (unit.text.front() == '[') to.glue(unit.text);
  else to.keep(unit.text);
}

Word month(unsigned number) {
  return static_cast<Word>(static_cast<unsigned>(Word::january) + std::clamp(number, 1u, 12u) - 1);
}

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
      if (value.ago) to.keep(spelled(Word::ago));
      break;
    case Quantity::Kind::word: to.say(value.word->text); break;
    case Quantity::Kind::date:
      to.number(std::to_string(value.date.day));
      to.keep(capitalized(month(value.date.month)));
      break;
    case Quantity::Kind::clock: clock(to, value.clock); break;
    case Quantity::Kind::yes: to.say(Word::yes); break;
    case Quantity::Kind::no: to.say(Word::no); break;
    case Quantity::Kind::never: to.say(Word::never); break;
  }
}

void quantities(Words& to, const std::vector<Quantity>& list, Word joined) {
  listed(to, list, joined, [&](const Quantity& value) { quantity(to, value); });
}

bool same_number(const Quantity& a, const Quantity& b) {
  return a.number.text == b.number.text && a.unit.text == b.unit.text;
}

void amount(Words& to, const Quantity& low, const Quantity& high) {
  if (!same_number(low, high)) {
    quantity(to, low);
    to.say(Word::to);
  }
  quantity(to, high);
}

// ---------------------------------------------------------------- conditions

void comparison(Words& to, const Atom& a) {
  switch (a.kind) {
    case Atom::Kind::under: to.say(Word::under); break;
    case Atom::Kind::over: to.say(Word::over); break;
    case Atom::Kind::at_least: to.say(Word::at_least); break;
    case Atom::Kind::at_most: to.say(Word::at_most); break;
    case Atom::Kind::from_to:
      to.say(Word::from);
      quantity(to, a.values.at(0));
      to.say(Word::to);
      return quantity(to, a.values.at(1));
    default: break;
  }
  if (a.one_of) return listed(to, a.values, std::nullopt, [&](const Quantity& value) { quantity(to, value); });
  for (std::size_t i = 0; i < a.values.size(); ++i) {
    if (i > 0) to.say(Word::or_word);
    quantity(to, a.values[i]);
  }
}

namespace {

bool is_list(const Condition& c) { return c.kind != Condition::Kind::atom && c.kind != Condition::Kind::negation; }

bool is_counted(const Condition& c) {
  return is_list(c) && (c.written == Condition::Written::counted || c.kind == Condition::Kind::none ||
                        c.kind == Condition::Kind::at_least);
}

void part(Words& to, const Condition& c, bool last);

void atom(Words& to, const Atom& a) {
  to.say(a.name.text);
  if (a.kind == Atom::Kind::holds) return;
  if (a.kind == Atom::Kind::is || a.kind == Atom::Kind::with_care) to.say(Word::is);
  if (a.negated) to.say(Word::not_word);
  if (a.one_of) to.say(Word::one_of);
  a.kind == Atom::Kind::with_care ? to.say(Word::with_care) : comparison(to, a);
}

void count(Words& to, const Condition& c) {
  switch (c.kind) {
    case Condition::Kind::all: return to.say(Word::all_of);
    case Condition::Kind::any: return to.say(Word::any_of);
    case Condition::Kind::none: return to.say(Word::none_of);
    default: to.say(Word::at_least); to.number(std::to_string(c.count)); to.say(Word::of);
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
  const Word word = c.kind == Condition::Kind::all ? Word::and_word : Word::or_word;
  const bool clearer = word == Word::or_word && c.parts.size() == 2 && ends_in_values(c.parts[0]);
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
    to.say(Word::not_word);
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

// The sign touches what it turns, but not a number: "-2" is a number of its own, and "--" a comment.
void negative(Words& to, const Arithmetic& a) {
  const bool apart = !a.bracketed && (a.kind == Arithmetic::Kind::number || a.kind == Arithmetic::Kind::negate);
  apart ? to.say("-") : to.attach('-');
  formula(to, a, 3);
}

void formula_inside(Words& to, const Arithmetic& a) {
  switch (a.kind) {
    case Arithmetic::Kind::number: to.number(a.number.text); unit(to, a.unit); break;
    case Arithmetic::Kind::name: to.say(a.name.text); break;
    case Arithmetic::Kind::negate: negative(to, a.parts.at(0)); break;
    case Arithmetic::Kind::add: operation(to, a, "+"); break;
    case Arithmetic::Kind::subtract: operation(to, a, "-"); break;
    case Arithmetic::Kind::multiply: operation(to, a, "*"); break;
    case Arithmetic::Kind::divide: operation(to, a, "/"); break;
    case Arithmetic::Kind::least:
    case Arithmetic::Kind::most:
      to.say(a.kind == Arithmetic::Kind::least ? Word::least_of : Word::most_of);
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
  to.say(t.whole ? Word::a_whole_number : Word::a_number);
  if (!t.unit.text.empty()) {
    to.say(Word::of);
    unit(to, t.unit);
  }
  if (t.ago) to.say(Word::ago);
  to.say(Word::from);
  to.number(t.low.text);
  to.say(Word::to);
  to.number(t.high.text);
  if (t.step) {
    to.say(Word::in_steps_of);
    to.number(t.step->text);
  }
  if (t.or_never) {
    to.glue(",");
    to.say(Word::or_never);
  }
}

void prevails(Words& to, const Type& t) {
  if (t.prevails == Type::Prevails::none) return;
  to.glue(",");
  to.say(t.prevails == Type::Prevails::highest ? Word::highest_prevails : Word::lowest_prevails);
}

}  // namespace

void type(Words& to, const Type& t) {
  t.kind == Type::Kind::any_of ? are(to) : to.say(Word::is);
  switch (t.kind) {
    case Type::Kind::yes_no: return to.say(Word::yes_or_no);
    case Type::Kind::number: return number_type(to, t);
    case Type::Kind::one_of: to.say(Word::one_of); break;
    case Type::Kind::grade: to.say(Word::a_grade_of); break;
    case Type::Kind::any_of: to.say(Word::any_of); break;
  }
  names(to, t.values);
  prevails(to, t);
}

namespace {

void times(Words& to, const Rate& r) {
  if (r.low.value() != r.high.value()) {
    to.number(r.low.text);
    to.say(Word::to);
  } else if (r.high.value() == 1) {
    return to.say(Word::once);
  } else if (r.high.value() == 2) {
    return to.say(Word::twice);
  }
  to.number(r.high.text);
  to.say(Word::times);
}

}  // namespace

void rate(Words& to, const Rate& r) {
  if (r.at_most) to.say(Word::at_most);
  times(to, r);
  if (r.every) {
    to.say(Word::every);
    if (r.period.value() != 1) to.number(r.period.text);
  } else {
    to.say(Word::a);
  }
  unit(to, r.unit);
}

namespace {

// Clock times and practices are not among them.
Word anchor(Moment::Anchor a) {
  switch (a) {
    case Moment::Anchor::sunrise: return Word::sunrise;
    case Moment::Anchor::sunset: return Word::sunset;
    case Moment::Anchor::dawn: return Word::dawn;
    case Moment::Anchor::dusk: return Word::dusk;
    case Moment::Anchor::noon: return Word::noon;
    case Moment::Anchor::waking: return Word::waking;
    case Moment::Anchor::sleep: return Word::sleep;
    default: return Word::midnight;
  }
}

}  // namespace

void moment(Words& to, const Moment& m) {
  if (m.by) {
    quantity(to, *m.by);
    to.say(m.before ? Word::before : Word::after);
  }
  if (m.anchor == Moment::Anchor::clock) clock(to, m.clock);
  else if (m.anchor == Moment::Anchor::practice) to.say(m.practice.text);
  else to.say(anchor(m.anchor));
}

// ---------------------------------------------------------------- endings

namespace {

struct End {
  std::uint32_t at;  // where it was written
  std::function<void(Words&)> say;
  const Citation* citation = nullptr;
};

void after_comma(Words& to, Word opening) {
  to.glue(",");
  to.say(opening);
}

std::vector<End> ends(const Ending& e) {
  std::vector<End> all;
  if (e.when)
    all.push_back({e.when->span.begin, [&e](Words& to) { to.say(Word::in); condition(to, *e.when); }});
  if (e.unless)
    all.push_back({e.unless->span.begin, [&e](Words& to) { after_comma(to, Word::unless); condition(to, *e.unless); }});
  for (const Name& label : e.despite)
    all.push_back({label.span.begin, [&label](Words& to) { after_comma(to, Word::despite); to.say(label.text); }});
  for (const Text& aim : e.aims)
    all.push_back({aim.span.begin, [&aim](Words& to) { after_comma(to, Word::for_word); to.quoted(aim.text); }});
  if (e.label)
    all.push_back({e.label->span.begin, [&e](Words& to) { after_comma(to, Word::called); to.say(e.label->text); }});
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
