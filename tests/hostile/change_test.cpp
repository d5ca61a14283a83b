// Sources that were cut short, or changed in one place.
#include <catch2/catch.hpp>

#include "tests/hostile/meet.h"
#include "tests/hostile/sources.h"
#include "tests/rulesets/worlds.h"

using namespace betony;
using namespace betony::hostile;

namespace {

// The files of an edition, in the order of `Use`.
std::vector<SourceFile> files_of(const worlds::Edition& edition) {
  const auto tree = read_source(worlds::root_of(edition), worlds::reader_of(edition));
  REQUIRE(tree.value.has_value());
  return tree.value->files;
}

// Cuts one file of an edition short at every `step`-th byte; the other files stay whole.
std::size_t cut_everywhere(const std::vector<SourceFile>& whole, std::size_t file, std::size_t step, const trial::Plan& plan) {
  std::size_t cuts = 0;
  std::vector<SourceFile> files = whole;
  for (std::size_t length = 0; length < whole[file].text.size(); length += step, ++cuts) {
    files[file].text = whole[file].text.substr(0, length);
    if (!stands(files, plan)) FAIL(whole[file].name << " cut short after " << length << " bytes");
  }
  return cuts;
}

void cut_edition(const worlds::Edition& edition, std::size_t step) {
  const auto files = files_of(edition);
  std::size_t read = 0, checked = 0;
  for (std::size_t i = 0; i < files.size(); ++i) {
    read += cut_everywhere(files, i, step, reading());
    checked += cut_everywhere(files, i, 211 * step, everything());
  }
  WARN(edition.name << ": " << read << " truncations read, " << checked << " checked, tidied and shown");
}

constexpr std::size_t cut_step = sanitized ? 41 : 1;

// All other values of a byte; with sanitizers those that mean something: letters, marks, broken UTF-8.
const std::vector<unsigned char>& values() {
  static const std::vector<unsigned char> all = [] {
    std::vector<unsigned char> out;
    if (sanitized) return std::vector<unsigned char>{0, '\n', '\r', ' ', '"', '(', '-', '.', ',', '[', ']', '7', 'a', 'Z', 0x80, 0xCC, 0xE2, 0xF0, 0xFF};
    for (unsigned value = 0; value < 256; ++value) out.push_back(static_cast<unsigned char>(value));
    return out;
  }();
  return all;
}

// Every single-byte change in one of `parts` equal parts of the forty sentences.
void change_part(std::size_t part, std::size_t parts) {
  const std::string whole = forty_sentences();
  std::vector<SourceFile> files = {{"main.bty", whole}};
  std::size_t changes = 0;
  for (std::size_t at = whole.size() * part / parts; at < whole.size() * (part + 1) / parts; ++at) {
    for (const unsigned char value : values()) {
      if (value == static_cast<unsigned char>(whole[at])) continue;
      files[0].text[at] = static_cast<char>(value);
      const bool fully = ++changes % 499 == 0;
      if (!stands(files, fully ? everything() : reading())) FAIL("byte " << at << " as " << unsigned{value});
    }
    files[0].text[at] = whole[at];
  }
  WARN(changes << " changed sources read");
}

}  // namespace

TEST_CASE("the weavers' book, cut short at every byte, reads or is told where it breaks off") {
  cut_edition(worlds::newest()[0], cut_step);
}

TEST_CASE("the lakes' book, any of its files cut short at every byte, reads or is told where it breaks off") {
  cut_edition(worlds::newest()[1], cut_step);
}

TEST_CASE("the forty sentences are forty, and read without a message") {
  const std::string source = forty_sentences();
  const auto tree = read_source({"main.bty", source}, [](const std::string&) { return std::nullopt; });
  for (const Message& m : tree.messages) UNSCOPED_INFO(m.matter << ": " << m.message);
  REQUIRE(tree.value.has_value());
  CHECK(tree.value->sentences.size() == 40);
  CHECK(meet(source).reached == trial::Trial::Reached::report);
}

TEST_CASE("every single-byte change of forty sentences is met, first quarter") { change_part(0, 4); }
TEST_CASE("every single-byte change of forty sentences is met, second quarter") { change_part(1, 4); }
TEST_CASE("every single-byte change of forty sentences is met, third quarter") { change_part(2, 4); }
TEST_CASE("every single-byte change of forty sentences is met, last quarter") { change_part(3, 4); }

TEST_CASE("forty sentences stand where any byte is left out, doubled, or swapped with the next") {
  const std::string whole = forty_sentences();
  for (std::size_t at = 0; at + 1 < whole.size(); ++at) {
    const trial::Plan plan = at % 97 == 0 ? everything() : reading();
    std::string swapped = whole;
    std::swap(swapped[at], swapped[at + 1]);
    INFO("byte " << at);
    if (!stands({{"main.bty", whole.substr(0, at) + whole.substr(at + 1)}}, plan)) FAIL("left out");
    if (!stands({{"main.bty", whole.substr(0, at + 1) + whole.substr(at)}}, plan)) FAIL("doubled");
    if (!stands({{"main.bty", swapped}}, plan)) FAIL("swapped");
  }
}

TEST_CASE("forty sentences stand where any word is left out, doubled, or moved to the end") {
  const std::string whole = forty_sentences();
  for (std::size_t begin = 0; begin < whole.size();) {
    const std::size_t end = std::min(whole.find_first_of(" \n", begin), whole.size() - 1) + 1;
    const std::string before = whole.substr(0, begin), word = whole.substr(begin, end - begin), after = whole.substr(end);
    INFO("word at byte " << begin << ": " << word);
    if (!stands({{"main.bty", before + after}}, everything())) FAIL("left out");
    if (!stands({{"main.bty", before + word + word + after}}, everything())) FAIL("doubled");
    if (!stands({{"main.bty", before + after + word}}, everything())) FAIL("moved");
    begin = end;
  }
}

TEST_CASE("forty sentences stand in any order, each moved to the front and to the end") {
  const std::string whole = forty_sentences();
  for (std::size_t begin = 0; begin < whole.size();) {
    const std::size_t end = whole.find('\n', begin) + 1;
    const std::string rest = whole.substr(0, begin) + whole.substr(end), line = whole.substr(begin, end - begin);
    INFO("line at byte " << begin << ": " << line);
    for (const std::string& source : {rest, line + rest, rest + line, whole + line})
      if (!stands({{"main.bty", source}}, everything())) FAIL("not met");
    begin = end;
  }
}
