// What a practitioner is told of names, values, lists and numbers that cannot be read: whole messages.
#include <catch2/catch.hpp>

#include "tests/unit/grammar_said.h"

using betony::testing::check_said;

TEST_CASE("a name that nobody declared is told with the nearest one and its line") {
  check_said({
      {"Contraindicated in feever, called fever ban [SB 1.2].",
       "1:20 [feever] nothing goes by this name: "
       "No finding is called \"feever\"; did you mean \"fever\" (line 5)? | "
       "Contraindicated in fever, called fever ban [SB 1.2]."},
      {"Contraindicated in xyzzy.",
       "1:20 [xyzzy] nothing goes by this name: "
       "No finding is called \"xyzzy\". | "
       "Finding xyzzy is yes or no."},
      {"Contraindicated in cold plunge.",
       "1:20 [cold plunge] a name of another kind: "
       "\"cold plunge\" is a practice (line 13); a finding belongs here, and what is said of a practice can be asked in a claim only. | "
       "Never with cold plunge. Or: Claim \"…\": never … is allowed in cold plunge is advised."},
      {"Contraindicated in oil.",
       "1:20 [oil] which value?: "
       "\"oil\" may be seal oil or nut oil; which is meant? | "
       "Contraindicated in oil is nut oil."},
      {"Contraindicated in fever, feevers, or cough.",
       "1:27 [feevers] nothing goes by this name: "
       "No finding is called \"feevers\"; did you mean \"fever\" (line 5)? | "
       "Contraindicated in fever, fever, or cough."},
      {"Contraindicated in fever cough.",
       "1:26 [cough] how do these go together?: "
       "No `and` and no `or` stands before \"cough\". | "
       "Contraindicated in fever and cough. Or: Contraindicated in fever or cough."},
      {"Contraindicated in fever dreams.",
       "1:26 [dreams] words that are left over: "
       "\"fever\" is a finding (line 5), and \"dreams\" does not belong to its name. | "
       "Contraindicated in fever. Or, for a name of its own: Finding fever dreams is yes or no."},
      {"Contraindicated in broken.",
       "1:20 [broken] a value by itself: "
       "\"broken\" is a value of \"skin\", which is not named here. | "
       "Contraindicated in skin is broken."},
      {"Contraindicated in no fever.",
       "1:20 [no] `not`, in place of `no`: "
       "A condition is denied by `not`. | "
       "Contraindicated in not fever."},
      {"Contraindicated in baths.",
       "1:20 [baths] a name of another kind: "
       "\"baths\" is a group (line 12); a finding belongs here. | "
       "Contraindicated in …."},
      {"Indicated in fever [SC 1].",
       "1:21 [SC] nothing goes by this name: "
       "No source is called \"SC\"; did you mean \"SB\" (line 2)? | "
       "Indicated in fever [SB 1]."},
      {"Indicated in fever [SB 1, WN 2].",
       "1:25 [,] two sources and a comma: "
       "A comma stands between two sources; a semicolon parts them. | "
       "Indicated in fever [SB 1; WN 2]."},
      {"Indicated in fever, despite fever ban.",
       "1:29 [fever ban] nothing goes by this name: "
       "No sentence is called \"fever ban\". | "
       "Contraindicated in …, called fever ban."},
      {"Follows cold plung.",
       "1:9 [cold plung] nothing goes by this name: "
       "No practice is called \"cold plung\"; did you mean \"cold plunge\" (line 13)? | "
       "Follows cold plunge."},
      {"Follows fever.",
       "1:9 [fever] a name of another kind: "
       "\"fever\" is a finding (line 5); a practice belongs here. | "
       "Follows … in fever."},
      {"Uses oill.",
       "1:6 [oill] nothing goes by this name: "
       "No choice is called \"oill\"; did you mean \"oil\" (line 11)? | "
       "Uses oil."},
      {"Every practice in bath.",
       "1:19 [bath] nothing goes by this name: "
       "No group is called \"bath\"; did you mean \"baths\" (line 12)? | "
       "Every practice in baths."},
      {"School north holds SB, NN.",
       "1:24 [NN] nothing goes by this name: "
       "No source is called \"NN\"; did you mean \"WN\" (line 3)? | "
       "School north holds SB, WN."},
      {"Group g holds cold plunge, hot plunge.",
       "1:28 [hot plunge] nothing goes by this name: "
       "No practice is called \"hot plunge\". | "
       "Practice hot plunge."},
      {"Leading l is the most of a, b, else c.",
       "1:26 [a] nothing goes by this name: "
       "No tally is called \"a\". | "
       "Tally a counts … as 1."},
      {"Measure m is age / hight in kg.",
       "1:20 [hight] nothing goes by this name: "
       "No number is called \"hight\". | "
       "Finding hight is a number of … from … to …."},
      {"Measure m is age / fever.",
       "1:20 [fever] no number to reckon with: "
       "\"fever\" is not told as a number, so nothing can be reckoned from it. | "
       "Tally … counts fever as 1."},
      {"Expect cold plunge advised.",
       "1:1 [Expect] no profile stands above: "
       "Expect says what the teaching should say of a sample person, and none stands above it. | "
       "Profile \"…\": …. Expect cold plunge advised."},
      {"Profile \"x\": aeg 34.",
       "1:14 [aeg] nothing goes by this name: "
       "No finding is called \"aeg\"; did you mean \"age\" (line 4)? | "
       "Profile \"x\": age 34."},
  });
}

