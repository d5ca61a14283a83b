// Claims, and sample persons with what is expected of them.
#include <algorithm>
#include <array>

#include "tests/property/maker.h"

namespace betony::referee {

void Maker::claims() {
  static const std::array<const char*, 2> titles = {"the quay holds", "no tide turns"};
  const int count = chance(45) ? from(1, 2) : 0;
  for (int i = 0; i < count; ++i) {
    Claim c;
    c.title = titles[static_cast<std::size_t>(i)];
    c.never = chance(60);
    c.what = of_practice();
    if (chance(35)) {
      Cond both;
      both.kind = chance(50) ? Cond::Kind::all : Cond::Kind::any;
      both.parts = {c.what, chance(40) ? of_practice() : cond(0)};
      c.what = both;
    }
    if (chance(60)) c.when = colliding();
    m_.claims.push_back(c);
  }
}

// What never becomes of a practice where one answer is another.
void Maker::trends() {
  static const std::array<const char*, 3> titles = {"the ebb is slow", "a lantern for each", "no gull is fed twice"};
  const auto doses = [](const Sentence& s) { return s.kind == Sentence::Kind::dose; };
  const bool dosed = std::any_of(m_.sentences.begin(), m_.sentences.end(), doses);
  const int count = chance(dosed ? 90 : 55) ? from(1, dosed ? 3 : 2) : 0;
  for (int i = 0; i < count; ++i) {
    Claim c;
    c.title = titles[static_cast<std::size_t>(i)];
    Trend t;
    t.of.finding = upto(static_cast<int>(m_.findings.size()));
    const Finding& f = m_.findings[static_cast<std::size_t>(t.of.finding)];
    const bool ordered = f.kind == Finding::Kind::number || f.kind == Finding::Kind::grade;
    if (!ordered && f.kind != Finding::Kind::yes_no && f.kind != Finding::Kind::any_of) continue;
    if (f.kind == Finding::Kind::any_of) t.of.item = upto(static_cast<int>(f.words.size()));
    t.change = !ordered ? Trend::Change::adding : chance(60) ? Trend::Change::more : Trend::Change::less;
    t.verb = static_cast<Trend::Verb>(chance(75) ? upto(2) : from(2, 3));
    t.dose = t.verb == Trend::Verb::lengthens || t.verb == Trend::Verb::shortens || chance(dosed ? 70 : 15);
    for (int p = 0; p < static_cast<int>(m_.practices.size()); ++p)
      if (chance(40)) t.practices.push_back(p);
    c.trend = t;
    if (chance(45)) c.when = chance(25) ? of_practice() : colliding();
    m_.claims.push_back(c);
  }
}

Cond Maker::of_practice() {
  Cond c;
  c.of = Cond::Of::practice;
  c.index = upto(static_cast<int>(m_.practices.size()));
  c.style = upto(105);
  if (chance(15)) {
    c.kind = Cond::Kind::with_care;
    return c;
  }
  c.kind = Cond::Kind::among;
  static const std::vector<int> verdicts = {2, 3, 4, 5, 2, 4, 5, 6, 1, 0};
  c.words = {pick(verdicts)};
  const int more = pick(verdicts);
  if (chance(30) && more != c.words[0]) c.words.push_back(more);
  c.negated = chance(20);
  return c;
}

void Maker::samples() {
  static const std::array<const char*, 2> titles = {"a walker, 34", "the bell keeper"};
  const int count = chance(35) ? from(1, 2) : 0;
  for (int i = 0; i < count; ++i) {
    Sample s;
    s.title = titles[static_cast<std::size_t>(i)];
    s.rest_as_usual = chance(50);
    for (int f = 0; f < static_cast<int>(m_.findings.size()); ++f)
      if (chance(65)) answer(s, f);
    if (s.answers.empty()) answer(s, 0);
    for (int e = from(1, 3); e > 0; --e) s.expectations.push_back(expectation());
    m_.samples.push_back(s);
  }
}

void Maker::answer(Sample& sample, int index) {
  const Finding& f = m_.findings[static_cast<std::size_t>(index)];
  Answer a;
  a.subject = {index, -1};
  switch (f.kind) {
    case Finding::Kind::any_of: a.subject.item = upto(static_cast<int>(f.words.size())); [[fallthrough]];
    case Finding::Kind::yes_no: a.word = upto(2); break;
    case Finding::Kind::one_of:
    case Finding::Kind::grade: a.word = upto(static_cast<int>(f.words.size())); break;
    case Finding::Kind::date: a.number = upto(366); break;
    case Finding::Kind::time_of_day: a.number = upto(1440); break;
    case Finding::Kind::number:
      a.never = f.or_never && chance(25);
      if (!a.never) a.number = f.low + (f.step == 0 ? Fraction(1, 4) : f.step) * upto(3);
  }
  sample.answers.push_back(a);
}

Expectation Maker::expectation() {
  static const std::vector<Verdict> verdicts = {Verdict::advised, Verdict::allowed, Verdict::withheld, Verdict::discouraged,
                                                Verdict::unanswered, Verdict::silent, Verdict::referred, Verdict::outside};
  Expectation e;
  if (!m_.choices.empty() && chance(30)) {
    e.choice = upto(static_cast<int>(m_.choices.size()));
    const Choice& c = m_.choices[static_cast<std::size_t>(e.choice)];
    e.values = {upto(static_cast<int>(c.words.size()))};
    const int more = upto(static_cast<int>(c.words.size()));
    if (c.kind == Choice::Kind::any_of && chance(40) && more != e.values[0]) e.values.push_back(more);
    return e;
  }
  e.practice = upto(static_cast<int>(m_.practices.size()));
  e.verdict = pick(verdicts);
  e.with_care = (e.verdict == Verdict::advised || e.verdict == Verdict::allowed) && chance(30);
  return e;
}

}  // namespace betony::referee
