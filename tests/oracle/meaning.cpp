#include "tests/oracle/meaning.h"

#include <algorithm>

namespace betony::oracle {

using Finding = referee::Finding;
using Kind = Sentence::Kind;

namespace {

Variable number_variable(const Finding& f) {
  Variable v;
  v.name = f.name;
  v.is_number = true;
  v.low = f.low, v.high = f.high, v.step = f.step, v.or_never = f.or_never;
  if (f.kind == Finding::Kind::date) v.low = 0, v.high = 365, v.step = 1;
  if (f.kind == Finding::Kind::time_of_day) v.low = 0, v.high = 1439, v.step = 1;
  return v;
}

Arithmetic over_variables(Arithmetic a, const Meaning& meaning) {
  if (a.op == Arithmetic::Op::finding) a.index = meaning.variable(a.index);
  for (Arithmetic& part : a.parts) part = over_variables(std::move(part), meaning);
  return a;
}

}  // namespace

Meaning::Meaning(const Model& of) : model(of), of_practice(of.practices.size()) {
  for (int i = 0; i < static_cast<int>(model.findings.size()); ++i) {
    const Finding& f = model.findings[static_cast<std::size_t>(i)];
    if (f.gone) continue;
    const auto add = [&](int item, Variable v) {
      variables_[{i, item}] = static_cast<int>(statement.variables.size());
      statement.variables.push_back(std::move(v));
    };
    const auto of_words = [](const std::string& name, std::size_t words) {
      Variable v;
      v.name = name;
      v.words = static_cast<int>(words);
      return v;
    };
    switch (f.kind) {
      case Finding::Kind::yes_no: add(-1, of_words(f.name, 2)); break;
      case Finding::Kind::any_of:
        for (std::size_t item = 0; item < f.words.size(); ++item) add(static_cast<int>(item), of_words(f.words[item], 2));
        break;
      case Finding::Kind::one_of:
      case Finding::Kind::grade: add(-1, of_words(f.name, f.words.size())); break;
      default: add(-1, number_variable(f)); break;
    }
  }
  for (const referee::Measure& measure : model.measures)
    statement.measures.push_back(measure.gone ? Arithmetic() : over_variables(measure.is, *this));
  for (int s = 0; s < static_cast<int>(model.sentences.size()); ++s)
    if (!model.sentences[static_cast<std::size_t>(s)].gone)
      for (int p : speaks_of(model, model.sentences[static_cast<std::size_t>(s)])) of_practice[static_cast<std::size_t>(p)].push_back(s);
}

int Meaning::variable(int finding, int item) const {
  const auto at = variables_.find({finding, item});
  return at == variables_.end() ? -1 : at->second;
}

std::vector<std::string> Meaning::texts(int practice) const {
  std::vector<std::string> found;
  for (int s : of_practice[static_cast<std::size_t>(practice)]) {
    const Sentence& sentence = model.sentences[static_cast<std::size_t>(s)];
    if (sentence.kind == Kind::caution && !sentence.text.empty() && !std::count(found.begin(), found.end(), sentence.text))
      found.push_back(sentence.text);
  }
  return found;
}

View::View(Meaning& meaning, int school, int without) : m_(meaning), s_(meaning.statement), school_(school), without_(without) {}

bool View::stands(int sentence) const { return sentence != without_ && in_reading(m_.model, sentence, school_); }

// ---------------------------------------------------------------- conditions

Formula View::over_all(int first, int second, bool inclusive, const Fraction& bound) {
  std::vector<Formula> parts;
  std::vector<Fraction> points;
  const auto add = [&](int tally, int sign) {
    if (tally < 0) return;
    for (const referee::TallyItem& item : m_.model.tallies[static_cast<std::size_t>(tally)].items)
      for (const Cond& c : item.counted) {
        parts.push_back(holds(c));
        points.push_back(item.points * sign);
      }
  };
  add(first, 1);
  add(second, -1);
  return s_.sum(std::move(parts), std::move(points), inclusive, bound);
}

// Whether the number is known at all, and whether it is under (or at most) a bound.
View::Number View::number(const Cond& c) {
  if (c.of == Cond::Of::tally)
    return {s_.constant(true), [this, c](bool inclusive, const Fraction& bound) { return over_all(c.index, -1, inclusive, bound); }};
  if (c.of == Cond::Of::measure)
    return {s_.constant(true), [this, c](bool inclusive, const Fraction& bound) { return s_.measure(c.index, inclusive, bound); }};
  const int variable = m_.variable(c.index);
  return {s_.no(s_.never(variable)), [this, variable](bool inclusive, const Fraction& bound) { return s_.number(variable, inclusive, bound); }};
}

Formula View::compare(const Cond& c) {
  using How = Cond::How;
  const Finding* finding = c.of == Cond::Of::finding ? &m_.model.findings[static_cast<std::size_t>(c.index)] : nullptr;
  if (finding && finding->kind == Finding::Kind::grade) {
    std::uint64_t words = 0;
    for (int w = 0; w < static_cast<int>(finding->words.size()); ++w) {
      const Fraction& first = c.numerals[0];
      const bool in = c.how == How::under ? w < first : c.how == How::over ? w > first : c.how == How::at_least ? w >= first
                      : c.how == How::at_most ? w <= first : w >= first && w <= c.numerals[1];
      if (in) words |= std::uint64_t{1} << w;
    }
    return s_.word(m_.variable(c.index), words);
  }
  const Number n = number(c);
  const auto at_least = [&](const Fraction& bound) { return s_.all({n.known, s_.no(n.under(false, bound))}); };
  const auto at_most = [&](const Fraction& bound) { return n.under(true, bound); };
  if (c.kind == Cond::Kind::numbers) {
    std::vector<Formula> each;
    for (const Fraction& bound : c.numerals) each.push_back(s_.all({at_least(bound), at_most(bound)}));
    const Formula is = s_.any(std::move(each));
    return c.negated ? s_.no(is) : is;
  }
  const Fraction& first = c.numerals[0];
  switch (c.how) {
    case How::under: return n.under(false, first);
    case How::over: return s_.all({n.known, s_.no(n.under(true, first))});
    case How::at_least: return at_least(first);
    case How::at_most: return at_most(first);
    case How::from_to: break;
  }
  const Fraction& last = c.numerals[1];
  const bool round = finding && (finding->kind == Finding::Kind::date || finding->kind == Finding::Kind::time_of_day);
  if (first > last && round) return s_.any({at_least(first), at_most(last)});
  return s_.all({at_least(first), at_most(last)});
}

// One tally leads where it has points more than each other, and as many more as is asked for; `else` speaks for the rest.
Formula View::leads(int leading, const std::string& word) {
  const referee::Leading& l = m_.model.leadings[static_cast<std::size_t>(leading)];
  std::vector<Formula> all_zero, some_leads, as_asked;
  for (int t : l.tallies) all_zero.push_back(s_.all({over_all(t, -1, true, 0), s_.no(over_all(t, -1, false, 0))}));
  const Formula points = s_.no(s_.all(all_zero));
  for (int t : l.tallies) {
    std::vector<Formula> ahead = {points};
    for (int other : l.tallies) {
      if (other == t) continue;
      ahead.push_back(s_.no(over_all(t, other, true, 0)));
      if (l.lead) ahead.push_back(s_.no(over_all(t, other, false, *l.lead)));
    }
    const Formula leader = s_.all(std::move(ahead));
    some_leads.push_back(leader);
    if (m_.model.tallies[static_cast<std::size_t>(t)].name == word) as_asked.push_back(leader);
  }
  if (word == l.otherwise) as_asked.push_back(s_.no(s_.any(some_leads)));
  return s_.any(std::move(as_asked));
}

Formula View::words(const Cond& c) {
  std::vector<Formula> each;
  std::uint64_t of_finding = 0;
  for (int w : c.words) {
    switch (c.of) {
      case Cond::Of::finding: of_finding |= std::uint64_t{1} << w; break;
      case Cond::Of::leading:
        each.push_back(leads(c.index, leading_values(m_.model, m_.model.leadings[static_cast<std::size_t>(c.index)])[static_cast<std::size_t>(w)]));
        break;
      case Cond::Of::choice: each.push_back(fits(c.index, w)); break;
      default: each.push_back(verdict(c.index, static_cast<Verdict>(w))); break;
    }
  }
  if (of_finding) each.push_back(s_.word(m_.variable(c.index), of_finding));
  const Formula is = s_.any(std::move(each));
  return c.negated ? s_.no(is) : is;
}

Formula View::holds(const Cond& c) {
  using CondKind = Cond::Kind;
  std::vector<Formula> parts;
  for (const Cond& part : c.parts) parts.push_back(holds(part));
  switch (c.kind) {
    case CondKind::always: return s_.constant(true);
    case CondKind::holds:
      if (c.of == Cond::Of::term) return holds(m_.model.terms[static_cast<std::size_t>(c.index)].means);
      return s_.word(m_.variable(c.index, c.item), 2);
    case CondKind::among: return words(c);
    case CondKind::numbers:
    case CondKind::compare: return compare(c);
    case CondKind::never: return c.negated ? s_.no(s_.never(m_.variable(c.index))) : s_.never(m_.variable(c.index));
    case CondKind::with_care: return care(c.index);
    case CondKind::negation: return s_.no(parts[0]);
    case CondKind::all: return s_.all(std::move(parts));
    case CondKind::any: return s_.any(std::move(parts));
    case CondKind::none: return s_.no(s_.any(std::move(parts)));
    case CondKind::at_least: {
      std::vector<Fraction> points(parts.size(), Fraction(1));
      return s_.no(s_.sum(std::move(parts), std::move(points), false, c.count));
    }
  }
  return s_.constant(false);
}

// ---------------------------------------------------------------- who is looked at

Formula View::background() {
  std::vector<Formula> all;
  for (const referee::Fact& fact : m_.model.backgrounds)
    if (!fact.gone) all.push_back(s_.no(holds(fact.cond)));
  return s_.all(std::move(all));
}

Formula View::applies() {
  std::vector<Formula> all = {background()};
  for (const referee::Fact& fact : m_.model.applies)
    if (!fact.gone) all.push_back(holds(fact.cond));
  return s_.all(std::move(all));
}

Formula View::referred() {
  std::vector<Formula> flags;
  for (int s = 0; s < static_cast<int>(m_.model.sentences.size()); ++s)
    if (m_.model.sentences[static_cast<std::size_t>(s)].kind == Kind::refer) flags.push_back(fires(s));
  return s_.any(std::move(flags));
}

Formula View::fires(int sentence) {
  if (!stands(sentence)) return s_.constant(false);
  const auto known = fires_.find(sentence);
  if (known != fires_.end()) return known->second;
  const Sentence& s = m_.model.sentences[static_cast<std::size_t>(sentence)];
  const Formula result = s.unless ? s_.all({holds(s.when), s_.no(holds(*s.unless))}) : holds(s.when);
  fires_[sentence] = result;
  return result;
}

// ---------------------------------------------------------------- choices

Formula View::taken(int choice, int value) {
  std::vector<Formula> by;
  for (int s = 0; s < static_cast<int>(m_.model.sentences.size()); ++s) {
    const Sentence& sentence = m_.model.sentences[static_cast<std::size_t>(s)];
    if (sentence.kind == Kind::take && sentence.choice == choice && std::count(sentence.values.begin(), sentence.values.end(), value))
      by.push_back(fires(s));
  }
  return s_.any(std::move(by));
}

Formula View::refused(int choice, int value) {
  std::vector<Formula> by;
  for (int s = 0; s < static_cast<int>(m_.model.sentences.size()); ++s) {
    const Sentence& sentence = m_.model.sentences[static_cast<std::size_t>(s)];
    if (sentence.kind == Kind::refuse && sentence.choice == choice && std::count(sentence.values.begin(), sentence.values.end(), value))
      by.push_back(fires(s));
  }
  return s_.any(std::move(by));
}

Formula View::otherwise_speaks(int choice) {
  std::vector<Formula> left;
  const int words = static_cast<int>(m_.model.choices[static_cast<std::size_t>(choice)].words.size());
  for (int v = 0; v < words; ++v) left.push_back(s_.all({taken(choice, v), s_.no(refused(choice, v))}));
  return s_.no(s_.any(std::move(left)));
}

// Fits before the highest or the lowest prevails.
Formula View::before_order(int choice, int value) {
  std::vector<Formula> by = {taken(choice, value)};
  for (int s = 0; s < static_cast<int>(m_.model.sentences.size()); ++s) {
    const Sentence& sentence = m_.model.sentences[static_cast<std::size_t>(s)];
    if (sentence.kind == Kind::choice_otherwise && sentence.choice == choice && std::count(sentence.values.begin(), sentence.values.end(), value))
      by.push_back(s_.all({fires(s), otherwise_speaks(choice)}));
  }
  return s_.all({s_.any(std::move(by)), s_.no(refused(choice, value))});
}

Formula View::fits(int choice, int value) {
  const auto known = fits_.find({choice, value});
  if (known != fits_.end()) return known->second;
  const referee::Choice& c = m_.model.choices[static_cast<std::size_t>(choice)];
  std::vector<Formula> all = {before_order(choice, value)};
  const int words = static_cast<int>(c.words.size());
  if (c.kind == referee::Choice::Kind::lowest)
    for (int v = 0; v < value; ++v) all.push_back(s_.no(before_order(choice, v)));
  if (c.kind == referee::Choice::Kind::highest)
    for (int v = value + 1; v < words; ++v) all.push_back(s_.no(before_order(choice, v)));
  const Formula result = s_.all(std::move(all));
  fits_[{choice, value}] = result;
  return result;
}

// ---------------------------------------------------------------- verdicts

Formula View::live(int ban, int practice) {
  std::vector<Formula> all = {fires(ban)};
  for (int s : m_.of_practice[static_cast<std::size_t>(practice)]) {
    const Sentence& sentence = m_.model.sentences[static_cast<std::size_t>(s)];
    if ((sentence.kind == Kind::indicated || sentence.kind == Kind::allowed) && std::count(sentence.despite.begin(), sentence.despite.end(), ban))
      all.push_back(s_.no(fires(s)));
  }
  return s_.all(std::move(all));
}

Formula View::some(int practice, Kind kind, bool live_only) {
  std::vector<Formula> each;
  for (int s : m_.of_practice[static_cast<std::size_t>(practice)])
    if (m_.model.sentences[static_cast<std::size_t>(s)].kind == kind) each.push_back(live_only ? live(s, practice) : fires(s));
  return s_.any(std::move(each));
}

// The practice's own Otherwise, else that of a group it is in, else that of every practice; none: null.
const Sentence* View::otherwise(int practice) const {
  for (Sentence::Head head : {Sentence::Head::practices, Sentence::Head::group, Sentence::Head::every})
    for (int s : m_.of_practice[static_cast<std::size_t>(practice)]) {
      const Sentence& sentence = m_.model.sentences[static_cast<std::size_t>(s)];
      if (sentence.kind == Kind::otherwise && sentence.head == head && stands(s)) return &sentence;
    }
  return nullptr;
}

Formula View::verdict(int practice, Verdict verdict) {
  if (verdict == Verdict::outside) return s_.no(applies());
  if (verdict == Verdict::referred) return s_.all({applies(), referred()});
  const std::vector<std::pair<Verdict, Formula>> order = {{Verdict::withheld, some(practice, Kind::contraindicated, true)},
                                                          {Verdict::discouraged, some(practice, Kind::discouraged, true)},
                                                          {Verdict::advised, some(practice, Kind::indicated, false)},
                                                          {Verdict::allowed, some(practice, Kind::allowed, false)}};
  std::vector<Formula> before = {r()}, found;
  for (const auto& [of, formula] : order) {
    if (of == verdict) {
      std::vector<Formula> all = before;
      all.push_back(formula);
      found.push_back(s_.all(std::move(all)));
    }
    before.push_back(s_.no(formula));
  }
  const Sentence* last = otherwise(practice);
  if ((last ? last->verdict : Verdict::silent) == verdict) found.push_back(s_.all(std::move(before)));
  return s_.any(std::move(found));
}

std::vector<Formula> View::cares(int practice) {
  std::vector<Formula> by;
  for (int s : m_.of_practice[static_cast<std::size_t>(practice)]) {
    const Sentence& sentence = m_.model.sentences[static_cast<std::size_t>(s)];
    if (sentence.kind == Kind::caution || (sentence.kind != Kind::otherwise && sentence.with_care)) by.push_back(fires(s));
  }
  const Sentence* last = otherwise(practice);
  if (last && last->with_care)  // it speaks where no other sentence says yes or no
    by.push_back(s_.no(s_.any({some(practice, Kind::contraindicated, true), some(practice, Kind::discouraged, true),
                               some(practice, Kind::indicated, false), some(practice, Kind::allowed, false)})));
  return by;
}

Formula View::care(int practice) {
  return s_.all({s_.any({verdict(practice, Verdict::advised), verdict(practice, Verdict::allowed)}), s_.any(cares(practice))});
}

Formula View::text(int practice, const std::string& text) {
  std::vector<Formula> by;
  for (int s : m_.of_practice[static_cast<std::size_t>(practice)]) {
    const Sentence& sentence = m_.model.sentences[static_cast<std::size_t>(s)];
    if (sentence.kind == Kind::caution && sentence.text == text) by.push_back(fires(s));
  }
  return s_.all({s_.any({verdict(practice, Verdict::advised), verdict(practice, Verdict::allowed)}), s_.any(std::move(by))});
}

}  // namespace betony::oracle
