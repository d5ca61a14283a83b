// What a practitioner is told of sentences that cannot be read: whole messages.
#include <catch2/catch.hpp>

#include "tests/unit/grammar_said.h"

using betony::testing::check_said;

TEST_CASE("an ending that is doubled, missing or out of place is told") {
  check_said({
      {"Contraindicated in fever in cough.",
       "1:26 [in cough] said twice: "
       "This sentence says `in` twice; once is enough. | "
       "Contraindicated in fever and cough."},
      {"Contraindicated in fever, unless cough, unless age over 5.",
       "1:41 [unless age over 5] said twice: "
       "This sentence says `unless` twice; once is enough. | "
       "Contraindicated in fever, unless cough, or age over 5."},
      {"Contraindicated in fever, called a, called b.",
       "1:37 [called b] said twice: "
       "This sentence says `called` twice; once is enough. | "
       "Contraindicated in fever, called a."},
      {"Caution in fever: \"a\": \"b\".",
       "1:22 [: \"b\"] said twice: "
       "This sentence has two texts after a colon; one quotation can hold both. | "
       "Caution in fever: \"a\"."},
      {"Contraindicated in fever, despite nothing.",
       "1:35 [nothing] nothing goes by this name: "
       "No sentence is called \"nothing\". | "
       "Contraindicated in …, called nothing."},
      {"Caution in fever.",
       "1:1 [Caution in fever] a caution says something: "
       "This caution has no words. | "
       "Caution in fever: \"…\"."},
      {"Contraindicated fever.",
       "1:17 [fever] `in` is missing: "
       "A condition stands after `in`. | "
       "Contraindicated in fever."},
      {"Refer: \"x\".",
       "1:1 [Refer: \"x\"] a red flag without a condition: "
       "This sentence does not say in what it refers. | "
       "Refer in …: \"x\"."},
      {"Refer in fever.",
       "1:1 [Refer in fever] a red flag without words: "
       "This sentence does not say what the person is told. | "
       "Refer in fever: \"…\"."},
      {"Otherwise allowed in fever.",
       "1:19 [in fever] `in` has no place here: "
       "Otherwise speaks for everybody of whom nothing else is said. | "
       "Otherwise allowed. Or: Allowed in fever."},
      {"Otherwise withheld with care.",
       "1:20 [with care] `with care`: "
       "Only what is advised or allowed can be with care. | "
       "Otherwise withheld."},
      {"Term frail means fever [SB 1].",
       "1:24 [[SB 1]] this has no place here: "
       "A source cannot stand in a sentence that begins with Term. | "
       "Term frail means fever."},
      {"Practices walk [SB 1]slow, run.",
       "1:16 [[SB 1]slow, run] this has no place here: "
       "A source cannot stand in a sentence that begins with Practices. | "
       "Practices walk slow, run."},
      {"Term frail means fever: \"weak\".",
       "1:23 [: \"weak\"] this has no place here: "
       "A colon cannot stand in a sentence that begins with Term. | "
       "Term frail means fever."},
      {"Contraindicated in fever, for warmth.",
       "1:31 [warmth] words in quotes are missing: "
       "Words in quotes belong here. | "
       "Contraindicated in fever, for \"warmth\"."},
      {"Contraindicated in fever [SB 1 [WN 2].",
       "1:32 [[] a bracket in a bracket: "
       "A bracket opens inside the brackets of a citation; sources are parted by semicolons. | "
       "Contraindicated in fever [SB 1; WN 2]."},
      {"In fever: cold plunge is withheld with care.",
       "1:35 [with care] `with care`: "
       "Only what is advised or allowed can be with care. | "
       "In fever: cold plunge is withheld."},
      {"In fever: cold plunge is referred.",
       "1:26 [referred] no such verdict: "
       "\"referred\" is no verdict. | "
       "withheld, discouraged, advised, or allowed"},
      {"In fever cold plunge is allowed.",
       "1:10 [cold plunge] a colon is missing: "
       "A colon belongs here. | "
       "In fever: cold plunge is allowed."},
  });
}