TEST_CASE("what is asked of a name must be what its declaration tells of it") {
  check_said({
      {"Contraindicated in skin is brokn.",
       "1:28 [brokn] no such value: "
       "\"brokn\" is not a value of \"skin\"; did you mean \"broken\"? | "
       "Contraindicated in skin is broken."},
      {"Contraindicated in skin is red.",
       "1:28 [red] no such value: "
       "\"red\" is not a value of \"skin\". | "
       "sound, chapped, or broken"},
      {"Contraindicated in skin is chapped, broken.",
       "1:37 [broken] a comma between two values: "
       "A comma does not join values, and \"broken\" is a value of \"skin\". | "
       "Contraindicated in skin is chapped or broken."},
      {"Contraindicated in skin.",
       "1:20 [skin] which value?: "
       "\"skin\" may be sound, chapped, or broken; which is meant? | "
       "Contraindicated in skin is chapped."},
      {"Contraindicated in skin over chapped.",
       "1:20 [skin over chapped] no more and no less: "
       "The values of \"skin\" have no order: sound, chapped, or broken. | "
       "Contraindicated in skin is chapped."},
      {"Contraindicated in skin is 3.",
       "1:20 [skin is 3] unlike things are compared: "
       "\"skin\" is told in words: sound, chapped, or broken. | "
       "Contraindicated in skin is chapped."},
      {"Contraindicated in breath.",
       "1:20 [breath] how much?: "
       "\"breath\" is a grade; how much of it is meant? | "
       "Contraindicated in breath at least mild."},
      {"Contraindicated in breath at least 3.",
       "1:20 [breath at least 3] unlike things are compared: "
       "\"breath\" is told in words: none, mild, moderate, or severe. | "
       "Contraindicated in breath is mild."},
      {"Contraindicated in age.",
       "1:20 [age] how much?: "
       "\"age\" is a number; alone it says neither yes nor no. | "
       "Contraindicated in age at least …."},
      {"Contraindicated in age 5.",
       "1:24 [5] more, less, or just so much?: "
       "No word says how \"age\" compares with this number. | "
       "age is 5, age under 5, age over 5, age at least 5, or age at most 5"},
      {"Contraindicated in age is old.",
       "1:27 [old] a number is missing: "
       "\"age\" is told as a number; one belongs here, in digits. | "
       "age at least …; age under …; or age from … to …"},
      {"Contraindicated in complaints.",
       "1:20 [complaints] which of them?: "
       "\"complaints\" is several things that may hold, each by itself; which is meant? | "
       "Contraindicated in any of cold hands, stiff joints, or poor sleep."},
      {"Contraindicated in complaints are cold hands or poor sleep.",
       "1:20 [complaints are cold hands or poor sleep] each by itself: "
       "The items of \"complaints\" are named alone, as a yes or no each. | "
       "Contraindicated in (cold hands or poor sleep)."},
      {"Contraindicated in fever is yes.",
       "1:20 [fever is yes] yes or no: "
       "\"fever\" is yes or no: it is named alone, or after `not`. | "
       "Contraindicated in fever."},
      {"Contraindicated in fever is no.",
       "1:20 [fever is no] yes or no: "
       "\"fever\" is yes or no: it is named alone, or after `not`. | "
       "Contraindicated in not fever."},
      {"Contraindicated in fever over 3.",
       "1:20 [fever over 3] yes or no: "
       "\"fever\" is yes or no: there is no more or less of it, and no value. | "
       "Contraindicated in fever."},
      {"Contraindicated in date.",
       "1:20 [date] which days?: "
       "The date alone says neither yes nor no. | "
       "Contraindicated in date from 1 November to 30 April."},
      {"Contraindicated in date over 3.",
       "1:20 [date over 3] unlike things are compared: "
       "\"date\" is told as a day of the year. | "
       "Contraindicated in date from 1 November to 30 April."},
      {"Contraindicated in date from 31 April to 3 May.",
       "1:30 [31 April] no such day: "
       "April has the days 1 to 30. | "
       "Contraindicated in date from 30 April to 3 May."},
      {"Contraindicated in time of day over 24:00.",
       "1:37 [24:00] no such time: "
       "The clock runs from 00:00 to 23:59. | "
       "Contraindicated in time of day over 00:00."},
      {"Contraindicated in time of day over 9:75.",
       "1:37 [9:75] no such time: "
       "The clock runs from 00:00 to 23:59. | "
       "Contraindicated in time of day over 09:59."},
      {"Contraindicated in age is with care.",
       "1:20 [age is with care] `with care`: "
       "Only a practice can be with care, and only in a claim. | "
       "Claim \"…\": never … is with care."},
      {"Finding weak is yes or no. Finding strength is one of firm, weak. Indicated in strength is firm or weak.",
       "1:100 [weak] a word with two meanings: "
       "\"weak\" is a value of \"strength\", and a name of its own too; which is meant here? | "
       "For the value: Indicated in strength is firm or strength is weak. For the other: Indicated in strength is firm or (weak)."},
      {"Claim \"c\": never cold plunge.",
       "1:18 [cold plunge] what of it?: "
       "\"cold plunge\" is a practice; what is said of it? | "
       "Claim \"c\": never cold plunge is advised."},
      {"Claim \"c\": never cold plunge is advized.",
       "1:33 [advized] no such verdict: "
       "\"advized\" is no verdict; did you mean \"advised\"? | "
       "Claim \"c\": never cold plunge is advised."},
      {"Claim \"c\": never cold plunge is unanswered.",
       "1:18 [cold plunge is unanswered] always answered: "
       "A claim looks at persons of whom everything is known; there no verdict is unanswered. | "
       "Expect cold plunge unanswered."},
      {"Claim \"c\": cold plunge is advised in fever.",
       "1:12 [cold plunge] `never` is missing: "
       "The word `never` belongs here. | "
       "Claim \"c\": never cold plunge is advised in fever."},
      {"Take nut oyl in fever.",
       "1:6 [nut oyl] no such value: "
       "\"nut oyl\" is not a value of \"oil\"; did you mean \"nut oil\"? | "
       "Take nut oil in fever."},
      {"Otherwise alowed.",
       "1:11 [alowed] no such verdict: "
       "\"alowed\" is no verdict; did you mean \"allowed\"? | "
       "Otherwise allowed."},
      {"Profile \"x\": age 34, skin brokn, the rest as usual.",
       "1:27 [brokn] no such value: "
       "\"brokn\" is not a value of \"skin\"; did you mean \"broken\"? | "
       "Profile \"x\": age 34, skin broken, the rest as usual."},
      {"Profile \"x\": age, the rest as usual.",
       "1:14 [age] a value is missing: "
       "\"age\" is named without its value. | "
       "Profile \"x\": age …, the rest as usual."},
      {"Profile \"x\": skin, the rest as usual.",
       "1:14 [skin] a value is missing: "
       "\"skin\" is named without its value, which is sound, chapped, or broken. | "
       "Profile \"x\": skin …, the rest as usual."},
      {"Profile \"x\": fever 3, the rest as usual.",
       "1:14 [fever 3] yes or no: "
       "\"fever\" is yes or no: it is named alone, or after `not`. | "
       "Profile \"x\": fever, the rest as usual."},
      {"Profile \"x\": age 30 May, the rest as usual.",
       "1:14 [age 30 May] not a value of this finding: "
       "\"age\" is told as a number. | "
       "Profile \"x\": age …, the rest as usual."},
      {"Profile \"x\": oil nut oil, the rest as usual.",
       "1:14 [oil nut oil] worked out, not told: "
       "\"oil\" is worked out from the findings; a profile tells findings only. | "
       "Profile \"x\": the rest as usual."},
      {"Profile \"x\": complaints, the rest as usual.",
       "1:14 [complaints] each by itself: "
       "The items of \"complaints\" are told one by one. | "
       "cold hands, stiff joints, and poor sleep"},
      {"Profile \"x\": the rest as usual, age 3.",
       "1:33 [age 3] after the rest: "
       "`the rest as usual` stands last. | "
       "Profile \"x\": age 3, the rest as usual."},
      {"Profile \"x\": age 3. Expect cold plung advised.",
       "1:28 [cold plung] nothing goes by this name: "
       "No practice or choice is called \"cold plung\"; did you mean \"cold plunge\" (line 13)? | "
       "Expect cold plunge advised."},
      {"Profile \"x\": age 3. Expect cold plunge advize.",
       "1:40 [advize] no such verdict: "
       "\"advize\" is no verdict; did you mean \"advised\"? | "
       "Expect cold plunge advised."},
      {"Profile \"x\": age 3. Expect cold plunge withheld with care.",
       "1:49 [with care] `with care`: "
       "Only what is advised or allowed can be with care. | "
       "Expect cold plunge withheld."},
  });
}

