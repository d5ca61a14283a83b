// Each of `Limits` is reached and crossed, and no bytes at all bring reading down.
#include <catch2/catch.hpp>

#include <chrono>
#include <random>

#include "tests/unit/grammar_said.h"

using namespace betony;
using testing::said;

namespace {

std::string times(std::size_t n, const std::string& text) {
  std::string out;
  for (std::size_t i = 0; i < n; ++i) out += text;
  return out;
}

std::string nested(std::size_t depth, const std::string& open, const std::string& core) {
  return "Finding a is yes or no.\nPractice p.\nIndicated in " + times(depth, open) + core + times(depth, ")") + ".";
}

double seconds(const std::string& text) {
  const auto begin = std::chrono::steady_clock::now();
  (void)read_source({"test.bty", text}, nullptr);
  return std::chrono::duration<double>(std::chrono::steady_clock::now() - begin).count();
}

Limits with(std::size_t Limits::*field, std::size_t value) {
  Limits limits;
  limits.*field = value;
  return limits;
}

}  // namespace

TEST_CASE("brackets may stand 200 deep, and one deeper is told") {
  CHECK(said(nested(200, "(", "a")).empty());
  CHECK(said(nested(200, "not (", "a")).empty());
  const std::string message =
      "brackets too deep: Brackets stand more than 200 deep in one another here; a term can hold the inner ones. | "
      "Term … means ….\n";
  CHECK(said(nested(201, "(", "a")) == "3:215 [a] " + message);
  CHECK(said(nested(100000, "(", "a")) == "3:215 [(] " + message);
  CHECK(said("Finding a is a number from 0 to 1.\nMeasure m is " + times(201, "(") + "a" + times(201, ")") + ".") ==
        "2:215 [a] " + message);
  CHECK(said("Finding a is a number from 0 to 1.\nMeasure m is " + times(1000, "least of ") + "a.").find("too deep") != std::string::npos);
}

TEST_CASE("brackets cost linear time, whether what is in them can be read or not") {
  for (const std::string core : {"a", "b", "a and", "a,", "a or a, a"}) {
    INFO(core);
    CHECK(seconds(nested(200, "(", core)) < 1);
    CHECK(seconds(nested(200, "not (a, ", core)) < 1);
  }
}

TEST_CASE("a long sum is told before it is too deep for later walks") {
  const std::string formula = "Finding a is a number from 0 to 1.\nMeasure m is a";
  CHECK(said(formula + times(199, " + a") + ".").empty());
  CHECK(said(formula + times(200, " + a") + ".") ==
        "2:14 [a + a + a + a + a + a + a + a + a + a + a + a + a + a + a + ] a formula too long: This formula has more than 200 steps in a row; a measure of its own can hold a part of it. | Measure … is ….\n");
}

TEST_CASE("a file, a sentence, a name and a number that are too long are told") {
  CHECK(said("Note \"12345\".", with(&Limits::file_bytes, 8)) ==
        "1:1 [] a file too long: This file has more than 8 bytes; a part of it can be a file of its own. | Use \"….bty\".\n");
  CHECK(said("Note \"12345\".", with(&Limits::total_bytes, 8)).find("a ruleset too long") != std::string::npos);
  CHECK(said("Finding a is yes or no.\nTerm b means a.", with(&Limits::sentence_bytes, 20)) ==
        "1:1 [F] a sentence too long: This sentence has more than 20 bytes; terms can hold parts of it, and a stop ends it. | Term … means ….\n"
        "2:14 [a] nothing goes by this name: No finding is called \"a\". | Finding a is yes or no.\n");
  CHECK(said("Finding a b c is yes or no.", with(&Limits::name_words, 2)) ==
        "1:9 [a b c] a name too long: This name has 3 words; a name has at most 2, and a note can say the rest. | Finding a b … is yes or no. Note \"…\".\n");
  CHECK(said("Finding a is a number from 0 to 12345.", with(&Limits::number_digits, 4)) ==
        "1:33 [12345] a number too long: This number has more than 4 digits, the most that it may have. | Finding a is a number from 0 to ….\n");
}

