#include <algorithm>

#include "grammar/build.h"
#include "grammar/readings.h"
#include "grammar/refusals.h"

namespace betony::build {

std::optional<View> View::child(Part part) const {
  for (const View v : *this) {
    if (v.part() == part) return v;
  }
  return std::nullopt;
}

std::vector<View> View::children(Part part) const {
  std::vector<View> out;
  for (const View v : *this) {
    if (v.part() == part) out.push_back(v);
  }
  return out;
}

void refuse_at(const View& view, std::string matter, std::string message, std::string remedy) {
  refuse(view.reading(), view.node().begin, view.node().end, std::move(matter), std::move(message), std::move(remedy));
}

// ---------------------------------------------------------------- pieces

tree::Name name(const View& view) { return name(view.reading(), view.node().begin, view.node().end); }

tree::Name name(const Reading& r, std::size_t begin, std::size_t end) {
  return {r.passage.neat(begin, end), std::string(r.text().substr(begin, end - begin)), r.passage.span(begin, end)};
}

std::vector<tree::Name> names(const View& parent) {
  std::vector<tree::Name> out;
  for (const View v : parent) {
    if (v.part() == Part::name) out.push_back(name(v));
  }
  return out;
}

tree::Named named(const View& view) {
  tree::Named out;
  for (const View v : view) {
    if (v.part() == Part::name) out.name = name(v);
    if (v.part() == Part::also) out.also = names(v);
  }
  return out;
}

tree::Text text(const View& view) {
  return view.reading().passage.string(std::stoul(std::string(view.text().substr(1))));
}

namespace {

unsigned small_number(std::string_view digits) { return static_cast<unsigned>(std::stoul(std::string(digits))); }

}  // namespace

tree::Number number(const View& view) { return {std::string(view.text()), view.span()}; }

tree::Unit unit(const View& view) {
  return {view.reading().passage.neat(view.node().begin, view.node().end), view.span()};
}

namespace {

tree::Date date(const View& view) {
  const auto text = view.text();
  const auto space = text.find(' ');
  tree::Date out;
  out.day = small_number(text.substr(0, space));
  for (auto w = static_cast<unsigned>(Word::january); w <= static_cast<unsigned>(Word::december); ++w) {
    if (word_at(text, space + 1, static_cast<Word>(w))) out.month = w - static_cast<unsigned>(Word::january) + 1;
  }
  constexpr unsigned days[] = {31, 29, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31};
  const unsigned last = days[out.month - 1];
  if (out.day == 0 || out.day > last) {
    const auto month = capitalized(static_cast<Word>(static_cast<unsigned>(Word::january) + out.month - 1));
    refuse_at(view, "no such day", month + " has the days 1 to " + std::to_string(last) + ".",
              corrected(view.reading(), view.node().begin, view.node().end,
                        std::to_string(out.day == 0 ? 1 : last) + " " + month));
  }
  return out;
}

tree::Clock clock_time(const View& view) {
  const auto text = view.text();
  const auto colon = text.find(':');
  const unsigned hour = small_number(text.substr(0, colon)), minute = small_number(text.substr(colon + 1));
  if (hour > 23 || minute > 59) {
    const std::string two_digits = (hour < 10 ? "0" : "") + std::to_string(hour);
    const std::string near = hour == 24 && minute == 0 ? "00:00" : hour > 23 ? "23:59" : two_digits + ":59";
    refuse_at(view, "no such time", "The clock runs from 00:00 to 23:59.",
              corrected(view.reading(), view.node().begin, view.node().end, near));
  }
  return {hour * 60 + minute};
}

tree::Quantity number_quantity(const View& view) {
  tree::Quantity out;
  for (const View v : view) {
    if (v.part() == Part::number) out.number = number(v);
    if (v.part() == Part::unit) out.unit = unit(v);
    if (v.part() == Part::ago) out.ago = true;
  }
  return out;
}

}  // namespace

tree::Quantity quantity(const View& view) {
  using Kind = tree::Quantity::Kind;
  tree::Quantity out;
  switch (view.part()) {
    case Part::q_number: out = number_quantity(view); break;
    case Part::q_date: out.kind = Kind::date, out.date = date(view); break;
    case Part::q_clock: out.kind = Kind::clock, out.clock = clock_time(view); break;
    case Part::q_never: out.kind = Kind::never; break;
    case Part::q_yes: out.kind = Kind::yes; break;
    case Part::q_no: out.kind = Kind::no; break;
    default: out.kind = Kind::word, out.word = name(view); break;
  }
  out.span = view.span();
  return out;
}

// ---------------------------------------------------------------- conditions

namespace {

using Kind = tree::Condition::Kind;

bool is_quantity(Part part) { return part >= Part::q_number && part <= Part::q_no; }

// For making room once: these are large, and a book has hundreds of thousands.
template <class Is>
std::size_t how_many(const View& view, const Is& is) {
  std::size_t count = 0;
  for (const View v : view) count += is(v.part());
  return count;
}

tree::Atom::Kind comparison(Part part) {
  switch (part) {
    case Part::under: return tree::Atom::Kind::under;
    case Part::over: return tree::Atom::Kind::over;
    case Part::at_least: return tree::Atom::Kind::at_least;
    case Part::at_most: return tree::Atom::Kind::at_most;
    case Part::from_to: return tree::Atom::Kind::from_to;
    default: return tree::Atom::Kind::is;
  }
}

void ask(tree::Atom& out, const View& v) {
  out.kind = v.has(Part::with_care) ? tree::Atom::Kind::with_care : comparison(v.part());
  out.negated = v.has(Part::is_not);
  out.one_of = v.has(Part::is_one_of);
  out.values.reserve(how_many(v, is_quantity));
  for (const View value : v)
    if (is_quantity(value.part())) out.values.push_back(quantity(value));
}

tree::Atom atom(const View& view) {
  tree::Atom out;
  for (const View v : view) {
    if (v.part() == Part::name) out.name = name(v);
    else ask(out, v);
  }
  check_atom(view, out);
  return out;
}

bool is_element(Part part) { return part >= Part::bracket && part <= Part::at_least_list; }

Kind connective(const View& joint) { return joint.has(Part::or_mark) ? Kind::any : Kind::all; }

// A list's items and its one connective; several are refused with the readings that they could have.
tree::Condition joined(const View& view, bool counted) {
  tree::Condition out;
  out.kind = Kind::all;
  out.parts.reserve(how_many(view, is_element));
  bool decided = false, plain_after = false, mixed = false;
  for (const View v : view) {
    if (is_element(v.part())) out.parts.push_back(item(v));
    if (v.part() != Part::joint) continue;
    const bool plain = !v.has(Part::and_mark) && !v.has(Part::or_mark);
    if (plain) {
      plain_after |= decided;
    } else {
      mixed |= decided && connective(v) != out.kind;
      out.kind = connective(v);
      decided = true;
    }
  }
  if (mixed || plain_after) refuse_mixed(view);
  if (!decided && !counted && out.parts.size() > 1) refuse_undecided(view);
  return out;
}

tree::Condition list(const View& view, Kind kind) {
  tree::Condition out = joined(view, true);
  out.kind = kind;
  out.written = tree::Condition::Written::counted;
  if (kind == Kind::at_least) {
    const View count = view.only();
    const auto digits = count.text();
    out.count = digits.size() > 6 ? 1000000u : small_number(digits);
    if (out.count == 0 || out.count > out.parts.size()) refuse_count(view, count, out.parts.size());
  }
  return out;
}

}  // namespace

tree::Atom test_of(const View& comparison, const tree::Name& name) {
  tree::Atom out;
  out.name = name;
  ask(out, comparison);
  return out;
}

tree::Condition item(const View& view) {
  tree::Condition out;
  switch (view.part()) {
    case Part::bracket:
      out = condition(view.only());
      out.bracketed = true;
      break;
    case Part::negation:
      out.kind = Kind::negation;
      out.parts.push_back(item(view.only()));
      break;
    case Part::any_list: out = list(view, Kind::any); break;
    case Part::all_list: out = list(view, Kind::all); break;
    case Part::none_list: out = list(view, Kind::none); break;
    case Part::at_least_list: out = list(view, Kind::at_least); break;
    default: out.atom = atom(view); break;
  }
  out.span = view.span();
  return out;
}

tree::Condition condition(const View& level) {
  tree::Condition out = joined(level, false);
  if (out.parts.size() == 1) {
    tree::Condition one = std::move(out.parts[0]);
    return one;
  }
  out.span = level.span();
  return out;
}

// ---------------------------------------------------------------- arithmetic

namespace {

using Operation = tree::Arithmetic::Kind;

// How deep the formula is; a long chain is as deep as it is long.
struct Measured {
  tree::Arithmetic formula;
  unsigned depth = 1;
};

Measured measured(const View& view);

Measured chain(const View& view) {
  std::optional<Measured> left;
  Operation next = Operation::add;
  for (const View v : view) {
    switch (v.part()) {
      case Part::plus: next = Operation::add; continue;
      case Part::minus: next = Operation::subtract; continue;
      case Part::times: next = Operation::multiply; continue;
      case Part::divided: next = Operation::divide; continue;
      default: break;
    }
    Measured right = measured(v);
    if (!left) {
      left = std::move(right);
      continue;
    }
    Measured both;
    both.depth = std::max(left->depth, right.depth) + 1;
    if (both.depth > view.reading().limits.nesting) refuse_long_formula(view);
    both.formula.kind = next;
    both.formula.span = {left->formula.span.begin, right.formula.span.end};
    both.formula.parts.push_back(std::move(left->formula));
    both.formula.parts.push_back(std::move(right.formula));
    left = std::move(both);
  }
  return std::move(*left);
}

Measured of_parts(const View& view, Operation kind) {
  Measured out;
  out.formula.kind = kind;
  out.formula.span = view.span();
  for (const View v : view) {
    Measured part = measured(v);
    out.depth = std::max(out.depth, part.depth + 1);
    out.formula.parts.push_back(std::move(part.formula));
  }
  if (out.depth > view.reading().limits.nesting) refuse_long_formula(view);
  return out;
}

Measured leaf(const View& view) {
  Measured out;
  out.formula.span = view.span();
  out.formula.kind = view.part() == Part::amount ? Operation::number : Operation::name;
  for (const View v : view) {
    if (v.part() == Part::number) out.formula.number = number(v);
    if (v.part() == Part::unit) out.formula.unit = unit(v);
    if (v.part() == Part::name) out.formula.name = name(v);
  }
  if (out.formula.kind == Operation::name) check_number_name(view);
  return out;
}

Measured measured(const View& view) {
  switch (view.part()) {
    case Part::sum:
    case Part::product: return chain(view);
    case Part::negative: return of_parts(view, Operation::negate);
    case Part::least: return of_parts(view, Operation::least);
    case Part::most: return of_parts(view, Operation::most);
    case Part::sum_bracket: {
      Measured out = measured(view.only());
      out.formula.bracketed = true;
      out.formula.span = view.span();
      return out;
    }
    default: return leaf(view);
  }
}

}  // namespace

tree::Arithmetic arithmetic(const View& sum) { return measured(sum).formula; }

// ---------------------------------------------------------------- endings

namespace {

tree::Citation citation(const View& view) {
  tree::Citation out;
  for (const View v : view) {
    if (v.part() == Part::name) out.source = name(v);
    if (v.part() == Part::locus) {
      out.locus = view.reading().passage.neat(v.node().begin, v.node().end);
      check_locus(v);
    }
  }
  return out;
}

void refuse_second(const View& view, Word word) {
  const Reading& r = view.reading();
  const Node& node = view.node();
  const std::string said(spelled(word)), joint = word == Word::unless ? "or " : "and ";
  const std::size_t bytes = word_at(r.text(), node.begin, word);
  refuse_at(view, "said twice", "This sentence says `" + said + "` twice; once is enough.",
            word == Word::called ? without(r, node.begin, node.end)
                                 : corrected(r, node.begin, node.begin + bytes + 1, joint));
}

}  // namespace

tree::Ending ending(const View& parent) {
  tree::Ending out;
  for (const View v : parent) {
    switch (v.part()) {
      case Part::end_in:
        if (out.when) refuse_second(v, Word::in);
        out.when = condition(v.only());
        break;
      case Part::end_unless:
        if (out.unless) refuse_second(v, Word::unless);
        out.unless = condition(v.only());
        break;
      case Part::end_called:
        if (out.label) refuse_second(v, Word::called);
        out.label = name(v.only());
        break;
      case Part::end_text:
        if (out.text)
          refuse_at(v, "said twice", "This sentence has two texts after a colon; one quotation can hold both.",
                    without(v.reading(), v.node().begin, v.node().end));
        out.text = text(v.only());
        break;
      case Part::end_for: out.aims.push_back(text(v.only())); break;
      case Part::end_cite:
        for (const View c : v) out.citations.push_back(citation(c));
        break;
      case Part::end_despite:
        for (auto& label : names(v)) out.despite.push_back(std::move(label));
        break;
      default: break;
    }
  }
  return out;
}

std::optional<tree::Verdict> verdict(const View& view) {
  for (auto w = static_cast<unsigned>(Word::outside); w <= static_cast<unsigned>(Word::unanswered); ++w) {
    if (word_at(view.text(), 0, static_cast<Word>(w)) == view.text().size()) return verdict_of(static_cast<Word>(w));
  }
  return std::nullopt;
}

}  // namespace betony::build
