// The corpus that the fuzzer kept, and the words it makes sentences of.
#include <algorithm>
#include <catch2/catch.hpp>
#include <filesystem>
#include <fstream>
#include <iterator>

#include "grammar/words.h"
#include "tests/hostile/meet.h"

using namespace betony;
using namespace betony::hostile;

namespace {

const std::filesystem::path fuzz_folder = std::filesystem::path(BETONY_SOURCE_DIR) / "tests/fuzz";

std::string bytes_of(const std::filesystem::path& path) {
  std::ifstream in(path, std::ios::binary);
  REQUIRE(in);
  return std::string(std::istreambuf_iterator<char>(in), {});
}

std::vector<std::filesystem::path> corpus() {
  std::vector<std::filesystem::path> files;
  for (const auto& entry : std::filesystem::directory_iterator(fuzz_folder / "corpus")) files.push_back(entry.path());
  std::sort(files.begin(), files.end());
  return files;
}

}  // namespace

TEST_CASE("every source that the fuzzer kept is met as it was when it was kept") {
  std::size_t readable = 0;
  const auto files = corpus();
  REQUIRE(files.size() >= 100);
  for (const auto& file : files) {
    INFO(file.filename());
    if (meet(trial::files_of(bytes_of(file))).reached == trial::Trial::Reached::report) ++readable;
  }
  WARN(files.size() << " sources, " << readable << " of them read and checked");
  CHECK(readable >= 50);
}

TEST_CASE("bytes become files, and files bytes") {
  const std::vector<SourceFile> files = {{"main.bty", "Use \"b.bty\".\n"}, {"b.bty", "Practice x.\n"}};
  const std::string bytes = trial::bytes_of(files);
  CHECK(bytes == "Use \"b.bty\".\n\x1C" "b.bty\nPractice x.\n");
  const auto again = trial::files_of(bytes);
  REQUIRE(again.size() == 2);
  CHECK(again[1].name == "b.bty");
  CHECK(again[1].text == "Practice x.\n");
}

TEST_CASE("the fuzzer's dictionary has every word of the language") {
  const std::string dictionary = bytes_of(fuzz_folder / "words.dict");
  for (unsigned word = 0; word < static_cast<unsigned>(Word::count); ++word)
    for (const auto spelling : spellings(static_cast<Word>(word))) {
      INFO(spelling);
      CHECK(dictionary.find("\"" + std::string(spelling) + "\"\n") != std::string::npos);
    }
}
