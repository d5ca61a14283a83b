// Seals, as the verbs ship and weigh make them and ask for them.
#include <catch2/catch.hpp>

#include <stdlib.h>
#include <sys/stat.h>

#include <algorithm>
#include <filesystem>
#include <fstream>
#include <nlohmann/json.hpp>
#include <sstream>

#include "tests/unit/terminal_run.h"

namespace {

using betony::testing::Answer;
using betony::testing::run;

// What was wrapped, in one line.
std::string flat(std::string text) {
  std::replace(text.begin(), text.end(), '\n', ' ');
  return text;
}

std::string bytes_of(const std::string& path) {
  std::ostringstream text;
  text << std::ifstream(path, std::ios::binary).rdbuf();
  return text.str();
}

// A folder with a ruleset, two keys, and its pack sealed with one of them, with the other, and not at all.
class Hill {
 public:
  Hill() {
    REQUIRE(::mkdtemp(path_.data()) != nullptr);
    std::ofstream(at("hill.bty")) << "Ruleset \"Hill\", edition \"2\".\nFinding chill is yes or no.\n"
                                     "Practice moss bed.\n  Indicated in chill.\n  Otherwise allowed.\n";
    made = run({"ship", "--new-key", at("mine")});
    REQUIRE(made.status == 0);
    REQUIRE(run({"ship", "--new-key", at("other")}).status == 0);
    REQUIRE(run({"ship", at("hill.bty"), "-o", at("plain.pack")}).status == 0);
    shipped = run({"ship", at("hill.bty"), "-o", at("mine.pack"), "--key", at("mine.secret")});
    REQUIRE(shipped.status == 0);
    REQUIRE(run({"ship", at("hill.bty"), "-o", at("other.pack"), "--key", at("other.secret")}).status == 0);
  }
  ~Hill() { std::filesystem::remove_all(path_); }
  std::string at(const std::string& name) const { return path_ + "/" + name; }
  std::string put(const std::string& name, const std::string& bytes) const {
    std::ofstream(at(name), std::ios::binary) << bytes;
    return at(name);
  }
  // The second line of a key file, and its first 16 digits in groups.
  std::string digits(const std::string& name) const {
    const std::string text = bytes_of(at(name));
    return text.substr(text.find('\n') + 1, 64);
  }
  std::string words(const std::string& name) const {
    const std::string hex = digits(name);
    return hex.substr(0, 4) + " " + hex.substr(4, 4) + " " + hex.substr(8, 4) + " " + hex.substr(12, 4);
  }

  Answer made{}, shipped{};

 private:
  std::string path_ = (std::filesystem::temp_directory_path() / "betony-hill-XXXXXX").string();
};

}  // namespace

TEST_CASE("a new key is told by its files and its words, and never by what is secret") {
  const Hill hill;
  CHECK(flat(hill.made.out) == hill.at("mine.secret") +
                                   " seals packs. Show it to nobody, and keep a copy where nobody else comes: it cannot be made again. " +
                                   hill.at("mine.public") + " is for those who look for your seal, " + hill.words("mine.public") +
                                   ". Let it reach them by another way than the packs. ");
  struct stat about = {};
  REQUIRE(::stat(hill.at("mine.secret").c_str(), &about) == 0);
  CHECK((about.st_mode & 07777) == 0600);
  const Answer again = run({"ship", "--new-key", hill.at("mine")});
  CHECK(again.status == 3);
  CHECK(flat(again.err).find("is there already, and a key is never written over a file") != std::string::npos);
  const Answer json = run({"ship", "--new-key", hill.at("third"), "--json"});
  const auto told = nlohmann::json::parse(json.out);
  const std::string secret = hill.at("third.secret"), open = hill.at("third.public");
  CHECK(told == nlohmann::json{{"betony", 1}, {"secret", secret}, {"public", open}, {"by", hill.digits("third.public")}});
  CHECK((hill.made.out + hill.made.err).find(hill.digits("mine.secret").substr(0, 8)) == std::string::npos);
  CHECK((json.out + json.err).find(hill.digits("third.secret").substr(0, 8)) == std::string::npos);
}

