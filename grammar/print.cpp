// grammar/print.cpp: a tree as text, a sentence or a part of one on each line.
//
//   finding fever
//     also pyrexia
//     yes or no
//   contraindicated
//     in
//       any
//         fever
//         age at least 75 years
//     called "fever ban"
//     cited SB "1.2"
//
// Nothing is said of places, comments, brackets, or which of two wordings that mean the same was
// used, so that two sources that say the same print the same.
#include "grammar/grammar.h"

namespace betony {
namespace {

using namespace tree;

std::string quoted(const std::string& text) {
  std::string out = "\"";
  for (const char c : text) {
    if (c == '\n') out += "\\n";
    else if (c == '"' || c == '\\') out += std::string("\\") + c;
    else out += c;
  }
  return out + '"';
}

std::string words(const Number& n) { return n.text; }

std::string words(const Unit& u) { return u.text.empty() ? "" : " " + u.text; }

std::string words(const Quantity& q) {
  switch (q.kind) {
    case Quantity::Kind::number: return words(q.number) + words(q.unit) + (q.ago ? " ago" : "");
    case Quantity::Kind::word: return q.word->text;
    case Quantity::Kind::date: return "day " + std::to_string(q.date.month) + "-" + std::to_string(q.date.day);
    case Quantity::Kind::clock: return "minute " + std::to_string(q.clock.minute);
    case Quantity::Kind::yes: return "yes";
    case Quantity::Kind::no: return "no";
    case Quantity::Kind::never: return "never";
  }
  return "";
}

template <class List, class Say>
std::string list(const List& items, std::string_view between, Say say) {
  std::string out;
  for (const auto& item : items) {
    if (&item != &items.front()) out += between;
    out += say(item);
  }
  return out;
}

std::string words(const std::vector<Quantity>& values) {
  return list(values, " | ", [](const Quantity& q) { return words(q); });
}

std::string words(const std::vector<Name>& names) {
  return list(names, " | ", [](const Name& n) { return n.text; });
}

std::string words(const Atom& a) {
  switch (a.kind) {
    case Atom::Kind::holds: return a.name.text;
    case Atom::Kind::is: return a.name.text + (a.negated ? " is not: " : " is: ") + words(a.values);
    case Atom::Kind::under: return a.name.text + " under " + words(a.values);
    case Atom::Kind::over: return a.name.text + " over " + words(a.values);
    case Atom::Kind::at_least: return a.name.text + " at least " + words(a.values);
    case Atom::Kind::at_most: return a.name.text + " at most " + words(a.values);
    case Atom::Kind::from_to: return a.name.text + " from " + words(a.values.at(0)) + " to " + words(a.values.at(1));
    case Atom::Kind::with_care: return a.name.text + (a.negated ? " is not with care" : " is with care");
  }
  return "";
}

std::string head(const Condition& c) {
  switch (c.kind) {
    case Condition::Kind::atom: return words(c.atom);
    case Condition::Kind::negation: return "not";
    case Condition::Kind::all: return "all";
    case Condition::Kind::any: return "any";
    case Condition::Kind::none: return "none";
    case Condition::Kind::at_least: return "at least " + std::to_string(c.count);
  }
  return "";
}

std::string head(const Arithmetic& a) {
  switch (a.kind) {
    case Arithmetic::Kind::number: return words(a.number) + words(a.unit);
    case Arithmetic::Kind::name: return a.name.text;
    case Arithmetic::Kind::negate: return "minus";
    case Arithmetic::Kind::add: return "sum";
    case Arithmetic::Kind::subtract: return "difference";
    case Arithmetic::Kind::multiply: return "product";
    case Arithmetic::Kind::divide: return "quotient";
    case Arithmetic::Kind::least: return "least";
    case Arithmetic::Kind::most: return "most";
  }
  return "";
}

std::string words(const Type& t) {
  switch (t.kind) {
    case Type::Kind::yes_no: return "yes or no";
    case Type::Kind::one_of: return "one of: " + words(t.values);
    case Type::Kind::grade: break;
    case Type::Kind::any_of: return "any of: " + words(t.values);
    case Type::Kind::number:
      return (t.whole ? "whole number" : "number") + words(t.unit) + (t.ago ? " ago" : "") + " from " + words(t.low) +
             " to " + words(t.high) + (t.step ? " by " + words(*t.step) : "") + (t.or_never ? " or never" : "");
  }
  const bool lowest = t.prevails == Type::Prevails::lowest;
  return "grade of: " + words(t.values) + (t.prevails == Type::Prevails::none ? "" : lowest ? ", lowest" : ", highest");
}

std::string words(const Rate& r) {
  return (r.at_most ? "at most " : "") + r.low.value().get_str() + " to " + r.high.value().get_str() + " times every " +
         r.period.value().get_str() + words(r.unit);
}

std::string words(const Moment& m) {
  const std::string moved = m.by ? words(*m.by) + (m.before ? " before " : " after ") : "";
  switch (m.anchor) {
    case Moment::Anchor::clock: return moved + "minute " + std::to_string(m.clock.minute);
    case Moment::Anchor::sunrise: return moved + "sunrise";
    case Moment::Anchor::sunset: return moved + "sunset";
    case Moment::Anchor::dawn: return moved + "dawn";
    case Moment::Anchor::dusk: return moved + "dusk";
    case Moment::Anchor::noon: return moved + "noon";
    case Moment::Anchor::midnight: return moved + "midnight";
    case Moment::Anchor::waking: return moved + "waking";
    case Moment::Anchor::sleep: return moved + "sleep";
    case Moment::Anchor::practice: return moved + "practice " + m.practice.text;
  }
  return moved;
}

// ---------------------------------------------------------------- sentences

class Printer {
 public:
  std::string take() { return std::move(out); }

