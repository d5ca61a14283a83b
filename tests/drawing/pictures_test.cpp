// Drawings that are kept: the pictures of README, and under golden/ those of the larger demo, of published tables and of rulesets that are hard
// to draw (hostile.sh). The program draws them again, byte for byte; it does so wherever the fonts are those that tests/install.sh installs.
// BETONY_DRAW_AGAIN=1 writes them anew, to be looked at before they are kept.
#include <cstdlib>
#include <fstream>
#include <set>

#include "tests/rulesets/worlds.h"
#include "tests/support.h"

namespace betony {
namespace {

namespace fs = std::filesystem;

struct Picture {
  const char *file, *ruleset, *what;
};

void draw_again(const fs::path& rulesets, const fs::path& kept_in, const Picture& picture) {
  INFO(picture.file);
  const auto kept = kept_in / picture.file, drawn = fs::temp_directory_path() / ("betony-" + std::string(picture.file));
  const std::string command =
      "'" BETONY_PROGRAM "' draw '" + (rulesets / picture.ruleset).string() + "' " + picture.what + " -o '" + drawn.string() + "'";
  REQUIRE(std::system(command.c_str()) == 0);
  const auto again = std::getenv("BETONY_DRAW_AGAIN");
  if (again && *again) fs::copy_file(drawn, kept, fs::copy_options::overwrite_existing);
  CHECK(worlds::bytes_of(kept) == worlds::bytes_of(drawn));
  fs::remove(drawn);
}

constexpr Picture of_the_lakes[] = {
    {"lakes-overview.svg", "lantern-lakes.bty", "overview"},
    {"lakes-lake-dip.svg", "lantern-lakes.bty", "graph 'lake dip' --for 'Osk, ferry hand, 24'"},
    {"lakes-lake-dip-map.svg", "lantern-lakes.bty", "map 'lake dip' age 'lake warmth'"},
    {"lakes-lake-dip-doses.svg", "lantern-lakes.bty", "doses 'lake dip' 'lake warmth'"},
    {"lakes-oar-drill.svg", "earlier/lantern-lakes.bty", "crossing 'oar drill'"},
    {"lakes-jetty-walk.svg", "earlier/lantern-lakes.bty", "crossing 'jetty walk'"},
};
constexpr Picture of_published_tables[] = {
    {"acupuncture.svg", "acupuncture.bty", "overview"},
    {"acupuncture-needling.svg", "acupuncture.bty", "graph needling"},
    {"acupuncture-meeting.svg", "acupuncture.bty", "crossing needling"},
    {"hot-tub-houses.svg", "hot_tub_houses.bty", "crossing 'hot tub'"},
    {"readiness.svg", "readiness.bty", "graph 'starting slowly'"},
    {"units.svg", "units.bty", "overview"},
};
constexpr Picture hard_to_draw[] = {
    {"long-overview.svg", "long.bty", "overview"},
    {"long-graph.svg", "long.bty", "graph \"$(sed -n 's/^Practice \\(abcde.*\\)\\.$/\\1/p' long.bty)\""},
    {"long-crossing.svg", "long.bty", "crossing \"$(sed -n 's/^Practice \\(exceedingly.*\\)\\.$/\\1/p' long.bty)\""},
    {"many-overview.svg", "many.bty", "overview"},
    {"many-graph.svg", "many.bty", "graph 'tide walk'"},
    {"many-crossing.svg", "many.bty", "crossing 'tide walk'"},
    {"limits-map.svg", "limits.bty", "map 'tide walk' depth عمر"},
    {"limits-doses.svg", "limits.bty", "doses 'tide walk' depth"},
    {"scripts-map.svg", "scripts.bty", "map 'حمام بارد' عمر ताप"},
    {"scripts-overview.svg", "scripts.bty", "overview"},
    {"scripts-graph.svg", "scripts.bty", "graph 温浴"},
    {"scripts-crossing.svg", "scripts.bty", "crossing 'حمام بارد'"},
};

const fs::path golden = worlds::path_of("tests/drawing/golden");

TEST_CASE("the pictures in README are what the program draws today") {
  const Picture pictures[] = {{"warm-tub.svg", "tamberlow.bty", "graph 'warm tub'"},
                              {"steam-loft.svg", "earlier/tamberlow.bty", "crossing 'steam loft'"},
                              {"steam-loft-map.svg", "tamberlow.bty", "map 'steam loft' age 'loft warmth' --for 'Sennet, shuttle hand, 28'"},
                              {"warm-tub-doses.svg", "earlier/tamberlow.bty", "doses 'warm tub' age"},
                              {"overview.svg", "tamberlow.bty", "overview"}};
  const auto folder = worlds::path_of("rulesets/tamberlow");
  for (const Picture& picture : pictures) draw_again(folder, folder / "drawings", picture);
}

TEST_CASE("the larger demo, published tables and rulesets that are hard to draw are drawn as they are kept") {
  for (const Picture& picture : of_the_lakes) draw_again(worlds::path_of("rulesets/lantern-lakes"), golden, picture);
  for (const Picture& picture : of_published_tables) draw_again(worlds::path_of("tests/published"), golden, picture);
  const fs::path hostile = fs::temp_directory_path() / "betony-hostile-drawings";
  fs::create_directories(hostile);
  REQUIRE(std::system(("sh '" + worlds::path_of("tests/drawing/hostile.sh").string() + "' '" + hostile.string() + "'").c_str()) == 0);
  const fs::path before = fs::current_path();
  fs::current_path(hostile);
  for (const Picture& picture : hard_to_draw) draw_again(hostile, golden, picture);
  fs::current_path(before);
  fs::remove_all(hostile);
}

TEST_CASE("every drawing that is kept is drawn again, and all of them stay small") {
  std::set<std::string> drawn;
  for (const Picture& picture : of_the_lakes) drawn.insert(picture.file);
  for (const Picture& picture : of_published_tables) drawn.insert(picture.file);
  for (const Picture& picture : hard_to_draw) drawn.insert(picture.file);
  std::uintmax_t bytes = 0;
  for (const auto& entry : fs::directory_iterator(golden)) {
    INFO(entry.path());
    CHECK(drawn.count(entry.path().filename().string()) == 1);
    bytes += entry.file_size();
  }
  CHECK(bytes < 1'500'000);
}

}  // namespace
}  // namespace betony
