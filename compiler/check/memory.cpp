#include "compiler/check/memory.h"

#include <algorithm>

namespace betony {
namespace {

using Entry = Memory::Kept::Entry;

// Writes things out so that equal texts mean equal things: every part with its length or a stop of its own.
class Writer {
 public:
  explicit Writer(const Ruleset& ruleset) : r_(ruleset) {}
  std::string text;

  void number(std::uint64_t n) { text += std::to_string(n) += ' '; }
  void word(std::string_view w) {
    number(w.size());
    text += w;
  }
  void rational(const Rational& x) { text += x.get_str() += ' '; }
  void interval(const Interval& i) {
    i.low ? rational(*i.low) : number(0);
    i.high ? rational(*i.high) : number(0);
    text += {i.low ? '1' : '0', i.high ? '1' : '0', i.low_in ? '1' : '0', i.high_in ? '1' : '0'};
  }
  void value(const std::optional<Value>& v) {
    number(v ? 1 + static_cast<std::uint64_t>(v->kind) : 0);
    if (!v) return;
    number(v->word);
    rational(v->number);
  }

  void condition(const Cond& c) {
    number(static_cast<std::uint64_t>(c.kind));
    if (c.kind == Cond::Kind::test) test(c.test);
    if (c.kind == Cond::Kind::term) word(r_.terms[c.term].name);
    number(c.count);
    number(c.parts.size());
    for (const Cond& part : c.parts) condition(part);
  }
  void test(const Test& t) {
    number(static_cast<std::uint64_t>(t.subject));
    switch (t.subject) {
      case Test::Subject::finding: word(r_.findings[t.index].name); break;
      case Test::Subject::measure: word(r_.measures[t.index].name); break;
      case Test::Subject::tally: word(r_.tallies[t.index].name); break;
      case Test::Subject::leading: word(r_.leadings[t.index].name); break;
      case Test::Subject::choice: word(r_.choices[t.index].name); break;
      case Test::Subject::verdict: word(r_.practices[t.index].name); break;
    }
    number(t.words.size());
    for (Index w : t.words) number(w);
    number(t.intervals.size());
    for (const Interval& i : t.intervals) interval(i);
    number(t.verdicts * 4 + t.never * 2 + t.with_care);
  }
  void formula(const Formula& f) {
    number(static_cast<std::uint64_t>(f.kind));
    rational(f.number);
    if (f.kind == Formula::Kind::finding) word(r_.findings[f.index].name);
    if (f.kind == Formula::Kind::measure) word(r_.measures[f.index].name);
    if (f.kind == Formula::Kind::tally) word(r_.tallies[f.index].name);
    number(f.parts.size());
    for (const Formula& part : f.parts) formula(part);
  }
  void names(const std::vector<std::string>& list) {
    number(list.size());
    for (const std::string& name : list) word(name);
  }
  std::string_view source(const Place& place) const {
    return std::string_view(r_.tree.files[place.file].text).substr(place.span.begin, place.span.end - place.span.begin);
  }

