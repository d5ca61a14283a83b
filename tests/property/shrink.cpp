// How a failing ruleset is made smaller: parts are marked gone, and what refers to them goes too.
#include <algorithm>
#include <functional>

#include "tests/property/generate.h"
#include "tests/property/verdicts.h"

namespace betony::referee {

namespace {

bool refers_to_gone(const Model& m, const Cond& c) {
  if (c.kind == Cond::Kind::always) return false;
  switch (c.of) {
    case Cond::Of::finding: return m.findings[c.index].gone;
    case Cond::Of::term: return m.terms[c.index].gone;
    case Cond::Of::tally: return m.tallies[c.index].gone;
    case Cond::Of::leading: return m.leadings[c.index].gone;
    case Cond::Of::choice: return m.choices[c.index].gone;
    case Cond::Of::practice: return m.practices[c.index].gone;
    case Cond::Of::measure: return m.measures[c.index].gone;
  }
  return false;
}

// Drops what asks for something gone. False: nothing of the condition is left.
bool prune(const Model& m, Cond& c) {
  const bool list = c.kind == Cond::Kind::all || c.kind == Cond::Kind::any || c.kind == Cond::Kind::none ||
                    c.kind == Cond::Kind::at_least || c.kind == Cond::Kind::negation;
  if (!list) return !refers_to_gone(m, c);
  std::vector<Cond> kept;
  for (Cond& part : c.parts)
    if (prune(m, part)) kept.push_back(std::move(part));
  c.parts = std::move(kept);
  c.count = std::min(c.count, static_cast<int>(c.parts.size()));
  return !c.parts.empty();
}

// A practice alone that names itself is an error of reading.
bool only_itself(const Model& m, const Sentence& s) {
  if (s.head != Sentence::Head::practices) return false;
  std::vector<int> heads, others;
  for (int p : s.practices)
    if (!m.practices[p].gone) heads.push_back(p);
  for (int p : s.others)
    if (!m.practices[p].gone) others.push_back(p);
  return heads.size() == 1 && std::count(others.begin(), others.end(), heads[0]) > 0;
}

bool settle_once(Model& m) {  // whether anything went
  bool changed = false;
  const auto drop = [&](bool& gone, bool when) {
    if (when && !gone) gone = changed = true;
  };
  const auto all_gone = [](const auto& list, const std::vector<int>& which) {
    return std::all_of(which.begin(), which.end(), [&](int i) { return list[i].gone; });
  };
  for (Measure& measure : m.measures)
    for (int finding : inputs(measure.is)) drop(measure.gone, m.findings[finding].gone);
  for (Term& t : m.terms) drop(t.gone, !prune(m, t.means));
  for (Tally& t : m.tallies) {
    for (TallyItem& item : t.items)
      item.counted.erase(std::remove_if(item.counted.begin(), item.counted.end(), [&](Cond& c) { return !prune(m, c); }),
                         item.counted.end());
    t.items.erase(std::remove_if(t.items.begin(), t.items.end(), [](const TallyItem& i) { return i.counted.empty(); }),
                  t.items.end());
    drop(t.gone, t.items.empty());
  }
  for (Leading& l : m.leadings)
    drop(l.gone, std::any_of(l.tallies.begin(), l.tallies.end(), [&](int t) { return m.tallies[t].gone; }));
  for (auto* facts : {&m.backgrounds, &m.applies})
    for (Fact& f : *facts) drop(f.gone, !prune(m, f.cond));
  for (School& s : m.schools) drop(s.gone, all_gone(m.sources, s.sources));
  for (Group& g : m.groups) drop(g.gone, all_gone(m.practices, g.practices) && all_gone(m.groups, g.groups));
  for (Sentence& s : m.sentences) {
    const bool group = s.head == Sentence::Head::group && m.groups[s.group].gone;
    const bool named = s.head == Sentence::Head::practices || s.head == Sentence::Head::in_line;
    drop(s.gone, group || (named && all_gone(m.practices, s.practices)));
    drop(s.gone, (s.head == Sentence::Head::choice || s.kind == Sentence::Kind::uses) && m.choices[s.choice].gone);
    drop(s.gone, names_others(s.kind) && all_gone(m.practices, s.others));
    drop(s.gone, names_others(s.kind) && only_itself(m, s));
    drop(s.gone, !prune(m, s.when));
    if (s.unless && !prune(m, *s.unless)) s.unless.reset();
  }
  for (Claim& c : m.claims) {
    drop(c.gone, !prune(m, c.what) || !prune(m, c.when));
    if (!c.trend) continue;
    drop(c.gone, m.findings[c.trend->of.finding].gone || (!c.trend->practices.empty() && all_gone(m.practices, c.trend->practices)));
  }
  for (Sample& s : m.samples) {
    drop(s.gone, std::all_of(s.answers.begin(), s.answers.end(), [&](const Answer& a) { return m.findings[a.subject.finding].gone; }));
    for (Expectation& e : s.expectations)
      drop(e.gone, e.practice >= 0 ? m.practices[e.practice].gone : m.choices[e.choice].gone);
  }
  return changed;
}

void forget_despites(Model& m) {
  for (Sentence& s : m.sentences) {
    const auto mine = s.gone ? std::vector<int>() : speaks_of(m, s);
    const auto stranger = [&](int ban) {
      if (m.sentences[ban].gone) return true;
      const auto banned = speaks_of(m, m.sentences[ban]);
      return std::none_of(mine.begin(), mine.end(), [&](int p) { return std::count(banned.begin(), banned.end(), p) > 0; });
    };
    s.despite.erase(std::remove_if(s.despite.begin(), s.despite.end(), stranger), s.despite.end());
  }
}

// A sample that no real person can be is an error of reading, so it goes.
void forget_impossible_samples(Model& m) {
  if (m.samples.empty() || universe_size(m) > most_profiles) return;
  const Universe universe(m);
  const Judge judge(m, universe);
  for (Sample& sample : m.samples)
    if (!sample.gone && !possible(m, universe, judge, sample)) sample.gone = true;
}

// ---------------------------------------------------------------- candidates

class Smaller {
 public:
  explicit Smaller(const Model& model) : model_(model) {}

