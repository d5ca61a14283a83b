#include "viz/terminal/profiles.h"

#include <algorithm>

#include "runtime/answers.h"

namespace betony::terminal {
namespace {

constexpr std::size_t piece_bytes = std::size_t{1} << 16;

}  // namespace

std::optional<ProfileKind> kind_by_name(std::string_view name) {
  const std::string small = runtime::folded(name);
  if (small.ends_with(".csv")) return ProfileKind::csv;
  if (small.ends_with(".jsonl") || small.ends_with(".ndjson")) return ProfileKind::json_lines;
  return std::nullopt;
}

std::optional<ProfileKind> kind_by_text(std::string_view beginning, bool ends) {
  constexpr std::string_view mark = "\xEF\xBB\xBF", white = " \t\r\n";
  if (beginning.starts_with(mark)) beginning.remove_prefix(mark.size());
  const std::size_t first = beginning.find_first_not_of(white);
  if (first == beginning.npos) return ends ? std::optional(ProfileKind::csv) : std::nullopt;
  if (beginning[first] == '[') return ProfileKind::one;
  if (beginning[first] != '{') return ProfileKind::csv;
  for (std::size_t at = beginning.find('\n', first); at != beginning.npos; at = beginning.find('\n', at + 1)) {
    const std::size_t next = beginning.find_first_not_of(" \t\r", at + 1);
    if (next != beginning.npos && beginning[next] == '{') return ProfileKind::json_lines;
  }
  return ends ? std::optional(ProfileKind::one) : std::nullopt;
}

Profiles::Profiles(const std::string& file, std::istream& in, std::optional<ProfileKind> kind, bool is_table) : bytes_(file, in) {
  if (!kind && file != "-") kind = kind_by_name(file);
  kind_ = kind ? *kind : look();
  if (is_table && kind_ == ProfileKind::one) kind_ = ProfileKind::json_lines;
}

// Past the bound of a person it is one that is too long.
ProfileKind Profiles::look() {
  for (bool ends = false;;) {
    const std::size_t wanted = std::min(beginning_.size() + piece_bytes, most_bytes_of_a_person + 1);
    bytes_.fill(beginning_, wanted);
    ends = beginning_.size() < wanted || wanted > most_bytes_of_a_person;
    if (const auto kind = kind_by_text(beginning_, ends)) return *kind;
  }
}

std::string_view Profiles::next() {
  if (!beginning_.empty()) {
    piece_ = std::move(beginning_);
    beginning_.clear();
    return piece_;
  }
  piece_.resize(piece_bytes);
  piece_.resize(bytes_.read(piece_.data(), piece_bytes));
  return piece_;
}

}  // namespace betony::terminal
