// runtime/persons.h: what lines of JSON say, good and bad.
#include "tests/unit/persons_packs.h"

using namespace betony::runtime;
using namespace betony::testing::persons;

TEST_CASE("objects are persons, with words, numbers, true and false as answers") {
  const Pack pack = small_pack();
  CHECK(read_json(pack, "{\"fever\":\"yes\",\"cold feet\":\"no\"}\n\n { \"Cold  Feet\" : true , \"FEVER\" : false } \r\n{\"fever\":null}\n{}") ==
        "1: 01\n3: 10\n4: open\n5: open\n");
  const Pack full = full_pack();
  CHECK(read_json(full,
                  "{\"weight\":70.5}\n{\"weight\":7.05e1}\n{\"weight\":\"154 lb\"}\n{\"weight (g)\":70500}\n{\"warmth "
                  "(degF)\":98.6,\"age\":\"34\"}\n{\"age\":340e-1}\n") ==
        "1: open weight=70.5 kg\n2: open weight=70.5 kg\n3: weight: 69.85322498 kg lies between two steps of \"weight\", which goes in steps of 0.1\n"
        "4: open weight=70.5 kg\n5: open warmth=37 degC age=34 years\n6: open age=34 years\n");
  CHECK(read_json(full, "{\"birthday\":\"1 March\",\"waking\":\"06:30\",\"last bath\":\"never\"}") ==
        "1: open last bath=never birthday=1 March waking=06:30\n");
}

TEST_CASE("what is wrong with an answer in JSON is told with its name") {
  const Pack pack = full_pack();
  CHECK(read_json(pack, "{\"fever\":1}") == "1: fever: \"fever\" is told in words: no or yes\n");
  CHECK(read_json(pack, "{\"age\":true}") == "1: age: \"true\" is no number; \"age\" goes from 0 years to 110 years\n");
  CHECK(read_json(pack, "{\"age\":1e60}").find("is out of the range of \"age\"") != std::string::npos);
  CHECK(read_json(pack, "{\"age\":1e61}") == "1: age: the number has more digits than can be taken\n");
  CHECK(read_json(pack, "{\"age\":1e-99999999999999999999}") == "1: age: the number has more digits than can be taken\n");
  CHECK(read_json(pack, "{\"age\":" + std::string(61, '1') + "}") == "1: age: the number has more digits than can be taken\n");
  CHECK(read_json(pack, "{\"fever\":\"\"}") == "1: fever: \"\" is no answer for \"fever\", which is no or yes\n");
  CHECK(read_json(pack, "{\"fever\":\"yes\",\"Fever\":null}") == "1: Fever: \"fever\" is answered twice\n");
  CHECK(read_json(pack, "{\"weight\":70,\"weight (g)\":70000}") == "1: weight (g): \"weight\" is answered twice\n");
  CHECK(read_json(pack, "{\"feever\":\"yes\"}\n{\"fever\":\"yes\"}") ==
        "1: feever: no finding is called \"feever\"; did you mean \"fever\"?\n2: open fever=yes\n");
  CHECK(read_json(pack, "{\"weight (stone)\":7}") == "1: weight (stone): \"stone\" is no unit of \"weight\", which is told in kg\n");
}

TEST_CASE("a number that is no day of the year or minute of the day is told as the number it is, however large") {
  const Pack pack = full_pack();
  CHECK(read_json(pack, "{\"birthday\":69999999999999999991}\n{\"birthday\":366}\n{\"birthday\":-1}\n{\"birthday\":365}\n{\"birthday\":0}") ==
        "1: birthday: 69999999999999999991 is out of the range of \"birthday\", which goes from 1 January to 31 December\n"
        "2: birthday: 366 is out of the range of \"birthday\", which goes from 1 January to 31 December\n"
        "3: birthday: -1 is out of the range of \"birthday\", which goes from 1 January to 31 December\n"
        "4: open birthday=31 December\n5: open birthday=1 January\n");
  CHECK(read_json(pack, "{\"waking\":-1e60}\n{\"waking\":1440}\n{\"waking\":1439}") ==
        "1: waking: -1" + std::string(60, '0') + " is out of the range of \"waking\", which goes from 00:00 to 23:59\n"
        "2: waking: 1440 is out of the range of \"waking\", which goes from 00:00 to 23:59\n3: open waking=23:59\n");
}