TEST_CASE("a sentence that begins with no known word is told with the nearest one") {
  check_said({
      {"Never fever.",
       "1:1 [Never] no sentence begins so: "
       "What a person must not do is said with `Contraindicated in`. | "
       "Contraindicated in fever."},
      {"Never cold plunge.",
       "1:1 [Never] no sentence begins so: "
       "Practices that are not done together are named after `Never with`. | "
       "Never with cold plunge."},
      {"Contraindicted in fever.",
       "1:1 [Contraindicted] no sentence begins so: "
       "No sentence begins with \"Contraindicted\"; did you mean \"Contraindicated\"? | "
       "Contraindicated in fever."},
      {"Every practise in baths.",
       "1:1 [Every practise] no sentence begins so: "
       "No sentence begins with \"Every practise\"; did you mean \"Every practice\"? | "
       "Every practice in baths."},
      {"fever is bad.",
       "1:1 [fever] no sentence begins so: "
       "No sentence begins with \"fever\"; its first word says what it does, such as Finding, Practice or Indicated. | "
       "Finding … is yes or no. Or: Practice …. Or: Indicated in …. Or: Contraindicated in …. Or: Otherwise allowed."},
      {"Edition \"3\".",
       "1:1 [Edition] no sentence begins so: "
       "No sentence begins with \"Edition\"; its first word says what it does, such as Finding, Practice or Indicated. | "
       "Finding … is yes or no. Or: Practice …. Or: Indicated in …. Or: Contraindicated in …. Or: Otherwise allowed."},
      {"..",
       "1:1 [.] a stop in the middle: "
       "No space follows this stop, so the sentence does not end here. | "},
      {"Practice walking, swimming.",
       "1:1 [Practice] one practice or several?: "
       "Several practices that share their sentences are named after `Practices`. | "
       "Practices walking, swimming."},
      {"Ruleset \"Other\", edition \"2\".",
       "1:1 [Ruleset] a second title: "
       "The ruleset has its title in line 1 already; another book can be named as a source. | "
       "Source … is \"…\", …."},
  });
}

