// CSV: rows are found, cut and told to the maker of persons, in one of three ways.
//
//   1. The sieve takes a row and says of all cells at once which are yes; only others are looked at one by one.
//   2. A row that the sieve does not like, of quotes within quotes say, is cut into cells, which are looked at one by one.
//   3. Where either meets an open finding that matters or a cell it does not understand, the row is read again in the slow way: to
//      answers. It alone tells what is wrong.
//
// The first two need a column for every finding that conditions ask for, and measures that ask for no tallies; and that there be blocks.
#include <algorithm>
#include <bit>

#include "runtime/cutter.h"
#include "runtime/persons_inside.h"

namespace betony::runtime {
namespace {

constexpr const char* long_row = "the row is too long";
constexpr const char* long_cell = "the cell is too long";
constexpr const char* open_quote = "a quote is opened and not closed before the table ends";

std::string counted(std::size_t number, const char* thing) { return std::to_string(number) + " " + thing + (number == 1 ? "" : "s"); }

bool is_blank(std::string_view row) { return row.empty() || row == "\r"; }

// What stands between the cells of a header.
char separator_of(std::string_view header) {
  bool quoted = false, semicolon = false, tab = false;
  for (const char c : header) {
    if (c == '"') quoted = !quoted;
    if (quoted) continue;
    if (c == ',') return ',';
    semicolon = semicolon || c == ';';
    tab = tab || c == '\t';
  }
  return semicolon ? ';' : tab ? '\t' : ',';
}

class CsvReader : public PersonReader {
 public:
  explicit CsvReader(PersonMaker& maker) : maker_(maker), finder_(",;\t", PersonTable::most_row_bytes) {}

  void feed(std::string_view bytes) override {
    while (!bytes.empty() && !maker_.stopped()) {
      if (sieve_ && !finder_.begun() && sieve_->take(bytes.data(), bytes.size())) {
        ++row_;
        take_sieved();
        bytes.remove_prefix(sieve_->used());
        continue;
      }
      const auto found = finder_.find(bytes);
      if (finder_.too_long()) pending_.clear();
      else pending_.append(bytes.substr(0, found.used));
      bytes.remove_prefix(found.used);
      if (found.ended) end_row();
    }
  }

  void finish() override {
    if (finder_.begun() && finder_.in_quotes()) return ++row_, bad({}, open_quote);
    if (finder_.begun()) pending_ += '\n', end_row();
    else if (!sieve_ && !maker_.stopped()) ++row_, bad({}, "the table is empty; its first row should name the columns");
  }

 private:
  // Before there is a header, nothing can be passed over.
  void bad(std::string column, std::string wrong) {
    BadRow row{row_, std::move(column), std::move(wrong)};
    if (sieve_) maker_.bad(std::move(row));
    else maker_.fail(std::move(row));
  }

  // The row at hand lies in `pending_`, with its line break.
  void end_row() {
    ++row_;
    const std::size_t size = pending_.size() - !pending_.empty();
    if (finder_.too_long()) bad({}, long_row);
    else if (!sieve_) take_header(std::string_view(pending_).substr(0, size));
    else if (pending_.append(Sieve::margin, '\0'); sieve_->take(pending_.data(), pending_.size())) take_sieved();
    else take_cut(std::string_view(pending_).substr(0, size), quick_);
    pending_.clear();
  }

  // ---------------------------------------------------------------- the header

  void take_header(std::string_view row) {
    separator_ = separator_of(row);
    cut_row(row, separator_, PersonTable::most_columns, cut_);
    if (is_blank(row)) return bad({}, "the first row is empty; it should name the columns");
    if (!cut_.fault.empty()) return bad(std::string(cut_.cells[cut_.fault_cell]), cut_.fault);
    if (cut_.cells.size() > PersonTable::most_columns) return bad({}, "there are more than " + counted(PersonTable::most_columns, "column"));
    for (const std::string_view name : cut_.cells)
      if (std::string wrong = add_column(name); !wrong.empty())
        return bad(std::string(name.substr(0, PersonTable::most_cell_bytes)), std::move(wrong));
    if (const std::string* missing = missing_kept(); missing) return bad({}, "no column is called " + in_quotes(*missing));
    begin_rows();
  }