TEST_CASE("a list that could be read in two ways is told with its readings") {
  check_said({
      {"Contraindicated in fever and cough or age over 5.",
       "1:20 [fever and cough or age over 5] `and` and `or` are mixed: "
       "`and` and `or` stand side by side here; which belong together? | "
       "(fever and cough) or age over 5; or fever and (cough or age over 5)"},
      {"Contraindicated in fever or cough and age over 5 or poor sleep.",
       "1:20 [fever or cough and age over 5 or poor sleep] `and` and `or` are mixed: "
       "`and` and `or` stand side by side here; which belong together? | "
       "fever or (cough and age over 5) or poor sleep; or (fever or cough) and (age over 5 or poor sleep)"},
      {"Contraindicated in fever, cough, and age over 5 or poor sleep.",
       "1:20 [fever, cough, and age over 5 or poor sleep] `and` and `or` are mixed: "
       "`and` and `or` stand side by side here; which belong together? | "
       "(fever and cough and age over 5) or poor sleep; or fever and cough and (age over 5 or poor sleep)"},
      {"Contraindicated in fever, cough.",
       "1:20 [fever, cough] a list without its last word: "
       "These are listed with commas only; must all of them hold, or one? | "
       "fever and cough; or fever or cough"},
      {"Contraindicated in (fever and cough.",
       "1:31 [cough] a bracket is not closed: "
       "A round bracket opens before this, and does not close. | "
       "Contraindicated in (fever and cough)."},
      {"Contraindicated in fever) and cough.",
       "1:25 [)] a bracket too many: "
       "This bracket closes none that is open. | "
       "Contraindicated in fever and cough."},
      {"Contraindicated in fever,.",
       "1:25 [,] a comma at the end: "
       "Nothing follows this comma. | "
       "Contraindicated in fever."},
      {"Contraindicated in fever and.",
       "1:26 [and] a condition is missing: "
       "The sentence ends where a condition belongs. | "
       "Contraindicated in fever and …."},
      {"Contraindicated in at least 4 of fever, cough.",
       "1:29 [4] a count that cannot be reached: "
       "`at least 4 of` is followed by a list of 2. | "
       "Contraindicated in at least 2 of fever, cough."},
      {"Contraindicated in fever and (cough and age over 5 or poor sleep).",
       "1:31 [cough and age over 5 or poor sleep] `and` and `or` are mixed: "
       "`and` and `or` stand side by side here; which belong together? | "
       "(cough and age over 5) or poor sleep; or cough and (age over 5 or poor sleep)"},
  });
}

