// A typed ruleset in words, an item a line.
#include <algorithm>

#include "compiler/ruleset.h"

namespace betony {
namespace {

// ---------------------------------------------------------------- numbers and values

// The digits of an exact decimal of at most 30 places, else nothing.
std::optional<std::string> decimal(const Rational& number) {
  mpz_class numerator = abs(number.get_num()), denominator = number.get_den();
  std::size_t places = 0;
  for (; denominator != 1 && places < 30; ++places) {
    numerator *= 10;
    const mpz_class shared = gcd(numerator, denominator);
    numerator /= shared;
    denominator /= shared;
  }
  if (denominator != 1) return std::nullopt;
  std::string digits = numerator.get_str();
  if (digits.size() <= places) digits.insert(0, places + 1 - digits.size(), '0');
  if (places > 0) digits.insert(digits.size() - places, ".");
  return (number < 0 ? "-" : "") + digits;
}

const char* const months[] = {"January", "February", "March",     "April",   "May",      "June",
                              "July",    "August",   "September", "October", "November", "December"};

std::string date_words(unsigned day) {
  static constexpr unsigned days[] = {31, 29, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31};
  unsigned month = 0;
  while (month < 11 && day >= days[month]) day -= days[month++];
  return std::to_string(day + 1) + " " + months[month];
}

std::string clock_words(unsigned minute) {
  const std::string hours = std::to_string(minute / 60), minutes = std::to_string(minute % 60);
  return (hours.size() < 2 ? "0" : "") + hours + ":" + (minutes.size() < 2 ? "0" : "") + minutes;
}

bool whole_day_or_minute(const Finding& finding, const Rational& number) {
  return finding.kind != Finding::Kind::number && number.get_den() == 1 && number >= 0 &&
         number <= (finding.kind == Finding::Kind::date ? 365 : 1440);
}

std::string number_value(const Finding& finding, const Rational& number) {
  if (whole_day_or_minute(finding, number)) {
    const unsigned whole = static_cast<unsigned>(number.get_num().get_ui());
    return finding.kind == Finding::Kind::date ? date_words(whole) : clock_words(whole);
  }
  return number_words(number) + (finding.unit.empty() ? "" : " " + finding.unit) + (finding.ago ? " ago" : "");
}

// ---------------------------------------------------------------- printing

std::string joined(const std::vector<std::string>& words) {
  std::string out;
  for (const std::string& word : words) out += (out.empty() ? "" : ", ") + word;
  return out;
}

struct Printer {
  const Ruleset& r;
  std::string out;

  void line(std::string text) { out += std::move(text) + "\n"; }

  static std::string also(const std::vector<std::string>& names) { return names.empty() ? "" : " (also " + joined(names) + ")"; }

  template <class List>
  std::string names(const std::vector<Index>& indices, const List& list) const {
    std::string text;
    for (Index index : indices) text += (text.empty() ? "" : ", ") + list[index].name;
    return text;
  }

  static std::string values(const std::vector<Index>& indices, const std::vector<std::string>& words) {
    std::string text;
    for (Index index : indices) text += (text.empty() ? "" : ", ") + words[index];
    return text.empty() ? "nothing" : text;
  }

  // ------------------------------------------------ conditions

  static std::string interval(const Interval& i, const Finding& shape) {
    const auto shown = [&](const Rational& n) { return number_value(shape, n); };
    if (i.low && i.high && *i.low == *i.high) return shown(*i.low);
    std::string text;
    if (i.low) text += (i.low_in ? "at least " : "over ") + shown(*i.low);
    if (i.high) text += (i.low ? " and " : "") + std::string(i.high_in ? "at most " : "under ") + shown(*i.high);
    return text;
  }

  static std::string intervals(const Test& test, const Finding& shape) {
    std::string text;
    for (const Interval& i : test.intervals) text += (text.empty() ? "" : " or ") + interval(i, shape);
    return test.never ? "never" : text;
  }

  std::string verdicts(const Test& test) const {
    if (test.with_care) return "with care";
    std::string text;
    for (int i = 0; i < 7; ++i)
      if (test.verdicts >> i & 1u) text += (text.empty() ? "" : ", ") + verdict_word(static_cast<tree::Verdict>(i));
    return text;
  }

  std::string test(const Test& t) const {
    Finding shape;
    shape.kind = Finding::Kind::number;
    switch (t.subject) {
      case Test::Subject::finding: {
        const Finding& finding = r.findings[t.index];
        return finding.name + " is " + (finding.values.empty() ? intervals(t, finding) : values(t.words, finding.values));
      }
      case Test::Subject::measure:
        shape.unit = r.measures[t.index].unit;
        return r.measures[t.index].name + " is " + intervals(t, shape);
      case Test::Subject::tally: return r.tallies[t.index].name + " is " + intervals(t, shape);
      case Test::Subject::leading: return r.leadings[t.index].name + " is " + values(t.words, r.leadings[t.index].values);
      case Test::Subject::choice: return r.choices[t.index].name + " is " + values(t.words, r.choices[t.index].values);
      case Test::Subject::verdict: return r.practices[t.index].name + " is " + verdicts(t);
    }
    return {};
  }

