#include <catch2/catch.hpp>

#include "tests/unit/tidy_promises.h"

namespace {

using namespace betony;
using namespace betony::tidy_promises;

const std::string opening =
    "Ruleset \"R\", edition \"1\".\n"
    "Source DB is \"Day book\", 1902.\n"
    "Source HL is \"Letters\", 1927.\n"
    "Finding age is a whole number of years from 0 to 110.\n"
    "Finding water is a number of Cel from 0 to 60.\n"
    "Finding chill is yes or no.\n"
    "Finding frail is yes or no.\n"
    "Finding poor sleep is yes or no.\n"
    "Finding skin is one of sound, chapped, broken.\n"
    "Finding cough is a grade of none, dry, wet.\n"
    "Finding last meal is a number of h ago from 0 to 24, or never.\n"
    "Choice oil is one of nut oil, tallow.\n"
    "Practices humming, moss bed.\n";

// The standard form of a part, behind the opening.
std::string part(const std::string& text) {
  const std::string whole = standard(opening + text);
  const std::string before = standard(opening);
  std::size_t at = before.size();
  while (at < whole.size() && whole[at] == '\n') ++at;
  return whole.substr(std::min(at, whole.size()));
}

}  // namespace

TEST_CASE("an empty file stays empty, and a file of comments keeps them") {
  CHECK(tidy(read("")) == "");
  CHECK(tidy(read(" \n\n")) == "");
  CHECK(tidy(read("\n\n-- one  \n   -- two\n\n\n\n--three")) == "-- one\n-- two\n\n--three\n");
}

TEST_CASE("opening words get a capital, other words small letters, and names stay as they are") {
  CHECK(part("practice Humming.\nINDICATED WHEN Chill AND Skin ARE Sound.\n") ==
        "Practice Humming.\n  Indicated in Chill and Skin is Sound.\n");
  CHECK(part("EVERY PRACTICE.\ndiscouraged IN frail.\n") == "Every practice.\n  Discouraged in frail.\n");
}

TEST_CASE("a comment behind a stop that stands below other comments keeps a line of its own") {
  CHECK(part("practice humming\n-- one\n-- two\n. -- three\n") == "Practice humming.\n-- one\n-- two\n-- three\n");
}

// A name that `Practice` declares is known to the sentences before it; one in a list of `Practices` is not.
TEST_CASE("Practices stays Practices, though it heads one") {
  CHECK(part("practices walk slowly, run.\n\npractices walk.\n") == "Practices walk slowly, run.\n\nPractices walk.\n");
}

TEST_CASE("white space is folded, each sentence gets a line, and what belongs below is indented") {
  CHECK(part("Practice   moss\n  bed. Indicated in\tchill.   Otherwise\n\n allowed.") ==
        "Practice moss bed.\n  Indicated in chill.\n  Otherwise allowed.\n");
  CHECK(part("Finding nap is yes or no. Ask \"Is there a nap?\". Note \"After noon.\".") ==
        "Finding nap is yes or no.\n  Ask \"Is there a nap?\".\n  Note \"After noon.\".\n");
}

TEST_CASE("line ends of other machines become plain ones") {
  CHECK(part("Practice moss bed.\r\n  Indicated in chill. -- c\r\n\r\n  Otherwise allowed.\r\n") ==
        "Practice moss bed.\n  Indicated in chill.  -- c\n\n  Otherwise allowed.\n");
}

TEST_CASE("a stop that was left out behind a string is written") {
  CHECK(part("Practice moss bed.\nCaution in frail: \"Not alone.\"\nAllowed.") ==
        "Practice moss bed.\n  Caution in frail: \"Not alone.\".\n  Allowed.\n");
}

TEST_CASE("quotes become straight, and a quote within a string is doubled") {
  CHECK(part("Practice moss bed.\nCaution: “Say \"enough\" and so”” on”.\n") ==
        "Practice moss bed.\n  Caution: \"Say \"\"enough\"\" and so” on\".\n");
  CHECK(part("Practice moss bed.\nCaution: \"\"\"\".\n") == "Practice moss bed.\n  Caution: \"\"\"\".\n");
}