TEST_CASE("a number that could be read in two ways is told with its readings") {
  check_said({
      {"Contraindicated in age over 1,5.",
       "1:29 [1,5] a comma in a number: "
       "Numbers are written without commas: a decimal has a point, and thousands stand together. | "
       "1.5; or, for two numbers, 1, 5"},
      {"Contraindicated in age over 1,500.",
       "1:29 [1,500] a comma in a number: "
       "Numbers are written without commas: a decimal has a point, and thousands stand together. | "
       "1500; or, for a decimal, 1.500"},
      {"Contraindicated in age over 12 in.",
       "1:32 [in] an inch is not `in`: "
       "`in` begins a condition; as a unit it is written inch. | "
       "Contraindicated in age over 12 inch."},
      {"Contraindicated in age over 12 in and fever.",
       "1:32 [in] an inch is not `in`: "
       "`in` begins a condition; as a unit it is written inch. | "
       "Contraindicated in age over 12 inch and fever."},
      {"Contraindicated called rule 2 in feever.",
       "1:34 [feever] nothing goes by this name: "
       "No finding is called \"feever\"; did you mean \"fever\" (line 5)? | "
       "Contraindicated called rule 2 in fever."},
      {"Finding height is a number of in from 2 to 80.",
       "1:31 [in] an inch is not `in`: "
       "`in` begins a condition; as a unit it is written inch. | "
       "Finding height is a number of inch from 2 to 80."},
      {"Finding height is a number of kg from 2 kg to 80 kg.",
       "1:41 [kg to 80 kg] a unit in the wrong place: "
       "The unit of a range stands after `of`, before its two numbers. | "
       "Finding height is a number of kg from 2 to 80."},
      {"Contraindicated in age > 5.",
       "1:24 [>] a sign in place of a word: "
       "\">\" is written as a word: over. | "
       "Contraindicated in age over 5."},
      {"Contraindicated in age 5–10.",
       "1:24 [5–10] more, less, or just so much?: "
       "A range of \"age\" is told with `from` and `to`. | "
       "Contraindicated in age from 5 to 10."},
      {"Contraindicated in age over .5.",
       "1:29 [.] a stop in the middle: "
       "No space follows this stop, so the sentence does not end here. | "
       "Contraindicated in age over 0.5."},
      {"Contraindicated in age over 12345678901234567890123456789012345678901.",
       "1:29 [12345678901234567890123456789012345678901] a number too long: "
       "This number has more than 40 digits, the most that it may have. | "
       "Contraindicated in age over …."},
  });
}
