// compiler/typing.h: what the passes that type a ruleset share. Included by ruleset.cpp and type_*.cpp only.
//
//   units    headings    names    order of definitions    findings    definitions    sentences    people
//   type_units  type_headings  type_names  type_order  type_findings  type_measures  type_practices  type_profiles
//               (conditions and tests everywhere: type_conditions, type_tests)
//
// Every pass reads the tree and fills `Typing::ruleset`; what cannot be typed is told and left out, so
// that a later pass can go on. Nothing here keeps a pointer into the ruleset's growing lists.
#pragma once

#include <memory>
#include <optional>
#include <string>
#include <string_view>
#include <unordered_map>
#include <vector>

#include "compiler/ruleset.h"
#include "compiler/units.h"

namespace betony {

// ---------------------------------------------------------------- names

// What a name stands for.
struct Known {
  enum class Kind { finding, any_of, measure, term, tally, leading, choice, practice, group };
  Kind kind = Kind::finding;
  Index index = 0;   // into the list of its kind; any_of: into Typing::wholes
  std::string name;  // as declared
  Place place;
};

// An any-of finding: "complaints are any of cold hands, stiff joints".
struct Whole {
  std::string name;
  std::vector<Index> items;  // findings
};

using Words = std::unordered_map<std::string, Index>;  // folded value word -> index

// What a sentence stands under: tree sentences, or no_index.
struct Heading {
  Index practice = no_index;    // Practice, Practices or Every practice
  Index choice = no_index;
  Index profile = no_index;
  bool choice_is_last = false;  // Otherwise speaks of the choice, not of the practice
  Index above = no_index;       // the nearest declaration: Ask and Note speak of it
};

// ---------------------------------------------------------------- numbers

// What a number is compared with: a finding, a measure, a tally, a dose.
struct Scale {
  enum class Kind { number, date, time_of_day };
  Kind kind = Kind::number;
  std::string name;
  Unit unit;
  std::string unit_text;
  bool ago = false;
  bool difference = false;  // of temperatures: 1 Cel is 1 K
};

// ---------------------------------------------------------------- the shared state

struct Typing {
  explicit Typing(Tree tree);

  Ruleset ruleset;
  std::vector<Message> messages;
  UnitBook units;

  std::unordered_map<std::string, Known> names;  // by folded name
  std::vector<std::string> name_list;            // keys in order of declaration, for suggestions
  std::unordered_map<std::string, Index> sources, schools, labels;
  std::vector<Heading> headings;                 // one a tree sentence
  std::vector<std::pair<Index, const std::vector<tree::Name>*>> despites;  // typed sentence, the labels it names

  std::vector<Whole> wholes;
  std::vector<Words> finding_words, choice_words, leading_words;
  std::vector<Scale> finding_scales, measure_scales;
  std::vector<bool> finding_sound;               // its range and values could be read
  std::vector<std::size_t> measure_sizes;        // numbers in a measure, those of measures in it written out
  std::vector<bool> measure_sound;
  std::vector<Index> definition_sentences[5];    // tree sentences of measures, terms, tallies, leadings, choices, in typed order
  std::vector<std::pair<Known::Kind, Index>> definition_order;  // all of them, none before what it asks

  const std::vector<tree::Sentence>& sentences() const { return ruleset.tree.sentences; }

  // Places are in the file of the sentence opened last.
  void open(Index sentence) { file_ = sentences()[sentence].place.file, open_ = sentence; }
  Place place(Span span) const { return {file_, span}; }

  void tell(Span where, std::string matter, std::string message, std::string remedy = {});
  void tell_at(Place where, std::string matter, std::string message, std::string remedy = {});

  // The unit as written, read once; null, and told once a place, if it is none.
  const Unit* unit(const tree::Unit& written);

  // "line 7", or "line 7 of spring.bty" for a place in another file than the sentence opened last.
  std::string line(const Place& place);

  // The text between two offsets as a person would quote it: comments left out, white space folded.
  std::string written(const Place& place) const;

  // What to write in place of a piece: the piece's surroundings with `instead` in it; without `around` the
  // sentence opened last, or `instead` alone where that is too long to be shown.
  std::string corrected(Span piece, const std::string& instead, std::optional<Span> around = {}) const;
  // The sentence opened last without a piece, and without the comma before it.
  std::string without(Span piece) const;

