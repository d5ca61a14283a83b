// tests/unit/terminal_run.h: the program as a test runs it, and a folder for its files.
#pragma once

#include <stdlib.h>

#include <catch2/catch.hpp>
#include <filesystem>
#include <fstream>
#include <sstream>

#include "viz/terminal/terminal.h"

namespace betony::testing {

struct Answer {
  int status;
  std::string out, err;
};

inline Answer run(const std::vector<std::string>& words, const std::string& input = "") {
  std::istringstream in(input);
  std::ostringstream out, err;
  terminal::Surroundings around{in, out, err};
  const int status = terminal::run(words, around);
  return {status, out.str(), err.str()};
}

// A new one, gone with the test.
class Folder {
 public:
  Folder() { REQUIRE(::mkdtemp(path_.data()) != nullptr); }
  ~Folder() { std::filesystem::remove_all(path_); }
  std::string at(const std::string& name) const { return path_ + "/" + name; }
  // Folders on the way are made.
  std::string put(const std::string& name, const std::string& text) const {
    std::filesystem::create_directories(std::filesystem::path(at(name)).parent_path());
    std::ofstream(at(name), std::ios::binary) << text;
    return at(name);
  }
  std::string text(const std::string& name) const {
    std::ostringstream out;
    out << std::ifstream(at(name), std::ios::binary).rdbuf();
    return out.str();
  }

 private:
  std::string path_ = (std::filesystem::temp_directory_path() / "betony-test-XXXXXX").string();
};

}  // namespace betony::testing
