// The example of the language's first page, other scripts, and names that hold the language's own words.
#include <catch2/catch.hpp>

#include "tests/unit/grammar_said.h"

using namespace betony;
using testing::read_as;
using testing::said;

TEST_CASE("names in any script are read by the marks of their script") {
  CHECK(read_as("Finding ज्वर is yes or no। Finding தலைவலி is yes or no.\n"
                "Finding سرفه‌ها is yes or no۔ Finding می‌خورد is yes or no.\n"
                "Finding 头痛 is yes or no。Finding 咳嗽 is yes or no。Practice 冷水浴。\n"
                "Indicated in 头痛、咳嗽、or ज्वर。\nContraindicated in سرفه‌ها، می‌خورد، or தலைவலி.") ==
        "finding ज्वर\n  yes or no\nfinding தலைவலி\n  yes or no\nfinding سرفه‌ها\n  yes or no\nfinding می‌خورد\n  yes or no\n"
        "finding 头痛\n  yes or no\nfinding 咳嗽\n  yes or no\npractice 冷水浴\n"
        "indicated\n  in\n    any\n      头痛\n      咳嗽\n      ज्वर\n"
        "contraindicated\n  in\n    any\n      سرفه‌ها\n      می‌خورد\n      தலைவலி\n");
}

TEST_CASE("names are found whatever their capitals, spaces, hyphens, apostrophes and line breaks") {
  CHECK(read_as("Finding Straße is yes or no. Finding café is yes or no. Finding winter’s cough is yes or no.\r\n"
                "Finding well‑being is a grade of Low, Mid, High.\r\nPractice p.\r\n"
                "INDICATED IN STRASSE, Cafe\u0301, Winter's\u00A0 Cough, or Well-Being at least MID.\r\n"
                "Indicated in winter's -- a comment\r\n  cough.") ==
        "finding Straße\n  yes or no\nfinding café\n  yes or no\nfinding winter's cough\n  yes or no\n"
        "finding well-being\n  grade of: Low | Mid | High\npractice p\n"
        "indicated\n  in\n    any\n      STRASSE\n      Café\n      Winter's Cough\n      Well-Being at least MID\n"
        "indicated\n  in\n    winter's cough\n");
}

TEST_CASE("the longest declared name wins, also where it holds the language's own words") {
  CHECK(read_as("Finding age is a number from 0 to 110. Finding age at menarche is a number from 5 to 30.\n"
                "Finding shortness of breath is yes or no. Finding cold is yes or no. Finding cold and damp is yes or no.\n"
                "Finding loss in weight is yes or no. Finding vitamin b 12 is yes or no. Practice walk. Practice walk in rain.\n"
                "Indicated in age at menarche at least 12 and age at least 30 and cold and damp and not loss in weight "
                "and shortness of breath and vitamin b 12.\nPractice rest. Follows walk in rain in cold.") ==
        "finding age\n  number from 0 to 110\nfinding age at menarche\n  number from 5 to 30\n"
        "finding shortness of breath\n  yes or no\nfinding cold\n  yes or no\nfinding cold and damp\n  yes or no\n"
        "finding loss in weight\n  yes or no\nfinding vitamin b 12\n  yes or no\npractice walk\npractice walk in rain\n"
        "indicated\n  in\n    all\n      age at menarche at least 12\n      age at least 30\n      cold and damp\n"
        "      not\n        loss in weight\n      shortness of breath\n      vitamin b 12\n"
        "practice rest\nfollows: walk in rain\n  in\n    cold\n");
}

TEST_CASE("a name may be used before it is declared, and by its other names") {
  CHECK(said("Term weak means frail or pyrexia. Term frail means fever. Finding fever (also pyrexia) is yes or no.").empty());
}

TEST_CASE("strings keep their words, with doubled quotes once and line breaks as spaces") {
  const auto out = read_source({"t.bty", "Ruleset “Marsh \"x\" and ””y””, and\n   more”, edition \"2nd \"\"big\"\" one\"."}, nullptr);
  REQUIRE(out);
  const auto& line = std::get<tree::RulesetLine>(out.value->sentences[0].form);
  CHECK(line.title.text == "Marsh \"x\" and ”y”, and more");
  CHECK(line.edition.text == "2nd \"big\" one");
}

TEST_CASE("numbers are exact, and kept as they were written") {
  const auto out = read_source({"t.bty", "Finding a is a number from -0.50 to +12.345 in steps of 0.005."}, nullptr);
  REQUIRE(out);
  const auto& type = std::get<tree::FindingLine>(out.value->sentences[0].form).type;
  CHECK(type.low.value() == Rational(-1, 2));
  CHECK(type.low.text == "-0.50");
  CHECK(type.high.value() == Rational(2469, 200));
  CHECK(type.step->value() == Rational(1, 200));
}

