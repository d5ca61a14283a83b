// What was declared and is never asked for, what cites nothing, and what has no question.
#include <algorithm>
#include <map>

#include "tests/property/overall.h"

namespace betony::referee {

namespace {

// Every name that a condition anywhere asks for.
class Asked {
 public:
  explicit Asked(const Model& model) {
    for (const Term& t : model.terms)
      if (!t.gone) look(t.means);
    for (const Tally& t : model.tallies)
      if (!t.gone)
        for (const TallyItem& item : t.items) look(item.counted);
    for (const Measure& m : model.measures)
      if (!m.gone)
        for (int finding : inputs(m.is)) findings.emplace(finding, -1);
    for (const Leading& l : model.leadings)
      if (!l.gone) tallies.insert(l.tallies.begin(), l.tallies.end());
    for (const auto* facts : {&model.backgrounds, &model.applies})
      for (const Fact& f : *facts)
        if (!f.gone) look(f.cond);
    for (const Sentence& s : model.sentences) {
      if (s.gone) continue;
      look(s.when);
      if (s.unless) look(*s.unless);
    }
    for (const Claim& c : model.claims)
      if (!c.gone) look(c.what), look(c.when);
  }
  std::set<std::pair<int, int>> findings, words;  // finding and item; finding and word
  std::set<int> terms, tallies, leadings, measures;

 private:
  void look(const std::vector<Cond>& list) {
    for (const Cond& c : list) look(c);
  }
  void look(const Cond& c) {
    look(c.parts);
    const bool asks = c.kind == Cond::Kind::holds || c.kind == Cond::Kind::among || c.kind == Cond::Kind::numbers ||
                      c.kind == Cond::Kind::compare || c.kind == Cond::Kind::never;
    if (!asks) return;
    if (c.of == Cond::Of::term) terms.insert(c.index);
    if (c.of == Cond::Of::measure) measures.insert(c.index);
    if (c.of == Cond::Of::tally) tallies.insert(c.index);
    if (c.of == Cond::Of::leading) leadings.insert(c.index);
    if (c.of != Cond::Of::finding) return;
    findings.emplace(c.index, c.item);
    for (int w : c.words) words.emplace(c.index, w);
  }
};

Expected note(const std::string& kind, const std::string& finding) {
  Expected e;
  e.kind = kind;
  e.severity = Weight::note;
  e.finding = finding;
  return e;
}

bool needs_source(Sentence::Kind kind) {
  using Kind = Sentence::Kind;
  return kind == Kind::indicated || kind == Kind::allowed || kind == Kind::discouraged || kind == Kind::contraindicated ||
         kind == Kind::caution || kind == Kind::dose || kind == Kind::take || kind == Kind::refuse || kind == Kind::refer;
}

bool cites(const Model& model, const Sentence& s) {
  return std::any_of(s.cites.begin(), s.cites.end(), [&](int source) { return !model.sources[source].gone; });
}

void unused_words(const Finding& f, int index, const Asked& asked, std::vector<Expected>& found) {
  for (int w = 0; w < static_cast<int>(f.words.size()); ++w)
    if (!asked.words.count({index, w}) && f.usual_word != w) found.push_back(note("unused", f.name));
}

}  // namespace

std::vector<Expected> unused(const Model& model) {
  const Asked asked(model);
  std::vector<Expected> found;
  for (int i = 0; i < static_cast<int>(model.findings.size()); ++i) {
    const Finding& f = model.findings[i];
    if (f.gone || f.kind == Finding::Kind::date || f.kind == Finding::Kind::time_of_day) continue;
    if (f.kind == Finding::Kind::any_of) {
      for (int item = 0; item < static_cast<int>(f.words.size()); ++item)
        if (!asked.findings.count({i, item})) found.push_back(note("unused", f.words[item]));
    } else if (!asked.findings.count({i, -1})) {
      found.push_back(note("unused", f.name));
    } else if (f.kind == Finding::Kind::one_of) {
      unused_words(f, i, asked, found);
    }
  }
  for (int t = 0; t < static_cast<int>(model.terms.size()); ++t)
    if (!model.terms[t].gone && !asked.terms.count(t)) found.push_back(note("unused", model.terms[t].name));
  for (int i = 0; i < static_cast<int>(model.measures.size()); ++i)
    if (!model.measures[i].gone && !asked.measures.count(i)) found.push_back(note("unused", model.measures[i].name));
  for (int t = 0; t < static_cast<int>(model.tallies.size()); ++t)
    if (!model.tallies[t].gone && !asked.tallies.count(t)) found.push_back(note("unused", model.tallies[t].name));
  for (int t = 0; t < static_cast<int>(model.leadings.size()); ++t)
    if (!model.leadings[t].gone && !asked.leadings.count(t)) found.push_back(note("unused", model.leadings[t].name));
  return found;
}

// Sentences of the same practices, of one choice, or red flags are told together.
std::vector<Expected> uncited(const Model& model) {
  const auto present = [&](const Sentence& s) { return !s.gone && cites(model, s); };
  if (std::none_of(model.sentences.begin(), model.sentences.end(), present)) return {};
  std::map<std::pair<int, std::vector<int>>, Expected> groups;  // choice or -1, practices
  for (int s = 0; s < static_cast<int>(model.sentences.size()); ++s) {
    const Sentence& sentence = model.sentences[s];
    if (sentence.gone || !needs_source(sentence.kind) || cites(model, sentence)) continue;
    const int choice = sentence.head == Sentence::Head::choice ? sentence.choice : -1;
    const std::vector<int> practices = speaks_of(model, sentence);
    Expected& e = groups.try_emplace({choice, practices}, note("uncited", "")).first->second;
    if (choice >= 0) e.choice = model.choices[choice].name;
    if (practices.size() == 1) e.practice = model.practices[practices[0]].name;
    e.sentences.insert({Spot::What::sentence, s});
  }
  std::vector<Expected> found;
  for (auto& [key, e] : groups) found.push_back(std::move(e));
  return found;
}

std::vector<Expected> unasked(const Model& model) {
  std::vector<Expected> found;
  for (const Finding& f : model.findings)
    if (!f.gone && !f.asked && f.kind != Finding::Kind::date && f.kind != Finding::Kind::time_of_day)
      found.push_back(note("unasked", f.name));
  return found;
}

}  // namespace betony::referee
