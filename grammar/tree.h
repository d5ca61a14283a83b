// grammar/tree.h: the syntax tree of a ruleset, as it was written.
//
// One `Tree` holds every sentence of every file that belongs to a ruleset, in reading order (a file
// named by `Use` stands where the `Use` sentence stands). The tree says what was written and where,
// not what it means: names are kept as names, units as their text, and nothing is looked up, except
// that names were recognised by the longest declared one (see grammar.h). Values only: a tree may be
// copied, compared by printing (`print` in grammar.h) and sent to another thread.
//
// Shapes      `Span` is a pair of byte offsets in one file's text; `end` is one past the last byte.
// Numbers     exact rationals (GMP), never binary floating point.
// Depth       conditions and arithmetic nest at most `Limits::nesting` deep, so walks may recurse.
#pragma once

#include <gmpxx.h>

#include <cstdint>
#include <memory>
#include <optional>
#include <string>
#include <variant>
#include <vector>

namespace betony {

using Rational = mpq_class;

struct Span {
  std::uint32_t begin = 0, end = 0;
  friend bool operator==(const Span&, const Span&) = default;
};

// A place in a ruleset of several files: `file` indexes `Tree::files`.
struct Place {
  std::uint32_t file = 0;
  Span span;
  friend bool operator==(const Place&, const Place&) = default;
};

namespace tree {

// A value that most often is not there and is large: stored apart, so that a sentence without it stays small (a ruleset
// has a hundred thousand). To use like `std::optional`; a copy has a value of its own.
template <class T>
class Rare {
 public:
  Rare() = default;
  Rare(std::nullopt_t) {}
  Rare(T value) : value_(std::make_unique<T>(std::move(value))) {}
  Rare(const Rare& other) : value_(other.value_ ? std::make_unique<T>(*other.value_) : nullptr) {}
  Rare(Rare&&) noexcept = default;
  Rare& operator=(Rare other) noexcept {
    value_ = std::move(other.value_);
    return *this;
  }
  explicit operator bool() const { return value_ != nullptr; }
  bool has_value() const { return value_ != nullptr; }
  T& operator*() { return *value_; }
  const T& operator*() const { return *value_; }
  T* operator->() { return value_.get(); }
  const T* operator->() const { return value_.get(); }
  void reset() { value_.reset(); }

