// Parts of conditions that could be struck out: each is struck, and every profile judged anew. And the sources
// that speak against each other, with what becomes of it.
#include <algorithm>
#include <functional>
#include <map>

#include "tests/property/doses.h"
#include "tests/property/overall.h"

namespace betony::referee {

using Kind = Sentence::Kind;

namespace {

// Something that can be struck, and the condition that is left.
struct Cut {
  Cond left;
  bool in_unless = false, whole = false;
  int inside = -1;  // the cut that takes this one with it
  std::string words;
};

class Cutter {
 public:
  Cutter(const Model& model, bool in_unless) : model_(model), in_unless_(in_unless) {}

  using Put = std::function<Cond(const Cond&)>;  // the whole condition, with this in place of one of its pieces

  void cut(const Cond& c, const Put& put, int inside) {
    switch (c.kind) {
      case Cond::Kind::negation:
        return cut(c.parts[0], [&](const Cond& left) { return put(with(c, 0, left)); }, inside);
      case Cond::Kind::all: case Cond::Kind::any: case Cond::Kind::none: case Cond::Kind::at_least: return list(c, put, inside);
      case Cond::Kind::among:
        if (c.words.size() > 1 && c.of != Cond::Of::practice)
          for (std::size_t i = 0; i < c.words.size(); ++i) {
            Cond left = c;
            left.words.erase(left.words.begin() + static_cast<std::ptrdiff_t>(i));
            add(put(left), inside, word(c, c.words[i]));
          }
        return;
      case Cond::Kind::numbers:
        if (c.numerals.size() > 1)
          for (std::size_t i = 0; i < c.numerals.size(); ++i) {
            Cond left = c;
            left.numerals.erase(left.numerals.begin() + static_cast<std::ptrdiff_t>(i));
            add(put(left), inside, print_number(model_, c, c.numerals[i]));
          }
        return;
      case Cond::Kind::compare: return ends(c, put, inside);
      default: return;
    }
  }

  // Whether it is the whole range of a finding, from the one end to the other: that says that it does not matter.
  bool says_any(const Cond& c) const {
    if (c.kind != Cond::Kind::compare || c.how != Cond::How::from_to || c.of != Cond::Of::finding) return false;
    const Finding& f = model_.findings[c.index];
    if (f.kind == Finding::Kind::grade) return c.numerals[0] <= 0 && c.numerals[1] >= static_cast<int>(f.words.size()) - 1;
    return f.kind == Finding::Kind::number && !f.or_never && c.numerals[0] <= f.low && c.numerals[1] >= f.high;
  }

  std::vector<Cut> cuts;

  void add(Cond left, int inside, std::string words, bool whole = false) {
    cuts.push_back({std::move(left), in_unless_, whole, inside, std::move(words)});
  }

 private:
  static Cond with(Cond c, std::size_t i, const Cond& part) {
    c.parts[i] = part;
    return c;
  }

  void list(const Cond& c, const Put& put, int inside) {
    const std::size_t least = c.kind == Cond::Kind::at_least ? static_cast<std::size_t>(std::max(1, c.count)) : 1;
    for (std::size_t i = 0; i < c.parts.size(); ++i) {
      int here = inside;
      if (c.parts.size() > least && !says_any(c.parts[i])) {
        Cond left = c;
        left.parts.erase(left.parts.begin() + static_cast<std::ptrdiff_t>(i));
        here = static_cast<int>(cuts.size());
        add(put(left), inside, print_item(model_, c.parts[i]));
      }
      cut(c.parts[i], [&](const Cond& left) { return put(with(c, i, left)); }, here);
    }
  }