TEST_CASE("a declaration that cannot stand is told by its words") {
  check_said({
      {"Finding chill is yes or noo.",
       "1:18 [yes or noo] what is told of it is not clear: "
       "After `is` stands what may be told of a finding. | "
       "Finding chill is yes or no."},
      {"Finding chill.",
       "1:9 [chill] `is` is missing: "
       "This sentence does not say what it declares. | "
       "Finding chill is yes or no. Or, in place of that: one of …, …; a grade of …, …; any of …, …; or a number of … from … to …"},
      {"Finding is yes or no.",
       "1:9 [is yes] a name is missing: "
       "A name belongs here. | "
       "Finding … is yes or no."},
      {"Finding \"chill\" is yes or no.",
       "1:9 [\"chill\"] a name in quotes: "
       "Names stand without quotes; quotes are for what people are told. | "
       "Finding chill is yes or no."},
      {"Finding chill is a number of kg.",
       "1:30 [kg] `from` is missing: "
       "The word `from` belongs here. | "
       "Finding chill is a number of kg from … to …."},
      {"Finding not well is yes or no.",
       "1:9 [not well] a name that cannot be told apart: "
       "A name cannot begin with \"not\", a word by which sentences are read. | "
       "Finding well is yes or no."},
      {"Finding 3 days is yes or no.",
       "1:9 [3 days] a name begins with a letter: "
       "\"3 days\" begins with a number, and would be read as one. | "
       "Finding three days is yes or no."},
      {"Finding fever is yes or no.",
       "1:9 [fever] one name, declared twice: "
       "\"fever\" is a finding already, in line 5; one of the two needs another name. | "
       "Finding fever … is yes or no."},
      {"Finding chill (also cough) is yes or no.",
       "1:21 [cough] one name, declared twice: "
       "\"cough\" is a finding already, in line 6; one of the two needs another name. | "
       "Finding chill (also cough …) is yes or no."},
      {"Finding date is yes or no.",
       "1:9 [date] a name that is there already: "
       "\"date\" is built in, and is asked for without being declared. | "
       "date from 1 November to 30 April"},
      {"Source B C is \"Book\", 1900.",
       "1:8 [B C] one word for a source: "
       "A source is cited by one word, and \"B C\" has 2. | "
       "Source B-C is \"Book\", 1900."},
      {"Source BC is \"Book\".",
       "1:14 [\"Book\"] a year is missing: "
       "After the title of a source stands the year it is from, in digits. | "
       "Source BC is \"Book\", …."},
      {"Source SB is \"Book\", 1900.",
       "1:8 [SB] one name, declared twice: "
       "\"SB\" is a source already, in line 2; one of the two needs another name. | "
       "Source SB … is \"Book\", 1900."},
      {"Term fever and cough means age over 3.",
       "1:6 [fever and cough] a name that reads two ways: "
       "\"fever and cough\" is a name of its own, and reads as a condition over other names too. | "
       "fever-and-cough"},
      {"Term age over 3 means fever.",
       "1:6 [age over 3] a name that reads two ways: "
       "\"age over 3\" is a name of its own, and reads as a condition over other names too. | "
       "age-over-3"},
      {"Practice walk. Practice run. Practice walk and run.",
       "1:39 [walk and run] a name that reads two ways: "
       "\"walk and run\" is a name of its own, and reads as several practices too. | "
       "walk-and-run"},
      {"Finding chill is one of low, high, low.",
       "1:36 [low] one value, listed twice: "
       "\"low\" stands twice in this list. | "
       "Finding chill is one of low, high."},
      {"Finding chill is any of low hum, high hum and deep hum.",
       "1:34 [high hum and deep hum] one value or two?: "
       "\"high hum and deep hum\" ends this list; is it one value, or are they two? | "
       "For two: Finding chill is any of low hum, high hum, deep hum. For one: Finding chill is any of high hum and deep hum, low hum."},
      {"Finding chill is one of low or middling or high, usually middling.", ""},
      {"Finding chill is one of low or middling and high.",
       "1:25 [low or middling and high] one value or two?: "
       "\"low or middling and high\" ends this list; is it one value, or are they two? | "
       "For two: Finding chill is one of low or middling, high. For one: Finding chill is one of low or middling and high, …."},
      {"Finding chill is yes or no, usually low.",
       "1:37 [low] yes or no: "
       "\"chill\" is yes or no: there is no more or less of it, and no value. | "
       "yes, or no"},
      {"Finding chill is one of low, high, usually midd.",
       "1:44 [midd] no such value: "
       "\"midd\" is not a value of \"chill\". | "
       "low or high"},
      {"Finding chill is a grade of low, high, the highest prevails.",
       "1:18 [a grade of low, high, the highest prevails] only a choice has what prevails: "
       "A finding is told by the person; `prevails` is for a choice, where two sentences may ask for different grades. | "
       "Finding chill is a grade of low, high. Or: Choice chill is a grade of low, high, the highest prevails."},
      {"Finding chill is a number from 0 to 3, usually never.",
       "1:48 [never] not a value of this finding: "
       "This finding cannot be never. | "
       "Finding chill is a number from 0 to 3, or never, usually never. Or: Finding chill is a number from 0 to 3, usually …."},
      {"Choice salve is yes or no.",
       "1:17 [yes or no] nothing to choose from: "
       "A choice is made among things that are listed. | "
       "Choice salve is one of …, …. Or, in place of that: any of …, …; or a grade of …, …, the highest prevails"},
      {"Choice salve is a grade of thin, thick.",
       "1:17 [a grade of thin, thick] which of two grades?: "
       "Where two grades fit, one must prevail. | "
       "Choice salve is a grade of thin, thick, the highest prevails."},
      {"Term frail mean fever.",
       "1:12 [mean] `means` is missing: "
       "The word `means` belongs here, in place of \"mean\". | "
       "Term frail means fever."},
      {"Tally t counts fever as lots.",
       "1:25 [lots] a number is missing: "
       "A number belongs here, in digits. | "
       "Tally t counts fever as …."},
      {"Leading l is the most of cough.",
       "1:26 [cough] a name of another kind: "
       "\"cough\" is a finding (line 6); a tally belongs here. | "
       "Tally … counts cough as 1."},
      {"Unit palm is 30.",
       "1:14 [30] a unit is missing: "
       "A unit belongs here, such as min, kg or day. | "
       "Unit palm is 30 …."},
      {"Practices walk, run and swim, fever.",
       "1:31 [fever] one name, declared twice: "
       "\"fever\" is a finding already, in line 5; one of the two needs another name. | "
       "Practices walk, run and swim, fever …."},
      {"Contraindicated in fever, called ban. Contraindicated in cough, called ban.",
       "1:72 [ban] one name, declared twice: "
       "\"ban\" is a label already, in line 14; one of the two needs another name. | "
       "Contraindicated in cough, called ban …."},
  });
}

TEST_CASE("a dose or a time that says nothing is told with what it could say") {
  check_said({
      {"Dose lots.",
       "1:6 [lots] how much, or how often?: "
       "A dose says how much, how often, or for how long. | "
       "Dose 1 to 3 min, once a day. Or: Dose 2 times a wk, for 5 d. Or: Dose half. Or: Dose \"…\"."},
      {"Dose 1 g, 2 g.",
       "1:11 [2 g] said twice: "
       "This dose says the same thing in two ways. | "
       "Dose 1 g."},
      {"Dose once a.",
       "1:11 [a] a unit is missing: "
       "A unit belongs here, such as min, kg or day. | "
       "Dose once a day."},
      {"Dose once fever.",
       "1:11 [fever] how much, or how often?: "
       "A dose says how much, how often, or for how long. | "
       "Dose 1 to 3 min, once a day. Or: Dose 2 times a wk, for 5 d. Or: Dose half. Or: Dose \"…\"."},
      {"Time from sunrize to noon.",
       "1:11 [sunrize] no such time of the day: "
       "\"sunrize\" is no time of the day; did you mean \"sunrise\"? | "
       "Time from sunrise to noon."},
      {"Time to noon.",
       "1:6 [to noon] `from` is missing: "
       "The word `from` belongs here. | "
       "Time from … to noon."},
      {"Time from 5 min sunrise.",
       "1:11 [5 min sunrise] no such time of the day: "
       "\"5 min sunrise\" is no time of the day; is it before sunrise, or after? | "
       "Time from 5 min before sunrise. Or: Time from 5 min after sunrise."},
      {"Takes long.",
       "1:7 [long] a number is missing: "
       "A number belongs here, in digits. | "
       "Takes 5 to 15 min."},
      {"Apart from cold plunge by night.",
       "1:27 [night] a number is missing: "
       "A number belongs here, in digits. | "
       "Apart from cold plunge by 20 min."},
  });
}