TEST_CASE("the endings of a sentence stand in one order, and citations share their brackets") {
  CHECK(part("Practice moss bed.\nContraindicated in frail, called frailty ban.\n"
             "Indicated [DB 2; HL 5] for \"warmth\" despite frailty ban unless poor sleep called first rule for \"rest\" in chill [DB].\n") ==
        "Practice moss bed.\n  Contraindicated in frail, called frailty ban.\n"
        "  Indicated in chill, unless poor sleep, despite frailty ban, for \"warmth\", for \"rest\",\n"
        "      called first rule [DB 2; HL 5; DB].\n");
  CHECK(part("Practice moss bed.\nCaution [DB 3]: \"Slowly.\" in frail.\n") ==
        "Practice moss bed.\n  Caution in frail: \"Slowly.\" [DB 3].\n");
}

TEST_CASE("rows of conditions are written in one way, and keep the brackets that were written") {
  CHECK(part("Practice moss bed.\nIndicated in chill and frail and poor sleep.\n"
             "Allowed in chill, frail or poor sleep.\n"
             "Discouraged in (chill) and ((frail or poor sleep)).\n"
             "Contraindicated in not chill and not (frail or not poor sleep).\n") ==
        "Practice moss bed.\n  Indicated in chill, frail, and poor sleep.\n"
        "  Allowed in chill, frail, or poor sleep.\n"
        "  Discouraged in (chill) and (frail or poor sleep).\n"
        "  Contraindicated in not chill and not (frail or not poor sleep).\n");
}

TEST_CASE("counted rows take commas alone") {
  CHECK(part("Practice moss bed.\nIndicated in any of chill, frail and poor sleep.\n"
             "Allowed in chill and at least 2 of frail or poor sleep or skin is sound.\n"
             "Discouraged in (none of chill, frail) or all of frail, poor sleep.\n") ==
        "Practice moss bed.\n  Indicated in any of chill, frail, poor sleep.\n"
        "  Allowed in chill and at least 2 of frail, poor sleep, skin is sound.\n"
        "  Discouraged in (none of chill, frail) or all of frail, poor sleep.\n");
}

TEST_CASE("a comma stands before an or that does not go on with the values") {
  CHECK(part("Practice moss bed.\nIndicated in skin is sound or chapped or frail.\n"
             "Allowed in skin is one of sound, chapped and frail.\n"
             "Discouraged in skin is not sound or broken.\n") ==
        "Practice moss bed.\n  Indicated in skin is sound or chapped, or frail.\n"
        "  Allowed in skin is one of sound, chapped and frail.\n"
        "  Discouraged in skin is not sound or broken.\n");
}

TEST_CASE("comparisons, dates, times and never are written in their one way") {
  CHECK(part("Practice moss bed.\nIndicated in age from 18 to 60 years and water over 98.6 degF.\n"
             "Allowed in last meal under 30 min ago or last meal is never or cough at least dry.\n"
             "Discouraged in date from 1 November to 28 february and time of day from 6:05 to 9:00.\n") ==
        "Practice moss bed.\n  Indicated in age from 18 to 60 years and water over 98.6 degF.\n"
        "  Allowed in last meal under 30 min ago, last meal is never, or cough at least dry.\n"
        "  Discouraged in date from 1 November to 28 February and time of day from 06:05 to\n      09:00.\n");
}

TEST_CASE("declarations are written in their one way") {
  CHECK(part("finding naps ARE a whole number from 0 to 6 , usually 2.\n"
             "Finding signs (also tokens of it,  marks) is any of red eyes, dry lips.\n"
             "Term hardy means age over 16 and not frail.\n"
             "measure spare is most of 90 years - age, -(0 years), (age * 2) / 3 in years.\n"
             "Tally heat counts red eyes as 2, each of dry lips, chill as 1 and frail as -1.\n"
             "Tally cold counts chill as 2.\n"
             "Leading temper is the most of heat, cold by at least 2, else mixed.\n"
             "Unit bowl, bowls. Unit palm are 30 g.\n"
             "School old house holds DB.\nGroup quiet things holds humming and moss bed.\n") ==
        "Finding naps is a whole number from 0 to 6, usually 2.\n"
        "Finding signs (also tokens of it, marks) are any of red eyes, dry lips.\n"
        "Term hardy means age over 16 and not frail.\n"
        "Measure spare is most of 90 years - age, -(0 years), (age * 2) / 3 in years.\n"
        "Tally heat counts red eyes as 2, each of dry lips, chill as 1, and frail as -1.\n"
        "Tally cold counts chill as 2.\n"
        "Leading temper is the most of heat, cold by at least 2, else mixed.\n"
        "Unit bowl, bowls.\nUnit palm is 30 g.\nSchool old house holds DB.\n\nGroup quiet things holds humming, moss bed.\n");
}

