// The referee itself, on examples whose answers are counted by hand or printed with published tables.
#include <catch2/catch.hpp>

#include "tests/property/build.h"
#include "tests/property/doses.h"
#include "tests/property/enumerate.h"

namespace betony::referee {
namespace {

using Kind = Sentence::Kind;
using How = Cond::How;

Model model_of(std::vector<Finding> findings, std::vector<Sentence> sentences, std::size_t practices = 1) {
  static const char* const names[] = {"cold plunge", "steam room", "foot soak"};
  Model m;
  m.findings = std::move(findings);
  m.sentences = std::move(sentences);
  for (std::size_t p = 0; p < practices; ++p) m.practices.push_back({names[p], ""});
  return m;
}

// Each problem on a line: kind, form, severity, who and how much. Without what is unused, uncited and unasked.
std::string told(const Model& m) {
  const Universe universe(m);
  const Judge judge(m, universe);
  static const char* const severities[] = {"error", "question", "note"};
  std::string text;
  for (const Expected& e : problems(m, universe, judge)) {
    if (e.kind.rfind("un", 0) == 0) continue;
    text += e.kind + (e.form.empty() ? "" : " " + e.form) + ' ' + severities[static_cast<int>(e.severity)];
    for (const std::string& name : {e.practice, e.choice, e.school})
      if (!name.empty()) text += ", " + name;
    if (e.has_share) text += ", " + e.share.get_str();
    if (e.cover_size) text += ", set of " + std::to_string(e.cover_size);
    if (!e.pairs.empty()) text += ", pairs";
    for (const auto& [a, b] : e.pairs) text += ' ' + std::to_string(a) + '-' + std::to_string(b);
    if (e.kind == "idle" || e.kind == "never-applies")
      for (const Spot& s : e.sentences) text += " #" + std::to_string(s.index);
    text += '\n';
  }
  return text;
}

// How many profiles have each verdict, of the first practice.
std::string verdicts(const Model& m) {
  static const char* const names[] = {"outside", "referred", "withheld", "discouraged", "advised", "allowed", "silent"};
  const Universe universe(m);
  const Table table = Judge(m, universe).table(whole);
  std::vector<int> counts(7, 0);
  for (const Outcome& o : table.outcomes[0]) ++counts[static_cast<std::size_t>(o.verdict)];
  std::string text;
  for (std::size_t v = 0; v < counts.size(); ++v)
    if (counts[v]) text += (text.empty() ? "" : ", ") + std::string(names[v]) + ' ' + std::to_string(counts[v]);
  return text;
}

TEST_CASE("the counting rule is not enough: two of eight are matched twice and two never") {
  // Limited-entry tables, rules Y-- and -Y-: 4 + 4 = 8, the number of a complete table (CODASYL 1982).
  const Model m = model_of({yes_no("a thing"), yes_no("b thing"), yes_no("c thing")},
                           {says(Kind::indicated, holds(0)), says(Kind::contraindicated, holds(1))});
  CHECK(verdicts(m) == "withheld 4, advised 2, silent 2");
  CHECK(told(m) ==
        "silence question, cold plunge, 1/4\n"
        "contradiction crossing note, cold plunge, 1/4, pairs 0-1\n");
}

TEST_CASE("a rule over 60 is swallowed by a ban over 40, and the other way round it is an exception") {
  const Finding x = number("bell count", 0, 100, 1);
  const Model swallowed = model_of({x}, {says(Kind::indicated, compare(0, How::over, 60)),
                                         says(Kind::contraindicated, compare(0, How::over, 40)), otherwise(Verdict::allowed)});
  CHECK(told(swallowed) == "contradiction swallowed error, cold plunge, 40/101, set of 1\n");
  const Model exception = model_of({x}, {says(Kind::indicated, compare(0, How::over, 40)),
                                         says(Kind::contraindicated, compare(0, How::over, 60)), otherwise(Verdict::allowed)});
  CHECK(told(exception) == "contradiction exception note, cold plunge, 40/101, pairs 0-1\n");
}

TEST_CASE("two bands that share exactly 103 cross on a share of nothing") {
  // Heat-index bands with two measures at exactly 103 (OSHA): 91 to 103, 103 to 115, on every number from 80 to 120.
  const Model m = model_of({number("heat", 80, 120, 0)}, {says(Kind::indicated, compare(0, How::from_to, 91, 103)),
                                                          says(Kind::contraindicated, compare(0, How::from_to, 103, 115)),
                                                          otherwise(Verdict::allowed)});
  CHECK(told(m) == "contradiction crossing question, cold plunge, 0, pairs 0-1\n");
}

TEST_CASE("a readiness sheet of seven questions clears one of 128") {
  // Seven yes/no questions: all no may start, one or more yes consult first (PAR-Q).
  std::vector<Finding> findings;
  std::vector<Cond> parts;
  for (int i = 0; i < 7; ++i) {
    findings.push_back(yes_no("question " + std::string(1, static_cast<char>('a' + i))));
    parts.push_back(holds(i));
  }
  const Model m = model_of(findings, {says(Kind::indicated, list(Cond::Kind::none, parts)), refer(any_of(parts))});
  CHECK(verdicts(m) == "referred 127, advised 1");
  CHECK(told(m) == "idle part note #0\n");  // whoever says yes has been referred
}

TEST_CASE("a loan table with overlaps of equal outcome has no contradiction and no idle rule") {
  // Eight combinations: one rule matches in 4, two in 3, three in 1 (Decision Model and Notation, hit policy any).
  const std::vector<Cond> good = {holds(0), holds(1), holds(2)};
  const Model m = model_of({yes_no("rating"), yes_no("small card"), yes_no("small loan")},
                           {says(Kind::indicated, all_of(good)), says(Kind::contraindicated, no(good[0])),
                            says(Kind::contraindicated, no(good[1])), says(Kind::contraindicated, no(good[2]))});
  CHECK(verdicts(m) == "withheld 7, advised 1");
  CHECK(told(m).empty());
}

TEST_CASE("scores are summed: the least 72 and the most 138 are met and no more") {
  // Application risk score (Decision Model and Notation, hit policy collect, sum).
  Finding age = words(Finding::Kind::grade, "age band", {"eighteen", "twenties", "thirties", "forties", "older"});
  Finding state = words(Finding::Kind::one_of, "state", {"single", "married"});
  Finding work = words(Finding::Kind::one_of, "work", {"idle", "student", "employed", "own"});
  Tally score{"score", {}};
  const int points[3][5] = {{32, 35, 40, 43, 48}, {25, 45, 0, 0, 0}, {15, 18, 45, 36, 0}};
  const std::size_t counts[3] = {5, 2, 4};
  for (int f = 0; f < 3; ++f)
    for (std::size_t w = 0; w < counts[f]; ++w)
      score.items.push_back({{among(Cond::Of::finding, f, {static_cast<int>(w)})}, false, Fraction(points[f][w])});
  Cond within = compare(0, How::from_to, 72, 138), over = compare(0, How::over, 137), under = compare(0, How::under, 73);
  within.of = over.of = under.of = Cond::Of::tally;
  Model m = model_of({age, state, work}, {says(Kind::contraindicated, no(within)), says(Kind::discouraged, over),
                                          says(Kind::indicated, under), otherwise(Verdict::allowed)});
  m.tallies = {score};
  CHECK(verdicts(m) == "discouraged 1, advised 1, allowed 38");
  CHECK(told(m) == "never-applies error #0\n");
}

TEST_CASE("the tally that leads has more than every other, by the lead that was written, and something at all") {
  Model m = model_of({number("first", 0, 2, 1), number("second", 0, 2, 1)},
                     {says(Kind::indicated, among(Cond::Of::leading, 0, {0})), says(Kind::allowed, among(Cond::Of::leading, 0, {1})),
                      says(Kind::discouraged, among(Cond::Of::leading, 0, {2}))});
  const auto scored = [](int f) {
    return Tally{f ? "damp" : "chill", {{{compare(f, How::at_least, 1)}, false, 1}, {{compare(f, How::at_least, 2)}, false, 1}}};
  };
  m.tallies = {scored(0), scored(1)};
  m.leadings = {{"bent", {0, 1}, std::nullopt, "even"}};
  CHECK(verdicts(m) == "discouraged 3, advised 3, allowed 3");
  m.leadings[0].lead = 2;
  CHECK(verdicts(m) == "discouraged 7, advised 1, allowed 1");
}

TEST_CASE("what defies a ban makes it dead for its own practice only") {
  const Model m = model_of({yes_no("fever"), yes_no("frail")},
                           {called(every(says(Kind::contraindicated, holds(0))), "fever ban"),
                            despite(says(Kind::indicated, holds(1)), {0}), says(Kind::allowed, {}, {1})}, 2);
  const Universe universe(m);
  const Table table = Judge(m, universe).table(whole);
  const std::size_t fever_and_frail = universe.profile({1, 1});
  CHECK(table.outcomes[0][fever_and_frail].verdict == Verdict::advised);
  CHECK(table.outcomes[1][fever_and_frail].verdict == Verdict::withheld);
  CHECK(told(m) ==
        "silence question, cold plunge, 1/4\n"
        "contradiction exception note, steam room, 1/2, pairs 2-0\n");
}

TEST_CASE("two bans swallow together, and a smaller set is not made up") {
  const Model m = model_of({number("age", 0, 3, 1)},
                           {says(Kind::indicated, compare(0, How::at_least, 1)), says(Kind::contraindicated, compare(0, How::at_most, 1)),
                            says(Kind::contraindicated, compare(0, How::from_to, 2, 3)), says(Kind::discouraged), otherwise(Verdict::allowed)});
  CHECK(told(m) ==
        "contradiction swallowed error, cold plunge, 3/4, set of 2\n"
        "idle sentence question, 1 #3\n"
        "idle sentence question #4\n"
        "idle part note #2\n");  // below 2 the other ban withholds too
  CHECK(verdicts(m) == "withheld 4");
}

TEST_CASE("the care of an Otherwise stands where it speaks, and a caution on withheld is no care") {
  Sentence last = otherwise(Verdict::allowed);
  last.with_care = true;
  const Model m = model_of({yes_no("fever"), yes_no("frail")},
                           {says(Kind::contraindicated, holds(0)), says(Kind::caution, holds(1)), says(Kind::indicated, holds(1)), last});
  const Universe universe(m);
  const Table table = Judge(m, universe).table(whole);
  CHECK(table.outcomes[0][universe.profile({0, 0})].care);
  CHECK(table.outcomes[0][universe.profile({0, 1})].care);
  CHECK_FALSE(table.outcomes[0][universe.profile({1, 1})].care);
  CHECK(table.outcomes[0][universe.profile({0, 1})].texts == 1);
}

TEST_CASE("the practice's own Otherwise goes before its group's, and that before everybody's") {
  Model m = model_of({yes_no("fever")}, {every(otherwise(Verdict::withheld)), in_group(otherwise(Verdict::allowed), 0), otherwise(Verdict::advised, {0})}, 3);
  m.groups = {{"baths", {0, 1}, {}}};
  const Universe universe(m);
  const Table table = Judge(m, universe).table(whole);
  CHECK(table.outcomes[0][0].verdict == Verdict::advised);
  CHECK(table.outcomes[1][0].verdict == Verdict::allowed);
  CHECK(table.outcomes[2][0].verdict == Verdict::withheld);
  CHECK(told(m).empty());
}

TEST_CASE("what fits a choice is taken minus refused, else the Otherwise unless refused") {
  Model m = model_of({yes_no("fever"), yes_no("frail")}, {chooses(Kind::take, 0, {0}, holds(0)), chooses(Kind::refuse, 0, {0}, holds(1)),
                                                          chooses(Kind::choice_otherwise, 0, {1}), otherwise(Verdict::allowed)});
  m.choices = {{Choice::Kind::one_of, "rubbing oil", {"seal oil", "nut oil"}}};
  const Universe universe(m);
  const Table table = Judge(m, universe).table(whole);
  CHECK(table.fits[0][universe.profile({0, 0})] == 2);
  CHECK(table.fits[0][universe.profile({1, 0})] == 1);
  CHECK(table.fits[0][universe.profile({1, 1})] == 2);
  CHECK(told(m).empty());
  m.sentences.push_back(chooses(Kind::take, 0, {1}, holds(0)));
  CHECK(told(m) == "choice-clash error, rubbing oil, 1/4, pairs 0-4\n");
  m.choices[0].kind = Choice::Kind::highest;
  CHECK(told(m) == "idle sentence question, 1/2 #0\nidle sentence question, 1/2 #1\n");
}

TEST_CASE("each school is read alone, and what only the whole brings together is dissent") {
  Model m = model_of({yes_no("fever"), yes_no("frail")},
                     {cited(says(Kind::indicated, holds(0)), {0}), cited(says(Kind::contraindicated, all_of({holds(0), holds(1)})), {1}),
                      otherwise(Verdict::allowed)});
  m.sources = {{"SB", "Salt book", 1900, std::nullopt}, {"WN", "Winter notes", 1901, std::nullopt}};
  m.schools = {{"upper quay", {0}}, {"lower quay", {1}}};
  CHECK(told(m) == "dissent note, cold plunge, 1/4, pairs 0-1\n");
  m.sentences.push_back(says(Kind::contraindicated, no(holds(1))));
  CHECK(told(m) ==
        "contradiction crossing note, cold plunge, upper quay, 1/4, pairs 0-3\n"
        "idle part note #1\n"  // who is not frail is withheld anyway
        "dissent note, cold plunge, 1/4, pairs 0-1\n");
}

TEST_CASE("a claim looks beyond the applied and unreferred only where it names them") {
  Model m = model_of({number("age", 0, 9, 1), yes_no("fever")}, {says(Kind::indicated), refer(holds(1))});
  m.applies = {{compare(0, How::at_least, 5)}};
  Claim c{"none is referred", true, verdict(0, Verdict::referred), {}};
  m.claims = {c};
  CHECK(told(m) == "claim-refuted error, 1/2\n");
  m.claims[0].what = verdict(0, Verdict::outside);
  CHECK(told(m) == "claim-refuted error, 2/3\n");
  m.claims[0].what = verdict(0, Verdict::advised);
  CHECK(told(m) == "claim-refuted error, 1\n");
}

TEST_CASE("an expectation of a partial profile is met when all its completions meet it") {
  Model m = model_of({yes_no("fever"), yes_no("frail")}, {says(Kind::indicated, any_of({holds(0), no(holds(0))})), says(Kind::caution, holds(1))});
  const auto expect = [](Verdict verdict, bool care) { return Expectation{0, -1, verdict, care, {}}; };
  m.samples = {{"somebody", {Answer{{0, -1}, 1, std::nullopt, false}}, false, {expect(Verdict::advised, false), expect(Verdict::advised, true), expect(Verdict::unanswered, false)}}};
  CHECK(told(m) == "idle part question #0\nexpectation-failed error\nexpectation-failed error\n");
}

TEST_CASE("never takes half of its finding, and unstepped numbers their lengths") {
  Finding meal = number("last meal", 0, 4, 0);
  meal.or_never = true;
  const Model m = model_of({meal}, {says(Kind::contraindicated, compare(0, How::under, 1)), says(Kind::indicated, compare(0, How::over, 3))});
  CHECK(told(m) == "silence question, cold plunge, 3/4\n");
}

TEST_CASE("alike bans of two books are twice attested, and of one book idle") {
  Model m = model_of({yes_no("fever")}, {cited(says(Kind::contraindicated, holds(0)), {0}), cited(says(Kind::contraindicated, holds(0)), {1}),
                                         otherwise(Verdict::allowed)});
  m.sources = {{"SB", "Salt book", 1900, std::nullopt}, {"WN", "Winter notes", 1901, std::nullopt}};
  CHECK(told(m) == "idle twice-attested note, 1/2 #0 #1\n");
  m.sentences[1].cites = {0};
  CHECK(told(m) == "idle sentence question, 1/2 #0 #1\n");
}

TEST_CASE("dates and times go round, and count by days and minutes") {
  Finding date = yes_no("date");
  date.kind = Finding::Kind::date;
  // From 1 November (day 305 of 366) to 30 April (day 120): 61 and 121 days.
  const Model m = model_of({date}, {says(Kind::contraindicated, compare(0, How::from_to, 305, 120))});
  CHECK(told(m) == "silence question, cold plunge, 92/183\n");
  CHECK(print(m).text.find("Contraindicated in date from 1 November to 30 April.") != std::string::npos);
}

TEST_CASE("a dose is settled part by part, and the least factor multiplies once") {
  Dose both = amount(8, 15);
  both.often = Range{1, 1};
  Model m = model_of({yes_no("fever"), yes_no("frail")},
                     {doses(amount(5, 10), holds(0)), doses(both, holds(1)), doses(amount(20, 20)), doses(factor(Dose::Factor::half), holds(1)),
                      doses(factor(Dose::Factor::quarter), holds(1)), every(doses(in_words("slowly"))), says(Kind::indicated)});
  const Universe universe(m);
  const Judge judge(m, universe);
  const Table table = judge.table(whole);
  const Settled of_both = settled(m, judge, table, 0, universe.profile({1, 1}));
  CHECK(of_both.parts.at(0) == Range{8, 10});
  CHECK(of_both.parts.at(part_often) == Range{1, 1});
  CHECK(of_both.factor == Fraction(1, 4));
  CHECK(of_both.words == std::set<std::string>{"slowly"});
  const Settled of_none = settled(m, judge, table, 0, universe.profile({0, 0}));
  CHECK(of_none.parts.at(0) == Range{20, 20});
  CHECK_FALSE(of_none.factor);
  CHECK(told(m) == "idle sentence question, 1/2 #3\n");
}

TEST_CASE("doses clash where both speak and the practice may be done, and are missing where it is advised without one") {
  const Model m = model_of({yes_no("fever"), yes_no("frail"), yes_no("cough")},
                           {doses(amount(5, 10), holds(0)), doses(amount(1, 1, 1), holds(1)), says(Kind::contraindicated, holds(2)), says(Kind::indicated)});
  CHECK(told(m) ==
        "dose-clash error, cold plunge, 1/8, pairs 0-1\n"
        "dose-missing question, cold plunge, 1/8\n"
        "contradiction exception note, cold plunge, 1/2, pairs 3-2\n");
  const Model alike = model_of({yes_no("fever")}, {doses(amount(60, 60), holds(0)), doses(amount(1, 1, 1), holds(0)), doses(amount(3, 3)), says(Kind::indicated)});
  CHECK(told(alike) == "idle sentence question, 1/2 #0 #1\n");
}

TEST_CASE("company is broken where the other is advised though never with it, withheld or discouraged though needed") {
  Model m = model_of({yes_no("fever"), yes_no("frail")},
                     {says(Kind::indicated, holds(0)), says(Kind::indicated, holds(1), {1}), meets(Kind::never_with, 1), meets(Kind::never_with, 0, {}, {1}),
                      every(otherwise(Verdict::allowed))}, 2);
  CHECK(told(m) == "broken-company never-with error, cold plunge, 1/4\n");
  m.sentences[2].kind = Kind::needs, m.sentences[3].gone = true;
  m.sentences.push_back(says(Kind::discouraged, no(holds(1)), {1}));
  CHECK(told(m) == "broken-company needs question, cold plunge, 1/4\n");
}

TEST_CASE("a day is kept where some beginnings keep it") {
  Model m = model_of({yes_no("fever")}, {says(Kind::indicated, {}, {0, 1}), of_day(Kind::time, 12, 14), of_day(Kind::time, 13, 15, {}, {1}),
                                         of_day(Kind::takes, 1, 1, {}, {1}), of_day(Kind::takes, 2, 2, holds(0)), meets(Kind::follows, 1)}, 2);
  CHECK(told(m) == "order-loop times error, 1\n");      // after the steam room it is 07:00, too late for any length
  m.sentences[5] = meets(Kind::precedes, 1);
  CHECK(told(m).empty());
  m.sentences[4].first = m.sentences[4].last = 3;
  CHECK(told(m) == "order-loop times error, 1/2\n");
  m.sentences[4].gone = true;
  m.sentences.push_back(meets(Kind::leads_to, 0, holds(0), {1}));
  CHECK(told(m) == "order-loop order error, 1/2\n");
}

TEST_CASE("more than no time may be as little as fits") {
  // Three behind each other in half an hour; and none in no time at all.
  const std::vector<int> all = {0, 1, 2};
  Model m = model_of({yes_no("fever")}, {says(Kind::indicated, {}, all), of_day(Kind::time, 12, 13, {}, all), meets(Kind::follows, 1), meets(Kind::follows, 2, {}, {1})}, 3);
  CHECK(told(m).empty());
  Sentence never = of_day(Kind::time, 10, 13, {}, all);
  never.forbidden = true;
  m.sentences.push_back(never);
  CHECK(told(m) == "order-loop times error, 1\n");
}

TEST_CASE("nobody left to speak of is one error and nothing else") {
  Model m = model_of({yes_no("fever")}, {says(Kind::indicated, holds(0)), says(Kind::contraindicated, holds(0))});
  m.backgrounds = {{holds(0)}, {no(holds(0))}};
  CHECK(told(m) == "never-applies error #0 #1\n");
}

}  // namespace
}  // namespace betony::referee