TEST_CASE("ship tells whose seal a pack bears") {
  const Hill hill;
  CHECK(hill.shipped.out.find("\nSealed by " + hill.words("mine.public") + ".\n") != std::string::npos);
  CHECK(bytes_of(hill.at("mine.pack")).size() == bytes_of(hill.at("plain.pack")).size() + 104);
  CHECK(run({"ship", hill.at("hill.bty"), "-o", hill.at("a.pack")}).out.find("\nNot sealed.\n") != std::string::npos);
  const auto seal = [&](std::vector<std::string> words) { return nlohmann::json::parse(run(words).out).at("seal"); };
  const std::string source = hill.at("hill.bty"), pack = hill.at("a.pack");
  CHECK(seal({"ship", source, "-o", pack, "--json"}) == nullptr);
  CHECK(seal({"ship", source, "-o", pack, "--json", "--key", hill.at("mine.secret")}) == nlohmann::json{{"by", hill.digits("mine.public")}});
}

TEST_CASE("weigh tells under the title whose seal a pack bears, and of a source nothing") {
  const Hill hill;
  CHECK(run({"weigh", hill.at("mine.pack")}).out.rfind("Hill, edition 2\nSealed by " + hill.words("mine.public") + ".\n____", 0) == 0);
  CHECK(run({"weigh", hill.at("plain.pack")}).out.rfind("Hill, edition 2\nNot sealed.\n____", 0) == 0);
  CHECK(run({"weigh", hill.at("hill.bty")}).out.rfind("Hill, edition 2\n____", 0) == 0);
  const auto json = [&](const std::string& name) { return nlohmann::json::parse(run({"weigh", hill.at(name), "--json"}).out); };
  CHECK(json("mine.pack").at("seal") == nlohmann::json{{"by", hill.digits("mine.public")}});
  CHECK(json("plain.pack").at("seal") == nullptr);
  CHECK_FALSE(json("hill.bty").contains("seal"));
}

TEST_CASE("a pack that is to be sealed by somebody is weighed with if it is, from a pipe too, and else refused in words") {
  const Hill hill;
  const std::string mine = hill.at("mine.public");
  const auto refused = [&](const std::string& name) {
    const Answer told = run({"weigh", hill.at(name), "--set", "chill=yes", "--sealed-by", mine});
    CHECK(told.status == 1);
    CHECK(told.out.find("moss bed") == std::string::npos);
    return flat(told.out);
  };
  const Answer good = run({"weigh", hill.at("mine.pack"), "--set", "chill=yes", "--sealed-by", mine});
  CHECK(good.status == 0);
  CHECK(good.out.find("{#} advised      moss bed\n") != std::string::npos);
  CHECK(run({"weigh", "-", "--set", "chill=yes", "--sealed-by", mine}, bytes_of(hill.at("mine.pack"))).out == good.out);
  CHECK(run({"weigh", "-", "--sealed-by", mine}, bytes_of(hill.at("plain.pack"))).status == 1);
  const std::string head = "Nothing is weighed: \"";
  CHECK(refused("plain.pack") == head + hill.at("plain.pack") + "\" is refused: it is not sealed. ");
  const std::string by_another = "it is sealed by " + hill.words("other.public") + ", and not by " + hill.words("mine.public");
  CHECK(refused("other.pack") == head + hill.at("other.pack") + "\" is refused: " + by_another + ". ");
  CHECK(refused("hill.bty") == head + hill.at("hill.bty") + "\" is refused: this is no pack. ");
  const auto json = nlohmann::json::parse(run({"weigh", hill.at("other.pack"), "--sealed-by", mine, "--json"}).out);
  CHECK(json == nlohmann::json{{"betony", 1},
                               {"weighed", false},
                               {"seal", {{"by", hill.digits("other.public")}}},
                               {"matter", "\"" + hill.at("other.pack") + "\" is refused: " + by_another}});
}

