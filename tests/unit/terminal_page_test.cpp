// Whole pages of the terminal, letter for letter, from problems made by hand.
#include <catch2/catch.hpp>

#include <sstream>

#include "viz/terminal/read_page.h"

using namespace betony;
using namespace betony::terminal;

namespace {

// A source of one file in which lines stand at wanted numbers and words can be pointed at.
struct Book {
  SourceFile file{"saltmarsh.bty", ""};
  unsigned lines = 0;

  void at_line(unsigned number, const std::string& text) {
    for (; lines + 1 < number; ++lines) file.text += '\n';
    file.text += text + '\n';
    ++lines;
  }
  Place place(const std::string& words, std::uint32_t number = 0) const {
    const auto at = file.text.find(words);
    REQUIRE(at != std::string::npos);
    return {number, {static_cast<std::uint32_t>(at), static_cast<std::uint32_t>(at + words.size())}};
  }
  Concerned sentence(const std::string& words, const std::vector<std::string>& marked = {}) const {
    Concerned c;
    c.place = place(words);
    for (const auto& m : marked) {
      const auto at = c.place.span.begin + static_cast<std::uint32_t>(words.find(m));
      c.marks.push_back({Place{0, {at, at + static_cast<std::uint32_t>(m.size())}}});
    }
    return c;
  }
};

Finding yes_no(const std::string& name) {
  Finding f;
  f.name = name;
  f.values = {"no", "yes"};
  return f;
}

Finding words(const std::string& name, const std::vector<std::string>& values) {
  Finding f;
  f.name = name;
  f.kind = Finding::Kind::one_of;
  f.values = values;
  return f;
}

Finding number(const std::string& name, const std::string& unit) {
  Finding f;
  f.name = name;
  f.kind = Finding::Kind::number;
  f.unit = unit;
  f.low = 0;
  f.high = 110;
  return f;
}

Value word(Index i) { return {Value::Kind::word, i, 0}; }
Value amount(long n) { return {Value::Kind::number, 0, n}; }

Ruleset bath_house(const Book& book) {
  Ruleset r;
  r.title = "Saltmarsh bath-house";
  r.edition = "4";
  r.findings = {yes_no("cold hands"), words("skin", {"sound", "chapped", "broken"}), number("age", "years"),
                words("strength", {"weak", "strong"}), number("water temperature", "Cel")};
  r.practices.resize(9);
  r.tree.files = {book.file};
  r.tree.sentences.resize(71);
  return r;
}

void show_on(Problem& p, Profile witness, const std::string& replay, tree::Verdict verdict) {
  for (Index i = 0; i < witness.size(); ++i)
    if (witness[i]) p.witness_findings.push_back(i);
  p.witness = std::make_shared<const Profile>(std::move(witness));
  p.replay = replay;
  p.replay_verdict = verdict;
  p.has_replay_verdict = true;
}

Problem problem(Severity severity, const std::string& practice, const std::string& matter) {
  Problem p;
  p.severity = severity;
  p.practice = practice;
  p.matter = matter;
  return p;
}

const std::string rule = std::string(80, '_') + "\n";

// Compares line by line, so that a difference shows as the one line that differs.
void check_page(const std::string& got, const std::string& wanted) {
  std::istringstream a(got), b(wanted);
  std::string left, right;
  for (unsigned line = 1; std::getline(b, right); ++line) {
    left.clear();
    std::getline(a, left);
    INFO("line " << line);
    CHECK(left == right);
  }
  CHECK(got.size() == wanted.size());
}

std::string page_of(const Book& book, const std::vector<Problem>& problems, Surface surface = {}) {
  Report report;
  report.problems = problems;
  return read_page(bath_house(book), report, surface);
}

}  // namespace

