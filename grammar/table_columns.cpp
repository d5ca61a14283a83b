// The header of a table: what each column is, and what is declared of it.
#include "grammar/table_columns.h"

#include <algorithm>
#include <map>
#include <set>
#include <unordered_set>

#include "grammar/collect.h"
#include "grammar/refusals.h"
#include "grammar/sentences.h"
#include "grammar/text.h"
#include "grammar/words.h"

namespace betony::tables {
namespace {

using Kind = Column::Kind;

// ---------------------------------------------------------------- the table as a whole

bool tell_faults(Reading& reading) {
  for (const csv::Fault& fault : reading.rows.faults) {
    if (fault.kind == csv::Fault::Kind::not_closed)
      reading.tell({fault.where.begin, fault.where.begin + 1}, "a quote is not closed",
                   "A cell opens here with a quote, and none closes it up to the end of the table.", "");
    else
      reading.tell(fault.where, "a quote within a cell",
                   "Words stand behind the quote that closes this cell; a quote inside a quoted cell is doubled.", "\"… \"\"…\"\" …\"");
  }
  return !reading.rows.faults.empty();
}

// Whether the header has other marks than commas between its cells.
std::optional<char> other_mark(const Reading& reading) {
  const csv::Row& header = reading.rows.rows[reading.header];
  const std::string_view words = reading.given(header.span);
  bool quoted = false;
  std::map<char, int> marks;
  for (const char c : words) {
    if (c == '"') quoted = !quoted;
    if (!quoted && (c == ';' || c == '\t' || c == ',')) ++marks[c];
  }
  if (marks[','] > 0) return std::nullopt;
  return marks['\t'] > 0 ? std::optional('\t') : marks[';'] > 0 ? std::optional(';') : std::nullopt;
}

bool tell_no_table(Reading& reading) {
  if (reading.header >= reading.rows.rows.size()) {
    if (tell_faults(reading)) return true;
    const bool sentences = !reading.rows.rows.empty();
    reading.tell({0, 0}, "a table without a header",
                 sentences ? "Above a table may stand sentences, and here nothing stands below them; a row with the names of the columns belongs there."
                           : "This table is empty; a row with the names of its columns belongs here, and rows below it.",
                 "age is a whole number of years from 0 to 110,Practice …");
    return true;
  }
  if (const auto mark = other_mark(reading)) {
    const std::string name = *mark == ';' ? "semicolons" : "tabs";
    reading.tell(reading.rows.rows[reading.header].span, "no commas between the cells",
                 "The cells of this table are parted by " + name + "; the cells of a table are parted by commas.",
                 "Save the table as CSV with commas; spreadsheets ask for it under Save as.");
    return true;
  }
  return tell_faults(reading);
}

// ---------------------------------------------------------------- one column

struct Opening {
  Word word;
  Kind kind;
  bool alone;  // the whole header
};
constexpr Opening openings[] = {{Word::practice, Kind::practice, false}, {Word::choice, Kind::choice, false}, {Word::dose, Kind::dose, false},
                                {Word::finding, Kind::finding, false},   {Word::in, Kind::in, true},          {Word::unless, Kind::unless, true},
                                {Word::despite, Kind::despite, true},    {Word::for_word, Kind::aim, true},   {Word::called, Kind::label, true},
                                {Word::note, Kind::note, true},          {Word::source, Kind::source, true}};

Column begin_column(const Reading& reading, const csv::Cell& head) {
  Column column;
  column.head = head;
  const std::string content = reading.content(head);
  std::string_view words = trimmed(content);
  const std::string folded = letters::fold(opening(words));
  for (const Opening& way : openings) {
    const std::size_t bytes = word_at(folded, 0, way.word);
    const auto rest = bytes > 0 ? trimmed(words.substr(bytes)) : std::string_view();
    if (bytes == 0 || way.alone != rest.empty()) continue;
    column.kind = way.kind;
    words = rest;
    const std::size_t of = way.kind == Kind::dose ? word_at(letters::fold(opening(words)), 0, Word::of) : 0;
    if (of > 0) words = trimmed(words.substr(of));
    break;
  }
  if (words.ends_with('.')) words.remove_suffix(1);
  column.words = words;
  column.name = words.substr(0, words.find('('));
  column.name = trimmed(column.name);
  return column;
}

// Whether the header declares what it names: "age is …".
bool holds_is(std::string_view words) {
  const std::string folded = letters::fold(words);
  for (std::size_t at = folded.find(' '); at != std::string::npos; at = folded.find(' ', at + 1))
    if (word_at(folded, at + 1, Word::is)) return true;
  return false;
}

unsigned kinds_of(Kind kind) {
  return kind == Kind::choice ? unsigned{choice_name} : kind == Kind::finding ? unsigned{condition_names} : unsigned{practice_name};
}

// ---------------------------------------------------------------- what headers declare

// Names and types of the headers that declare them, as the language reads them.
void read_declarations(std::vector<Column>& columns) {
  std::string text;
  std::vector<std::pair<std::uint32_t, Column*>> begins;
  for (Column& column : columns) {
    if (column.declared != Column::Declared::here) continue;
    begins.emplace_back(static_cast<std::uint32_t>(text.size()), &column);
    text += capitalized(column.kind == Kind::choice ? Word::choice : Word::finding) + " " + column.words + ".\n\n";
  }
  if (begins.empty()) return;
  Book book;
  const std::uint32_t file = book.add({"", text});
  Told unheard(0, book);
  Names names;
  collect_names(split_sentences(text, file, begins.size() * 4).sentences, book, {}, names, unheard);
  for (const Entry& entry : names.all()) {
    if (entry.built_in || (entry.kind != finding_name && entry.kind != choice_name)) continue;
    const auto after = std::upper_bound(begins.begin(), begins.end(), entry.place.span.begin, [](std::uint32_t at, const auto& b) { return at < b.first; });
    if (after == begins.begin()) continue;
    Column& column = *(after - 1)->second;
    column.name = entry.text;
    column.shape = entry.shape;
  }
}

// ---------------------------------------------------------------- what cells say of their column

// The cells of each column, blank ones left out.
std::vector<std::vector<const csv::Cell*>> cells_of(const Reading& reading, const std::vector<Column>& columns) {
  std::vector<std::vector<const csv::Cell*>> out(columns.size());
  for (std::size_t r = reading.header + 1; r < reading.rows.rows.size(); ++r) {
    const csv::Row& row = reading.rows.rows[r];
    std::size_t at = 0;
    for (std::size_t c = row.first; c < row.first + row.count; ++c) {
      const csv::Cell& cell = reading.rows.cells[c];
      while (at < columns.size() && columns[at].head.column < cell.column) ++at;
      if (at < columns.size() && columns[at].head.column == cell.column) out[at].push_back(&cell);
    }
  }
  return out;
}

bool is_number(std::string_view part) { return !part.empty() && (part[0] == '-' || part[0] == '+' || (part[0] >= '0' && part[0] <= '9')); }

// The different values of a column, in the order in which they come; nothing where a cell compares or counts.
struct Values {
  std::vector<std::string> words;
  bool yes_or_no = true;
  const csv::Cell* number = nullptr;  // a cell that compares or counts
};

Values values_in(const Reading& reading, const Column& column, const std::vector<const csv::Cell*>& cells) {
  Values out;
  std::unordered_set<std::string> seen, seen_cells;
  for (const csv::Cell* cell : cells) {
    const std::string content = reading.content(*cell);
    const std::string_view words = trimmed(content);
    if (is_blank(words) || !stands_in_a_sentence(words) || !seen_cells.insert(std::string(words)).second) continue;
    if (letters::fold(words) == spelled(Word::otherwise)) continue;
    const Parts parts = column.kind == Kind::finding ? parts_of(words) : Parts{0, {words}};
    for (const auto part : parts.parts) {
      if (part.empty()) continue;
      const PartKind kind = kind_of_part(part);
      if (kind == PartKind::comparison || is_number(part)) {
        if (!out.number) out.number = cell;
      }
      out.yes_or_no = out.yes_or_no && (kind == PartKind::yes || kind == PartKind::no);
      if (seen.insert(letters::fold(part)).second) out.words.emplace_back(part);
    }
  }
  return out;
}

void infer(Reading& reading, Column& column, const std::vector<const csv::Cell*>& cells) {
  const Values values = values_in(reading, column, cells);
  const std::string name = in_quotes(column.name);
  if (values.words.empty()) {
    reading.tell(column.head.span, "a column without a cell", "Nothing stands below " + name + ", so nothing says what its values are.",
                 column.words + " is yes or no");
  } else if (values.number && column.kind == Kind::finding) {
    reading.tell(column.head.span, "numbers without a range",
                 "In the column " + name + " stand numbers (" + in_quotes(trimmed(reading.content(*values.number))) +
                     "), and nothing says from where to where they run.",
                 column.words + " is a whole number from … to …");
  } else if (values.yes_or_no && column.kind == Kind::finding) {
    column.shape = Shape::yes_no;
    column.inferred = std::string(spelled(Word::is)) + " " + std::string(spelled(Word::yes_or_no));
  } else {
    column.shape = Shape::one_of;
    column.inferred = std::string(spelled(Word::is)) + " " + std::string(spelled(Word::one_of));
    for (std::size_t i = 0; i < values.words.size(); ++i) column.inferred += (i > 0 ? ", " : " ") + values.words[i];
  }
}

// ---------------------------------------------------------------- all columns

void find_declared(Reading& reading, Column& column) {
  if (column.kind != Kind::finding && !column.follows()) return;
  const bool practice = column.kind == Kind::practice || column.kind == Kind::dose;
  const auto* known = reading.names.find(kinds_of(column.kind), letters::fold(practice ? column.name : column.words));
  if (known && column.kind == Kind::choice) {  // its rows would stand under whatever choice came last
    std::string values;
    for (const std::string& value : known->values) values += (values.empty() ? " is one of " : ", ") + value;
    reading.tell(column.head.span, "a choice declared twice",
                 in_quotes(column.words) + " is declared by a sentence already; a table declares its choices by their columns, and their rows stand under these.",
                 capitalized(Word::choice) + " " + column.words + values);
  } else if (known) {
    column.shape = known->shape;
  } else {
    column.declared = practice || holds_is(column.words) ? Column::Declared::here : Column::Declared::by_cells;
  }
}

void tell_twice(Reading& reading, const std::vector<Column>& columns) {
  std::map<std::pair<Kind, std::string>, const Column*> seen;
  for (const Column& column : columns) {
    const auto [first, fresh] = seen.emplace(std::pair(column.kind, letters::fold(column.name)), &column);
    if (fresh) continue;
    const std::string what = column.name.empty() ? reading.content(column.head) : column.name;
    reading.tell(column.head.span, "a column that stands twice",
                 in_quotes(trimmed(what)) + " has a column already; one cell can hold what two would: \">=3 & <7\", \"dry|wet\".", "");
  }
}

void tell_missing_parts(Reading& reading, const std::vector<Column>& columns) {
  if (std::none_of(columns.begin(), columns.end(), [](const Column& c) { return c.follows(); }))
    reading.tell(reading.rows.rows[reading.header].span, "no column says what follows",
                 "The columns of this table ask, and none says what follows: a practice with its verdicts, a choice with its values, a dose.",
                 "Practice …");
  if (reading.header + 1 >= reading.rows.rows.size())
    reading.tell(reading.rows.rows[reading.header].span, "a table without rows", "Below the names of its columns this table has no row.", "");
}

void tell_names_that_break_out(Reading& reading, const std::vector<Column>& columns) {
  for (const Column& column : columns)
    if (column.declared != Column::Declared::here || column.kind == Kind::practice || column.kind == Kind::dose) {
      const csv::Cell& head = column.head;
      if (!stands_in_a_sentence(column.words)) (void)words_of(reading, head, "");
    }
}

}  // namespace

std::vector<Column> read_columns(Reading& reading) {
  std::vector<Column> columns;
  if (tell_no_table(reading)) return columns;
  const csv::Row& header = reading.rows.rows[reading.header];
  for (std::size_t c = header.first; c < header.first + header.count; ++c) {
    columns.push_back(begin_column(reading, reading.rows.cells[c]));
    find_declared(reading, columns.back());
  }
  tell_names_that_break_out(reading, columns);
  if (reading.spoke) return columns;
  read_declarations(columns);
  tell_twice(reading, columns);
  tell_missing_parts(reading, columns);
  if (reading.spoke) return columns;
  const auto cells = cells_of(reading, columns);
  for (std::size_t i = 0; i < columns.size(); ++i)
    if (columns[i].declared == Column::Declared::by_cells) infer(reading, columns[i], cells[i]);
  return columns;
}

}  // namespace betony::tables
