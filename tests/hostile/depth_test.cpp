// Brackets in brackets, and what leans on what leans on what.
#include <algorithm>
#include <catch2/catch.hpp>

#include "tests/hostile/meet.h"
#include "tests/hostile/sources.h"

using namespace betony;
using namespace betony::hostile;

namespace {

std::string in_condition(const std::string& condition) {
  return opening() + "Practice x.\nIndicated in " + condition + ".\nOtherwise allowed.\n";
}

std::string in_measure(const std::string& arithmetic) {
  return opening() + "Measure m is " + arithmetic + " in years.\nPractice x.\nIndicated in m over 3.\nOtherwise allowed.\n";
}

std::string nested(std::string_view open, std::string_view middle, std::string_view close, std::size_t depth) {
  return repeat(open, depth) + std::string(middle) + repeat(close, depth);
}

struct Nest {
  const char* open;
  const char* middle;
  const char* close;
};

const Nest conditions[] = {
    {"(", "fever", ")"},
    {"not (", "fever", ")"},
    {"(fever and (", "chill", " or fever) and chill)"},
    {"(fever or ", "chill", ")"},
    {"(chill and ", "fever", ")"},
    {"(", "at least 2 of fever, chill, stiff knees", ")"},
    {"(all of fever, (", "chill", "))"},
};
const Nest sums[] = {
    {"(", "age", ")"},
    {"(1 years + (", "age", "))"},
    {"((", "age", ") / 2)"},
};

std::size_t levels(const Nest& nest) {
  const std::string_view open = nest.open;
  return static_cast<std::size_t>(std::count(open.begin(), open.end(), '('));
}

}  // namespace

TEST_CASE("brackets 200 deep are read and checked") {
  for (const Nest& nest : conditions) {
    INFO(nest.open);
    const auto trial = meet(in_condition(nested(nest.open, nest.middle, nest.close, 200 / levels(nest))));
    CHECK(trial.first_matter == "");
    CHECK(trial.reached == trial::Trial::Reached::report);
  }
  for (const Nest& nest : sums) {
    INFO(nest.open);
    CHECK(meet(in_measure(nested(nest.open, nest.middle, nest.close, 200 / levels(nest)))).first_matter == "");
  }
}

TEST_CASE("brackets 201 deep are told to be too deep") {
  for (const Nest& nest : conditions) {
    INFO(nest.open);
    const auto trial = meet(in_condition(nested(nest.open, nest.middle, nest.close, 200 / levels(nest) + 1)));
    CHECK(trial.reached == trial::Trial::Reached::nothing);
    CHECK(trial.messages == 1);
  }
  for (const Nest& nest : sums) {
    INFO(nest.open);
    CHECK(meet(in_measure(nested(nest.open, nest.middle, nest.close, 200 / levels(nest) + 1))).messages == 1);
  }
}

TEST_CASE("brackets 100,000 deep get a message, closed or not") {
  for (const std::size_t depth : {1000, 100000}) {
    for (const Nest& nest : conditions) {
      INFO(nest.open);
      CHECK(meet(in_condition(nested(nest.open, nest.middle, nest.close, depth))).messages > 0);
      CHECK(meet(in_condition(repeat(nest.open, depth))).messages > 0);
      CHECK(meet(in_condition(nest.middle + repeat(nest.close, depth))).messages > 0);
    }
    for (const Nest& nest : sums) {
      INFO(nest.open);
      CHECK(meet(in_measure(nested(nest.open, nest.middle, nest.close, depth))).messages > 0);
      CHECK(meet(in_measure(repeat(nest.open, depth))).messages > 0);
    }
  }
}

TEST_CASE("the time that brackets cost grows with their number, not with its square") {
  // Two hundred levels in one sentence, many sentences: any going back within brackets would be seen.
  const std::string deep = nested("(fever or (", "chill", ") and chill)", 100);
  std::string source = opening() + "Practice x.\n";
  for (unsigned i = 0; i < 2000 / smaller; ++i) source += "Indicated in " + deep + ".\n";
  meet(source, reading());
}

TEST_CASE("long chains of what leans on something else end in an answer or a message") {
  for (const Shape& shape : deep_chains()) {
    INFO(shape.name);
    meet_program(shape.make());
  }
}
