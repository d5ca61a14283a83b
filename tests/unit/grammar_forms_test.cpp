// Every sentence form of the language, and the tree that it is read as (grammar.h, `print`).
#include <catch2/catch.hpp>

#include "tests/unit/grammar_said.h"

using betony::testing::check_read;

TEST_CASE("the sentences that declare are read with all their parts") {
  check_read({
      {"School north (also hill school) holds SB, WN.",
       "school north\n  also hill school\n  holds: SB | WN"},
      {"Applies to age at least 3.",
       "applies to\n  age at least 3"},
      {"Finding chill (also shiver, shaking) is yes or no, usually yes.",
       "finding chill\n  also shiver\n  also shaking\n  yes or no\n  usually yes"},
      {"Finding chill is one of low, mid or high, usually mid.",
       "finding chill\n  one of: low | mid | high\n  usually mid"},
      {"Finding chill are a grade of low, mid, high.",
       "finding chill\n  grade of: low | mid | high"},
      {"Finding chill is any of low hum, high hum, and deep hum.",
       "finding chill\n  any of: low hum | high hum | deep hum"},
      {"Finding chill is a number from -5 to 5.",
       "finding chill\n  number from -5 to 5"},
      {"Finding chill is a whole number of days ago from 0 to 90 in steps of 0.5, or never, usually never.",
       "finding chill\n  whole number days ago from 0 to 90 by 0.5 or never\n  usually never"},
      {"Finding pressure is a number of mm[Hg] from 30 to 300.",
       "finding pressure\n  number mm[Hg] from 30 to 300"},
      {"Finding age at menarche is a number of years from 5 to 30.",
       "finding age at menarche\n  number years from 5 to 30"},
      {"Finding what is one thought is yes or no.",
       "finding what is one thought\n  yes or no"},
      {"Finding chill is yes or no. Ask \"How?\" Note \"So!\"",
       "finding chill\n  yes or no\nask \"How?\"\nnote \"So!\""},
      {"Measure m (also mm) is (age / 2 kg - 220 /min * -age) + least of age, age, and 3 in kg/m2.",
       "measure m\n  also mm\n  in kg/m2\n  sum\n    difference\n      quotient\n        age\n"
       "        2 kg\n      product\n        220 /min\n        minus\n          age\n    least\n"
       "      age\n      age\n      3"},
      {"Measure m is age / (age * age) in kg.m-2.",
       "measure m\n  in kg.m-2\n  quotient\n    age\n    product\n      age\n      age"},
      {"Measure m is most of age, 3.",
       "measure m\n  in\n  most\n    age\n    3"},
      {"Tally t counts cough as 2, and fever and poor sleep as -1.",
       "tally t\n  once as 2\n    cough\n  once as -1\n    all\n      fever\n      poor sleep"},
      {"Tally t counts each of fever, cough, and age over 30 as 0.5.",
       "tally t\n  each as 0.5\n    fever\n    cough\n    age over 30"},
      {"Tally t counts fever as 1. Tally u counts cough as 1. Leading l is the most of t, u by at least 2, else neither.",
       "tally t\n  once as 1\n    fever\ntally u\n  once as 1\n    cough\nleading l\n  of: t | u\n"
       "  by at least 2\n  else neither"},
      {"Choice salve is a grade of thin, thick, the lowest prevails.",
       "choice salve\n  grade of: thin | thick, lowest"},
      {"Term frail (also weak) means age over 75 or breath at least mild.",
       "term frail\n  also weak\n  any\n    age over 75\n    breath at least mild"},
      {"It cannot be that fever and age under 1.",
       "cannot be\n  all\n    fever\n    age under 1"},
      {"Refer in fever, unless cough: \"Seek care.\" [SB 1].",
       "refer\n  in\n    fever\n  unless\n    cough\n  text \"Seek care.\"\n  cited SB \"1\""},
      {"Group waters (also water) holds baths, cold plunge.",
       "group waters\n  also water\n  holds: baths | cold plunge"},
      {"Contraindications prevail.",
       "contraindications prevail"},
      {"Unit puff, puffs. Unit palm is 30 g. Dose 2 puffs. Dose 1 palm.",
       "unit puff | puffs\nunit palm is 30 g\ndose\n  from 2 puffs\n  to 2 puffs\ndose\n  from 1 palm\n"
       "  to 1 palm"},
  });
}

