#include "compiler/check/memory.h"

#include <algorithm>
#include <utility>

namespace betony {
namespace {

using Kept = Memory::Kept;

// Writes things out so that equal texts mean equal things: every part says where it ends or has its length before it.
class Writer {
 public:
  explicit Writer(const Ruleset& ruleset) : r_(ruleset) {}
  Bytes bytes;

  void number(std::uint64_t n) { bytes.number(n); }
  void word(std::string_view w) { bytes.word(w); }
  void whole(mpz_srcptr n) {
    const std::size_t limbs = mpz_size(n);
    number(limbs * 4 + static_cast<std::uint64_t>(mpz_sgn(n) + 1));
    for (std::size_t i = 0; i < limbs; ++i) number(mpz_getlimbn(n, static_cast<mp_size_t>(i)));
  }
  void rational(const Rational& x) {
    whole(x.get_num_mpz_t());
    whole(x.get_den_mpz_t());
  }
  void interval(const Interval& i) {
    number(i.low.has_value() + 2u * i.high.has_value() + 4u * i.low_in + 8u * i.high_in);
    if (i.low) rational(*i.low);
    if (i.high) rational(*i.high);
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
  w.number(r.sources.size());
  for (const Source& source : r.sources) w.word(source.word), w.word(source.title);
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
  return std::string(w.bytes.text());
}

// What is written out whole once a reading.
class TextWriter {
 public:
  explicit TextWriter(const Common& common) : common_(common), r_(common.ruleset), w_(r_) {}
  std::string_view text() const { return w_.bytes.text(); }
  void clear() { w_.bytes.clear(); }

  // A sentence as it is written.
  void words(Index tree_sentence) {
    const Place& place = r_.tree.sentences[tree_sentence].place;
    w_.number(place.file == 0);
    w_.word(w_.source(place));
    if (place.file != 0) w_.word(r_.tree.files[place.file].name);
  }
  void leading(const Leading& l) {
    w_.word(l.name);
    w_.names(l.values);
    for (Index t : l.tallies) w_.word(r_.tallies[t].name);
    w_.rational(l.lead);
  }
  void term(const Term& t) {
    w_.word(t.name);
    w_.condition(t.condition);
    words(t.sentence);
  }
  void choice(Index index) {
    const Choice& c = r_.choices[index];
    w_.word(c.name);
    w_.number(static_cast<std::uint64_t>(c.kind));
    w_.names(c.values);
    w_.number(common_.users_of[index].size());
    for (Index user : common_.users_of[index]) w_.word(r_.practices[user].name);
    words(c.sentence);
  }
  void practice(const Practice& p) {
    w_.word(p.name);
    words(p.sentence);
    w_.number(p.place.span.begin - r_.tree.sentences[p.sentence].place.span.begin);
  }
  void claim(const Claim& c) {
    w_.word(c.title);
    w_.number(c.never);
    w_.number(c.trend.has_value());
    if (c.trend) trend(*c.trend);
    w_.condition(c.condition);
    w_.condition(c.when);
    words(c.sentence);
  }
  void trend(const Trend& t) {  // the practices stand in its words, or with the subject
    w_.number(static_cast<std::uint64_t>(t.change) * 8 + static_cast<std::uint64_t>(t.of) * 2 + t.raised);
    w_.word(r_.findings[t.finding].name);
  }
  // All but what it says of other sentences.
  void sentence(const Sentence& s) {
    words(s.sentence);
    const std::uint32_t begin = r_.tree.sentences[s.sentence].place.span.begin;
    w_.number(s.place.span.begin - begin);
    w_.number(s.place.span.end - begin);
    w_.number(static_cast<std::uint64_t>(s.kind));
    w_.number(s.practices.size());
    if (!s.practices.empty()) w_.word(r_.practices[s.practices[0]].name);
    w_.number(static_cast<std::uint64_t>(rank(s)) * 2 + s.with_care);
    w_.number(s.choice != no_index);
    if (s.choice != no_index) w_.word(r_.choices[s.choice].name);
    w_.condition(s.when);
    w_.number(s.unless.has_value());
    if (s.unless) w_.condition(*s.unless);
    w_.word(s.label);
    w_.word(s.text);
    w_.number(s.citations.size());
    for (const Citation& c : s.citations) w_.word(r_.sources[c.source].word);
    w_.number(static_cast<std::uint64_t>(s.verdict));
    w_.number(s.values.size());
    for (Index v : s.values) w_.number(v);
    w_.number(s.others.size());
    for (Index other : s.others) w_.word(s.kind == Sentence::Kind::uses ? r_.choices[other].name : r_.practices[other].name);
    if (s.timing == no_index) return;
    const Timing& t = r_.timings[s.timing];
    for (Index practice : {t.from.practice, t.to ? t.to->practice : no_index}) {
      w_.number(practice != no_index);
      if (practice != no_index) w_.word(r_.practices[practice].name);
    }
  }

