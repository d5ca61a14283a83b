// The pictures of README: the program draws them again, byte for byte. BETONY_DRAW_AGAIN=1 writes them anew, to be looked at before they are kept.
#include <cstdlib>
#include <fstream>

#include "tests/rulesets/worlds.h"
#include "tests/support.h"

namespace betony {
namespace {

TEST_CASE("the pictures in README are what the program draws today") {
  const struct {
    const char *file, *ruleset, *what;
  } pictures[] = {{"warm-tub.svg", "tamberlow.bty", "graph 'warm tub'"},
                  {"steam-loft.svg", "earlier/tamberlow.bty", "crossing 'steam loft'"},
                  {"overview.svg", "tamberlow.bty", "overview"}};
  const auto folder = worlds::path_of("rulesets/tamberlow");
  for (const auto& picture : pictures) {
    INFO(picture.file);
    const auto kept = folder / "drawings" / picture.file, drawn = std::filesystem::temp_directory_path() / ("betony-" + std::string(picture.file));
    const std::string command =
        "'" BETONY_PROGRAM "' draw '" + (folder / picture.ruleset).string() + "' " + picture.what + " -o '" + drawn.string() + "'";
    REQUIRE(std::system(command.c_str()) == 0);
    const auto again = std::getenv("BETONY_DRAW_AGAIN");
    if (again && *again) std::filesystem::copy_file(drawn, kept, std::filesystem::copy_options::overwrite_existing);
    CHECK(worlds::bytes_of(kept) == worlds::bytes_of(drawn));
    std::filesystem::remove(drawn);
  }
}

}  // namespace
}  // namespace betony
