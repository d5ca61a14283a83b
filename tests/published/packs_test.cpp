// Published checks through packs, row for row, from CSV: blood pressure, work and rest in heat, sleep. What is expected is typed here
// from the print, and what every row is told is the pack's; tests/published/weighed.h says how.
#include <algorithm>
#include <catch2/catch.hpp>

#include "runtime/blocks.h"
#include "runtime/persons.h"
#include "tests/packs.h"
#include "tests/published/weighed.h"

using namespace betony;
using namespace betony::published;
using Counts = std::map<std::string, std::size_t>;

// ---------------------------------------------------------------- blood pressure
// ACC/AHA 2017, table 6 (Whelton et al., Hypertension 2018;71:e13-e115; the table read in several quotations, the counts computed).

namespace {

const char* const class_names[] = {"normal", "elevated", "stage 1", "stage 2"};

// The printed table over tenths of mm[Hg], a bit for each class: < 120 and < 80; 120-129 and < 80; 130-139 or 80-89; >= 140 or >= 90.
unsigned classes(int systolic, int diastolic) {
  const bool normal = systolic < 1200 && diastolic < 800, elevated = 1200 <= systolic && systolic <= 1290 && diastolic < 800;
  const bool stage_1 = (1300 <= systolic && systolic <= 1390) || (800 <= diastolic && diastolic <= 890);
  const bool stage_2 = systolic >= 1400 || diastolic >= 900;
  return unsigned{normal} | 2u * elevated | 4u * stage_1 | 8u * stage_2;
}

// A practice for each class, so that classes are verdicts too.
std::string counsels() {
  std::string out;
  for (const std::string name : class_names) out += "Practice " + name + " counsel.\n  Uses class.\n  Allowed in class is " + name + ".\n";
  return out;
}

Published told_of(unsigned fit) {
  Published out;
  std::string& fits = out.fits["class"];
  for (unsigned c = 0; c < 4; ++c) {
    const bool in_it = fit >> c & 1u;
    if (in_it) fits += (fits.empty() ? "" : ", ") + std::string(class_names[c]);
    out.verdicts[class_names[c] + std::string(" counsel")] = in_it ? "allowed" : "silent";
  }
  if (fits.empty()) fits = "nothing";
  return out;
}

unsigned classes_of(const Person& person) { return classes(std::stoi(person.at("systolic")) * 10, std::stoi(person.at("diastolic")) * 10); }
Published every_class(const Person& person) { return told_of(classes_of(person)); }
Published highest_class(const Person& person) {
  const unsigned fit = classes_of(person);
  return told_of(fit & 8u ? 8u : fit & 4u ? 4u : fit & 2u ? 2u : fit);
}

const std::vector<Column>& pressures() {
  static const std::vector<Column> columns = {{"systolic", whole_numbers(60, 260)}, {"diastolic", whole_numbers(30, 160)}};
  return columns;
}

}  // namespace