 private:
  const Common& common_;
  const Ruleset& r_;
  Writer w_;
};

// A scope in full, and where its sentences stand.
class ScopeWriter {
 public:
  ScopeWriter(const Kept& kept, const Common& common, const Scope& scope) : kept_(kept), r_(common.ruleset), w_(common.ruleset) {
    standing_.sentences.assign(scope.sentences.begin(), scope.sentences.end());
    standing_.practices.assign(scope.practices.begin(), scope.practices.end());
    numbers(scope.findings, [](Index f) { return f; });
    numbers(scope.terms, [&](Index t) { return kept_.terms[t]; });
    numbers(scope.leadings, [&](Index l) { return kept_.leadings[l]; });
    numbers(scope.choices, [&](Index c) { return stand(r_.choices[c].sentence), kept_.choices[c]; });
    numbers(scope.practices, [&](Index p) { return practice(r_.practices[p]), kept_.practices[p]; });
    numbers(scope.sentences, [&](Index s) { return sentence(r_.sentences[s]), kept_.sentences[s]; });
    numbers(scope.backgrounds, [&](Index b) { return stand(r_.backgrounds[b].sentence), kept_.backgrounds[b]; });
    numbers(scope.applies, [](Index a) { return a; });
    numbers(scope.claims, [&](Index c) { return stand(r_.claims[c].sentence), kept_.claims[c]; });
  }
  // A sentence that is no part of the scope but stands where it stands.
  void stand(Index tree_sentence) {
    const Place& place = r_.tree.sentences[tree_sentence].place;
    // Sentences that share a line are told so.
    const bool same_line = last_ != no_index && r_.tree.sentences[last_].place.file == place.file && kept_.lines[last_] == kept_.lines[tree_sentence];
    w_.number(same_line);
    last_ = tree_sentence;
    standing_.stands.push_back({tree_sentence, place});
  }
  std::string_view text() const { return w_.bytes.text(); }
  Kept::Standing standing() && { return std::move(standing_); }

 private:
  template <class Number>
  void numbers(const IndexSet& list, const Number& number) {
    w_.number(list.size());
    for (Index i : list) w_.number(number(i));
  }
  std::uint64_t position(Index sentence) const { return standing_.position(sentence); }
  void practice(const Practice& p) {
    w_.number(p.sentences.size());
    for (Index s : p.sentences) w_.number(position(s));
    stand(p.sentence);
  }
  void sentence(const Sentence& s) {
    stand(s.sentence);
    w_.number(s.despite.size());
    for (Index ban : s.despite) w_.number(position(ban));
  }

  const Kept& kept_;
  const Ruleset& r_;
  Kept::Standing standing_;
  Writer w_;
  Index last_ = no_index;
};

// What a subject is, beside its scope.
class SubjectWriter {
 public:
  SubjectWriter(const Kept& kept, const Common& common, const Subject& subject, const Kept::Standing& stands)
      : kept_(kept), common_(common), r_(common.ruleset), stands_(stands), w_(common.ruleset) {
    w_.number(static_cast<std::uint64_t>(subject.kind));
    w_.word(name_of(r_, subject));
    if (subject.kind == Subject::Kind::company) pair(subject.pair);
    if (subject.kind == Subject::Kind::term) term(subject.index);
    if (subject.kind == Subject::Kind::parts) parts(subject.parts);
    if (subject.kind == Subject::Kind::sources) disagreements(subject.disagreements);
    if (subject.kind == Subject::Kind::idle) sentences(subject.sentences);
    if (subject.kind == Subject::Kind::trend)
      for (Index practice : subject.practices) w_.word(r_.practices[practice].name);
    if (subject.kind == Subject::Kind::expectation) expectation(r_.profiles[subject.index], subject.expectation);
  }
  std::string_view text() const { return w_.bytes.text(); }

