// Rulesets of several files: what `Use` reads, and what it refuses.
#include <catch2/catch.hpp>

#include <map>

#include "grammar/files.h"
#include "tests/unit/grammar_said.h"

using namespace betony;

namespace {

struct Shelf {
  std::map<std::string, std::string> texts;
  std::vector<std::string> asked;  // in order

  Outcome<Tree> read(const std::string& name, const Limits& limits = {}) {
    return read_source({name, texts.at(name)}, [this](const std::string& path) -> std::optional<std::string> {
      const auto found = texts.find(path);
      if (found == texts.end()) return std::nullopt;
      asked.push_back(path);
      return found->second;
    }, limits);
  }
  std::string said(const std::string& name, const Limits& limits = {}) {
    const auto out = read(name, limits);
    std::vector<SourceFile> files{{name, texts.at(name)}};
    for (const auto& path : asked) files.push_back({path, texts.at(path)});
    return testing::said(out.messages, files);
  }
};

}  // namespace

TEST_CASE("the sentences of a used file stand where it is used") {
  Shelf shelf{{{"a.bty", "Term x means fever.\nUse \"b.bty\".\nTerm y means x. -- a\n"},
               {"b.bty", "-- b\nFinding fever is yes or no.\n"}}, {}};
  const auto out = shelf.read("a.bty");
  REQUIRE(out);
  CHECK(print(*out.value) == "term x\n  fever\nuse \"b.bty\"\nfinding fever\n  yes or no\nterm y\n  x\n");
  CHECK(out.value->files.size() == 2);
  CHECK(out.value->files[1].name == "b.bty");
  REQUIRE(out.value->comments.size() == 2);
  CHECK(out.value->comments[0].text == "-- a");
  CHECK(out.value->comments[1].file == 1);
}

TEST_CASE("a file that is used twice is read once") {
  Shelf shelf{{{"a.bty", "Use \"b.bty\". Use \"c.bty\". Use \"b.bty\"."}, {"b.bty", "Finding x is yes or no."}, {"c.bty", "Use \"b.bty\"."}}, {}};
  CHECK(shelf.said("a.bty").empty());
  CHECK(shelf.asked == std::vector<std::string>{"b.bty", "c.bty"});
}

TEST_CASE("a used path is seen from the file that uses it, within the folder of the first") {
  Shelf shelf{{{"home/a.bty", "Use \"sub/b.bty\"."}, {"home/sub/b.bty", "Use \"../c.bty\". Use \"./d.bty\"."},
               {"home/c.bty", ""}, {"home/sub/d.bty", ""}}, {}};
  CHECK(shelf.said("home/a.bty").empty());
  CHECK(shelf.asked == std::vector<std::string>{"home/sub/b.bty", "home/c.bty", "home/sub/d.bty"});
}

TEST_CASE("files that use each other are told where the loop closes") {
  Shelf shelf{{{"a.bty", "Use \"b.bty\"."}, {"b.bty", "Use \"a.bty\"."}}, {}};
  CHECK(shelf.said("a.bty") ==
        "b.bty:1:5 [\"a.bty\"] files that use each other: \"a.bty\" is being read already, and so uses itself. | Use \"….bty\".\n");
  Shelf alone{{{"a.bty", "Use \"a.bty\"."}}, {}};
  CHECK(alone.said("a.bty").find("files that use each other") != std::string::npos);
}

TEST_CASE("files that name further files too deep are told where they do") {
  const auto chain = [](int length) {
    const auto others = [length](const std::string& path) -> std::optional<std::string> {
      const int at = std::stoi(path);
      return at < length ? "Use \"" + std::to_string(at + 1) + ".bty\".\n" : "Practice x.\n";
    };
    return read_source({"main.bty", "Use \"1.bty\".\n"}, others);
  };
  CHECK(chain(200).messages.empty());
  const auto deep = chain(201);
  REQUIRE(deep.messages.size() == 1);
  CHECK(deep.messages[0].matter == "files too deep");
}

TEST_CASE("a path out of the ruleset's folder is refused, however it is written") {
  const std::vector<std::string> named{"../x.bty", "/etc/x.bty", "sub/../../x.bty", "sub\\x.bty", "C:x.bty"}, unnamed{"", ".", "sub/", "..", "a/../.."};
  for (const bool has_name : {true, false}) for (const std::string& path : has_name ? named : unnamed) {
    INFO(path);
    CHECK_FALSE(path_within("", path).has_value());
    Shelf shelf{{{"a.bty", "Use \"" + path + "\"."}}, {}};
    CHECK(shelf.said("a.bty") == "1:5 [\"" + path + "\"] a file outside the ruleset: \"" + path +
                                     "\" does not lie in the ruleset's folder. | Use \"" + (has_name ? "x.bty" : "….bty") + "\".\n");
  }
  CHECK(path_within("sub/", "../x.bty") == "x.bty");
  CHECK(path_within("", "a/./b//c.bty") == "a/b/c.bty");
}

TEST_CASE("a file that is not there is told at its name") {
  Shelf shelf{{{"a.bty", "Use \"none.bty\"."}}, {}};
  CHECK(shelf.said("a.bty") ==
        "1:5 [\"none.bty\"] a file that is not there: No file \"none.bty\" can be read; files are named as seen from the folder of this one. | Use \"….bty\".\n");
  CHECK(testing::said("Use \"none.bty\".").find("a file that is not there") != std::string::npos);
}

TEST_CASE("messages of several files name the other file's lines") {
  Shelf shelf{{{"a.bty", "Use \"b.bty\".\nTerm x means feever.\nFinding fever is yes or no.\n"}, {"b.bty", "\nFinding fever is yes or no.\n"}}, {}};
  CHECK(shelf.said("a.bty") ==
        "2:14 [feever] nothing goes by this name: No finding is called \"feever\"; did you mean \"fever\" (line 2 of b.bty)? | Term x means fever.\n"
        "3:9 [fever] one name, declared twice: \"fever\" is a finding already, in line 2 of b.bty; one of the two needs another name. | Finding fever … is yes or no.\n");
}
