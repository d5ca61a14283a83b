// Widths, wrapping and harmless letters; lines of sources and what is marked in them.
#include <catch2/catch.hpp>

#include "viz/terminal/letters.h"
#include "viz/terminal/page.h"
#include "viz/terminal/source_lines.h"

using namespace betony;
using namespace betony::terminal;

namespace {

std::string paragraph(std::string_view text, unsigned width) {
  Page page({width, false});
  page.paragraph(text);
  return page.text();
}

std::string source(const std::string& text, const std::vector<Span>& marks, unsigned width = 80, const char* underline = "=") {
  const std::vector<SourceFile> files = {{"a.bty", text}};
  const Sources sources(files);
  Shown shown{{0, {0, static_cast<std::uint32_t>(text.size())}}, {}};
  for (const Span mark : marks) shown.marks.push_back({0, mark});
  Page page({width, false});
  for (const auto& excerpt : excerpts(sources, {shown})) page.source(excerpt.lines, underline);
  return page.text();
}

}  // namespace

TEST_CASE("wide East Asian letters take two columns, marks over letters and joiners none") {
  CHECK(width("plunge") == 6);
  CHECK(width("冷水浴") == 6);
  CHECK(width("ﾙﾐﾅ") == 3);
  CHECK(width("e\u0301") == 1);
  CHECK(width("ក\u200dខ") == 2);
  CHECK(width("\u1112\u1161\u11ab") == 2);
  CHECK(width("") == 0);
}

TEST_CASE("tabs run to the next multiple of four") {
  CHECK(harmless("a\tb") == "a   b");
  CHECK(harmless("abcd\tb") == "abcd    b");
}

TEST_CASE("control characters and bidi controls are shown by their number, bytes that are not UTF-8 as a lozenge") {
  CHECK(harmless("a\x1b[31mb") == "a[U+001B][31mb");
  CHECK(harmless("a\u202eb\u2069") == "a[U+202E]b[U+2069]");
  CHECK(harmless("a\u009bb") == "a[U+009B]b");
  CHECK(harmless("a\u2028b\ufeff") == "a[U+2028]b[U+FEFF]");
  CHECK(harmless("a\xff\xc3") == "a\ufffd\ufffd");
  CHECK(harmless(std::string("a\0b", 3)) == "a[U+0000]b");
}

TEST_CASE("text breaks after blanks, and never after a hyphen") {
  CHECK(paragraph("a reed-bed walk at dawn for the whole village, twice", 40) ==
        "a reed-bed walk at dawn for the whole\nvillage, twice\n");
  CHECK(paragraph("a reed walk at dawn and for the well-known, twice", 40) ==
        "a reed walk at dawn and for the\nwell-known, twice\n");
}

TEST_CASE("a script without blanks breaks between letters, and not before its stops") {
  CHECK(paragraph("冷水浴冷水浴冷水浴冷水浴。冷水浴", 24) == "冷水浴冷水浴冷水浴冷水\n浴。冷水浴\n");
}

TEST_CASE("a word that is wider than the line is cut, and nothing of it is lost") {
  const std::string word(95, 'x');
  CHECK(paragraph(word, 40) == std::string(40, 'x') + "\n" + std::string(40, 'x') + "\n" + std::string(15, 'x') + "\n");
}

TEST_CASE("an empty text is an empty line") { CHECK(paragraph("", 40) == "\n"); }

TEST_CASE("a mark stands under its words, also where letters before it are wide or have marks") {
  const std::string text = "冷水 e\u0301 frail.";
  const auto at = static_cast<std::uint32_t>(text.find("frail"));
  CHECK(source(text, {{at, at + 5}}) ==
        "   1  冷水 e\u0301 frail.\n"
        "             =====\n");
}

