// Sentences about choices and practices, `In` lines among them, and red flags.
#include <algorithm>
#include <array>

#include "tests/property/maker.h"

namespace betony::referee {

using Kind = Sentence::Kind;
using Head = Sentence::Head;

void Maker::cite(Sentence& s) {
  if (m_.sources.empty() || !chance(70)) return;
  s.cites.push_back(upto(static_cast<int>(m_.sources.size())));
  const int more = upto(static_cast<int>(m_.sources.size()));
  if (chance(12) && more != s.cites[0]) s.cites.push_back(more);
}

// ---------------------------------------------------------------- about choices

void Maker::choice_sentences() {
  for (int c = 0; c < static_cast<int>(m_.choices.size()); ++c) {
    choices_askable_ = c;
    for (int count = from(1, 4); count > 0; --count) {
      Sentence s = about_choice(c, chance(75) ? Kind::take : Kind::refuse);
      s.when = colliding();
      if (chance(12)) s.unless = cond(0);
      m_.sentences.push_back(s);
    }
    if (chance(50)) m_.sentences.push_back(about_choice(c, Kind::choice_otherwise));
  }
  choices_askable_ = static_cast<int>(m_.choices.size());
  late_terms_ask_ = true;
}

Sentence Maker::about_choice(int choice, Kind kind) {
  Sentence s;
  s.kind = kind;
  s.head = Head::choice;
  s.choice = choice;
  s.style = upto(60);
  const int words = static_cast<int>(m_.choices[static_cast<std::size_t>(choice)].words.size());
  s.values = {upto(words)};
  const bool several = m_.choices[static_cast<std::size_t>(choice)].kind == Choice::Kind::any_of || kind == Kind::refuse;
  const int more = upto(words);
  if (several && chance(35) && more != s.values[0]) s.values.push_back(more);  // several may fit only any of
  cite(s);
  return s;
}

// ---------------------------------------------------------------- about practices

void Maker::head(Sentence& s) {
  const int roll = upto(100);
  const int practices = static_cast<int>(m_.practices.size());
  if (roll < 15 && !m_.groups.empty()) {
    s.head = Head::group;
    s.group = upto(static_cast<int>(m_.groups.size()));
  } else if (roll < 22) {
    s.head = Head::every;
  } else if (roll < 30) {
    s.practices = some(practices, 1);
  } else {
    s.practices = {upto(practices)};
  }
}

void Maker::sentences() {
  const int count = scale_ == Scale::large ? from(1, 34) : chance(10) ? from(10, 14) : from(2, 9);
  for (int i = 0; i < count; ++i) {
    if (chance(12)) in_line();
    else m_.sentences.push_back(sentence());
  }
  if (scale_ == Scale::large && chance(60)) return defy();
  if (chance(40)) theme(Kind::dose, 2, 5);
  if (chance(m_.practices.size() > 1 ? 55 : 15)) theme(Kind::follows, 2, 5);
  if (chance(30)) m_.sentences.push_back(refer());
  if (chance(8)) m_.sentences.push_back(refer());
  defy();
}

Sentence Maker::sentence() {
  static const std::vector<Kind> kinds = {
      Kind::indicated, Kind::indicated, Kind::indicated, Kind::indicated, Kind::allowed, Kind::allowed,
      Kind::contraindicated, Kind::contraindicated, Kind::contraindicated, Kind::contraindicated, Kind::discouraged,
      Kind::discouraged, Kind::caution, Kind::caution, Kind::dose, Kind::uses, Kind::follows};
  Sentence s;
  s.kind = pick(kinds);
  s.style = upto(60);
  head(s);
  if (s.kind == Kind::uses && m_.choices.empty()) s.kind = Kind::caution;
  if (s.kind == Kind::dose || s.kind == Kind::follows) return filled(s, 80);
  if (s.kind == Kind::uses) {
    s.choice = upto(static_cast<int>(m_.choices.size()));
    return s;
  }
  s.when = colliding();
  if (chance(18)) s.unless = chance(50) && !pool_.empty() ? pick(pool_) : cond(0);
  if (s.kind == Kind::caution) s.text = chance(60) ? "Go slowly." : chance(50) ? "Not alone!" : "Ask the \"\"bell\"\" keeper";
  if (chance(10)) s.aim = "warmth";
  cite(s);
  return s;
}

// Several doses, or several sentences about the day, so that they meet; and somebody who is advised their practices, or not.
void Maker::theme(Kind kind, int low, int high) {
  const int practice = upto(static_cast<int>(m_.practices.size()));
  for (int count = from(low, high); count > 0; --count) {
    Sentence s;
    s.kind = kind;
    s.style = upto(60);
    head(s);
    if (kind == Kind::dose && s.head == Head::practices && chance(70)) s.practices = {practice};
    m_.sentences.push_back(filled(s, 55));
  }
  for (int p = 0; p < static_cast<int>(m_.practices.size()); ++p)
    if (chance(50)) judged(p);
}

void Maker::judged(int practice) {
  static const std::vector<Kind> kinds = {Kind::indicated, Kind::indicated, Kind::indicated, Kind::discouraged, Kind::contraindicated};
  Sentence s;
  s.kind = pick(kinds);
  s.practices = {practice};
  s.style = upto(60);
  if (chance(s.kind == Kind::indicated ? 60 : 90)) s.when = colliding();
  cite(s);
  m_.sentences.push_back(s);
}

Sentence Maker::filled(Sentence s, int conditional) {
  if (s.kind == Kind::dose) s.dose = random_dose(*this);
  else random_day(*this, m_, s);
  if (chance(conditional)) s.when = colliding();
  if (chance(10)) s.unless = chance(50) && !pool_.empty() ? pick(pool_) : cond(0);
  if (chance(8)) s.aim = "warmth";
  if (chance(60)) cite(s);
  return s;
}

void Maker::in_line() {
  static const std::vector<Kind> kinds = {Kind::indicated, Kind::allowed, Kind::discouraged, Kind::contraindicated};
  Cond when = colliding();
  if (when.kind == Cond::Kind::always) when = cond(0);
  const int line = ++lines_;
  for (int items = from(1, 3); items > 0; --items) {
    Sentence s;
    s.head = Head::in_line;
    s.kind = pick(kinds);
    s.line = line;
    s.practices = some(static_cast<int>(m_.practices.size()), 1);
    s.when = when;
    s.style = upto(60);
    s.with_care = (s.kind == Kind::indicated || s.kind == Kind::allowed) && chance(35);
    if (chance(12)) s.unless = cond(0);
    cite(s);
    m_.sentences.push_back(s);
  }
}

Sentence Maker::refer() {
  Sentence s;
  s.kind = Kind::refer;
  s.head = Head::none;
  s.style = upto(60);
  s.when = chance(60) ? small_fact() : colliding();
  if (s.when.kind == Cond::Kind::always) s.when = cond(0);
  if (chance(10)) s.unless = cond(0);
  s.text = "Seek licensed care first.";
  if (chance(40)) cite(s);
  return s;
}

// Some indications defy some bans of the same practice.
void Maker::defy() {
  static const std::array<const char*, 3> labels = {"tide ban", "the old ban", "salt rule"};
  std::size_t used = 0;
  for (std::size_t b = 0; b < m_.sentences.size() && used < labels.size(); ++b) {
    const Kind kind = m_.sentences[b].kind;
    if ((kind != Kind::contraindicated && kind != Kind::discouraged) || !chance(30)) continue;
    m_.sentences[b].label = labels[used++];
    const auto banned = speaks_of(m_, m_.sentences[b]);
    for (Sentence& s : m_.sentences) {
      if ((s.kind != Kind::indicated && s.kind != Kind::allowed) || !chance(30)) continue;
      const auto advised = speaks_of(m_, s);
      const auto shared = [&](int p) { return std::count(banned.begin(), banned.end(), p) > 0; };
      if (std::any_of(advised.begin(), advised.end(), shared)) s.despite.push_back(static_cast<int>(b));
    }
  }
}

void Maker::otherwises() {
  const auto add = [&](Head head, int which, Verdict verdict, bool care) {
    Sentence s;
    s.kind = Kind::otherwise;
    s.head = head;
    s.group = which;
    s.practices = {which};
    if (head != Head::practices) s.practices.clear();
    s.verdict = verdict;
    s.with_care = care && (verdict == Verdict::advised || verdict == Verdict::allowed);
    s.style = upto(60);
    m_.sentences.push_back(s);
  };
  static const std::vector<Verdict> verdicts = {Verdict::allowed, Verdict::allowed, Verdict::advised, Verdict::withheld, Verdict::discouraged};
  for (int p = 0; p < static_cast<int>(m_.practices.size()); ++p)
    if (chance(40)) add(Head::practices, p, pick(verdicts), chance(25));
  const Verdict of_groups = pick(verdicts);
  const bool care = chance(25);
  for (int g = 0; g < static_cast<int>(m_.groups.size()); ++g)
    if (chance(40)) add(Head::group, g, of_groups, care);
  if (chance(20)) add(Head::every, 0, pick(verdicts), chance(25));
}

}  // namespace betony::referee