  std::vector<Model> all() {
    drop_each(&Model::sentences);
    drop_each(&Model::samples);
    drop_each(&Model::claims);
    drop_each(&Model::choices);
    drop_each(&Model::practices);
    drop_each(&Model::groups);
    drop_each(&Model::schools);
    drop_each(&Model::sources);
    drop_each(&Model::backgrounds);
    drop_each(&Model::applies);
    drop_each(&Model::leadings);
    drop_each(&Model::tallies);
    drop_each(&Model::terms);
    drop_each(&Model::measures);
    drop_each(&Model::findings);
    for (std::size_t i = 0; i < model_.sentences.size(); ++i)
      if (!model_.sentences[i].gone) sentence(i);
    for (std::size_t i = 0; i < model_.samples.size(); ++i)
      for (std::size_t e = 0; e < model_.samples[i].expectations.size(); ++e)
        if (!model_.samples[i].gone && !model_.samples[i].expectations[e].gone)
          add([&](Model& m) { m.samples[i].expectations[e].gone = true; });
    conditions();
    plainer();
    return std::move(found_);
  }

 private:
  void add(const std::function<void(Model&)>& change) {
    Model copy = model_;
    change(copy);
    if (settle(copy)) found_.push_back(std::move(copy));
  }

  template <class T>
  void drop_each(std::vector<T> Model::*list) {
    for (std::size_t i = 0; i < (model_.*list).size(); ++i)
      if (!(model_.*list)[i].gone) add([&](Model& m) { (m.*list)[i].gone = true; });
  }

  void sentence(std::size_t i) {
    const Sentence& s = model_.sentences[i];
    const auto change = [&](auto what) { add([&](Model& m) { what(m.sentences[i]); }); };
    if (s.unless) change([](Sentence& x) { x.unless.reset(); });
    if (!s.despite.empty()) change([](Sentence& x) { x.despite.clear(); });
    if (!s.cites.empty()) change([](Sentence& x) { x.cites.clear(); });
    if (s.cites.size() > 1) change([](Sentence& x) { x.cites.pop_back(); });
    if (!s.aim.empty()) change([](Sentence& x) { x.aim.clear(); });
    if (s.values.size() > 1) change([](Sentence& x) { x.values.pop_back(); });
    if (s.with_care) change([](Sentence& x) { x.with_care = false; });
    if (s.others.size() > 1) change([](Sentence& x) { x.others.pop_back(); });
    if (s.kind == Sentence::Kind::dose) dose(i);
    if (s.kind == Sentence::Kind::takes && s.first != s.last) change([](Sentence& x) { x.first = x.last; });
    if (s.practices.size() > 1) change([](Sentence& x) { x.practices.pop_back(); });
    const bool wide = s.head == Sentence::Head::group || s.head == Sentence::Head::every;
    if (wide && s.kind != Sentence::Kind::otherwise)
      for (int p : speaks_of(model_, s))
        change([&](Sentence& x) { x.head = Sentence::Head::practices, x.practices = {p}; });
    if (s.head == Sentence::Head::in_line && !s.with_care) change([](Sentence& x) { x.head = Sentence::Head::practices; });
  }

