// What is to be written instead, where words of the author's own can be kept: whole messages.
#include <catch2/catch.hpp>

#include "tests/unit/grammar_said.h"

using betony::testing::check_said;

TEST_CASE("words that begin with a name of another kind are told as a whole") {
  check_said({
      {"Uses oilcloth.",
       "1:6 [oilcloth] nothing goes by this name: "
       "No choice is called \"oilcloth\". | "
       "Choice oilcloth is one of …, …."},
      {"Uses cold plunge.",
       "1:6 [cold plunge] a name of another kind: "
       "\"cold plunge\" is a practice (line 13); a choice belongs here. | "
       "Uses oil. Or: Needs cold plunge."},
      {"Uses cold plunge oil.",
       "1:6 [cold plunge oil] nothing goes by this name: "
       "No choice is called \"cold plunge oil\". | "
       "Choice cold plunge oil is one of …, …."},
      {"Follows fever.",
       "1:9 [fever] a name of another kind: "
       "\"fever\" is a finding (line 5); a practice belongs here. | "
       "Follows … in fever."},
      {"Follows breath.",
       "1:9 [breath] a name of another kind: "
       "\"breath\" is a finding (line 7); a practice belongs here. | "
       "Follows … in breath at least mild."},
      {"Follows fever dreams.",
       "1:9 [fever dreams] nothing goes by this name: "
       "No practice is called \"fever dreams\". | "
       "Practice fever dreams."},
      {"Never with cold plunge and age.",
       "1:28 [age] a name of another kind: "
       "\"age\" is a finding (line 4); a practice belongs here. | "
       "Never with cold plunge and baths."},
      {"Dose 5 min in cold plunge is advised.",
       "1:15 [cold plunge] a name of another kind: "
       "\"cold plunge\" is a practice (line 13); a finding belongs here, and what is said of a practice can be asked in a claim only. | "
       "Dose 5 min in …. Or: Claim \"…\": never … in cold plunge is advised."},
      {"Term t means cold plunge is withheld.",
       "1:14 [cold plunge] a name of another kind: "
       "\"cold plunge\" is a practice (line 13); a finding belongs here, and what is said of a practice can be asked in a claim only. | "
       "Term t means …. Or: Claim \"…\": never … in cold plunge is withheld."},
      {"In cold plunge is advised: cold plunge is allowed.",
       "1:4 [cold plunge] a name of another kind: "
       "\"cold plunge\" is a practice (line 13); a finding belongs here, and what is said of a practice can be asked in a claim only. | "
       "In …: cold plunge is allowed. Or: Claim \"…\": never … in cold plunge is advised."},
      {"Group g holds fever.",
       "1:15 [fever] a name of another kind: "
       "\"fever\" is a finding (line 5); a practice belongs here. | "
       "Group g holds baths. Or: Group g holds cold plunge."},
      {"Leading l is the most of fever, age, else none of it.",
       "1:26 [fever] a name of another kind: "
       "\"fever\" is a finding (line 5); a tally belongs here. | "
       "Tally … counts fever as 1."},
      {"Tally t counts fever as 1. Leading l is the most of t, breath, else mixed.",
       "1:56 [breath] a name of another kind: "
       "\"breath\" is a finding (line 7); a tally belongs here. | "
       "Tally … counts breath at least mild as 1."},
      {"Tally t counts fever as 1. Leading l is the greatest of t, else mixed.",
       "1:41 [the greatest of] `the most of` is missing: "
       "\"the greatest of\" stands where `the most of` belongs. | "
       "Leading l is the most of t, else mixed."},
      {"Tally t counts fever as 1. Leading l is t, else mixed.",
       "1:41 [t] `the most of` is missing: "
       "The words `the most of` belong here. | "
       "Leading l is the most of t, else mixed."},
  });
}

