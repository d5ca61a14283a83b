#include "forms.h"

#include <variant>

namespace betony::worlds {

using namespace tree;

namespace {

// Walks a tree and writes down the name of each form that it meets. One `see` a kind of line.
class Walk {
 public:
  std::set<std::string> seen;

  void see(const Condition& c) {
    static const char* const joined[] = {"", "not", "A and B", "A or B", "", ""};
    static const char* const counted[] = {"", "", "all of", "any of", "none of", "at least N of"};
    if (c.bracketed) add("(condition)");
    if (c.kind == Condition::Kind::atom) return see(c.atom);
    const auto* words = c.kind == Condition::Kind::negation || (c.written == Condition::Written::joined &&
                        c.kind != Condition::Kind::none && c.kind != Condition::Kind::at_least)
                            ? joined : counted;
    add(words[static_cast<int>(c.kind)]);
    if (words == joined && c.parts.size() > 2) add("A, B, and C");
    for (const auto& part : c.parts) see(part);
  }

  void see(const Atom& a) {
    static const char* const names[] = {"NAME", "NAME is V", "NAME under N", "NAME over N", "NAME at least N",
                                        "NAME at most N", "NAME from N to M", "P is with care"};
    add(names[static_cast<int>(a.kind)]);
    if (a.kind == Atom::Kind::is) {
      if (a.negated) add("NAME is not V");
      if (a.one_of) add("NAME is one of V, W");
      else if (a.values.size() > 1) add("NAME is V or W");
    }
    for (const auto& v : a.values) see(v, "in a condition");
  }

  void see(const Quantity& q, const std::string& where) {
    static const char* const names[] = {"a number", "a value", "a date", "a time of day", "yes", "no", "never"};
    if (q.kind != Quantity::Kind::yes && q.kind != Quantity::Kind::no) add(names[static_cast<int>(q.kind)] + (" " + where));
    if (q.kind != Quantity::Kind::number) return;
    add(q.unit.text.empty() ? "a bare number " + where : "a number with its unit " + where);
    if (q.ago) add("N UNIT ago");
    if (q.number.text.find('.') != std::string::npos) add("a decimal");
  }

  void see(const Ending& e) {
    if (e.when) { add("in COND"); see(*e.when); }
    if (e.unless) { add("unless COND"); see(*e.unless); }
    if (!e.aims.empty()) add("for AIM");
    if (e.aims.size() > 1) add("several aims");
    if (e.label) add("called LABEL");
    if (e.text) add(": TEXT");
    if (!e.citations.empty()) add("[citation]");
    if (e.citations.size() > 1) add("[several citations]");
    if (!e.despite.empty()) add("despite LABEL");
  }

  void see(const Named& n) {
    if (!n.also.empty()) add("(also NAME)");
    see(n.name);
    for (const auto& other : n.also) see(other);
  }

  void see(const Name& n) {
    for (unsigned char byte : n.text) if (byte > 0xCB) return add("a name in another script");
    if (n.text.find('-') != std::string::npos) add("a name with a hyphen");
    if (n.text.find('\'') != std::string::npos) add("a name with an apostrophe");
  }

  void see(const Type& t, const std::string& of) {
    static const char* const names[] = {"yes or no", "one of A, B", "a grade of A, B", "any of A, B", "a number"};
    add(of + " is " + names[static_cast<int>(t.kind)]);
    if (t.prevails == Type::Prevails::highest) add("the highest prevails");
    if (t.prevails == Type::Prevails::lowest) add("the lowest prevails");
    if (t.kind != Type::Kind::number) return;
    if (t.whole) add("a whole number");
    if (t.ago) add("a number ago");
    if (t.unit.text.empty()) add("a number without a unit");
    if (t.unit.text.find('[') != std::string::npos) add("a unit with square brackets");
    if (t.step) add("in steps of S");
    if (t.or_never) add("or never");
  }

  void see(const Arithmetic& a) {
    static const char* const names[] = {"a number in arithmetic", "a name in arithmetic", "negate", "A + B", "A - B", "A * B",
                                        "A / B", "least of", "most of"};
    if (a.kind != Arithmetic::Kind::negate) add(names[static_cast<int>(a.kind)]);
    if (a.bracketed) add("(arithmetic)");
    for (const auto& part : a.parts) see(part);
  }

