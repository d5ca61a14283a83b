// The gallery of messages. Beside each faulty source NN-name.bty or NN-name.csv lies NN-name.txt, the whole page that
// `betony read` prints for it in 80 columns.
//
// After a change of the words, renew the pages and read what changed:
//
//   BETONY_RENEW=1 ctest -R 'messages:'
//   git diff tests/messages
#include <catch2/catch.hpp>

#include <algorithm>
#include <cstdlib>
#include <filesystem>
#include <fstream>
#include <sstream>
#include <vector>

#include "viz/terminal/terminal.h"

namespace {

namespace fs = std::filesystem;

const fs::path gallery = fs::path(BETONY_SOURCE_DIR) / "tests" / "messages";

// A ruleset, or a table.
bool is_source(const fs::path& path) { return path.extension() == ".bty" || path.extension() == ".csv"; }

std::vector<fs::path> faulty_sources() {
  std::vector<fs::path> all;
  for (const auto& entry : fs::directory_iterator(gallery))
    if (is_source(entry.path()) && std::isdigit(static_cast<unsigned char>(entry.path().filename().string()[0])))
      all.push_back(entry.path().filename());
  std::sort(all.begin(), all.end());
  return all;
}

std::string read_file(const fs::path& path) {
  std::ifstream in(path, std::ios::binary);
  std::ostringstream text;
  text << in.rdbuf();
  return text.str();
}

// The page as a person sees it who stands in the gallery's folder, with the exit status below it.
std::string page_of(const fs::path& source) {
  const fs::path before = fs::current_path();
  fs::current_path(gallery);
  std::istringstream in;
  std::ostringstream out, err;
  betony::terminal::Surroundings around{in, out, err};
  const int status = betony::terminal::run({"read", source.string()}, around);
  fs::current_path(before);
  return out.str() + err.str() + "\n(exit status " + std::to_string(status) + ")\n";
}

std::string page_file(const fs::path& source) { return (gallery / source).replace_extension(".txt").string(); }

bool renewing() { return std::getenv("BETONY_RENEW") != nullptr; }

std::string in_small_letters(std::string text) {
  std::transform(text.begin(), text.end(), text.begin(), [](unsigned char c) { return std::tolower(c); });
  return text;
}

}  // namespace

TEST_CASE("every faulty source of the gallery is answered by the page that lies beside it") {
  for (const fs::path& source : faulty_sources()) {
    INFO(source.string());
    const std::string page = page_of(source);
    if (renewing()) std::ofstream(page_file(source), std::ios::binary) << page;
    CHECK(page == read_file(page_file(source)));
  }
}

TEST_CASE("the gallery shows at least sixty faulty sources, each with something to say of it") {
  const auto all = faulty_sources();
  CHECK(all.size() >= 60);
  for (const fs::path& source : all) {
    INFO(source.string());
    const std::string page = page_of(source);
    CHECK((page.find("><  ") != std::string::npos || page.find("<>  ") != std::string::npos));
  }
}

TEST_CASE("no page of the gallery speaks like a machine, or is wider than the terminal") {
  for (const fs::path& source : faulty_sources()) {
    const std::string page = page_of(source);
    INFO(source.string() << "\n" << page);
    for (const char* word : {"parse", "token", "syntax", "node", "invalid", "unexpected", "identifier", "null", "exception", "abort"})
      CHECK(in_small_letters(page).find(word) == std::string::npos);
    std::istringstream lines(page);
    for (std::string line; std::getline(lines, line);) {
      const auto letters = std::count_if(line.begin(), line.end(), [](char c) { return (c & 0xC0) != 0x80; });
      CHECK(letters <= 80);
    }
  }
}
