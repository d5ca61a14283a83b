// Files that use files: around in circles, out of the folder, through links.
#include <sys/stat.h>
#include <unistd.h>

#include <catch2/catch.hpp>
#include <filesystem>

#include "tests/hostile/meet.h"
#include "tests/hostile/sources.h"

using namespace betony;
using namespace betony::hostile;

namespace {

std::string using_files(const std::string& path) { return opening() + "Practice x. Otherwise allowed.\nUse \"" + path + "\".\n"; }

// `betony read` of main.bty in the folder: it must not be read, and no byte of `secret` be shown.
void refused(const Folder& folder, const std::string& path) {
  INFO("Use \"" << path.substr(0, 200) << "\"");
  const Answer answer = program({"read", folder.write("book/main.bty", using_files(path))});
  INFO(answer.out.substr(0, 2000));
  CHECK(answer.signal == 0);
  CHECK(answer.status == 2);
  CHECK(answer.out.find("hidden words") == std::string::npos);
}

}  // namespace

TEST_CASE("files that use each other in a circle get a message, not a hang") {
  CHECK(meet({{"main.bty", using_files("main.bty")}}).messages > 0);
  CHECK(meet({{"main.bty", using_files("b.bty")}, {"b.bty", "Use \"main.bty\"."}}).messages > 0);
  CHECK(meet({{"main.bty", using_files("b.bty")}, {"b.bty", "Use \"c.bty\"."}, {"c.bty", "Use \"b.bty\"."}}).messages > 0);
  CHECK(meet({{"main.bty", using_files("./b.bty")}, {"b.bty", "Use \"./././b.bty\"."}}).messages > 0);
  CHECK(meet({{"main.bty", using_files("a/../b.bty")}, {"b.bty", "Use \"b.bty\"."}}).messages > 0);
}

TEST_CASE("a file that is used twice, or thousands of times, ends in an answer or a message") {
  meet({{"main.bty", using_files("b.bty") + "Use \"b.bty\".\n"}, {"b.bty", "Finding pain is yes or no.\n"}});
  meet({{"main.bty", opening() + repeat("Use \"b.bty\".\n", 20000 / smaller)}, {"b.bty", "Practice y.\n"}}, reading());
}

TEST_CASE("files that use two further ones each, all the way down, end in a message") {
  std::vector<SourceFile> files = {{"main.bty", opening() + "Use \"0.bty\". Use \"0.bty\".\n"}};
  for (unsigned i = 0; i < 300; ++i) {
    const std::string next = "Use \"" + std::to_string(i + 1) + ".bty\".\n";
    files.push_back({std::to_string(i) + ".bty", next + next});
  }
  files.push_back({"300.bty", "Practice y.\n"});
  CHECK(meet(files, reading()).messages > 0);
}

TEST_CASE("a chain of more files than a ruleset may have ends in a message") {
  std::vector<SourceFile> files = {{"main.bty", opening() + "Use \"0.bty\".\n"}};
  for (unsigned i = 0; i < 1200; ++i) files.push_back({std::to_string(i) + ".bty", "Use \"" + std::to_string(i + 1) + ".bty\".\n"});
  files.push_back({"1200.bty", "Practice y.\n"});
  CHECK(meet(files, reading()).messages > 0);
}

TEST_CASE("no file outside the ruleset's folder is read, by whatever way") {
  const Folder folder;
  const std::string secret = folder.write("secret.bty", "These hidden words are no sentence.\n");
  folder.write("book/inner/x.bty", "");
  std::filesystem::create_symlink(secret, folder.path("book/link.bty"));
  std::filesystem::create_symlink("../secret.bty", folder.path("book/near.bty"));
  std::filesystem::create_directory_symlink(folder.path(""), folder.path("book/up"));
  std::filesystem::create_symlink("round.bty", folder.path("book/round.bty"));
  for (const std::string& path : {secret, std::string("../secret.bty"), std::string("inner/../../secret.bty"), std::string("link.bty"),
                                  std::string("near.bty"), std::string("up/secret.bty"), std::string("round.bty"), std::string("..\\secret.bty"),
                                  std::string("./../book/../secret.bty"), std::string("file://") + secret, std::string("~/secret.bty")})
    refused(folder, path);
}

TEST_CASE("what is no file cannot be used") {
  const Folder folder;
  folder.write("book/inner/x.bty", "");
  REQUIRE(::mkfifo(folder.path("book/pipe.bty").c_str(), 0600) == 0);
  std::filesystem::create_symlink("/dev/zero", folder.path("book/zero.bty"));
  std::filesystem::create_symlink("/dev/stdin", folder.path("book/in.bty"));
  for (const std::string& path : {std::string("inner"), std::string("."), std::string(".."), std::string("/"), std::string(""), std::string("pipe.bty"),
                                  std::string("zero.bty"), std::string("in.bty"), std::string("x\0y", 3), std::string("no.bty"),
                                  repeat("x", 5000), repeat("x/", 5000), repeat("../", 5000), std::string("inner/x.bty/y"), std::string("\xE2\x80\xAE")})
    refused(folder, path);
}

TEST_CASE("a huge file that is used is refused as one that is read") {
  const Folder folder;
  folder.write("book/b.bty", repeat("-- x\n", file_bound / 5 + 1));
  refused(folder, "b.bty");
}