TEST_CASE("words behind a name are told apart from it") {
  check_said({
      {"Contraindicated in fever very much.",
       "1:26 [very much] words that are left over: "
       "\"fever\" is a finding (line 5), and \"very much\" does not belong to its name. | "
       "Contraindicated in fever. Or, for a name of its own: Finding fever very much is yes or no."},
      {"Contraindicated in fever very much or cough.",
       "1:26 [very much] words that are left over: "
       "\"fever\" is a finding (line 5), and \"very much\" does not belong to its name. | "
       "Contraindicated in fever or cough. Or, for a name of its own: Finding fever very much is yes or no."},
      {"Contraindicated in age years over 5.",
       "1:24 [years] words that are left over: "
       "\"age\" is a finding (line 4), and \"years\" does not belong to its name. | "
       "Contraindicated in age over 5. Or, for a name of its own: Finding age years is yes or no."},
      {"Contraindicated in cold hands often and fever.",
       "1:31 [often] words that are left over: "
       "\"cold hands\" is an item of a finding (line 9), and \"often\" does not belong to its name. | "
       "Contraindicated in cold hands and fever. Or, for a name of its own: Finding cold hands often is yes or no."},
      {"Contraindicated in stiff joint pain.",
       "1:20 [stiff joint pain] nothing goes by this name: "
       "No finding is called \"stiff joint pain\". | "
       "Finding stiff joint pain is yes or no."},
  });
}

TEST_CASE("a finding is told in the form that it was meant to have") {
  check_said({
      {"Finding water is a number from 5 to 45 Cel in steps of 1.",
       "1:40 [Cel] a unit in the wrong place: "
       "The unit of a range stands after `of`, before its two numbers. | "
       "Finding water is a number of Cel from 5 to 45 in steps of 1."},
      {"Finding years is a number from 0 to 120 a, usually 40.",
       "1:41 [a] a unit in the wrong place: "
       "The unit of a range stands after `of`, before its two numbers. | "
       "Finding years is a number of years from 0 to 120, usually 40."},
      {"Finding load is a number from 0 to 50 g.m-1.",
       "1:39 [g.m-1] a unit in the wrong place: "
       "The unit of a range stands after `of`, before its two numbers. | "
       "Finding load is a number of g.m-1 from 0 to 50."},
      {"Finding nap is a whole number of min 0 to 240.",
       "1:38 [0 to 240] `from` is missing: "
       "The word `from` belongs here. | "
       "Finding nap is a whole number of min from 0 to 240."},
      {"Finding nap is a number of h ago from 0 h to 48 h, or never.",
       "1:41 [h to 48 h] a unit in the wrong place: "
       "The unit of a range stands after `of`, before its two numbers. | "
       "Finding nap is a number of h ago from 0 to 48, or never."},
      {"Finding walk is a number of km.",
       "1:29 [km] `from` is missing: "
       "The word `from` belongs here. | "
       "Finding walk is a number of km from … to …."},
      {"Finding walk is 0-20 km.",
       "1:17 [0-20 km] what is told of it is not clear: "
       "After `is` stands what may be told of a finding. | "
       "Finding walk is a number of km from 0 to 20."},
      {"Finding heat is a number of [degF] from 0 to 140.",
       "1:29 [[degF]] a unit in brackets: "
       "A bracket after a space opens a citation; the unit [degF] is written degF here. | "
       "Finding heat is a number of degF from 0 to 140."},
      {"Finding ache is a grade none, some.",
       "1:17 [a grade none, some] what is told of it is not clear: "
       "After `is` stands what may be told of a finding. | "
       "Finding ache is a grade of none, some."},
      {"Finding ache one of none, some.",
       "1:14 [one of none] `is` is missing: "
       "This sentence does not say what it declares. | "
       "Finding ache is one of none, some."},
      {"Finding ache is yes/no.",
       "1:17 [yes/no] what is told of it is not clear: "
       "After `is` stands what may be told of a finding. | "
       "Finding ache is yes or no."},
      {"Choice salve is a list of thin, thick.",
       "1:17 [a list of thin, thick] what is told of it is not clear: "
       "After `is` stands what may be told of a choice. | "
       "Choice salve is one of thin, thick."},
      {"Finding ache is a grade of.",
       "1:25 [of] a name is missing: "
       "A name belongs here. | "
       "Finding ache is a grade of …."},
  });
}

