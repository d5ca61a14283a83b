// What there is, by name; and what terms, tallies, leadings, measures and groups mean.
#include "tests/oracle/reader.h"

namespace betony::oracle {

using referee::Choice;
using referee::Finding;

// ---------------------------------------------------------------- first: what there is

void Reader::declare() {
  const std::string first = next().text;
  const std::set<std::string> ends = {"is", "are", "holds", "means", "counts"};
  const auto newest = [](const auto& list) { return static_cast<int>(list.size()) - 1; };
  if (first == "source") {
    const std::string word = next().text;
    m_.sources.push_back({word, "", 1900, std::nullopt, false});
  } else if (first == "school") {
    school();
  } else if (first == "finding") {
    finding();
  } else if (first == "group") {
    const std::string called = words_until(ends);
    m_.groups.push_back({called, {}, {}, false});
    alike(called, {Named::Of::group, newest(m_.groups)});
  } else if (first == "practice" || first == "practices") {
    for (const std::string& practice : list_until({})) {
      const auto [at, fresh] = names_.try_emplace(practice, Named{Named::Of::practice, static_cast<int>(m_.practices.size())});
      if (fresh) m_.practices.push_back({practice, "", false});
      for (const std::string& other : also()) name(other, at->second);
    }
  } else if (first == "choice") {
    choice();
  } else if (first == "measure" || first == "term" || first == "tally" || first == "leading") {
    const std::string called = words_until(ends);
    if (first == "measure") m_.measures.push_back({called, {}, "", false}), alike(called, {Named::Of::measure, newest(m_.measures)});
    if (first == "term") m_.terms.push_back({called, {}, false}), alike(called, {Named::Of::term, newest(m_.terms)});
    if (first == "tally") m_.tallies.push_back({called, {}, false}), alike(called, {Named::Of::tally, newest(m_.tallies)});
    if (first == "leading") m_.leadings.push_back({called, {}, std::nullopt, "", false}), alike(called, {Named::Of::leading, newest(m_.leadings)});
  } else if (first == "contraindications" && sees({"prevail"})) {
    m_.prevail = true;
  }
}

void Reader::alike(const std::string& called, Named what) {
  name(called, what);
  for (const std::string& other : also()) name(other, what);
}

int Reader::source(const std::string& word) const {
  for (std::size_t i = 0; i < m_.sources.size(); ++i)
    if (m_.sources[i].word == word) return static_cast<int>(i);
  throw Trouble{"no source " + word};
}

void Reader::school() {
  const std::string called = words_until({"holds"});
  also();
  need({"holds"});
  m_.schools.push_back({called, {}, false});
  for (const std::string& word : list_until({})) m_.schools.back().sources.push_back(source(word));
}

void Reader::finding() {
  Finding f;
  f.name = words_until({"is", "are"});
  const Named what{Named::Of::finding, static_cast<int>(m_.findings.size())};
  alike(f.name, what);
  at_ += 1;
  const std::set<std::string> usual = {"usually"};
  if (take({"yes", "or", "no"})) {
    f.kind = Finding::Kind::yes_no;
  } else if (take({"one", "of"})) {
    f.kind = Finding::Kind::one_of, f.words = list_until(usual);
  } else if (take({"a", "grade", "of"})) {
    f.kind = Finding::Kind::grade, f.words = list_until(usual);
  } else if (take({"any", "of"})) {
    f.kind = Finding::Kind::any_of, f.words = list_until(usual);
    for (std::size_t i = 0; i < f.words.size(); ++i) name(f.words[i], {Named::Of::finding, what.index, static_cast<int>(i)});
  } else {
    need({"a"});
    f.whole = take({"whole"});
    need({"number"});
    if (take({"of"})) f.unit = next().text;
    f.ago = take({"ago"});
    f.kind = Finding::Kind::number;
    need({"from"});
    f.low = number();
    need({"to"});
    f.high = number();
    f.step = f.whole ? 1 : 0;
    if (take({"in", "steps", "of"})) f.step = number();
    f.or_never = take({",", "or", "never"});
  }
  m_.findings.push_back(f);
}

void Reader::choice() {
  Choice c;
  c.name = words_until({"is"});
  alike(c.name, {Named::Of::choice, static_cast<int>(m_.choices.size())});
  need({"is"});
  if (take({"any", "of"})) c.kind = Choice::Kind::any_of;
  else if (take({"a", "grade", "of"})) c.kind = Choice::Kind::highest;
  else need({"one", "of"});
  do {
    if (sees({"the", "highest"}) || sees({"the", "lowest"})) break;
    c.words.push_back(words_until({}));
  } while (take({","}));
  if (c.kind == Choice::Kind::highest && sees({"the", "lowest"})) c.kind = Choice::Kind::lowest;
  m_.choices.push_back(c);
}

// ---------------------------------------------------------------- second: what it means

void Reader::define() {
  const std::string first = next().text;
  const auto of = [&](Named::Of kind) { return static_cast<std::size_t>(take_name(kind).index); };
  if (first == "term") {
    const std::size_t i = of(Named::Of::term);
    also();
    need({"means"});
    m_.terms[i].means = level();
  } else if (first == "tally") {
    referee::Tally& t = m_.tallies[of(Named::Of::tally)];
    also();
    need({"counts"});
    tally(t);
  } else if (first == "leading") {
    referee::Leading& l = m_.leadings[of(Named::Of::leading)];
    also();
    need({"is", "the", "most", "of"});
    for (const std::string& called : list_until({"by", "else"})) l.tallies.push_back(names_.at(called).index);
    if (take({"by", "at", "least"})) l.lead = number();
    take({","});
    need({"else"});
    l.otherwise = words_until({});
  } else if (first == "measure") {
    referee::Measure& m = m_.measures[of(Named::Of::measure)];
    also();
    need({"is"});
    m.is = sum();
    if (take({"in"})) m.unit = next().text;
  } else if (first == "group") {
    referee::Group& g = m_.groups[of(Named::Of::group)];
    also();
    need({"holds"});
    for (const std::string& called : list_until({})) {
      const Named what = names_.at(called);
      (what.of == Named::Of::group ? g.groups : g.practices).push_back(what.index);
    }
  }
}

void Reader::tally(referee::Tally& t) {
  while (!done()) {
    take({","});
    take({"and"});
    referee::TallyItem item;
    item.each = take({"each", "of"});
    do item.counted.push_back(this->item());
    while (item.each && take({","}));
    need({"as"});
    item.points = number();
    t.items.push_back(std::move(item));
  }
}

// ---------------------------------------------------------------- arithmetic

namespace {

Arithmetic join(Arithmetic::Op op, Arithmetic a, Arithmetic b) {
  Arithmetic both;
  both.op = op;
  both.parts = {std::move(a), std::move(b)};
  return both;
}

}  // namespace

Arithmetic Reader::sum() {
  Arithmetic a = product();
  for (;;) {
    if (take({"+"})) a = join(Arithmetic::Op::plus, a, product());
    else if (take({"-"})) a = join(Arithmetic::Op::minus, a, product());
    else return a;
  }
}

Arithmetic Reader::product() {
  Arithmetic a = factor();
  for (;;) {
    if (take({"*"})) a = join(Arithmetic::Op::times, a, factor());
    else if (take({"/"})) a = join(Arithmetic::Op::divided, a, factor());
    else return a;
  }
}

Arithmetic Reader::factor() {
  Arithmetic a;
  if (take({"("})) {
    a = sum();
    need({")"});
  } else if (sees({"least", "of"}) || sees({"most", "of"})) {
    a.op = next().text == "least" ? Arithmetic::Op::least : Arithmetic::Op::most;
    need({"of"});
    do a.parts.push_back(sum());
    while (take({","}));
  } else if (peek().kind == Token::Kind::number) {
    a.number = number();  // units of measures and of what they are made from are the same throughout
    if (!sees({"in"}) && peek().kind == Token::Kind::word && is_unit(peek().text)) next();
  } else {
    std::size_t length = 0;
    const Named* found = named(&length);
    if (!found) throw Trouble{"no number: " + peek().text};
    at_ += length;
    if (found->of == Named::Of::measure) return m_.measures[static_cast<std::size_t>(found->index)].is;
    a.op = Arithmetic::Op::finding;
    a.index = found->index;
  }
  return a;
}

}  // namespace betony::oracle
