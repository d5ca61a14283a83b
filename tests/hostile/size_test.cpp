// Sources up to the bounds and past them: the whole program, with 2 GiB and 10 s.
#include <catch2/catch.hpp>

#include "tests/hostile/meet.h"
#include "tests/hostile/sources.h"

using namespace betony;
using namespace betony::hostile;

namespace {

void meet_each(const std::vector<Shape>& shapes, std::string_view name = "main.bty") {
  for (const Shape& shape : shapes) {
    INFO(shape.name);
    const std::string source = shape.make();
    CHECK(source.size() <= file_bound);
    const Answer answer = meet_program(source, name);
    WARN(shape.name << ": " << (source.size() >> 10) << " KiB, " << answer.seconds << " s, " << (answer.memory >> 20) << " MiB, status "
                    << answer.status);
  }
}

}  // namespace

TEST_CASE("16 MiB of one letter or mark get a message") { meet_each(huge_of_one_letter()); }
TEST_CASE("16 MiB in one piece end in an answer or a message") { meet_each(huge_of_one_piece()); }
TEST_CASE("16 MiB of sentences end in an answer or a message") { meet_each(huge_of_sentences()); }
TEST_CASE("16 MiB of marks over letters end in an answer or a message") { meet_each(unending_marks()); }
TEST_CASE("100,000 sentences and 10,000 practices end in an answer or a message") { meet_each(many_sentences()); }
TEST_CASE("tables of 100,000 rows end in an answer or a message") { meet_each(many_rows(), "table.csv"); }
TEST_CASE("thousands of findings, values, names and profiles end in an answer or a message") { meet_each(many_of_a_kind()); }
TEST_CASE("numbers that grow without bound end in an answer or a message") { meet_each(great_numbers()); }
TEST_CASE("rulesets that are hard to settle end in an answer within the bounds") { meet_each(hard_to_settle()); }

TEST_CASE("measures that go together in hard ways end in an answer within the bounds") { meet_each(hard_measures()); }

TEST_CASE("a file over 16 MiB is refused, with the bound") {
  const auto trial = meet(repeat(" ", file_bound + 1), reading());
  CHECK(trial.messages == 1);
  const Answer answer = meet_program(repeat("-- x\n", file_bound / 5 + 1));
  CHECK(answer.status == 2);
  CHECK(answer.out.find("16 MiB") != std::string::npos);
}

TEST_CASE("a file without end is refused") {
  const Answer answer = program({"read", "/dev/zero"});
  CHECK(answer.signal == 0);
  CHECK(answer.status == 2);
  const Answer piped = program({"read", "-"}, "/dev/zero");
  CHECK(piped.signal == 0);
  CHECK(piped.status == 2);
}

TEST_CASE("one more sentence or practice than fit is told with the bound") {
  for (const Shape& shape : many_sentences()) {
    if (shape.name.find("one more") == std::string::npos) continue;
    INFO(shape.name);
    const Answer answer = meet_program(shape.make());
    CHECK(answer.status == 2);
    CHECK(answer.out.find(shape.name.find("practice") != std::string::npos ? "10000" : "100000") != std::string::npos);
  }
}

TEST_CASE("bounds count all files of a ruleset together") {
  trial::Plan plan = reading();
  plan.limits.sentences = 6;
  plan.limits.total_bytes = 600;
  plan.limits.files = 2;
  const std::string use = "Use \"b.bty\". Use \"c.bty\".\n", lines = "Finding fever is yes or no.\nPractice x.\n";
  CHECK(meet({{"main.bty", use + "Practice y.\n"}, {"b.bty", lines}, {"c.bty", "Practice z.\n"}}, plan).messages == 0);
  CHECK(meet({{"main.bty", use + "Practice y. Otherwise allowed.\n"}, {"b.bty", lines}, {"c.bty", "Practice z.\n"}}, plan).messages == 1);
  CHECK(meet({{"main.bty", use}, {"b.bty", lines}, {"c.bty", repeat("-- a comment\n", 50)}}, plan).messages > 0);
  CHECK(meet({{"main.bty", use}, {"b.bty", "Use \"d.bty\".\n"}, {"c.bty", ""}, {"d.bty", ""}}, plan).messages > 0);
}
