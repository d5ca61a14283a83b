#include "tests/property/reading.h"

#include <algorithm>

#include "tests/property/doses.h"

namespace betony::referee {

using Kind = Sentence::Kind;

namespace {

Region both(const Region& a, const Region& b) {
  Region result(a.size());
  for (std::size_t i = 0; i < a.size(); ++i) result[i] = a[i] && b[i];
  return result;
}

bool inside(const Region& inner, const Region& outer) {
  for (std::size_t i = 0; i < inner.size(); ++i)
    if (inner[i] && !outer[i]) return false;
  return true;
}

bool covers(const std::vector<const Region*>& sets, const Region& region) {
  for (std::size_t i = 0; i < region.size(); ++i)
    if (region[i] && std::none_of(sets.begin(), sets.end(), [&](const Region* set) { return (*set)[i]; })) return false;
  return true;
}

// The size of a smallest choice of `sets` that covers the region; 0: all together do not.
int smallest_cover(const std::vector<const Region*>& sets, const Region& region) {
  int best = 0;
  for (unsigned choice = 1; choice < 1u << sets.size(); ++choice) {
    std::vector<const Region*> chosen;
    for (std::size_t i = 0; i < sets.size(); ++i)
      if (choice >> i & 1) chosen.push_back(sets[i]);
    const int size = static_cast<int>(chosen.size());
    if ((best == 0 || size < best) && covers(chosen, region)) best = size;
  }
  return best;
}

}  // namespace

bool any(const Region& region) { return std::find(region.begin(), region.end(), 1) != region.end(); }

void widen(Region& region, const Region& by) {
  if (region.empty()) region.assign(by.size(), 0);
  for (std::size_t i = 0; i < region.size(); ++i) region[i] = region[i] || by[i];
}

// What a practice uses and takes, and when it is done, is said of the practice unless it has a condition.
bool can_be_told_as_never(const Sentence& s) {
  const bool of_practice = s.kind == Kind::uses || s.kind == Kind::takes || s.kind == Kind::time;
  if (of_practice && !has_condition(s)) return false;
  return s.kind != Kind::otherwise && s.kind != Kind::choice_otherwise;
}

bool gives_a_verdict(Kind kind) {
  return kind == Kind::indicated || kind == Kind::allowed || kind == Kind::contraindicated || kind == Kind::discouraged ||
         kind == Kind::otherwise;
}

void add_pair(Expected& problem, const Pair& pair) {
  problem.sentences.insert({Spot::What::sentence, pair.indication});
  problem.sentences.insert({Spot::What::sentence, pair.ban});
  problem.pairs.emplace(pair.indication, pair.ban);
  widen(problem.region, pair.where);
}

Reading::Reading(const Model& model, const Universe& universe, const Judge& judge, int school)
    : model_(model), universe_(universe), judge_(judge), school_(school), table_(judge.table(school)) {
  r_ = judge.applies();
  for (std::size_t p = 0; p < universe.size(); ++p) r_[p] = r_[p] && !judge.referred(p, table_);
}

Expected Reading::problem(const std::string& kind, const std::string& form, Weight severity) const {
  Expected e;
  e.kind = kind;
  e.form = form;
  e.severity = severity;
  if (school_ != whole) e.school = model_.schools[school_].name;
  return e;
}

Expected Reading::with_share(Expected problem) const {
  const Fraction all = universe_.weight(r_);
  problem.has_share = all != 0;
  if (problem.has_share) problem.share = universe_.weight(problem.region) / all;
  return problem;
}

Region Reading::where_fires(int sentence, const Region& within) const { return both(table_.fires[sentence], within); }

// ---------------------------------------------------------------- contradictions

std::vector<Reading::Ban> Reading::bans(int practice) const {
  std::vector<Ban> list;
  for (int s : judge_.of_practice(practice)) {
    const Kind kind = model_.sentences[s].kind;
    if (kind != Kind::contraindicated && kind != Kind::discouraged) continue;
    Ban ban{s, kind == Kind::contraindicated, Region(universe_.size(), 0)};
    for (std::size_t p = 0; p < universe_.size(); ++p) ban.where[p] = r_[p] && judge_.live(s, practice, p, table_);
    list.push_back(std::move(ban));
  }
  return list;
}

std::vector<Pair> Reading::meeting(int practice) const {
  std::vector<Pair> pairs;
  const std::vector<Ban> all = bans(practice);
  for (int s : judge_.of_practice(practice)) {
    const Kind kind = model_.sentences[s].kind;
    if (kind != Kind::indicated && kind != Kind::allowed) continue;
    for (const Ban& ban : all) {
      Pair pair{s, ban.sentence, ban.strong, both(where_fires(s, r_), ban.where)};
      if (any(pair.where)) pairs.push_back(std::move(pair));
    }
  }
  return pairs;
}

bool Reading::head_on(const Ban& ban, int indication, const Region& where, int practice, std::vector<Expected>& into) const {
  if (ban.where != where) return false;
  Expected e = problem("contradiction", "head-on", ban.strong ? Weight::error : Weight::question);
  e.practice = model_.practices[practice].name;
  add_pair(e, {indication, ban.sentence, ban.strong, where});
  into.push_back(with_share(std::move(e)));
  return true;
}

bool Reading::swallowed(int indication, const Region& where, const std::vector<const Ban*>& bans, bool strong, int practice,
                        std::vector<Expected>& into) const {
  std::vector<const Region*> sets;
  for (const Ban* ban : bans) sets.push_back(&ban->where);
  const int size = smallest_cover(sets, where);
  if (size == 0) return false;
  Expected e = problem("contradiction", "swallowed", strong ? Weight::error : Weight::question);
  e.practice = model_.practices[practice].name;
  e.sentences.insert({Spot::What::sentence, indication});
  e.region = where;
  e.cover_size = size;
  for (const Ban* ban : bans) e.covers.emplace_back(ban->sentence, ban->where);
  into.push_back(with_share(std::move(e)));
  return true;
}

void Reading::contradictions(int practice, std::vector<Expected>& into) const {
  const std::vector<Ban> all = bans(practice);
  std::vector<Pair> left;
  for (int s : judge_.of_practice(practice)) {
    const Kind kind = model_.sentences[s].kind;
    if (kind != Kind::indicated && kind != Kind::allowed) continue;
    const Region where = where_fires(s, r_);
    if (!any(where)) continue;
    bool told = false;
    for (bool strong : {true, false}) {
      if (told) break;
      std::vector<const Ban*> meet;  // the strong alone first, then all
      for (const Ban& ban : all)
        if (any(both(ban.where, where)) && (ban.strong || !strong)) meet.push_back(&ban);
      for (const Ban* ban : meet)
        if (ban->strong == strong && head_on(*ban, s, where, practice, into)) told = true;
      told = told || swallowed(s, where, meet, strong, practice, into);
    }
    if (told) continue;
    for (const Ban& ban : all) {
      Pair pair{s, ban.sentence, ban.strong, both(where, ban.where)};
      if (any(pair.where)) left.push_back(std::move(pair));
    }
  }
  crossings(practice, left, into);
}

bool Reading::related(const Pair& pair, int practice) const {
  Region live(universe_.size());
  for (std::size_t p = 0; p < universe_.size(); ++p) live[p] = judge_.live(pair.ban, practice, p, table_);
  const std::vector<int> of_indication = universe_.depends(table_.fires[pair.indication]);
  for (int v : universe_.depends(live))
    if (std::count(of_indication.begin(), of_indication.end(), v)) return true;
  return false;
}

void Reading::crossings(int practice, const std::vector<Pair>& pairs, std::vector<Expected>& into) const {
  for (const Pair& pair : pairs) {
    Region of_ban(universe_.size());
    for (std::size_t p = 0; p < universe_.size(); ++p) of_ban[p] = r_[p] && judge_.live(pair.ban, practice, p, table_);
    Expected e = problem("contradiction", "crossing", Weight::note);
    if (inside(of_ban, table_.fires[pair.indication])) {
      e.form = "exception";
    } else if (!model_.prevail && related(pair, practice)) {
      e.told_with = pair.ban;
      if (pair.strong) e.severity = Weight::question;
    }
    e.practice = model_.practices[practice].name;
    add_pair(e, pair);
    into.push_back(std::move(e));
  }
}

// ---------------------------------------------------------------- silence

void Reading::silence(int practice, std::vector<Expected>& into) const {
  const std::vector<int>& of = judge_.of_practice(practice);
  if (std::none_of(of.begin(), of.end(), [&](int s) { return gives_a_verdict(model_.sentences[s].kind); })) return;
  Expected e = problem("silence", "", Weight::question);
  e.practice = model_.practices[practice].name;
  e.region.assign(universe_.size(), 0);
  for (std::size_t p = 0; p < universe_.size(); ++p)
    e.region[p] = r_[p] && table_.outcomes[practice][p].verdict == Verdict::silent;
  if (any(e.region)) into.push_back(with_share(std::move(e)));
}

// ---------------------------------------------------------------- choices

// Whether both speak here and take different values that fit together.
bool Reading::fit_apart(int first, int second, std::size_t profile) const {
  const auto fitting = [&](int sentence) {
    std::vector<int> values;
    const Sentence& s = model_.sentences[sentence];
    if (s.kind == Kind::take ? !table_.fires[sentence][profile] : !judge_.speaks_otherwise(sentence, profile, table_)) return values;
    for (int v : s.values)
      if (table_.fits[s.choice][profile] >> v & 1u) values.push_back(v);
    return values;
  };
  for (int v : fitting(first))
    for (int w : fitting(second))
      if (v != w) return true;
  return false;
}

void Reading::clash(int choice, std::vector<Expected>& into) const {
  if (model_.choices[choice].kind != Choice::Kind::one_of) return;
  Expected e = problem("choice-clash", "", Weight::error);
  e.choice = model_.choices[choice].name;
  e.region.assign(universe_.size(), 0);
  std::vector<int> takers;
  for (int s = 0; s < static_cast<int>(model_.sentences.size()); ++s) {
    const Sentence& sentence = model_.sentences[s];
    if (sentence.head != Sentence::Head::choice || sentence.choice != choice || !judge_.in_reading(s, school_)) continue;
    if (sentence.kind != Kind::refuse) takers.push_back(s);
  }
  for (std::size_t p = 0; p < universe_.size(); ++p) {
    const std::uint32_t fits = table_.fits[choice][p];
    if (!r_[p] || (fits & (fits - 1)) == 0) continue;
    e.region[p] = 1;
    for (int first : takers)
      for (int second : takers) {
        if (second < first || !fit_apart(first, second, p)) continue;
        e.sentences.insert({Spot::What::sentence, first});
        e.sentences.insert({Spot::What::sentence, second});
        if (first != second) e.pairs.emplace(first, second);
      }
  }
  if (any(e.region)) into.push_back(with_share(std::move(e)));
}

void Reading::empty(int choice, std::vector<Expected>& into) const {
  std::vector<int> users;
  for (int s = 0; s < static_cast<int>(model_.sentences.size()); ++s)
    if (model_.sentences[s].kind == Kind::uses && model_.sentences[s].choice == choice && judge_.in_reading(s, school_))
      users.insert(users.end(), judge_.practices_of(s).begin(), judge_.practices_of(s).end());
  Expected e = problem("choice-empty", "", Weight::question);
  e.choice = model_.choices[choice].name;
  e.region.assign(universe_.size(), 0);
  for (std::size_t p = 0; p < universe_.size(); ++p) {
    const auto done = [&](int practice) {
      const Verdict verdict = table_.outcomes[practice][p].verdict;
      return verdict == Verdict::advised || verdict == Verdict::allowed;
    };
    const bool wanted = users.empty() || std::any_of(users.begin(), users.end(), done);
    e.region[p] = r_[p] && wanted && table_.fits[choice][p] == 0;
  }
  if (any(e.region)) into.push_back(with_share(std::move(e)));
}

std::vector<Expected> Reading::problems() const {
  std::vector<Expected> found;
  for (int p = 0; p < static_cast<int>(model_.practices.size()); ++p) {
    if (model_.practices[p].gone) continue;
    contradictions(p, found);
    silence(p, found);
    dose_clash(p, found);
    dose_missing(p, found);
  }
  for (int c = 0; c < static_cast<int>(model_.choices.size()); ++c) {
    if (model_.choices[c].gone) continue;
    clash(c, found);
    empty(c, found);
  }
  company(found);
  order_loop(found);
  return found;
}

// ---------------------------------------------------------------- claims and expectations

namespace {

bool names(const Cond& c, Verdict verdict) {
  if (c.of == Cond::Of::practice && c.kind == Cond::Kind::among &&
      std::count(c.words.begin(), c.words.end(), static_cast<int>(verdict)))
    return true;
  return std::any_of(c.parts.begin(), c.parts.end(), [&](const Cond& part) { return names(part, verdict); });
}

}  // namespace

std::vector<Expected> Reading::claims() const {
  std::vector<Expected> found;
  for (int i = 0; i < static_cast<int>(model_.claims.size()); ++i) {
    const Claim& claim = model_.claims[i];
    if (claim.gone) continue;
    if (claim.trend) {
      for (Expected& e : trends(i)) found.push_back(std::move(e));
      continue;
    }
    const bool referred = names(claim.what, Verdict::referred) || names(claim.when, Verdict::referred);
    const bool outside = names(claim.what, Verdict::outside) || names(claim.when, Verdict::outside);
    Region domain = r_;
    Expected e = problem("claim-refuted", "", Weight::error);
    e.sentences.insert({Spot::What::claim, i});
    e.region.assign(universe_.size(), 0);
    for (std::size_t p = 0; p < universe_.size(); ++p) {
      if (!judge_.background()[p]) continue;
      const bool applies = judge_.applies()[p];
      domain[p] = r_[p] || (applies ? referred : outside);
      e.region[p] = domain[p] && judge_.holds(claim.when, p, table_) && judge_.holds(claim.what, p, table_) == claim.never;
    }
    if (!any(e.region)) continue;
    const Fraction all = universe_.weight(domain);
    e.has_share = all != 0;
    if (e.has_share) e.share = universe_.weight(e.region) / all;
    found.push_back(std::move(e));
  }
  return found;
}

}  // namespace betony::referee