  void see(const RulesetLine&) { add("Ruleset"); }
  void see(const UseLine&) { add("Use"); }
  void see(const SourceLine& l) { add("Source"); if (l.rank) add("Source, ranked"); else add("Source without a rank"); }
  void see(const SchoolLine& l) { add("School"); see(l.name); if (l.sources.size() > 1) add("School of several sources"); }
  void see(const AppliesLine& l) { add("Applies to"); see(l.condition); }
  void see(const FindingLine& l) {
    add("Finding");
    see(l.name);
    see(l.type, "Finding");
    if (l.usually) { add("usually V"); see(*l.usually, "as the usual one"); }
  }
  void see(const AskLine&) { add("Ask"); }
  void see(const NoteLine& l) { add("Note"); if (l.text.text.find('"') != std::string::npos) add("a quote in a string"); }
  void see(const MeasureLine& l) { add("Measure"); see(l.name); see(l.value); }
  void see(const TallyLine& l) {
    add("Tally");
    for (const auto& item : l.items) {
      add(item.each ? "counts each of A, B as N" : "counts COND as N");
      if (item.points.value() < 0) add("negative points");
      for (const auto& c : item.counted) see(c);
    }
  }
  void see(const LeadingLine& l) { add("Leading"); add(l.lead ? "Leading by at least N" : "Leading by any lead"); }
  void see(const ChoiceLine& l) { add("Choice"); see(l.type, "Choice"); }
  void see(const TermLine& l) { add("Term"); see(l.name); see(l.condition); }
  void see(const BackgroundLine& l) { add("It cannot be that"); see(l.condition); }
  void see(const ReferLine& l) { add("Refer"); see(l.ending); }
  void see(const GroupLine& l) { add("Group"); see(l.name); }
  void see(const PrevailLine&) { add("Contraindications prevail"); }
  void see(const UnitLine& l) { add(l.amount ? "Unit, a named amount" : "Unit, a counted one"); }
  void see(const ProfileLine& l) {
    add("Profile");
    add(l.rest_as_usual ? "the rest as usual" : "Profile of few answers");
    for (const auto& item : l.items) {
      add(item.negated ? "Profile, not NAME" : item.value ? "Profile, NAME V" : "Profile, NAME");
      if (item.value) see(*item.value, "in a profile");
    }
  }
  void see(const ExpectLine& l) {
    add(l.verdict ? "Expect P VERDICT" : "Expect CHOICE V");
    if (l.with_care) add("Expect P VERDICT with care");
    if (l.values.size() > 1) add("Expect CHOICE V, W");
    if (l.verdict) add("Expect " + word(*l.verdict));
  }
  void see(const PopulationLine&) { add("Population"); }
  void see(const ClaimLine& l) {
    static const char* const changes[] = {"Claim, more FINDING", "Claim, less FINDING", "Claim, adding FINDING"};
    if (l.when) add("Claim in COND");
    if (l.trend) {
      add(changes[static_cast<int>(l.trend->change)]);
      if (l.trend->of_dose) add("Claim of a dose");
      return;
    }
    add(l.never ? "Claim, never" : "Claim, always");
    see(l.condition);
  }
  void see(const PracticeLine& l) {
    add(l.plural ? "Practices P, Q" : "Practice P");
    for (const auto& p : l.practices) see(p);
  }
  void see(const EveryLine& l) { add(l.group ? "Every practice in GROUP" : "Every practice"); }
  void see(const InLine& l) {
    add("In COND: P is VERDICT");
    see(l.condition);
    if (l.items.size() > 1) add("In COND: several items");
    for (const auto& item : l.items) {
      add("In COND: " + word(item.verdict));
      if (item.practices.size() > 1) add("In COND: several practices");
      if (item.with_care) add("In COND: with care");
      see(item.ending);
    }
  }
  void see(const VerdictLine& l) {
    static const char* const names[] = {"Indicated", "Allowed", "Discouraged", "Contraindicated", "Caution"};
    const std::string name = names[static_cast<int>(l.kind)];
    add(name);
    if (!l.ending.when && l.kind != VerdictLine::Kind::caution) add("a verdict for everyone");
    see(l.ending);
  }
  void see(const Rate& r) {
    add(r.every ? "once every N UNIT" : r.low.value() != r.high.value() ? "N to M times a UNIT"
        : r.low.text == "1" ? "once a UNIT" : r.low.text == "2" ? "twice a UNIT" : "N times a UNIT");
    if (r.at_most) add("at most so often");
  }
  void see(const DoseLine& l) {
    static const char* const factors[] = {"", "Dose half", "Dose a third", "Dose a quarter", "Dose double"};
    add("Dose");
    if (l.factor != DoseLine::Factor::none) add(factors[static_cast<int>(l.factor)]);
    if (l.words) add("Dose, in words");
    if (l.low && l.high) add(l.low->number.value() == l.high->number.value() ? "Dose N UNIT" : "Dose N to M UNIT");
    if (l.low && !l.high) add("Dose at least");
    if (!l.low && l.high) add("Dose at most");
    if (l.often) see(*l.often);
    if (l.long_low && l.long_high)
      add(l.long_low->number.value() == l.long_high->number.value() ? "Dose for N UNIT" : "Dose for N to M UNIT");
    see(l.ending);
  }
  void see(const OrderLine& l) {
    static const char* const names[] = {"Follows", "Precedes", "Needs", "Leads to", "Never with", "Apart from"};
    add(names[static_cast<int>(l.kind)]);
    if (l.practices.size() > 1) add("an order with several practices");
    see(l.ending);
  }
  void see(const Moment& m) {
    static const char* const names[] = {"a clock time", "sunrise", "sunset", "dawn", "dusk", "noon", "midnight", "waking",
                                        "sleep", "a practice"};
    add(std::string("Time by ") + names[static_cast<int>(m.anchor)]);
    if (m.by) add(m.before ? "Time, N UNIT before" : "Time, N UNIT after");
  }
  void see(const TimeLine& l) { add(l.forbidden ? "Time not" : "Time"); see(l.from); if (l.until) see(l.to); see(l.ending); }
  void see(const TakesLine& l) {
    add(l.low.number.value() == l.high.number.value() ? "Takes N UNIT" : "Takes N to M UNIT");
    see(l.ending);
  }
  void see(const UsesLine& l) { add("Uses"); see(l.ending); }
  void see(const TakeLine& l) { add(l.refuse ? "Refuse" : "Take"); see(l.ending); }
  void see(const OtherwiseLine& l) {
    add(l.verdict ? "Otherwise " + word(*l.verdict) : "Otherwise V");
    if (l.with_care) add("Otherwise with care");
    see(l.ending);
  }

