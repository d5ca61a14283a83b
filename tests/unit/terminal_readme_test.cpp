// The first page of README.md is what the program really says.
#include <catch2/catch.hpp>

#include <cstdlib>
#include <filesystem>
#include <fstream>
#include <sstream>

#include "viz/terminal/terminal.h"

namespace {

std::string readme() {
  std::ifstream in(std::string(BETONY_SOURCE_DIR) + "/README.md");
  std::ostringstream text;
  text << in.rdbuf();
  return text.str();
}

// The first block of the page that is marked as written in `language`, or the one so many further on.
std::string block(const std::string& page, const std::string& language, unsigned further = 0) {
  auto opening = page.find("```" + language + "\n");
  for (; further > 0; --further) opening = page.find("```" + language + "\n", opening + 1);
  REQUIRE(opening != std::string::npos);
  const auto begin = page.find('\n', opening) + 1;
  return page.substr(begin, page.find("```", begin) - begin);
}

}  // namespace

TEST_CASE("the example in README.md is answered by the page that stands below it") {
  std::string folder = (std::filesystem::temp_directory_path() / "betony-readme-XXXXXX").string();
  REQUIRE(::mkdtemp(folder.data()) != nullptr);
  std::ofstream(folder + "/millpond.bty") << block(readme(), "bty");
  std::istringstream in;
  std::ostringstream out, err;
  betony::terminal::Surroundings around{in, out, err};
  betony::terminal::run({"read", folder + "/millpond.bty"}, around);
  std::filesystem::remove_all(folder);
  CHECK(out.str() == block(readme(), "text"));
}

TEST_CASE("the table of persons in README.md is answered by the table that stands below it") {
  std::string folder = (std::filesystem::temp_directory_path() / "betony-readme-XXXXXX").string();
  REQUIRE(::mkdtemp(folder.data()) != nullptr);
  std::ofstream(folder + "/millpond.bty") << block(readme(), "bty");
  std::ofstream(folder + "/guests.csv") << block(readme(), "csv");
  std::istringstream in;
  std::ostringstream out, err;
  betony::terminal::Surroundings around{in, out, err};
  betony::terminal::run({"weigh", folder + "/millpond.bty", folder + "/guests.csv", "--keep", "name"}, around);
  std::filesystem::remove_all(folder);
  CHECK(out.str() == block(readme(), "csv", 1));
  CHECK(err.str().find("\nrow 4, column \"age\": \"old\" is no number; ") != std::string::npos);
}