TEST_CASE("a unit that would be read as something else is told with what to write") {
  check_said({
      {"Contraindicated in age over 12 a.",
       "1:32 [a] a year is not `a`: "
       "`a` is a word of sentences here; as a unit it is written years. | "
       "Contraindicated in age over 12 years."},
      {"Contraindicated in age over 12 [degF].",
       "1:32 [[degF]] a unit in brackets: "
       "A bracket after a space opens a citation; the unit [degF] is written degF here. | "
       "Contraindicated in age over 12 degF."},
      {"Dose 500 [IU].",
       "1:10 [[IU]] a unit in brackets: "
       "A bracket after a space opens a citation; the unit [IU] touches its number. | "
       "Dose 500[IU]."},
      {"Contraindicated in age over 12 [lb_av] and fever [SB 1].",
       "1:32 [[lb_av]] a unit in brackets: "
       "A bracket after a space opens a citation; the unit [lb_av] is written lb here. | "
       "Contraindicated in age over 12 lb and fever [SB 1]."},
  });
}

TEST_CASE("a comparison in other words is told in those of the language") {
  check_said({
      {"Contraindicated in age above 12.",
       "1:24 [above] a comparison in other words: "
       "\"above\" is written \"over\". | "
       "Contraindicated in age over 12."},
      {"Contraindicated in age is over 12.",
       "1:24 [is over] a comparison in other words: "
       "\"is over\" is written \"over\". | "
       "Contraindicated in age over 12."},
      {"Contraindicated in age is less than 12 or fever.",
       "1:24 [is less than] a comparison in other words: "
       "\"is less than\" is written \"under\". | "
       "Contraindicated in age under 12 or fever."},
      {"Contraindicated in age between 5 and 10 years.",
       "1:24 [between] a comparison in other words: "
       "\"between\" is written \"from … to …\". | "
       "Contraindicated in age from 5 to 10 years."},
      {"Contraindicated in age 5 to 10.",
       "1:24 [5 to 10] more, less, or just so much?: "
       "A range of \"age\" is told with `from` and `to`. | "
       "Contraindicated in age from 5 to 10."},
      {"Contraindicated in age 5-10.",
       "1:24 [5-10] more, less, or just so much?: "
       "A range of \"age\" is told with `from` and `to`. | "
       "Contraindicated in age from 5 to 10."},
      {"Contraindicated in age >= 5.",
       "1:24 [>=] a sign in place of a word: "
       "\">=\" is written as a word: at least. | "
       "Contraindicated in age at least 5."},
      {"Contraindicated in breath is above mild.",
       "1:27 [is above] a comparison in other words: "
       "\"is above\" is written \"over\". | "
       "Contraindicated in breath over mild."},
      {"Contraindicated in fever & cough.",
       "1:26 [&] a sign in place of a word: "
       "\"&\" is written as a word: and. | "
       "Contraindicated in fever and cough."},
  });
}

TEST_CASE("a word in place of the one that declares is told where it stands") {
  check_said({
      {"Term frail is fever.",
       "1:12 [is] `means` is missing: "
       "The word `means` belongs here, in place of \"is\". | "
       "Term frail means fever."},
      {"Group g contains cold plunge.",
       "1:9 [contains] `holds` is missing: "
       "The word `holds` belongs here, in place of \"contains\". | "
       "Group g holds cold plunge."},
      {"School north contains SB.",
       "1:14 [contains] `holds` is missing: "
       "The word `holds` belongs here, in place of \"contains\". | "
       "School north holds SB."},
      {"Tally t count fever as 1.",
       "1:9 [count] `counts` is missing: "
       "The word `counts` belongs here, in place of \"count\". | "
       "Tally t counts fever as 1."},
      {"Tally t counts fever.",
       "1:16 [fever] `as` is missing: "
       "The word `as` belongs here. | "
       "Tally t counts fever as 1."},
      {"Term frail.",
       "1:6 [frail] `means` is missing: "
       "The word `means` belongs here. | "
       "Term frail means …."},
  });
}