 private:
  void add(const std::string& form) { seen.insert(form); }

  static std::string word(Verdict v) {
    static const char* const names[] = {"outside", "referred", "withheld", "discouraged", "advised", "allowed", "silent",
                                        "unanswered"};
    return names[static_cast<int>(v)];
  }
};

// What the tree does not keep apart, but the text does.
void see_text(const Tree& tree, std::set<std::string>& seen) {
  static const std::pair<const char*, const char*> marks[] = {
      {"\u201C", "curly quotes"}, {"\u3001", "a comma of another script"}, {"\u060C", "a comma of another script"},
      {"\u3002", "a stop of another script"}, {"\u06D4", "a stop of another script"}};
  for (const auto& file : tree.files)
    for (const auto& [mark, name] : marks)
      if (file.text.find(mark) != std::string::npos) seen.insert(name);
  if (!tree.comments.empty()) seen.insert("a comment");
}

}  // namespace

std::set<std::string> forms_in(const Tree& tree) {
  Walk walk;
  for (const auto& sentence : tree.sentences) std::visit([&](const auto& line) { walk.see(line); }, sentence.form);
  see_text(tree, walk.seen);
  return walk.seen;
}

const std::set<std::string>& every_form() {
  static const std::set<std::string> all = {
      // text
      "a comment", "curly quotes", "a quote in a string", "a comma of another script", "a stop of another script",
      "(also NAME)", "a name in another script", "a name with a hyphen", "a name with an apostrophe", "a decimal",
      // declarations
      "Ruleset", "Use", "Source", "Source, ranked", "Source without a rank", "School", "School of several sources",
      "Applies to", "Finding", "Finding is yes or no", "Finding is one of A, B", "Finding is a grade of A, B",
      "Finding is any of A, B", "Finding is a number", "a whole number", "a number ago", "a number without a unit",
      "a unit with square brackets", "in steps of S", "or never", "usually V", "a number as the usual one",
      "a value as the usual one", "never as the usual one", "a bare number as the usual one", "Ask", "Note", "Measure",
      "a number in arithmetic", "a name in arithmetic", "A + B", "A - B", "A * B", "A / B", "least of", "most of",
      "(arithmetic)", "Tally", "counts COND as N", "counts each of A, B as N", "negative points", "Leading",
      "Leading by at least N", "Leading by any lead", "Choice", "Choice is one of A, B", "Choice is any of A, B",
      "Choice is a grade of A, B", "the highest prevails", "the lowest prevails", "Term", "It cannot be that", "Refer",
      "Group", "Contraindications prevail", "Unit, a named amount", "Unit, a counted one", "Profile",
      "the rest as usual", "Profile of few answers", "Profile, NAME", "Profile, not NAME", "Profile, NAME V",
      "a number in a profile", "a value in a profile", "a date in a profile", "a time of day in a profile",
      "a bare number in a profile", "a number with its unit in a profile", "Expect P VERDICT",
      "Expect P VERDICT with care", "Expect CHOICE V", "Expect CHOICE V, W", "Expect outside", "Expect referred",
      "Expect withheld", "Expect discouraged", "Expect advised", "Expect allowed", "Expect unanswered", "Claim, never",
      "Claim, more FINDING", "Claim, less FINDING", "Claim, adding FINDING", "Claim of a dose", "Population",
      "Claim, always", "Claim in COND",
      // conditions
      "(condition)", "not", "A and B", "A or B", "A, B, and C", "all of", "any of", "none of", "at least N of", "NAME",
      "NAME is V", "NAME is V or W", "NAME is not V", "NAME is one of V, W", "NAME under N", "NAME over N",
      "NAME at least N", "NAME at most N", "NAME from N to M", "P is with care", "a number in a condition",
      "a bare number in a condition", "a number with its unit in a condition", "N UNIT ago", "a value in a condition",
      "a date in a condition", "a time of day in a condition", "never in a condition",
      // sentences about practices
      "Practice P", "Practices P, Q", "Every practice", "Every practice in GROUP", "In COND: P is VERDICT",
      "In COND: several items", "In COND: several practices", "In COND: with care", "In COND: advised",
      "In COND: allowed", "In COND: discouraged", "In COND: withheld", "Indicated", "Allowed", "Discouraged",
      "Contraindicated", "Caution", "a verdict for everyone", "in COND", "unless COND", "for AIM", "several aims",
      "called LABEL", ": TEXT", "[citation]", "[several citations]", "despite LABEL", "Dose", "Dose half", "Dose a third",
      "Dose a quarter", "Dose double", "Dose, in words", "Dose N UNIT", "Dose N to M UNIT", "Dose at least",
      "Dose at most", "once a UNIT", "twice a UNIT", "N times a UNIT", "N to M times a UNIT", "once every N UNIT",
      "at most so often", "Dose for N UNIT", "Dose for N to M UNIT", "Follows", "Precedes", "Needs", "Leads to",
      "Never with", "Apart from", "an order with several practices", "Time", "Time not", "Time by a clock time",
      "Time by sunrise", "Time by sunset", "Time by dawn", "Time by dusk", "Time by noon", "Time by midnight",
      "Time by waking", "Time by sleep", "Time by a practice", "Time, N UNIT before", "Time, N UNIT after",
      "Takes N UNIT", "Takes N to M UNIT", "Uses", "Take", "Refuse", "Otherwise V", "Otherwise advised",
      "Otherwise allowed", "Otherwise discouraged", "Otherwise withheld", "Otherwise with care"};
  return all;
}

}  // namespace betony::worlds