 private:
  std::uint64_t position(Index sentence) const { return stands_.position(sentence); }
  void pair(const CompanyPair& pair) {
    w_.number(position(pair.sentence));
    w_.word(r_.practices[pair.practice].name);
    w_.word(r_.practices[pair.other].name);
  }
  void term(Index index) {
    w_.number(kept_.terms[index]);
    w_.number(common_.facts_are_plain);
  }
  void parts(const IdleParts& idle) {
    w_.number(position(idle.sentence));
    w_.number(idle.parts.size());
    for (const IdleParts::Part& part : idle.parts) w_.number(part.number), w_.number(static_cast<std::uint64_t>(part.reach));
    for (Index part : idle.struck) w_.number(part);
  }
  void sentences(const std::vector<Index>& list) {
    for (Index s : list) w_.number(position(s));
  }
  void disagreements(const std::vector<Disagreement>& all) {
    const bool with_pairs = put_together(all);  // else what was found in each is all that is looked at
    for (const Disagreement& there : all) disagreement(there, with_pairs);
  }
  void disagreement(const Disagreement& there, bool with_pairs) {
    w_.word(r_.practices[there.practice].name);
    for (const auto* side : {&there.seen.first, &there.seen.second}) {
      w_.number(side->source);
      w_.number(side->places);
      share(side->share);
    }
    share(there.seen.share);
    w_.number(there.pairs.size());
    if (!with_pairs) return;
    for (const auto& pair : there.pairs) w_.number(position(pair.indication)), w_.number(position(pair.ban));
  }
  void share(const Share& share) {
    w_.rational(share.low);
    w_.rational(share.high);
  }
  void expectation(const SampleProfile& sample, Index at) {
    const Expectation& e = sample.expectations[at];
    w_.number(sample.rest_as_usual);
    w_.number(sample.answers.size());
    for (const SampleProfile::Answer& a : sample.answers) w_.number(a.finding), w_.value(a.value);
    w_.word(e.practice != no_index ? r_.practices[e.practice].name : "");
    w_.word(e.choice != no_index ? r_.choices[e.choice].name : "");
    w_.number(e.verdict ? 1 + static_cast<std::uint64_t>(*e.verdict) : 0);
    w_.number(e.with_care);
    for (Index v : e.values) w_.number(v);
    for (Index tree_sentence : {sample.sentence, e.sentence}) w_.word(w_.source(r_.tree.sentences[tree_sentence].place));
  }

  const Kept& kept_;
  const Common& common_;
  const Ruleset& r_;
  const Kept::Standing& stands_;
  Writer w_;
};

// Sentences that a subject tells of, though they are in no scope.
std::vector<Index> told_besides(const Ruleset& r, const Subject& subject) {
  if (subject.kind == Subject::Kind::term) return {r.terms[subject.index].sentence};
  if (subject.kind != Subject::Kind::expectation) return {};
  const SampleProfile& sample = r.profiles[subject.index];
  return {sample.sentence, sample.expectations[subject.expectation].sentence};
}

// Moves places from where the sentences of a scope stood to where they stand now.
class Moving {
 public:
  Moving(const Kept::Standing& from, const Kept::Standing& to) : from_(from), to_(to) {
    for (std::size_t i = 0; i < from.stands.size(); ++i) moves_.push_back({&from.stands[i], &to.stands[i]});
    std::sort(moves_.begin(), moves_.end(), [](const Move& a, const Move& b) {
      return std::pair(a.from->place.file, a.from->place.span.begin) < std::pair(b.from->place.file, b.from->place.span.begin);
    });
  }

  // Whether everything that was found lies within the scope.
  bool move(Found& found) {
    for (Problem& p : found.problems) {
      for (Concerned& c : p.sentences) concerned(c);
      for (std::string* text : {&p.matter, &p.sense, &p.replay}) words(*text);
      for (std::string& text : p.write) words(text);
    }
    for (std::string& name : found.not_settled) words(name);
    for (auto& [sentence, fact] : found.facts) index(from_.sentences, to_.sentences, sentence);
    for (Disagreement& there : found.disagreements) {
      index(from_.practices, to_.practices, there.practice);
      for (Disagreement::Pair& pair : there.pairs) index(from_.sentences, to_.sentences, pair.indication), index(from_.sentences, to_.sentences, pair.ban);
    }
    return sound_;
  }

 private:
  struct Move { const Kept::Stand *from, *to; };

  const Move* at(const Place& place) {
    auto next = std::upper_bound(moves_.begin(), moves_.end(), std::pair(place.file, place.span.begin),
                                 [](const auto& key, const Move& move) { return key < std::pair(move.from->place.file, move.from->place.span.begin); });
    if (next != moves_.begin() && (--next)->from->place.file == place.file && place.span.begin < next->from->place.span.end) return &*next;
    sound_ = false;
    return nullptr;
  }
  void index(const std::vector<Index>& from, const std::vector<Index>& to, Index& i) {
    const auto was = std::lower_bound(from.begin(), from.end(), i);
    if (was == from.end() || *was != i) sound_ = false;
    else i = to[static_cast<std::size_t>(was - from.begin())];
  }
  void place(Place& p) {
    const Move* move = at(p);
    if (!move) return;
    const std::uint32_t length = p.span.end - p.span.begin;
    p.file = move->to->place.file;
    p.span.begin = p.span.begin - move->from->place.span.begin + move->to->place.span.begin;
    p.span.end = p.span.begin + length;
  }
  void concerned(Concerned& c) {
    if (const Move* move = at(c.place); move && c.tree_sentence != no_index) c.tree_sentence = move->to->tree_sentence;
    place(c.place);
    for (Mark& mark : c.marks) place(mark.place);
  }
  void words(std::string& text) {
    Common::for_each_mark(text, [this](Place& p) { place(p); });
  }