  std::string list(const Cond& condition, const char* between) const {
    std::string text;
    for (const Cond& part : condition.parts) text += (text.empty() ? "" : between) + cond(part);
    return "(" + text + ")";
  }

  std::string cond(const Cond& condition) const {
    switch (condition.kind) {
      case Cond::Kind::always: return "always";
      case Cond::Kind::test: return test(condition.test);
      case Cond::Kind::negation: return "not " + cond(condition.parts.front());
      case Cond::Kind::all: return list(condition, " and ");
      case Cond::Kind::any: return list(condition, " or ");
      case Cond::Kind::at_least: return "at least " + std::to_string(condition.count) + " of " + list(condition, ", ");
      case Cond::Kind::term: return r.terms[condition.term].name;
    }
    return {};
  }

  // ------------------------------------------------ arithmetic

  std::string formula(const Formula& f) const {
    static const char* const signs[] = {"", "", "", "", "", " + ", " - ", " * ", " / "};
    switch (f.kind) {
      case Formula::Kind::number: return number_words(f.number);
      case Formula::Kind::finding: return r.findings[f.index].name;
      case Formula::Kind::measure: return r.measures[f.index].name;
      case Formula::Kind::tally: return r.tallies[f.index].name;
      case Formula::Kind::negate: return "-" + formula(f.parts[0]);
      case Formula::Kind::least:
      case Formula::Kind::most: break;
      default: return "(" + formula(f.parts[0]) + signs[static_cast<int>(f.kind)] + formula(f.parts[1]) + ")";
    }
    std::string text;
    for (const Formula& part : f.parts) text += (text.empty() ? "" : ", ") + formula(part);
    return (f.kind == Formula::Kind::least ? "least of (" : "most of (") + text + ")";
  }

  // ------------------------------------------------ declarations

  std::string type(const Finding& finding) const {
    switch (finding.kind) {
      case Finding::Kind::yes_no: return "yes or no";
      case Finding::Kind::one_of: return "one of " + joined(finding.values);
      case Finding::Kind::grade: return "a grade of " + joined(finding.values);
      default: break;
    }
    return "from " + number_value(finding, finding.low) + " to " + number_value(finding, finding.high) +
           (finding.step == 0 ? "" : " in steps of " + number_words(finding.step)) + (finding.or_never ? ", or never" : "");
  }

  void findings() {
    for (const Finding& finding : r.findings)
      line("finding " + finding.name + also(finding.also) + " is " + type(finding) +
           (finding.part_of.empty() ? "" : ", of " + finding.part_of) +
           (finding.usual ? ", usually " + value_words(finding, *finding.usual) : "") +
           (finding.question.empty() ? "" : ", asked \"" + finding.question + "\"") + (finding.note.empty() ? "" : ", note \"" + finding.note + "\""));
  }

  void definitions() {
    for (const Measure& measure : r.measures)
      line("measure " + measure.name + also(measure.also) + " is " + formula(measure.formula) + (measure.unit.empty() ? "" : " in " + measure.unit) + ", from " +
           (measure.low ? number_words(*measure.low) : "?") + " to " + (measure.high ? number_words(*measure.high) : "?"));
    for (const Tally& tally : r.tallies) {
      std::string text = "tally " + tally.name + also(tally.also);
      for (const Tally::Item& item : tally.items) text += (&item == &tally.items.front() ? " counts " : ", ") + cond(item.condition) + " as " + number_words(item.points);
      line(text);
    }
    for (const Leading& leading : r.leadings)
      line("leading " + leading.name + also(leading.also) + " is one of " + joined(leading.values) + (leading.lead == 0 ? "" : ", by at least " + number_words(leading.lead)));
    for (const Term& term : r.terms) line("term " + term.name + also(term.also) + " means " + cond(term.condition));
    for (const Background& fact : r.backgrounds) line("it cannot be that " + cond(fact.condition));
    if (r.applies) line("applies to " + cond(*r.applies));
  }

  void choices() {
    static const char* const kinds[] = {"one of ", "highest of ", "lowest of ", "any of "};
    for (const Choice& choice : r.choices)
      line("choice " + choice.name + also(choice.also) + " is " + kinds[static_cast<int>(choice.kind)] + joined(choice.values));
  }

  // ------------------------------------------------ sentences

  static const char* kind_word(Sentence::Kind kind) {
    static const char* const words[] = {"indicated", "allowed", "discouraged", "contraindicated", "caution", "dose", "follows", "precedes", "needs", "leads to",
                                        "never with", "apart", "time", "takes", "uses", "otherwise", "take", "refuse", "otherwise", "refer"};
    return words[static_cast<int>(kind)];
  }

  std::string said(const Sentence& s) const {
    std::string text = kind_word(s.kind);
    if (s.kind == Sentence::Kind::otherwise) text += " " + verdict_word(s.verdict);
    if (s.with_care) text += " with care";
    if (!s.others.empty()) text += " " + (s.kind == Sentence::Kind::uses ? names(s.others, r.choices) : names(s.others, r.practices));
    if (s.choice != no_index) text += " " + values(s.values, r.choices[s.choice].values);
    return text;
  }

