#include "grammar/message.h"

#include <algorithm>

namespace betony {

LineIndex::LineIndex(std::string_view text) : text_(text), starts_{0} {
  for (std::size_t at = text.find('\n'); at != std::string_view::npos; at = text.find('\n', at + 1)) {
    starts_.push_back(static_cast<std::uint32_t>(at + 1));
  }
}

LineColumn LineIndex::at(std::uint32_t offset) const {
  offset = std::min(offset, static_cast<std::uint32_t>(text_.size()));
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