TEST_CASE("a page shows errors, questions and notes with their lines, their sense, a witness and what to write") {
  Book book;
  book.at_line(27, "  Indicated in age from 18 to 74, water temperature from 8 to 15 Cel, and skin is not broken, for \"vigour\" [SB 2.4].");
  book.at_line(30, "  Contraindicated in frail, called frailty ban [SB 2.7].");
  book.at_line(35, "  Dose 0.5 to 1 min in frail.");
  book.at_line(41, "  Indicated in cold hands and skin is broken, for \"mending\" [WN 9].");
  book.at_line(42, "  Contraindicated in skin is chapped or broken, called raw skin ban [SB 3.3].");
  book.at_line(48, "  Indicated in age under 60, for \"sweat\" [SB 4.1].");
  book.at_line(49, "  Contraindicated in age over 60 [SB 4.2].");

  Problem never = problem(Severity::error, "foot soak", "this can never be followed");
  never.sentences = {book.sentence("Indicated in cold hands and skin is broken, for \"mending\" [WN 9].", {"skin is broken"}),
                     book.sentence("Contraindicated in skin is chapped or broken, called raw skin ban [SB 3.3].",
                                   {"skin is chapped or broken"})};
  never.sense = "Every person whom line 41 speaks for is held back by raw skin ban: 1 in 6 of all possible persons.";
  show_on(never, {word(1), word(2), amount(40), {}, {}}, "foot soak is withheld", tree::Verdict::withheld);
  never.write = {"despite raw skin ban, in line 41", "take line 41 out"};

  Problem cross = problem(Severity::question, "cold plunge", "two sentences cross");
  cross.sentences = {book.sentence("Contraindicated in frail, called frailty ban [SB 2.7].", {"frail"}),
                     book.sentence("Indicated in age from 18 to 74, water temperature from 8 to 15 Cel, and skin is not "
                                   "broken, for \"vigour\" [SB 2.4].",
                                   {"age from 18 to 74"})};
  cross.sense =
      "Both speak for persons of 18 to 74, weak today, skin sound or chapped, in water from 8 to 15 Cel: 19 in 999 of "
      "all possible persons (near 2 in 100).";
  show_on(cross, {{}, word(0), amount(40), word(0), amount(11)}, "cold plunge is withheld", tree::Verdict::withheld);
  cross.write = {"and not frail, at the end of line 27", "despite frailty ban, in line 27",
                 "Contraindications prevail. to settle every such meeting"};

  Problem silent = problem(Severity::question, "steam room", "the school falls silent");
  silent.sentences = {book.sentence("Indicated in age under 60, for \"sweat\" [SB 4.1].", {"under 60"}),
                      book.sentence("Contraindicated in age over 60 [SB 4.2].", {"over 60"})};
  silent.sense = "Neither speaks for a person of exactly 60: 1 in 111 of all possible persons.";
  show_on(silent, {{}, {}, amount(60), {}, {}}, "steam room is silent", tree::Verdict::silent);
  silent.write = {"age at most 60, in line 48", "age at least 60, in line 49"};

  Problem uncited = problem(Severity::note, "cold plunge", "no source is named");
  uncited.sentences = {book.sentence("Dose 0.5 to 1 min in frail.", {"Dose 0.5 to 1 min"})};
  uncited.sense = "The other sentences of cold plunge name theirs.";

  check_page(page_of(book, {never, cross, silent, uncited}),
        "Saltmarsh bath-house, edition 4\n"
        "71 sentences, 9 practices, every check finished\n" +
            rule +
            R"(
><  Error      foot soak: this can never be followed     saltmarsh.bty, line 41
                                                                 problem 1 of 4

  41  Indicated in cold hands and skin is broken, for "mending" [WN 9].
                                  ==============
  42  Contraindicated in skin is chapped or broken, called raw skin ban
                         =========================
        [SB 3.3].

  Every person whom line 41 speaks for is held back by raw skin ban: 1 in 6 of
  all possible persons.
  Witness    cold hands, skin broken, age 40: foot soak is ]=[ withheld
  Write      despite raw skin ban, in line 41; or take line 41 out.

<>  Question   cold plunge: two sentences cross          saltmarsh.bty, line 30
                                                                 problem 2 of 4

  27  Indicated in age from 18 to 74, water temperature from 8 to 15 Cel, and
                   - - - - - - - - -
        skin is not broken, for "vigour" [SB 2.4].
  30  Contraindicated in frail, called frailty ban [SB 2.7].
                         - - -

  Both speak for persons of 18 to 74, weak today, skin sound or chapped, in
  water from 8 to 15 Cel: 19 in 999 of all possible persons (near 2 in 100).
  Witness    skin sound, age 40, strength weak, water temperature 11 Cel: cold
             plunge is ]=[ withheld
  Write      and not frail, at the end of line 27;
             or despite frailty ban, in line 27;
             or Contraindications prevail. to settle every such meeting.

<>  Question   steam room: the school falls silent       saltmarsh.bty, line 48
                                                                 problem 3 of 4

  48  Indicated in age under 60, for "sweat" [SB 4.1].
                       - - - -
  49  Contraindicated in age over 60 [SB 4.2].
                             - - - -

  Neither speaks for a person of exactly 60: 1 in 111 of all possible persons.
  Witness    age 60: steam room is _|_ silent
  Write      age at most 60, in line 48; or age at least 60, in line 49.

*   Note       cold plunge: no source is named           saltmarsh.bty, line 35
                                                                 problem 4 of 4

  35  Dose 0.5 to 1 min in frail.
      .................

  The other sentences of cold plunge name theirs.
)" + rule + "\n1 error, 2 questions, 1 note.\n");
}