  void operator()(const RulesetLine& s) { line("ruleset " + quoted(s.title.text) + " edition " + quoted(s.edition.text)); }
  void operator()(const UseLine& s) { line("use " + quoted(s.path.text)); }
  void operator()(const SourceLine& s) {
    line("source " + s.word.text + " " + quoted(s.title.text) + " " + words(s.year) + (s.rank ? " rank " + words(*s.rank) : ""));
  }
  void operator()(const SchoolLine& s) { named("school", s.name, {"holds: " + words(s.sources)}); }
  void operator()(const AppliesLine& s) { headed("applies to", s.condition); }
  void operator()(const FindingLine& s) {
    named("finding", s.name, {words(s.type)});
    if (s.usually) line(1, "usually " + words(*s.usually));
  }
  void operator()(const AskLine& s) { line("ask " + quoted(s.text.text)); }
  void operator()(const NoteLine& s) { line("note " + quoted(s.text.text)); }
  void operator()(const MeasureLine& s) {
    named("measure", s.name, {"in" + words(s.unit)});
    arithmetic(1, s.value);
  }
  void operator()(const TallyLine& s) {
    named("tally", s.name, {});
    for (const TallyItem& item : s.items) {
      line(1, std::string(item.each ? "each" : "once") + " as " + words(item.points));
      for (const Condition& c : item.counted) condition(2, c);
    }
  }
  void operator()(const LeadingLine& s) {
    named("leading", s.name, {"of: " + words(s.tallies)});
    if (s.lead) line(1, "by at least " + words(*s.lead));
    line(1, "else " + s.otherwise.text);
  }
  void operator()(const ChoiceLine& s) { named("choice", s.name, {words(s.type)}); }
  void operator()(const TermLine& s) {
    named("term", s.name, {});
    condition(1, s.condition);
  }
  void operator()(const BackgroundLine& s) { headed("cannot be", s.condition); }
  void operator()(const ReferLine& s) { ended("refer", s.ending); }
  void operator()(const GroupLine& s) { named("group", s.name, {"holds: " + words(s.members)}); }
  void operator()(const PrevailLine&) { line("contraindications prevail"); }
  void operator()(const UnitLine& s) { line("unit " + words(s.names) + (s.amount ? " is " + words(*s.amount) : "")); }

  void operator()(const ProfileLine& s) {
    line("profile " + quoted(s.title.text) + (s.rest_as_usual ? " rest as usual" : ""));
    for (const ProfileItem& item : s.items)
      line(1, item.finding.text + ": " + (item.negated ? "no" : item.value ? words(*item.value) : "yes"));
  }
  void operator()(const ExpectLine& s) {
    line("expect " + s.of.text + ": " + (s.verdict ? verdict_word(*s.verdict) : words(s.values)) + (s.with_care ? " with care" : ""));
  }
  void operator()(const PopulationLine& s) {
    line("population " + quoted(s.title.text));
    for (const PopulationFinding& finding : s.findings) {
      line(1, finding.finding.text);
      for (const auto& part : finding.parts) line(2, words(part.asked) + " as " + words(part.weight));
    }
  }
  void operator()(const ClaimLine& s) {
    line("claim " + quoted(s.title.text));
    if (s.trend) trend(*s.trend);
    else headed(1, s.never ? "never" : "always", s.condition);
    if (s.when) headed(1, "in", *s.when);
  }