TEST_CASE("a line that begins like a sentence ends a name, unless a comma stands before it") {
  check_said({
      {"Finding aches are any of knee ache,\n  Time ache, back ache. Contraindicated in back ache.",
       ""},
      {"Finding aches are any of knee ache, night\n  Time ache, back ache.",
       "2:3 [Time] a line that begins like a sentence: "
       "This line goes on with the sentence above it, and \"Time\" at its beginning opens a sentence; a small letter does not. | "
       "time ache, back ache."},
      {"Practice walk\n  Indicated in fever.",
       "1:10 [walk] a stop is missing: "
       "This sentence has no stop at its end; the next one begins on line 15. | "
       "Practice walk."},
      {"Contraindicated in fever, called ban\n  Indicated in cough.",
       "1:34 [ban] a stop is missing: "
       "This sentence has no stop at its end; the next one begins on line 15. | "
       "Contraindicated in fever, called ban."},
      {"Source\n  Source SX is \"Bath book\", 1911, ranked 1.",
       "2:3 [Source] a line that begins like a sentence: "
       "This line goes on with the sentence above it, and \"Source\" at its beginning opens a sentence; a small letter does not. | "
       "source SX is \"Bath book\", 1911, ranked 1."},
      {"Term warm\n  Term hot means fever.",
       "2:3 [Term] a line that begins like a sentence: "
       "This line goes on with the sentence above it, and \"Term\" at its beginning opens a sentence; a small letter does not. | "
       "term hot means fever."},
      {"Finding sound is a grade of none, wet\nFinding dry or raw.",
       "2:1 [Finding] a line that begins like a sentence: "
       "This line goes on with the sentence above it, and \"Finding\" at its beginning opens a sentence; a small letter does not. | "
       "finding dry or raw."},
      {"Finding sound is a grade of none, dry or\n  Source wet.", ""},
      {"Measure mass\n  Measure build is age * 2 in years.",
       "2:3 [Measure] a line that begins like a sentence: "
       "This line goes on with the sentence above it, and \"Measure\" at its beginning opens a sentence; a small letter does not. | "
       "measure build is age * 2 in years."},
  });
}

TEST_CASE("words for `in` and for joints are told, and nothing that was said is lost") {
  check_said({
      {"Indicated if fever.",
       "1:11 [if] `in` is missing: "
       "A condition stands after `in`, not after \"if\". | "
       "Indicated in fever."},
      {"Contraindicated with fever or cough.",
       "1:17 [with] `in` is missing: "
       "A condition stands after `in`, not after \"with\". | "
       "Contraindicated in fever or cough."},
      {"Indicated for fever.",
       "1:11 [for] `in` is missing: "
       "A condition stands after `in`, not after \"for\". | "
       "Indicated in fever."},
      {"Contraindicated: fever.",
       "1:16 [:] `in` is missing: "
       "A condition stands after `in`, not after \":\". | "
       "Contraindicated in fever."},
      {"Dose 5 min if fever.",
       "1:12 [if] `in` is missing: "
       "A condition stands after `in`, not after \"if\". | "
       "Dose 5 min in fever."},
      {"Contraindicated whenever it rains.",
       "1:17 [whenever it rains] words that are left over: "
       "The sentence is whole before this, and \"whenever it rains\" adds nothing to it. | "
       "Contraindicated in …."},
      {"Not in fever.",
       "1:1 [Not] no sentence begins so: "
       "What a person must not do is said with `Contraindicated in`. | "
       "Contraindicated in fever."},
      {"Never in fever.",
       "1:1 [Never] no sentence begins so: "
       "What a person must not do is said with `Contraindicated in`. | "
       "Contraindicated in fever."},
      {"Contraindicated in fever but not cough.",
       "1:26 [but] how do these go together?: "
       "\"but\" does not say how these go together. | "
       "Contraindicated in fever and not cough."},
      {"Contraindicated in fever / cough.",
       "1:26 [/] how do these go together?: "
       "\"/\" does not say how these go together. | "
       "Contraindicated in fever and cough. Or: Contraindicated in fever or cough."},
      {"Contraindicated in fever; cough.",
       "1:25 [;] how do these go together?: "
       "\";\" does not say how these go together. | "
       "Contraindicated in fever and cough. Or: Contraindicated in fever or cough."},
      {"Contraindicated in skin chapped or broken.",
       "1:25 [chapped] `is` is missing: "
       "The word `is` belongs between \"skin\" and its value. | "
       "Contraindicated in skin is chapped or broken."},
      {"Contraindicated in breath mild.",
       "1:27 [mild] `is` is missing: "
       "The word `is` belongs between \"breath\" and its value. | "
       "Contraindicated in breath is mild."},
      {"Contraindicated in chapped skin.",
       "1:20 [chapped skin] a value by itself: "
       "A value stands behind its finding, with `is` between them. | "
       "Contraindicated in skin is chapped."},
      {"Contraindicated in skin is not chapped nor broken.",
       "1:40 [nor] how do these go together?: "
       "\"nor\" does not say how these go together. | "
       "Contraindicated in skin is not chapped or broken."},
      {"Refer in fever to a physician.",
       "1:16 [to a physician] words that are left over: "
       "\"fever\" is a finding (line 5), and \"to a physician\" does not belong to its name. | "
       "Refer in fever: \"to a physician\". Or, for a name of its own: Finding fever to a physician is yes or no."},
      {"Caution in fever, \"Slowly.\".",
       "1:19 [\"Slowly.\"] a colon is missing: "
       "A colon stands before what people are told. | "
       "Caution in fever: \"Slowly.\"."},
      {"It cannot be fever and cough.",
       "1:1 [It cannot be] no sentence begins so: "
       "What nobody can have is said with `It cannot be that`. | "
       "It cannot be that fever and cough."},
  });
}

