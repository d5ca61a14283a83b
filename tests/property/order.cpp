#include "tests/property/order.h"

#include <algorithm>
#include <array>
#include <cstdlib>

#include "tests/property/doses.h"
#include "tests/property/reading.h"

namespace betony::referee {

using Kind = Sentence::Kind;

// ---------------------------------------------------------------- one day

bool goes_round(const Day& day) {
  std::set<std::pair<int, int>> before = day.order;
  for (std::size_t more = 0; before.size() != more;) {
    more = before.size();
    for (const auto& [a, b] : std::set<std::pair<int, int>>(before))
      for (const auto& [c, d] : day.order)
        if (b == c) before.emplace(a, d);
  }
  return std::any_of(before.begin(), before.end(), [](const auto& pair) { return pair.first == pair.second; });
}

namespace {

// A half hour is cut into so many steps that each of the few practices can take "more than no time" and yet so
// little that all together take less than half an hour: then nothing that could be kept is missed on the grid.
constexpr int steps = 5;
constexpr int midnight = 48 * steps;

struct Lying {
  int begin, end;
};

// A time over midnight is meant as the evening and the night after it.
bool lies_within(const Lying& l, const Day::Span& span) {
  const int from = span.from * steps, to = span.to * steps;
  return from < to ? from <= l.begin && l.end <= to : from <= l.begin && l.end <= to + midnight;
}

// Forbidden is the time each day, so that what lies over midnight may meet that of the next.
bool clear_of(const Lying& l, const Day::Span& span) {
  const int from = span.from * steps, to = span.to * steps + (span.from < span.to ? 0 : midnight);
  const auto beside = [&](int days) { return l.end <= from + days * midnight || l.begin >= to + days * midnight; };
  return beside(-1) && beside(0) && beside(1);
}

// Whatever can be kept can be kept with the least length, for a shorter practice lies inside the longer.
std::vector<Lying> possible(const Day::Practice& p) {
  std::vector<Lying> list;
  if (p.most && *p.most < p.least) return list;
  const int length = p.least == 0 ? 1 : p.least * steps;
  for (int begin = 0; begin + length <= (p.over_midnight ? 2 : 1) * midnight; ++begin) {
    const Lying l{begin, begin + length};
    const bool inside = std::all_of(p.within.begin(), p.within.end(), [&](const auto& span) { return lies_within(l, span); });
    if (inside && std::all_of(p.never.begin(), p.never.end(), [&](const auto& span) { return clear_of(l, span); })) list.push_back(l);
  }
  return list;
}

bool agree(const Day& day, const std::vector<Lying>& placed, const Lying& l) {
  const int self = static_cast<int>(placed.size());
  for (int other = 0; other < self; ++other) {
    const Lying& o = placed[other];
    if (day.order.count({self, other}) && l.end > o.begin) return false;
    if (day.order.count({other, self}) && o.end > l.begin) return false;
    for (const Day::Apart& a : day.apart) {
      if (std::minmax(a.one, a.other) != std::minmax(self, other)) continue;
      if (l.end + a.by * steps > o.begin && o.end + a.by * steps > l.begin) return false;
    }
  }
  return true;
}

bool place(const Day& day, const std::vector<std::vector<Lying>>& choices, std::vector<Lying>& placed) {
  if (placed.size() == choices.size()) return true;
  for (const Lying& l : choices[placed.size()]) {
    if (!agree(day, placed, l)) continue;
    placed.push_back(l);
    if (place(day, choices, placed)) return true;
    placed.pop_back();
  }
  return false;
}

}  // namespace

bool can_be_kept(const Day& day) {
  if (day.practices.size() >= steps) std::abort();  // the grid would be too coarse
  std::vector<std::vector<Lying>> choices;
  for (const Day::Practice& p : day.practices) choices.push_back(possible(p));
  if (std::any_of(choices.begin(), choices.end(), [](const auto& list) { return list.empty(); })) return false;
  if (goes_round(day)) return false;
  std::vector<Lying> placed;
  return place(day, choices, placed);
}

// ---------------------------------------------------------------- every person's day

std::vector<int> Days::in_force(int practice, Kind kind, std::size_t profile) const {
  std::vector<int> with_condition;
  std::array<std::vector<int>, 3> others;
  for (int s : judge_.of_practice(practice)) {
    const Sentence& sentence = model_.sentences[s];
    if (sentence.kind != kind || sentence.forbidden || !table_.fires[s][profile]) continue;
    (has_condition(sentence) ? with_condition : others[distance(sentence)]).push_back(s);
  }
  if (!with_condition.empty()) return with_condition;
  return !others[0].empty() ? others[0] : !others[1].empty() ? others[1] : others[2];
}

void Days::practice(Day::Practice& of, int practice, std::size_t profile, const std::set<int>* sentences) const {
  const auto meant = [&](int s) { return !sentences || sentences->count(s) > 0; };
  for (int s : in_force(practice, Kind::time, profile)) {
    const Day::Span span{model_.sentences[s].first, model_.sentences[s].last};
    of.over_midnight = of.over_midnight || span.from > span.to;  // a leave, not a demand: given whichever are asked for
    if (meant(s)) of.within.push_back(span);
  }
  for (int s : in_force(practice, Kind::takes, profile)) {
    if (!meant(s)) continue;
    of.least = std::max(of.least, model_.sentences[s].first);
    of.most = std::min(of.most.value_or(model_.sentences[s].last), model_.sentences[s].last);
  }
  for (int s : judge_.of_practice(practice)) {
    const Sentence& sentence = model_.sentences[s];
    if (sentence.kind == Kind::time && sentence.forbidden && table_.fires[s][profile] && meant(s))
      of.never.push_back({sentence.first, sentence.last});
  }
}

// `places` says where a practice stands in the day; -1: it is not advised.
void Days::between(Day& day, const std::vector<int>& places, int sentence) const {
  const Sentence& s = model_.sentences[sentence];
  for (int p : judge_.practices_of(sentence))
    for (int other : s.others) {
      const int here = places[p], there = places[other];
      if (p == other || here < 0 || there < 0) continue;
      if (s.kind == Kind::follows) day.order.emplace(there, here);
      if (s.kind == Kind::precedes || s.kind == Kind::leads_to) day.order.emplace(here, there);
      if (s.kind == Kind::apart) day.apart.insert({here, there, s.first});
    }
}

Day Days::day(std::size_t profile, const std::set<int>* sentences) const {
  Day day;
  std::vector<int> places(model_.practices.size(), -1);
  for (std::size_t p = 0; p < places.size(); ++p) {
    if (model_.practices[p].gone || table_.outcomes[p][profile].verdict != Verdict::advised) continue;
    places[p] = static_cast<int>(day.practices.size());
    practice(day.practices.emplace_back(), static_cast<int>(p), profile, sentences);
  }
  for (int s = 0; s < static_cast<int>(model_.sentences.size()); ++s)
    if (names_others(model_.sentences[s].kind) && table_.fires[s][profile] && (!sentences || sentences->count(s)))
      between(day, places, s);
  return day;
}

Region Days::circles(const Region& within, const std::set<int>* sentences) {
  Region region(universe_.size(), 0);
  for (std::size_t p = 0; p < universe_.size(); ++p) region[p] = within[p] && goes_round(day(p, sentences));
  return region;
}

Region Days::not_kept(const Region& within, const std::set<int>* sentences) {
  Region region(universe_.size(), 0);
  for (std::size_t p = 0; p < universe_.size(); ++p) {
    if (!within[p]) continue;
    const Day of_person = day(p, sentences);
    const auto [at, fresh] = kept_.try_emplace(of_person, false);
    if (fresh) at->second = can_be_kept(of_person);
    region[p] = !at->second;
  }
  return region;
}

// ---------------------------------------------------------------- the check

// One problem a form, however many loops are told: what they come to together is compared.
void Reading::order_loop(std::vector<Expected>& into) const {
  const auto speaks = [](const Sentence& s) { return !s.gone && about_the_day(s.kind); };
  if (std::none_of(model_.sentences.begin(), model_.sentences.end(), speaks)) return;
  Days days(model_, universe_, judge_, table_);
  Expected round = problem("order-loop", "order", Weight::error), room = problem("order-loop", "times", Weight::error);
  round.region = days.circles(r_);
  room.region = days.not_kept(r_);
  for (std::size_t p = 0; p < universe_.size(); ++p) room.region[p] = room.region[p] && !round.region[p];
  for (Expected* e : {&round, &room})
    if (any(e->region)) into.push_back(with_share(std::move(*e)));
}

}  // namespace betony::referee