  const Kept::Standing &from_, &to_;
  std::vector<Move> moves_;
  bool sound_ = true;
};

}  // namespace

void Memory::Kept::begin(const Common& common) {
  std::string now_ground = ground_of(common);
  entries.begin_reading();
  if (now_ground != ground) entries.clear();
  anew = 0;
  ground = std::move(now_ground);

  const Ruleset& r = common.ruleset;
  texts.begin_reading();
  written.assign(r.practices.size(), std::nullopt);
  TextWriter w(common);
  const auto enter = [&](std::vector<std::uint64_t>& numbers, std::size_t count, const auto& write) {
    numbers.resize(count);
    for (Index i = 0; i < count; ++i) {
      w.clear();
      write(i);
      numbers[i] = number_of(w.text());
    }
  };
  enter(sentences, r.sentences.size(), [&](Index s) { w.sentence(r.sentences[s]); });
  enter(terms, r.terms.size(), [&](Index t) { w.term(r.terms[t]); });
  enter(leadings, r.leadings.size(), [&](Index l) { w.leading(r.leadings[l]); });
  enter(choices, r.choices.size(), [&](Index c) { w.choice(c); });
  enter(practices, r.practices.size(), [&](Index p) { w.practice(r.practices[p]); });
  enter(claims, r.claims.size(), [&](Index c) { w.claim(r.claims[c]); });
  enter(backgrounds, r.backgrounds.size(), [&](Index b) { w.words(r.backgrounds[b].sentence); });
  lines.clear();
  for (const tree::Sentence& sentence : r.tree.sentences) lines.push_back(common.line(sentence.place));
}

std::uint64_t Memory::Kept::number_of(std::string_view text) {
  if (const std::uint64_t* known = texts.find(text)) return *known;
  texts.add(text, next_text);
  return next_text++;
}

Memory::Kept::Written Memory::Kept::of_practice(const Common& common, Index practice) {
  {
    const std::lock_guard lock(mutex);
    if (written[practice]) return *written[practice];
  }
  ScopeWriter scope(*this, common, scope_of(common, {.kind = Subject::Kind::practice, .index = practice}));
  const std::lock_guard lock(mutex);
  const std::uint64_t text = number_of(scope.text());
  return written[practice].emplace(Written{text, std::make_shared<const Standing>(std::move(scope).standing())});
}

Recollection::Recollection(Memory::Kept& kept, const Common& common, const Subject& subject) : kept_(kept) {
  const Ruleset& r = common.ruleset;
  if (const auto practice = practice_of_scope(r, subject)) {
    const Kept::Written written = kept.of_practice(common, *practice);
    text_.number(1);
    text_.number(written.text);
    stands_ = written.stands;
  } else {
    ScopeWriter scope(kept, common, scope_of(common, subject));
    for (Index tree_sentence : told_besides(r, subject)) scope.stand(tree_sentence);
    text_.number(0);
    text_.word(scope.text());
    stands_ = std::make_shared<const Kept::Standing>(std::move(scope).standing());
  }
  text_.word(SubjectWriter(kept, common, subject, *stands_).text());
}

std::optional<Recollection::Recalled> Recollection::recall() {
  const Kept::Entry* entry = nullptr;
  {
    const std::lock_guard lock(kept_.mutex);
    entry = kept_.entries.find(text_.text());
  }
  if (!entry) return std::nullopt;
  Recalled recalled{entry->found, entry->steps};
  if (*entry->stood != *stands_ && !Moving(*entry->stood, *stands_).move(recalled.found)) return std::nullopt;
  return recalled;
}

void Recollection::keep(const Found& found, std::uint64_t steps) {
  const std::lock_guard lock(kept_.mutex);
  ++kept_.anew;
  kept_.entries.add(text_.text(), Kept::Entry{found, steps, stands_});
}

Memory::Memory() : kept_(std::make_unique<Kept>()) {}
Memory::~Memory() = default;
std::size_t Memory::looked_at_anew() const { return kept_->anew; }

}  // namespace betony