TEST_CASE("a pack whose seal was tampered with is refused, asked for or not, and whatever byte of it was changed") {
  const Hill hill;
  const std::string bytes = bytes_of(hill.at("mine.pack")), mine = hill.at("mine.public");
  std::string last = bytes;
  last.back() ^= 1;
  const std::string path = hill.put("changed.pack", last);
  const Answer unasked = run({"weigh", path});
  CHECK(unasked.status == 3);
  CHECK(unasked.out == "");
  CHECK(flat(unasked.err).find("cannot be used: the seal does not fit the pack: one of them has been changed.") != std::string::npos);
  for (std::size_t i = 0; i < bytes.size(); i += 7) {
    std::string changed = bytes;
    changed[i] ^= 0x20;
    hill.put("changed.pack", changed);
    if (run({"weigh", path, "--sealed-by", mine}).status != 1) FAIL_CHECK("byte " << i << " may be changed");
    if (run({"weigh", path}).status == 0) FAIL_CHECK("byte " << i << " may be changed unasked");
  }
  for (std::size_t size = 0; size < bytes.size(); size += 5) {
    hill.put("changed.pack", bytes.substr(0, size));
    if (run({"weigh", path, "--sealed-by", mine}).status != 1) FAIL_CHECK("the pack may end after " << size << " bytes");
  }
}

TEST_CASE("a key that cannot be had stops the verb before anything is written or weighed") {
  const Hill hill;
  const auto complaint = [&](const std::vector<std::string>& words) {
    const Answer told = run(words);
    CHECK(told.status == 3);
    CHECK(told.out == "");
    CHECK(told.err.find(hill.digits("mine.secret").substr(0, 8)) == std::string::npos);
    return flat(told.err);
  };
  const std::string source = hill.at("hill.bty"), pack = hill.at("new.pack");
  const std::size_t none = std::string::npos;
  CHECK(complaint({"ship", source, "-o", pack, "--key", hill.at("mine.public")}).find("holds a public key; the secret key is asked for.") != none);
  CHECK(complaint({"ship", source, "-o", pack, "--key", hill.at("none.secret")}).find("there is no file") != std::string::npos);
  CHECK(complaint({"ship", source, "-o", pack, "--key", source}).find("is no key") != std::string::npos);
  CHECK(complaint({"ship", source, "-o", pack, "--key", ""}).find("the name of the file is empty") != std::string::npos);
  CHECK(complaint({"ship", source, "--key", hill.at("mine.secret")}).find("name the pack that is to be written: -o NAME.pack.") != std::string::npos);
  CHECK(complaint({"ship", "-o", pack}).find("name the file of a ruleset, or - for standard input.") != std::string::npos);
  CHECK(complaint({"ship", source, "--new-key", hill.at("new")}).find("--new-key makes a key and ships nothing") != std::string::npos);
  CHECK(complaint({"ship", "--new-key", ""}).find("the name of the file is empty") != std::string::npos);
  const std::string key = hill.at("mine.secret"), kept = bytes_of(key);
  CHECK(complaint({"ship", source, "-o", hill.at("./mine.secret"), "--key", key}).find("the pack would be written over your key.") != none);
  CHECK(bytes_of(key) == kept);
  CHECK_FALSE(std::filesystem::exists(pack));
  CHECK_FALSE(std::filesystem::exists(hill.at("new.secret")));
  const std::string sealed = hill.at("mine.pack");
  CHECK(complaint({"weigh", sealed, "--sealed-by", hill.at("mine.secret")}).find("holds a secret key; the public key is asked for.") != none);
  CHECK(complaint({"weigh", sealed, "--sealed-by", ""}).find("the name of the file is empty") != std::string::npos);
}