TEST_CASE("doses, order, times and choices are written in their one way") {
  CHECK(part("Practice moss bed.\n"
             "Dose 1 to 3 min, once a day, for 5 to 7 d in frail.\nDose at most 3 min , 2 times a wk.\nDose half in chill.\n"
             "Dose \"until warm\".\nDose 5 min, at most twice a day.\nDose once every 2 wk.\n"
             "Follows humming.\nApart from humming by 20 min in chill.\n"
             "Time from 45 min before sunrise to sunrise.\nTime not from humming to 20 min after humming.\n"
             "Takes 5 to 15 min.\nUses oil.\n") ==
        "Practice moss bed.\n"
        "  Dose 1 to 3 min, once a day, for 5 to 7 d in frail.\n  Dose at most 3 min, twice a wk.\n  Dose half in chill.\n"
        "  Dose \"until warm\".\n  Dose 5 min, at most twice a day.\n  Dose once every 2 wk.\n"
        "  Follows humming.\n  Apart from humming by 20 min in chill.\n"
        "  Time from 45 min before sunrise to sunrise.\n  Time not from humming to 20 min after humming.\n"
        "  Takes 5 to 15 min.\n  Uses oil.\n");
}

TEST_CASE("the condition first, profiles, expectations and claims are written in their one way") {
  CHECK(part("when chill: humming , moss bed are allowed with care [DB 2]; humming is advised for \"rest\".\n"
             "Profile \"p\": age 30, chill yes, not frail, last meal 2 h, the rest as usual.\n"
             "Expect moss bed allowed with care.\nClaim \"c\": always moss bed is allowed or advised in chill.\n") ==
        "In chill: humming and moss bed are allowed with care [DB 2]; humming is advised, for\n"
        "    \"rest\".\n"
        "Profile \"p\": age 30, chill yes, not frail, last meal 2 h, the rest as usual.\n"
        "  Expect moss bed allowed with care.\nClaim \"c\": always moss bed is allowed or advised in chill.\n");
}

TEST_CASE("trends and populations are written in their one way") {
  CHECK(part("claim \"c\" : More Age never RAISES the dose of moss bed , humming and moss bed when chill.\n"
             "Claim \"d\": adding poor sleep never lowers Any Practice.\n"
             "population \"p\" : age is 3 as 1, over 60   years as 2 and from 4 to 5 as 0.50 ;skin are sound or chapped as 1; date 1 may as 2.\n") ==
        "Claim \"c\": more Age never raises the dose of moss bed, humming, or moss bed in chill.\n"
        "Claim \"d\": adding poor sleep never lowers any practice.\n"
        "Population \"p\": age 3 as 1, over 60 years as 2, from 4 to 5 as 0.50; skin sound or\n    chapped as 1; date 1 May as 2.\n");
}

TEST_CASE("lines end before column 89, and what is carried over stands further in") {
  const std::string text = part(
      "Practice moss bed.\nCaution in frail: \"Let a second person stand by from the first to the last moment, and let "
      "nobody who is alone in the house lie down in the moss, however warm the day may be and whatever they say.\".\n");
  CHECK(text ==
        "Practice moss bed.\n"
        "  Caution in frail: \"Let a second person stand by from the first to the last moment, and\n"
        "      let nobody who is alone in the house lie down in the moss, however warm the day\n"
        "      may be and whatever they say.\".\n");
}

