// Sources of 16 MiB: within the bound of a file, and past every other.
#include "tests/hostile/sources.h"

namespace betony::hostile {
namespace {

Shape all_of(std::string name, std::string piece) {
  return {std::move(name), [piece] { return filled("", piece, ""); }};
}

Shape between(std::string name, std::string begin, std::string piece, std::string end) {
  return {std::move(name), [=] { return filled(begin, piece, end); }};
}

}  // namespace

std::vector<Shape> huge_of_one_letter() {
  return {
      all_of("only spaces", " "),
      all_of("only line breaks", "\n"),
      all_of("only CR", "\r"),
      all_of("only dots", "."),
      all_of("only dots with spaces", ". "),
      all_of("only commas", ","),
      all_of("only hyphens", "-"),
      all_of("only quotes", "\""),
      all_of("only curly quotes", "“"),
      all_of("only opening square brackets", "["),
      all_of("only closing square brackets", "]"),
      all_of("only opening brackets", "("),
      all_of("only digits", "7"),
      all_of("only one letter", "a"),
      all_of("only capital letters", "Ǆ"),
      all_of("only stops of another script", "।"),
      all_of("only NUL bytes", std::string(1, '\0')),
      all_of("only bytes that are no letters", "\xFF"),
      all_of("only byte order marks", "\xEF\xBB\xBF"),
      all_of("only marks that reorder", "\xE2\x80\xAE"),
      all_of("only joiners", "\xE2\x80\x8D"),
      all_of("only ligatures that fold to three letters", "\xEF\xAC\x83"),
      all_of("only letters of four bytes", "\xF0\x9F\x92\xA7"),
  };
}

std::vector<Shape> huge_of_one_piece() {
  const std::string open = opening();
  return {
      between("one long string", "Ruleset \"", "a ", "\", edition \"1\".\n"),
      between("one string of doubled quotes", "Ruleset \"", "\"\"", "\", edition \"1\".\n"),
      between("one string of a million lines", "Ruleset \"", "a line\n", "\", edition \"1\".\n"),
      between("one unclosed string", "Ruleset \"", "a ", ""),
      between("one unclosed string, sentences inside", "Ruleset \"", "Practice x. ", ""),
      between("one unclosed bracket", open + "Practice x. Indicated [", "SB 1; ", ""),
      between("one long citation", open + "Practice x. Indicated [", "SB 1; ", "SB 2]."),
      between("one long name of one word", open + "Finding ", "a", " is yes or no."),
      between("one long name of many words", open + "Finding a", " b", " is yes or no."),
      between("one long name of hyphens", open + "Finding a", "-a", " is yes or no."),
      between("one long row of other names", open + "Finding pain (also p", ", a", ") is yes or no."),
      between("one long comment", open + "-- ", "a comment ", "\n"),
      between("one long value list", open + "Finding f is one of a", ", b", "."),
      between("one long row of findings", open + "Practice x. Indicated in fever", ", fever", " or chill."),
      between("one long row of and", open + "Practice x. Indicated in fever", " and chill", "."),
      between("one long row of and and or", open + "Practice x. Indicated in fever", " and chill or fever", "."),
      between("one long row of not", open + "Practice x. Indicated in ", "not ", "fever."),
      between("one long row of and without names", open + "Practice x. Indicated in ", "and ", "."),
      between("one long row of unknown names", open + "Practice x. Indicated in feever", " and feever", "."),
      between("one long sum", open + "Measure m is age", " + age", " in years."),
      between("one long row of minus", open + "Measure m is ", "- ", "age in years."),
      between("one long row of brackets", open + "Measure m is (age)", " + (age)", " in years."),
      between("one long tally", open + "Tally t counts fever as 1", ", chill as 1", ", and fever as 2."),
      between("one long profile", open + "Profile \"p\": fever", ", chill", ", the rest as usual."),
      between("one long group", open + "Practice x. Group g holds x", ", x", "."),
      between("one long row of aims", open + "Practice x. Indicated", ", for \"a\"", "."),
      between("one long row of endings", open + "Practice x. Indicated", " in fever unless chill", "."),
      between("one long row of labels", open + "Practice x. Indicated in fever", ", despite ban", "."),
      between("one long unit", open + "Finding w is a number of kg", ".m", " from 0 to 1."),
      between("one long row of unit brackets", open + "Finding w is a number of mm", "[Hg]", " from 0 to 1."),
      between("one long number", open + "Finding w is a number from 0 to ", "9", "."),
      between("one sentence of words alone", "", "word ", ""),
      between("one sentence of opening words alone", "", "practice ", ""),
  };
}

std::vector<Shape> huge_of_sentences() {
  const std::string open = opening();
  const std::string long_aim = "Indicated in fever, for \"" + repeat("a long aim ", 12) + "\".\n";
  return {
      between("true sentences, too many", open + "Practice x.\n", "Indicated in fever and chill.\n", ""),
      between("true sentences, within their bound", open + "Practice x.\n", long_aim, ""),
      between("sentences of one letter", "", "x. ", ""),
      between("findings of one name", open, "Finding fever is yes or no.\n", ""),
      between("practices of one name", open, "Practice x. ", ""),
      between("stops left out", open + "Practice x.\n", "Indicated in fever\n", ""),
      between("strings left open at every empty line", open + "Practice x.\n", "Indicated, for \"a.\n\n", ""),
      between("brackets left open at every empty line", open + "Practice x.\n", "Indicated [a.\n\n", ""),
      between("comments of one letter", open, "--x\n", ""),
      between("empty comments", open, "--\n", ""),
      between("files used", open, "Use \"a.bty\". ", ""),
      between("sentences under nothing", open, "Indicated in fever. Ask \"a\". Expect x advised. ", ""),
  };
}

std::vector<Shape> unending_marks() {
  const std::string acute = "\xCC\x81", below = "\xCC\x96";
  return {
      between("one letter under marks without end", opening() + "Finding e", acute, " is yes or no."),
      between("one letter under marks out of order", opening() + "Finding e", acute + below, " is yes or no."),
      between("a string of marks out of order", "Ruleset \"e", acute + below, "\", edition \"1\"."),
      between("a comment of marks out of order", "-- e", acute + below, "\n"),
      between("marks without a letter", "", acute + below, ""),
      between("syllables in pieces", opening() + "Finding ", "\xE1\x84\x80\xE1\x85\xA1\xE1\x86\xA8", " is yes or no."),
      between("vowel signs without end", opening() + "Finding \xE0\xA4\x95", "\xE0\xA4\xBF\xE0\xA5\x8D", " is yes or no."),
      between("words joined without end", opening() + "Finding a", "\xE2\x80\x8D" "a", " is yes or no."),
  };
}

}  // namespace betony::hostile
