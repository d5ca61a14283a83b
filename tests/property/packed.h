// tests/property/packed.h: a random ruleset beside the pack that was made of it.
#pragma once

#include <cstdlib>
#include <map>
#include <memory>

#include "runtime/answers.h"
#include "tests/packs.h"
#include "tests/property/generate.h"
#include "tests/property/verdicts.h"
#include "tests/support.h"

namespace betony::referee {

inline std::size_t times() {
  const char* text = std::getenv("BETONY_PROPERTY_TIMES");
  return text && *text ? std::strtoull(text, nullptr, 10) : 1;
}

struct World {
  World(std::uint64_t seed, Scale scale) : World(random_model(seed, scale)) {}
  explicit World(Model given)
      : model(std::move(given)),
        text(print(model).text),
        ruleset(betony::testing::ruleset_of(text)),
        pack(betony::testing::packed(ruleset, Report{})),
        names(pack),
        universe(model),
        judge(model, universe) {}

  const Model model;
  const std::string text;
  const Ruleset ruleset;
  const runtime::Pack pack;
  const runtime::Names names;
  const Universe universe;
  const Judge judge;

  const Table& table(int school) {
    auto& kept = tables_[school];
    if (!kept) kept = std::make_unique<Table>(judge.table(school));
    return *kept;
  }

  runtime::Index finding_of(std::size_t variable) const {
    const Subject& s = universe.variables()[variable].subject;
    const Finding& f = model.findings[static_cast<std::size_t>(s.finding)];
    return names.finding(s.item < 0 ? f.name : f.words[static_cast<std::size_t>(s.item)]);
  }
  // The answers of a profile, of those variables that are told.
  runtime::Answers answers(std::size_t profile, const std::vector<char>& told) const {
    runtime::Answers out(pack.findings.size());
    for (std::size_t v = 0; v < told.size(); ++v)
      if (told[v] && finding_of(v) != no_index) out[finding_of(v)] = value(v, universe.cell(profile, static_cast<int>(v)));
    return out;
  }
  // Whether the two are the same in every variable that is told.
  bool agrees(std::size_t a, std::size_t b, const std::vector<char>& told) const {
    for (std::size_t v = 0; v < told.size(); ++v)
      if (told[v] && universe.cell_index(a, static_cast<int>(v)) != universe.cell_index(b, static_cast<int>(v))) return false;
    return true;
  }
  runtime::Value value(std::size_t variable, const Cell& cell) const {
    if (cell.never) return {runtime::Value::Kind::never, 0, {}};
    if (!universe.variables()[variable].is_number) return {runtime::Value::Kind::word, static_cast<runtime::Index>(cell.word), {}};
    return {runtime::Value::Kind::number, 0, runtime::Number::read(cell.number.get_str(), 4096).value()};
  }

 private:
  std::map<int, std::unique_ptr<Table>> tables_;
};

}  // namespace betony::referee