  // An end of a range, unless it is the end of all there is; days and times of day have none that could be missed.
  void ends(const Cond& c, const Put& put, int inside) {
    if (c.how != Cond::How::from_to) return;
    bool low = true, high = true;
    if (c.of == Cond::Of::finding) {
      const Finding& f = model_.findings[c.index];
      if (f.kind == Finding::Kind::date || f.kind == Finding::Kind::time_of_day) return;
      const bool grade = f.kind == Finding::Kind::grade;
      low = c.numerals[0] > (grade ? Fraction(0) : f.low);
      high = c.numerals[1] < (grade ? Fraction(static_cast<int>(f.words.size()) - 1) : f.high);
    }
    Cond left = c;
    left.how = Cond::How::at_most, left.numerals = {c.numerals[1]};
    if (low) add(put(left), inside, print_number(model_, c, c.numerals[0]));
    left.how = Cond::How::at_least, left.numerals = {c.numerals[0]};
    if (high) add(put(left), inside, print_number(model_, c, c.numerals[1]));
  }

  std::string word(const Cond& c, int w) const {
    if (c.of == Cond::Of::finding) return model_.findings[c.index].words[w];
    return c.of == Cond::Of::leading ? leading_values(model_, model_.leadings[c.index])[w] : model_.choices[c.index].words[w];
  }

  const Model& model_;
  bool in_unless_;
};

const Cutter::Put itself = [](const Cond& left) { return left; };

std::vector<Cut> cuts_of(const Model& model, const Sentence& s) {
  Cutter when(model, false), unless(model, true);
  const bool conditional = s.when.kind != Cond::Kind::always;
  if (conditional) {
    const bool may_go = s.kind != Kind::refer && s.kind != Kind::dose && s.head != Sentence::Head::in_line && !when.says_any(s.when);
    if (may_go) when.add({}, -1, print(model, s.when), true);
    when.cut(s.when, itself, when.cuts.empty() ? -1 : 0);
  }
  if (s.unless) {
    if (s.kind != Kind::dose || conditional) unless.add({}, -1, print(model, *s.unless), true);
    unless.cut(*s.unless, itself, unless.cuts.empty() ? -1 : 0);
  }
  std::vector<Cut> all = when.cuts;
  for (Cut cut : unless.cuts) {
    if (cut.inside >= 0) cut.inside += static_cast<int>(when.cuts.size());
    all.push_back(std::move(cut));
  }
  return all;
}

bool has_cuts(const Sentence& s) {
  const bool conditional = s.when.kind != Cond::Kind::always || s.unless;
  const bool kind = s.kind == Kind::caution || s.kind == Kind::dose || s.kind == Kind::take || s.kind == Kind::refuse || s.kind == Kind::refer;
  return !s.gone && conditional && (kind || gives_a_verdict(s.kind)) && s.kind != Kind::otherwise;
}

// The weakest reason last: nobody is spoken for otherwise; nobody who is possible; nobody who is looked at; more are, who are
// told the same by others; fewer are, who are told the same by others; and it may not be struck.
enum Weight_of_cut { same_words, same_possible, same_people, apart, said_twice, matters };

class Striker {
 public:
  Striker(const Model& model, const Universe& universe, const Judge& judge, const Reading& reading)
      : model_(model), universe_(universe), judge_(judge), reading_(reading), before_(reading.table()), after_(reading.table()) {}

  Weight_of_cut strike(int s, const Cut& cut) {
    const Sentence& sentence = model_.sentences[s];
    if (!judge_.in_reading(s, reading_.school())) return same_words;
    Region now(universe_.size(), 0);
    for (std::size_t p = 0; p < now.size(); ++p) {
      const auto left = [&] { return judge_.holds(cut.left, p, before_); };
      const bool when = cut.in_unless ? judge_.holds(sentence.when, p, before_) : cut.whole || left();
      const bool unless = cut.in_unless ? !cut.whole && left() : sentence.unless && judge_.holds(*sentence.unless, p, before_);
      now[p] = when && !unless;
    }
    Weight_of_cut found = same_words;
    const bool of_people = sentence.head != Sentence::Head::choice && sentence.kind != Kind::refer;
    const Region& people = of_people ? reading_.r() : judge_.applies();
    for (std::size_t p = 0; p < now.size(); ++p)
      if (now[p] != before_.fires[s][p])
        found = std::max(found, people[p] ? (now[p] ? apart : said_twice) : judge_.background()[p] ? same_people : same_possible);
    if (found < apart) return found;
    if (sentence.kind == Kind::refer || (cut.whole && !cut.in_unless)) return matters;
    return (of_people ? of_practices(s, now) : of_choice(s, cut, now)) ? matters : found;
  }