TEST_CASE("packs: of 26,331 whole pairs of blood pressure 24,411 have one class and 1,920 have stage 1 and stage 2") {
  const Held held = hold(Table("blood_pressure_unranked.bty").with(counsels()), pressures(), every_class);
  CHECK(held.whole == 26'331);
  CHECK(held.open == 201 + 131);
  CHECK(held.not_exact == 0);
  CHECK(held.counts == Counts{{"class: normal", 3'000}, {"class: elevated", 500}, {"class: stage 1", 1'300},
                              {"class: stage 2", 19'611}, {"class: stage 1, stage 2", 1'920},
                              {"normal counsel: allowed", 3'000},    {"normal counsel: silent", 23'331},
                              {"elevated counsel: allowed", 500},    {"elevated counsel: silent", 25'831},
                              {"stage 1 counsel: allowed", 3'220},   {"stage 1 counsel: silent", 23'111},
                              {"stage 2 counsel: allowed", 21'531},  {"stage 2 counsel: silent", 4'800}});
}

TEST_CASE("packs: with the higher class before the lower every whole pair has one class") {
  const Held held = hold(Table("blood_pressure.bty").with(counsels()), pressures(), highest_class);
  CHECK(held.whole == 26'331);
  CHECK(held.counts.size() == 4 + 8);
  CHECK(held.counts.at("class: normal") == 3'000);
  CHECK(held.counts.at("class: elevated") == 500);
  CHECK(held.counts.at("class: stage 1") == 1'300);
  CHECK(held.counts.at("class: stage 2") == 21'531);
}

TEST_CASE("packs: the printed examples and edges of blood pressure, whole and in tenths") {
  struct Row { const char *systolic, *diastolic, *fits; };
  const Row whole[] = {{"118", "76", "normal"},           {"119", "79", "normal"},          {"120", "79", "elevated"}, {"125", "79", "elevated"},
                       {"129", "79", "elevated"},         {"119", "80", "stage 1"},         {"130", "79", "stage 1"},  {"139", "89", "stage 1"},
                       {"140", "79", "stage 2"},          {"119", "90", "stage 2"},         {"135", "92", "stage 1, stage 2"},
                       {"145", "85", "stage 1, stage 2"}};
  const Row tenths[] = {{"129.5", "70", "nothing"},  {"139.5", "70", "nothing"},   {"110", "89.5", "nothing"},  {"129", "70", "elevated"},
                        {"130", "70", "stage 1"},    {"119.9", "79.9", "normal"},  {"129.1", "79.9", "nothing"}, {"139", "79.9", "stage 1"},
                        {"139.1", "70", "nothing"},  {"140", "89.1", "stage 2"}};
  const auto hold_row = [](const Table& table, const Row& row) {
    const auto print = [&](const Person&) { return Published{{}, {{"class", row.fits}}, {}}; };
    hold(table, {{"systolic", {row.systolic}}, {"diastolic", {row.diastolic}}}, print);
  };
  for (const Row& row : whole) hold_row(Table("blood_pressure_unranked.bty"), row);
  for (const Row& row : tenths) hold_row(Table("blood_pressure_tenths.bty"), row);
}

namespace {

std::string tenths_words(int tenths) { return std::to_string(tenths / 10) + "." + std::to_string(tenths % 10); }

// Counts pairs by the classes whose counsel is allowed, and those for which that is not what is printed.
struct Counting : runtime::PersonTaker {
  explicit Counting(const runtime::Pack& pack) : weigher(pack), codes(weigher.practices() * runtime::block_persons) {}
  void block(runtime::PersonBlock& block) override {
    weigher.weigh(block.bits, scratch, codes.data());
    for (unsigned i = 0; i < block.bits.persons; ++i) {
      unsigned fit = 0;
      for (unsigned c = 0; c < 4; ++c)
        fit |= unsigned{codes[c * runtime::block_persons + i] == static_cast<std::uint8_t>(runtime::Verdict::allowed)} << c;
      const int row = static_cast<int>(block.rows[i] - 2);
      wrong += fit != classes(600 + row / 1301, 300 + row % 1301);
      ++counts[fit];
    }
  }
  void open(runtime::OpenPerson&) override { ++others; }
  void bad(const runtime::BadRow&) override { ++others; }

  const runtime::BlockWeigher weigher;
  runtime::BlockWeigher::Scratch scratch;
  std::vector<std::uint8_t> codes;
  std::size_t counts[16] = {}, wrong = 0, others = 0;
};

}  // namespace

TEST_CASE("packs: of 2,603,301 pairs in tenths 2,414,838 have one class, 173,082 have two and 15,381 have none") {
  const Table table = Table("blood_pressure_tenths.bty").with(counsels());
  const runtime::Pack pack = testing::packed(table.ruleset(), table.report());
  Counting counting(pack);
  runtime::PersonTable persons(pack, {}, counting);
  REQUIRE(persons.feed("systolic,diastolic\n"));
  for (int systolic = 600; systolic <= 2600; ++systolic) {
    std::string rows;
    for (int diastolic = 300; diastolic <= 1600; ++diastolic) rows += tenths_words(systolic) + "," + tenths_words(diastolic) + "\n";
    REQUIRE(persons.feed(rows));
  }
  REQUIRE(persons.finish());
  CHECK(counting.wrong == 0);
  CHECK(counting.others == 0);
  const auto& counts = counting.counts;
  CHECK(counts[1] + counts[2] + counts[4] + counts[8] == 2'414'838);
  CHECK(counts[4 | 8] == 173'082);
  CHECK(counts[0] == 15'381);
  CHECK(2'414'838 + 173'082 + 15'381 == 2'603'301);
}

// ---------------------------------------------------------------- work and rest in heat
// NIOSH (read at cdc.gov/niosh/mining/content/heatstressworkrest.html; from NIOSH 2016-106). What sun and moist air add: from memory.

namespace {

struct HeatRow {
  int from, to;                              // degrees F
  const char *light, *moderate, *heavy;      // minutes of work and of rest
};
const HeatRow heat_rows[] = {{90, 94, "normal", "normal", "normal"}, {95, 96, "normal", "normal", "45/15"},   {97, 97, "normal", "normal", "40/20"},
                             {98, 99, "normal", "normal", "35/25"},  {100, 100, "normal", "45/15", "30/30"},  {101, 101, "normal", "40/20", "30/30"},
                             {102, 102, "normal", "35/25", "25/35"}, {103, 103, "normal", "30/30", "20/40"},  {104, 104, "normal", "30/30", "20/40"},
                             {105, 105, "normal", "25/35", "15/45"}, {106, 106, "45/15", "20/40", "caution"}, {107, 107, "40/20", "15/45", "caution"},
                             {108, 108, "35/25", "caution", "caution"}, {109, 109, "30/30", "caution", "caution"},
                             {110, 110, "15/45", "caution", "caution"}, {111, 112, "caution", "caution", "caution"}};

std::string printed_cell(int degrees, const std::string& load) {
  for (const HeatRow& row : heat_rows)
    if (row.from <= degrees && degrees <= row.to) return load == "light" ? row.light : load == "moderate" ? row.moderate : row.heavy;
  return "";
}

Published work_and_rest(int degrees, const std::string& load) {
  const std::string cell = printed_cell(degrees, load);
  if (cell.empty()) return {{{"work", "silent"}, {"rest", "silent"}}, {{"cell", "nothing"}}, {}};
  if (cell == "normal") return {{{"work", "allowed"}, {"rest", "silent"}}, {{"cell", "normal work"}}, {}};
  if (cell == "caution") return {{{"work", "discouraged"}, {"rest", "silent"}}, {{"cell", "extreme caution"}}, {}};
  const std::string work = cell.substr(0, 2), rest = cell.substr(3);
  return {{{"work", "allowed"}, {"rest", "allowed"}}, {{"cell", "work " + work + " rest " + rest}},
          {{"work", work + " min, once every 1 h"}, {"rest", rest + " min, once every 1 h"}}};
}

const Column loads{"load", {"light", "moderate", "heavy"}};

}  // namespace

TEST_CASE("packs: of the 69 cells of work and rest 31 are normal, 24 are timed and 14 call for caution, and beyond them nothing is said") {
  const auto print = [](const Person& person) { return work_and_rest(std::stoi(person.at("temperature")), person.at("load")); };
  const Held held = hold(Table("work_rest.bty"), {{"temperature", whole_numbers(80, 120)}, loads}, print);
  CHECK(held.whole == 41 * 3);
  CHECK(held.open == 41 + 3);
  CHECK(held.not_exact == 0);
  CHECK(held.counts.at("cell: nothing") == 41 * 3 - 69);
  CHECK(held.counts.at("cell: normal work") == 31);
  CHECK(held.counts.at("cell: extreme caution") == 14);
  CHECK(held.counts.at("rest: allowed") == 24);
  CHECK(held.counts.at("work: allowed") == 31 + 24);
}

TEST_CASE("packs: the two printed examples of work and rest, in Fahrenheit and in Celsius") {
  struct Row { const char *column, *temperature, *load; Published printed; };
  const Published caution{{{"work", "discouraged"}, {"rest", "silent"}}, {{"cell", "extreme caution"}}, {}};
  const Published short_work{{{"work", "allowed"}, {"rest", "allowed"}}, {{"cell", "work 20 rest 40"}},
                             {{"work", "20 min, once every 1 h"}, {"rest", "40 min, once every 1 h"}}};
  const Row rows[] = {{"temperature", "104", "heavy", short_work}, {"temperature (Cel)", "40", "heavy", short_work},
                      {"temperature", "108", "moderate", caution}};
  for (const Row& row : rows)
    hold(Table("work_rest.bty"), {{row.column, {row.temperature}}, {"load", {row.load}}}, [&](const Person&) { return row.printed; });
}

TEST_CASE("packs: sun and moist air move the temperature at which work and rest are looked up, for every person") {
  const std::map<std::string, int> suns = {{"none", 0}, {"part", 7}, {"full", 13}};
  const std::map<std::string, int> humidities = {{"10", -8}, {"20", -4}, {"30", 0}, {"40", 3}, {"50", 6}, {"60", 9}};
  const auto print = [&](const Person& person) {
    return work_and_rest(std::stoi(person.at("air")) + suns.at(person.at("sun")) + humidities.at(person.at("humidity")), person.at("load"));
  };
  const std::vector<Column> columns = {{"air", whole_numbers(70, 115)}, {"sun", {"none", "part", "full"}},
                                       {"humidity", {"10", "20", "30", "40", "50", "60"}}, loads};
  const Held held = hold(Table("work_rest_adjusted.bty"), columns, print);
  CHECK(held.whole == 46 * 3 * 6 * 3);
  CHECK(held.not_exact > 0);   // the points of sun and of moist air are bounded one by one
}

// ---------------------------------------------------------------- sleep
// American Academy of Sleep Medicine 2016 (Paruthi et al., J Clin Sleep Med 2016;12:785-786), adults 2015 (from memory); WHO 2019 (read at
// beta.measurement-toolkit.org).

namespace {

struct SleepRow {
  const char* row;
  int from, to;          // completed months
  int least, most;       // hours; 0: no upper end is printed
};
constexpr int years = 12;
const std::vector<SleepRow> academy = {{"infant", 4, 12, 12, 16},
                                       {"toddler", 1 * years, 3 * years - 1, 11, 14},        // 1-2 years
                                       {"preschool", 3 * years, 6 * years - 1, 10, 13},      // 3-5 years
                                       {"school age", 6 * years, 13 * years - 1, 9, 12},     // 6-12 years
                                       {"teenage", 13 * years, 19 * years - 1, 8, 10},       // 13-18 years
                                       {"adult", 18 * years, 61 * years - 1, 7, 0}};         // 18-60 years
const std::vector<SleepRow> world = {{"newborn", 0, 3, 14, 17}, {"infant", 4, 11, 12, 16},
                                     {"toddler", 1 * years, 3 * years - 1, 11, 14},          // 1-2 years
                                     {"preschool", 3 * years, 5 * years - 1, 10, 13}};       // 3-4 years

// The rows of the age, and the hours that they have in common.
Published sleep_of(const std::vector<SleepRow>& rows, int month) {
  std::string fits;
  int least = 0, most = 24;
  for (const SleepRow& row : rows) {
    if (month < row.from || month > row.to) continue;
    fits += (fits.empty() ? "" : ", ") + std::string(row.row);
    least = std::max(least, row.least);
    if (row.most != 0) most = std::min(most, row.most);
  }
  if (fits.empty()) return {{{"sleep", "silent"}}, {{"age row", "nothing"}}, {}};
  const std::string hours = most == 24 ? "at least " + std::to_string(least) : std::to_string(least) + " to " + std::to_string(most);
  return {{{"sleep", "advised"}}, {{"age row", fits}}, {{"sleep", hours + " h, once a day"}}};
}

}  // namespace

TEST_CASE("packs: sleep for every month of age: 1 and 18 years lie in two rows of the Academy, 473 months in none") {
  const auto print = [](const Person& person) { return sleep_of(academy, std::stoi(person.at("age"))); };
  const Held held = hold(Table("sleep.bty"), {{"age", whole_numbers(0, 1200)}}, print, {"Academy"});
  CHECK(held.whole == 1'201);
  CHECK(held.counts.at("sleep: silent") == 473);
  CHECK(held.counts.at("age row: infant, toddler") == 1);      // 12 months
  CHECK(held.counts.at("age row: teenage, adult") == 12);      // the 19th year
}

TEST_CASE("packs: sleep for every month of age: the World Health Organization has one row up to 5 years and none from there on") {
  const auto print = [](const Person& person) { return sleep_of(world, std::stoi(person.at("age"))); };
  const Held held = hold(Table("sleep.bty"), {{"age", whole_numbers(0, 1200)}}, print, {"World Health"});
  CHECK(held.counts == Counts{{"age row: newborn", 4}, {"age row: infant", 8}, {"age row: toddler", 24}, {"age row: preschool", 24},
                              {"age row: nothing", 1'141}, {"sleep: advised", 60}, {"sleep: silent", 1'141}});
}

TEST_CASE("packs: sleep at the printed ends, told in months and in years") {
  struct Row { const char *column, *age, *school, *rows, *hours; };
  const Row rows[] = {{"age", "3", "Academy", "nothing", ""},              {"age", "3", "World Health", "newborn", "14 to 17 h"},
                      {"age", "4", "Academy", "infant", "12 to 16 h"},     {"age", "11", "World Health", "infant", "12 to 16 h"},
                      {"age (years)", "1", "Academy", "infant, toddler", "12 to 14 h"}, {"age (years)", "1", "World Health", "toddler", "11 to 14 h"},
                      {"age (years)", "5", "Academy", "preschool", "10 to 13 h"},       {"age (years)", "5", "World Health", "nothing", ""},
                      {"age (years)", "18", "Academy", "teenage, adult", "8 to 10 h"},  {"age (years)", "60", "Academy", "adult", "at least 7 h"},
                      {"age (years)", "61", "Academy", "nothing", ""}};
  for (const Row& row : rows) {
    const bool silent = *row.hours == 0;
    const std::string dose = silent ? "" : row.hours + std::string(", once a day");
    const Published printed{{{"sleep", silent ? "silent" : "advised"}}, {{"age row", row.rows}}, {{"sleep", dose}}};
    hold(Table("sleep.bty"), {{row.column, {row.age}}}, [&](const Person&) { return printed; }, {row.school});
  }
}
