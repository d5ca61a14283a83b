#include <catch2/catch.hpp>

#include <algorithm>

#include "forms.h"
#include "worlds.h"

using namespace betony;
using namespace betony::worlds;

namespace {

Tree tree_of(const Edition& edition) {
  INFO(edition.name);
  auto read = read_source(root_of(edition), reader_of(edition));
  INFO(told(read.messages));
  REQUIRE(read);
  return std::move(*read.value);
}

std::string worse_than_notes(const Checked& checked) {
  std::string out;
  for (const auto& p : checked.report.problems)
    if (p.severity != Severity::note) out += show(checked.ruleset, p);
  return out;
}

}  // namespace

TEST_CASE("the newest edition of each world has no error and no question, and every check finishes") {
  for (const auto& edition : newest()) {
    INFO(edition.name);
    CHECK(worse_than_notes(checked(edition)) == "");
    CHECK(checked(edition).report.not_settled == std::vector<std::string>{});
  }
}

TEST_CASE("the worlds have some 80 and some 200 sentences, and few notes") {
  const auto& [weavers, of_weavers] = checked(newest()[0]);
  const auto& [lakes, of_lakes] = checked(newest()[1]);
  CHECK(weavers.sentences.size() >= 80);
  CHECK(lakes.tree.sentences.size() >= 200);
  CHECK(of_weavers.count(Severity::note) <= 12);
  CHECK(of_lakes.count(Severity::note) <= 24);
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
