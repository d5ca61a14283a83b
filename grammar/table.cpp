#include "grammar/table.h"

#include <algorithm>

#include "grammar/sentences.h"
#include "grammar/table_columns.h"
#include "grammar/table_rows.h"
#include "grammar/text.h"
#include "grammar/words.h"

namespace betony {

bool is_table_name(std::string_view name) {
  constexpr std::string_view ending = ".csv";
  return name.size() > ending.size() && letters::fold(name.substr(name.size() - ending.size())) == ending;
}

// ---------------------------------------------------------------- where in the table

const DecisionTable::Sentence* DecisionTable::sentence_at(std::uint32_t offset) const {
  const auto after = std::upper_bound(sentences_.begin(), sentences_.end(), offset,
                                      [](std::uint32_t at, const Sentence& s) { return at < s.sentence.begin; });
  return after == sentences_.begin() ? nullptr : &*(after - 1);
}

namespace {

// The part of a stretch's cell that these words of it come from.
Span in_cell(const DecisionTable::Piece& piece, Span words) {
  const std::uint32_t plain = piece.sentence.begin + piece.skip;
  if (words.begin < plain || plain >= piece.sentence.end) return piece.cell;
  const std::uint32_t shift = piece.cell.end - piece.sentence.end;  // both end with the words of the cell
  return {words.begin + shift, std::min(words.end, piece.sentence.end) + shift};
}

}  // namespace

Span DecisionTable::given(Span words) const {
  const Sentence* sentence = sentence_at(words.begin);
  if (!sentence) return {0, 0};
  const bool whole = sentence->is_row && words.begin <= sentence->sentence.begin && words.end >= sentence->sentence.end;
  auto piece = std::lower_bound(pieces_.begin(), pieces_.end(), words.begin,
                                [](const Piece& p, std::uint32_t at) { return p.sentence.end <= at; });
  std::optional<Span> out;
  for (; !whole && piece != pieces_.end() && piece->sentence.begin < std::max(words.end, words.begin + 1); ++piece) {
    const Span part = in_cell(*piece, {std::max(words.begin, piece->sentence.begin), std::max(words.end, piece->sentence.begin)});
    out = out ? Span{std::min(out->begin, part.begin), std::max(out->end, part.end)} : part;
  }
  return out.value_or(sentence->row);
}

// The words of the corrected sentence that stand in the place of `piece`, from `skip` bytes of it on.
static std::optional<std::string> instead_of(const std::string& corrected, std::string_view sentence, Span piece) {
  const std::string_view before = sentence.substr(0, piece.begin), after = sentence.substr(piece.end);
  if (corrected.size() < before.size() + after.size()) return std::nullopt;
  if (!corrected.starts_with(before) || !corrected.ends_with(after)) return std::nullopt;
  return corrected.substr(before.size(), corrected.size() - before.size() - after.size());
}

std::string DecisionTable::remedy_as_given(const Message& message, std::string_view sentences) const {
  const Sentence* sentence = sentence_at(message.where.span.begin);
  const auto piece = std::lower_bound(pieces_.begin(), pieces_.end(), message.where.span.begin,
                                      [](const Piece& p, std::uint32_t at) { return p.sentence.end <= at; });
  if (!sentence || piece == pieces_.end() || piece->sentence.begin > message.where.span.begin) return message.remedy;
  const std::string_view written = sentences.substr(sentence->sentence.begin, sentence->sentence.end - sentence->sentence.begin);
  const std::uint32_t from = sentence->sentence.begin;
  const Span words{piece->sentence.begin + piece->skip - from, piece->sentence.end - from};
  if (const auto cell = instead_of(message.remedy, written, words)) return *cell;
  // A cell may also say it in the words that follow the column's name.
  const Span stretch{piece->sentence.begin - from, words.end};
  const std::string stretched = instead_of(message.remedy, written, stretch).value_or(message.remedy);
  const std::string_view lead = written.substr(stretch.begin, piece->skip), name = lead.substr(0, piece->name);
  if (!lead.empty() && stretched.starts_with(lead)) return stretched.substr(lead.size());
  if (!name.empty() && stretched.starts_with(std::string(name) + " ")) return stretched.substr(name.size() + 1);
  return message.remedy;
}

Message DecisionTable::as_given(Message message, std::string_view sentences) const {
  message.remedy = remedy_as_given(message, sentences);
  message.where.span = given(message.where.span);
  return message;
}

// ---------------------------------------------------------------- what stands above the header

TableReader::TableReader(std::string bytes) : table_(std::make_shared<DecisionTable>(std::move(bytes))), rows_(csv::split(table_->given())) {
  while (header_ < rows_.rows.size() && take_sentences(rows_.rows[header_])) ++header_;
  const std::uint32_t begin = header_ < rows_.rows.size() ? rows_.rows[header_].span.begin : 0;
  std::erase_if(rows_.faults, [&](const csv::Fault& fault) { return fault.where.begin < begin; });
}

namespace {

bool is_sentence(std::string_view words) {
  if (words.starts_with("--") || words.ends_with('.')) return true;
  const SplitText parts = split_sentences(words, 0, words.size());
  return !parts.sentences.empty() && parts.sentences.back().stopped && parts.messages.empty();
}

}  // namespace

// A row that holds sentences alone: in its first cell, or written as they are in a source.
bool TableReader::take_sentences(const csv::Row& row) {
  const csv::Cell& first = rows_.cells[row.first];
  const std::string_view given = table_->given();
  const std::string_view written = given.substr(row.span.begin, row.span.end - row.span.begin);
  const bool alone = row.count == 1 && first.column == 0;
  if (!alone && (first.quoted || !(begins_like_a_sentence(written) || written.starts_with("--")))) return false;
  const Span words = alone ? first.words() : Span{first.span.begin, row.span.end};
  const std::string_view sentences = given.substr(words.begin, words.end - words.begin);
  if (!is_sentence(alone ? csv::content(given, first) : std::string(sentences))) return false;
  keep_sentences(sentences, words.begin, row);
  return true;
}

// With each run between doubled quotes a piece of its own, so that every word keeps its place.
void TableReader::keep_sentences(std::string_view written, std::uint32_t at, const csv::Row& row) {
  const bool quoted = at > 0 && table_->given()[at - 1] == '"';
  const auto begin = static_cast<std::uint32_t>(text_.size());
  for (std::size_t from = 0; from < written.size();) {
    const std::size_t doubled = quoted ? written.find("\"\"", from) : std::string_view::npos;
    const std::size_t to = doubled == std::string_view::npos ? written.size() : doubled + 1;
    const Span place{static_cast<std::uint32_t>(text_.size()), static_cast<std::uint32_t>(text_.size() + to - from)};
    table_->add(DecisionTable::Piece{place, {at + static_cast<std::uint32_t>(from), at + static_cast<std::uint32_t>(to)}});
    text_ += written.substr(from, to - from);
    from = to + (doubled == std::string_view::npos ? 0 : 1);
  }
  table_->add(DecisionTable::Sentence{{begin, static_cast<std::uint32_t>(text_.size())}, row.span, false});
  text_ += '\n';
}

// ---------------------------------------------------------------- columns and rows

void TableReader::write(const Names& names, std::uint32_t file, std::size_t most, std::size_t most_bytes, Told& told) {
  tables::Reading reading{*table_, rows_, header_, names, file, told};
  const std::vector<tables::Column> columns = tables::read_columns(reading);
  if (!reading.spoke) tables::write_rows(reading, columns, most, most_bytes, text_);
}

}  // namespace betony
