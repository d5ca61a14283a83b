// The files that betony draw writes.
#include "tests/rulesets/worlds.h"
#include "tests/unit/terminal_run.h"

namespace betony {
namespace {

using testing::Answer;
using testing::Folder;
using testing::run;

TEST_CASE("drawings are written as their names end, the same marks each") {
  const Folder folder;
  const std::string file = worlds::path_of("rulesets/tamberlow/earlier/tamberlow.bty").string();
  const std::vector<std::vector<std::string>> all = {{"graph", "warm tub"}, {"map", "steam loft", "age", "loft warmth"}, {"doses", "warm tub", "age"},
                                                     {"overview"}, {"crossing", "steam loft"}};
  for (const auto& what : all)
    for (const auto& [end, begins] : {std::pair(".svg", "<svg"), {".png", "\x89PNG"}, {".pdf", "%PDF"}}) {
      std::vector<std::string> words = {"draw", file};
      words.insert(words.end(), what.begin(), what.end());
      words.insert(words.end(), {"-o", folder.at("one" + std::string(end))});
      const Answer answer = run(words);
      INFO(what[0] << end << ": " << answer.err);
      CHECK(answer.status == 0);
      CHECK(folder.text("one" + std::string(end)).rfind(begins, 0) == 0);
    }
}

}  // namespace
}  // namespace betony
