// The promises of tidy, on every example ruleset as it stands and after it was made untidy: comments
// strewn between its words, words parted by odd white space, capitals changed.
#include <catch2/catch.hpp>

#include <algorithm>
#include <filesystem>
#include <fstream>
#include <random>
#include <sstream>

#include "tests/unit/tidy_promises.h"

namespace {

using namespace betony;
using namespace betony::tidy_promises;
namespace fs = std::filesystem;

std::optional<std::string> file_text(const fs::path& path) {
  std::ifstream in(path, std::ios::binary);
  if (!in) return std::nullopt;
  std::ostringstream text;
  text << in.rdbuf();
  return text.str();
}

std::vector<fs::path> example_rulesets() {
  std::vector<fs::path> all;
  for (const auto& entry : fs::recursive_directory_iterator(fs::path(BETONY_SOURCE_DIR) / "rulesets"))
    if (entry.path().extension() == ".bty") all.push_back(entry.path());
  std::sort(all.begin(), all.end());
  return all;
}

// The places of `text` where white space stands between words: not in strings, citations or comments.
std::vector<std::size_t> gaps(const std::string& text) {
  std::vector<std::size_t> all;
  bool quoted = false, curly = false, cited = false;
  for (std::size_t i = 0; i < text.size(); ++i) {
    if (!quoted && !cited && text.compare(i, 2, "--") == 0) i = std::min(text.find('\n', i), text.size() - 1);
    if (text[i] == '"' && !cited && !curly) quoted = !quoted;
    if (!cited && !quoted && text.compare(i, 3, "\u201c") == 0) quoted = curly = true;
    if (curly && text.compare(i, 3, "\u201d") == 0) quoted = curly = false;
    if ((text[i] == '[' || text[i] == ']') && !quoted) cited = text[i] == '[';
    if (!quoted && !cited && text[i] == ' ' && i > 0 && text[i - 1] != ' ') all.push_back(i);
  }
  return all;
}

using Random = std::mt19937;

// Puts something of its own into about one gap in `every`.
template <class Make>
std::string strewn(const std::string& text, unsigned every, Random& random, Make make) {
  std::string out;
  std::size_t from = 0;
  for (const std::size_t gap : gaps(text)) {
    if (random() % every != 0) continue;
    out += text.substr(from, gap - from) + make();
    from = gap;
  }
  return out + text.substr(from);
}

std::string with_comments(const std::string& text, Random& random) {
  unsigned number = 0;
  return strewn(text, 9, random, [&] {
    const std::string comment = "-- remark " + std::to_string(number++);
    return random() % 2 ? "  " + comment + "\n" : "\n   " + comment + "\n";
  });
}

std::string with_odd_space(const std::string& text, Random& random) {
  const std::string spaces[] = {" ", "\n", "\t", "\r\n", "   \n  "};
  return strewn(text, 3, random, [&] { return spaces[random() % 5]; });
}

// `-- remark 3` would be no comment any more if a line break came into it, so comments come last.
std::string untidied(const std::string& text, unsigned seed) {
  Random random(seed);
  return with_comments(with_odd_space(text, random), random);
}

}  // namespace

TEST_CASE("tidy keeps its promises on every example ruleset, as it stands and untidied") {
  unsigned rulesets = 0, comments = 0;
  for (const fs::path& path : example_rulesets()) {
    INFO(path.filename().string());
    const FileReader others = [&](const std::string& name) { return file_text(path.parent_path() / name); };
    const std::string text = file_text(path).value_or("");
    if (!read_source({"test.bty", text}, others)) continue;  // read alone, a part of a ruleset lacks its names
    ++rulesets;
    const std::string tidy_text = standard(text, others);
    for (unsigned seed = 1; seed <= 5; ++seed) {
      INFO("seed " << seed);
      const std::string untidy = untidied(text, seed);
      comments += static_cast<unsigned>(read(untidy, others).comments.size());
      CHECK(print(read(untidy, others)) == print(read(text, others)));
      standard(untidy, others);
      if (text.find("--") == std::string::npos) {
        Random random(seed);
        CHECK(standard(with_odd_space(text, random), others) == tidy_text);
      }
    }
  }
  CHECK(rulesets > 0);
  WARN(rulesets << " rulesets, " << comments << " comments");
}
