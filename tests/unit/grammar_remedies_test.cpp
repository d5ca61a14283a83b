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
  });
}