 private:
  const Ruleset& r_;
};

void write_findings(Writer& w, const Ruleset& r) {
  w.number(r.findings.size());
  for (const Finding& f : r.findings) {
    w.word(f.name);
    w.number(static_cast<std::uint64_t>(f.kind) * 8 + f.ago * 4 + f.or_never * 2 + f.built_in);
    w.names(f.values);
    w.word(f.part_of);
    w.word(f.unit);
    for (const Rational* x : {&f.low, &f.high, &f.step}) w.rational(*x);
    w.value(f.usual);
  }
}

void write_measure(Writer& w, const Measure& m) {
  w.word(m.name);
  w.word(m.unit);
  w.formula(m.formula);
}

// Whatever every study rests on: the findings, who is possible, schools, units, what is bound together.
std::string ground_of(const Common& common) {
  const Ruleset& r = common.ruleset;
  Writer w(r);
  w.number(common.budget.nodes);
  w.number(common.budget.steps);
  w.number(r.contraindications_prevail);
  write_findings(w, r);
  for (const School& school : r.schools) {
    w.word(school.name);
    w.number(school.sources.size());
    for (Index source : school.sources) w.word(r.sources[source].word);
  }
  for (std::size_t s = 0; s < r.tree.sentences.size(); ++s)
    if (std::holds_alternative<tree::UnitLine>(r.tree.sentences[s].form)) w.word(w.source(r.tree.sentences[s].place));
  const Scope facts = Scoping(r, &common.bound).every_fact().scope();
  for (Index t : facts.terms) w.word(r.terms[t].name), w.condition(r.terms[t].condition);
  for (const Leading& l : r.leadings) {
    w.word(l.name);
    w.names(l.values);
    for (Index t : l.tallies) w.word(r.tallies[t].name);
    w.rational(l.lead);
  }
  for (Index c : facts.choices) w.number(static_cast<std::uint64_t>(r.choices[c].kind)), w.names(r.choices[c].values);
  for (Index s : facts.sentences) {
    w.number(static_cast<std::uint64_t>(r.sentences[s].kind));
    for (Index v : r.sentences[s].values) w.number(v);
    w.condition(r.sentences[s].when);
    if (r.sentences[s].unless) w.condition(*r.sentences[s].unless);
    for (const Citation& c : r.sentences[s].citations) w.word(r.sources[c.source].word);
  }
  for (const Background& b : r.backgrounds) w.condition(b.condition);
  if (r.applies) w.condition(*r.applies);
  for (Index m = 0; m < r.measures.size(); ++m) {
    write_measure(w, r.measures[m]);
    if (const auto* together = common.bound.of(m))
      for (const Dimension& d : together->variable.dimensions) {
        w.number(d.extents.size());
        for (const Extent& e : d.extents)
          if (e.kind == Extent::Kind::numbers) w.interval(e.numbers);
      }
  }
  for (const Tally& t : r.tallies) {
    w.word(t.name);
    for (const Tally::Item& item : t.items) w.condition(item.condition), w.rational(item.points);
  }
  return std::move(w.text);
}

// A scope in full, and where its sentences stand.
class ScopeWriter {
 public:
  ScopeWriter(const Common& common, const Subject& subject, const Scope& scope, Entry& entry)
      : common_(common), r_(common.ruleset), scope_(scope), entry_(entry), w_(common.ruleset) {
    entry.sentences.assign(scope.sentences.begin(), scope.sentences.end());
    w_.number(static_cast<std::uint64_t>(subject.kind));
    w_.word(name_of(r_, subject));
    if (subject.kind == Subject::Kind::company) pair(subject.pair);
    for (Index s : subject.sentences) w_.number(position(s));
    for (Index f : scope.findings) w_.number(f);
    for (Index t : scope.terms) w_.word(r_.terms[t].name), w_.condition(r_.terms[t].condition);
    for (Index l : scope.leadings) leading(r_.leadings[l]);
    for (Index c : scope.choices) choice(c);
    for (Index p : scope.practices) practice(r_.practices[p]);
    for (Index s : scope.sentences) sentence(r_.sentences[s]);
    for (Index b : scope.backgrounds) stand(r_.backgrounds[b].sentence);
    for (Index a : scope.applies) w_.number(a);
    for (Index c : scope.claims) claim(r_.claims[c]);
    if (subject.kind == Subject::Kind::expectation) expectation(r_.profiles[subject.index], subject.expectation);
  }
  std::string take() { return std::move(w_.text); }

 private:
  // A sentence as it is written, and where. Sentences that share a line are told so.
  void stand(Index tree_sentence) {
    const Place& place = r_.tree.sentences[tree_sentence].place;
    const bool same_line = last_ && last_->file == place.file && common_.line(*last_) == common_.line(place);
    w_.number(same_line + 2 * (place.file == 0));
    w_.word(w_.source(place));
    if (place.file != 0) w_.word(r_.tree.files[place.file].name);
    last_ = &place;
    entry_.stands.push_back({tree_sentence, place.file, place.span.begin, place.span.end});
  }
  std::uint64_t position(Index sentence) const {
    return static_cast<std::uint64_t>(std::lower_bound(entry_.sentences.begin(), entry_.sentences.end(), sentence) - entry_.sentences.begin());
  }
  void pair(const CompanyPair& pair) {
    w_.number(position(pair.sentence));
    w_.word(r_.practices[pair.practice].name);
    w_.word(r_.practices[pair.other].name);
  }
  void leading(const Leading& l) {
    w_.word(l.name);
    w_.names(l.values);
    for (Index t : l.tallies) w_.word(r_.tallies[t].name);
    w_.rational(l.lead);
  }
  void choice(Index index) {
    const Choice& c = r_.choices[index];
    w_.word(c.name);
    w_.number(static_cast<std::uint64_t>(c.kind));
    w_.names(c.values);
    for (Index user : common_.users_of[index]) w_.word(r_.practices[user].name);
    stand(c.sentence);
  }
  void practice(const Practice& p) {
    w_.word(p.name);
    for (Index s : p.sentences) w_.number(position(s));
    stand(p.sentence);
    w_.number(p.place.span.begin - r_.tree.sentences[p.sentence].place.span.begin);
  }
  void sentence(const Sentence& s) {
    stand(s.sentence);
    const std::uint32_t begin = r_.tree.sentences[s.sentence].place.span.begin;
    w_.number(s.place.span.begin - begin);
    w_.number(s.place.span.end - begin);
    w_.number(static_cast<std::uint64_t>(s.kind));
    w_.number(s.practices.size());
    if (!s.practices.empty()) w_.word(r_.practices[s.practices[0]].name);
    w_.number(static_cast<std::uint64_t>(rank(s)) * 2 + s.with_care);
    if (s.choice != no_index) w_.word(r_.choices[s.choice].name);
    w_.condition(s.when);
    w_.number(s.unless.has_value());
    if (s.unless) w_.condition(*s.unless);
    for (Index ban : s.despite) w_.number(position(ban));
    w_.word(s.label);
    w_.word(s.text);
    for (const Citation& c : s.citations) w_.word(r_.sources[c.source].word);
    w_.number(static_cast<std::uint64_t>(s.verdict));
    for (Index v : s.values) w_.number(v);
    for (Index other : s.others) w_.word(s.kind == Sentence::Kind::uses ? r_.choices[other].name : r_.practices[other].name);
    if (s.timing != no_index) timing(r_.timings[s.timing]);
  }
  void timing(const Timing& t) {
    for (Index practice : {t.from.practice, t.to ? t.to->practice : no_index})
      if (practice != no_index) w_.word(r_.practices[practice].name);
  }
  void claim(const Claim& c) {
    w_.word(c.title);
    w_.number(c.never);
    w_.condition(c.condition);
    w_.condition(c.when);
    stand(c.sentence);
  }
  void expectation(const SampleProfile& sample, Index at) {
    const Expectation& e = sample.expectations[at];
    for (const auto& value : sample.profile) w_.value(value);
    if (e.practice != no_index) w_.word(r_.practices[e.practice].name);
    if (e.choice != no_index) w_.word(r_.choices[e.choice].name);
    w_.number(e.verdict ? 1 + static_cast<std::uint64_t>(*e.verdict) : 0);
    w_.number(e.with_care);
    for (Index v : e.values) w_.number(v);
    stand(sample.sentence);
    stand(e.sentence);
  }

