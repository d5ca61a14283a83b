// How tests of reading look at a source: the tree as printed, or all that is said about it.
#pragma once

#include <catch2/catch.hpp>
#include <initializer_list>
#include <string>
#include <vector>

#include "grammar/grammar.h"

namespace betony::testing {

// "LINE:COLUMN [the marked words] matter: message | remedy", a line each. Files beside the first show their name.
inline std::string said(const std::vector<Message>& messages, const std::vector<SourceFile>& files) {
  std::string out;
  for (const Message& m : messages) {
    const std::string& text = files[m.where.file].text;
    const LineColumn at = LineIndex(text).at(m.where.span.begin);
    if (m.where.file != 0) out += files[m.where.file].name + ":";
    out += std::to_string(at.line) + ":" + std::to_string(at.column) + " [" +
           text.substr(m.where.span.begin, m.where.span.end - m.where.span.begin) + "] " + m.matter + ": " + m.message + " | " +
           m.remedy + "\n";
  }
  return out;
}

inline std::string said(const std::string& text, const Limits& limits = {}) {
  return said(read_source({"test.bty", text}, nullptr, limits).messages, {{"test.bty", text}});
}

// The tree as printed; or what is said, where there is none.
inline std::string read_as(const std::string& text) {
  const auto out = read_source({"test.bty", text}, nullptr);
  return out ? print(*out.value) : said(out.messages, {{"test.bty", text}});
}

// Thirteen lines that stand before the sentences of most cases.
inline const std::string marsh =
    "Ruleset \"Marsh\", edition \"1\".\n"
    "Source SB is \"Bath book\", 1911, ranked 1.\n"
    "Source WN is \"Winter notes\", 1934.\n"
    "Finding age is a whole number of years from 0 to 110.\n"
    "Finding fever (also pyrexia) is yes or no.\n"
    "Finding cough is yes or no.\n"
    "Finding breath is a grade of none, mild, moderate, severe, usually none.\n"
    "Finding skin is one of sound, chapped, broken, usually sound.\n"
    "Finding complaints are any of cold hands, stiff joints, poor sleep.\n"
    "Finding last meal is a number of h ago from 0 to 48, or never.\n"
    "Choice oil is one of seal oil, nut oil.\n"
    "Group baths holds cold plunge.\n"
    "Practice cold plunge.\n";

// What is said of `sentences` below those lines; lines are counted from the first of them.
inline std::string said_below(const std::string& sentences) {
  std::string out;
  const std::string all = said(marsh + sentences + "\n");
  for (std::size_t at = 0; at < all.size();) {
    const std::size_t colon = all.find(':', at), end = all.find('\n', at);
    if (!out.empty()) out += '\n';
    out += std::to_string(std::stoi(all.substr(at, colon - at)) - 13) + all.substr(colon, end - colon);
    at = end + 1;
  }
  return out;
}

// The printed tree of `sentences` below those lines.
inline std::string read_below(const std::string& sentences) {
  const std::string above = read_as(marsh), all = read_as(marsh + sentences + "\n");
  if (all.compare(0, above.size(), above) != 0) return all;
  return all.substr(above.size(), all.find_last_not_of('\n') + 1 - above.size());
}

struct Case {
  const char* sentences;
  const char* outcome;
};

inline void check_said(std::initializer_list<Case> cases) {
  for (const Case& c : cases) {
    INFO(c.sentences);
    CHECK(said_below(c.sentences) == c.outcome);
  }
}

inline void check_read(std::initializer_list<Case> cases) {
  for (const Case& c : cases) {
    INFO(c.sentences);
    CHECK(read_below(c.sentences) == c.outcome);
  }
}

}  // namespace betony::testing