TEST_CASE("a page of a ruleset without problems says that there is nothing to mend") {
  Book book;
  book.at_line(1, "Practice steam room.");
  CHECK(page_of(book, {}) ==
        "Saltmarsh bath-house, edition 4\n"
        "71 sentences, 9 practices, every check finished\n" +
            rule + "\nNothing to mend, nothing to ask.\n");
}

TEST_CASE("a ruleset without a title is called by its file") {
  Book book;
  book.at_line(1, "Practice steam room.");
  Ruleset r = bath_house(book);
  r.title = r.edition = "";
  r.tree.sentences.resize(1);
  r.practices.resize(1);
  CHECK(read_page(r, {}, {}) == "saltmarsh.bty\n1 sentence, 1 practice, every check finished\n" + rule +
                                    "\nNothing to mend, nothing to ask.\n");
}

TEST_CASE("a page tells which practices are not settled, and what may be done") {
  Book book;
  book.at_line(1, "Practice steam room.");
  Report report;
  report.not_settled = {"steam room", "cold plunge"};
  CHECK(read_page(bath_house(book), report, {}) ==
        "Saltmarsh bath-house, edition 4\n"
        "71 sentences, 9 practices, not every check finished\n" +
            rule +
            "\n"
            "Not settled: steam room, cold plunge.\n"
            "There the checks stopped before their end, so more may be wrong than is told\n"
            "above. A larger budget (betony read --budget) may settle it.\n" +
            rule + "\nNothing to mend, nothing to ask.\n");
}

TEST_CASE("colour goes only to the marks and words of problems and verdicts") {
  Book book;
  book.at_line(7, "Otherwise advised.");
  Problem p = problem(Severity::question, "foot soak", "one question");
  p.sentences = {book.sentence("Otherwise advised.")};
  show_on(p, {word(1), {}, {}, {}, {}}, "foot soak is advised with care", tree::Verdict::advised);
  const std::string page = page_of(book, {p}, {80, true});
  check_page(page,
        "Saltmarsh bath-house, edition 4\n"
        "71 sentences, 9 practices, every check finished\n" +
            rule +
            "\n"
            "\x1b[1;35m<>\x1b[0m  \x1b[1;35mQuestion\x1b[0m   foot soak: one question                    saltmarsh.bty, line 7\n"
            "\n"
            "   7  Otherwise advised.\n"
            "      - - - - - - - - -\n"
            "\n"
            "  Witness    cold hands: foot soak is \x1b[1;33m{/} advised\x1b[0m with care\n" +
            rule + "\n1 question.\n");
}

TEST_CASE("every verdict of a witness gets its mark") {
  Book book;
  book.at_line(1, "Otherwise advised.");
  const std::vector<std::pair<tree::Verdict, std::string>> marks = {
      {tree::Verdict::outside, "___ outside"},       {tree::Verdict::referred, "|#< REFERRED"},
      {tree::Verdict::withheld, "]=[ withheld"},     {tree::Verdict::discouraged, "]-[ discouraged"},
      {tree::Verdict::advised, "{#} advised"},       {tree::Verdict::allowed, "{ } allowed"},
      {tree::Verdict::silent, "_|_ silent"},         {tree::Verdict::unanswered, "{?} unanswered"}};
  for (const auto& [verdict, marked] : marks) {
    auto word_only = marked.substr(4);
    if (verdict == tree::Verdict::referred) word_only = "referred";
    Problem p = problem(Severity::error, "foot soak", "one error");
    show_on(p, {word(0), {}, {}, {}, {}}, "foot soak is " + word_only, verdict);
    CHECK_THAT(page_of(book, {p}), Catch::Contains("\n  Witness    not cold hands: foot soak is " + marked + "\n"));
  }
}