TEST_CASE("a mark under words that wrap goes on in the next row") {
  const std::string text = "Contraindicated in skin is chapped or broken, called raw skin ban.";
  CHECK(source(text, {{19, 44}}, 40, "- ") ==
        "   1  Contraindicated in skin is\n"
        "                         - - - -\n"
        "        chapped or broken, called raw\n"
        "        - - - - - - - - -\n"
        "        skin ban.\n");
}

TEST_CASE("a mark without length marks the letter that follows, or the place after the last") {
  CHECK(source("Otherwise advised.", {{10, 10}}) ==
        "   1  Otherwise advised.\n"
        "                =\n");
  CHECK(source("Otherwise advised", {{17, 17}}) ==
        "   1  Otherwise advised\n"
        "                       =\n");
}

TEST_CASE("later lines of a sentence stand two further in, whatever their indentation was") {
  CHECK(source("\tIndicated in fever\n\t\t\tor cough.\n", {}) ==
        "   1  Indicated in fever\n"
        "   2    or cough.\n");
}

TEST_CASE("line numbers of four digits widen the margin of their block") {
  const std::string text = std::string(1233, '\n') + "Otherwise advised.";
  const std::vector<SourceFile> files = {{"a.bty", text}};
  Page page({80, false});
  for (const auto& excerpt : excerpts(Sources(files), {{{0, {1233, 1251}}, {{0, {1233, 1242}}}}}))
    page.source(excerpt.lines, ".");
  CHECK(page.text() == "  1234  Otherwise advised.\n        .........\n");
}

TEST_CASE("of a sentence of very many lines the first three and the marked ones are shown, the rest counted") {
  std::string text = "Term wide means any of";
  for (int i = 2; i <= 40; ++i) text += "\n  item" + std::to_string(i) + ",";
  const auto at = static_cast<std::uint32_t>(text.find("item30"));
  const std::vector<SourceFile> files = {{"a.bty", text}};
  const auto all = excerpts(Sources(files), {{{0, {0, static_cast<std::uint32_t>(text.size())}}, {{0, {at, at + 6}}}}});
  REQUIRE(all.size() == 1);
  REQUIRE(all[0].lines.size() == 4);
  CHECK(all[0].lines[3].text == "item30,");
  CHECK(all[0].left_out == 36);
}

TEST_CASE("a very long line is cut to the neighbourhood of its mark") {
  const std::string text = std::string(100000, 'x') + " feever " + std::string(100000, 'y');
  const auto page = source(text, {{100001, 100007}}, 100);
  CHECK(page.size() < 2000);
  CHECK_THAT(page, Catch::Contains("feever"));
  CHECK_THAT(page, Catch::Contains("======"));
  CHECK_THAT(page, Catch::StartsWith("   1  ...\n        xxx"));
  CHECK_THAT(page, Catch::EndsWith("yyy ...\n"));
}

TEST_CASE("two sentences on one line share it") {
  const std::string text = "Follows a. Needs b.";
  const std::vector<SourceFile> files = {{"a.bty", text}};
  Page page({80, false});
  for (const auto& e : excerpts(Sources(files), {{{0, {0, 10}}, {{0, {8, 9}}}}, {{0, {11, 19}}, {{0, {17, 18}}}}}))
    page.source(e.lines, "=");
  CHECK(page.text() == "   1  Follows a. Needs b.\n              =        =\n");
}

TEST_CASE("the head of a block gives a long place a line of its own") {
  Page page({80, false});
  page.heading(problem_mark(Severity::error), "these are never done together by anybody", std::string(50, 'f') + ".bty, line 3");
  CHECK(page.text() ==
        "><  Error      these are never done together by anybody\n"
        "               " + std::string(50, 'f') + ".bty, line 3\n");
}

TEST_CASE("a long matter wraps beside its place") {
  Page page({80, false});
  page.heading(problem_mark(Severity::note), "the walk along the reeds: it is twice attested by two books", "saltmarsh.bty, line 30");
  CHECK(page.text() ==
        "*   Note       the walk along the reeds: it is twice     saltmarsh.bty, line 30\n"
        "                 attested by two books\n");
}
