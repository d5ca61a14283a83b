// compiler/ruleset.h: the typed ruleset: every name resolved to an index, every unit and value checked.
//
// Made from a syntax tree by `type_ruleset`. From here on nothing is looked up by name. Numbers are
// exact and in the unit of the finding they belong to. A ruleset is a plain value; any number of
// threads may read it.
//
// Findings are flat: an item of an any-of finding ("complaints are any of cold hands, stiff joints")
// is a yes/no finding of its own, with `part_of` naming the whole. The built-in findings `date` and
// `time of day` stand in the list only where the ruleset uses them.
#pragma once

#include <cstdint>
#include <optional>
#include <string>
#include <vector>

#include "compiler/units.h"
#include "grammar/message.h"
#include "grammar/tree.h"

namespace betony {

using Index = std::uint32_t;
constexpr Index no_index = 0xffffffffu;

// ---------------------------------------------------------------- values

// The value of one finding of one person.
struct Value {
  enum class Kind { word, number, never };
  Kind kind = Kind::word;
  Index word = 0;   // word: index into Finding::values (yes_no: 0 is no, 1 is yes)
  Rational number;  // number: in the finding's unit; date: day of the year 0..365 (29 February is 59);
                    // time of day: minutes after midnight 0..1439
  friend bool operator==(const Value&, const Value&) = default;
};

// One value per finding of the ruleset; nothing where it is unanswered. Complete when all are there.
using Profile = std::vector<std::optional<Value>>;

struct Finding {
  enum class Kind { yes_no, one_of, grade, number, date, time_of_day };
  std::string name;
  std::vector<std::string> also;
  Kind kind = Kind::yes_no;
  std::vector<std::string> values;   // yes_no: {"no", "yes"}; one_of, grade: as declared, least first
  std::string part_of;               // the any-of finding this is an item of, or empty
  Rational low, high;                // number (ends are possible values); date 0..365; time of day 0..1439
  Rational step;                     // 0: every number between low and high; else low, low+step, ... up to high
  std::string unit;                  // as declared ("years"); empty: dimensionless
  bool ago = false, or_never = false;
  std::optional<Value> usual;        // what `the rest as usual` gives; always there for yes_no
  std::string question, note;        // of an item: those of its any-of finding
  bool built_in = false;
  Place place;                       // the name in its declaration; of an item: the item
  Index sentence = no_index;         // index into Ruleset::tree.sentences
};

// ---------------------------------------------------------------- conditions

// A set of numbers between two ends; a missing end is open to infinity.
struct Interval {
  std::optional<Rational> low, high;
  bool low_in = true, high_in = true;
  bool contains(const Rational& x) const {
    if (low && (low_in ? x < *low : x <= *low)) return false;
    if (high && (high_in ? x > *high : x >= *high)) return false;
    return true;
  }
};

// What an atom asks of a subject: whether its value is one of these.
struct Test {
  enum class Subject { finding, measure, tally, leading, choice, verdict };
  Subject subject = Subject::finding;
  Index index = 0;                  // into Ruleset::findings, measures, tallies, leadings, choices, practices
  std::vector<Index> words;         // finding (not number), leading, choice: accepted values, ascending
  std::vector<Interval> intervals;  // number, date, time of day, measure, tally: accepted numbers (ranges that wrap are two)
  bool never = false;               // `is never` (the intervals are then empty)
  unsigned verdicts = 0;            // verdict: bit 1u << int(tree::Verdict) for each accepted one
  bool with_care = false;           // verdict: `is with care` (verdicts is then 0)
};
// A choice of type any-of is tested item by item: words has one entry, "the set holds this".

struct Cond {
  enum class Kind { always, test, negation, all, any, at_least, term };
  Kind kind = Kind::always;
  Test test;
  std::vector<Cond> parts;  // negation: one
  unsigned count = 0;       // at_least
  Index term = 0;           // term: index into Ruleset::terms
  Place place;              // the words, for marks; an empty span for `always`
};

struct Term { std::string name; std::vector<std::string> also; Cond condition; Place place; Index sentence = no_index; };

struct Formula {  // arithmetic over findings and other measures, in the measure's own unit
  enum class Kind { number, finding, measure, tally, negate, add, subtract, multiply, divide, least, most };
  Kind kind = Kind::number;
  Rational number;              // number; units already folded in
  Index index = 0;              // finding, measure, tally
  std::vector<Formula> parts;
};
// A value in the formula is in base units (compiler/units.h); `to_unit` brings the result to the measure's unit.
struct Measure {
  std::string name; std::vector<std::string> also;
  Formula formula;              // already in the measure's unit
  std::string unit;
  std::optional<Rational> low, high;  // what its inputs allow, by interval arithmetic
  Place place; Index sentence = no_index;
};

struct Tally {
  std::string name; std::vector<std::string> also;
  struct Item { Cond condition; Rational points; };
  std::vector<Item> items;
  Place place; Index sentence = no_index;
};

struct Leading {
  std::string name; std::vector<std::string> also;
  std::vector<Index> tallies;   // value i is "tallies[i] leads"; value tallies.size() is `otherwise`
  std::vector<std::string> values;  // their names, then the `else` word (which may repeat one of them)
  Rational lead;                // by at least N; 0 where none was written: any lead
  Place place; Index sentence = no_index;
};

// ---------------------------------------------------------------- sentences about practices and choices

struct Source { std::string word, title; long year = 0; std::optional<long> rank; Place place; Index sentence = no_index; };
struct School { std::string name; std::vector<Index> sources; Place place; };

struct Citation { Index source; std::string locus; };

// What one Dose sentence says. Numbers are in base units (units.h), rates in times a second, lengths in seconds.
struct Dose {
  enum class Part { amount, often, length };
  std::optional<Interval> amount, often, length;
  Unit unit;                     // of the amount; two amounts are of one dimension where their units are alike
  std::string unit_text;         // as written ("bowls")
  std::optional<Rational> factor;  // half, a third, a quarter, double: multiplies what other sentences say
  std::string words;             // "until the brow is damp"; empty: none
};

// What a Time, Takes or `Apart … by` sentence says. Amounts are in seconds.
struct Timing {
  struct Moment {                // of the day: an anchor, moved
    tree::Moment::Anchor anchor = tree::Moment::Anchor::clock;
    Index practice = no_index;   // anchor practice
    bool moved = false;          // a practice: after its end (`by` above 0) or before its beginning (below)
    Rational by;                 // clock: after midnight; else after the anchor, before it where below 0
  };
  bool forbidden = false;        // `Time not …`
  Moment from;
  std::optional<Moment> to;
  Interval length;               // takes; apart: at least `low`
};

struct Sentence {
  enum class Kind {
    indicated, allowed, discouraged, contraindicated, caution, dose, follows, precedes, needs, leads_to, never_with,
    apart, time, takes, uses, otherwise,  // about practices
    take, refuse, choice_otherwise,       // about a choice
    refer                                 // a red flag
  };
  Kind kind = Kind::indicated;
  std::vector<Index> practices;  // whom it speaks of, ascending; groups unfolded
  bool of_group = false;         // stands under `Every practice …`: an own sentence goes before it (dose, otherwise)
  Index group = no_index;        // the group named there; none for `Every practice.`
  Index choice = no_index;
  Cond when;                     // `always` where none was written
  std::optional<Cond> unless;
  std::vector<Index> despite;    // indices of the sentences whose labels are named
  std::string label, text;
  std::vector<std::string> aims;
  std::vector<Citation> citations;
  tree::Verdict verdict = tree::Verdict::silent;  // otherwise
  bool with_care = false;        // otherwise, and "are allowed with care": a caution without a text (own sentence of kind caution)
  std::vector<Index> values;     // take, refuse, choice_otherwise: values of the choice
  std::vector<Index> others;     // order sentences: the practices named; uses: the choices named
  Index dose = no_index;         // dose: index into Ruleset::doses
  Index timing = no_index;       // time, takes, apart with `by`: index into Ruleset::timings
  Place place;                   // its words
  std::string words;             // of an item among several of an `In …:`, for showing; else empty: see `words_of`
  Index sentence = no_index;     // index into Ruleset::tree.sentences; one `In …:` may make several
};
// How near it stands to each of its practices: their own sentences 0, those of a named group 1, of `Every practice.` 2.
inline int rank(const Sentence& sentence) { return !sentence.of_group ? 0 : sentence.group != no_index ? 1 : 2; }
// The verdict that it speaks for, if it speaks for one.
inline std::optional<tree::Verdict> verdict_asked(const Sentence& sentence) {
  switch (sentence.kind) {
    case Sentence::Kind::contraindicated: return tree::Verdict::withheld;
    case Sentence::Kind::discouraged: return tree::Verdict::discouraged;
    case Sentence::Kind::indicated: return tree::Verdict::advised;
    case Sentence::Kind::allowed: return tree::Verdict::allowed;
    default: return std::nullopt;
  }
}
inline bool is_conditional(const Sentence& sentence) { return sentence.when.kind != Cond::Kind::always || sentence.unless; }

struct Practice {
  std::string name; std::vector<std::string> also;
  std::vector<Index> sentences;  // all that speak of it, own and its groups', in order
  std::string note;
  Place place; Index sentence = no_index;
};
struct Group { std::string name; std::vector<std::string> also; std::vector<Index> practices; /* unfolded, ascending */ std::string note; Place place; Index sentence = no_index; };

struct Choice {
  enum class Kind { one_of, grade_highest, grade_lowest, any_of };
  std::string name; std::vector<std::string> also;
  Kind kind = Kind::one_of;
  std::vector<std::string> values;
  std::vector<Index> sentences;  // take, refuse, choice_otherwise
  std::string note;
  Place place; Index sentence = no_index;
};

// ---------------------------------------------------------------- profiles and claims

struct Expectation {
  Index practice = no_index, choice = no_index;
  std::optional<tree::Verdict> verdict;
  bool with_care = false;        // the care was named
  std::vector<Index> values;     // of a choice
  Place place; Index sentence = no_index;
};
struct SampleProfile {
  struct Answer {
    Index finding = no_index;
    Value value;
  };
  std::string title;
  std::vector<Answer> answers;   // by finding, ascending, each once
  bool rest_as_usual = false;
  std::vector<Expectation> expectations;
  Place place; Index sentence = no_index;
};
// What becomes of a practice when one answer of a person is another and all others stay.
struct Trend {
  enum class Change { more, less, adding };    // any greater or lesser value; yes instead of no
  enum class Of { verdict, amount, length };   // verdicts by rank (trend.h); length: of a dose, and amounts that are times
  Change change = Change::more;
  Index finding = no_index;      // a number or a grade; adding: a yes-or-no finding
  Of of = Of::verdict;
  bool raised = true;            // it never is more; false: never less
  std::vector<Index> practices;  // ascending
};
struct Claim {
  std::string title;
  bool never = false;
  Cond condition;                // where it claims a trend: its place is that of the words that do, and it asks nothing
  std::optional<Trend> trend;
  Cond when;                     // both persons are so, where it claims a trend
  Place place;
  Index sentence = no_index;
};
// How often answers occur among the persons who come. A finding that is not named occurs in all its values alike.
struct Population {
  struct Part {
    std::vector<Index> words;    // accepted values; or
    std::vector<Interval> intervals;
    bool never = false;
    Rational weight;             // of all parts of the finding together, relative to one another
  };
  struct Shares {
    Index finding = no_index;
    std::vector<Part> parts;     // no two hold the same value; values in none of them do not occur
    Place place;
  };
  std::string title;
  std::vector<Shares> shares;    // by finding, ascending, each once
  Place place;
  Index sentence = no_index;
};
struct Background { Cond condition; Place place; Index sentence = no_index; };

struct Ruleset {
  std::string title, edition;
  std::vector<Source> sources;
  std::vector<School> schools;
  std::vector<Finding> findings;
  std::vector<Measure> measures;   // an earlier one never asks a later one
  std::vector<Term> terms;         // likewise
  std::vector<Tally> tallies;
  std::vector<Leading> leadings;
  std::vector<Choice> choices;     // likewise, through conditions of their sentences
  std::vector<Practice> practices;
  std::vector<Group> groups;
  std::vector<Sentence> sentences; // in reading order
  std::vector<Index> red_flags;    // those of kind refer
  std::vector<Dose> doses;
  std::vector<Timing> timings;
  std::vector<Background> backgrounds;
  std::optional<Cond> applies;     // all `Applies to` sentences together
  bool contraindications_prevail = false;
  std::vector<SampleProfile> profiles;
  std::vector<Claim> claims;
  std::vector<Population> populations;
  UnitBook units;                  // those there are, and those that the ruleset declares
  Tree tree;
};

// Resolves names, checks units, values and ranges. All messages are gathered, in source order.
Outcome<Ruleset> type_ruleset(Tree tree);

// The whole ruleset, an item a line, for tests and people.
std::string print(const Ruleset& ruleset);

// A piece of the source as it is written: white space folded, comments left out. Cost O(its length + log comments).
std::string written(const Tree& tree, const Place& place);
// A sentence as it is written, for showing.
std::string words_of(const Ruleset& ruleset, const Sentence& sentence);

// The sample as a profile of all findings: what it answers and, if it says so, the rest as usual. Cost O(findings).
Profile profile_of(const Ruleset& ruleset, const SampleProfile& sample);

// The words of a value of a finding, as a practitioner writes them: "34 years", "mild", "1 November", "never".
std::string value_words(const Finding& finding, const Value& value);
// An exact number: "3", "0.5", "1/3".
std::string number_words(const Rational& number);

}  // namespace betony