TEST_CASE("of an any-of finding of which many items do not hold those that hold are told as the only ones") {
  Book book;
  book.at_line(1, "Otherwise advised.");
  Ruleset r = bath_house(book);
  r.findings = {yes_no("fever"), yes_no("cold hands"), yes_no("warm skin"), yes_no("light sleep"), yes_no("long patience")};
  for (Index i = 1; i < 5; ++i) r.findings[i].part_of = "traits";
  const auto told = [&](const Profile& witness, std::vector<Index> shown) {
    Problem p = problem(Severity::error, "foot soak", "one error");
    p.witness = std::make_shared<const Profile>(witness);
    p.witness_findings = std::move(shown);
    Report report;
    report.problems = {p};
    const std::string page = read_page(r, report, {});
    const auto begin = page.find("Witness    ") + 11;
    return page.substr(begin, page.find('\n', begin) - begin);
  };
  CHECK(told({word(1), word(0), word(1), word(0), word(0)}, {0, 1, 2, 3, 4}) == "fever, of traits only warm skin");
  CHECK(told({word(0), word(0), word(0), word(0), word(0)}, {0, 1, 2, 3, 4}) == "not fever, of traits none");
  CHECK(told({word(1), word(0), word(1), word(0), word(1)}, {0, 1, 2, 3, 4}) ==
        "fever, not cold hands, warm skin, not light sleep, long patience");
  // Light sleep holds and is not shown: warm skin is not the only one.
  CHECK(told({word(1), word(0), word(0), word(1), word(0)}, {1, 2, 4}) == "not cold hands, not warm skin, not long patience");
}

TEST_CASE("a mark and its verdict stay on one line") {
  Book book;
  book.at_line(1, "Otherwise advised.");
  Problem p = problem(Severity::error, "foot soak", "one error");
  show_on(p, {word(1), word(2), amount(40), word(1), {}}, "a foot soak of some length is withheld", tree::Verdict::withheld);
  CHECK_THAT(page_of(book, {p}), Catch::Contains("cold hands, skin broken, age 40, strength strong: a foot soak of\n"
                                                 "             some length is ]=[ withheld\n"));
}

TEST_CASE("a long matter keeps its line, and the file is left out where there is only one") {
  Book book;
  book.at_line(7, "Otherwise advised.");
  Problem p = problem(Severity::note, "slope walk", "sentences meet that ask different things");
  p.sentences = {book.sentence("Otherwise advised.")};
  CHECK_THAT(page_of(book, {p}),
             Catch::Contains("\n*   Note       slope walk: sentences meet that ask different things      line 7\n"));
}

TEST_CASE("a sentence without marks is underlined where it stands alone or shares its line") {
  Book book;
  book.at_line(1, "Follows a.  -- as always");
  book.at_line(2, "Needs b. Needs c.");
  Problem p = problem(Severity::note, "slope walk", "two of these");
  p.sentences = {book.sentence("Follows a."), book.sentence("Needs c.")};
  CHECK_THAT(page_of(book, {p}), Catch::Contains("   1  Follows a.  -- as always\n   2  Needs b. Needs c.\n               ........\n\n"));
  p.sentences.pop_back();
  CHECK_THAT(page_of(book, {p}), Catch::Contains("   1  Follows a.  -- as always\n      ..........\n"));
}

TEST_CASE("a witness that depends on nothing is any person") {
  Book book;
  book.at_line(1, "Practice foot soak.");
  Problem p = problem(Severity::question, "foot soak", "nothing is said of it");
  p.witness = std::make_shared<const Profile>(Profile{word(0), word(0), amount(1), word(0), amount(1)});
  p.replay = "foot soak is silent";
  p.replay_verdict = tree::Verdict::silent;
  p.has_replay_verdict = true;
  CHECK_THAT(page_of(book, {p}), Catch::Contains("\n  Witness    any person: foot soak is _|_ silent\n"));
}