TEST_CASE("numbers, doses and times in other words are told in those of the language") {
  check_said({
      {"Contraindicated in age over sixty.",
       "1:29 [sixty] a number is missing: "
       "Numbers are written in digits. | "
       "Contraindicated in age over 60."},
      {"Contraindicated in age is 60 or more.",
       "1:27 [60 or more] a comparison in other words: "
       "\"60 or more\" is written \"at least 60\". | "
       "Contraindicated in age at least 60."},
      {"Contraindicated in age 60+.",
       "1:24 [60+] a comparison in other words: "
       "\"60+\" is written \"at least 60\". | "
       "Contraindicated in age at least 60."},
      {"Contraindicated in age 60 years or older.",
       "1:24 [60 years or older] a comparison in other words: "
       "\"60 years or older\" is written \"at least 60 years\". | "
       "Contraindicated in age at least 60 years."},
      {"Dose ten min.",
       "1:6 [ten] a number is missing: "
       "Numbers are written in digits. | "
       "Dose 10 min."},
      {"Dose 10 min daily.",
       "1:13 [daily] how often, in other words: "
       "\"daily\" is written \"once a day\". | "
       "Dose 10 min once a day."},
      {"Dose 10 min twice daily.",
       "1:19 [daily] how often, in other words: "
       "\"daily\" is written \"a day\". | "
       "Dose 10 min twice a day."},
      {"Dose 10 min 2 times per week.",
       "1:21 [per] how often, in other words: "
       "\"per\" is written \"a\". | "
       "Dose 10 min 2 times a week."},
      {"Dose 3x a day.",
       "1:6 [3x] how often, in other words: "
       "\"3x\" is written \"3 times\". | "
       "Dose 3 times a day."},
      {"Dose 2-3 times a day.",
       "1:7 [-] a dash in place of a word: "
       "A dash does not say what it joins; a range has words of its own. | "
       "Dose 2 to 3 times a day."},
      {"Time from 6 to 9.",
       "1:11 [6] no such time of the day: "
       "\"6\" is no time of the day; times are written with their minutes. | "
       "Time from 06:00 to 09:00."},
      {"Time from 6am to 10pm.",
       "1:11 [6am] no such time of the day: "
       "\"6am\" is no time of the day; times are written with their minutes. | "
       "Time from 06:00 to 22:00."},
      {"Time at noon.",
       "1:6 [at noon] `from` is missing: "
       "The word `from` belongs here. | "
       "Time from … to …."},
      {"Follows cold plunge by 20 min.",
       "1:21 [by 20 min] words that are left over: "
       "How long lies between two practices is said in a sentence of its own. | "
       "Follows cold plunge. Apart from cold plunge by 20 min."},
      {"Apart from cold plunge 20 min.",
       "1:24 [20 min] `by` is missing: "
       "The word `by` belongs here. | "
       "Apart from cold plunge by 20 min."},
      {"Contraindicated in date from November to 3 May.",
       "1:30 [November to 3 May] a day is missing: "
       "A day of the year belongs here. | "
       "Contraindicated in date from 1 November to 3 May."},
  });
}

