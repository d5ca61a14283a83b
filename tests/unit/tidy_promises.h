// tests/unit/tidy_promises.h: what tidy promises, tested on any source.
#pragma once

#include <catch2/catch.hpp>

#include <algorithm>
#include <cctype>
#include <string>
#include <vector>

#include "grammar/grammar.h"

namespace betony::tidy_promises {

inline const FileReader no_other_files = [](const std::string&) { return std::optional<std::string>(); };

inline std::string told(const std::vector<Message>& messages) {
  std::string text;
  for (const Message& m : messages) text += m.matter + ": " + m.message + "\n";
  return text;
}

inline Tree read(const std::string& text, const FileReader& others = no_other_files) {
  auto out = read_source({"test.bty", text}, others);
  INFO(text << told(out.messages));
  REQUIRE(out);
  return std::move(*out.value);
}

// The nearest word of `text` before (step -1) or after (step 1) a place, in small letters. Connectives
// are passed over, since the standard form moves them, and "when" counts as "in", "are" as "is".
inline std::string nearest_word(const std::string& text, std::size_t at, int step) {
  std::string found;
  for (auto i = static_cast<std::ptrdiff_t>(at); i >= 0 && i <= static_cast<std::ptrdiff_t>(text.size()); i += step) {
    const unsigned char c = i < static_cast<std::ptrdiff_t>(text.size()) ? text[static_cast<std::size_t>(i)] : ' ';
    if (std::isalnum(c) || c >= 0x80) {
      found.insert(step < 0 ? 0 : found.size(), 1, static_cast<char>(std::tolower(c)));
    } else if (found == "and" || found == "or") {
      found.clear();
    } else if (!found.empty()) {
      break;
    }
  }
  return found == "when" ? "in" : found == "are" ? "is" : found;
}

// The comments of a tree's first file, each with the word before and the word after it, in order.
// Other comments are passed over.
inline std::vector<std::string> neighbours(const Tree& tree) {
  std::string words = tree.files[0].text;
  for (const tree::Comment& c : tree.comments)
    if (c.file == 0) std::fill(words.begin() + c.span.begin, words.begin() + c.span.end, ' ');
  for (const char* mark : {"“", "”", "、", "。", "，", "،", "۔", "।", "\u00a0"})
    for (std::size_t at = 0; (at = words.find(mark, at)) != std::string::npos;) words.replace(at, std::string_view(mark).size(), std::string_view(mark).size(), ' ');
  std::vector<std::string> all;
  for (const tree::Comment& c : tree.comments) {
    if (c.file != 0) continue;
    const std::string comment = c.text.substr(0, c.text.find_last_not_of(" \r\t") + 1);
    all.push_back(nearest_word(words, c.span.begin, -1) + " | " + comment + " | " + nearest_word(words, c.span.begin, 1));
  }
  return all;
}

// The standard form of `text`, after every promise of tidy was tested on it.
inline std::string standard(const std::string& text, const FileReader& others = no_other_files) {
  const Tree tree = read(text, others);
  const std::string once = tidy(tree);
  const Tree again = read(once, others);
  INFO(once);
  CHECK(print(again) == print(tree));
  CHECK(tidy(again) == once);
  const auto before = neighbours(tree), after = neighbours(again);
  CHECK(after.size() == before.size());
  for (std::size_t i = 0; i < std::min(before.size(), after.size()); ++i)
    if (after[i] != before[i]) CHECK(after[i] == before[i]);
  return once;
}

}  // namespace betony::tidy_promises
