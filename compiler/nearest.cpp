#include "compiler/nearest.h"

#include <algorithm>

namespace betony {
namespace {

// Code points; broken bytes count one each.
std::u32string letters(std::string_view text) {
  std::u32string out;
  for (unsigned char byte : text) {
    if ((byte & 0xc0) == 0x80 && !out.empty()) out.back() = (out.back() << 6) | (byte & 0x3f);
    else out.push_back(byte);
  }
  return out;
}

}  // namespace

// The usual table, three rows of it, with exchanges of neighbours (optimal string alignment).
std::size_t letter_changes(std::string_view first, std::string_view second, std::size_t most) {
  const std::u32string a = letters(first), b = letters(second);
  if (std::max(a.size(), b.size()) - std::min(a.size(), b.size()) > most) return most + 1;
  std::vector<std::size_t> before(b.size() + 1), above(b.size() + 1), row(b.size() + 1);
  for (std::size_t j = 0; j <= b.size(); ++j) above[j] = j;
  for (std::size_t i = 1; i <= a.size(); ++i) {
    row[0] = i;
    for (std::size_t j = 1; j <= b.size(); ++j) {
      row[j] = std::min({above[j] + 1, row[j - 1] + 1, above[j - 1] + (a[i - 1] != b[j - 1])});
      if (i > 1 && j > 1 && a[i - 1] == b[j - 2] && a[i - 2] == b[j - 1]) row[j] = std::min(row[j], before[j - 2] + 1);
    }
    if (*std::min_element(row.begin(), row.end()) > most) return most + 1;
    std::swap(before, above);
    std::swap(above, row);
  }
  return std::min(above[b.size()], most + 1);
}

std::optional<std::string> nearest(std::string_view word, const std::vector<std::string>& candidates) {
  if (word.size() > 200) return std::nullopt;
  std::size_t most = std::min<std::size_t>(3, std::max<std::size_t>(1, letters(word).size() / 3));
  std::optional<std::string> best;
  for (const std::string& candidate : candidates) {
    const std::size_t changes = letter_changes(word, candidate, most);
    if (changes > most || (best && changes == most)) continue;
    best = candidate;
    most = changes;
    if (most == 0) break;
  }
  return best;
}

}  // namespace betony