  // What is asked for so often that its size could be the square of the source's is counted against this.
  bool spend(std::size_t amount, Span where);
  std::size_t spent = 0;
  static constexpr std::size_t most_spent = 8'000'000;

 private:
  std::uint32_t file_ = 0;
  Index open_ = 0;
  bool told_spent_ = false;
  std::unordered_map<std::string, UnitReading> unit_readings_;
  std::vector<std::unique_ptr<LineIndex>> line_indices_;
};

// ---------------------------------------------------------------- names by kind (type_names.cpp)

void collect_headings(Typing& typing);
void collect_names(Typing& typing);

const char* kind_word(Known::Kind kind);  // "a finding", "a practice"

// The name, if it is of one of the wanted kinds; else null and told. `wanted` says what is needed in
// words: "a practice".
const Known* find_name(Typing& typing, const tree::Name& name, std::initializer_list<Known::Kind> kinds, const char* wanted);

// The built-in findings, put into the ruleset where they are first asked for.
std::optional<Index> built_in(Typing& typing, const std::string& key);

// "; did you mean "fever" (line 7)?", or "." where nothing is near. Names of these kinds only.
std::string near_miss(Typing& typing, const tree::Name& name, std::initializer_list<Known::Kind> kinds);
std::string listed(const std::vector<std::string>& words, const char* last = " or ");

// ---------------------------------------------------------------- units, findings (type_units.cpp, type_findings.cpp)

void declare_units(Typing& typing);
void type_findings(Typing& typing);
void type_choice_kinds(Typing& typing);
// A value for a finding, converted; `profile` also asks that it lies in the range and on a step.
std::optional<Value> finding_value(Typing& typing, Index finding, const tree::Quantity& written, bool profile);
std::optional<Index> word_of(Typing& typing, const tree::Quantity& written, const Words& words, const std::string& name,
                             const std::vector<std::string>& values);
// The number on its scale. Bare numbers take `shared` if given, else the scale's own unit.
// `around` is what is shown corrected where the number cannot be had: an atom; else the whole sentence.
std::optional<Rational> number_on(Typing& typing, const tree::Quantity& written, const Scale& scale,
                                  const tree::Unit* shared = nullptr, std::optional<Span> around = {});
std::string with_unit(const Rational& number, const Scale& scale);  // "34 years"

// ---------------------------------------------------------------- definitions in order (type_order.cpp)

// Gives measures, terms, tallies, leadings and choices their indices, so that none asks a later one.
void order_definitions(Typing& typing);

// ---------------------------------------------------------------- conditions (type_conditions.cpp, type_tests.cpp)

enum class Asking { people, verdicts };  // verdicts: in claims, which may ask for them
Cond type_condition(Typing& typing, const tree::Condition& written, Asking asking = Asking::people);
Cond type_atom(Typing& typing, const tree::Condition& written, Asking asking);
Cond finding_holds(Index finding, Place place);
Cond always();
Cond test_cond(Test test, Place place);
Cond list_cond(Cond::Kind kind, std::vector<Cond> parts, Place place);

// ---------------------------------------------------------------- the rest

void type_measure(Typing& typing, Index measure);  // type_measures.cpp
void type_definitions(Typing& typing);   // terms, measures, tallies, leadings, in order; type_definitions.cpp
void type_groups(Typing& typing);
void type_sources(Typing& typing);
void type_notes(Typing& typing);
void type_sentences(Typing& typing);
void check_labels(Typing& typing);
void check_otherwise(Typing& typing);
void type_backgrounds(Typing& typing);   // and `Applies to`
void type_claims(Typing& typing);
void type_profiles(Typing& typing);
void type_populations(Typing& typing);

// Doses, lengths and times as numbers (type_numbers.cpp).
Dose type_dose(Typing& typing, const tree::DoseLine& line);
Timing type_timing(Typing& typing, const tree::TakesLine& line);
Timing type_timing(Typing& typing, const tree::OrderLine& line);  // apart
Timing type_timing(Typing& typing, const tree::TimeLine& line);

// What an order, time, dose sentence says beyond its ending (type_doses.cpp).
void check_dose(Typing& typing, const tree::DoseLine& line);
void check_takes(Typing& typing, const tree::TakesLine& line);
void check_time(Typing& typing, const tree::TimeLine& line);
void check_apart(Typing& typing, const tree::OrderLine& line);

}  // namespace betony
