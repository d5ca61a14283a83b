// runtime/persons_inside.h: what the readers of tables share. Inside runtime/persons*.cpp only; others use persons.h.
//
// A reader cuts its bytes into rows and says what each row tells; PersonMaker makes persons of that and hands them out.
#pragma once

#include <span>

#include "runtime/inputs.h"
#include "runtime/persons.h"

namespace betony::runtime {

// A text without the white space around it.
std::string_view trimmed(std::string_view text);
std::string in_quotes(std::string_view text);

// ---------------------------------------------------------------- numbers

// Plain decimals of a finding in its own unit, as whole numbers of 10^-places. As such a number is whole, every bound and every end,
// whatever fraction it is, comes down to the least whole number that lies on its far side.
class Decimals {
 public:
  // Nothing where range or steps do not come out whole and below 10^18.
  static std::optional<Decimals> of(const Finding& finding, const Variable* variable);

  // Nothing for any text that is not up to 18 digits with a point among them or without, and a minus before them or not; nor for a
  // number that has more places, is out of range, or lies between two steps.
  std::optional<std::int64_t> read(std::string_view text) const;
  // How many ends lie before it.
  Index passed(std::int64_t number) const;

 private:
  unsigned places_ = 0;
  std::int64_t least_ = 0, greatest_ = 0, step_ = 0, first_ = 0;
  std::vector<std::int64_t> ends_;    // the least number that is past each
};

// ---------------------------------------------------------------- columns

struct Column {
  std::string name;                   // as the table calls it
  Index finding = no_index;           // or it is only kept
  std::string unit;                   // told with its name
  Index kept = no_index;              // place among the kept ones
  const Variable* variable = nullptr; // some condition asks for it
  bool in_formula = false;            // some measure asks for it
  std::vector<std::string> words;     // folded
  std::optional<Decimals> decimals;

  bool is_finding() const { return finding != no_index; }
  // The word whose letters the text has; no_index where it has those of none, though it may yet be one.
  Index word(std::string_view text) const;
};

struct ColumnReading {
  std::optional<Column> column;
  std::string wrong;
};

// ---------------------------------------------------------------- persons

// Collects complete persons. Besides single inputs, a person may have a row of bits, each of which is an input: those of 64 persons are
// turned into words of the planes at once.
class BlockMaker {
 public:
  BlockMaker(std::size_t inputs, PersonTaker& taker) : inputs_(inputs), taker_(taker) { begin(); }

  // The input that each bit of a row of bits is, or no_index. Before the first person.
  void plan(std::vector<Index> inputs);
  void add(std::uint64_t row, std::span<const Index> inputs, std::span<const std::uint64_t> bits, std::span<const std::string> kept);
  void hand_out();

 private:
  void begin();
  void turn();

  const std::size_t inputs_;
  PersonTaker& taker_;
  PersonBlock block_;
  std::vector<Index> plan_;
  std::size_t words_ = 0;                 // of a row of bits
  std::vector<std::uint64_t> rows_;       // of 64 persons: first all their first words, then their second
};

class PersonMaker {
 public:
  PersonMaker(const Pack& pack, PersonSettings settings, PersonTaker& taker);

  const Pack& pack() const { return pack_; }
  const PersonSettings& settings() const { return settings_; }

  // What a column or a key of this name is.
  ColumnReading column(std::string_view name) const;
  // A text told in this column, a finding's: its value, or in words why it has none.
  std::string read(const Column& column, std::string_view text, std::optional<Value>& value) const;

  // Texts of the kept columns of the row at hand.
  std::vector<std::string>& kept() { return kept_; }

  // Inputs that are yes where the variable is so; false where it is open.
  void put(const Variable& variable, const Value& value, std::vector<Index>& yes) const;
  bool put_measures(const Answers& answers, std::vector<Index>& yes) const;
  bool asks_for_measures() const { return asks_for_measures_; }
  bool asks_for_tallies() const { return asks_for_tallies_; }    // by measures: then put_measures does not do

  void plan(std::vector<Index> inputs) { blocks_.plan(std::move(inputs)); }
  void complete(std::uint64_t row, std::span<const Index> yes, std::span<const std::uint64_t> bits) { blocks_.add(row, yes, bits, kept_); }
  void person(std::uint64_t row, Answers& answers);    // complete or not
  void bad(BadRow row);
  void fail(BadRow row);                               // ends the reading
  void finish() { blocks_.hand_out(); }

  bool stopped() const { return trouble_.has_value(); }
  const std::optional<BadRow>& trouble() const { return trouble_; }

 private:
  void put_number(const Variable& variable, const Number& number, std::vector<Index>& yes) const;
  bool put_all(const Answers& answers);
  void describe(Column& column) const;

  const Pack& pack_;
  const PersonSettings settings_;
  PersonTaker& taker_;
  const Names names_;
  std::vector<std::string> kept_names_;        // folded
  std::vector<const Variable*> variables_;     // by finding
  std::vector<bool> in_formula_;               // by finding
  bool asks_for_measures_ = false, asks_for_tallies_ = false;
  BlockMaker blocks_;
  OpenPerson open_;
  std::vector<std::string> kept_;
  std::vector<Index> yes_;
  std::optional<BadRow> trouble_;
};

// ---------------------------------------------------------------- readers

class PersonReader {
 public:
  virtual ~PersonReader() = default;
  virtual void feed(std::string_view bytes) = 0;
  virtual void finish() = 0;
};

std::unique_ptr<PersonReader> csv_reader(PersonMaker& maker);
std::unique_ptr<PersonReader> json_reader(PersonMaker& maker);

}  // namespace betony::runtime