TEST_CASE("a problem of very many sentences shows the first and tells the lines of the rest and who meets whom") {
  Book book;
  std::vector<Concerned> sentences;
  for (unsigned i = 1; i <= 9; ++i) book.at_line(i, "Indicated in finding" + std::to_string(i) + ".");
  Problem p = problem(Severity::note, "steam room", "settled meetings");
  for (unsigned i = 1; i <= 9; ++i) p.sentences.push_back(book.sentence("Indicated in finding" + std::to_string(i) + "."));
  p.pairs = {{0, 1}, {0, 8}, {2, 3}};
  CHECK_THAT(page_of(book, {p}), Catch::Contains(R"(
*   Note       steam room: settled meetings               saltmarsh.bty, line 1

   1  Indicated in finding1.
   2  Indicated in finding2.
   3  Indicated in finding3.
   4  Indicated in finding4.
   5  Indicated in finding5.
   6  Indicated in finding6.

  Further    lines 7 to 9.
  Meetings   line 1 with 2, 9; 3 with 4.
)"));
}

TEST_CASE("more than three notes that say the same stand together, a line each") {
  Book book;
  std::vector<Problem> notes;
  for (const std::string name : {"gait", "pulse", "thirst", "sleep"}) {
    book.at_line(book.lines + 2, "Finding " + name + " is yes or no.");
    Problem p = problem(Severity::note, "", "nothing asks for " + name);
    p.kind = "unused";
    p.finding = name;
    p.sentences = {book.sentence("Finding " + name + " is yes or no.")};
    p.sense = "The finding " + name + " is declared, and no sentence asks for it.";
    notes.push_back(p);
  }
  CHECK_THAT(page_of(book, notes), Catch::Contains(R"(
*   Note       nothing asks for these (4 notes)            problems 1 to 4 of 4

  gait    line 2
  pulse   line 4
  thirst  line 6
  sleep   line 8

  They are declared, and no sentence asks for them.
)" + rule + "\n4 notes.\n"));
  notes.pop_back();
  CHECK_THAT(page_of(book, notes), Catch::Contains("*   Note       nothing asks for gait"));
}

TEST_CASE("the number of a problem shares the row of a matter that goes on, where there is room, and one alone has none") {
  Book book;
  book.at_line(41, "  Indicated in cold hands.");
  Problem p = problem(Severity::error, "foot soak", "this can never be followed by anybody at any hour");
  p.sentences = {book.sentence("Indicated in cold hands.", {"cold"})};
  CHECK_THAT(page_of(book, {p}), !Catch::Contains("problem 1"));
  CHECK_THAT(page_of(book, {p, p}), Catch::Contains(R"(
><  Error      foot soak: this can never be followed by anybody at any  line 41
                 hour                                            problem 2 of 2

)"));
  for (const unsigned width : {40u, 60u, 80u, 100u}) {
    std::istringstream in(page_of(book, {p, p}, {width, false}));
    for (std::string line; std::getline(in, line);) CHECK(line.size() <= width);
  }
  Problem nowhere = p;
  nowhere.sentences.clear();
  CHECK_THAT(page_of(book, {nowhere, p}), Catch::Contains(R"(
><  Error      foot soak: this can never be followed by anybody at any hour
                                                                 problem 1 of 2
)"));
}

TEST_CASE("sentences of several files are told by file") {
  Book book;
  book.at_line(3, "Otherwise advised.");
  Ruleset r = bath_house(book);
  r.tree.files.push_back({"parts/teas.bty", "Otherwise allowed.\n"});
  Problem p = problem(Severity::error, "barley broth", "two of these");
  p.sentences = {book.sentence("Otherwise advised."), {}};
  p.sentences[1].place = {1, {0, 18}};
  Report report;
  report.problems = {p};
  CHECK_THAT(read_page(r, report, {}), Catch::Contains(R"(
><  Error      barley broth: two of these                 saltmarsh.bty, line 3

  in saltmarsh.bty:
   3  Otherwise advised.
  in teas.bty:
   1  Otherwise allowed.

)"));
}

TEST_CASE("a school that is read alone is named") {
  Book book;
  book.at_line(1, "Otherwise advised.");
  Problem p = problem(Severity::question, "foot soak", "the school falls silent");
  p.school = "north shore";
  CHECK_THAT(page_of(book, {p}), Catch::Contains("\n  School     north shore\n"));
}

TEST_CASE("messages about a source that cannot be read are set as problems are") {
  SourceFile file{"draft.bty", std::string(11, '\n') + "  Contraindicated in feever, called fever ban [SB 1.2].\n" +
                                   std::string(6, '\n') + "  Caution in weight under 40 Cel: \"Keep it short.\".\n"};
  const auto place = [&](const std::string& words) {
    const auto at = static_cast<std::uint32_t>(file.text.find(words));
    return Place{0, {at, at + static_cast<std::uint32_t>(words.size())}};
  };
  const std::vector<Message> messages = {
      {"nothing goes by this name", place("feever"), "No finding is called \"feever\"; did you mean \"fever\" (line 7)?",
       "Contraindicated in fever, called fever ban [SB 1.2]."},
      {"two kinds of measure are compared", place("40 Cel"),
       "weight is told in kg and 40 Cel is a temperature; they cannot be compared.", "weight under 40 kg"}};
  check_page(unreadable_page({file}, messages, {}),
        "draft.bty cannot be read to its end; 2 places need mending.\n" + rule + R"(
><  Error      nothing goes by this name                     draft.bty, line 12

  12  Contraindicated in feever, called fever ban [SB 1.2].
                         ======

  No finding is called "feever"; did you mean "fever" (line 7)?
  Write      Contraindicated in fever, called fever ban [SB 1.2].

><  Error      two kinds of measure are compared             draft.bty, line 19

  19  Caution in weight under 40 Cel: "Keep it short.".
                              ======

  weight is told in kg and 40 Cel is a temperature; they cannot be compared.
  Write      weight under 40 kg
)");
}
