// Where sentences meet, held against the evaluator: whoever two of them speak for has values that are shown as their meeting.
#include <iostream>

#include "compiler/view/crossing_view.h"
#include "tests/drawing/persons.h"
#include "tests/rulesets/worlds.h"
#include "tests/support.h"
#include "viz/drawing/letters.h"

namespace betony::view {
namespace {

bool has(const CrossingView::Scale& scale, const std::vector<bool>& extents, const Value& value) {
  for (std::size_t e = 0; e < extents.size(); ++e) {
    const Extent& extent = scale.dimension.extents[e];
    const bool within = value.kind == Value::Kind::number ? extent.kind == Extent::Kind::numbers && extent.numbers.contains(value.number)
                        : value.kind == Value::Kind::word ? extent.kind == Extent::Kind::word && extent.word == value.word
                                                          : extent.kind == Extent::Kind::never;
    if (within) return extents[e];
  }
  return false;
}

Value value_of(const Ruleset& ruleset, const CrossingView::Scale& scale, const Profile& person) {
  if (scale.dimension.is_measure) return {Value::Kind::number, 0, measure_value(ruleset, scale.dimension.index, person)};
  return *person[scale.dimension.index];
}

Reading reading_of(const Ruleset& ruleset, const Problem& problem) {
  for (Index s = 0; s < ruleset.schools.size(); ++s)
    if (ruleset.schools[s].name == problem.school) return {s};
  return {};
}

bool is_looked_at(const Ruleset& ruleset, const Profile& person, Reading reading) {
  const Weighing weighing = evaluate(ruleset, person, reading);
  return !weighing.outside && weighing.refers.empty();
}

TEST_CASE("whoever two crossing sentences speak for is shown where they meet, and so is every witness") {
  std::size_t crossings = 0, witnesses = 0, met = 0;
  for (const auto& edition : worlds::earlier()) {
    const auto& [ruleset, report] = worlds::checked(edition);
    drawing::Persons persons(ruleset);
    std::vector<Profile> drawn;
    while (drawn.size() < 300)
      if (Profile person = persons.next(); is_looked_at(ruleset, person, {})) drawn.push_back(std::move(person));
    for (const Problem& problem : report.problems) {
      if (!is_crossing(ruleset, problem)) continue;
      ++crossings;
      INFO(worlds::show(ruleset, problem));
      const CrossingView seen = crossing_view(ruleset, problem);
      REQUIRE(!seen.scales.empty());
      REQUIRE(seen.second.front() == false);
      REQUIRE(seen.second.back() == true);
      if (problem.witness) {
        ++witnesses;
        for (const auto& scale : seen.scales) CHECK(has(scale, scale.both, value_of(ruleset, scale, *problem.witness)));
      }
      const Reading reading = reading_of(ruleset, problem);
      const auto speaks = [&](std::size_t i, const Profile& person) { return fires(ruleset, ruleset.sentences[seen.sentences[i]], person, reading); };
      for (const Profile& person : drawn) {
        std::vector<bool> spoken;
        for (std::size_t i = 0; i < seen.sentences.size(); ++i) spoken.push_back(speaks(i, person));
        for (std::size_t i = 0; i < spoken.size(); ++i)
          if (spoken[i])
            for (const auto& scale : seen.scales) CHECK(has(scale, scale.spoken[i], value_of(ruleset, scale, person)));
        if (seen.sentences.size() != 2 || !spoken[0] || !spoken[1]) continue;
        ++met;
        for (const auto& scale : seen.scales) CHECK(has(scale, scale.both, value_of(ruleset, scale, person)));
      }
    }
  }
  std::cout << crossings << " crossings, " << witnesses << " witnesses, " << met << " persons for whom two sentences speak\n";
  CHECK(crossings > 40);
  CHECK(met > 100);
}

TEST_CASE("silence, an order and company are no crossings: none of their sentences meet") {
  std::size_t seen = 0;
  for (const auto& edition : worlds::earlier())
    for (const Problem& problem : worlds::checked(edition).report.problems)
      if (problem.kind == "silence" || problem.kind == "order-loop" || problem.kind == "broken-company") {
        ++seen;
        CHECK_FALSE(is_crossing(worlds::checked(edition).ruleset, problem));
      }
  CHECK(seen > 4);
}

TEST_CASE("of many sentences that meet one pair is shown, that of the witness, and the others are counted") {
  std::string source;
  for (int i = 1; i <= 12; ++i) source += "Finding sign " + std::to_string(i) + " is yes or no.\n  Ask \"Sign?\".\n";
  source += "Practice tide walk.\n";
  for (int i = 1; i <= 12; ++i) source += std::string(i % 2 ? "  Indicated" : "  Contraindicated") + " in sign " + std::to_string(i) + ".\n";
  const auto read = read_ruleset({"tide.bty", source}, {});
  REQUIRE(read.value.has_value());
  const Report report = check(*read.value);
  std::size_t shown = 0;
  for (const Problem& problem : report.problems) {
    if (problem.pairs.size() < 30) continue;
    ++shown;
    const CrossingView seen = crossing_view(*read.value, problem);
    CHECK(seen.sentences.size() == 2);
    CHECK(seen.pairs_left_out == problem.pairs.size() - 1);
    CHECK(seen.scales.size() == 2);
    CHECK(seen.others.size() == 10);
    for (const auto& scale : seen.scales) {
      CHECK(scale.both == std::vector<bool>{false, true});
      CHECK(scale.witness->word == 1);
    }
  }
  CHECK(shown == 1);
}

TEST_CASE("a number behind a name that runs from right to left stays behind it") {
  const std::string from_right = "\xe2\x81\xa7", end = "\xe2\x81\xa9";
  CHECK(drawing::one_line("عمر 40 years") == from_right + "عمر" + end + " 40 years");
  CHECK(drawing::one_line("in عمر over 40 or عمر") == "in " + from_right + "عمر" + end + " over 40 or " + from_right + "عمر" + end);
  CHECK(drawing::one_line("حمام 3 بارد, x") == from_right + "حمام 3 بارد" + end + ", x");
  CHECK(drawing::one_line("الطبعة ٣") == from_right + "الطبعة ٣" + end);
  CHECK(drawing::one_line(drawing::one_line("عمر 40")) == drawing::one_line("عمر 40"));
  CHECK(drawing::one_line("age 40") == "age 40");
}

}  // namespace
}  // namespace betony::view