  void operator()(const PracticeLine& s) {
    for (const Named& practice : s.practices) named("practice", practice, {});
  }
  void operator()(const EveryLine& s) { line("every practice" + (s.group ? " in " + s.group->text : "")); }
  void operator()(const InLine& s) {
    headed("in", s.condition);
    for (const InItem& item : s.items) {
      line(1, words(item.practices) + ": " + verdict_word(item.verdict) + (item.with_care ? " with care" : ""));
      ending(2, item.ending);
    }
  }
  void operator()(const VerdictLine& s) {
    constexpr const char* kinds[] = {"indicated", "allowed", "discouraged", "contraindicated", "caution"};
    ended(kinds[static_cast<int>(s.kind)], s.ending);
  }
  void operator()(const DoseLine& s) {
    constexpr const char* factors[] = {"", " half", " third", " quarter", " double"};
    line(std::string("dose") + factors[static_cast<int>(s.factor)] + (s.words ? " " + quoted(s.words->text) : ""));
    if (s.low) line(1, "from " + words(*s.low));
    if (s.high) line(1, "to " + words(*s.high));
    if (s.often) line(1, words(*s.often));
    if (s.long_low) line(1, "lasting from " + words(*s.long_low));
    if (s.long_high) line(1, "lasting to " + words(*s.long_high));
    ending(1, s.ending);
  }
  void operator()(const OrderLine& s) {
    constexpr const char* kinds[] = {"follows", "precedes", "needs", "leads to", "never with", "apart from"};
    ended(kinds[static_cast<int>(s.kind)] + std::string(": ") + words(s.practices) + (s.by ? " by " + words(*s.by) : ""), s.ending);
  }
  void operator()(const TimeLine& s) {
    ended((s.forbidden ? "time not " : "time ") + words(s.from) + (s.until ? " to " + words(s.to) : ""), s.ending);
  }
  void operator()(const TakesLine& s) { ended("takes " + words(s.low) + " to " + words(s.high), s.ending); }
  void operator()(const UsesLine& s) { ended("uses: " + words(s.choices), s.ending); }
  void operator()(const TakeLine& s) { ended((s.refuse ? "refuse: " : "take: ") + words(s.values), s.ending); }
  void operator()(const OtherwiseLine& s) {
    ended("otherwise: " + (s.verdict ? verdict_word(*s.verdict) : words(s.values)) + (s.with_care ? " with care" : ""), s.ending);
  }

 private:
  void line(unsigned depth, const std::string& text) { out += std::string(2 * depth, ' ') + text + '\n'; }
  void line(const std::string& text) { line(0, text); }

  void trend(const Trend& t) {
    constexpr const char* changes[] = {"more ", "less ", "adding "};
    constexpr const char* verbs[] = {" raises", " lowers", " lengthens", " shortens"};
    line(1, std::string("never ") + changes[static_cast<int>(t.change)] + t.finding.text + verbs[static_cast<int>(t.verb)] +
                (t.of_dose ? " the dose of" : "") + ": " + (t.practices.empty() ? "any practice" : words(t.practices)));
  }
  void named(const char* what, const Named& name, const std::vector<std::string>& parts) {
    line(std::string(what) + " " + name.name.text);
    for (const Name& other : name.also) line(1, "also " + other.text);
    for (const std::string& part : parts) line(1, part);
  }
  void condition(unsigned depth, const Condition& c) {
    line(depth, head(c));
    for (const Condition& part : c.parts) condition(depth + 1, part);
  }
  void arithmetic(unsigned depth, const Arithmetic& a) {
    line(depth, head(a));
    for (const Arithmetic& part : a.parts) arithmetic(depth + 1, part);
  }
  void headed(unsigned depth, const std::string& heading, const Condition& c) {
    line(depth, heading);
    condition(depth + 1, c);
  }
  void headed(const std::string& heading, const Condition& c) { headed(0, heading, c); }

  void ended(const std::string& heading, const Ending& e) {
    line(heading);
    ending(1, e);
  }
  void ending(unsigned depth, const Ending& e) {
    if (e.when) headed(depth, "in", *e.when);
    if (e.unless) headed(depth, "unless", *e.unless);
    for (const Name& label : e.despite) line(depth, "despite " + quoted(label.text));
    for (const Text& aim : e.aims) line(depth, "for " + quoted(aim.text));
    if (e.label) line(depth, "called " + quoted(e.label->text));
    if (e.text) line(depth, "text " + quoted(e.text->text));
    for (const Citation& c : e.citations) line(depth, "cited " + c.source.text + " " + quoted(c.locus));
  }

  std::string out;
};

}  // namespace

std::string print(const Tree& tree) {
  Printer printer;
  for (const Sentence& sentence : tree.sentences) std::visit(printer, sentence.form);
  return printer.take();
}

}  // namespace betony