  const Common& common_;
  const Ruleset& r_;
  const Scope& scope_;
  Entry& entry_;
  Writer w_;
  const Place* last_ = nullptr;
};

// Moves places from where the sentences of a scope stood to where they stand now.
class Moving {
 public:
  Moving(const Entry& from, const Entry& to) {
    for (std::size_t i = 0; i < from.stands.size(); ++i) moves_.push_back({from.stands[i], to.stands[i]});
    std::sort(moves_.begin(), moves_.end(), [](const Move& a, const Move& b) {
      return std::pair(a.from.file, a.from.begin) < std::pair(b.from.file, b.from.begin);
    });
    for (std::size_t i = 0; i < from.sentences.size(); ++i) sentences_[from.sentences[i]] = to.sentences[i];
  }

  // Whether everything that was found lies within the scope.
  bool move(Found& found) {
    for (Problem& p : found.problems) {
      for (Concerned& c : p.sentences) concerned(c);
      for (std::string* text : {&p.matter, &p.sense, &p.replay}) words(*text);
      for (std::string& text : p.write) words(text);
    }
    for (std::string& name : found.not_settled) words(name);
    SentenceFacts facts;
    for (const auto& [sentence, fact] : found.facts) {
      const auto now = sentences_.find(sentence);
      if (now == sentences_.end()) return false;
      facts[now->second] = fact;
    }
    found.facts = std::move(facts);
    return sound_;
  }

 private:
  struct Move { Entry::Stand from, to; };

  const Move* at(const Place& place) {
    auto next = std::upper_bound(moves_.begin(), moves_.end(), std::pair(place.file, place.span.begin),
                                 [](const auto& key, const Move& move) { return key < std::pair(move.from.file, move.from.begin); });
    if (next != moves_.begin() && (--next)->from.file == place.file && place.span.begin < next->from.end) return &*next;
    sound_ = false;
    return nullptr;
  }
  void place(Place& p) {
    const Move* move = at(p);
    if (!move) return;
    const std::uint32_t length = p.span.end - p.span.begin;
    p.file = move->to.file;
    p.span.begin = p.span.begin - move->from.begin + move->to.begin;
    p.span.end = p.span.begin + length;
  }
  void concerned(Concerned& c) {
    if (const Move* move = at(c.place); move && c.tree_sentence != no_index) c.tree_sentence = move->to.tree_sentence;
    place(c.place);
    for (Mark& mark : c.marks) place(mark.place);
  }
  void words(std::string& text) {
    Common::for_each_mark(text, [this](Place& p) { place(p); });
  }

  std::vector<Move> moves_;
  std::map<Index, Index> sentences_;
  bool sound_ = true;
};

}  // namespace

void Memory::Kept::begin(const Common& common) {
  std::string now_ground = ground_of(common);
  before = std::move(now);
  now.clear();
  anew = 0;
  if (now_ground != ground) before.clear();
  ground = std::move(now_ground);
}

Recollection::Recollection(Memory::Kept& kept, const Common& common, const Subject& subject, const Scope& scope) : kept_(kept), common_(common) {
  text_ = ScopeWriter(common, subject, scope, entry_).take();
}

std::optional<Recollection::Recalled> Recollection::recall() {
  const auto at = kept_.before.find(text_);
  if (at == kept_.before.end()) return std::nullopt;
  Recalled recalled{at->second.found, at->second.steps};
  if (!Moving(at->second, entry_).move(recalled.found)) return std::nullopt;
  recalled_ = true;
  return recalled;
}

void Recollection::keep(const Found& found, std::uint64_t steps) {
  entry_.found = found;
  entry_.steps = steps;
  const std::lock_guard lock(kept_.mutex);
  kept_.anew += !recalled_;
  kept_.now[std::move(text_)] = std::move(entry_);
}

Memory::Memory() : kept_(std::make_unique<Kept>()) {}
Memory::~Memory() = default;
std::size_t Memory::looked_at_anew() const { return kept_->anew; }

}  // namespace betony