  std::string cited(const Sentence& s) const {
    std::string text;
    for (const Citation& citation : s.citations)
      text += (text.empty() ? "" : "; ") + r.sources[citation.source].word + (citation.locus.empty() ? "" : " " + citation.locus);
    return text.empty() ? "" : " [" + text + "]";
  }

  void sentences() {
    for (std::size_t i = 0; i < r.sentences.size(); ++i) {
      const Sentence& s = r.sentences[i];
      const std::string whom = s.choice != no_index ? r.choices[s.choice].name : s.kind == Sentence::Kind::refer ? "everyone" : names(s.practices, r.practices);
      std::string text = std::to_string(i) + ": " + whom + ": " + said(s) + (s.when.kind == Cond::Kind::always ? "" : " in " + cond(s.when));
      if (s.unless) text += " unless " + cond(*s.unless);
      for (Index ban : s.despite) text += " despite " + std::to_string(ban);
      if (!s.label.empty()) text += ", called " + s.label;
      for (const std::string& aim : s.aims) text += ", for \"" + aim + "\"";
      if (!s.text.empty()) text += ": \"" + s.text + "\"";
      line(text + cited(s) + (s.of_group ? s.group == no_index ? " (of every practice)" : " (of " + r.groups[s.group].name + ")" : ""));
    }
  }

  std::string trend(const Trend& t) const {
    static const char* const changes[] = {"more ", "less ", "adding "};
    const std::string verb = t.of == Trend::Of::length ? (t.raised ? "lengthens" : "shortens") : t.raised ? "raises" : "lowers";
    return changes[static_cast<int>(t.change)] + r.findings[t.finding].name + " never " + verb + (t.of == Trend::Of::verdict ? " " : " the dose of ") +
           names(t.practices, r.practices);
  }

  void people_of(const Population& population) {
    std::string text;
    for (const Population::Shares& shares : population.shares) {
      const Finding& finding = r.findings[shares.finding];
      text += (text.empty() ? "" : "; ") + finding.name;
      for (const Population::Part& part : shares.parts) {
        Test test;
        test.words = part.words;
        test.intervals = part.intervals;
        std::string asked = finding.values.empty() ? intervals(test, finding) : values(part.words, finding.values);
        if (part.never) asked += (asked.empty() ? "" : " or ") + std::string("never");
        text += (&part == &shares.parts.front() ? " " : ", ") + asked + " as " + number_words(part.weight);
      }
    }
    line("population \"" + population.title + "\": " + text);
  }

  void people() {
    for (const SampleProfile& sample : r.profiles) {
      std::string text;
      for (const SampleProfile::Answer& a : sample.answers)
        text += (text.empty() ? "" : ", ") + r.findings[a.finding].name + " " + value_words(r.findings[a.finding], a.value);
      if (sample.rest_as_usual) text += (text.empty() ? "" : ", ") + std::string("the rest as usual");
      line("profile \"" + sample.title + "\": " + text);
    }
    for (const Population& population : r.populations) people_of(population);
    for (const Claim& claim : r.claims)
      line("claim \"" + claim.title + "\": " + (claim.trend ? trend(*claim.trend) : (claim.never ? "never " : "always ") + cond(claim.condition)) +
           (claim.when.kind == Cond::Kind::always ? "" : " in " + cond(claim.when)));
  }

  std::string all() {
    line("ruleset \"" + r.title + "\", edition \"" + r.edition + "\"" + (r.contraindications_prevail ? ", contraindications prevail" : ""));
    for (const Source& source : r.sources)
      line("source " + source.word + " is \"" + source.title + "\", " + std::to_string(source.year) + (source.rank ? ", ranked " + std::to_string(*source.rank) : ""));
    for (const School& school : r.schools) {
      std::string held;
      for (Index source : school.sources) held += (held.empty() ? "" : ", ") + r.sources[source].word;
      line("school " + school.name + " holds " + held);
    }
    findings();
    definitions();
    choices();
    for (const Practice& practice : r.practices) line("practice " + practice.name + also(practice.also) + (practice.note.empty() ? "" : ", note \"" + practice.note + "\""));
    for (const Group& group : r.groups) line("group " + group.name + also(group.also) + " holds " + names(group.practices, r.practices));
    sentences();
    people();
    return std::move(out);
  }
};

}  // namespace

std::string print(const Ruleset& ruleset) { return Printer{ruleset, {}}.all(); }

std::string value_words(const Finding& finding, const Value& value) {
  if (value.kind == Value::Kind::never) return "never";
  if (value.kind == Value::Kind::word) return value.word < finding.values.size() ? finding.values[value.word] : std::string();
  return number_value(finding, value.number);
}

std::string number_words(const Rational& number) {
  if (auto digits = decimal(number)) return *digits;
  return number.get_str();
}

}  // namespace betony