TEST_CASE("conditions are read by their brackets, lists and values") {
  check_read({
      {"Indicated in fever.",
       "indicated\n  in\n    fever"},
      {"Indicated when fever and not cough.",
       "indicated\n  in\n    all\n      fever\n      not\n        cough"},
      {"Indicated in fever, cough, and age over 5.",
       "indicated\n  in\n    all\n      fever\n      cough\n      age over 5"},
      {"Indicated in fever, cough or age over 5.",
       "indicated\n  in\n    any\n      fever\n      cough\n      age over 5"},
      {"Indicated in fever and (cough or not (age over 5)).",
       "indicated\n  in\n    all\n      fever\n      any\n        cough\n        not\n"
       "          age over 5"},
      {"Indicated in any of fever, cough, or poor sleep.",
       "indicated\n  in\n    any\n      fever\n      cough\n      poor sleep"},
      {"Indicated in all of fever and cough.",
       "indicated\n  in\n    all\n      fever\n      cough"},
      {"Indicated in none of fever, cough.",
       "indicated\n  in\n    none\n      fever\n      cough"},
      {"Indicated in fever and at least 2 of cough, poor sleep, age over 5.",
       "indicated\n  in\n    all\n      fever\n      at least 2\n        cough\n        poor sleep\n"
       "        age over 5"},
      {"Indicated in skin is chapped or broken, or fever.",
       "indicated\n  in\n    any\n      skin is: chapped | broken\n      fever"},
      {"Indicated in skin is one of chapped, broken, fever, or cough.",
       "indicated\n  in\n    any\n      skin is: chapped | broken\n      fever\n      cough"},
      {"Indicated in skin is not chapped or broken.",
       "indicated\n  in\n    skin is not: chapped | broken"},
      {"Indicated in age is 3 or 4 or fever.",
       "indicated\n  in\n    any\n      age is: 3 | 4\n      fever"},
      {"Indicated in age is not 3, or fever.",
       "indicated\n  in\n    any\n      age is not: 3\n      fever"},
      {"Indicated in age from 18 to 60.",
       "indicated\n  in\n    age from 18 to 60"},
      {"Indicated in age under 18.5 years and age at most 20 years.",
       "indicated\n  in\n    all\n      age under 18.5 years\n      age at most 20 years"},
      {"Indicated in breath from mild to moderate or breath over mild.",
       "indicated\n  in\n    any\n      breath from mild to moderate\n      breath over mild"},
      {"Indicated in last meal under 1 h ago or last meal is never.",
       "indicated\n  in\n    any\n      last meal under 1 h ago\n      last meal is: never"},
      {"Indicated in oil is nut oil.",
       "indicated\n  in\n    oil is: nut oil"},
      {"Indicated in date from 1 November to 30 April.",
       "indicated\n  in\n    date from day 11-1 to day 4-30"},
      {"Indicated in time of day from 22:00 to 6:30.",
       "indicated\n  in\n    time of day from minute 1320 to minute 390"},
      {"Finding smoking is one of never, sometimes. Indicated in smoking is never.",
       "finding smoking\n  one of: never | sometimes\nindicated\n  in\n    smoking is: never"},
  });
}

TEST_CASE("the ends of a sentence come in any order") {
  check_read({
      {"Indicated, for \"lightness\", for \"joy\" [SB 2].",
       "indicated\n  for \"lightness\"\n  for \"joy\"\n  cited SB \"2\""},
      {"Contraindicated.",
       "contraindicated"},
      {"Contraindicated [SB 1.2; WN 5, 6] [WN] unless cough, called the ban, in fever.",
       "contraindicated\n  in\n    fever\n  unless\n    cough\n  called \"the ban\"\n"
       "  cited SB \"1.2\"\n  cited WN \"5, 6\"\n  cited WN \"\""},
      {"Contraindicated in cough, called ban. Indicated in fever, despite ban, for \"ease\": \"Slowly.\" [SB 3].",
       "contraindicated\n  in\n    cough\n  called \"ban\"\nindicated\n  in\n    fever\n"
       "  despite \"ban\"\n  for \"ease\"\n  text \"Slowly.\"\n  cited SB \"3\""},
      {"Caution: \"Do it.\" in fever.",
       "caution\n  in\n    fever\n  text \"Do it.\""},
      {"Caution in fever: \"Stay.\" Otherwise allowed.",
       "caution\n  in\n    fever\n  text \"Stay.\"\notherwise: allowed"},
      {"Caution in fever: \"Stay\" [SB 1]. Otherwise allowed.",
       "caution\n  in\n    fever\n  text \"Stay\"\n  cited SB \"1\"\notherwise: allowed"},
  });
}

