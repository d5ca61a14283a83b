#include <catch2/catch.hpp>

#include <algorithm>

#include "forms.h"
#include "worlds.h"

using namespace betony;
using namespace betony::worlds;

namespace {

Ruleset read(const Edition& edition) {
  INFO(edition.name);
  auto read = read_ruleset(root_of(edition), reader_of(edition));
  INFO(told(read.messages));
  REQUIRE(read);
  return std::move(*read.value);
}

Tree tree_of(const Edition& edition) {
  INFO(edition.name);
  auto read = read_source(root_of(edition), reader_of(edition));
  INFO(told(read.messages));
  REQUIRE(read);
  return std::move(*read.value);
}

std::string told(const std::vector<Problem>& problems) {
  std::string out;
  for (const auto& p : problems) {
    out += p.kind + " " + p.form + " " + p.practice + p.choice + p.finding + ":";
    for (const auto& s : p.sentences) out += " " + s.text;
    out += "\n";
  }
  return out;
}

}  // namespace

TEST_CASE("the newest edition of each world has no error and no question, and every check finishes") {
  for (const auto& edition : newest()) {
    const Report report = check(read(edition));
    std::vector<Problem> worse = report.problems;
    std::erase_if(worse, [](const Problem& p) { return p.severity == Severity::note; });
    INFO(edition.name << "\n" << told(worse));
    CHECK(worse.empty());
    CHECK(report.not_settled.empty());
  }
}

TEST_CASE("the newest edition of each world has more to say than its declarations, and notes are few") {
  for (const auto& edition : newest()) {
    const Ruleset ruleset = read(edition);
    const Report report = check(ruleset);
    INFO(edition.name << "\n" << told(report.problems));
    CHECK(ruleset.sentences.size() >= 80);
    CHECK(report.count(Severity::note) <= ruleset.practices.size());
  }
}

TEST_CASE("between them the newest editions hold every form of the language") {
  std::set<std::string> seen;
  for (const auto& edition : newest()) seen.merge(forms_in(tree_of(edition)));
  std::vector<std::string> missing, unknown;
  std::ranges::set_difference(every_form(), seen, std::back_inserter(missing));
  std::ranges::set_difference(seen, every_form(), std::back_inserter(unknown));
  CHECK(missing == std::vector<std::string>{});
  CHECK(unknown == std::vector<std::string>{});
}

TEST_CASE("the standard form of each file of the worlds says the same, and is its own standard form") {
  for (const auto& edition : every_edition()) {
    const Tree tree = tree_of(edition);
    for (std::uint32_t file = 0; file < tree.files.size(); ++file) {
      INFO(edition.name << ", " << tree.files[file].name);
      const std::string tidied = tidy(tree, file);
      const auto others = [&](const std::string& name) -> std::optional<std::string> {
        return name == tree.files[file].name ? tidied : reader_of(edition)(name);
      };
      SourceFile root = root_of(edition);
      if (file == 0) root.text = tidied;
      const auto again = read_source(root, others);
      INFO(worlds::told(again.messages));
      REQUIRE(again);
      CHECK(print(*again.value) == print(tree));
      CHECK(tidy(*again.value, file) == tidied);
    }
  }
}