  std::string add_column(std::string_view name) {
    if (name.size() > PersonTable::most_cell_bytes) return long_cell;
    if (trimmed(name).empty()) return "column " + std::to_string(columns_.size() + 1) + " has no name";
    auto [column, wrong] = maker_.column(name);
    if (!column) return std::move(wrong);
    for (const Column& other : columns_) {
      if (column->is_finding() && other.finding == column->finding)
        return in_quotes(maker_.pack().findings[column->finding].name) + " has two columns";
      if (column->kept != no_index && other.kept == column->kept) return in_quotes(column->name) + " has two columns";
    }
    columns_.push_back(std::move(*column));
    return {};
  }

  // A name that was to be kept, where it has to have a column and has none.
  const std::string* missing_kept() const {
    const std::vector<std::string>& kept = maker_.settings().kept;
    const auto has_column = [&](std::size_t k) {
      return std::any_of(columns_.begin(), columns_.end(), [&](const Column& column) { return column.kept == k; });
    };
    for (std::size_t k = 0; maker_.settings().kept_are_columns && k < kept.size(); ++k)
      if (!has_column(k)) return &kept[k];
    return nullptr;
  }

  void begin_rows() {
    const std::size_t words = (columns_.size() + 63) / 64;
    sieved_.assign(words, 0), others_.assign(words, 0), bits_.assign(words, 0);
    std::vector<Index> inputs(columns_.size(), no_index);
    std::vector<bool> has_column(maker_.pack().findings.size());
    for (std::size_t c = 0; c < columns_.size(); ++c) {
      const Column& column = columns_[c];
      // One of "no" and "yes" that is no finding of yes or no has an input for each.
      const bool one_input = column.is_finding() && maker_.pack().findings[column.finding].kind == Finding::Kind::yes_no;
      const bool sieved = one_input && column.kept == no_index && column.words == std::vector<std::string>{"no", "yes"};
      (sieved ? sieved_ : others_)[c / 64] |= std::uint64_t{1} << (c % 64);
      if (sieved && column.variable) inputs[c] = column.variable->first_input;
      if (column.is_finding()) has_column[column.finding] = true;
    }
    const auto& variables = maker_.pack().variables;
    quick_ = maker_.settings().blocks && !maker_.asks_for_tallies() &&
             std::all_of(variables.begin(), variables.end(), [&](const Variable& v) { return v.is_measure || has_column[v.index]; });
    maker_.plan(std::move(inputs));
    measured_.resize(has_column.size());
    finder_ = RowFinder({&separator_, 1}, PersonTable::most_row_bytes);
    sieve_.emplace(separator_, columns_.size());
  }

  // ---------------------------------------------------------------- quick ways

  void take_sieved() {
    if (is_blank(sieve_->row())) return;
    const bool fits = quick_ && sieve_->cells() == columns_.size();
    if (!fits || !put_sieved()) take_cut(sieve_->row(), false);
  }

  // False, here and below, where the row has to be read in the slow way.
  bool put_sieved() {
    yes_.clear();
    for (std::size_t w = 0; w < bits_.size(); ++w) {
      bits_[w] = sieve_->yes()[w] & sieved_[w];
      for (std::uint64_t left = others_[w] | (sieved_[w] & ~sieve_->told()[w]); left != 0; left &= left - 1) {
        const std::size_t c = w * 64 + static_cast<std::size_t>(std::countr_zero(left));
        if (!put_cell(c, sieve_->cell(c))) return false;
      }
    }
    return complete();
  }

  bool put_cut() {
    yes_.clear();
    std::fill(bits_.begin(), bits_.end(), 0);
    for (std::size_t c = 0; c < columns_.size(); ++c)
      if (!put_cell(c, cut_.cells[c])) return false;
    return complete();
  }

  bool complete() {
    if (maker_.asks_for_measures() && !maker_.put_measures(measured_, yes_)) return false;
    maker_.complete(row_, yes_, bits_);
    return true;
  }