  // A part of a dose less, as long as something is left; and plainer ones.
  void dose(std::size_t i) {
    const Dose& d = model_.sentences[i].dose;
    const bool amount = d.amount || d.factor != Dose::Factor::none || !d.words.empty();
    const auto change = [&](auto what) { add([&](Model& m) { what(m.sentences[i].dose); }); };
    if (amount && (d.often || d.length)) change([](Dose& x) { x.amount.reset(), x.factor = Dose::Factor::none, x.words.clear(); });
    if (d.often && (amount || d.length)) change([](Dose& x) { x.often.reset(); });
    if (d.length && (amount || d.often)) change([](Dose& x) { x.length.reset(); });
    if (d.amount && d.amount->low && d.amount->high && d.amount->low != d.amount->high) change([](Dose& x) { x.amount->low = x.amount->high; });
    if (d.often && d.every > 1) change([](Dose& x) { x.every = 1; });
  }

  // Each condition in turn becomes one of its parts, or loses one; a term is replaced by what it means.
  void conditions() {
    for (std::size_t i = 0; i < model_.sentences.size(); ++i) {
      const Sentence& s = model_.sentences[i];
      if (s.gone) continue;
      const bool bare = s.head != Sentence::Head::in_line && s.kind != Sentence::Kind::refer;
      if (bare && s.when.kind != Cond::Kind::always) add([&](Model& m) { m.sentences[i].when = {}; });
      simpler(s.when, [&](Model& m, const Cond& c) { m.sentences[i].when = c; });
      if (s.unless) simpler(*s.unless, [&](Model& m, const Cond& c) { m.sentences[i].unless = c; });
    }
    for (std::size_t i = 0; i < model_.claims.size(); ++i) {
      if (model_.claims[i].gone) continue;
      add([&](Model& m) { m.claims[i].when = {}; });
      if (!model_.claims[i].trend) simpler(model_.claims[i].what, [&](Model& m, const Cond& c) { m.claims[i].what = c; });
      simpler(model_.claims[i].when, [&](Model& m, const Cond& c) { m.claims[i].when = c; });
    }
    for (std::size_t i = 0; i < model_.terms.size(); ++i)
      if (!model_.terms[i].gone) simpler(model_.terms[i].means, [&](Model& m, const Cond& c) { m.terms[i].means = c; });
    for (std::size_t i = 0; i < model_.backgrounds.size(); ++i)
      if (!model_.backgrounds[i].gone)
        simpler(model_.backgrounds[i].cond, [&](Model& m, const Cond& c) { m.backgrounds[i].cond = c; });
  }

  void simpler(const Cond& c, const std::function<void(Model&, const Cond&)>& put) {
    if (c.kind == Cond::Kind::holds && c.of == Cond::Of::term) {
      add([&](Model& m) { put(m, m.terms[c.index].means); });
      return;
    }
    for (std::size_t part = 0; part < c.parts.size(); ++part) {
      add([&](Model& m) { put(m, c.parts[part]); });
      Cond less = c;
      less.parts.erase(less.parts.begin() + static_cast<std::ptrdiff_t>(part));
      less.count = std::min(less.count, static_cast<int>(less.parts.size()));
      if (less.parts.size() > 1) add([&](Model& m) { put(m, less); });
      simpler(c.parts[part], [&](Model& m, const Cond& smaller_part) {
        Cond whole_cond = c;
        whole_cond.parts[part] = smaller_part;
        put(m, whole_cond);
      });
    }
    if (c.words.size() > 1) {
      Cond less = c;
      less.words.pop_back();
      add([&](Model& m) { put(m, less); });
    }
  }

  void plainer() {
    if (model_.prevail) add([](Model& m) { m.prevail = false; });
    const auto curly = [](const Sentence& s) { return s.style != 0; };
    if (std::any_of(model_.sentences.begin(), model_.sentences.end(), curly))
      add([](Model& m) {
        for (Sentence& s : m.sentences) s.style = 0;
      });
    for (std::size_t i = 0; i < model_.findings.size(); ++i)
      if (!model_.findings[i].gone && !model_.findings[i].asked) add([&](Model& m) { m.findings[i].asked = true; });
    if (model_.layout != 0) add([](Model& m) { m.layout = 0; });
  }

  const Model& model_;
  std::vector<Model> found_;
};

}  // namespace

bool settle(Model& m) {
  while (settle_once(m)) {
  }
  forget_despites(m);
  forget_impossible_samples(m);
  return std::any_of(m.practices.begin(), m.practices.end(), [](const Practice& p) { return !p.gone; });
}

std::vector<Model> smaller(const Model& model) { return Smaller(model).all(); }

rc::Gen<Model> models() {
  return [](const rc::Random& random, int) {
    return rc::shrinkable::shrinkRecur(random_model(rc::Random(random).next()),
                                       [](const Model& model) { return rc::seq::fromContainer(smaller(model)); });
  };
}

}  // namespace betony::referee
