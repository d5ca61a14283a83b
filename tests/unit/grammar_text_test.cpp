// Letters, words, folding, and where sentences end: below the language.
#include <catch2/catch.hpp>

#include "grammar/passage.h"
#include "grammar/sentences.h"
#include "grammar/text.h"
#include "grammar/words.h"

using namespace betony;

namespace {

std::string first_word(std::string_view text) { return std::string(text.substr(0, letters::word_end(text, 0))); }

// The sentences of a text, each in bars; those without a stop with a question mark after them.
std::string parted(const std::string& text) {
  std::string out;
  for (const auto& s : split_sentences(text, 0, 1000).sentences) {
    out += "|" + text.substr(s.body.begin, s.body.end - s.body.begin) + "|" + (s.stopped ? "" : "?");
  }
  return out;
}

std::string passage(const std::string& text) { return Passage(text, 0, {0, static_cast<std::uint32_t>(text.size())}).text(); }

}  // namespace

TEST_CASE("a word is letters, marks, digits and what links them, in any script") {
  CHECK(first_word("fever over") == "fever");
  CHECK(first_word("well-being.") == "well-being");
  CHECK(first_word("well‑being") == "well‑being");
  CHECK(first_word("winter’s cough") == "winter’s");
  CHECK(first_word("dyers' bench") == "dyers'");
  CHECK(first_word("cat1, b") == "cat1");
  CHECK(first_word("fever- cough") == "fever");
  CHECK(first_word("fever--cough") == "fever");
  CHECK(first_word("-fever").empty());
  CHECK(first_word("'fever").empty());
  CHECK(first_word("ज्वर।") == "ज्वर");
  CHECK(first_word("می‌خورد،") == "می‌خورد");
  CHECK(first_word("头痛、咳嗽") == "头痛");
  CHECK(first_word("cafe\u0301 x") == "cafe\u0301");
  CHECK(first_word("").empty());
}

TEST_CASE("names are the same if they differ in capitals, composition, hyphens or apostrophes only") {
  CHECK(letters::fold("Cafe\u0301") == letters::fold("CAFÉ"));
  CHECK(letters::fold("Straße") == letters::fold("STRASSE"));
  CHECK(letters::fold("winter’s well‑being") == "winter's well-being");
  CHECK(letters::fold("A،B、C，D：E；F（G）") == "a,b,c,d:e;f(g)");
  CHECK(letters::neat("  Cold \n\t plunge ") == "Cold plunge");
}

TEST_CASE("bytes that are no letters are found at the first of them") {
  CHECK_FALSE(letters::first_invalid("fever ज्वर").has_value());
  CHECK(letters::first_invalid("ab\xFF") == 2);
  CHECK(letters::first_invalid("a\xE0\xA4") == 1);
  CHECK(letters::first_invalid("\xC0\x80") == 0);
  CHECK(letters::first_invalid("a\xED\xA0\x80") == 1);
}

TEST_CASE("the distance of two words counts letters added, dropped, changed and swapped") {
  CHECK(letters::distance(U"feever", U"fever", 3) == 1);
  CHECK(letters::distance(U"fevre", U"fever", 3) == 1);
  CHECK(letters::distance(U"cough", U"fever", 2) == 3);
  CHECK(letters::distance(U"", U"abc", 3) == 3);
  CHECK(letters::distance(U"a", U"abcdefgh", 2) == 3);
}

TEST_CASE("a sentence ends at a stop before white space, outside quotes and brackets") {
  CHECK(parted("A b. C d.") == "|A b||C d|");
  CHECK(parted("A 1.5 kg.m2. B [C 2.4]. D \"e. f\".") == "|A 1.5 kg.m2||B [C 2.4]||D \"e. f\"|");
  CHECK(parted("A.--c\nB.-- d") == "|A||B|");
  CHECK(parted("A。B。C। D۔ E") == "|A||B||C||D||E|?");
  CHECK(parted("A -- not this. B.\n c.") == "|A -- not this. B.\n c|");
  CHECK(parted("A [SB 2--4]. B.") == "|A [SB 2--4]||B|");
  CHECK(parted(". .") == "||||");
  CHECK(parted("").empty());
}

TEST_CASE("after a string that ends with a stop the sentence goes on only where its next word says so") {
  CHECK(parted("Ask \"How?\" Note \"So!\" X.") == "|Ask \"How?\"||Note \"So!\"||X|");
  CHECK(parted("Caution: \"Do.\" in fever.") == "|Caution: \"Do.\" in fever|");
  CHECK(parted("Caution: \"Do.\" In fever: p is allowed.") == "|Caution: \"Do.\"||In fever: p is allowed|");
  CHECK(parted("Caution: \"Do.\", in fever. Indicated: “Do.” [S 1]. Claim \"Do.\": x.") ==
        "|Caution: \"Do.\", in fever||Indicated: “Do.” [S 1]||Claim \"Do.\": x|");
  CHECK(parted("Note \"Do.\" -- in a comment\nNote \"Do\".") == "|Note \"Do.\"||Note \"Do\"|");
  CHECK(parted("Note \"Do.\". X.") == "|Note \"Do.\"||X|");
  CHECK(parted("Note \"Do.\" for \"x\". Note \"Do.\" forwards.") == "|Note \"Do.\" for \"x\"||Note \"Do.\"||forwards|");
  CHECK(parted("Note \"Do.\"") == "|Note \"Do.\"|");
}

TEST_CASE("a lost quote or bracket reaches to the next empty line and no further") {
  CHECK(parted("Note \"x. y.\nz.\n \nA. B.") == "|Note \"x. y.\nz.|?|A||B|");
  CHECK(parted("A [SB 1.\nz.\n\nA. B.") == "|A [SB 1.\nz.|?|A||B|");
  CHECK(parted("Note \"x\n") == "|Note \"x|?");
  CHECK(parted("Note \"a \"\"b\"\" c\". Note “d ”” e”. Note \"\".") == "|Note \"a \"\"b\"\" c\"||Note “d ”” e”||Note \"\"|");
}

TEST_CASE("a passage is folded, its white space single, its comments gone and its strings numbered") {
  CHECK(passage("Note  \"A b\" -- c\n\tD’E “f”") == "note \"0\" d'e \"1\"");
  CHECK(passage("IN Straße\u00A0× [SB  2.4;“x”]") == "in strasse * [sb 2.4;“x”]");
}

TEST_CASE("every piece of a passage knows where it stands in the file") {
  const std::string text = "x. In STRAßE, cafe\u0301 and B.";
  const Passage p(text, 3, {3, static_cast<std::uint32_t>(text.size() - 1)});
  CHECK(p.text() == "in strasse, café and b");
  CHECK(p.written(3, 10) == "STRAßE");
  CHECK(p.neat(12, 17) == "café");
  CHECK(p.written(12, 17) == "cafe\u0301");
  CHECK(p.place(22, 23).span == Span{static_cast<std::uint32_t>(text.size() - 2), static_cast<std::uint32_t>(text.size() - 1)});
  CHECK(p.with(12, 17, "cough") == "In STRAßE, cough and B");
}

TEST_CASE("words of the language are matched whole, the longest spelling first") {
  CHECK(word_at("at least 3", 0, Word::at_least) == 8);
  CHECK(word_at("at leastwise", 0, Word::at_least) == 0);
  CHECK(word_at("in-law", 0, Word::in) == 0);
  CHECK(word_at("are", 0, Word::is) == 3);
  CHECK(opening_of("practices walk") == Word::practices);
  CHECK(opening_of("contraindications prevail") == Word::prevail);
  CHECK_FALSE(opening_of("fever is bad").has_value());
}