TEST_CASE("trends and populations in another shape are told in theirs") {
  check_said({
      {"Claim \"c\": more fever never raises cold plunge.",
       "1:17 [fever] neither more nor less: "
       "\"fever\" is yes or no: it is there or not, and there is no more or less of it. | "
       "Claim \"c\": adding fever never raises cold plunge."},
      {"Claim \"c\": adding age never raises cold plunge.",
       "1:19 [age] neither more nor less: "
       "\"age\" is a number: there is more or less of it, and it is not added. | "
       "Claim \"c\": more age never raises cold plunge."},
      {"Claim \"c\": adding complaints never raises cold plunge.",
       "1:19 [complaints] neither more nor less: "
       "\"complaints\" is several things that may hold, each by itself; one of them can be added. | "
       "Claim \"c\": adding cold hands never raises cold plunge."},
      {"Claim \"c\": less skin never raises cold plunge.",
       "1:17 [skin] neither more nor less: "
       "The values of \"skin\" have no order: sound, chapped, or broken. | "
       "Finding skin is a grade of sound, chapped, broken. Or: Claim \"…\": never … is advised in skin is chapped."},
      {"Claim \"c\": more date never raises cold plunge.",
       "1:17 [date] neither more nor less: "
       "\"date\" goes round with the year: no day is more than another. | "
       "Claim \"c\": more … never raises cold plunge."},
      {"Claim \"c\": more agge never raises cold plunge.",
       "1:17 [agge] nothing goes by this name: "
       "No finding is called \"agge\"; did you mean \"age\" (line 4)? | "
       "Claim \"c\": more age never raises cold plunge."},
      {"Claim \"c\": more strength never raises cold plunge.",
       "1:17 [strength] nothing goes by this name: "
       "No finding is called \"strength\". | "
       "Finding strength is a number of … from … to …."},
      {"Claim \"c\": more age raises cold plunge.",
       "1:21 [raises cold plunge] `never` is missing: "
       "The word `never` belongs here. | "
       "Claim \"c\": more age never raises cold plunge."},
      {"Claim \"c\": more age always raises cold plunge.",
       "1:21 [always raises] `never` is missing: "
       "A trend says what never happens. | "
       "Claim \"c\": more age never lowers cold plunge."},
      {"Claim \"c\": age never raises cold plunge.",
       "1:12 [age] more, less, or added?: "
       "A trend begins with `more` or `less` of a finding, or with `adding` one. | "
       "Claim \"c\": more age never raises cold plunge."},
      {"Claim \"c\": with fever never raises cold plunge.",
       "1:12 [with fever] more, less, or added?: "
       "A trend begins with `more` or `less` of a finding, or with `adding` one. | "
       "Claim \"c\": adding fever never raises cold plunge."},
      {"Claim \"c\": more age never increases cold plunge.",
       "1:27 [increases] what never happens?: "
       "After `never` stands what does not happen: `raises` or `lowers`; of a dose also `lengthens` or `shortens`. | "
       "Claim \"c\": more age never raises cold plunge."},
      {"Claim \"c\": more age never lower cold plunge.",
       "1:27 [lower] what never happens?: "
       "After `never` stands what does not happen: `raises` or `lowers`; of a dose also `lengthens` or `shortens`. | "
       "Claim \"c\": more age never lowers cold plunge."},
      {"Claim \"c\": more age never lengthens cold plunge.",
       "1:37 [cold plunge] `the dose of` is missing: "
       "The words `the dose of` belong here. | "
       "Claim \"c\": more age never lengthens the dose of cold plunge."},
      {"Claim \"c\": more age never raises cold plunge, cold plung.",
       "1:47 [cold plung] nothing goes by this name: "
       "No practice is called \"cold plung\"; did you mean \"cold plunge\" (line 13)? | "
       "Claim \"c\": more age never raises cold plunge, cold plunge."},
      {"Claim more age never raises cold plunge.",
       "1:7 [more age never raises cold plunge] words in quotes are missing: "
       "Words in quotes belong here. | "
       "Claim \"…\": more age never raises cold plunge."},
      {"Population \"p\": age over 60 as 3, fever no as 9.",
       "1:33 [,] a comma between two findings: "
       "Commas part the shares of one finding; before \"fever\" belongs a semicolon. | "
       "Population \"p\": age over 60 as 3; fever no as 9."},
      {"Population \"p\": fevr no as 9.",
       "1:17 [fevr] nothing goes by this name: "
       "No finding is called \"fevr\"; did you mean \"fever\" (line 5)? | "
       "Population \"p\": fever no as 9."},
      {"Population \"p\": fever as 9.",
       "1:23 [as 9] yes or no: "
       "\"fever\" is yes or no, and each of these may have a share. | "
       "Population \"p\": fever no as 9, yes as 1."},
      {"Population \"p\": fever over 3 as 9.",
       "1:23 [over 3 as 9] not a part of this finding: "
       "\"fever\" is yes or no. | "
       "Population \"p\": fever no as 9, yes as 1."},
      {"Population \"p\": skin over chapped as 9.",
       "1:22 [over chapped as 9] not a part of this finding: "
       "The values of \"skin\" have no order: sound, chapped, or broken. | "
       "Population \"p\": skin sound as 3, chapped as 1."},
      {"Population \"p\": complaints cold hands as 9.",
       "1:17 [complaints] each by itself: "
       "The items of \"complaints\" are yes or no each, and stand in a population one by one. | "
       "Population \"p\": cold hands no as 3, yes as 1."},
      {"Population \"p\": age over 60.",
       "1:26 [60] `as` is missing: "
       "The word `as` belongs here. | "
       "Population \"p\": age over 60 as 1."},
      {"Population \"p\": age over 60 as many.",
       "1:32 [many] a number is missing: "
       "A number belongs here, in digits. | "
       "Population \"p\": age over 60 as …."},
      {"Population \"p\": age over 60 as 3;.",
       "1:32 [3;] a name is missing: "
       "The name of a finding belongs here. | "
       "Population \"p\": age over 60 as 3; …."},
  });
}