TEST_CASE("a word longer than a line stands on a line by itself, and wide letters count two") {
  const std::string name(300, 'x');
  CHECK(part("Finding " + name + " is yes or no.\n") == "Finding\n    " + name + "\n    is yes or no.\n");
  std::string wide;
  for (int i = 0; i < 39; ++i) wide += "寒";
  CHECK(part("Finding " + wide + " is yes or no.\n") == "Finding " + wide + "\n    is yes or no.\n");
}

TEST_CASE("a number keeps its unit, and a day its month, on its line") {
  CHECK(part("Practice moss bed.\n  Indicated in chill and not frail and not poor sleep and skin is sound and last meal over 1.5 h ago.\n") ==
        "Practice moss bed.\n  Indicated in chill, not frail, not poor sleep, skin is sound, and last meal over\n      1.5 h ago.\n");
  CHECK(part("Practice moss bed.\n  Indicated in chill and not frail and not poor sleep and skin is sound and date is 11 November.\n") ==
        "Practice moss bed.\n  Indicated in chill, not frail, not poor sleep, skin is sound, and date is 11 November.\n");
}

TEST_CASE("spaces that a string holds beside others are kept") {
  const std::string spaces = "Practice moss bed.\n  Caution: \" one  two   three \".\n";
  CHECK(part(spaces) == spaces);
}

TEST_CASE("blank lines stay, several become one, and one stands before a heading") {
  CHECK(part("Practice moss bed.\nAllowed.\n\n\n\nOtherwise allowed.\nPractice humming.\nAllowed.\nGroup g holds humming.\n"
             "Every practice in g.\nDiscouraged in frail.\n") ==
        "Practice moss bed.\n  Allowed.\n\n  Otherwise allowed.\n\nPractice humming.\n  Allowed.\n\nGroup g holds humming.\n"
        "Every practice in g.\n  Discouraged in frail.\n");
}

TEST_CASE("comments stay on their own line or at the end of theirs") {
  CHECK(part("-- of moss\nPractice moss bed. -- the bed\n-- first\nAllowed.\n -- last\n\n -- of humming\nPractice humming.\n"
             "Allowed. -- a\n-- b\n\n-- c\n\n  -- end") ==
        "-- of moss\nPractice moss bed.  -- the bed\n  -- first\n  Allowed.\n  -- last\n\n-- of humming\nPractice humming.\n"
        "  Allowed.  -- a\n  -- b\n\n-- c\n\n-- end\n");
}

TEST_CASE("a comment above a heading goes with it, and the blank line stands before both") {
  CHECK(part("Practice moss bed.\nAllowed.\n-- of humming\nPractice humming.\nAllowed.\n") ==
        "Practice moss bed.\n  Allowed.\n\n-- of humming\nPractice humming.\n  Allowed.\n");
}

TEST_CASE("a comment within a sentence stays between the same words, and the endings in their order") {
  CHECK(part("Practice moss bed.\nIndicated [DB 3] -- where it stands\n when chill -- felt\n and\n -- on its own line\n frail.\n") ==
        "Practice moss bed.\n"
        "  Indicated [DB 3]  -- where it stands\n"
        "      in chill  -- felt\n"
        "      and\n"
        "      -- on its own line\n"
        "      frail.\n");
  CHECK(part("Practice moss -- soft\n bed. Indicated in chill -- before the stop\n.\nAllowed\n-- alone before the stop\n.\n") ==
        "Practice moss  -- soft\n"
        "    bed.\n"
        "  Indicated in chill.  -- before the stop\n"
        "  Allowed.\n"
        "  -- alone before the stop\n");
}

TEST_CASE("no comment is lost within a name that says the same words again") {
  const std::string name = "practices hut or -- one\n practices huut -- two\n -- three\n practices hut or\n -- four\n prae or nim.\n";
  const std::string once = standard(name);
  for (const char* comment : {"-- one", "-- two", "-- three", "-- four"}) {
    INFO(comment);
    CHECK(once.find(comment) != std::string::npos);
  }
  CHECK(standard(once) == once);
}