 private:
  // Whether somebody is told otherwise.
  bool of_practices(int s, const Region& now) {
    const Sentence& sentence = model_.sentences[s];
    const Region kept = after_.fires[s];
    after_.fires[s] = now;
    bool found = false;
    for (int practice : judge_.practices_of(s))
      for (std::size_t p = 0; p < now.size(); ++p) {
        if (!reading_.r()[p] || now[p] == kept[p]) continue;
        const Outcome& was = before_.outcomes[practice][p];
        if (sentence.kind == Kind::dose) {
          const bool same = settled(model_, judge_, before_, practice, p) == settled(model_, judge_, after_, practice, p);
          if (takes_it(before_, practice, p) && !same) found = true;
          continue;
        }
        if (now[p] && sentence.kind != Kind::caution && was.verdict != asked_for(sentence)) found = true;
        if (!(judge_.outcome(practice, p, after_) == was)) found = true;
      }
    after_.fires[s] = kept;
    return found;
  }

  bool of_choice(int s, const Cut& cut, const Region& now) {
    Model struck = model_;
    Sentence& sentence = struck.sentences[s];
    if (!cut.in_unless) sentence.when = cut.left;
    else if (cut.whole) sentence.unless.reset();
    else sentence.unless = cut.left;
    const Table after = Judge(struck, universe_).table(reading_.school());
    std::uint32_t given = 0;
    for (int v : sentence.values) given |= 1u << v;
    for (std::size_t p = 0; p < now.size(); ++p) {
      if (!judge_.applies()[p]) continue;
      const std::uint32_t was = before_.fits[sentence.choice][p];
      if (was != after.fits[sentence.choice][p]) return true;
      if (sentence.kind == Kind::take && now[p] && !before_.fires[s][p] && (was & given) != given) return true;
    }
    return false;
  }