TEST_CASE("sources, samples and claims in another shape are told in theirs") {
  check_said({
      {"Indicated in fever (SB 3).",
       "1:20 [(SB 3)] a source without its brackets: "
       "Sources stand in square brackets. | "
       "Indicated in fever [SB 3]."},
      {"Indicated in fever SB 3.",
       "1:20 [SB 3] a source without its brackets: "
       "Sources stand in square brackets. | "
       "Indicated in fever [SB 3]."},
      {"Indicated in fever, SB 3.",
       "1:21 [SB 3] a source without its brackets: "
       "Sources stand in square brackets. | "
       "Indicated in fever [SB 3]."},
      {"Indicated in fever [see SB 3].",
       "1:21 [see] words that are left over: "
       "In a citation the source stands first. | "
       "Indicated in fever [SB 3]."},
      {"Source XY is A book, 1900.",
       "1:14 [A book] words in quotes are missing: "
       "Words in quotes belong here. | "
       "Source XY is \"A book\", 1900."},
      {"Finding bmi is age / 2.",
       "1:1 [Finding] what is told of it is not clear: "
       "A finding is asked; what is reckoned from findings is a measure. | "
       "Measure bmi is age / 2."},
      {"Uses nut oil.",
       "1:6 [nut oil] a value by itself: "
       "\"nut oil\" is a value of \"oil\"; a practice uses the whole choice. | "
       "Uses oil."},
      {"Profile \"x\": no fever.",
       "1:14 [no] `not`, in place of `no`: "
       "A condition is denied by `not`. | "
       "Profile \"x\": not fever."},
      {"Profile \"x\": 3 years old.",
       "1:14 [3 years old] nothing goes by this name: "
       "No finding is called \"3 years old\". | "
       "Profile \"x\": … 3 years old."},
      {"Profile x: age 3.",
       "1:9 [x] words in quotes are missing: "
       "Words in quotes belong here. | "
       "Profile \"x\": age 3."},
      {"Profile \"x\": age 3. Expect advised.",
       "1:28 [advised] a name is missing: "
       "The name of a practice or choice belongs before the verdict. | "
       "Expect … advised."},
      {"Profile \"x\": age 3. Expect cold plunge to be advised.",
       "1:40 [to be] no such verdict: "
       "These words add nothing to the verdict. | "
       "Expect cold plunge advised."},
      {"Claim \"c\": cold plunge is never advised in fever.",
       "1:12 [cold plunge] `never` is missing: "
       "The word `never` belongs here. | "
       "Claim \"c\": never cold plunge is advised in fever."},
      {"Claim \"c\": no cold plunge is advised.",
       "1:12 [no cold plunge] `never` is missing: "
       "The word `never` belongs here. | "
       "Claim \"c\": never cold plunge is advised."},
      {"Claim never cold plunge is advised.",
       "1:7 [never cold plunge] words in quotes are missing: "
       "Words in quotes belong here. | "
       "Claim \"…\": never cold plunge is advised."},
  });
}