TEST_CASE("the sentences about practices are read with all their parts") {
  check_read({
      {"Practice steam room (also steam).",
       "practice steam room\n  also steam"},
      {"Practices walk, run, and swim.",
       "practice walk\npractice run\npractice swim"},
      {"Every practice. Discouraged in fever.",
       "every practice\ndiscouraged\n  in\n    fever"},
      {"Every practice in baths. Allowed in fever.",
       "every practice in baths\nallowed\n  in\n    fever"},
      {"In fever: cold plunge and baths are allowed; cold plunge is allowed with care: \"slowly\"; baths are withheld [SB 2.4].",
       "in\n  fever\n  cold plunge | baths: allowed\n  cold plunge: allowed with care\n"
       "    text \"slowly\"\n  baths: withheld\n    cited SB \"2.4\""},
      {"Dose 1 to 3 min, once a day.",
       "dose\n  from 1\n  to 3 min\n  1 to 1 times every 1 day"},
      {"Dose 30 s to 2 min, 2 to 3 times a wk, for 5 to 7 d in fever.",
       "dose\n  from 30 s\n  to 2 min\n  2 to 3 times every 1 wk\n  lasting from 5\n  lasting to 7 d\n"
       "  in\n    fever"},
      {"Dose at most 5 g, at most twice a day, \"with water\".",
       "dose \"with water\"\n  to 5 g\n  at most 2 to 2 times every 1 day"},
      {"Dose half in fever. Dose a third in cough. Dose a quarter. Dose double.",
       "dose half\n  in\n    fever\ndose third\n  in\n    cough\ndose quarter\ndose double"},
      {"Dose \"until sweat shows\" in fever.",
       "dose \"until sweat shows\"\n  in\n    fever"},
      {"Dose once every 2 wk. Dose every 3 d.",
       "dose\n  1 to 1 times every 2 wk\ndose\n  1 to 1 times every 3 d"},
      {"Practice foot soak. Follows cold plunge. Precedes cold plunge. Needs cold plunge. Leads to cold plunge.",
       "practice foot soak\nfollows: cold plunge\nprecedes: cold plunge\nneeds: cold plunge\n"
       "leads to: cold plunge"},
      {"Practice foot soak. Never with cold plunge, baths in fever. Apart from cold plunge by 20 min.",
       "practice foot soak\nnever with: cold plunge | baths\n  in\n    fever\n"
       "apart from: cold plunge by 20 min"},
      {"Time from 45 min before sunrise to sunrise.",
       "time 45 min before sunrise to sunrise"},
      {"Time not from sunset to 1 h after sunset.",
       "time not sunset to 1 h after sunset"},
      {"Time from 06:30. Time from waking to cold plunge.",
       "time minute 390\ntime waking to practice cold plunge"},
      {"Takes 5 to 15 min. Takes 5 min.",
       "takes 5 to 15 min\ntakes 5 min to 5 min"},
      {"Uses oil.",
       "uses: oil"},
      {"Choice salve is any of wax, tallow. Take wax in fever. Take wax and tallow. Refuse tallow, called no tallow [SB 1]. Otherwise wax.",
       "choice salve\n  any of: wax | tallow\ntake: wax\n  in\n    fever\ntake: wax | tallow\n"
       "refuse: tallow\n  called \"no tallow\"\n  cited SB \"1\"\notherwise: wax"},
      {"Otherwise allowed with care: \"Slowly.\" [SB 1].",
       "otherwise: allowed with care\n  text \"Slowly.\"\n  cited SB \"1\""},
  });
}

TEST_CASE("samples and claims are read with all their parts") {
  check_read({
      {"Profile \"x\": age 34, not fever, cough no, cold hands, skin is broken, last meal 3 h ago, date 1 May, time of day 6:05, the rest as usual.",
       "profile \"x\" rest as usual\n  age: 34\n  fever: no\n  cough: no\n  cold hands: yes\n"
       "  skin: broken\n  last meal: 3 h ago\n  date: day 5-1\n  time of day: minute 365"},
      {"Profile \"x\": last meal never. Expect cold plunge advised with care. Expect cold plunge is unanswered. Expect oil nut oil.",
       "profile \"x\"\n  last meal: never\nexpect cold plunge: advised with care\n"
       "expect cold plunge: unanswered\nexpect oil: nut oil"},
      {"Profile \"x\": the rest as usual.",
       "profile \"x\" rest as usual"},
      {"Claim \"c\": never cold plunge is advised or cold plunge is with care in age under 12.",
       "claim \"c\"\n  never\n    any\n      cold plunge is: advised\n      cold plunge is with care\n"
       "  in\n    age under 12"},
      {"Claim \"c\": more age never raises cold plunge or baths.",
       "claim \"c\"\n  never more age raises: cold plunge | baths"},
      {"Claim \"c\": less breath never lengthens the dose of any practice in fever and cold plunge is advised.",
       "claim \"c\"\n  never less breath lengthens the dose of: any practice\n  in\n    all\n      fever\n      cold plunge is: advised"},
      {"Claim \"c\": adding stiff joints never lowers the dose of cold plunge and baths.",
       "claim \"c\"\n  never adding stiff joints lowers the dose of: cold plunge | baths"},
      {"Population \"p\": age from 20 to 35 as 7, from 36 to 60 years as 2, and over 60 as 0.5; fever no as 95, yes as 5; skin is sound or chapped as 1; "
       "last meal never as 1, at most 2 h ago as 2; breath at least mild as 3; date from 1 May to 3 June as 1; cold hands yes as 1.",
       "population \"p\"\n  age\n    age from 20 to 35 as 7\n    age from 36 to 60 years as 2\n    age over 60 as 0.5\n"
       "  fever\n    fever is: no as 95\n    fever is: yes as 5\n  skin\n    skin is: sound | chapped as 1\n"
       "  last meal\n    last meal is: never as 1\n    last meal at most 2 h ago as 2\n  breath\n    breath at least mild as 3\n"
       "  date\n    date from day 5-1 to day 6-3 as 1\n  cold hands\n    cold hands is: yes as 1"},
      {"Claim \"c\": always not cold plunge is not withheld or referred.",
       "claim \"c\"\n  always\n    not\n      cold plunge is not: withheld | referred"},
  });
}
