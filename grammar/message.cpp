#include "grammar/message.h"

#include <algorithm>

#include "grammar/csv.h"
#include "grammar/table.h"

namespace betony {

std::string in_quotes(std::string_view text) { return '"' + std::string(text) + '"'; }

LineIndex::LineIndex(std::string_view text) : text_(text), starts_{0} {
  for (std::size_t at = text.find('\n'); at != std::string_view::npos; at = text.find('\n', at + 1)) {
    starts_.push_back(static_cast<std::uint32_t>(at + 1));
  }
}

LineIndex::LineIndex(const SourceFile& file)
    : LineIndex(file.table ? std::string_view(file.table->given()) : std::string_view(file.text)) {
  is_table_ = file.is_table;
  table_ = file.table.get();
  if (is_table_) rows_ = csv::row_begins(text_);
}

Span LineIndex::given(Span words) const { return table_ ? table_->given(words) : words; }

std::uint32_t LineIndex::row_at(std::uint32_t given) const {
  return static_cast<std::uint32_t>(std::upper_bound(rows_.begin(), rows_.end(), given) - rows_.begin()) - 1;
}

unsigned LineIndex::number(std::uint32_t offset) const {
  return is_table_ ? row_at(given({offset, offset}).begin) + 1 : at(offset).line;
}

std::string LineIndex::words(std::uint32_t offset) const {
  return std::string(noun()) + " " + std::to_string(number(offset));
}

std::optional<unsigned> LineIndex::row_of_line(unsigned number) const {
  const std::uint32_t begin = line_begin(number), row = row_at(begin);
  return rows_[row] == begin ? std::optional(row + 1) : std::nullopt;
}

std::string LineIndex::column_letters(std::uint32_t offset) const {
  const std::uint32_t at = given({offset, offset}).begin;
  std::string out;
  for (std::uint32_t column = csv::column_at(text_, rows_[row_at(at)], at) + 1; column > 0; column = (column - 1) / 26)
    out.insert(out.begin(), static_cast<char>('A' + (column - 1) % 26));
  return out;
}

Message as_given(const SourceFile& file, Message message) {
  return file.table ? file.table->as_given(std::move(message), file.text) : message;
}

LineColumn LineIndex::at(std::uint32_t offset) const {
  offset = std::min(given({offset, offset}).begin, static_cast<std::uint32_t>(text_.size()));
  const auto next = std::upper_bound(starts_.begin(), starts_.end(), offset);
  const auto begin = *(next - 1);
  const auto is_first_byte = [](char byte) { return (static_cast<unsigned char>(byte) & 0xC0) != 0x80; };
  const auto before = text_.substr(begin, offset - begin);
  return {static_cast<unsigned>(next - starts_.begin()),
          static_cast<unsigned>(std::count_if(before.begin(), before.end(), is_first_byte)) + 1};
}

std::string_view LineIndex::line(unsigned number) const {
  if (number == 0 || number > starts_.size()) return {};
  const std::size_t begin = starts_[number - 1];
  std::size_t end = number < starts_.size() ? starts_[number] - 1 : text_.size();
  if (end > begin && text_[end - 1] == '\r') --end;
  return text_.substr(begin, end - begin);
}

std::uint32_t LineIndex::line_begin(unsigned number) const {
  if (number == 0 || number > starts_.size()) return static_cast<std::uint32_t>(text_.size());
  return starts_[number - 1];
}

}  // namespace betony