TEST_CASE("comments within long rows keep their neighbours where words have moved") {
  CHECK(part("Practice moss bed.\nIndicated in chill and -- one\nfrail and -- two\npoor sleep, -- three\nfor \"rest\" -- four\n.\n") ==
        "Practice moss bed.\n"
        "  Indicated in chill,  -- one\n"
        "      frail, and  -- two\n"
        "      poor sleep,  -- three\n"
        "      for \"rest\".  -- four\n");
}

TEST_CASE("names of any script are kept, and their words may be parted by line breaks") {
  const std::string text =
      "Finding गहरी नींद is yes or no.\n"
      "Finding خستگی is a grade of کم, زیاد.\n"
      "Finding évolène is yes or no.\n\n"
      "Practice サウナ.\n"
      "  Indicated in गहरी नींद and évolène.\n"
      "  Contraindicated in خستگی at least زیاد.\n";
  CHECK(part(text) == text);
}

TEST_CASE("a mark behind a comma belongs to the word that it begins") {
  for (const char* comma : {",", ", ", "\u060C", "\u060C "}) {
    INFO(comma);
    CHECK(part(std::string("Finding sound is a grade of none,dry") + comma + "\u0610r b.\n") == "Finding sound is a grade of none, dry, \u0610r b.\n");
  }
}

TEST_CASE("stops and commas of other scripts become the plain ones") {
  CHECK(part("Finding 寒さ is yes or no。Finding 眠り is one of 深い、浅い。") ==
        "Finding 寒さ is yes or no.\nFinding 眠り is one of 深い, 浅い.\n");
}

TEST_CASE("only the file that was asked for is written") {
  const FileReader others = [](const std::string& path) -> std::optional<std::string> {
    if (path != "more.bty") return std::nullopt;
    return "-- of more\nfinding more IS yes or no.\n";
  };
  const auto out = read_source({"main.bty", "ruleset \"R\" , edition \"1\".\nuse \"more.bty\". -- here\n-- end\n"}, others);
  INFO(told(out.messages));
  REQUIRE(out);
  CHECK(tidy(*out.value, 0) == "Ruleset \"R\", edition \"1\".\nUse \"more.bty\".  -- here\n-- end\n");
  CHECK(tidy(*out.value, 1) == "-- of more\nFinding more is yes or no.\n");
}

TEST_CASE("brackets are put into a hand-made tree where they are needed") {
  const auto holds = [](const char* name) {
    tree::Condition c;
    c.atom.name = {name, name, {}};
    return c;
  };
  const auto list = [](tree::Condition::Kind kind, std::vector<tree::Condition> parts) {
    tree::Condition c;
    c.kind = kind;
    c.parts = std::move(parts);
    return c;
  };
  using Kind = tree::Condition::Kind;
  tree::AppliesLine applies;
  applies.condition = list(Kind::all, {list(Kind::any, {holds("a"), holds("b")}), list(Kind::negation, {list(Kind::none, {holds("c")})}),
                                       list(Kind::none, {holds("d"), list(Kind::all, {holds("e"), holds("f")})})});
  Tree tree;
  tree.files = {{"hand.bty", ""}};
  tree.sentences.push_back({{}, applies});
  CHECK(tidy(tree) == "Applies to (a or b), not (none of c), and none of d, (e and f).\n");
}

TEST_CASE("a line goes on after a comma, whatever comments stand between") {
  const std::string once = standard("Finding c editionicugh is a grtion is a grade of no, ned or -- slow\n-- slow by\n--\"2 \".\nSource DB.\n");
  CHECK(once == "Finding c editionicugh is a grtion is a grade of no, ned,  -- slow\n    -- slow by\n    --\"2 \".\n    Source DB.\n");
  CHECK(standard(once) == once);
}

TEST_CASE("a word that opens sentences never begins a line that goes on") {
  const std::string name = "a very long name of a thing that is asked of nobody but the keeper of the house Contraindicated is one of yes, no";
  const std::string tidied = standard(opening + "Finding " + name + ".\n");
  CHECK(tidied.find("\n    Contraindicated") == std::string::npos);
  CHECK(tidied.find("house Contraindicated") != std::string::npos);
  CHECK(standard(tidied) == tidied);
}
