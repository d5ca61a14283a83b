// Sentences that change nothing, and what a profile of the ruleset was expected to show.
#include <algorithm>

#include "tests/property/doses.h"
#include "tests/property/overall.h"

namespace betony::referee {

using Kind = Sentence::Kind;

namespace {

bool looked_at(Kind kind) { return !about_the_day(kind) && kind != Kind::uses; }

// Whether somebody who takes a practice is told another dose without the sentence.
bool changes_a_dose(const Model& model, const Universe& universe, const Judge& judge, const Reading& reading, int sentence) {
  const Table& table = reading.table();
  for (int p : judge.practices_of(sentence))
    for (std::size_t at = 0; at < universe.size(); ++at)
      if (table.fires[sentence][at] && reading.r()[at] && takes_it(table, p, at) &&
          !(settled(model, judge, table, p, at) == settled(model, judge, table, p, at, sentence)))
        return true;
  return false;
}

// Whether this reading says anything else of anybody when the sentence is taken out.
bool changes(const Model& model, const Universe& universe, const Judge& judge, const Reading& reading, int sentence) {
  if (!judge.in_reading(sentence, reading.school())) return false;
  if (model.sentences[sentence].kind == Kind::dose) return changes_a_dose(model, universe, judge, reading, sentence);
  const bool of_choice = model.sentences[sentence].head == Sentence::Head::choice;
  const Table& before = reading.table();
  const Table after = of_choice ? judge.table(reading.school(), sentence) : Table();
  for (std::size_t at = 0; at < universe.size(); ++at) {
    if (!judge.applies()[at]) continue;
    for (int p = 0; p < static_cast<int>(model.practices.size()); ++p) {
      if (model.practices[p].gone) continue;
      const Outcome without = of_choice ? after.outcomes[p][at] : judge.outcome(p, at, before, sentence);
      if (!(without == before.outcomes[p][at])) return true;
    }
    for (std::size_t c = 0; of_choice && c < model.choices.size(); ++c)
      if (before.fits[c][at] != after.fits[c][at]) return true;
  }
  return false;
}

std::vector<int> cited(const Model& model, const Sentence& s) {
  std::vector<int> works;
  for (int c : s.cites)
    if (!model.sources[c].gone) works.push_back(c);
  std::sort(works.begin(), works.end());
  return works;
}

bool say_the_same(const Judge& judge, const Reading& all, const Model& model, int a, int b) {
  const Sentence &x = model.sentences[a], &y = model.sentences[b];
  const bool otherwise = x.kind != Kind::otherwise || (x.verdict == y.verdict && x.with_care == y.with_care);
  const std::set<int> values(x.values.begin(), x.values.end()), others(y.values.begin(), y.values.end());
  const bool same_choice = x.head != Sentence::Head::choice || (x.choice == y.choice && values == others);
  if (x.kind != y.kind || !otherwise || !same_choice || !same_dose(x.dose, y.dose)) return false;
  if (judge.practices_of(a) != judge.practices_of(b) || (x.kind == Kind::caution && x.text != y.text)) return false;
  for (std::size_t p = 0; p < all.r().size(); ++p)
    if (all.r()[p] && all.table().fires[a][p] != all.table().fires[b][p]) return false;
  return true;
}

}  // namespace

// Told as never applying, as an indication that can never be followed, or as a dose that clashes.
bool told_already(const Model& model, int sentence, const std::vector<Expected>& told) {
  const Kind kind = model.sentences[sentence].kind;
  const bool indication = kind == Kind::indicated || kind == Kind::allowed;
  return std::any_of(told.begin(), told.end(), [&](const Expected& e) {
    if (!e.sentences.count({Spot::What::sentence, sentence})) return false;
    return e.kind == "never-applies" || e.kind == "dose-clash" || (indication && (e.form == "head-on" || e.form == "swallowed"));
  });
}

std::vector<Expected> idle(const Model& model, const Universe& universe, const Judge& judge,
                           const std::vector<const Reading*>& readings, const std::vector<Expected>& told) {
  std::vector<int> left;
  for (int s = 0; s < static_cast<int>(model.sentences.size()); ++s) {
    if (model.sentences[s].gone || !looked_at(model.sentences[s].kind) || told_already(model, s, told)) continue;
    const auto moves = [&](const Reading* r) { return changes(model, universe, judge, *r, s); };
    if (std::none_of(readings.begin(), readings.end(), moves)) left.push_back(s);
  }
  std::vector<Expected> found;
  const Reading& all = *readings[0];
  while (!left.empty()) {
    Expected e = all.problem("idle", "sentence", Weight::question);
    std::vector<int> alike, rest;
    for (int s : left) (say_the_same(judge, all, model, left[0], s) ? alike : rest).push_back(s);
    left = rest;
    for (int a : alike) {
      e.sentences.insert({Spot::What::sentence, a});
      for (int b : alike) {
        const auto mine = cited(model, model.sentences[a]), others = cited(model, model.sentences[b]);
        if (!mine.empty() && !others.empty() && mine != others) e.form = "twice-attested", e.severity = Weight::note;
      }
    }
    const Kind kind = model.sentences[alike[0]].kind;
    e.region = all.table().fires[alike[0]];
    for (std::size_t p = 0; p < e.region.size(); ++p) e.region[p] = e.region[p] && all.r()[p];
    // Where an Otherwise or a red flag would matter is nowhere in particular; nor is there a share of nobody.
    const bool plain = kind != Kind::otherwise && kind != Kind::choice_otherwise && kind != Kind::refer;
    if (!plain) e.region.clear();
    found.push_back(any(e.region) ? all.with_share(std::move(e)) : std::move(e));
  }
  return found;
}

// ---------------------------------------------------------------- expectations

namespace {

bool meets(const Table& table, const Expectation& x, const Region& completions) {
  std::set<Verdict> verdicts;
  bool care = true, fits = true;
  std::uint32_t values = 0;
  for (int v : x.values) values |= 1u << v;
  for (std::size_t p = 0; p < completions.size(); ++p) {
    if (!completions[p]) continue;
    if (x.practice >= 0) {
      verdicts.insert(table.outcomes[x.practice][p].verdict);
      care = care && table.outcomes[x.practice][p].care;
    } else {
      fits = fits && table.fits[x.choice][p] == values;
    }
  }
  if (x.practice < 0) return fits;
  if (x.verdict == Verdict::unanswered) return verdicts.size() > 1;
  return verdicts == std::set<Verdict>{x.verdict} && (care || !x.with_care);
}

}  // namespace

std::vector<Expected> Reading::expectations() const {
  std::vector<Expected> found;
  for (int i = 0; i < static_cast<int>(model_.samples.size()); ++i) {
    const Sample& sample = model_.samples[i];
    if (sample.gone) continue;
    const Region region = completions(model_, universe_, judge_, sample);
    for (int e = 0; e < static_cast<int>(sample.expectations.size()); ++e) {
      if (sample.expectations[e].gone || meets(table_, sample.expectations[e], region)) continue;
      Expected expected = problem("expectation-failed", "", Weight::error);
      expected.sentences.insert({Spot::What::expectation, i, e});
      expected.region = region;
      found.push_back(std::move(expected));
    }
  }
  return found;
}

}  // namespace betony::referee
