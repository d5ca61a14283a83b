#include "grammar/table_rows.h"

#include <algorithm>
#include <optional>
#include <unordered_map>

#include "grammar/refusals.h"
#include "grammar/text.h"
#include "grammar/words.h"

namespace betony::tables {
namespace {

using Kind = Column::Kind;

std::string word(Word w) { return std::string(spelled(w)); }

// One row: its cells by what they are.
struct RowCells {
  struct At {
    const Column* column;
    const csv::Cell* cell;
    const Fragment* fragment = nullptr;  // but of an aim, a note, a source
    bool stands = false;                 // advised or allowed, which a ban may hold back
  };
  const csv::Row* row = nullptr;
  std::vector<At> conditions, verdicts, choices, doses, endings;
  bool otherwise = false, stands = false;

  const At* ending(Kind kind) const {
    const auto at = std::find_if(endings.begin(), endings.end(), [&](const At& a) { return a.column->kind == kind; });
    return at == endings.end() ? nullptr : &*at;
  }
};

// "moss bed is allowed with care": where the verdict begins, and "allowed with care".
std::size_t lead_of(const RowCells::At& verdict) { return verdict.column->name.size() + spelled(Word::is).size() + 2; }
std::string verdict_words(const RowCells::At& verdict) {
  return letters::fold(std::string_view(verdict.fragment->text).substr(lead_of(verdict)));
}

// ---------------------------------------------------------------- sentences with their places

class Sentences {
 public:
  Sentences(DecisionTable& table, std::string& text, std::size_t most, std::size_t most_bytes)
      : table_(table), text_(text), most_(most), most_bytes_(most_bytes) {}

  bool full() const { return count_ > most_ || too_large(); }
  bool too_large() const { return text_.size() > most_bytes_; }

  void begin(const csv::Row& row) { row_ = &row, begin_ = here(); }
  void add(std::string_view words) { text_ += words; }
  void add(const Fragment& fragment, const csv::Cell& cell) {
    const std::uint32_t at = here();
    text_ += fragment.text;
    for (DecisionTable::Piece piece : fragment.pieces) {
      piece.sentence.begin += at, piece.sentence.end += at;
      piece.cell.begin += cell.span.begin, piece.cell.end += cell.span.begin;
      table_.add(piece);
    }
  }
  // Words that come from a cell, though not as they stand there.
  void add_from(const csv::Cell& cell, std::string_view words) {
    const std::uint32_t at = here();
    text_ += words;
    table_.add(DecisionTable::Piece{{at, here()}, cell.span, static_cast<std::uint32_t>(words.size())});
  }
  void end(bool is_row) {
    text_ += '.';
    table_.add(DecisionTable::Sentence{{begin_, here()}, row_->span, is_row});
    if (is_row) text_ += "  -- row " + std::to_string(row_->number);
    text_ += '\n';
    ++count_;
  }

 private:
  std::uint32_t here() const { return static_cast<std::uint32_t>(text_.size()); }

  DecisionTable& table_;
  std::string& text_;
  std::size_t most_, most_bytes_, count_ = 0;
  const csv::Row* row_ = nullptr;
  std::uint32_t begin_ = 0;
};

// ---------------------------------------------------------------- rows

class RowWriter {
 public:
  RowWriter(Reading& reading, const std::vector<Column>& columns, std::size_t most, Sentences& out)
      : reading_(reading), columns_(columns), most_(most), out_(out), fragments_(columns.size()) {}

  void write() {
    read_rows();
    declare();
    for (const Column& column : columns_)
      if (column.kind == Kind::practice) write_outcomes(column);
    for (const RowCells& row : rows_)
      if (!row.otherwise && !row.conditions.empty() && !row.verdicts.empty() && !out_.full()) write_verdicts(row);
    for (const Column& column : columns_)
      if (column.kind == Kind::choice || column.kind == Kind::dose) write_outcomes(column);
  }

 private:
  // ---- reading
  void read_rows();
  std::optional<RowCells> read_row(const csv::Row& row);
  bool read_cell(RowCells& out, const Column& column, const csv::Cell& cell, bool first);
  const Fragment* fragment(const Column& column, const csv::Cell& cell);
  std::optional<Fragment> make_fragment(const Column& column, const csv::Cell& cell);
  bool is_sound(const RowCells& row);

