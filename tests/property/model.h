// tests/property/model.h: a ruleset as the referee sees it, and its source text.
//
// The referee judges the compiler from outside. Its model, its printing (print.cpp) and its
// enumeration (universe.h, verdicts.h, enumerate.h) are written from the language's description alone
// and share no code with grammar/ or compiler/; only compare.cpp calls those.
//
// A model is flat: everything refers to everything else by index, and nothing is ever erased: what a
// smaller ruleset leaves out is `gone`, so that indices stay true while a failing ruleset is shrunk.
#pragma once

#include <gmpxx.h>

#include <optional>
#include <string>
#include <vector>

namespace betony::referee {

using Fraction = mpq_class;

// ---------------------------------------------------------------- what is asked

struct Finding {
  enum class Kind { yes_no, one_of, grade, any_of, number, date, time_of_day };
  Kind kind = Kind::yes_no;
  std::string name;
  std::string also;                  // another name, used now and then; may be empty
  std::vector<std::string> words;    // one_of, grade: values; any_of: items
  Fraction low = 0, high = 0, step = 0;  // number; step 0: every number between. The range is whole steps.
  bool whole = false, ago = false, or_never = false;
  std::string unit;                  // may be empty
  std::string small_unit;            // another unit for the same, `small_factor` of which make one `unit`; may be empty
  int small_factor = 1;
  std::optional<int> usual_word;     // one_of, grade; yes_no: 0 or 1
  std::optional<Fraction> usual_number;
  bool usual_never = false;
  bool asked = false;                // has an Ask
  bool gone = false;
};

// What one answer is given to: a finding, or one item of an any-of finding.
struct Subject {
  int finding = 0;
  int item = -1;
  friend bool operator==(const Subject&, const Subject&) = default;
};

// ---------------------------------------------------------------- conditions

enum class Verdict { outside, referred, withheld, discouraged, advised, allowed, silent, unanswered };

struct Cond {
  enum class Kind {
    always,    // nothing was written
    holds,     // a yes/no finding, an any-of item, a term
    among,     // one of these words: finding, leading, choice, verdict of a practice
    numbers,   // is N or M: finding, tally, measure
    compare,   // under, over, ...: finding, tally, measure, grade (then `a`, `b` are indices of words)
    never,     // is never
    with_care, // of a practice
    negation, all, any, none, at_least
  };
  enum class Of { finding, term, tally, leading, choice, practice, measure };
  enum class How { under, over, at_least, at_most, from_to };
  Kind kind = Kind::always;
  Of of = Of::finding;
  int index = 0;                  // finding, term, tally, measure, ...
  int item = -1;                  // of an any-of finding
  std::vector<int> words;         // among: values; of a leading: places in Leading::values(); of a practice: int(Verdict)
  bool negated = false;           // among, numbers, never: "is not"
  How how = How::under;
  std::vector<Fraction> numerals; // numbers; compare: one or two
  std::vector<Cond> parts;
  int count = 0;                  // at_least
  int style = 0;                  // which of several spellings is printed
};

// A number from numbers. Parts are taken from the left: a - b - c.
struct Arithmetic {
  enum class Op { number, finding, plus, minus, times, divided, least, most };
  Op op = Op::number;
  Fraction number;
  std::string unit;               // of a number; may be empty
  int index = 0;                  // finding
  std::vector<Arithmetic> parts;
};
std::vector<int> inputs(const Arithmetic& arithmetic);  // the findings it is made from, ascending
Fraction value(const Arithmetic& arithmetic, const std::vector<Fraction>& by_finding);

struct Measure { std::string name; Arithmetic is; std::string unit; bool gone = false; };
struct Term { std::string name; Cond means; bool gone = false; };
struct TallyItem { std::vector<Cond> counted; bool each = false; Fraction points; };
struct Tally { std::string name; std::vector<TallyItem> items; bool gone = false; };
struct Leading {
  std::string name;
  std::vector<int> tallies;
  std::optional<Fraction> lead;
  std::string otherwise;          // a word of its own, or the name of one of the tallies
  bool gone = false;
};
struct Choice {
  enum class Kind { one_of, highest, lowest, any_of };
  Kind kind = Kind::one_of;
  std::string name;
  std::vector<std::string> words;
  bool gone = false;
};

// ---------------------------------------------------------------- doses

// From one number to another; an end that is missing is open.
struct Range {
  std::optional<Fraction> low, high;
  friend bool operator==(const Range&, const Range&) = default;
};

// What an amount is counted in. Amounts of one `kind` can be compared, in base units.
struct DoseUnit { const char* one; const char* many; int kind; int base; };
constexpr int dose_kinds = 3;  // time, bowls, weight
const std::vector<DoseUnit>& dose_units();

struct Dose {
  enum class Factor { none, half, third, quarter, twice };
  std::optional<Range> amount;    // at most one of amount, factor and words
  int unit = 0;                   // into dose_units()
  Factor factor = Factor::none;
  std::string words;
  std::optional<Range> often;     // so many times ...
  int every = 1;                  // ... in so many ...
  bool weekly = false;            // ... weeks, not days
  std::optional<Range> length;
  bool in_weeks = false;          // the length
};

// ---------------------------------------------------------------- sentences

struct Source { std::string word, title; int year = 1900; std::optional<int> rank; bool gone = false; };
struct School { std::string name; std::vector<int> sources; bool gone = false; };
struct Practice { std::string name; std::string also; bool gone = false; };
struct Group { std::string name; std::vector<int> practices, groups; bool gone = false; };

struct Sentence {
  enum class Kind {
    indicated, allowed, discouraged, contraindicated, caution,
    dose, follows, precedes, needs, leads_to, never_with, apart, time, takes, uses,  // no bearing on verdicts
    otherwise, take, refuse, choice_otherwise, refer
  };
  enum class Head { practices, group, every, in_line, choice, none };
  Kind kind = Kind::indicated;
  Head head = Head::practices;
  std::vector<int> practices;     // head practices, in_line
  int group = 0;                  // head group
  int choice = 0;                 // head choice; uses
  int line = 0;                   // head in_line: neighbours of the same line and the same condition stand in one
  std::vector<int> others;        // follows to apart: practices; whoever speaks of himself is passed over
  Dose dose;
  int first = 0, last = 0;        // in half hours. time: of the clock; takes: least and most; apart: by `first`
  bool forbidden = false;         // time: not then
  Cond when;
  std::optional<Cond> unless;
  std::vector<int> despite;       // indices of sentences that have a label
  std::string label, text, aim;
  std::vector<int> cites;         // sources
  Verdict verdict = Verdict::allowed;  // otherwise
  bool with_care = false;         // otherwise; in_line: advised or allowed with care
  std::vector<int> values;        // take, refuse, choice_otherwise
  int style = 0;                  // order of the endings
  bool gone = false;
};

// "more age never raises the dose of cold plunge"
struct Trend {
  enum class Change { more, less, adding };
  enum class Verb { raises, lowers, lengthens, shortens };
  Change change = Change::more;
  Verb verb = Verb::raises;
  Subject of;
  bool dose = false;
  std::vector<int> practices;     // none: any practice
};
struct Claim { std::string title; bool never = true; Cond what; Cond when; std::optional<Trend> trend; bool gone = false; };
struct Answer { Subject subject; int word = 0; std::optional<Fraction> number; bool never = false; };
struct Expectation {
  int practice = -1, choice = -1;
  Verdict verdict = Verdict::advised;
  bool with_care = false;
  std::vector<int> values;
  bool gone = false;
};
struct Sample {
  std::string title;
  std::vector<Answer> answers;
  bool rest_as_usual = false;
  std::vector<Expectation> expectations;
  bool gone = false;
};
struct Fact { Cond cond; bool gone = false; };  // It cannot be that; Applies to

struct Model {
  std::vector<Source> sources;
  std::vector<School> schools;
  std::vector<Finding> findings;
  std::vector<Measure> measures;
  std::vector<Term> terms;          // a term asks only earlier ones
  std::vector<Tally> tallies;
  std::vector<Leading> leadings;
  std::vector<Choice> choices;      // a choice's sentences ask only earlier choices
  std::vector<Practice> practices;
  std::vector<Group> groups;        // a group holds only earlier ones
  std::vector<Sentence> sentences;
  std::vector<Fact> backgrounds;
  std::vector<Fact> applies;
  bool prevail = false;
  std::vector<Claim> claims;
  std::vector<Sample> samples;
  int layout = 0;                   // where declarations stand
};

// The values a `Leading` may have, without repeats: names of its tallies, then the `else` word.
std::vector<std::string> leading_values(const Model&, const Leading&);
// Practices a sentence speaks of, ascending; of a sentence about a choice or a red flag none.
std::vector<int> speaks_of(const Model&, const Sentence&);
std::vector<int> members(const Model&, int group);
bool speaks_of_practices(Sentence::Kind);
bool names_others(Sentence::Kind);  // follows to apart
bool about_the_day(Sentence::Kind);  // those, time and takes

constexpr int whole = -1;  // the reading in which all sentences stand
// Whether a school, or the whole, holds the sentence: one that cites no school's source belongs to all.
bool in_reading(const Model&, int sentence, int school);

// ---------------------------------------------------------------- source text

// Something of the model that has a place in the text.
struct Spot {
  enum class What { sentence, claim, background, applies, finding, sample, expectation, term };
  What what = What::sentence;
  int index = 0;
  int within = 0;  // expectation: which of its sample
  friend auto operator<=>(const Spot&, const Spot&) = default;
};

struct Printed {
  std::string text;
  struct Where { std::size_t begin; Spot spot; };
  std::vector<Where> places;  // where the words of a spot begin, in bytes, ascending
};

Printed print(const Model&);
std::string print(const Model&, const Cond&);
std::string print_item(const Model&, const Cond&);                     // as it stands in a list
std::string print_number(const Model&, const Cond&, const Fraction&);  // one of its numbers
std::string decimal(const Fraction&);  // exact, so the denominator may hold only twos and fives

}  // namespace betony::referee