TEST_CASE("a missing stop, a lost quote and a hidden mark do not spoil the sentences after them") {
  check_said({
      {"Indicated in fever\n  Otherwise allowed.",
       "1:14 [fever] a stop is missing: "
       "This sentence has no stop at its end; the next one begins on line 15. | "
       "Indicated in fever."},
      {"Indicated in fever\n\nFinding chill is yes or no\nContraindicated in chill.",
       "1:14 [fever] a stop is missing: "
       "This sentence has no stop at its end; the next one begins on line 16. | "
       "Indicated in fever.\n"
       "3:25 [no] a stop is missing: "
       "This sentence has no stop at its end; the next one begins on line 17. | "
       "Finding chill is yes or no."},
      {"Indicated in fever Otherwise allowed.",
       "1:14 [fever] a stop is missing: "
       "A new sentence begins after this word, with no stop between them. | "
       "fever. Otherwise allowed."},
      {"Indicated in fever",
       "1:14 [fever] a stop is missing: "
       "This sentence has no stop at its end; the file ends after it. | "
       "Indicated in fever."},
      {"Note \"x.\n\nContraindicated in feever.",
       "1:6 [\"x.] a quote is not closed: "
       "A quotation opens here, and no quote closes it before the next empty line. | "
       "\"x.\"\n"
       "3:20 [feever] nothing goes by this name: "
       "No finding is called \"feever\"; did you mean \"fever\" (line 5)? | "
       "Contraindicated in fever."},
      {"Indicated in fever [SB 1.\n\nContraindicated in feever.",
       "1:20 [[SB 1.] a bracket is not closed: "
       "A square bracket opens here, and none closes it before the next empty line. | "
       "[SB 1].\n"
       "3:20 [feever] nothing goes by this name: "
       "No finding is called \"feever\"; did you mean \"fever\" (line 5)? | "
       "Contraindicated in fever."},
      {"Indicated in fe\u202Ever.",
       "1:16 [\u202E] a hidden mark: "
       "A mark that cannot be seen stands here and turns the order of what is shown; letters that run from right to left need no mark. | "
       "Indicated in fever."},
      {"Ask \"How?\".",
       "1:1 [Ask] no finding stands above: "
       "Ask gives the question for the finding above it, and none stands there. | "
       "Finding … is yes or no. Ask \"How?\"."},
  });
}

TEST_CASE("a sentence that speaks of what stands above it needs it there") {
  using betony::testing::said;
  CHECK(said("Finding fever is yes or no. Indicated in fever.") ==
        "1:29 [Indicated] no practice is named above: "
        "This sentence speaks about a practice, and none is named above it. | Practice …. Indicated in fever.\n");
  CHECK(said("Otherwise allowed.") ==
        "1:1 [Otherwise] no practice is named above: "
        "This sentence speaks about a practice, and none is named above it. | Practice …. Otherwise allowed.\n");
  CHECK(said("Take oil.") ==
        "1:1 [Take] no choice is named above: "
        "This sentence is about a choice, and none stands above it. | Choice … is one of …, …. Take oil.\n");
  CHECK(said("Practice p. Expect p advised.") ==
        "1:13 [Expect] no profile stands above: "
        "Expect says what the teaching should say of a sample person, and none stands above it. | Profile \"…\": …. Expect p advised.\n");
  CHECK(said("Note \"So.\"") ==
        "1:1 [Note] nothing stands above: "
        "Note is a remark on what stands above it, and nothing does. | Practice …. Note \"So.\".\n");
  CHECK(said("Practice p. Ask \"How?\"") ==
        "1:13 [Ask] no finding stands above: "
        "Ask gives the question for the finding above it, and none stands there. | "
        "Finding … is yes or no. Ask \"How?\".\n");
  CHECK(said("Finding fever is yes or no. Note \"So.\" Ask \"How?\"").empty());
  CHECK(said("Choice c is one of a, b. Practice p. Otherwise allowed. Take a. Otherwise b.").empty());
}