  const Model& model_;
  const Universe& universe_;
  const Judge& judge_;
  const Reading& reading_;
  const Table& before_;
  Table after_;
};

// Sentences of one `In …:` have their condition in common.
std::vector<int> sharing(const Model& model, int s) {
  const auto& all = model.sentences;
  if (all[s].head != Sentence::Head::in_line) return {s};
  std::vector<int> run;
  bool holds_s = false;
  for (int i = 0; i < static_cast<int>(all.size()); ++i) {
    if (all[i].gone || all[i].head == Sentence::Head::choice) continue;
    const bool same = all[i].head == Sentence::Head::in_line && all[i].line == all[s].line && print(model, all[i].when) == print(model, all[s].when);
    if (same) run.push_back(i), holds_s = holds_s || i == s;
    else if (holds_s) break;
    else run.clear();
  }
  return run;
}

std::vector<std::size_t> outermost(const std::vector<Cut>& cuts, const std::vector<Weight_of_cut>& weights) {
  std::vector<std::size_t> list;
  for (std::size_t i = 0; i < cuts.size(); ++i) {
    bool inner = weights[i] == matters;
    for (int at = cuts[i].inside; at >= 0; at = cuts[static_cast<std::size_t>(at)].inside)
      inner = inner || weights[static_cast<std::size_t>(at)] != matters;
    if (!inner) list.push_back(i);
  }
  return list;
}

bool plain(const Cond& c) {
  const bool other = c.kind <= Cond::Kind::with_care && c.of != Cond::Of::finding && c.of != Cond::Of::measure && c.kind != Cond::Kind::always;
  return !other && std::all_of(c.parts.begin(), c.parts.end(), plain);
}

// `heard`: those looked at whom it speaks for; they are shown where striking concerns nobody.
Expected found_of(const std::vector<Cut>& cuts, const std::vector<Weight_of_cut>& weights, const std::vector<std::size_t>& struck, Spot spot,
                  Region heard) {
  Expected e;
  if (std::all_of(struck.begin(), struck.end(), [&](std::size_t i) { return weights[i] < apart; })) e.region = std::move(heard);
  e.kind = "idle", e.form = "part", e.severity = Weight::note;
  e.sentences = {spot};
  for (std::size_t i : struck) {
    e.marks.insert(bare(cuts[i].words));
    if (weights[i] != same_people && weights[i] != apart) e.severity = Weight::question;
  }
  return e;
}

void terms(const Model& model, const Universe& universe, const Judge& judge, const std::vector<const Reading*>& readings,
           std::vector<Expected>& found) {
  bool all_plain = true;
  for (const auto* facts : {&model.backgrounds, &model.applies})
    for (const Fact& fact : *facts) all_plain = all_plain && (fact.gone || plain(fact.cond));
  for (int t = 0; t < static_cast<int>(model.terms.size()); ++t) {
    if (model.terms[t].gone) continue;
    Cutter cutter(model, false);
    cutter.cut(model.terms[t].means, itself, -1);
    std::vector<Weight_of_cut> weights;
    for (const Cut& cut : cutter.cuts) {
      Weight_of_cut weight = same_words;
      for (const Reading* r : readings)
        for (std::size_t p = 0; p < universe.size(); ++p)
          if (judge.holds(cut.left, p, r->table()) != judge.holds(model.terms[t].means, p, r->table()))
            weight = std::max(weight, judge.background()[p] || !all_plain ? matters : same_possible);
      weights.push_back(weight);
    }
    Region heard(universe.size(), 0);
    for (const Reading* r : readings)
      for (std::size_t p = 0; p < heard.size(); ++p) heard[p] = heard[p] || (r->r()[p] && judge.holds(model.terms[t].means, p, r->table()));
    const auto struck = outermost(cutter.cuts, weights);
    if (!struck.empty()) found.push_back(found_of(cutter.cuts, weights, struck, {Spot::What::term, t}, heard));
  }
}

}  // namespace

Verdict asked_for(const Sentence& sentence) {
  switch (sentence.kind) {
    case Kind::contraindicated: return Verdict::withheld;
    case Kind::discouraged: return Verdict::discouraged;
    case Kind::indicated: return Verdict::advised;
    default: return Verdict::allowed;
  }
}

std::string bare(const std::string& words) {
  if (words.empty() || (words[0] != '-' && (words[0] < '0' || words[0] > '9'))) return words;
  return words.substr(0, words.find_first_not_of("-.0123456789"));
}

std::vector<Expected> idle_parts(const Model& model, const Universe& universe, const Judge& judge, const std::vector<const Reading*>& readings,
                                 const std::vector<Expected>& told) {
  std::vector<Expected> found;
  std::vector<Striker> strikers;
  for (const Reading* r : readings) strikers.emplace_back(model, universe, judge, *r);
  std::set<std::pair<int, std::string>> told_in_front;  // of an `In …:`, by its first sentence
  for (int s = 0; s < static_cast<int>(model.sentences.size()); ++s) {
    const Sentence& sentence = model.sentences[s];
    const auto idle = [&](const Expected& e) { return e.kind == "idle" && e.sentences.count({Spot::What::sentence, s}); };
    if (!has_cuts(sentence) || told_already(model, s, told) || std::any_of(told.begin(), told.end(), idle)) continue;
    const std::vector<Cut> cuts = cuts_of(model, sentence);
    const std::vector<int> run = sharing(model, s);
    std::vector<Weight_of_cut> weights;
    for (const Cut& cut : cuts) {
      Weight_of_cut weight = same_words;
      for (int of : cut.in_unless ? std::vector<int>{s} : run)
        for (Striker& striker : strikers) weight = std::max(weight, weight == matters ? matters : striker.strike(of, cut));
      weights.push_back(weight);
    }
    std::vector<std::size_t> struck;
    for (std::size_t i : outermost(cuts, weights)) {
      const bool in_front = !cuts[i].in_unless && sentence.head == Sentence::Head::in_line;
      if (!in_front || told_in_front.insert({run[0], std::to_string(i)}).second) struck.push_back(i);
    }
    Region heard(universe.size(), 0);
    for (const Reading* r : readings)
      for (std::size_t p = 0; p < heard.size(); ++p) {
        const bool looked_at = sentence.kind == Kind::refer ? judge.applies()[p] : r->r()[p];
        heard[p] = heard[p] || (looked_at && judge.in_reading(s, r->school()) && r->table().fires[s][p]);
      }
    if (!struck.empty()) found.push_back(found_of(cuts, weights, struck, {Spot::What::sentence, s}, heard));
  }
  terms(model, universe, judge, readings, found);
  return found;
}

// ---------------------------------------------------------------- sources

std::vector<std::string> disagreements(const Model& model, const Universe& universe, const Judge& judge, const Reading& all) {
  struct Seen { Region where, first, second; int places = 0, first_places = 0, second_places = 0; };
  std::map<std::pair<int, int>, Seen> seen;
  const Region none(universe.size(), 0);
  for (int practice = 0; practice < static_cast<int>(model.practices.size()); ++practice)
    for (int i : judge.of_practice(practice))
      for (int b : judge.of_practice(practice)) {
        const Sentence &indication = model.sentences[i], &ban = model.sentences[b];
        const bool speak = (indication.kind == Kind::indicated || indication.kind == Kind::allowed) &&
                           (ban.kind == Kind::contraindicated || ban.kind == Kind::discouraged);
        if (!speak) continue;
        Region where = none, advised = none, banned = none;
        for (std::size_t p = 0; p < universe.size(); ++p) {
          where[p] = all.r()[p] && all.table().fires[i][p] && all.table().fires[b][p];
          advised[p] = where[p] && all.table().outcomes[practice][p].verdict == asked_for(indication);
          banned[p] = where[p] && all.table().outcomes[practice][p].verdict == asked_for(ban);
        }
        if (!any(where)) continue;
        std::set<int> of_indication, of_ban;
        for (int c : indication.cites) if (!model.sources[c].gone) of_indication.insert(c);
        for (int c : ban.cites) if (!model.sources[c].gone) of_ban.insert(c);
        for (int x : of_indication)
          for (int y : of_ban) {
            if (of_ban.count(x) || of_indication.count(y)) continue;
            Seen& s = seen[{std::min(x, y), std::max(x, y)}];
            ++s.places;
            s.first_places += any(x < y ? advised : banned);
            s.second_places += any(x < y ? banned : advised);
            widen(s.where, where), widen(s.first, x < y ? advised : banned), widen(s.second, x < y ? banned : advised);
          }
      }
  const Fraction people = universe.weight(all.r());
  const auto share = [&](const Region& region) { return people == 0 ? std::string("?") : Fraction(universe.weight(region) / people).get_str(); };
  std::vector<std::string> list;
  for (const auto& [sources, s] : seen)
    list.push_back(model.sources[sources.first].word + " " + model.sources[sources.second].word + ": " + std::to_string(s.places) + " on " +
                   share(s.where) + "; " + std::to_string(s.first_places) + " on " + share(s.first) + "; " + std::to_string(s.second_places) + " on " +
                   share(s.second));
  return list;
}

}  // namespace betony::referee