 private:
  std::unique_ptr<T> value_;
};

// A name as written, and the form in which names are compared.
struct Name {
  std::string text;  // NFC, one space between words, letters as written
  std::string key;   // `text` after folding (text.h); two names are the same if their keys are
  Span span;
};

struct Number {
  std::string text;  // as written, in digits: "0.50" stays "0.50"
  Span span;
  Rational value() const;  // 0 if there is none
};

// A string's content, without quotes, doubled quotes undone.
struct Text {
  std::string text;
  Span span;  // with its quotes
};

// A unit as written ("years", "kg/m2", "mm[Hg]", "puffs"); empty text: none was written.
struct Unit {
  std::string text;
  Span span;
};

struct Date {  // a day of the year
  unsigned month = 1, day = 1;
};
struct Clock {  // a time of day, in whole minutes after midnight
  unsigned minute = 0;
};

// What a finding is compared with, or given in a profile: a number with or without a unit, a value
// word, a day, a time of day, yes, no, or never.
struct Quantity {
  enum class Kind { number, word, date, clock, yes, no, never };
  Kind kind = Kind::number;
  Number number;     // number
  Unit unit;         // number
  bool ago = false;  // number: "1 h ago"
  Rare<Name> word;   // word
  Date date;
  Clock clock;
  Span span;
};

// ---------------------------------------------------------------- conditions

struct Atom {
  enum class Kind {
    holds,     // NAME: a yes/no finding, an any-of item, a term
    is,        // NAME is V [or W ...]: values, numbers, never; in claims verdicts of a practice
    under,     // NAME under N
    over,      // NAME over N
    at_least,  // NAME at least N
    at_most,   // NAME at most N
    from_to,   // NAME from N to M, both ends in; values[0] and values[1]
    with_care  // P is with care (claims only)
  };
  Kind kind = Kind::holds;
  Name name;
  bool negated = false;          // "is not": neither of the values
  bool one_of = false;           // written "is one of A, B"
  std::vector<Quantity> values;  // empty for `holds` and `with_care`
};

struct Condition {
  enum class Kind { atom, negation, all, any, none, at_least };
  // How a list was written, so that the formatter can write it so again: "a and b" or "a, b, and c"
  // (joined), or "all of a, b", "any of a, b" (counted; `none` and `at_least` are always counted).
  enum class Written { joined, counted };
  Kind kind = Kind::atom;
  Written written = Written::joined;
  bool bracketed = false;        // stood in round brackets
  Atom atom;                     // atom
  std::vector<Condition> parts;  // negation: one; lists: one or more
  unsigned count = 0;            // at_least
  Span span;                     // with its brackets
};

// ---------------------------------------------------------------- arithmetic

struct Arithmetic {
  enum class Kind { number, name, negate, add, subtract, multiply, divide, least, most };
  Kind kind = Kind::number;
  Number number;
  Unit unit;  // number: "220 /min"
  Name name;
  std::vector<Arithmetic> parts;  // add, subtract, multiply, divide: two; least, most: one or more
  bool bracketed = false;
  Span span;
};

// ---------------------------------------------------------------- types of findings and choices

struct Type {
  enum class Kind { yes_no, one_of, grade, any_of, number };
  Kind kind = Kind::yes_no;
  std::vector<Name> values;                  // one_of, grade, any_of
  bool whole = false, ago = false;           // number
  Unit unit;                                 // number; empty: dimensionless
  Number low, high;                          // number
  std::optional<Number> step;                // number
  bool or_never = false;                     // number
  enum class Prevails { none, highest, lowest } prevails = Prevails::none;  // grade, of a Choice
  Span span;
};

// ---------------------------------------------------------------- the ends of a sentence

// One work in a citation: "SB 2.4" is {SB, "2.4"}; the locus may be empty.
struct Citation {
  Name source;
  std::string locus;
};

// What a sentence may end with, in any order.
struct Ending {
  Rare<Condition> when;    // in COND
  Rare<Condition> unless;  // unless COND
  std::vector<Text> aims;           // for STRING
  Rare<Name> label;        // called LABEL
  Rare<Text> text;         // : STRING
  std::vector<Citation> citations;  // [SB 2.4; WN 5]
  std::vector<Name> despite;        // despite LABEL
};

// ---------------------------------------------------------------- declarations

struct Named {  // a declared name with its other names: "fever (also pyrexia)"
  Name name;
  std::vector<Name> also;
};

struct RulesetLine { Text title, edition; };
struct UseLine { Text path; };
struct SourceLine { Name word; Text title; Number year; std::optional<Number> rank; };
struct SchoolLine { Named name; std::vector<Name> sources; };
struct AppliesLine { Condition condition; };
struct FindingLine { Named name; Type type; Rare<Quantity> usually; };
struct AskLine { Text text; };
struct NoteLine { Text text; };
struct MeasureLine { Named name; Arithmetic value; Unit unit; };
struct TallyItem {
  std::vector<Condition> counted;  // one; several with `each`: each counts N by itself
  bool each = false;
  Number points;
};
struct TallyLine { Named name; std::vector<TallyItem> items; };
struct LeadingLine { Named name; std::vector<Name> tallies; std::optional<Number> lead; Name otherwise; };
struct ChoiceLine { Named name; Type type; };
struct TermLine { Named name; Condition condition; };
struct BackgroundLine { Condition condition; };  // It cannot be that COND.
struct ReferLine { Ending ending; };             // `when` and `text` are always there
struct GroupLine { Named name; std::vector<Name> members; };
struct PrevailLine {};                           // Contraindications prevail.
struct UnitLine { std::vector<Name> names; Rare<Quantity> amount; };  // Unit palm is 30 g.
struct ProfileItem {
  Name finding;
  Rare<Quantity> value;  // none for a bare name ("cold hands"): yes
  bool negated = false;           // "not cold hands": no
};
struct ProfileLine { Text title; std::vector<ProfileItem> items; bool rest_as_usual = false; };

enum class Verdict { outside, referred, withheld, discouraged, advised, allowed, silent, unanswered };
// Only what may be done is with care or without.
constexpr bool may_be_done(Verdict verdict) { return verdict == Verdict::advised || verdict == Verdict::allowed; }
// "advised": as it is written in sentences, JSON and tables.
std::string verdict_word(Verdict verdict);

struct ExpectLine {            // Expect P VERDICT.  Expect CHOICE V.
  Name of;
  std::vector<Quantity> values;            // of a choice: its values (several for any-of)
  std::optional<Verdict> verdict;          // of a practice
  bool with_care = false;
};

// What a claim says of two persons of whom one answer differs: "more age never raises the dose of cold plunge".
struct Trend {
  enum class Change { more, less, adding } change = Change::more;
  enum class Verb { raises, lowers, lengthens, shortens } verb = Verb::raises;
  Name finding;
  bool of_dose = false;
  std::vector<Name> practices;  // and groups; none for "any practice"
};
struct ClaimLine {
  Text title;
  bool never = false;
  Condition condition;    // unless it tells a trend
  Rare<Trend> trend;
  Rare<Condition> when;
};

// "age from 20 to 35 as 7, over 60 as 1"; in the parts the name is left out.
struct PopulationFinding {
  struct Part {
    Atom asked;           // its name is that of the finding; of kind is, under, over, at_least, at_most or from_to
    Number weight;
    Span span;
  };
  Name finding;
  std::vector<Part> parts;
};
struct PopulationLine { Text title; std::vector<PopulationFinding> findings; };

// ---------------------------------------------------------------- sentences about practices

struct PracticeLine { std::vector<Named> practices; bool plural = false; };  // heads what follows
struct EveryLine { std::optional<Name> group; };        // Every practice [in GROUP].

struct InItem { std::vector<Name> practices; Verdict verdict = Verdict::allowed; bool with_care = false; Ending ending; };
struct InLine { Condition condition; std::vector<InItem> items; };  // In COND: P, Q are allowed; R is ...

struct VerdictLine {
  enum class Kind { indicated, allowed, discouraged, contraindicated, caution } kind = Kind::indicated;
  Ending ending;
};

// A rate: "once a day", "2 to 3 times a wk", "at most twice a day", "once every 2 wk".
struct Rate {
  Number low, high;          // equal for "twice"
  bool at_most = false;
  bool every = false;        // "every 2 wk": `period` may be other than 1
  Number period;             // 1 for "a day"
  Unit unit;
  Span span;
};
struct DoseLine {
  enum class Factor { none, half, third, quarter, twice } factor = Factor::none;  // "Dose half", "Dose a third", "Dose double"
  Rare<Text> words;                   // Dose "until sweat shows"
  Rare<Quantity> low, high;           // amount: equal for a single value; `at most`: only high; `at least`: only low
  std::optional<Rate> often;
  Rare<Quantity> long_low, long_high; // for 5 d; for 5 to 7 d
  Ending ending;
};

struct OrderLine {
  enum class Kind { follows, precedes, needs, leads_to, never_with, apart } kind = Kind::follows;
  std::vector<Name> practices;
  Rare<Quantity> by;  // apart
  Ending ending;
};

// A moment of the day: a clock time or an anchor, moved by an amount before or after it.
struct Moment {
  enum class Anchor { clock, sunrise, sunset, dawn, dusk, noon, midnight, waking, sleep, practice } anchor = Anchor::clock;
  Clock clock;
  Name practice;
  Rare<Quantity> by;  // "45 min before sunrise"
  bool before = false;
  Span span;
};
struct TimeLine { bool forbidden = false; Moment from, to; bool until = true; Ending ending; };  // `until`: a "from … to" was written; else `from` alone
struct TakesLine { Quantity low, high; Ending ending; };
struct UsesLine { std::vector<Name> choices; Ending ending; };
struct TakeLine { bool refuse = false; std::vector<Quantity> values; Ending ending; };
struct OtherwiseLine { std::optional<Verdict> verdict; bool with_care = false; std::vector<Quantity> values; Ending ending; };  // values: of a choice

using Form = std::variant<RulesetLine, UseLine, SourceLine, SchoolLine, AppliesLine, FindingLine, AskLine, NoteLine,
                          MeasureLine, TallyLine, LeadingLine, ChoiceLine, TermLine, BackgroundLine, ReferLine,
                          GroupLine, PrevailLine, UnitLine, ProfileLine, ExpectLine, PopulationLine, ClaimLine, PracticeLine, EveryLine,
                          InLine, VerdictLine, DoseLine, OrderLine, TimeLine, TakesLine, UsesLine, TakeLine,
                          OtherwiseLine>;

struct Sentence {
  Place place;  // from its first letter to the end of its stop
  Form form;
};

// A comment from `--` to the end of its line, without the line break.
struct Comment {
  std::uint32_t file = 0;
  Span span;
  std::string text;  // as written, from the two hyphens on
};

}  // namespace tree

class DecisionTable;  // table.h

// One file of a ruleset: its name as shown to people, and its bytes as read. Of a table, which was read as
// sentences, `text` holds these sentences, and `table` the bytes as given and where in them each stands.
struct SourceFile {
  std::string name;
  std::string text;
  bool is_table = false;
  std::shared_ptr<const DecisionTable> table;  // once it was read
};

struct Tree {
  std::vector<SourceFile> files;  // files[0] is the one that was asked for
  std::vector<tree::Sentence> sentences;
  std::vector<tree::Comment> comments;  // by file, then place
};

// Line and column of a byte offset, both from 1; columns count characters (code points), not bytes.
// Cost O(size of the text before the offset); LineIndex (message.h) is quicker for many.
struct LineColumn {
  unsigned line = 1, column = 1;
};

}  // namespace betony
