// Every ruleset of two more tiny grammars: doses; and company, order, times and lengths.
#include "tests/property/gauntlet.h"

namespace betony::referee {
namespace {

using Kind = Sentence::Kind;

Dose with_rate(Dose dose, Fraction times) {
  dose.often = Range{times, times};
  return dose;
}

std::vector<Sentence> dose_sentences() {
  const Cond fever = holds(0), thirst = holds(1), pain = compare(2, Cond::How::at_least, 1);
  std::vector<Sentence> list;
  for (const Cond& c : {Cond(), fever, thirst})
    for (const Dose& d : {amount(1, 2), amount(2, 4), amount(60, 60), factor(Dose::Factor::half), in_words("until the bell")})
      list.push_back(doses(d, c));
  list.push_back(doses(amount(1, 1, 1), fever));                    // 1 h, once more
  list.push_back(doses(amount(std::nullopt, 3, 2), thirst));        // bowls
  list.push_back(doses(amount(2, std::nullopt), pain));
  list.push_back(doses(with_rate(amount(1, 2), 2), pain));
  list.push_back(doses(so_often(1, 1, 2), fever));
  list.push_back(doses(so_often(7, 7, 1, true)));
  list.push_back(doses(for_days(5, 7), thirst));
  list.push_back(in_group(doses(amount(2, 3)), 0));
  list.push_back(every(doses(amount(4, 4))));
  list.push_back(every(doses(factor(Dose::Factor::third), pain)));
  return list;
}

TEST_CASE("all rulesets of up to three Dose sentences, of a practice that some are advised and others allowed or denied") {
  Gauntlet gauntlet("doses");
  each_selection(dose_sentences(), 3, [&](const std::vector<Sentence>& chosen) {
    for (Verdict last : {Verdict::allowed, Verdict::withheld}) {
      Model m = tiny(chosen);
      m.groups = {{"baths", {0}, {}}};
      m.sentences.push_back(says(Kind::indicated, holds(1)));
      if (last == Verdict::withheld) m.sentences.push_back(says(Kind::contraindicated, compare(2, Cond::How::over, 1)));
      m.sentences.push_back(otherwise(last));
      gauntlet.run(m);
    }
  });
  CHECK(gauntlet.rulesets() > 5000);
}

std::vector<Sentence> sentences_of_the_day() {
  const Cond pain = compare(2, Cond::How::at_least, 1);
  std::vector<Sentence> list;
  for (Kind kind : {Kind::follows, Kind::precedes, Kind::leads_to, Kind::needs, Kind::never_with}) {
    list.push_back(meets(kind, 1));
    list.push_back(meets(kind, 0, {}, {1}));
  }
  list.push_back(meets(Kind::follows, 1, pain));
  list.push_back(meets(Kind::needs, 1, pain));
  list.push_back(meets(Kind::never_with, 0, pain, {1}));
  list.push_back(meets(Kind::apart, 1));
  list.push_back(of_day(Kind::time, 12, 13));
  list.push_back(of_day(Kind::time, 12, 14, pain));
  list.push_back(of_day(Kind::time, 13, 14, {}, {1}));
  list.push_back(every(of_day(Kind::time, 11, 13)));
  Sentence never = of_day(Kind::time, 12, 14);
  never.forbidden = true;
  list.push_back(never);
  // Over midnight for some, and what fits nowhere else.
  list.push_back(of_day(Kind::time, 44, 4, pain, {1}));
  list.push_back(of_day(Kind::takes, 3, 3, {}, {1}));
  Sentence by_day = of_day(Kind::time, 1, 46, {}, {1});
  by_day.forbidden = true;
  list.push_back(by_day);
  list.push_back(of_day(Kind::takes, 1, 1));
  list.push_back(of_day(Kind::takes, 2, 3, pain));
  list.push_back(every(of_day(Kind::takes, 1, 2)));
  return list;
}

TEST_CASE("all rulesets of up to three sentences about company, order, times and lengths") {
  Gauntlet gauntlet("company and order");
  each_selection(sentences_of_the_day(), 3, [&](const std::vector<Sentence>& chosen) {
    Model m = tiny(chosen);
    m.practices.push_back({"steam room", ""});
    m.sentences.push_back(says(Kind::indicated, holds(0)));
    m.sentences.push_back(says(Kind::indicated, holds(1), {1}));
    m.sentences.push_back(says(Kind::contraindicated, all_of({holds(0), no(holds(1)), compare(2, Cond::How::over, 0)}), {1}));
    m.sentences.push_back(says(Kind::discouraged, all_of({holds(0), no(holds(1)), compare(2, Cond::How::under, 1)}), {1}));
    m.sentences.push_back(every(otherwise(Verdict::allowed)));
    gauntlet.run(m);
  });
  CHECK(gauntlet.rulesets() > 2000);
}

}  // namespace
}  // namespace betony::referee