TEST_CASE("what is no JSON object makes its line bad, and reading goes on at the next") {
  const Pack pack = small_pack();
  const std::pair<std::string, std::string> cases[] = {
      {"[]", ": an object should stand in the line"},
      {"\"fever\"", ": an object should stand in the line"},
      {"{\"fever\":\"yes\"", ": a comma or the end of the object should follow an answer"},
      {"{\"fever\":\"yes\"}}", ": something follows the object"},
      {"{\"fever\":\"yes\",}", ": a name in quotes should stand before each answer"},
      {"{,}", ": a name in quotes should stand before each answer"},
      {"{fever:1}", ": a name in quotes should stand before each answer"},
      {"{\"fever\" \"yes\"}", "fever: a colon should follow the name"},
      {"{\"fever\":}", "fever: what follows the colon is no answer; words stand in quotes"},
      {"{\"fever\":yes}", "fever: what follows the colon is no answer; words stand in quotes"},
      {"{\"fever\":True}", "fever: what follows the colon is no answer; words stand in quotes"},
      {"{\"fever\":[\"yes\"]}", "fever: a list or an object is no answer"},
      {"{\"fever\":{}}", "fever: a list or an object is no answer"},
      {"{\"fever\":\"yes}", "fever: a string is opened and not closed"},
      {"{\"fever\":\"y\\", "fever: a string has an escape that is none"},
      {"{\"fever\":\"y\\u12", "fever: a string has an escape that is none"},
      {"{\"fever\":\"y\tes\"}", "fever: a control character stands in a string"},
      {"{\"fever\":\"\\x\"}", "fever: a string has an escape that is none"},
      {"{\"fever\":\"\\u00zz\"}", "fever: a string has an escape that is none"},
      {"{\"fever\":\"\\ud800\"}", "fever: a string has an escape that is none"},
      {"{\"fever\":\"\\ud800\\u0041\"}", "fever: a string has an escape that is none"},
      {"{\"fever\":\"\\udc00\"}", "fever: a string has an escape that is none"},
      {"{\"fever\":01}", "fever: what begins like a number is none"},
      {"{\"fever\":-}", "fever: what begins like a number is none"},
      {"{\"fever\":1.}", "fever: what begins like a number is none"},
      {"{\"fever\":1e}", "fever: what begins like a number is none"},
      {"{\"fever\":.5}", "fever: what follows the colon is no answer; words stand in quotes"},
      {"{\"fever\":\"\xC0\x80\"}", ": the line is not UTF-8"},
      {"{\"fever\":\"\xED\xA0\x80\"}", ": the line is not UTF-8"},
      {"{\"fever\":\"\xF4\x90\x80\x80\"}", ": the line is not UTF-8"},
      {"{\"fever\":\"\xE2\x82\"}", ": the line is not UTF-8"},
      {std::string(5000, '['), ": an object should stand in the line"},
      {"{\"fever\":\"" + std::string(PersonTable::most_cell_bytes + 1, 'x') + "\"}", "fever: the string is too long"},
      {"{\"" + std::string(PersonTable::most_cell_bytes + 1, 'x') + "\":1}", ": the string is too long"},
      {std::string(PersonTable::most_row_bytes + 1, ' '), ": the line is too long"},
  };
  for (const auto& [line, wrong] : cases) {
    CAPTURE(line.substr(0, 80));
    CHECK(read_json(pack, line) == "1: " + wrong + "\n");
    CHECK(read_json(pack, line + "\n{\"fever\":\"yes\",\"cold feet\":\"no\"}\n") == "1: " + wrong + "\n2: 01\n");
  }
}

TEST_CASE("escapes of JSON are undone, in names, answers and kept texts") {
  CHECK(read_json(small_pack(), R"({"\u0066ever":"y\u0065s","cold\u0020feet":"no","id":"\"\\\/\b\f\n\r\t \u00e9 \u20AC \uD83D\uDE00"})", {"id"}) ==
        "1: 01 [\"\\/\b\f\n\r\t \xC3\xA9 \xE2\x82\xAC \xF0\x9F\x98\x80]\n");
}

TEST_CASE("kept answers of JSON are handed out as text, whatever they are") {
  CHECK(
      read_json(small_pack(),
                "{\"id\":17}\n{\"id\":-1.50E+3}\n{\"id\":true}\n{\"id\":null}\n{}\n{\"id\":[]}\n{\"id\":1,\"ID\":2}\n{\"fever\":true,\"id\":\"x\"}\n",
                {"id"}) ==
      "1: open [17]\n2: open [-1.50E+3]\n3: open [true]\n4: open []\n5: open []\n6: id: a list or an object is no answer\n7: ID: \"ID\" is answered "
      "twice\n"
      "8: open fever=yes [x]\n");
}

TEST_CASE("a bad line stops the reading where that is wanted") {
  CHECK(read(small_pack(), "{}\n{\"fever\":2}\n{}\n", {TableFormat::json_lines, {}, true}) ==
        "1: open\ntrouble 2: fever: \"fever\" is told in words: no or yes\n");
}
