// `read --watch`: the program itself, beside a file that changes under it.
#include <unistd.h>

#include <cstdlib>
#include <filesystem>
#include <fstream>
#include <sstream>

#include "tests/support.h"

namespace {

namespace fs = std::filesystem;

std::string text_of(const fs::path& path) {
  std::ifstream file(path);
  std::stringstream text;
  text << file.rdbuf();
  return text.str();
}

}  // namespace

TEST_CASE("read --watch reads again what has been saved, and tells what it would have told at first") {
  const fs::path folder = fs::temp_directory_path() / ("betony-watch-" + std::to_string(::getpid()));
  fs::create_directories(folder);
  std::ofstream(folder / "a.bty") << "Ruleset \"T\", edition \"1\".\nFinding fever is yes or no. Ask \"Is there fever?\".\nPractice soak. Indicated in fever.\n";
  std::ofstream(folder / "b.bty") << "Ruleset \"T\", edition \"1\".\nFinding fever is yes or no. Ask \"Is there fever?\".\nPractice soak. Indicated in fever.\nOtherwise withheld.\n";
  // Waits, up to ten seconds each time, for what it is to see.
  std::ofstream(folder / "run.sh") << R"(program=$1; cd "$2"
"$program" read --watch a.bty > out 2> err & pid=$!
seen() { i=0; until grep -q "$1" out || [ $i -gt 100 ]; do sleep 0.1; i=$((i + 1)); done; }
seen 'falls silent'
cp out first
cp b.bty a.new && mv a.new a.bty
seen 'Read again'
sleep 0.5
kill $pid
"$program" read a.bty > plain
)";
  REQUIRE(std::system(("sh " + (folder / "run.sh").string() + " " BETONY_PROGRAM " " + folder.string() + " 2>/dev/null").c_str()) >= 0);
  const std::string out = text_of(folder / "out"), first = text_of(folder / "first"), plain = text_of(folder / "plain");
  CHECK(first.find("the teaching falls silent") != std::string::npos);
  CHECK(plain.find("falls silent") == std::string::npos);
  REQUIRE(out.rfind(first + "\nRead again at ", 0) == 0);
  const std::size_t page = out.find("\n\n", first.size() + 2) + 2;
  CHECK(out.substr(page) == plain);
  CHECK(text_of(folder / "err").empty());
  fs::remove_all(folder);
}