  bool put_cell(std::size_t c, std::string_view cell) {
    const Column& column = columns_[c];
    if (cell.size() > PersonTable::most_cell_bytes) return false;
    if (column.kept != no_index) maker_.kept()[column.kept] = cell;
    if (!column.is_finding()) return true;
    if (column.in_formula) measured_[column.finding].reset();
    cell = trimmed(cell);
    if (cell.empty()) return column.variable == nullptr;
    if (!column.words.empty()) return put_word(c, cell);
    return (column.decimals && put_decimal(column, cell)) || put_value(column, cell);
  }

  bool put_word(std::size_t c, std::string_view cell) {
    const Column& column = columns_[c];
    const Index word = column.word(cell);
    if (word == no_index) return false;
    if (sieved_[c / 64] >> (c % 64) & 1u) bits_[c / 64] |= std::uint64_t{word} << (c % 64);
    else if (column.variable) maker_.put(*column.variable, {Value::Kind::word, word, {}}, yes_);
    return true;
  }

  bool put_decimal(const Column& column, std::string_view cell) {
    const auto number = column.decimals->read(cell);
    if (!number) return false;
    if (column.in_formula) measured_[column.finding] = Value{Value::Kind::number, 0, *Number::read(cell)};
    if (!column.variable) return true;
    const Index passed = column.decimals->passed(*number);
    for (Index e = 0; e < passed; ++e) yes_.push_back(column.variable->first_input + e);
    return true;
  }

  bool put_value(const Column& column, std::string_view cell) {
    std::optional<Value> value;
    if (!maker_.read(column, cell, value).empty()) return false;
    if (column.variable) maker_.put(*column.variable, *value, yes_);
    if (column.in_formula) measured_[column.finding] = std::move(value);
    return true;
  }

  // ---------------------------------------------------------------- the slow way

  void take_cut(std::string_view row, bool quickly) {
    if (is_blank(row)) return;
    cut_row(row, separator_, columns_.size(), cut_);
    if (!cut_.fault.empty()) return bad(cut_.fault_cell < columns_.size() ? columns_[cut_.fault_cell].name : "", cut_.fault);
    const std::size_t cells = cut_.cells.size();
    if (cells > columns_.size()) return bad({}, "the row has more cells than the header, which has " + counted(columns_.size(), "column"));
    if (cells < columns_.size()) return bad({}, "the row has " + counted(cells, "cell") + ", and the header " + counted(columns_.size(), "column"));
    if (!quickly || !put_cut()) take_slowly();
  }

  void take_slowly() {
    answers_.assign(maker_.pack().findings.size(), std::nullopt);
    for (std::size_t c = 0; c < columns_.size(); ++c) {
      const Column& column = columns_[c];
      const std::string_view cell = cut_.cells[c], text = trimmed(cell);
      if (cell.size() > PersonTable::most_cell_bytes) return bad(column.name, long_cell);
      if (column.kept != no_index) maker_.kept()[column.kept] = cell;
      if (!column.is_finding() || text.empty()) continue;
      if (std::string wrong = maker_.read(column, text, answers_[column.finding]); !wrong.empty()) return bad(column.name, std::move(wrong));
    }
    maker_.person(row_, answers_);
  }

  PersonMaker& maker_;
  RowFinder finder_;
  std::optional<Sieve> sieve_;            // once there is a header
  std::string pending_;                   // what there is of the row at hand
  std::uint64_t row_ = 0;
  char separator_ = ',';
  std::vector<Column> columns_;
  bool quick_ = false;
  std::vector<std::uint64_t> sieved_;     // columns of yes and no
  std::vector<std::uint64_t> others_;     // the rest of them
  std::vector<std::uint64_t> bits_;       // by column, those that are sieved: yes
  std::vector<Index> yes_;                // inputs
  Answers measured_;                      // of findings that are in a formula
  Answers answers_;
  Cut cut_;
};

}  // namespace

std::unique_ptr<PersonReader> csv_reader(PersonMaker& maker) { return std::make_unique<CsvReader>(maker); }

}  // namespace betony::runtime
