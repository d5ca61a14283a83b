// The example teachings, read by the tests' own reader, before four solvers and the compiler: both editions of both worlds.
#include <catch2/catch.hpp>

#include <fstream>
#include <iostream>
#include <sstream>

#include "tests/oracle/source.h"
#include "tests/oracle/trial.h"

namespace betony::oracle {
namespace {

std::string content(const std::string& path) {
  std::ifstream in(path);
  REQUIRE(in);
  std::ostringstream text;
  text << in.rdbuf();
  return text.str();
}

Totals world(const std::string& folder, const std::string& root) {
  const std::string at = std::string(BETONY_SOURCE_DIR) + "/rulesets/" + folder + "/";
  Book book = read_book(root, [&](const std::string& name) { return content(at + name); });
  INFO(book.trouble);
  REQUIRE(book.trouble.empty());
  const auto out = read_ruleset({root, content(at + root)}, [&](const std::string& name) { return std::optional<std::string>(content(at + name)); });
  REQUIRE(out);
  auto c = std::make_unique<Candidate>();
  c->model = std::move(book.model);
  for (const SourceFile& file : out.value->tree.files)
    for (std::size_t i = 0; i < book.files.size(); ++i)
      if (book.files[i] == file.name) c->places.push_back(book.places[i]);
  REQUIRE(c->places.size() == book.files.size());
  CHECK(book.sentences == out.value->tree.sentences.size());
  c->text = at + root;
  c->report = check(*out.value);
  c->examination = std::make_unique<Examination>(c->model, c->places, c->report);
  std::vector<std::unique_ptr<Candidate>> batch;
  batch.push_back(std::move(c));
  Totals totals;
  examine(batch, {.z3 = 120, .clasp = 40}, seed(), totals);
  std::cout << folder << ": " << totals.words();
  for (const std::string& d : totals.differences) UNSCOPED_INFO(d);
  CHECK(totals.differences.empty());
  CHECK(totals.not_settled == 0);
  return totals;
}

TEST_CASE("of the Tamberlow day the oracles and the compiler say the same") { CHECK(world("tamberlow", "tamberlow.bty").compared >= 200); }
TEST_CASE("of the Tamberlow day with its faults the oracles and the compiler say the same") {
  CHECK(world("tamberlow/earlier", "tamberlow.bty").compared >= 200);
}
TEST_CASE("of the Lantern Lakes day the oracles and the compiler say the same") { CHECK(world("lantern-lakes", "lantern-lakes.bty").compared >= 300); }
TEST_CASE("of the Lantern Lakes day with its faults the oracles and the compiler say the same") {
  CHECK(world("lantern-lakes/earlier", "lantern-lakes.bty").compared >= 300);
}

}  // namespace
}  // namespace betony::oracle