TEST_CASE("too many sentences, practices, files and parts are told") {
  CHECK(said("Practice a. Practice b. Practice c.", with(&Limits::sentences, 2)) ==
        "1:25 [P] too many sentences: A ruleset has at most 2 sentences; this one and those after it are not read, and can stand in a ruleset of their own. | Ruleset \"…\", edition \"…\".\n");
  CHECK(said("Practice a. Practice b. Practice c.", with(&Limits::practices, 2)) ==
        "1:34 [c] too many practices: A ruleset has at most 2 practices; further ones can stand in a ruleset of their own. | Ruleset \"…\", edition \"…\".\n");
  const auto empty = [](const std::string&) { return std::optional<std::string>(""); };
  const auto out = read_source({"a.bty", "Use \"b\". Use \"c\". Use \"d\"."}, empty, with(&Limits::files, 2));
  REQUIRE(out.messages.size() == 1);
  CHECK(out.messages[0].message == "A ruleset has at most 2 files beside its first.");
  CHECK(said("Finding a is yes or no.\n" + times(20, "Term " "b means a.\n"), with(&Limits::parts, 20)).find("a ruleset too large") != std::string::npos);
  CHECK(said("Finding a is one of b, c, d, e, f, g, h.", with(&Limits::parts, 8)) ==
        "1:1 [F] a ruleset too large: The sentences before this one hold more than can be read together; this one and those after it are not read, and can stand in a ruleset of their own. | Ruleset \"…\", edition \"…\".\n");
}

TEST_CASE("messages past the limit are counted in one") {
  CHECK(said(times(5, "Bad.\n"), with(&Limits::messages, 2)) ==
        "1:1 [Bad] no sentence begins so: No sentence begins with \"Bad\"; its first word says what it does, such as Finding, Practice or Indicated. | Finding … is yes or no. Or: Practice …. Or: Indicated in …. Or: Contraindicated in …. Or: Otherwise allowed.\n"
        "2:1 [Bad] no sentence begins so: No sentence begins with \"Bad\"; its first word says what it does, such as Finding, Practice or Indicated. | Finding … is yes or no. Or: Practice …. Or: Indicated in …. Or: Contraindicated in …. Or: Otherwise allowed.\n"
        "2:1 [Bad] and more: 3 more places need mending; they are told when these are mended. | \n");
}

TEST_CASE("bytes that are no letters are told with their line") {
  CHECK(said("Note \"a\".\nNote \"\xFF\".") ==
        "2:7 [\xFF] letters that cannot be read: Line 2 holds bytes that are no letters in UTF-8. | "
        "Save the file as UTF-8; most editors offer it under Save as.\n");
}

TEST_CASE("a ruleset cut short at any byte is read or told, never lost") {
  const std::string whole = testing::marsh +
                            "Indicated in (fever, cough, or age over 5) and skin is chapped or broken, for “ease” [SB 1; WN 2].\n"
                            "In fever: cold plunge is allowed with care; baths are withheld.\nDose 1 to 3 min, once a day in ज्वर.\n"
                            "Profile \"x\": age 34, fever, the rest as usual. Expect cold plunge advised.\n";
  std::size_t read = 0, told = 0;
  for (std::size_t length = 0; length <= whole.size(); ++length) {
    const auto out = read_source({"test.bty", whole.substr(0, length)}, nullptr);
    REQUIRE(out.value.has_value() == out.messages.empty());
    ++(out ? read : told);
  }
  CHECK(read > 20);
  CHECK(told > 700);
}

TEST_CASE("words thrown together at random are read or told, with every mark inside its file") {
  const std::vector<std::string> words{"Finding", "Practice", "Indicated", "in", "fever", "cough", "and", "or", "not", "(", ")", ",", ".", ". ",
                                       "\"", "[", "]", "SB", "is", "one of", "age", "3", "1.5", "under", "at least", "of", "called", "x", ":", ";",
                                       "\n", "\n\n", "--", "ज्वर", "“", "”", "।", "\xE2\x80\xAE", "\xC3", "never", "advised", "Otherwise", "skin",
                                       "broken", "Profile", "Claim", "Dose", "1 to 3 min", "Time", "from", "sunrise", "Choice", "Take", "-", "/", "*"};
  std::mt19937 random(20261125);
  for (int round = 0; round < 3000; ++round) {
    std::string text = round % 2 ? testing::marsh : "";
    for (unsigned n = random() % 40; n > 0; --n) text += words[random() % words.size()] + (random() % 4 ? " " : "");
    INFO(text);
    const auto out = read_source({"test.bty", text}, nullptr);
    REQUIRE(out.value.has_value() == out.messages.empty());
    for (const auto& message : out.messages) {
      REQUIRE(message.where.span.begin <= message.where.span.end);
      REQUIRE(message.where.span.end <= text.size());
      REQUIRE(!message.message.empty());
    }
  }
}

TEST_CASE("a file of many thousand sentences is read in seconds") {
  std::string text;
  for (int i = 0; i < 500; ++i) text += "Finding sign number" + std::to_string(i) + " is yes or no.\n";
  text += "Practice p.\n";
  for (int i = 0; i < 10000; ++i) {
    text += "Indicated in sign number" + std::to_string(i % 500) + ", not sign number" + std::to_string(i % 499) +
            ", and (sign number1 or sign number2), for \"ease\".\n";
  }
  CHECK(seconds(text) < 10);
}
