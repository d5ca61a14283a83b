// Bytes that are no text, and letters that deceive.
#include <catch2/catch.hpp>

#include "tests/hostile/meet.h"
#include "tests/hostile/sources.h"

using namespace betony;
using namespace betony::hostile;

namespace {

// Places in a source where bytes can be put: a name, a string, a comment, a citation, a unit, between sentences.
struct Spot {
  const char* name;
  std::string before, after;
};

std::vector<Spot> spots() {
  const std::string open = opening();
  return {
      {"a declared name", open + "Finding bl", "ue is yes or no.\n"},
      {"a used name", open + "Practice x. Indicated in fe", "ver.\n"},
      {"between words", open + "Practice x. Indicated ", " in fever.\n"},
      {"a word of the language", open + "Practice x. Indi", "cated in fever.\n"},
      {"a string", open + "Practice x. Caution in fever: \"slow", "ly\".\n"},
      {"a comment", open + "-- a com", "ment\nPractice x. Indicated in fever.\n"},
      {"a citation", open + "Source S is \"s\", 1. Practice x. Indicated in fever [S 1", "2].\n"},
      {"a number", open + "Practice x. Indicated in age over 1", "2 years.\n"},
      {"a unit", open + "Practice x. Indicated in age over 12 ye", "ars.\n"},
      {"between sentences", open + "Practice x. ", " Indicated in fever.\n"},
      {"the beginning", "", open + "Practice x. Indicated in fever.\n"},
      {"the end", open + "Practice x. Indicated in fever.", ""},
      {"the end of an unclosed string", open + "Practice x. Caution: \"slow", ""},
  };
}

void meet_at_every_spot(const std::string& bytes, const char* what) {
  for (const Spot& spot : spots()) {
    INFO(what << " in " << spot.name);
    meet(spot.before + bytes + spot.after);
  }
}

}  // namespace

TEST_CASE("bytes that are not UTF-8 get a message where they stand") {
  const std::pair<const char*, std::string> kinds[] = {
      {"a byte that goes on from nothing", "\x80"},
      {"the last of those", "\xBF"},
      {"a byte that never stands", "\xFF"},
      {"another", "\xFE"},
      {"a letter of two bytes cut short", "\xC3"},
      {"a letter of three bytes cut short", "\xE2\x82"},
      {"a letter of four bytes cut short", "\xF0\x9F\x92"},
      {"a letter written longer than it is", "\xC0\xAF"},
      {"a stop written longer than it is", "\xE0\x80\xAE"},
      {"NUL written longer than it is", "\xC0\x80"},
      {"half of a pair", "\xED\xA0\x80"},
      {"a pair of halves", "\xED\xA0\xBD\xED\xB2\xA7"},
      {"a letter past the last", "\xF4\x90\x80\x80"},
      {"a letter of five bytes", "\xF8\x88\x80\x80\x80"},
      {"a letter of six bytes", "\xFC\x84\x80\x80\x80\x80"},
      {"text of another encoding", "\xE9\xE8\xFC"},
      {"the mark of a text of 16 bits", "\xFF\xFE"},
  };
  for (const auto& [what, bytes] : kinds) {
    for (const Spot& spot : spots()) {
      INFO(what << " in " << spot.name);
      const auto out = read_source({"main.bty", spot.before + bytes + spot.after}, [](const std::string&) { return std::nullopt; });
      REQUIRE(!out.messages.empty());
      // In source order, so it is among the messages at its place; nothing of another place hides it.
      bool told = false;
      for (const Message& m : out.messages)
        told = told || (m.where.span.begin <= spot.before.size() && spot.before.size() <= m.where.span.end);
      CHECK(told);
      meet(spot.before + bytes + spot.after);
    }
  }
}

TEST_CASE("every pair of bytes, at the beginning, in a name and in a string, is met") {
  const std::size_t step = sanitized ? 13 : 1;
  for (std::size_t pair = 0; pair < 65536; pair += step) {
    const std::string bytes = {static_cast<char>(pair >> 8), static_cast<char>(pair & 0xFF)};
    INFO("bytes " << (pair >> 8) << " and " << (pair & 0xFF));
    if (!stands({{"main.bty", bytes + "Finding a" + bytes + "b is yes or no. Note \"" + bytes + "\"" + bytes}})) FAIL("not met");
  }
}

TEST_CASE("control characters and NUL are met wherever they stand") {
  for (int code = 0; code < 32; ++code) meet_at_every_spot(std::string(1, static_cast<char>(code)), "a control character");
  meet_at_every_spot("\x7F", "DEL");
  meet_at_every_spot("\xC2\x9B", "a control character of two bytes");
  meet_at_every_spot("\x1B[2J\x1B[H", "an order to a terminal");
}

TEST_CASE("marks that reorder what is seen are met wherever they stand, and never sent to a terminal") {
  for (const char* mark : {"\xE2\x80\xAA", "\xE2\x80\xAB", "\xE2\x80\xAC", "\xE2\x80\xAD", "\xE2\x80\xAE", "\xE2\x81\xA6", "\xE2\x81\xA7",
                           "\xE2\x81\xA8", "\xE2\x81\xA9", "\xE2\x80\x8E", "\xE2\x80\x8F", "\xD8\x9C"})
    meet_at_every_spot(mark, "a mark that reorders");
}

TEST_CASE("letters that look like others, or like nothing, are met wherever they stand") {
  for (const char* letters : {"\xE2\x80\x8B", "\xE2\x80\x8C", "\xE2\x80\x8D", "\xEF\xBB\xBF", "\xC2\xAD", "\xC2\xA0", "\xE3\x80\x80", "\xE2\x80\xA8",
                              "\xE2\x80\xA9", "\xC2\x85", "\xD0\xB0", "\xEF\xBC\xA1", "\xCC\x81", "\xF3\xA0\x84\x80", "\xEF\xBF\xBD", "\xEF\xBF\xBF",
                              "\xF4\x8F\xBF\xBF", "\xEE\x80\x80", "\xC4\xB0", "\xC3\x9F", "\xEF\xAC\x83", "\xE1\xBE\xB3", "\xEF\xB7\xBA", "\xE2\x80\x9C",
                              "\xE2\x80\x9D", "\xEF\xBC\x8E", "\xEF\xBC\x88", "\xEF\xBC\xBB", "\xE2\x88\x92", "\xE2\x80\x94", "\xD9\xA3", "\xE0\xA5\xA8"})
    meet_at_every_spot(letters, "a letter that deceives");
}

TEST_CASE("a byte order mark before a ruleset is not part of it") {
  CHECK(meet("\xEF\xBB\xBF" + forty_sentences()).reached == trial::Trial::Reached::report);
}

TEST_CASE("line breaks of every kind read alike") {
  for (const char* line_break : {"\r\n", "\n\r", "\r", "\n\n", "\xE2\x80\xA8", "\xC2\x85", "\v", "\f"}) {
    std::string source;
    for (const char letter : forty_sentences()) source += letter == '\n' ? std::string(line_break) : std::string(1, letter);
    INFO("line break of first byte " << static_cast<int>(line_break[0]));
    meet(source);
  }
}

TEST_CASE("an empty source, and one of comments alone, get an answer or a message") {
  for (const char* source : {"", " ", "\n", "-- x", "--", "-", ".", "\"", "[", "\xEF\xBB\xBF", "\xEF\xBB\xBF\xEF\xBB\xBF"}) {
    INFO("\"" << source << "\"");
    meet(source);
    meet_program(source);
  }
}