TEST_CASE("units keep their capitals, brackets and signs") {
  const auto out = read_source({"t.bty", "Finding a is a number of mm[Hg] from 0 to 9. Finding b is a number of Cel from 0 to 9.\n"
                                         "Practice p. Indicated in a over 3 mm[Hg] [SB 1] and b over 3Cel. Source SB is \"x\", 1900."}, nullptr);
  CHECK(out.messages.empty() == false);
  CHECK(read_as("Finding a is a number of mm[Hg] from 0 to 9. Finding b is a number of Cel from 0 to 9.\nPractice p. "
                "Source SB is \"x\", 1900.\nIndicated in a over 3 mm[Hg] and b over 3Cel [SB 1]. Indicated in a over 120 /min.") ==
        "finding a\n  number mm[Hg] from 0 to 9\nfinding b\n  number Cel from 0 to 9\npractice p\nsource SB \"x\" 1900\n"
        "indicated\n  in\n    all\n      a over 3 mm[Hg]\n      b over 3 Cel\n  cited SB \"1\"\nindicated\n  in\n    a over 120 /min\n");
}

TEST_CASE("places in the tree are bytes of the file, from the first letter of a sentence to its stop") {
  const std::string text = "-- ज्वर\n  Finding ज्वर is yes or no.\nNote \"So.\"  \nPractice p .";
  const auto out = read_source({"t.bty", text}, nullptr);
  REQUIRE(out);
  const auto words = [&](const Span& s) { return text.substr(s.begin, s.end - s.begin); };
  const auto& sentences = out.value->sentences;
  REQUIRE(sentences.size() == 3);
  CHECK(words(sentences[0].place.span) == "Finding ज्वर is yes or no.");
  CHECK(words(std::get<tree::FindingLine>(sentences[0].form).name.name.span) == "ज्वर");
  CHECK(words(sentences[1].place.span) == "Note \"So.\"");
  CHECK(words(sentences[2].place.span) == "Practice p .");
  REQUIRE(out.value->comments.size() == 1);
  CHECK(words(out.value->comments[0].span) == "-- ज्वर");
}

TEST_CASE("the example of a bath-house is read without a message") {
  const std::string example = R"bty(
Ruleset "Saltmarsh bath-house", edition "3".
Source SB is "Saltmarsh bath book", 1911, ranked 1.
Source WN is "Winter notes", 1934, ranked 2.
Contraindications prevail.
Finding age is a whole number of years from 0 to 110.
  Ask "How old is the person?".
Finding fever (also pyrexia) is yes or no.
Finding shortness of breath is a grade of none, mild, moderate, severe, usually none.
Finding skin is one of sound, chapped, broken, usually sound.
Finding pregnancy is yes or no.
Finding complaints are any of cold hands, stiff joints, poor sleep.
Finding weight is a number of kg from 2 to 350 in steps of 0.1.
Finding height is a number of m from 0.4 to 2.5 in steps of 0.01.
Finding last meal is a number of h ago from 0 to 48, usually 4.
Measure body mass index is weight / (height * height) in kg/m2.
Tally chill counts cold hands as 2, and poor sleep as 1.
Term frail means age at least 75 or body mass index under 18.5.
It cannot be that pregnancy and age under 10.
Refer in shortness of breath is severe: "Seek urgent medical care before any practice."
Group baths holds cold plunge, steam room, foot soak.
Every practice in baths.
  Contraindicated in fever, called fever ban [SB 1.2].
  Contraindicated in last meal under 1 h ago [SB 1.3].
Practice steam room.
  Discouraged in pregnancy [WN 2].
  Otherwise allowed.
Practice foot soak.
  Indicated in cold hands, for "warmth" [SB 3.1].
  Otherwise allowed.
Practice cold plunge.
  Indicated in chill under 2 and age from 18 to 60, for "vigour" [SB 2.4].
  Contraindicated in skin is broken, pregnancy, or shortness of breath at least moderate [SB 2.6].
  Contraindicated in frail, called frailty ban [SB 2.7].
  Indicated in stiff joints and frail, despite frailty ban [WN 5].
  Caution in age over 55: "Enter slowly, with a companion." [WN 6].
  Dose 1 to 3 min, once a day [SB 2.5].
  Dose 30 to 60 s in frail [WN 7].
  Follows foot soak. Never with steam room.
  Otherwise withheld.
Claim "no child is ever plunged": never cold plunge is advised in age under 12.
Profile "walker, 34": age 34, weight 70, height 1.72, the rest as usual.
  Expect cold plunge advised.
)bty";
  const auto out = read_source({"saltmarsh.bty", example}, nullptr);
  CHECK(said(example).empty());
  REQUIRE(out);
  CHECK(out.value->sentences.size() == 43);
}
