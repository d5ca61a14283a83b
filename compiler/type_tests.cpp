// What an atom of a condition asks: which words, which numbers, which verdicts are accepted.
#include <algorithm>

#include "grammar/nearness.h"
#include "compiler/typing.h"

namespace betony {
namespace {

using tree::Atom;
using tree::Condition;
using tree::Quantity;
using Kind = Known::Kind;

// One atom on its way to a condition.
struct Asked {
  Typing& typing;
  const Atom& atom;
  Place place;
  Asking asking;

  void tell(std::string matter, std::string message, std::string remedy = {}) const {
    typing.tell_at(place, std::move(matter), std::move(message), std::move(remedy));
  }
  std::string name() const { return in_quotes(atom.name.text); }
};

Cond negated(Cond cond, Place place) {
  std::vector<Cond> parts;
  parts.push_back(std::move(cond));
  return list_cond(Cond::Kind::negation, std::move(parts), place);
}

bool compares(const Atom& atom) {
  return atom.kind == Atom::Kind::under || atom.kind == Atom::Kind::over || atom.kind == Atom::Kind::at_least ||
         atom.kind == Atom::Kind::at_most || atom.kind == Atom::Kind::from_to;
}

// ---------------------------------------------------------------- numbers

// Ends of a comparison in the scale's unit; in a range a bare first number takes the last one's unit.
std::optional<std::vector<Rational>> numbers(const Asked& asked, const Scale& scale) {
  std::vector<Rational> out;
  const auto& values = asked.atom.values;
  const tree::Unit* shared = asked.atom.kind == Atom::Kind::from_to && values.size() == 2 ? &values.back().unit : nullptr;
  for (const Quantity& value : values) {
    const auto number = number_on(asked.typing, value, scale, shared, asked.place.span);
    if (!number) return std::nullopt;
    out.push_back(*number);
  }
  return out;
}

Interval between(const std::optional<Rational>& low, const std::optional<Rational>& high, bool low_in = true, bool high_in = true) {
  Interval interval;
  interval.low = low;
  interval.high = high;
  interval.low_in = low_in;
  interval.high_in = high_in;
  return interval;
}

// Dates and times of day wrap: from 1 November to 30 April is two ranges.
std::vector<Interval> range(const Asked& asked, const Scale& scale, const Rational& low, const Rational& high) {
  if (low <= high) return {between(low, high)};
  if (scale.kind != Scale::Kind::number) return {between(Rational(0), high), between(low, Rational(scale.kind == Scale::Kind::date ? 365 : 1439))};
  asked.tell("a range that falls", asked.name() + " from " + with_unit(low, scale) + " to " + with_unit(high, scale) + " holds no number.",
             asked.atom.name.text + " from " + number_words(high) + " to " + with_unit(low, scale));
  return {};
}

std::vector<Interval> compared(const Asked& asked, const Scale& scale, const std::vector<Rational>& n) {
  switch (asked.atom.kind) {
    case Atom::Kind::under: return {between(std::nullopt, n[0], true, false)};
    case Atom::Kind::over: return {between(n[0], std::nullopt, false, true)};
    case Atom::Kind::at_least: return {between(n[0], std::nullopt)};
    case Atom::Kind::at_most: return {between(std::nullopt, n[0])};
    default: return range(asked, scale, n[0], n[1]);
  }
}

Cond number_test(const Asked& asked, Test test, const Scale& scale) {
  const auto n = numbers(asked, scale);
  if (!n) return always();
  if (compares(asked.atom)) test.intervals = compared(asked, scale, *n);
  else for (const Rational& number : *n) test.intervals.push_back(between(number, number));
  Cond cond = test_cond(std::move(test), asked.place);
  return asked.atom.negated ? negated(std::move(cond), asked.place) : std::move(cond);
}

// `last meal is never`, also among numbers: "is 3 or never".
Cond never_test(const Asked& asked, const Test& test, const Scale& scale) {
  Atom rest = asked.atom;
  rest.negated = false;
  std::erase_if(rest.values, [](const Quantity& value) { return value.kind == Quantity::Kind::never; });
  Test never = test;
  never.never = true;
  Cond cond = test_cond(std::move(never), asked.place);
  if (!rest.values.empty()) {
    std::vector<Cond> parts;
    parts.push_back(number_test({asked.typing, rest, asked.place, asked.asking}, test, scale));
    parts.push_back(std::move(cond));
    cond = list_cond(Cond::Kind::any, std::move(parts), asked.place);
  }
  return asked.atom.negated ? negated(std::move(cond), asked.place) : std::move(cond);
}

// The finding's own sentence, with "or never" in it; else a comparison with a number.
std::string with_never(const Asked& asked) {
  const auto known = asked.typing.names.find(asked.atom.name.key);
  const bool finding = known != asked.typing.names.end() && known->second.kind == Kind::finding;
  const Finding* declared = finding ? &asked.typing.ruleset.findings[known->second.index] : nullptr;
  if (!declared || declared->built_in) return asked.atom.name.text + " at least …";
  std::string sentence = asked.typing.written(asked.typing.sentences()[declared->sentence].place);
  const std::size_t usually = sentence.rfind(", usually");
  return sentence.insert(usually == std::string::npos ? sentence.rfind('.') : usually, ", or never");
}

bool names_never(const Atom& atom) {
  return atom.kind == Atom::Kind::is &&
         std::any_of(atom.values.begin(), atom.values.end(), [](const Quantity& value) { return value.kind == Quantity::Kind::never; });
}

Cond number_asked(const Asked& asked, Test test, const Scale& scale, bool or_never) {
  if (asked.atom.kind == Atom::Kind::holds) {
    asked.tell("how much?", asked.name() + " is a number; by itself it neither holds nor fails.",
               asked.atom.name.text + " at least " + (scale.kind == Scale::Kind::date ? "1 March" : scale.kind == Scale::Kind::time_of_day ? "06:30" : "…"));
    return always();
  }
  if (!names_never(asked.atom)) return number_test(asked, std::move(test), scale);
  if (or_never) return never_test(asked, test, scale);
  asked.tell("never is not among its values", asked.name() + " is always a number.", with_never(asked));
  return always();
}

// ---------------------------------------------------------------- words

std::optional<std::vector<Index>> words(const Asked& asked, const Words& known, const std::vector<std::string>& values) {
  std::vector<Index> out;
  for (const Quantity& value : asked.atom.values) {
    const auto word = word_of(asked.typing, value, known, asked.atom.name.text, values);
    if (!word) return std::nullopt;
    out.push_back(*word);
  }
  return out;
}

std::vector<Index> sorted(std::vector<Index> words) {
  std::sort(words.begin(), words.end());
  words.erase(std::unique(words.begin(), words.end()), words.end());
  return words;
}

// "at least mild": the grades from there on; "from mild to severe" both ends in.
std::vector<Index> grades(const Asked& asked, const std::vector<Index>& named, Index count) {
  Index low = 0, end = count;
  if (asked.atom.kind == Atom::Kind::from_to) low = named[0], end = named[1] + 1;
  if (asked.atom.kind == Atom::Kind::at_least) low = named[0];
  if (asked.atom.kind == Atom::Kind::over) low = named[0] + 1;
  if (asked.atom.kind == Atom::Kind::at_most) end = named[0] + 1;
  if (asked.atom.kind == Atom::Kind::under) end = named[0];
  if (low >= end && asked.atom.kind == Atom::Kind::from_to) {
    const auto grade = [&](std::size_t at) { return asked.typing.written(asked.typing.place(asked.atom.values[at].span)); };
    asked.tell("a range that falls", asked.name() + " from " + grade(0) + " to " + grade(1) + " runs from the higher grade to the lower.",
               asked.atom.name.text + " from " + grade(1) + " to " + grade(0));
  }
  std::vector<Index> out;
  for (Index word = low; word < end; ++word) out.push_back(word);
  return out;
}

// Whether the way of asking fits a list of words: `is`, and comparisons where the words have an order.
bool fits_words(const Asked& asked, bool ordered, const std::vector<std::string>& values) {
  if (asked.atom.kind == Atom::Kind::is || (ordered && compares(asked.atom))) return true;
  const std::string some = values.empty() ? "…" : values[values.size() > 1 ? 1 : 0];
  if (asked.atom.kind == Atom::Kind::holds)
    asked.tell(ordered ? "how much?" : "which?",
               asked.name() + (ordered ? " is a grade" : " has several values") + "; by itself it neither holds nor fails.",
               asked.atom.name.text + (ordered ? " at least " : " is ") + some);
  else
    asked.tell("no order among its values", asked.name() + " has values without an order, so none is over or under another.",
               asked.atom.name.text + " is " + some + ", or declare it as a grade of its values");
  return false;
}

// A set of words of a finding or a leading tally, whose value is always exactly one of them.
Cond words_asked(const Asked& asked, Test test, bool ordered, const Words& known, const std::vector<std::string>& values) {
  if (!fits_words(asked, ordered, values)) return always();
  const auto named = words(asked, known, values);
  if (!named) return always();
  const Index count = static_cast<Index>(values.size());
  if (!asked.typing.spend(count > 64 ? count : 0, asked.atom.name.span)) return always();
  test.words = compares(asked.atom) ? grades(asked, *named, count) : sorted(*named);
  Cond cond = test_cond(std::move(test), asked.place);
  return asked.atom.negated ? negated(std::move(cond), asked.place) : cond;
}

// ---------------------------------------------------------------- each kind of name

Cond finding_asked(const Asked& asked, Index index) {
  Test test;
  test.index = index;
  const Finding& finding = asked.typing.ruleset.findings[index];
  switch (finding.kind) {
    case Finding::Kind::number:
    case Finding::Kind::date:
    case Finding::Kind::time_of_day:
      return number_asked(asked, std::move(test), asked.typing.finding_scales[index], finding.or_never);
    case Finding::Kind::yes_no:
      if (asked.atom.kind == Atom::Kind::holds) return finding_holds(index, asked.place);
      if (compares(asked.atom)) {
        asked.tell("no more or less", asked.name() + " is yes or no; nothing is over or under it.", asked.atom.name.text);
        return always();
      }
      [[fallthrough]];
    default:
      return words_asked(asked, std::move(test), finding.kind == Finding::Kind::grade, asked.typing.finding_words[index], finding.values);
  }
}

Cond whole_asked(const Asked& asked, const Whole& whole) {
  asked.tell("which of them?", asked.name() + " is a list; its items are named one by one.",
             whole.items.empty() ? "" : asked.typing.ruleset.findings[whole.items.front()].name);
  return always();
}

Cond term_asked(const Asked& asked, Index index) {
  Cond cond;
  cond.kind = Cond::Kind::term;
  cond.term = index;
  cond.place = asked.place;
  if (asked.atom.kind == Atom::Kind::holds) return cond;
  const auto& values = asked.atom.values;
  if (asked.atom.kind == Atom::Kind::is && values.size() == 1 && (values[0].kind == Quantity::Kind::yes || values[0].kind == Quantity::Kind::no))
    return (values[0].kind == Quantity::Kind::no) != asked.atom.negated ? negated(std::move(cond), asked.place) : std::move(cond);
  asked.tell("a term has no values", asked.name() + " is a term: it holds or it does not.", asked.atom.name.text);
  return always();
}

// What fits a choice may be none or several, so `is not` is the opposite of `is`, and of an any-of
// choice every value is asked for by itself.
Cond choice_asked(const Asked& asked, Index index) {
  const Choice& choice = asked.typing.ruleset.choices[index];
  const bool ordered = choice.kind == Choice::Kind::grade_highest || choice.kind == Choice::Kind::grade_lowest;
  if (!fits_words(asked, ordered, choice.values)) return always();
  const auto named = words(asked, asked.typing.choice_words[index], choice.values);
  if (!named) return always();
  if (!asked.typing.spend(compares(asked.atom) && choice.values.size() > 64 ? choice.values.size() : 0, asked.atom.name.span)) return always();
  Test test;
  test.subject = Test::Subject::choice;
  test.index = index;
  test.words = compares(asked.atom) ? grades(asked, *named, static_cast<Index>(choice.values.size())) : sorted(*named);
  Cond cond;
  if (choice.kind == Choice::Kind::any_of && test.words.size() > 1) {
    std::vector<Cond> parts;
    for (Index word : test.words) {
      Test one = test;
      one.words = {word};
      parts.push_back(test_cond(std::move(one), asked.place));
    }
    cond = list_cond(Cond::Kind::any, std::move(parts), asked.place);
  } else {
    cond = test_cond(std::move(test), asked.place);
  }
  return asked.atom.negated ? negated(std::move(cond), asked.place) : std::move(cond);
}

Cond leading_asked(const Asked& asked, Index index) {
  const Leading& leading = asked.typing.ruleset.leadings[index];
  Test test;
  test.subject = Test::Subject::leading;
  test.index = index;
  if (!fits_words(asked, false, leading.values)) return always();
  const auto named = words(asked, asked.typing.leading_words[index], leading.values);
  if (!named) return always();
  const Index otherwise = static_cast<Index>(leading.values.size() - 1);
  test.words = *named;
  for (Index word : *named)  // the `else` word may repeat a tally's name
    if (leading.values[word] == leading.values[otherwise]) test.words.push_back(otherwise);
  test.words = sorted(std::move(test.words));
  Cond cond = test_cond(std::move(test), asked.place);
  return asked.atom.negated ? negated(std::move(cond), asked.place) : cond;
}

Cond measure_asked(const Asked& asked, Index index) {
  Test test;
  test.subject = Test::Subject::measure;
  test.index = index;
  return number_asked(asked, std::move(test), asked.typing.measure_scales[index], false);
}

Cond tally_asked(const Asked& asked, Index index) {
  Test test;
  test.subject = Test::Subject::tally;
  test.index = index;
  Scale scale;
  scale.name = asked.typing.ruleset.tallies[index].name;
  return number_asked(asked, std::move(test), scale, false);
}

// ---------------------------------------------------------------- verdicts, in claims

constexpr unsigned told_verdicts = static_cast<unsigned>(tree::Verdict::unanswered);
std::optional<unsigned> verdicts(const Asked& asked) {
  unsigned mask = 0;
  for (const Quantity& value : asked.atom.values) {
    unsigned v = 0;
    while (v < told_verdicts && (value.kind != Quantity::Kind::word || value.word->key != verdict_word(static_cast<tree::Verdict>(v)))) ++v;
    if (v == told_verdicts) {
      asked.typing.tell(value.span, "not a verdict", "A practice is outside, referred, withheld, discouraged, advised, allowed or silent.", asked.atom.name.text + " is withheld");
      return std::nullopt;
    }
    mask |= 1u << v;
  }
  return mask;
}

Cond practice_asked(const Asked& asked, Index index) {
  Test test;
  test.subject = Test::Subject::verdict;
  test.index = index;
  if (asked.asking != Asking::verdicts) {
    asked.tell("a verdict where none can be asked", asked.name() + " is a practice; what is said of it can only be asked in a Claim.",
               "Ask for findings, terms, measures, tallies or choices here.");
    return always();
  }
  if (asked.atom.kind == Atom::Kind::with_care) {
    test.with_care = true;
    Cond cond = test_cond(std::move(test), asked.place);
    return asked.atom.negated ? negated(std::move(cond), asked.place) : std::move(cond);
  }
  if (asked.atom.kind != Atom::Kind::is) {
    asked.tell("which verdict?", asked.name() + " is a practice; by itself it neither holds nor fails.", asked.atom.name.text + " is advised");
    return always();
  }
  const auto mask = verdicts(asked);
  if (!mask) return always();
  test.verdicts = *mask;
  Cond cond = test_cond(std::move(test), asked.place);
  return asked.atom.negated ? negated(std::move(cond), asked.place) : cond;
}

Cond unknown(const Asked& asked) {
  asked.typing.tell(asked.atom.name.span, "nothing goes by this name",
                    "No finding is called " + asked.name() +
                        near_miss(asked.typing, asked.atom.name, {Kind::finding, Kind::any_of, Kind::measure, Kind::term, Kind::tally, Kind::leading, Kind::choice}),
                    "Finding " + asked.atom.name.text + " is yes or no.");
  return always();
}

// What is explained by itself was told already and has not been typed.
bool untyped(const Typing& typing, const Known& known) {
  return (known.kind == Kind::measure && known.index >= typing.ruleset.measures.size()) ||
         (known.kind == Kind::tally && known.index >= typing.ruleset.tallies.size()) ||
         (known.kind == Kind::leading && known.index >= typing.ruleset.leadings.size());
}

}  // namespace

Cond finding_holds(Index finding, Place place) {
  Test test;
  test.index = finding;
  test.words = {1};
  return test_cond(std::move(test), place);
}

Cond type_atom(Typing& typing, const Condition& written, Asking asking) {
  const Asked asked{typing, written.atom, typing.place(written.span), asking};
  if (auto index = built_in(typing, written.atom.name.key)) return finding_asked(asked, *index);
  const auto known = typing.names.find(written.atom.name.key);
  if (known == typing.names.end()) return unknown(asked);
  const Index index = known->second.index;
  if (written.atom.kind == Atom::Kind::with_care && known->second.kind != Kind::practice) {
    find_name(typing, written.atom.name, {Kind::practice}, "a practice");
    return always();
  }
  if (untyped(typing, known->second)) return always();
  switch (known->second.kind) {
    case Kind::finding: return finding_asked(asked, index);
    case Kind::any_of: return whole_asked(asked, typing.wholes[index]);
    case Kind::measure: return measure_asked(asked, index);
    case Kind::term: return term_asked(asked, index);
    case Kind::tally: return tally_asked(asked, index);
    case Kind::leading: return leading_asked(asked, index);
    case Kind::choice: return choice_asked(asked, index);
    case Kind::practice: return practice_asked(asked, index);
    case Kind::group: find_name(typing, written.atom.name, {Kind::practice}, "a practice"); return always();
  }
  return always();
}

}  // namespace betony