  // ---- writing
  const csv::Row& header() const { return reading_.rows.rows[reading_.header]; }
  void declare();
  void heading(const Column& column);
  void write_for_everybody(const RowCells& row, const RowCells::At& verdict);
  void write_verdicts(const RowCells& row);
  void write_outcomes(const Column& column);
  void write_value(const RowCells& row, const RowCells::At& value);
  void add_conditions(const RowCells& row);
  void add_endings(const RowCells& row, bool named, bool stands);
  void add_quoted(const csv::Cell& cell);

  Reading& reading_;
  const std::vector<Column>& columns_;
  std::size_t most_;
  Sentences& out_;
  std::vector<RowCells> rows_;
  std::unordered_map<const Column*, std::vector<std::pair<std::size_t, std::size_t>>> outcomes_;  // row, place in it; of a practice for everybody
  // What cells of a column say, by how they are written: few are different.
  std::vector<std::unordered_map<std::string_view, Fragment>> fragments_;
};

// ---------------------------------------------------------------- reading

// "[DB 3]": "DB 3"
std::string_view without_brackets(std::string_view words) {
  const bool bracketed = words.starts_with('[') && words.ends_with(']');
  return bracketed ? trimmed(words.substr(1, words.size() - 2)) : words;
}

void RowWriter::read_rows() {
  for (std::size_t r = reading_.header + 1; r < reading_.rows.rows.size(); ++r) {
    auto row = read_row(reading_.rows.rows[r]);
    if (!row) continue;
    if (rows_.size() > most_) break;  // each is a sentence at least
    const bool for_everybody = row->otherwise || row->conditions.empty();
    for (std::size_t i = 0; for_everybody && i < row->verdicts.size(); ++i) outcomes_[row->verdicts[i].column].emplace_back(rows_.size(), i);
    for (std::size_t i = 0; i < row->choices.size(); ++i) outcomes_[row->choices[i].column].emplace_back(rows_.size(), i);
    for (std::size_t i = 0; i < row->doses.size(); ++i) outcomes_[row->doses[i].column].emplace_back(rows_.size(), i);
    rows_.push_back(std::move(*row));
  }
}

std::optional<RowCells> RowWriter::read_row(const csv::Row& row) {
  RowCells out;
  out.row = &row;
  bool sound = true;
  std::size_t at = 0;
  for (std::size_t c = row.first; c < row.first + row.count; ++c) {
    const csv::Cell& cell = reading_.rows.cells[c];
    while (at < columns_.size() && columns_[at].head.column < cell.column) ++at;
    if (at < columns_.size() && columns_[at].head.column == cell.column) {
      sound = read_cell(out, columns_[at], cell, c == row.first) && sound;
    } else {
      reading_.tell(cell.span, "a cell without a column", "No column has a name above this cell, so nothing says what it is.", "");
      sound = false;
    }
  }
  if (!sound || !is_sound(out)) return std::nullopt;
  return out;
}

bool RowWriter::read_cell(RowCells& out, const Column& column, const csv::Cell& cell, bool first) {
  const std::string_view written = reading_.given(cell.words());
  const std::string_view words = trimmed(written);
  if (is_blank(words)) return true;
  if (first && column.asks() && words.size() < 16 && letters::fold(words) == spelled(Word::otherwise)) {
    out.otherwise = true;
    return true;
  }
  RowCells::At at{&column, &cell};
  switch (column.kind) {
    case Kind::source:
      if (without_brackets(words).find_first_of("[]") != std::string_view::npos) {
        (void)words_of(reading_, cell, "[");  // tells it
        return false;
      }
      [[fallthrough]];
    case Kind::aim:
    case Kind::note: out.endings.push_back(at); return true;
    default: break;
  }
  at.fragment = fragment(column, cell);
  if (!at.fragment) return false;
  if (column.kind == Kind::practice) {
    const std::string said = verdict_words(at);
    at.stands = said.starts_with(spelled(Word::advised)) || said.starts_with(spelled(Word::allowed));
    out.stands = out.stands || at.stands;
  }
  auto& list = column.asks() ? out.conditions : column.kind == Kind::practice ? out.verdicts : column.kind == Kind::choice ? out.choices
               : column.kind == Kind::dose ? out.doses : out.endings;
  list.push_back(at);
  return true;
}

const Fragment* RowWriter::fragment(const Column& column, const csv::Cell& cell) {
  auto& known = fragments_[static_cast<std::size_t>(&column - columns_.data())];
  const std::string_view written = reading_.given(cell.span);
  if (const auto at = known.find(written); at != known.end()) return &at->second;
  auto made = make_fragment(column, cell);
  return made ? &known.emplace(written, std::move(*made)).first->second : nullptr;
}

std::optional<Fragment> RowWriter::make_fragment(const Column& column, const csv::Cell& cell) {
  switch (column.kind) {
    case Kind::finding: return condition_of(reading_, column, cell);
    case Kind::practice: return words_of(reading_, cell, column.name + " " + word(Word::is) + " ");
    case Kind::unless: return words_of(reading_, cell, ", " + word(Word::unless) + " ");
    case Kind::despite: return words_of(reading_, cell, ", " + word(Word::despite) + " ");
    case Kind::label: return words_of(reading_, cell, ", " + word(Word::called) + " ");
    default: return words_of(reading_, cell, "");
  }
}

bool says_care(const std::string& verdict) { return verdict.ends_with(std::string(spelled(Word::with_care))); }

bool RowWriter::is_sound(const RowCells& row) {
  const auto say = [&](Span where, std::string matter, std::string message, std::string remedy) {
    reading_.tell(where, std::move(matter), std::move(message), std::move(remedy));
    return false;
  };
  if (row.verdicts.empty() && row.choices.empty() && row.doses.empty())
    return say(row.row->span, "a row that says nothing", "This row asks, and nothing follows from it: its cells for verdicts, values and doses are empty.", "");
  if (row.otherwise && !row.conditions.empty())
    return say(row.conditions[0].cell->span, "a condition beside otherwise",
               "A row that begins with " + in_quotes(word(Word::otherwise)) + " speaks of everybody of whom no other row does, and asks for nothing.", "");
  if (row.otherwise || !row.conditions.empty()) return true;
  for (const RowCells::At& verdict : row.verdicts)
    if (says_care(verdict_words(verdict)))
      return say(verdict.cell->span, "care for everybody", "This row asks for nothing, so it speaks of everybody, and " + in_quotes(word(Word::with_care)) + " needs a condition; a row that begins with " +
                     in_quotes(word(Word::otherwise)) + " may say it too.",
                 "");
  return true;
}

// ---------------------------------------------------------------- declarations

void RowWriter::declare() {
  for (const Column& column : columns_) {
    if (column.kind != Kind::finding || column.declared == Column::Declared::elsewhere) continue;
    heading(column);
  }
}

// "Finding age is a whole number of years from 0 to 110.", "Practice moss bed."
void RowWriter::heading(const Column& column) {
  out_.begin(header());
  const Word opening = column.kind == Kind::finding ? Word::finding : column.kind == Kind::choice ? Word::choice : Word::practice;
  out_.add(capitalized(opening) + " ");
  const csv::Cell& head = column.head;
  out_.add(piece_of(reading_, head, "", column.declared == Column::Declared::elsewhere ? column.name : column.words), head);
  if (!column.inferred.empty()) out_.add_from(head, " " + column.inferred);
  out_.end(false);
}

// ---------------------------------------------------------------- verdicts

void RowWriter::write_for_everybody(const RowCells& row, const RowCells::At& verdict) {
  constexpr std::pair<Word, Word> openings[] = {{Word::advised, Word::indicated}, {Word::allowed, Word::allowed_in},
                                                {Word::discouraged, Word::discouraged_in}, {Word::withheld, Word::contraindicated}};
  const std::string said = verdict_words(verdict);
  const auto opening = std::find_if(std::begin(openings), std::end(openings), [&](const auto& o) { return said == spelled(o.first); });
  out_.begin(*row.row);
  if (row.otherwise || opening == std::end(openings)) {
    out_.add(capitalized(Word::otherwise) + " ");
    Fragment words = *verdict.fragment;  // "moss bed is allowed": only the verdict
    const std::size_t lead = lead_of(verdict);
    words.text.erase(0, lead);
    for (DecisionTable::Piece& piece : words.pieces) piece.sentence.end -= static_cast<std::uint32_t>(lead), piece.skip -= static_cast<std::uint32_t>(std::min<std::size_t>(piece.skip, lead));
    out_.add(words, *verdict.cell);
  } else {
    out_.add_from(*verdict.cell, capitalized(opening->second));
  }
  add_endings(row, &verdict == &row.verdicts.front(), verdict.stands);
  out_.end(true);
}

void RowWriter::write_verdicts(const RowCells& row) {
  out_.begin(*row.row);
  out_.add(capitalized(Word::in_condition) + " ");
  add_conditions(row);
  out_.add(": ");
  for (const RowCells::At& verdict : row.verdicts) {
    const bool first = &verdict == &row.verdicts.front();
    if (!first) out_.add("; ");
    out_.add(*verdict.fragment, *verdict.cell);
    add_endings(row, first, verdict.stands);
  }
  out_.end(true);
}

// ---------------------------------------------------------------- choices and doses

// Its heading, and the rows that say something of it; of a practice those for everybody.
void RowWriter::write_outcomes(const Column& column) {
  if (out_.full()) return;
  heading(column);
  const auto found = outcomes_.find(&column);
  if (found == outcomes_.end()) return;
  for (const auto& [number, place] : found->second) {
    if (out_.full()) return;
    const RowCells& row = rows_[number];
    if (column.kind == Kind::practice) {
      write_for_everybody(row, row.verdicts[place]);
    } else {
      write_value(row, (column.kind == Kind::dose ? row.doses : row.choices)[place]);
    }
  }
}

void RowWriter::write_value(const RowCells& row, const RowCells::At& value) {
  const bool choice = value.column->kind == Kind::choice;
  const std::string& said = value.fragment->text;
  const std::size_t refused = choice && !row.otherwise ? parts_of(said).denied : 0;
  const Word opening = !choice ? Word::dose : row.otherwise ? Word::otherwise : refused > 0 ? Word::refuse : Word::take;
  out_.begin(*row.row);
  out_.add(capitalized(opening) + " ");
  if (refused == 0) {
    out_.add(*value.fragment, *value.cell);
  } else {
    out_.add_from(*value.cell, trimmed(std::string_view(said).substr(refused)));
  }
  if (!row.conditions.empty()) {
    out_.add(" " + word(Word::in) + " ");
    add_conditions(row);
  }
  const bool named = row.verdicts.empty() && (row.choices.empty() || &value == &row.choices.front()) &&
                     (choice || row.choices.empty()) && (choice || &value == &row.doses.front());
  add_endings(row, named, false);
  out_.end(true);
}

// ---------------------------------------------------------------- conditions and endings

void RowWriter::add_conditions(const RowCells& row) {
  for (const RowCells::At& condition : row.conditions) {
    if (&condition != &row.conditions.front()) out_.add(" " + word(Word::and_word) + " ");
    const bool bracketed = condition.column->kind == Kind::in && row.conditions.size() > 1;
    if (bracketed) out_.add("(");
    out_.add(*condition.fragment, *condition.cell);
    if (bracketed) out_.add(")");
  }
}

// A label names one sentence, the first of its row; `despite` goes with what a ban would hold back.
void RowWriter::add_endings(const RowCells& row, bool named, bool stands) {
  if (const auto* unless = row.ending(Kind::unless)) out_.add(*unless->fragment, *unless->cell);
  const auto* despite = row.ending(Kind::despite);
  if (despite && (stands || (!row.stands && named))) out_.add(*despite->fragment, *despite->cell);
  for (const RowCells::At& aim : row.endings) {
    if (aim.column->kind != Kind::aim) continue;
    out_.add(", " + word(Word::for_word) + " ");
    add_quoted(*aim.cell);
  }
  if (const auto* label = row.ending(Kind::label); label && named) out_.add(*label->fragment, *label->cell);
  if (const auto* note = row.ending(Kind::note)) {
    out_.add(": ");
    add_quoted(*note->cell);
  }
  if (const auto* source = row.ending(Kind::source)) {
    const std::string content = reading_.content(*source->cell);
    const std::string_view words = without_brackets(trimmed(content));
    out_.add(piece_of(reading_, *source->cell, " [", words), *source->cell);
    out_.add("]");
  }
}

void RowWriter::add_quoted(const csv::Cell& cell) {
  const std::string content = reading_.content(cell);
  std::string quoted = "\"";
  for (const char c : trimmed(content)) {
    quoted += c;
    if (c == '"') quoted += c;
  }
  out_.add_from(cell, quoted + "\"");
}

}  // namespace

void write_rows(Reading& reading, const std::vector<Column>& columns, std::size_t most, std::size_t most_bytes, std::string& text) {
  Sentences out(reading.table, text, most, most_bytes);
  RowWriter(reading, columns, most, out).write();
  if (out.too_large())
    reading.tell(reading.rows.rows[reading.header].span, "a table too large",
                 "Written out as sentences this table has more than " + std::to_string(most_bytes >> 20) + " MiB; a part of it can be a table of its own.",
                 "Use \"….csv\".");
}

}  // namespace betony::tables
