// tests/property/build.h: short ways to write models down by hand.
#pragma once

#include "tests/property/model.h"

namespace betony::referee {

inline Finding yes_no(std::string name) {
  Finding f;
  f.name = std::move(name);
  f.asked = true;
  return f;
}
inline Finding words(Finding::Kind kind, std::string name, std::vector<std::string> values) {
  Finding f = yes_no(std::move(name));
  f.kind = kind;
  f.words = std::move(values);
  return f;
}
inline Finding number(std::string name, Fraction low, Fraction high, Fraction step) {
  Finding f = yes_no(std::move(name));
  f.kind = Finding::Kind::number;
  f.low = low, f.high = high, f.step = step;
  return f;
}

inline Cond holds(int finding, int item = -1) {
  Cond c;
  c.kind = Cond::Kind::holds;
  c.index = finding, c.item = item;
  return c;
}
inline Cond compare(int finding, Cond::How how, Fraction first, Fraction last = 0) {
  Cond c;
  c.kind = Cond::Kind::compare;
  c.index = finding, c.how = how;
  c.numerals = {first};
  if (how == Cond::How::from_to) c.numerals.push_back(last);
  return c;
}
inline Cond among(Cond::Of of, int index, std::vector<int> values) {
  Cond c;
  c.kind = Cond::Kind::among;
  c.of = of, c.index = index;
  c.words = std::move(values);
  return c;
}
inline Cond verdict(int practice, Verdict is) { return among(Cond::Of::practice, practice, {static_cast<int>(is)}); }
inline Cond list(Cond::Kind kind, std::vector<Cond> parts, int count = 0) {
  Cond c;
  c.kind = kind;
  c.parts = std::move(parts);
  c.count = count;
  return c;
}
inline Cond all_of(std::vector<Cond> parts) { return list(Cond::Kind::all, std::move(parts)); }
inline Cond any_of(std::vector<Cond> parts) { return list(Cond::Kind::any, std::move(parts)); }
inline Cond no(Cond part) { return list(Cond::Kind::negation, {std::move(part)}); }

inline Sentence says(Sentence::Kind kind, Cond when = {}, std::vector<int> practices = {0}) {
  Sentence s;
  s.kind = kind;
  s.when = std::move(when);
  s.practices = std::move(practices);
  if (kind == Sentence::Kind::caution) s.text = "Go slowly.";
  return s;
}
inline Sentence otherwise(Verdict verdict, std::vector<int> practices = {0}) {
  Sentence s = says(Sentence::Kind::otherwise, {}, std::move(practices));
  s.verdict = verdict;
  return s;
}
inline Sentence every(Sentence s) {
  s.head = Sentence::Head::every;
  return s;
}
inline Sentence in_group(Sentence s, int group) {
  s.head = Sentence::Head::group;
  s.group = group;
  return s;
}
inline Sentence cited(Sentence s, std::vector<int> sources) {
  s.cites = std::move(sources);
  return s;
}
inline Sentence called(Sentence s, std::string label) {
  s.label = std::move(label);
  return s;
}
inline Sentence despite(Sentence s, std::vector<int> bans) {
  s.despite = std::move(bans);
  return s;
}
inline Sentence refer(Cond when) {
  Sentence s = says(Sentence::Kind::refer, std::move(when), {});
  s.head = Sentence::Head::none;
  s.text = "Seek licensed care first.";
  return s;
}
inline Sentence chooses(Sentence::Kind kind, int choice, std::vector<int> values, Cond when = {}) {
  Sentence s = says(kind, std::move(when), {});
  s.head = Sentence::Head::choice;
  s.choice = choice;
  s.values = std::move(values);
  return s;
}

inline Sentence doses(Dose dose, Cond when = {}, std::vector<int> practices = {0}) {
  Sentence s = says(Sentence::Kind::dose, std::move(when), std::move(practices));
  s.dose = std::move(dose);
  return s;
}
inline Dose amount(std::optional<Fraction> low, std::optional<Fraction> high, int unit = 0) {
  Dose d;
  d.amount = Range{low, high};
  d.unit = unit;
  return d;
}
inline Dose factor(Dose::Factor by) {
  Dose d;
  d.factor = by;
  return d;
}
inline Dose in_words(std::string words) {
  Dose d;
  d.words = std::move(words);
  return d;
}
inline Dose so_often(Fraction low, Fraction high, int every = 1, bool weekly = false) {
  Dose d;
  d.often = Range{low, high};
  d.every = every, d.weekly = weekly;
  return d;
}
inline Dose for_days(Fraction low, Fraction high) {
  Dose d;
  d.length = Range{low, high};
  return d;
}
inline Sentence meets(Sentence::Kind kind, int other, Cond when = {}, std::vector<int> practices = {0}) {
  Sentence s = says(kind, std::move(when), std::move(practices));
  s.others = {other};
  s.first = 1;  // apart: by half an hour
  return s;
}
inline Sentence of_day(Sentence::Kind kind, int first, int last, Cond when = {}, std::vector<int> practices = {0}) {
  Sentence s = says(kind, std::move(when), std::move(practices));
  s.first = first, s.last = last;
  return s;
}

}  // namespace betony::referee
